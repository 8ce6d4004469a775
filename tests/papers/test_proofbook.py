"""The proof book, read back."""

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest

from coachwright.build.load import load_build
from coachwright.build.model import LawAnswer, Model
from coachwright.kit.wave import WaveTooLong
from coachwright.look.cautions import CAUTIONS, ESTIMATE, cautions_of
from coachwright.look.cells import limit_cell, margin_cell, worst_cell
from coachwright.look.style import state_look
from coachwright.papers.drawings import drawings
from coachwright.papers.light_and_time import Asked, NoAnswer, situation_page
from coachwright.papers.operator import operator_card
from coachwright.papers.proofbook import proof_book, proof_book_data
from coachwright.papers.registry import PAPERS
from coachwright.papers.seen import what_is_seen
from tests.draw.made import LAMPS, job_model
from tests.papers.made import BY_HAND, LINE_OF_GRILLE, LINE_OF_TAIL, verdict

HOSTILE = [
    "<script>alert(1)</script>",
    '#panic("x") #sys.inputs $sum$ @ref `raw` *b* _i_ [c] \\ // /* */',
    "\"quotes\" 'and' \u201cmore\u201d",
    "= Heading",
    "#" * 2000,
    "a" * 2000,
    "-" * 500,
    "\u202eabc\x00\n\t\x1b[31m",
    "日本語 عربى 🚒",
    "${x} {{y}} %s",
]
A4_PT = (595.28, 841.89)


@cache
def book() -> bytes:
    return proof_book(verdict(), asked=BY_HAND)


@cache
def text_of(pdf: bytes) -> str:
    """All words of the book, breaks of long words taken out."""
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return " ".join(re.sub(r"\s+", " ", page.replace("\u200b", "")) for page in pages)


def test_every_rule_stands_there_with_state_value_limit_and_line() -> None:
    """Law of the house: all are printed; silence is not a pass."""
    said = text_of(book())
    for judgement in verdict().judgements:
        look = state_look(judgement.state, judgement.would)
        assert judgement.rule.code in said
        assert judgement.rule.name in said
        row = said[said.index(judgement.rule.code, said.rindex("Every rule judged")) :][:600]
        assert f"{look.sign} {look.word}" in row or f"{look.sign}{look.word}" in row, judgement.rule.code
        assert limit_cell(judgement.rule).text in row
        if judgement.measure is not None and judgement.measure.value is not None:
            assert worst_cell(judgement).text in row
            assert margin_cell(judgement).text in row
            assert (LINE_OF_TAIL if judgement.about == "lamps.tail" else LINE_OF_GRILLE) in row


def test_a_draft_is_in_brackets_and_never_green() -> None:
    """Law of the house: a draft passes nothing and is shown in brackets with what it would have been."""
    said = text_of(book())

    assert "(would fail)" in said
    assert "(would pass)" in said
    assert worst_cell(next(each for each in verdict().judgements if each.state == "draft")).text.startswith("(")
    assert "2 are drafts and pass nothing (1 would fail)" in said


def test_the_answer_stands_first() -> None:
    """Case: the cover says whether it can be delivered and how the rules stand, before anything else."""
    cover = pypdf.PdfReader(io.BytesIO(book())).pages[0].extract_text()

    assert cover.index("1 finding stops delivery.") < cover.index("Revision")
    assert "1 check passes, 1 near, 1 fails, 1 waived" in " ".join(cover.split())
    assert ESTIMATE.split(".")[0] in " ".join(cover.split())


def test_revision_digest_and_page_number_are_on_every_page() -> None:
    """Case: a loose page still says which vehicle and which text it belongs to."""
    pages = [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(book())).pages]
    for number, page in enumerate(pages, start=1):
        assert "revision B" in page
        assert f"digest {verdict().digest[:12]}" in page
        assert f"page {number} of {len(pages)}" in page


