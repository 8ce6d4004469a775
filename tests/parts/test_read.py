"""What does one part file say, and what is wrong with it, at which line?"""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.finding import Finding
from coachwright.parts.read import MOST_CHARACTERS, read_part
from coachwright.parts.schema import KINDS, LampPart
from coachwright.parts.store import load_catalogue

LAMP = """\
kind: lamp
name: corner-lamp
title: Corner lamp
figures: {source: "sheet 12 of an invented maker", date: 2026-03-01, status: draft, invented: yes}
test-voltage: 12.8 V
least-voltage: 9 V
most-voltage: 16 V
width: 132 mm
height: 1 1/2 in
depth: 24 mm
heads:
  - offset: 30 mm
    colours:
      red: {flux: 260 lm, current: 0.75 A, beam: {shape: bell, half-width: 25 deg, half-height: 8 deg}}
  - offset: -30 mm
    colours:
      red: {flux: 260 lm, current: 0.75 A, beam: {shape: bell, half-width: 25 deg, half-height: 8 deg}}
"""


def told(text: str) -> list[tuple[str, int, int]]:
    """Code, line and column of each finding."""
    return [(each.code, each.where[0].line, each.where[0].column) for each in read_part(text, file="x.yaml").findings]


def only(text: str) -> Finding:
    """The one finding there is."""
    (finding,) = read_part(text, file="x.yaml").findings
    return finding


def test_quantities_become_si() -> None:
    """1 1/2 in is 38.1 mm (25.4 mm each, international yard and pound agreement of 1959); 25 deg is 0.43633 rad."""
    part = read_part(LAMP, file="x.yaml").part

    assert isinstance(part, LampPart)
    assert part.height == pytest.approx(0.0381)
    beam = part.heads[0].colours["red"].beam
    assert beam is not None
    assert beam.half_width == pytest.approx(0.436332, abs=1e-6)
    assert part.figures.invented
    assert part.heads[1].offset == pytest.approx(-0.03)


def test_heads_take_the_colours_of_their_lamp() -> None:
    """A bar of eight equal heads says their colours once."""
    shared = LAMP[: LAMP.index("heads:")] + (
        "colours: {red: {flux: 260 lm, current: 0.75 A, beam: {shape: cosine}}}\n"
        "heads: [{offset: 30 mm}, {offset: -30 mm}]\n"
    )
    part = read_part(shared, file="x.yaml").part

    assert isinstance(part, LampPart)
    assert [head.colours["red"].flux for head in part.heads] == [260.0, 260.0]


@pytest.mark.parametrize(
    ("was", "now", "code", "line", "column", "words"),
    [
        ("kind: lamp", "kind: lmap", "PRT-008", 1, 7, "lamp"),
        ("kind: lamp\n", "", "PRT-008", 1, 1, "kind"),
        ("name: corner-lamp", "name: Corner Lamp", "BLD-008", 2, 7, "hyphens"),
        ("title: Corner lamp\n", "", "PRT-010", 1, 1, "title is missing"),
        ("12.8 V", "12.8", "BLD-004", 5, 15, "V"),
        ("date: 2026-03-01", "date: March 2026", "PRT-022", 4, 58, "2026-11-25"),
        ("date: 2026-03-01", "date: 2026-02-30", "PRT-022", 4, 58, "calendar"),
        ("status: draft", "status: sure", "PRT-011", 4, 78, "house"),
        ("status: draft", "status: read", "PRT-042", 4, 78, "made up"),
        ('"sheet 12 of an invented maker"', '" "', "PRT-041", 4, 19, "source"),
        ("depth: 24 mm", "dept: 24 mm\ndepth: 24 mm", "PRT-009", 10, 1, "depth"),
        ("least-voltage: 9 V", "least-voltage: 13 V", "PRT-032", 6, 16, "12.8"),
        ("most-voltage: 16 V", "most-voltage: 12 V", "PRT-032", 6, 16, "12.8"),
        ("depth: 24 mm", "depth: 0 mm", "PRT-043", 10, 8, "above nothing"),
        ("offset: -30 mm", "offset: -80 mm", "PRT-044", 15, 13, "132 mm"),
        ("offset: -30 mm", "offset: 40 mm", "PRT-031", 15, 5, "left of head 1"),
        ("offset: -30 mm", "offset: 30 mm", "PRT-031", 15, 5, "one spot"),
        ("      red: {flux: 260 lm", "      pink: {flux: 260 lm", "PRT-011", 14, 7, "amber"),
    ],
)
def test_each_slip_is_told_at_its_place(*, was: str, now: str, code: str, line: int, column: int, words: str) -> None:
    """Law: one slip, one finding, at the line and column where it was made, with what to write."""
    assert LAMP.count(was) >= 1
    finding = only(LAMP.replace(was, now, 1))
    told_text = f"{finding.values.get('why', '')} {finding.fix.sentence if finding.fix else ''}"

    assert (finding.code, finding.where[0].line, finding.where[0].column) == (code, line, column)
    assert words in told_text
    assert finding.severity == "error"


