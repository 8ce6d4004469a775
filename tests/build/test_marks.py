"""Findings of any room get their place from what they are about."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.marks import mark_findings
from coachwright.kit.finding import Finding
from coachwright.kit.mark import Mark
from coachwright.kit.nodes import read_nodes
from tests.build import small

DOCUMENT = read_nodes(small.whole(), file="build.yaml")


def placed(about: str) -> str:
    """The text at the mark of a finding."""
    (finding,) = mark_findings([Finding("LGT-001", "too-dim", "error", "It is.", about=about)], DOCUMENT)
    mark = finding.where[0]
    return DOCUMENT.text[mark.start : mark.end]


@pytest.mark.parametrize(
    ("about", "text"),
    [
        ("lamps.tail.part", "short-red-amber"),
        ("lamps.tail", "{part: short-red-amber, at: tail, pair: mirrored}"),
        ("functions.warning", "warning"),
        ("functions.warning.levels.low.1.red", "double sides"),
        ("functions.turn-shows.show.1.amber", "follow turn-left"),
        ("lamps.tail.aim", "tail"),
        ("signals.gear", "signals"),
    ],
)
def test_where_a_finding_stands(about: str, text: str) -> None:
    """Case: the value; the name where an entry goes over several lines, and where only a parent was written."""
    assert placed(about) == text


def test_a_finding_about_nothing_written_stands_at_the_top() -> None:
    """Case: the whole file, and a section that isn't there."""
    for about in ("", "serials.4"):
        (finding,) = mark_findings([Finding("VER-001", "x", "error", "It is.", about=about)], DOCUMENT)
        assert (finding.where[0].line, finding.where[0].column) == (1, 1)


def test_marks_that_are_there_stay() -> None:
    """Case: who knows the place better keeps it."""
    mark = Mark("other.yaml", 7, 3)
    (finding,) = mark_findings([Finding("A-001", "x", "error", "It is.", about="lamps").at(mark)], DOCUMENT)

    assert finding.where == (mark,)


@given(st.lists(st.sampled_from(["lamps", "tail", "at", "1", "x", "functions", "warning", "é"]), max_size=6))
def test_every_path_has_a_place(pieces: list[str]) -> None:
    """Law: one mark each, inside the text, in the order given."""
    given_findings = [
        Finding("A-001", "x", "error", "It is.", about=".".join(pieces[:n])) for n in range(len(pieces) + 1)
    ]
    marked = mark_findings(given_findings, DOCUMENT)

    assert [each.about for each in marked] == [each.about for each in given_findings]
    assert all(0 <= each.where[0].start <= each.where[0].end <= len(DOCUMENT.text) for each in marked)
