"""Sheets as one PDF, each page as large as its sheet; the last page says what can hurt someone.

See Also
--------
coachwright.draw.views : the sheets. coachwright.papers.engine : how they become a PDF.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from coachwright.build.model import Model
from coachwright.draw.sheet import PAPER_MM, PaperSize
from coachwright.draw.views import sheets
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.papers.engine import PaperNotMade, set_paper
from coachwright.papers.printed import printed

if TYPE_CHECKING:
    from coachwright.proof.verdict import Verdict

NAME = "drawings"
_NO_DAY = "2000-01-01"
"""Stands in the file of a job that names no day."""


def drawing_set(verdict: Verdict) -> bytes:
    """The drawings of the build a verdict judged, A3.

    Raises
    ------
    PaperNotMade : the text could not be understood, so that there is nothing to draw.
    """
    if verdict.model is None:
        raise PaperNotMade(f"{verdict.file} can't be drawn: its text could not be understood.")
    return drawings(verdict.model)


def drawings(model: Model, made: Sequence[tuple[str, str]] = (), *, size: PaperSize = "a3") -> bytes:
    """The PDF of sheets (name, SVG); of the vehicle's views where none are given.

    The same build gives the same bytes; its date is the job's, never the clock's.

    Raises
    ------
    PaperNotMade : it could not be set; a fault of the program.
    """
    width_mm, height_mm = PAPER_MM[size]
    job = model.job
    data = {
        "title": printed(f"{job.name}: drawings"),
        "author": printed(job.shop),
        "running": "",
        "digest-line": "",
        "paper": "a4",
        "width": width_mm,
        "height": height_mm,
        "estimate": ESTIMATE,
        "cautions": [
            {"title": each.title, "text": each.text, "defers": each.defers} for each in cautions_of("paper", NAME)
        ],
        "sheets": [{"svg": svg, "name": name} for name, svg in made or sheets(model, digest=model.digest, size=size)],
    }
    return set_paper("drawings.typ", data, day=job.issued or job.due or _NO_DAY)
