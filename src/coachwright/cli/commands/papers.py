"""Make the papers of a build, as PDF: proof book, views to scale, the card for who drives it, what is seen of it.

Same build, same bytes: dates come from the job's revision, never from the clock.
"""

from __future__ import annotations

from pathlib import Path

from coachwright.cli.faces import caution_line, command_app, existing_build, progress

app = command_app("papers", __doc__)


@app.default
def run(build: Path, *papers: str, out: Path = Path("out"), serial: int | None = None, letter: bool = False) -> int:
    """Make papers.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    papers : which ones; all of them when none is named.
    out : folder they are written to; made if it isn't there.
    serial : number of the vehicle they are for; the base, with no option chosen, without it.
    letter : the operator card on letter paper instead of A4.
    """
    from coachwright.cli.write import write_files
    from coachwright.kit.errors import CoachwrightError
    from coachwright.kit.near import nearest
    from coachwright.papers.registry import ON_LETTER, PAPERS
    from coachwright.proof.verdict import check

    for name in papers:
        if name not in PAPERS:
            near = nearest(name, PAPERS)
            raise CoachwrightError(f"No paper is called {name[:40]!r}. There are {', '.join(near or PAPERS)}.")
    path = existing_build(build)
    files = {}
    makers = ON_LETTER if letter else PAPERS
    with progress("papers") as tell:
        verdict = check(path, progress=tell, serial=serial)
        if verdict.model is None:
            from coachwright.cli.open_build import opened

            opened(path, serial=serial)
        wanted = papers or tuple(PAPERS)
        for number, name in enumerate(wanted, start=1):
            tell(name, number, len(wanted))
            files[f"{name}.pdf"] = makers[name](verdict)
    for written in write_files(out, files):
        print(written)
    print(caution_line("papers"))
    return 0
