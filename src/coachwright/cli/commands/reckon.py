"""Work out one published formula: reckon NAME key=value ...

Without a name it lists every calculation. Quantities carry units: "speed=35 mph".
"""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import command_app, print_json
from coachwright.cli.reckon_door import listing, reckon

app = command_app("reckon", __doc__)


@app.default
def run(*words: str, as_json: Annotated[bool, Parameter(name="--json", negative="")] = False) -> int:
    """Work one out, or list them all.

    Parameters
    ----------
    words : name of the calculation, then key=value texts.
    as_json : print JSON.
    """
    if not words:
        _list(as_json)
        return 0
    found = reckon(words[0], words[1:])
    if as_json:
        print_json(found.as_json())
    else:
        print(found.as_text())
    return 0


def _list(as_json: bool) -> None:
    reckoners, broken = listing()
    if as_json:
        print_json([{"room": each.room, "name": each.name, "question": each.title} for each in reckoners])
        return
    wide = max(len(each.name) for each in reckoners)
    room = ""
    for each in reckoners:
        if each.room != room:
            room = each.room
            print(f"\n{room}")
        print(f"  {each.name:<{wide}}  {each.title}")
    for name, why in broken.items():
        print(f"\n{name}: not loaded: {why}")
