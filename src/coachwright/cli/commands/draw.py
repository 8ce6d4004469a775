"""Draw a build: plan, side, front and rear views to scale, as SVG files.

The files are named for what they show and lie in the folder given with --out.
"""

from __future__ import annotations

from pathlib import Path

from coachwright.cli.faces import caution_line, command_app, existing_build, progress

app = command_app("draw", __doc__)


@app.default
def run(build: Path, *, out: Path = Path("out")) -> int:
    """Draw one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    out : folder the drawings are written to; made if it isn't there.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.cli.write import write_files
    from coachwright.draw.views import sheets

    with progress("draw") as tell:
        tell("reading", 0, 0)
        model = opened(path)
        files = {f"{name}.svg": text.encode() for name, text in sheets(model, digest=model.digest)}
    for written in write_files(out, files):
        print(written)
    print(caution_line("draw"))
    return 0
