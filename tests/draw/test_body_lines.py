"""Which outlines of a body are drawn in which view?"""

import pytest

from coachwright.draw.body_lines import lines_in
from coachwright.draw.project import VIEWS
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import load_catalogue

FOUND = load_catalogue().get("high-roof-van")
assert isinstance(FOUND, BodyPart)
VAN: BodyPart = FOUND
BY_NAME = {view.name: view for view in VIEWS}


def count(*views: str) -> int:
    """Outlines written for these views; a half that isn't closed on the centre line would be drawn twice."""
    return sum(each.view in views for each in VAN.outlines)


@pytest.mark.parametrize("name", ["left", "right"])
def test_a_side_shows_what_both_share_and_its_own(name: str) -> None:
    """Law: lines written as side are in both side views, those of one side in that one only."""
    assert len(lines_in(VAN, BY_NAME[name])) == count("side", name)  # type: ignore[index]


def test_the_sliding_door_is_seen_from_the_right_only() -> None:
    """Case: its window is the one pane that the left side lacks."""
    panes = {name: sum(line.layer == "glass" for line in lines_in(VAN, BY_NAME[name])) for name in ("left", "right")}

    assert panes["right"] == panes["left"] + 1


def test_the_right_side_is_seen_from_the_right() -> None:
    """Law: the nose is at the left edge of the left view and at the right edge of the right one."""
    left = [x for line in lines_in(VAN, BY_NAME["left"]) for x, _ in line.points]
    right = [x for line in lines_in(VAN, BY_NAME["right"]) for x, _ in line.points]

    assert min(left) == pytest.approx(-VAN.front_overhang, abs=0.005)
    assert max(right) == pytest.approx(VAN.front_overhang, abs=0.005)