def test_findings_have_their_place_waivers_their_giver_and_invented_parts_their_mark() -> None:
    """Case."""
    said = text_of(book())

    assert "build.yaml:5:11" in said
    assert "Slide goes to full." in said
    assert "A. Foreman" in said
    assert "2027-06-30" in said
    assert "in use" in said
    assert said.count("invented for demonstration") >= len({lamp[1] for lamp in LAMPS})
    assert "red forward" in said
    assert "letter of the state police on file" in said


def test_every_lamp_situation_and_view_is_in_the_book() -> None:
    """Case: nothing of the model is lost on the way to paper."""
    said = text_of(book())
    for head in job_model().heads:
        assert head.id in said
    for words in (
        "Plan, nose to the left",
        "Left side",
        "Right side",
        "Front",
        "Rear",
        "answering",
        "on-scene",
        "A front",
        "0 ms",
    ):
        assert words in said


def test_same_verdict_same_bytes() -> None:
    """Law: dates come from the verdict, never from the clock."""
    assert proof_book(verdict(), asked=BY_HAND) == book()


def test_the_day_it_is_leaves_no_trace() -> None:
    """Law: dates come from the job, never from the clock."""
    assert proof_book(verdict(judged_on="2031-01-02"), asked=BY_HAND) == book()


def test_every_caution_stands_in_the_papers_it_must_stand_in() -> None:
    """Law of the house: one table says where each caution must appear."""
    made = {
        "proof-book": text_of(book()),
        "drawings": text_of(drawings(job_model())),
        "operator-card": text_of(operator_card(verdict())),
        "what-is-seen": text_of(what_is_seen(verdict())),
    }
    assert made.keys() == PAPERS.keys()
    for name, said in made.items():
        assert cautions_of("paper", name)
        for caution in cautions_of("paper", name):
            assert caution.title in said
            assert caution.text in said
            assert caution.defers in said
    assert all(caution.papers for caution in CAUTIONS)


def test_no_letter_outside_the_page_and_none_on_another() -> None:
    """Law, letter by letter: everything lies inside the margins, and no two letters share their middle."""
    with pdfplumber.open(io.BytesIO(book())) as pdf:
        for page in pdf.pages:
            letters = _letters(page)
            assert letters
            assert min(char["x0"] for char in letters) > 20, page.page_number
            assert max(char["x1"] for char in letters) < page.width - 20, page.page_number
            assert min(char["top"] for char in letters) > 15, page.page_number
            assert max(char["bottom"] for char in letters) < page.height - 15, page.page_number
            assert _colliding(letters) == [], page.page_number


