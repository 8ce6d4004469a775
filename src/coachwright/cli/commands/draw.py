"""Draw a build: the vehicle's views to scale with its lamps, its light, and its supply and wires.

Each sheet has its title block. Of light: effective intensity by bearing and by elevation in every situation, work light
on the ground, what of each lamp's cone the vehicle hides and by what, and each crossing at the other driver's last
moment to stop. Of supply and wires: the one-line diagram, the harness in plan with its cut list, current and voltage in
every situation, the batteries over the hours, and fuses against what they guard. The files are named for what they show
and lie in the folder given with --out. As PDF all sheets are one file.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, progress

app = command_app("draw", __doc__)


@app.default
def run(
    build: Path,
    *,
    out: Path = Path("out"),
    serial: int | None = None,
    size: Literal["a4", "a3", "ansi-a", "ansi-b"] = "a3",
    show: Literal["all", "vehicle", "light", "power"] = "all",
    circuit: str = "",
    form: Annotated[Literal["svg", "pdf"], Parameter(name="--format")] = "svg",
) -> int:
    """Draw one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    out : folder the drawings are written to; made if it isn't there.
    serial : number of the vehicle; the base, with no option chosen, without it.
    size : of the paper, long side level. ansi-a is letter, ansi-b is twice that.
    show : vehicle draws the views alone, light the pictures of light alone, power those of supply and wires.
    circuit : draws the fuse curve of this circuit alone, as the one-line diagram names it ("channel 3").
    form : svg writes a file for each sheet, pdf one file with all of them.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.cli.write import write_files
    from coachwright.draw.asked_of_light import packs_of
    from coachwright.draw.light_plates import light_plates
    from coachwright.draw.power_plates import circuit_plates, power_plates
    from coachwright.draw.sheet import Plate, framed, room_mm
    from coachwright.draw.views import plates

    with progress("draw") as tell:
        tell("reading", 0, 0)
        model = opened(path, serial=serial)
        width, height = room_mm(size)
        made: list[Plate] = []
        if circuit:
            made += circuit_plates(model, circuit, width_mm=width, height_mm=height)
        if show in ("all", "vehicle") and not circuit:
            tell("drawing the vehicle", 0, 0)
            made += plates(model, width_mm=width, height_mm=height)
        if show in ("all", "light") and not circuit:
            tell("drawing its light", 0, 0)
            made += light_plates(model, packs_of(model, path.parent), width_mm=width, height_mm=height)
        if show in ("all", "power") and not circuit:
            tell("drawing its supply and wires", 0, 0)
            made += power_plates(model, width_mm=width, height_mm=height)
        drawn = framed(model, made, digest=model.digest, size=size)
        if form == "pdf":
            from coachwright.papers.drawings import drawings

            files = {"drawings.pdf": drawings(model, drawn, size=size)}
        else:
            files = {f"{name}.svg": text.encode() for name, text in drawn}
    for written in write_files(out, files):
        print(written)
    print(caution_line("draw"))
    return 0
