"""Draw a build: plan, left, right, front and rear to scale, each sheet with its lamps, parts and title block.

The files are named for what they show and lie in the folder given with --out. As PDF all sheets are one file.
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
    form: Annotated[Literal["svg", "pdf"], Parameter(name="--format")] = "svg",
) -> int:
    """Draw one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    out : folder the drawings are written to; made if it isn't there.
    serial : number of the vehicle; the base, with no option chosen, without it.
    size : of the paper, long side level. ansi-a is letter, ansi-b is twice that.
    form : svg writes a file for each sheet, pdf one file with all of them.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.cli.write import write_files
    from coachwright.draw.views import sheets

    with progress("draw") as tell:
        tell("reading", 0, 0)
        model = opened(path, serial=serial)
        tell("drawing", 0, 0)
        if form == "pdf":
            from coachwright.papers.drawings import drawings

            files = {"drawings.pdf": drawings(model, size=size)}
        else:
            files = {f"{name}.svg": text.encode() for name, text in sheets(model, digest=model.digest, size=size)}
    for written in write_files(out, files):
        print(written)
    print(caution_line("draw"))
    return 0
