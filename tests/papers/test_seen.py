"""The page of plain words: one side, its cautions, the same bytes again; hostile names are text."""

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.draw.asked_of_light import packs_of
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.papers.engine import PaperNotMade, set_paper
from coachwright.papers.registry import PAPERS
from coachwright.papers.seen import HOW, NAME, seen_data, what_is_seen
from tests.draw.pages import overlapping, text_boxes
from tests.papers.made import verdict
from tests.papers.reading_grade import grade_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))
BY_NAME = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)


@cache
def data(path: Path) -> dict[str, Any]:
    model = example(path)
    return seen_data(model, packs_of(model, path.parent), digest="5ad9f1a64c0be86b")


@cache
def example(path: Path) -> Model:
    model = load_build(path).model
    assert model is not None
    return model


def words(pdf: bytes) -> tuple[int, str]:
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        text = " ".join(page.extract_text() for page in book.pages)
        return len(book.pages), re.sub(r"\s+", " ", text.replace("\u200b", ""))


@pytest.mark.slow
@BY_NAME
def test_one_side_with_two_pictures(path: Path) -> None:
    """Case: every example fits; what it says stands on it."""
    found = data(path)
    pages_n, text = words(set_paper("seen.typ", found, day="2027-01-01"))

    assert pages_n == 1
    assert len(found["pictures"]) == 2
    assert ESTIMATE in text
    assert all(each["title"] in text for each in found["situations"])
    assert all(each.title in text for each in cautions_of("paper", NAME))
    for picture in found["pictures"]:
        boxes = text_boxes(picture["svg"])
        assert overlapping(boxes) == []
        assert all(box.left >= -0.1 and box.right <= picture["width"] + 0.1 for box in boxes)


@pytest.mark.slow
@BY_NAME
def test_reading_grade_of_all_of_it(path: Path) -> None:
    """Law: eight years of school at most; common practice of plain-language guides."""
    found = data(path)

    assert grade_of(" ".join([*(each["text"] for each in found["situations"]), *found["crossings"], HOW])) <= 8.0


def test_the_same_bytes_and_its_name() -> None:
    """Law."""
    assert what_is_seen(verdict()) == what_is_seen(verdict())
    assert PAPERS[NAME] is what_is_seen
    assert {each.name for each in cautions_of("paper", NAME)} == {"glare", "colours"}


def test_findings_that_stop_delivery_are_told() -> None:
    """Case: the verdict by hand has one error."""
    assert "Draft. 1 finding stops delivery." in words(what_is_seen(verdict()))[1]


def test_hostile_names_are_text() -> None:
    """Case: markup of the template, very long words, letters nobody has."""
    model = verdict().model
    assert model is not None
    for name in ('#panic("x") *b* = H', "a" * 2000, "<script>\u202e\x00"):
        job = replace(model.job, name=name, customer=name)
        what_is_seen(verdict(replace(model, job=job)))


def test_light_that_can_t_be_asked_is_told() -> None:
    """Case: the job by hand sets a control it doesn't have; the page says so and has no pictures."""
    text = words(what_is_seen(verdict()))[1]

    assert "Not told." in text
    assert "No control or signal is named slide" in text


def test_what_could_not_be_understood_has_no_page() -> None:
    """Case."""
    with pytest.raises(PaperNotMade, match="can't be told"):
        what_is_seen(replace(verdict(), model=None))
