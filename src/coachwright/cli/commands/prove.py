"""Prove a build's promises over every state any story reaches, and again while one source lies.

Each ends as proved, broken (with the story to act out) or undecided. Ends with 1 when one is broken or undecided. With
no promise named, what is written and never happens is told too: functions that never win, inputs nobody reads,
situations nobody reaches.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, print_json, progress

app = command_app("prove", __doc__)


@app.default
def run(
    build: Path,
    *promise: str,
    serial: int | None = None,
    faults: Annotated[bool, Parameter(negative="--no-faults")] = True,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Prove promises.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    promise : names of those to prove; all of them when none is named.
    serial : number of the vehicle; the base, with no option chosen, without it.
    faults : ask each again with every input it depends on stuck and lost, one at a time, from any moment on.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.look.proofs import asked_of, never_happens, never_json, never_lines, proofs_json, proofs_lines

    model = opened(path, serial=serial)
    with progress("prove") as tell:
        found = asked_of(model, promise, faults=faults, progress=tell)
    idle = () if promise else never_happens(model)
    if as_json:
        print_json({**proofs_json(found), "never-happens": never_json(idle)})
    else:
        for line in (*proofs_lines(found), *(() if promise else ("", *never_lines(idle)))):
            print(line)
        print(caution_line("prove"))
    return 1 if any(each.proof.state != "proved" for each in found) else 0
