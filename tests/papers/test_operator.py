"""The operator card as PDF: one side, plain words, nothing outside the page, the same bytes again."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.operator import card_facts
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.papers.engine import PaperNotMade
from coachwright.papers.operator import SIZES_PT, CardSize, operator_card, operator_card_of
from coachwright.proof.verdict import check
from tests.control.by_hand import build, function, message, on_off, pick_one, show, toggle
from tests.draw.made import job_model
from tests.papers.made import verdict
from tests.papers.reading_grade import grade, grade_of, syllables_n

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))
BY_NAME = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
PAGES_PT = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}
MOST_GRADE = 5.0
"""Who is tired reads as a child of ten or eleven does; common practice of plain-language guides is eight and less."""

HOSTILE = (
    "<script>alert(1)</script>",
    '#panic("x") #sys.inputs $sum$ @ref `raw` *b* _i_ [c] \\ // /* */',
    "= Heading",
    "#" * 2000,
    "a" * 2000,
    "\u202eabc\x00\n\t\x1b[31m\ue000x\ue001\ue000",
    "日本語 عربى 🚒",
)


def example(path: Path) -> Model:
    """One of the shipped builds."""
    model = load_build(path).model
    assert model is not None
    return model


def card(model: Model, **changes: Any) -> bytes:
    """Its card."""
    return operator_card_of(model, digest="5ad9f1a64c0be86b", **changes)


@cache
def example_card(path: Path, size: CardSize = "a4") -> bytes:
    """The card of a shipped build, made once."""
    return card(example(path), size=size)


def text_of(pdf: bytes) -> str:
    """All words, column by column, on one line."""
    said = []
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        for page in book.pages:
            middle = page.width / 2
            halves = ((0, 0, middle, page.height), (middle, 0, page.width, page.height))
            said += [page.extract_text(), *(page.crop(half).extract_text() for half in halves)]
    return re.sub(r"\s+", " ", " ".join(said).replace("\u200b", ""))


def named(model: Model, words: str) -> Model:
    """The job with these words wherever the card prints some of its own."""
    job = replace(model.job, name=words, customer=words, number=words, revision=words)
    messages = tuple(replace(message, say=words) for message in model.messages)
    return replace(model, job=job, messages=messages)


# --------------------------------------------------------------------------------------------------------------- print
def test_the_formula_of_kincaid_1975() -> None:
    """Research Branch Report 8-75: 0.39 words per sentence + 11.8 syllables per word - 15.59; least possible -3.40."""
    assert grade(1.0, 1.0) == pytest.approx(-3.40)
    assert grade(13.0, 24 / 13) == pytest.approx(11.3, abs=0.05)


@pytest.mark.parametrize(
    ("word", "count"),
    [("lamp", 1), ("driver", 2), ("parked", 1), ("flashes", 2), ("closed", 1), ("table", 2), ("siren", 2),
     ("choose", 1), ("again", 2), ("voltage", 2), ("amber", 2), ("headlamps", 2), ("signal", 2), ("mph", 3), ("60", 2)],
)  # fmt: skip
def test_syllables_as_a_dictionary_has_them(word: str, count: int) -> None:
    """Words of the card, as any dictionary divides them; figures digit by digit."""
    assert syllables_n(word) == count


@BY_NAME
def test_a_tired_driver_can_read_it(path: Path) -> None:
    """Flesch-Kincaid grade of all sentences of the card; no word of ours that a driver can't know."""
    said = " ".join(sentence.text for sentence in card_facts(example(path)).sentences)

    assert grade_of(said) <= MOST_GRADE
    assert not re.search(r"\b(rank|function|head|situation|stopped by|active|held off)\b", said)


@pytest.mark.parametrize("size", ["a4", "us-letter"])
@BY_NAME
def test_one_side_of_the_sheet(path: Path, size: CardSize) -> None:
    """ISO 216 A4 210 x 297 mm; ASME Y14.1 letter 8.5 x 11 in. Every example goes on one side."""
    with pdfplumber.open(io.BytesIO(example_card(path, size))) as book:
        assert len(book.pages) == 1
        assert (float(book.pages[0].width), float(book.pages[0].height)) == pytest.approx(PAGES_PT[size], abs=0.1)
        sizes = Counter(round(char["size"], 1) for char in book.pages[0].chars)
    assert sizes.most_common(1)[0][0] >= min(SIZES_PT)


# ---------------------------------------------------------------------------------------------------------------- case
@BY_NAME
def test_every_sentence_stands_on_it(path: Path) -> None:
    """Case: nothing is left out to make it fit."""
    facts = card_facts(example(path))
    text = text_of(example_card(path))
    text = text.replace("\u00a0", " ")

    for sentence in facts.sentences:
        said = re.sub("[\ue000\ue001]", "", sentence.text)
        assert said in text or re.sub(r"\s", "", said) in re.sub(r"\s", "", text), said
    for entry in (*facts.entries, *facts.messages):
        assert re.sub(r"\s", "", entry.title) in re.sub(r"\s", "", text)


