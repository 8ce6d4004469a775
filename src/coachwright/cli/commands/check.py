"""Judge a build: everything that is found, every rule's state, and whether the vehicle can be delivered.

Ends with 0 when nothing stops delivery, 1 when something does, 2 when the text can't be read at all. It never writes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, coloured, command_app, existing_build, print_json, progress

app = command_app("check", __doc__)


@app.default
def run(
    build: Path,
    *,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
    rules: Annotated[bool, Parameter(name="--rules", negative="")] = False,
    form: Annotated[Literal["text", "json", "sarif"], Parameter(name="--format")] = "text",
) -> int:
    """Judge one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    as_json : print the whole verdict as JSON.
    rules : print every rule with its state, not only what was found.
    form : how it is printed. sarif is what editors and code hosts read.
    """
    path = existing_build(build)
    from coachwright.proof.verdict import check

    with progress("check") as tell:
        verdict = check(path, progress=tell)
    if form == "sarif":
        from coachwright.look.sarif import sarif

        print_json(sarif(verdict))
        return verdict.exit_code
    if as_json or form == "json":
        from coachwright.proof.as_json import as_json as to_json

        print_json(to_json(verdict))
        return verdict.exit_code
    from coachwright.look.report import report_lines

    for line in report_lines(verdict, every_rule=rules, coloured=coloured()):
        print(line)
    print(caution_line("check"))
    return verdict.exit_code
