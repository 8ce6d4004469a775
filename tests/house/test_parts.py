"""Every part says where its figures come from, and when."""

from datetime import date

import pytest

from coachwright.parts.schema import AnyPart
from coachwright.parts.store import load_catalogue

PARTS = [part for name in load_catalogue().names() if (part := load_catalogue().get(name)) is not None]


def test_the_catalogue_is_clean() -> None:
    """Law: nothing that comes with coachwright has a finding, and every file is a part."""
    assert load_catalogue().findings == ()
    assert len(PARTS) == len(load_catalogue().names())
    assert len(PARTS) >= 20


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_every_part_has_a_source_and_a_day(part: AnyPart) -> None:
    """Law: no number without a cite; a day that has not come yet would be made up."""
    assert part.figures.source.strip()
    assert date(2020, 1, 1) <= date.fromisoformat(part.figures.date) <= date(2026, 12, 31)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_what_is_invented_says_so(part: AnyPart) -> None:
    """Law: figures made up for demonstration are never said to be read on a page, and their source says so too."""
    if part.figures.invented:
        assert part.figures.status != "read"
        assert "invented" in part.figures.source
    else:
        assert part.figures.status in ("read", "house", "draft")
