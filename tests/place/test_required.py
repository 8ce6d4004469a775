"""What the vehicle's own lamps are for, by their names."""

import pytest

from coachwright.parts.schema import BodyPart
from coachwright.parts.store import load_catalogue
from coachwright.place.required import NO_USE, USES, required_lamps, use_of


@pytest.mark.parametrize(
    ("lamp", "use"),
    [
        ("high-beam", "headlamp"),
        ("brake-lamps", "stop"),
        ("brake-and-tail", "stop"),
        ("turn-lamps", "turn"),
        ("hazard-lamps", "turn"),
        ("reverse-lamps", "backup"),
        ("side-marker-lamps", "marker"),
        ("side-markers", "marker"),
        ("identification-lamps", "identification"),
        ("dome", NO_USE),
        ("horn", NO_USE),
        ("stopwatch", NO_USE),
    ],
)
def test_use_agrees_with_49_cfr_571_108_table_i(lamp: str, use: str) -> None:
    """The functions of Table I (49 CFR 571.108), by whole words of a name."""
    assert use_of(lamp) == use


def test_no_word_says_two_uses() -> None:
    """Law: a word of a name can be read one way only."""
    words = [word for said in USES.values() for word in said]

    assert len(words) == len(set(words))


def test_every_required_lamp_of_the_catalogue_has_a_use() -> None:
    """Law: a body whose required lamp nobody can place would be judged by no rule, in silence."""
    catalogue = load_catalogue()
    bodies = [part for name in catalogue.names() if isinstance(part := catalogue.get(name), BodyPart)]

    assert bodies
    for body in bodies:
        assert required_lamps(body)
        assert [lamp for lamp in required_lamps(body) if use_of(lamp) == NO_USE] == [], body.name
