"""Elements, escapes, hatches."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import COLOURS
from coachwright.draw.svg import drawing, element, escaped, hatch_name, number, text, written

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "<script>alert(1)</script>",
    "\"><image href='x'/>",
    "&amp;&lt;",
    "]]>",
    "#panic() $x$ @y `z`",
    "\x00\x1b[31m\ud800",
    "a" * 2000,
]


@pytest.mark.parametrize("said", HOSTILE)
def test_hostile_text_stays_text(said: str) -> None:
    """Law: whatever a name holds, the drawing has one text element and nothing else came of it."""
    made = drawing([text((1, 2), said, size_pt=7, ink="#000000")], width_mm=10, height_mm=10, title=said)
    top = ET.fromstring(made)

    assert [each.tag for each in top] == [f"{SVG}title", f"{SVG}defs", f"{SVG}text"]
    assert len(list(top.iter(f"{SVG}script"))) == 0
    if said.isprintable():
        assert top[2].text == said


@given(st.text(max_size=200))
def test_any_text_and_attribute_is_well_formed(said: str) -> None:
    """Law: also where XML has no way to say a character (XML 1.0, 2.2 Characters)."""
    read = ET.fromstring(written(element("a", said or "x", title=said)))

    assert (read.text or "").replace("\r\n", "\n").replace("\r", "\n") == (
        "x"
        if not said
        else "".join(c if escaped(c) != "\ufffd" else "\ufffd" for c in said).replace("\r\n", "\n").replace("\r", "\n")
    )


@pytest.mark.parametrize(
    ("value", "said"), [(0.0, "0"), (-0.0001, "0"), (12.0, "12"), (1.23456, "1.235"), (100.0, "100"), (-2.5, "-2.5")]
)
def test_numbers_are_rounded_to_a_thousandth_of_a_millimetre(value: float, said: str) -> None:
    """Fact of this file: so that the same drawing has the same text on every machine."""
    assert number(value) == said


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_has_no_place_on_paper_is_refused(value: float) -> None:
    """Law: a picture never holds a number that isn't one."""
    with pytest.raises(ValueError, match="no place on paper"):
        number(value)


def test_every_colour_has_the_hatch_of_heraldic_convention() -> None:
    """Petra Sancta: gules (red) upright, azure (blue) level, or (gold) dotted, argent plain, vert slanted."""
    top = ET.fromstring(drawing([], width_mm=1, height_mm=1, title="t"))
    patterns = {each.get("id"): each for each in top.iter(f"{SVG}pattern")}

    assert set(patterns) == {hatch_name(colour) for colour in COLOURS}
    paths = {name: [each.get("d", "") for each in pattern.iter(f"{SVG}path")] for name, pattern in patterns.items()}
    assert all("V" in d and "H" not in d for d in paths["hatch-red"])
    assert paths["hatch-red"]
    assert all("H" in d and "V" not in d for d in paths["hatch-blue"])
    assert paths["hatch-blue"]
    assert len(list(patterns["hatch-amber"].iter(f"{SVG}circle"))) > 1
    assert paths["hatch-white"] == []
    assert not list(patterns["hatch-white"].iter(f"{SVG}circle"))
    assert all("L" in d for d in paths["hatch-green"])
    assert paths["hatch-green"]
