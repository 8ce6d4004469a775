"""Write the bench list: the fewest settings, in order, that show on the vehicle that everything works as written.

Says what to do, where to look, what is then seen, what can't be shown and why, and which mistakes the list catches.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, print_json, progress

app = command_app("bench", __doc__)


@app.default
def run(
    build: Path,
    *,
    serial: int | None = None,
    mistakes: Annotated[bool, Parameter(negative="")] = False,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Write the bench list.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    serial : number of the vehicle; the base, with no option chosen, without it.
    mistakes : try the list on mistakes of programming and wiring, and add steps for those it misses. Takes a minute.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.control.bench_closed import closed_bench
    from coachwright.control.mutations import KINDS
    from coachwright.look.bench import bench_json, bench_lines
    from coachwright.look.bench_measured import wrapped
    from coachwright.proof.bench_expected import expected_on_bench

    model = opened(path, serial=serial)
    with progress("bench") as tell:
        closed = closed_bench(model, kinds=KINDS if mistakes else (), progress=tell)
        tell("expected readings", 0, 0)
        expected = expected_on_bench(model, folder=path.parent)
    if as_json:
        print_json(bench_json(model, closed, expected))
    else:
        for line in bench_lines(model, closed, expected):
            print(line)
        print("\n".join(wrapped(caution_line("bench"))))
    return 0
