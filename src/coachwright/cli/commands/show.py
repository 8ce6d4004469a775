"""Show what a build was understood to be: the whole job, or one head, function, situation or input.

Without a name it lists the job. A name is that of a lamp, head or group, a function, situation, word, memory or input.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json

app = command_app("show", __doc__)


@app.default
def run(
    build: Path,
    name: str = "",
    *,
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Show a build or one thing of it.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    name : what to show; the whole job without it.
    serial : number of the vehicle; the base, with no option chosen, without it.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.look.understood import one_thing, whole_job

    model = opened(path, serial=serial)
    shown = one_thing(model, name) if name else whole_job(model)
    if as_json:
        print_json(shown)
        return 0
    for line in _lines(shown, ""):
        print(line)
    return 0


def _lines(value: object, lead: str) -> list[str]:
    """Nested names and lists, indented; short lists on one line."""
    if isinstance(value, dict):
        found = []
        for key, item in value.items():
            if isinstance(item, dict) or (isinstance(item, list) and any(isinstance(each, dict) for each in item)):
                found += [f"{lead}{key}:", *_lines(item, lead + "  ")]
            else:
                found.append(f"{lead}{key}: {_short(item)}")
        return found
    if isinstance(value, list):
        return [line for item in value for line in [*_lines(item, lead), *([""] if isinstance(item, dict) else [])]]
    return [f"{lead}{_short(value)}"]


def _short(value: object) -> str:
    return ", ".join(str(each) for each in value) if isinstance(value, list) else str(value)
