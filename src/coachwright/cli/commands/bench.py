"""Write the bench list: the fewest settings, in order, that show on the vehicle that everything works as written.

Says what to do, where to look, what is then seen, what can't be shown and why, and which mistakes the list catches.
With --form it writes a table for what is measured, with --readings it judges such a table once it is filled in: it then
ends with 0 only if every limit was read and holds.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, print_json, progress

if TYPE_CHECKING:
    from coachwright.build.model import Model
    from coachwright.control.bench_fields import Field

app = command_app("bench", __doc__)


@app.default
def run(
    build: Path,
    *,
    serial: int | None = None,
    mistakes: Annotated[bool, Parameter(negative="")] = False,
    form: Path | None = None,
    readings: Path | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Write the bench list.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    serial : number of the vehicle; the base, with no option chosen, without it.
    mistakes : try the list on mistakes of programming and wiring, and add steps for those it misses. Takes a minute.
    form : write a table (.csv) of all that is measured there, to be filled in, and nothing else.
    readings : judge a table that was filled in, and nothing else.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened

    model = opened(path, serial=serial)
    if form is not None or readings is not None:
        fields = _fields(model, path.parent)
        if form is not None:
            _write_form(model, fields, form)
        return _judge(model, fields, readings, as_json=as_json) if readings is not None else 0
    from coachwright.control.bench_closed import closed_bench
    from coachwright.control.mutations import KINDS
    from coachwright.look.bench import bench_json, bench_lines
    from coachwright.look.bench_measured import wrapped
    from coachwright.proof.bench_expected import expected_on_bench

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


def _fields(model: Model, folder: Path) -> tuple[Field, ...]:
    """What is measured, with what to expect."""
    from coachwright.control.bench_fields import fields_of
    from coachwright.proof.bench_expected import expected_on_bench

    with progress("bench") as tell:
        tell("expected readings", 0, 0)
        return fields_of(model, expected_on_bench(model, folder=folder))


def _write_form(model: Model, fields: tuple[Field, ...], form: Path) -> None:
    from coachwright.cli.write import write_files
    from coachwright.control.readings_file import form_text
    from coachwright.kit.errors import CoachwrightError

    if form.exists():
        raise CoachwrightError(f"{form} is there already, and readings may stand in it. Name another file.")
    for written in write_files(form.parent, {form.name: form_text(model, fields).encode()}):
        print(written)


def _judge(model: Model, fields: tuple[Field, ...], readings: Path, *, as_json: bool) -> int:
    from coachwright.cli.readings_door import number_of_cell
    from coachwright.control.readings import judge_readings
    from coachwright.control.readings_file import MOST_BYTES, read_readings
    from coachwright.kit.errors import CoachwrightError
    from coachwright.kit.text_file import read_bounded
    from coachwright.look.bench_measured import wrapped
    from coachwright.look.readings import readings_json, readings_lines

    try:
        text = read_bounded(readings, most_bytes=MOST_BYTES)
    except FileNotFoundError:
        raise CoachwrightError(
            f"There is no file of readings at {readings}. --form FILE writes an empty one."
        ) from None
    said = read_readings(text, file=readings.name, fields=fields, number=number_of_cell)
    judged = judge_readings(fields, said, serial=model.serial)
    if as_json:
        print_json(readings_json(model, judged))
    else:
        for line in readings_lines(model, judged, {readings.name: text}):
            print(line)
        print("\n".join(wrapped(caution_line("bench"))))
    return 0 if judged.all_hold else 1
