"""Mends are made one by one, each proven; the file is only written over what was read, and the last mend comes back."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.mend import forget_undo, mended, undo_path, undone, write_mended
from coachwright.kit.errors import EditRefused
from coachwright.kit.finding import Edit, Finding, Fix
from tests.build import small

CATALOGUE = small.small_catalogue()
ODD = small.whole(groups="groups:\n  front: [grile, bar]   # as drawn\n  rear: [tial, rear-bar]")


def look(text: str) -> tuple[Finding, ...]:
    """What the file door finds."""
    return read_build(text, catalogue=CATALOGUE).findings


def test_all_of_one_code_are_mended_and_nothing_else_is_touched() -> None:
    """Case: two names; comments and spaces stay."""
    result = mended(ODD, look, code="BLD-055", kinds=["ask"])

    assert result.text == ODD.replace("grile", "grille").replace("tial", "tail")
    assert [step.finding.about for step in result.steps] == ["groups.front.1", "groups.rear.1"]
    assert (result.held_back, result.without) == ((), ())


def test_only_those_at_a_path() -> None:
    """Case: --at keeps to one branch."""
    assert mended(ODD, look, code="BLD-055", at="groups.rear", kinds=["ask"]).text == ODD.replace("tial", "tail")
    assert mended(ODD, look, code="BLD-055", at="groups.re", kinds=["ask"]).steps == ()


def test_a_kind_that_is_not_allowed_is_held_back() -> None:
    """Case: what is to be asked for is not made with the safe ones."""
    result = mended(ODD, look, code="BLD-055", kinds=["safe"])

    assert result.text == ODD
    assert [why for _, why in result.held_back] == ["", ""]


def test_a_mend_that_makes_it_worse_is_not_made() -> None:
    """Law: an edit is only as good as what is found after it."""
    good = Finding(
        "BLD-901", "odd", "error", "{why}", {"why": "odd"}, about="a", fix=Fix("x", (Edit("a", "2"),), "safe")
    )
    worse = Finding("BLD-902", "worse", "error", "{why}", {"why": "worse"}, about="a")

    def judge(text: str) -> tuple[Finding, ...]:
        return (good,) if "a: 1" in text else (worse,)

    result = mended("a: 1\n", judge, code="BLD-901", kinds=["safe"])
    assert result.text == "a: 1\n"
    assert [why for _, why in result.held_back] == ["It would bring BLD-902 worse there."]
    stays = mended("a: 1\n", lambda _: (good,), code="BLD-901", kinds=["safe"])
    assert [why for _, why in stays.held_back] == ["It would still be found."]


def test_an_edit_that_cannot_be_made_is_held_back() -> None:
    """Case: a path that isn't there is told, not raised."""
    odd = Finding(
        "BLD-901", "odd", "error", "{why}", {"why": "odd"}, about="a", fix=Fix("x", (Edit("b.c.d", None),), "safe")
    )
    result = mended("a: 1\n", lambda _: (odd,), code="BLD-901", kinds=["safe"])

    assert result.text == "a: 1\n"
    assert "isn't in the file" in result.held_back[0][1]


def test_it_is_written_and_taken_back(tmp_path: Path) -> None:
    """Law: the way back gives the very bytes, once."""
    path = tmp_path / "build.yaml"
    path.write_text(ODD)
    new = mended(ODD, look, code="BLD-055", kinds=["ask"]).text
    write_mended(path, ODD, new)

    assert path.read_text() == new
    assert undone(path, new) == ODD
    forget_undo(path)
    with pytest.raises(EditRefused, match="No mend"):
        undone(path, new)


def test_a_file_that_moved_on_is_left_alone(tmp_path: Path) -> None:
    """Law: neither a mend nor its way back overwrites what somebody wrote meanwhile."""
    path = tmp_path / "build.yaml"
    path.write_text("somebody else's")
    with pytest.raises(EditRefused, match="changed"):
        write_mended(path, ODD, "new")
    path.write_text(ODD)
    write_mended(path, ODD, "new: 1\n")
    with pytest.raises(EditRefused, match="changed since the mend"):
        undone(path, "new: 2\n")


@given(st.text(max_size=60) | st.just('{"of": "x", "start": -1, "end": 9, "text": ""}') | st.just("[" * 5000))
def test_whatever_stands_in_the_way_back(text: str) -> None:
    """Law: a spoiled way back is none; it never raises anything but a refusal."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "build.yaml"
        undo_path(path).write_text(text, encoding="utf-8")
        with pytest.raises(EditRefused):
            undone(path, ODD)


def test_a_link_at_the_way_back_is_not_followed(tmp_path: Path) -> None:
    """Law: what the hidden file points at stays as it is."""
    other = tmp_path / "other"
    other.write_text("keep me")
    path = tmp_path / "build.yaml"
    path.write_text(ODD)
    undo_path(path).symlink_to(other)
    write_mended(path, ODD, "new: 1\n")

    assert other.read_text() == "keep me"
    assert not undo_path(path).is_symlink()


def test_without_a_way_back_nothing_is_mended(tmp_path: Path) -> None:
    """Law: what couldn't be taken back is not written."""
    path = tmp_path / "build.yaml"
    path.write_text(ODD)
    undo_path(path).mkdir()

    with pytest.raises(EditRefused, match="Nothing was mended"):
        write_mended(path, ODD, "new: 1\n")
    assert path.read_text() == ODD
