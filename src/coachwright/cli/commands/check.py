"""Judge a build: everything that is found, every rule's state, and whether the vehicle can be delivered.

Ends with 0 when nothing stops delivery, 1 when something does, 2 when the text can't be read at all. It never writes.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, coloured, command_app, existing_build, print_json, progress
from coachwright.kit.errors import CoachwrightError

if TYPE_CHECKING:
    from coachwright.proof.alike import JobVerdict
    from coachwright.proof.gather import Progress
    from coachwright.proof.sure import Sure
    from coachwright.proof.verdict import Verdict

MOST_VEHICLES = 1_000_000

app = command_app("check", __doc__)


@app.default
def run(
    build: Path,
    *,
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
    rules: Annotated[bool, Parameter(name="--rules", negative="")] = False,
    matrix: Annotated[bool, Parameter(name="--matrix", negative="")] = False,
    sure: Annotated[bool, Parameter(name="--sure", negative="")] = False,
    vehicles: int | None = None,
    seed: int | None = None,
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
    sure : draw thousands of vehicles as they are built and used, and say how many of them pass each rule of warning
        light, where the rest fail, and what costs most. Takes some seconds, which is why it is asked for.
    vehicles : how many are drawn; as the data of the tolerances say, if it is left away.
    seed : what they are drawn with; the same seed draws the same vehicles.
    form : how it is printed. sarif is what editors and code hosts read.
    """
    if form == "sarif" and (as_json or matrix):
        other = "--matrix" if matrix else "--json"
        raise CoachwrightError(f"--format sarif and {other} print two things. Leave one of them away.")
    if (vehicles is not None or seed is not None) and not sure:
        raise CoachwrightError("--vehicles and --seed belong to --sure. Add it.")
    if vehicles is not None and not 1 <= vehicles <= MOST_VEHICLES:
        raise CoachwrightError(f"1 to {MOST_VEHICLES:,} vehicles can be drawn.")
    if seed is not None and seed < 0:
        raise CoachwrightError("A seed is a whole number from 0 on.")
    path = existing_build(build)
    from coachwright.proof.alike import JobVerdict, check_job
    from coachwright.proof.verdict import check

    with progress("check") as tell:
        if serial is None:
            job = check_job(path, progress=tell, behind=sure)
        else:
            job = JobVerdict(check(path, progress=tell, serial=serial, behind=sure), None, ())
        verdict = job.base
        drawn = _drawn(verdict, vehicles, seed, tell) if sure else None
    if form == "sarif":
        from coachwright.look.alike import job_sarif

        print_json(job_sarif(job))
        return job.exit_code
    if matrix and verdict.model is not None:
        return _matrix(job, as_json or form == "json")
    if as_json or form == "json":
        from coachwright.look.alike import job_json

        print_json({**job_json(job), **({"sure": _sure_json(drawn)} if drawn is not None else {})})
        return job.exit_code
    from coachwright.look.alike import alike_lines, serial_line
    from coachwright.look.report import report_lines

    for line in report_lines(verdict, every_rule=rules, coloured=coloured()):
        print(line)
    vehicle = serial_line(verdict.model) if verdict.model is not None else ""
    for line in [*alike_lines(job), *([vehicle] if vehicle else [])]:
        print(line)
    if drawn is not None:
        from coachwright.look.sure import sure_lines

        for line in ("", *sure_lines(drawn)):
            print(line)
    print(caution_line("check"))
    return job.exit_code


def _drawn(verdict: Verdict, vehicles: int | None, seed: int | None, tell: Progress) -> Sure:
    from coachwright.proof.sure import sure

    return sure(verdict, vehicles_n=vehicles, seed=seed, progress=tell)


def _sure_json(drawn: Sure) -> dict[str, Any]:
    from coachwright.look.sure import sure_json

    return sure_json(drawn)


def _matrix(job: JobVerdict, as_json: bool) -> int:
    from coachwright.look.matrix import job_matrix_json, job_matrix_lines

    if as_json:
        print_json(job_matrix_json(job))
        return job.exit_code
    for line in job_matrix_lines(job, coloured=coloured()):
        print(line)
    print(caution_line("check"))
    return job.exit_code
