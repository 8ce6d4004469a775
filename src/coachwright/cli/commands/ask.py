"""Ask what the vehicle does at a setting: ask BUILD "slide=full brake=on".

Names what every head shows, who owns it, who else wanted it and why it lost; what sounds, runs and is said.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json

app = command_app("ask", __doc__)


@app.default
def run(
    build: Path,
    *setting: str,
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Ask one setting.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    setting : inputs and memories, as name=value; what isn't named is at rest.
    serial : number of the vehicle; the base, with no option chosen, without it.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.control.ask import ask
    from coachwright.kit.units import parse

    model = opened(path, serial=serial)
    answer = ask(model, " ".join(setting), read_number=parse)
    if as_json:
        print_json(answer.as_json())
    else:
        print(answer.as_text())
    return 0