@pytest.mark.parametrize("group", [HOSTILE[:3], HOSTILE[3:6], HOSTILE[6:]])
def test_hostile_words_break_no_paper_and_are_never_executed(group: list[str]) -> None:
    """Law: a name is text in every place it can stand; markup in it is printed, letter by letter."""
    model = job_model(LAMPS[:2])
    first = group[0]
    job = replace(model.job, name=first, customer=first, number=first, revision="B", due=first, law_place=first)
    job = replace(job, law=tuple(LawAnswer(said, said, said, "job.law.x") for said in group))
    one = model.situations[0]
    situations = (replace(one, name=first, stands_for=first, settings=tuple((said, said) for said in group)),)
    waivers = tuple(replace(model.waivers[0], by=said, why=said, about=said) for said in group)
    hostile = replace(model, job=job, situations=situations, waivers=waivers)
    made = verdict()
    findings = tuple(replace(made.findings[0], template="{x}", values={"x": said}, about=said) for said in group)
    pdf = proof_book(replace(made, model=hostile, findings=findings, file=first), asked=BY_HAND)
    read = re.sub(r"\s", "", text_of(pdf))

    for said in group:
        if said.isascii() and said.isprintable() and len(said) < 200:
            assert re.sub(r"\s", "", said) in read
    with pdfplumber.open(io.BytesIO(pdf)) as pages:
        for page in pages.pages:
            letters = _letters(page)
            assert max(char["x1"] for char in letters) < page.width - 18, page.page_number
            assert max(char["bottom"] for char in letters) < page.height - 15, page.page_number
    assert "/JavaScript" not in repr(pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"])


@pytest.mark.parametrize(
    ("error", "reason"),
    [
        (NoAnswer("the light of this lamp is not in its sheet"), "the light of this lamp is not in its sheet."),
        (WaveTooLong("repeats only after 700 s"), "repeats only after 700 s."),
        (KeyError("x"), "KeyError: 'x'; this is a fault of the program, not of the build."),
    ],
)
def test_a_room_without_answer_says_why(error: Exception, reason: str) -> None:
    """Case: what can't be drawn is said on its page, never left out; the rest is drawn."""

    def broken(model: Model, situation: str) -> Any:
        raise error

    model = job_model(LAMPS[:1])
    page = situation_page(model, model.situations[0], Asked(BY_HAND.waves, broken))

    assert page["no-light"] == f"Light is not drawn: {reason}"
    assert page["roses"] == []
    assert page["strips"]
    assert "not drawn" in text_of(proof_book(verdict(model), asked=Asked(broken, BY_HAND.curves)))


def test_a_build_that_cannot_be_read_still_gives_a_book() -> None:
    """Case: no model; the findings are printed, nothing is drawn."""
    made = verdict()
    unread = replace(
        made,
        model=None,
        judgements=(),
        packs=(),
        waived=(),
        exit_code=2,
        counts=replace(made.counts, states=dict.fromkeys(made.counts.states, 0), by_status={}, draft_would={}),
    )
    said = text_of(proof_book(unread))

    assert "nothing was judged" in said
    assert "build.yaml:5:11" in said


def _letters(page: Any) -> list[dict[str, Any]]:
    """What is seen of a page; a space or a break that hangs over the end of a line is not."""
    return [char for char in page.chars if char["text"].strip("\u200b \t\n")]


def _colliding(letters: list[dict[str, Any]]) -> list[str]:
    """Letters whose middles lie inside one another's middle half."""
    ordered = sorted(letters, key=lambda char: char["x0"])
    found = []
    for place, one in enumerate(ordered):
        for other in ordered[place + 1 :]:
            if other["x0"] > one["x1"]:
                break
            across = min(one["x1"], other["x1"]) - other["x0"]
            down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            narrow = min(one["x1"] - one["x0"], other["x1"] - other["x0"])
            low = min(one["bottom"] - one["top"], other["bottom"] - other["top"])
            if across > 0.5 * narrow and down > 0.5 * low:
                found.append(one["text"] + other["text"])
    return found


def test_drawings_measure_to_scale_in_the_book_itself() -> None:
    """Wheelbase of the body: 3,680 mm; over the scale the page names, the line is as long (72 pt to the inch)."""
    with pdfplumber.open(io.BytesIO(book())) as pdf:
        page = next(page for page in pdf.pages if "wheelbase" in (page.extract_text() or ""))
        named = re.search(r"scale 1 : (\d+) on A4", page.extract_text())
        assert named is not None
        wanted_pt = 3680 / int(named[1]) / 25.4 * 72
        level = [abs(line["x1"] - line["x0"]) for line in page.lines if abs(line["top"] - line["bottom"]) < 0.01]

    assert min(abs(length - wanted_pt) for length in level) < 0.05


def test_supply_and_wires_have_a_chapter_or_say_why_not() -> None:
    """Case: of an example every sheet stands in the book; where situations can't be set it says why there is none."""
    path = Path(__file__).parents[2] / "examples" / "volunteer-car" / "build.yaml"
    whole = replace(verdict(), model=load_build(path).model, judgements=())
    power = proof_book_data(whole, asked=BY_HAND)["power"]
    titles = {each["title"] for each in power["plates"]}

    assert power["why"] == ""
    assert {"One-line diagram of supply", "Harness in plan", "Cut list", "Current by situation and feed"} <= titles
    assert {"Supply voltage while it flashes", "Energy over the duty day", "Fuse against current and wire"} <= titles
    assert "Supply and wires are not drawn: " in text_of(book())