@pytest.mark.parametrize(
    ("beam", "code"),
    [
        ("{shape: bell, half-width: 0 deg, half-height: 8 deg}", "PRT-033"),
        ("{shape: bell, half-width: 25 deg, half-height: 95 deg}", "PRT-033"),
        ("{shape: flat, half-width: 25 deg, half-height: 8 deg}", "PRT-033"),
        ("{shape: flat, half-width: 25 deg, half-height: 8 deg, shoulder: 17 deg}", "PRT-033"),
        ("{shape: cosine, power: 0}", "PRT-033"),
        ("{shape: cosine, power: nan}", "PRT-021"),
        ("{shape: cosine, power: 1e9}", "PRT-021"),
        ("{shape: ball}", "PRT-011"),
    ],
)
def test_a_beam_no_lamp_has_is_refused(beam: str, code: str) -> None:
    """A beam is wider than nothing, its shoulder fits it, its power is a number."""
    text = LAMP.replace("{shape: bell, half-width: 25 deg, half-height: 8 deg}", beam, 1)

    assert [each[:2] for each in told(text)] == [(code, 14)]


@pytest.mark.parametrize(
    ("x", "y", "good"), [("0.7", "0.29", True), ("0", "0", True), ("0.7", "0.4", False), ("0.7", "0", False)]
)
def test_chromaticity_lies_in_the_diagram(x: str, y: str, good: bool) -> None:
    """x, y and z = 1 - x - y are shares, so none is below 0 (CIE 1931 colour space, CIE 015)."""
    text = LAMP.replace("half-height: 8 deg}}", f"half-height: 8 deg}}, x: {x}, y: {y}}}", 1)

    assert [each[0] for each in told(text)] == ([] if good else ["PRT-034"])


def test_all_slips_of_a_stage_are_told_at_once() -> None:
    """Law: who mends a file mends it in one go."""
    text = LAMP.replace("12.8 V", "12.8").replace("24 mm", "24 kg").replace("title:", "titel:")

    assert sorted({each[1] for each in told(text)}) == [1, 3, 5, 10]


def test_a_comma_in_braces_is_explained() -> None:
    """In {note: red, white} the text ends at the comma; the finding says to put it in quotes."""
    finding = only(LAMP.replace("invented: yes}", "invented: yes, clause: page 3, lower half}"))

    assert finding.code == "PRT-009"
    assert finding.fix is not None
    assert "quotes" in finding.fix.sentence


def test_a_file_of_monstrous_length_is_not_read() -> None:
    """The door has a size."""
    assert only("#" * (MOST_CHARACTERS + 1)).code == "PRT-001"


@pytest.mark.parametrize(
    "text", ["", "just words", "[1, 2]", "kind: {a: b}", "kind: [lamp]", "\x00", "kind: lamp", "{", "a: b: c"]
)
def test_what_is_no_part_file_gets_a_clear_answer(text: str) -> None:
    """Each has at least one finding with a place and a sentence."""
    read = read_part(text, file="x.yaml")

    assert read.part is None
    assert read.findings
    assert all(each.where and any(str(value).strip() for value in each.values.values()) for each in read.findings)


PIECES = st.sampled_from(
    [
        *re.findall(r"\S+\s*", LAMP),
        "&a ",
        "*a ",
        "!!int ",
        "\t",
        "- ",
        "? ",
        "{",
        "}",
        "]",
        "|\n",
        "\u2028",
        "-1 mm",
        "1e999 V",
    ]
)


@given(st.lists(PIECES, max_size=60))
def test_any_heap_of_words_is_read_or_refused_in_words(pieces: list[str]) -> None:
    """Fuzz: no text makes the door fall over, and what can't be read says why."""
    read = read_part("".join(pieces), file="x.yaml")

    assert (read.part is None) == bool(read.findings)


@given(st.integers(0, len(LAMP)), st.integers(0, 40), st.text(max_size=12))
def test_any_damage_to_a_good_file_is_survived(start: int, length: int, put: str) -> None:
    """Fuzz: cut a piece out of a good file and put anything there."""
    read = read_part(LAMP[:start] + put + LAMP[start + length :], file="x.yaml")

    assert (read.part is None) == bool(read.findings)
    assert all(each.where[0].line >= 1 for each in read.findings)


@pytest.mark.parametrize("name", load_catalogue().names())
def test_every_part_of_ours_reads_and_says_it_is_invented(name: str) -> None:
    """House: no number without a source and a day; ours are made up and say so."""
    entry = load_catalogue().entries[name]
    read = entry.read()

    assert read.findings == ()
    assert read.part is not None
    assert read.part.name == name
    assert read.part.figures.invented
    assert "invented for demonstration" in read.part.figures.source
    assert isinstance(read.part, KINDS[entry.kind])


@pytest.mark.parametrize("name", load_catalogue().names())
def test_names_are_plain_words(name: str) -> None:
    """House: words, counts and units; no model code, no tier, no bare number in front."""
    assert re.fullmatch(r"[a-z]+(-[a-z]+|-[0-9]+[a-z]*)*", name)
    assert not {"pro", "plus", "max", "ultra", "elite", "lite"} & set(name.split("-"))


def test_the_recipe_s_place_is_one_of_the_pickup() -> None:
    """Docs: the place docs/how-to-add-a-place.md shows is read in the place of the pickup's own."""
    page = (Path(__file__).parents[2] / "docs" / "how-to-add-a-place.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```yaml\nplaces:\n(.*?)```", page, re.DOTALL)
    text = load_catalogue().entries["crew-cab-pickup-with-cap"].text
    replaced = re.sub(r"  bumper-corner: .*\n", lambda _: example, text, count=1)

    assert replaced != text
    assert read_part(replaced, file="x.yaml").findings == ()
