"""What was written, item by item; what was read before is not read again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build import written
from coachwright.build.written import WrittenBuild, read_written
from coachwright.kit.nodes import read_nodes
from tests.build import small


def read(text: str) -> WrittenBuild:
    """Both stages."""
    return read_written(read_nodes(text, file="a.yaml"))


@pytest.fixture
def validated(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names the sections whose items are really read from now on."""
    read_now: list[str] = []
    real = written._validated

    def watched(section: written.Section, item: object) -> object:
        read_now.append(section.name)
        return real(section, item)

    monkeypatch.setattr(written, "_validated", watched)
    return read_now


def test_one_edit_reads_one_item(validated: list[str]) -> None:
    """Case: of all named items only the edited one is read again, wherever it stands now."""
    read(small.whole())
    validated.clear()
    edited = read("# moved\n\n" + small.whole().replace("pair: mirrored}", "pair: mirrored, aim: 5 deg}", 1))

    assert [name for name in validated if name not in ("coachwright", "job", "vehicle")] == ["lamps"]
    assert edited.troubles == ()
    assert edited.items("lamps")["grille"].aim == pytest.approx(0.0872665)


def test_a_remembered_fault_is_told_at_its_new_place() -> None:
    """Case: the same item under another name has the same fault there."""
    fault = "{part: short-red, at: grille, pare: mirrored}"
    first = read(small.whole(lamps=f"lamps:\n  a: {fault}"))
    again = read(small.whole(lamps=f"lamps:\n  b: {fault}"))

    assert [each.path for each in first.troubles] == [("lamps", "a", "pare")]
    assert [each.path for each in again.troubles] == [("lamps", "b", "pare")]


def test_what_is_remembered_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: the memory of items is bounded."""
    monkeypatch.setattr(written, "_MOST_REMEMBERED", 10)
    for number in range(30):
        read(small.whole(count=f"count: {number + 1}", words=f"words:\n  a: brake held {number + 1} s"))

    assert len(written._remembered) <= 60  # one reading may put in as many items as it has


def test_what_can_not_be_read_is_lost_by_name() -> None:
    """Case: single items, whole sections, and what the text stage left out."""
    found = read(
        small.whole(lamps="lamps:\n  a: {}\n  b: {x: [}\n  c: {part: short-red, at: grille}", words="words: 5")
    )

    assert found.lost.of("lamps") == {"a", "b"}
    assert set(found.items("lamps")) == {"c"}
    assert found.lost.any_of("words")
    assert not found.lost.any_of("lamps", "controls")


@given(st.permutations(list(small.BASE)))
def test_sections_come_in_any_order(order: list[str]) -> None:
    """Law: the same items, whatever stands first."""
    found = read("\n".join(small.BASE[name] for name in order))

    assert found.troubles == ()
    assert found.entries == read(small.whole()).entries
