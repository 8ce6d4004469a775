"""The drawings as one PDF: size of every page, what stands on it, the same bytes again."""

import io
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pytest

from coachwright.build.model import Model
from coachwright.cli.main import main
from coachwright.draw.sheet import PAPER_MM, PaperSize
from coachwright.papers.drawings import drawing_set, drawings
from coachwright.papers.engine import PaperNotMade
from coachwright.papers.registry import PAPERS
from coachwright.proof.verdict import check
from tests.draw.made import job_model


@pytest.fixture(scope="module")
def model() -> Model:
    return job_model()


@pytest.mark.parametrize("size", ["a4", "a3", "ansi-a", "ansi-b"])
def test_every_page_is_as_large_as_its_sheet(model: Model, size: PaperSize) -> None:
    """Print: ISO 216 A3 420 x 297 mm, A4 297 x 210 mm; ASME Y14.1 A 11 x 8.5 in, B 17 x 11 in; the long side level."""
    inches = {"ansi-a": (11.0, 8.5), "ansi-b": (17.0, 11.0)}
    printed_mm = {"a4": (297.0, 210.0), "a3": (420.0, 297.0)}
    want = printed_mm.get(size) or tuple(side * 25.4 for side in inches[size])
    with pdfplumber.open(io.BytesIO(drawings(model, size=size))) as book:
        pages = [(float(page.width) / 72 * 25.4, float(page.height) / 72 * 25.4) for page in book.pages]

    assert len(pages) >= 6
    for page in pages:
        assert page == pytest.approx(want, abs=0.02)
    assert PAPER_MM[size] == pytest.approx(want)


def test_the_title_block_has_the_fields_of_iso_7200(model: Model) -> None:
    """ISO 7200:2004, mandatory fields (from memory): owner, number, issue, sheet, title, approval, creator, type."""
    job = replace(model.job, shop="Bay Seven", drawn_by="A. Fitter", approved_by="B. Lead", issued="2026-12-01")
    with pdfplumber.open(io.BytesIO(drawings(replace(model, job=job)))) as book:
        said = [page.extract_text() for page in book.pages][:-1]

    for number, text in enumerate(said, start=1):
        assert f"{number} of {len(said)}" in text
        for word in ("Bay Seven", "A. Fitter", "B. Lead", "2026-12-01", "arrangement drawing", "Q-0417", "released"):
            assert word in text, word


def test_nothing_is_released_that_nobody_approved(model: Model) -> None:
    """Law: a drawing without a name of who approved it, or a day, says so."""
    half = (model.job, replace(model.job, approved_by="B. Lead"), replace(model.job, issued="2026-12-01"))
    for job in half:
        with pdfplumber.open(io.BytesIO(drawings(replace(model, job=job)))) as book:
            text = book.pages[0].extract_text()
        assert "in preparation" in text
        assert "released" not in text


def test_parts_stand_beside_their_lamps(model: Model) -> None:
    """Case: the table of the plan names the part of every lamp we fit."""
    with pdfplumber.open(io.BytesIO(drawings(model))) as book:
        text = book.pages[0].extract_text()

    assert {head.part for head in model.heads if head.reach == "own"} <= set(text.split())


def test_same_build_same_bytes(model: Model) -> None:
    """Law: no clock and no machine in it."""
    assert drawings(model) == drawings(job_model())


def test_what_could_not_be_read_is_not_drawn(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """Case: a build that can't be understood gives a plain error."""
    (tmp_path / "build.yaml").write_text("coachwright: 1\njob: {name: x}\nvehicle: {body: nothing}\n")
    with pytest.raises(PaperNotMade, match="can't be drawn"):
        drawing_set(check(tmp_path / "build.yaml"))
    assert "drawings" in PAPERS


def test_a_vehicle_of_its_own_has_drawings_of_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: --serial draws and papers the vehicle that chose otherwise, and refuses a number the job doesn't build."""
    quillback = str(Path(__file__).parents[2] / "examples" / "quillback")

    assert main(["draw", quillback, "--serial", "3", "--out", str(tmp_path)]) == 0
    assert main(["papers", quillback, "drawings", "--serial", "3", "--out", str(tmp_path)]) == 0
    assert (tmp_path / "drawings.pdf").is_file()
    assert main(["draw", quillback, "--serial", "7", "--out", str(tmp_path)]) == 2
    assert "number 7" in capsys.readouterr().err
