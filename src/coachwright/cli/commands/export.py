"""Write the control of a build as a program for another controller: Structured Text, JSON or an ES module.

What is written was read back first, and proved to do what the build says: who acts, who has each head, what burns,
sounds and runs, where each memory moves, in every setting. A file that can't be proved isn't written. docs/export.md
says how to call it, and what is left to the controller.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build, progress

app = command_app("export", __doc__)


@app.default
def run(
    build: Path,
    *,
    form: Annotated[Literal["st", "json", "js"], Parameter(name="--as")],
    out: Path = Path("out"),
    serial: int | None = None,
) -> int:
    """Export one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    form : st writes one function block in Structured Text (IEC 61131-3), json a table and its schema, js an ES module.
    out : folder the files are written to; made if it isn't there.
    serial : number of the vehicle; the base, with no option chosen, without it.
    """
    path = existing_build(build)
    from coachwright import __version__
    from coachwright.cli.open_build import opened
    from coachwright.cli.write import write_files
    from coachwright.control.export.about import About
    from coachwright.control.export.exported import exported
    from coachwright.look.cautions import ESTIMATE, cautions_of

    cautions = [f"{each.title}: {each.text} {each.defers}" for each in cautions_of("command", "export")]
    with progress("export") as tell:
        tell("reading", 0, 0)
        model = opened(path, serial=serial)
        tell("proving", 0, 0)
        made = exported(model, form, About(__version__, (*cautions, ESTIMATE)))
    for written in write_files(out, {name: text.encode() for name, text in made.files.items()}):
        print(written)
    print(f"Read back and proved the same in every setting: {made.same.asked_n} outputs and moves of memory.")
    print(caution_line("export"))
    return 0
