"""Let a vehicle's log go through the machine of a build: what it read, did and showed, and which promises broke when.

Reads candump, ASC, BLF and CSV. Without a log it lists by what each input of the build can be heard, and what no
standard has. Ends with 1 when a promise is broken on the log or an input disagrees with its witness.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, print_json, progress

if TYPE_CHECKING:
    from coachwright.build.model import Model
    from coachwright.control.replayed import Replayed

app = command_app("replay", __doc__)


@app.default
def run(
    build: Path,
    *log: Path,
    said: Annotated[Path | None, Parameter(name="--map")] = None,
    out: Path | None = None,
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Replay one log, or several of the same drive.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    log : the logs; what they are follows from the end of their names (.log, .asc, .blf, .csv).
    said : the file that says which wire or message is which input; without it vehicle-data.yaml beside the log.
    out : folder for strips of time as SVG; made if it isn't there.
    serial : number of the vehicle; the base, with no option chosen, without it.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.cli.vehicle_data import feeds_beside
    from coachwright.control.logs import read_log
    from coachwright.control.replay import replay
    from coachwright.look.replayed import Told, feeds_lines, replayed_json, replayed_lines

    model = opened(path, serial=serial)
    if not log:
        for line in feeds_lines(model, feeds_beside(model, said, beside=path.parent)):
            print(line)
        print(caution_line("replay"))
        return 0
    with progress("replay") as tell:
        tell("reading", 0, 0)
        logs = tuple(read_log(each) for each in log)
        columns = [name for each in logs for name in each.names]
        feeds = feeds_beside(model, said, beside=log[0].parent, columns=columns)
        tell("stepping", 0, 0)
        told = Told(model, logs, replay(model, logs, feeds))
    drawn = _drawn(model, told.replayed, out, title=log[0].name) if out is not None else ()
    if as_json:
        print_json(replayed_json(told))
    else:
        for line in (*replayed_lines(told), *map(str, drawn), caution_line("replay")):
            print(line)
    return 1 if any(each.severity == "error" for each in told.replayed.findings) else 0


def _drawn(model: Model, replayed: Replayed, out: Path, *, title: str) -> tuple[Path, ...]:
    """Write the strips of time."""
    from coachwright.cli.write import write_files
    from coachwright.draw.replayed import close_ups, replay_plates
    from coachwright.draw.sheet import plate_svg

    plates = (*replay_plates(model, replayed, title=title), *close_ups(model, replayed, title=title))
    return tuple(write_files(out, {f"{plate.name}.svg": plate_svg(plate).encode() for plate in plates}))
