"""Judge a build: everything that is found, every rule's state, and whether the vehicle can be delivered.

Ends with 0 when nothing stops delivery, 1 when something does, 2 when the text can't be read at all. It never writes.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, coloured, command_app, existing_build, print_json, progress
from coachwright.kit.errors import CoachwrightError

if TYPE_CHECKING:
    from coachwright.proof.alike import JobVerdict

app = command_app("check", __doc__)


@app.default
def run(
    build: Path,
    *,
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
    rules: Annotated[bool, Parameter(name="--rules", negative="")] = False,
    matrix: Annotated[bool, Parameter(name="--matrix", negative="")] = False,
    form: Annotated[Literal["text", "json", "sarif"], Parameter(name="--format")] = "text",
) -> int:
    """Judge one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    serial : number of one vehicle to judge. Without it the base is, and each other set of choices that serials use.
    as_json : print the whole verdict as JSON.
    rules : print every rule with its state, not only what was found.
    matrix : print the compliance matrix instead: every clause of the customer's contract and what is still open.
    form : how it is printed. sarif is what editors and code hosts read.
    """
    if form == "sarif" and (as_json or matrix):
        other = "--matrix" if matrix else "--json"
        raise CoachwrightError(f"--format sarif and {other} print two things. Leave one of them away.")
    path = existing_build(build)
    from coachwright.proof.alike import JobVerdict, check_job
    from coachwright.proof.verdict import check

    with progress("check") as tell:
        if serial is None:
            job = check_job(path, progress=tell)
        else:
            job = JobVerdict(check(path, progress=tell, serial=serial), None, ())
    verdict = job.base
    if form == "sarif":
        from coachwright.look.alike import job_sarif

        print_json(job_sarif(job))
        return job.exit_code
    if matrix and verdict.model is not None:
        return _matrix(job, as_json or form == "json")
    if as_json or form == "json":
        from coachwright.look.alike import job_json

        print_json(job_json(job))
        return job.exit_code
    from coachwright.look.alike import alike_lines, serial_line
    from coachwright.look.report import report_lines

    for line in report_lines(verdict, every_rule=rules, coloured=coloured()):
        print(line)
    vehicle = serial_line(verdict.model) if verdict.model is not None else ""
    for line in [*alike_lines(job), *([vehicle] if vehicle else [])]:
        print(line)
    print(caution_line("check"))
    return job.exit_code


def _matrix(job: JobVerdict, as_json: bool) -> int:
    from coachwright.look.matrix import job_matrix_json, job_matrix_lines

    if as_json:
        print_json(job_matrix_json(job))
        return job.exit_code
    for line in job_matrix_lines(job, coloured=coloured()):
        print(line)
    print(caution_line("check"))
    return job.exit_code