def test_revision_digest_page_and_cautions() -> None:
    """Case: which build it is of, and what can hurt someone."""
    text = text_of(operator_card(verdict()))

    for word in ("Q-0417", "revision", "digest 5ad9f1a64c0b", "page 1 of 1", "Operator card"):
        assert word in text
    for caution in cautions_of("paper", "operator-card"):
        assert caution.title in text
    assert ESTIMATE in text
    assert {each.name for each in cautions_of("paper", "operator-card")} == {"glare", "hearing", "colours"}


def test_what_is_not_proved_stands_at_its_head() -> None:
    """Case: a broken promise, findings that stop delivery, and a build without promises."""
    inputs, heads = [toggle("a")], ["h"]
    functions = [function("f", "warn", "a", show=show("h", red="single"))]
    named_job = job_model().job
    broken = build(
        inputs=inputs, heads=heads, functions=functions, promises=[{"name": "calm", "never": "h red flashing"}]
    )
    kept = build(
        inputs=inputs, heads=heads, functions=functions, promises=[{"name": "calm", "never": "h white flashing"}]
    )
    none = build(inputs=inputs, heads=heads, functions=functions)
    said = [text_of(card(replace(model, job=named_job))) for model in (broken, kept, none)]

    assert "Draft. Not proved: calm (broken)." in said[0]
    assert "Every promise of this build is proved." in said[1]
    assert "nothing about it is proved" in said[2]
    assert "Draft. 2 findings stop delivery." in text_of(card(replace(kept, job=named_job), errors_n=2))


def test_it_says_which_vehicles_it_is_for() -> None:
    """Case: of a job whose vehicles differ, the base names the others, and a vehicle's own card its name."""
    path = next(each for each in EXAMPLES if each.parent.name == "quillback")
    own = load_build(path, serial=3).model
    assert own is not None

    assert "C-3 and C-5 are built otherwise: own cards." in text_of(example_card(path))
    assert "For vehicle C-3 only." in text_of(card(own))


def test_too_much_for_one_side_goes_on_and_says_so() -> None:
    """Case: a build of very many switches takes two sides; both say so, and no switch is left out."""
    positions = [f"setting-{number}" for number in range(12)]
    inputs = [pick_one(f"chooser-{number}", "none", *positions) for number in range(14)]
    functions = [
        function(f"f{number}", "warn", by=item.name, one_level=True,
                 levels={position: [show(f"h{number}", red="single")] for position in positions})
        for number, item in enumerate(inputs)
    ]  # fmt: skip
    inputs = [*inputs, *(toggle(f"spare-{number}") for number in range(220))]
    model = build(inputs=inputs, heads=[f"h{number}" for number in range(14)], functions=functions)
    pdf = card(replace(model, job=job_model().job))
    text = text_of(pdf)

    assert "More than one side" in text
    with pdfplumber.open(io.BytesIO(pdf)) as book:
        assert len(book.pages) > 1
    for number in range(220):
        assert f"Spare {number}" in text


def test_what_could_not_be_read_has_no_card(tmp_path: Path) -> None:
    """Case: a plain error."""
    (tmp_path / "build.yaml").write_text("coachwright: 1\njob: {name: x}\nvehicle: {body: nothing}\n")
    with pytest.raises(PaperNotMade, match="no operator card"):
        operator_card(check(tmp_path / "build.yaml"))


# ----------------------------------------------------------------------------------------------------------------- law
@BY_NAME
def test_same_build_same_bytes(path: Path) -> None:
    """Law: no clock and no machine in it."""
    assert card(example(path)) == example_card(path)


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_stay_words_on_the_page(words: str) -> None:
    """Law: what somebody wrote is printed, never run; it breaks no page and leaves none."""
    small = build(
        inputs=[toggle("a"), on_off("brake")],
        heads=["h"],
        functions=[function("f", "warn", "a", show=show("h", red="single"))],
        messages=[message("said", "brake")],
    )
    model = named(replace(small, job=job_model().job), words)
    with pdfplumber.open(io.BytesIO(card(model))) as book:
        for page in book.pages:
            letters = [char for char in page.chars if char["text"].strip()]
            assert letters
            assert min(char["x0"] for char in letters) > 20
            assert max(char["x1"] for char in letters) < page.width - 20
            assert max(char["bottom"] for char in letters) < page.height - 10


@BY_NAME
def test_no_letter_lies_on_another(path: Path) -> None:
    """Law, letter by letter: no two share their middle, and the columns keep apart."""
    with pdfplumber.open(io.BytesIO(example_card(path))) as book:
        letters = [char for char in book.pages[0].chars if char["text"].strip()]
    places = Counter(
        (round((char["x0"] + char["x1"]) / 2), round((char["top"] + char["bottom"]) / 2)) for char in letters
    )

    assert [place for place, count in places.items() if count > 1] == []
