"""The vehicle as it arrives: orders that bring signals and change figures, and what is taken out."""

from __future__ import annotations

import pytest

from coachwright.build.as_ordered import as_ordered
from coachwright.build.load import read_build
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import Catalogue
from tests.build import small
from tests.build.conftest import spoken

_ORDERS = """\
orders:
  tow: {mass: 30 kg, x: -4 m, z: 500 mm, what: hitch and socket}
  heavy: {mass: 12 kg, what: heavier springs, sets: {gvwr: 3500 kg, base-load: 40 A}}
removable:
  bench: {mass: 25 kg, x: -2 m, z: 700 mm, mind: belts come out too}
hitch: {x: -4.2 m, z: 450 mm, tongue: 100 kg, trailer: 1500 kg, order: tow}
gvwr: 3000 kg
"""


def ordered_van() -> Catalogue:
    """The small vehicle with two orders: one brings a signal, a lamp and a hitch, one changes figures."""
    body = small.PARTS["small-van"] + _ORDERS
    body = body.replace(
        "  supply: {kind", '  coupled: {kind: on-off, rest: "off", source: socket, order: tow}\n  supply: {kind'
    )
    body = body.replace("  horn: {reaches", "  trailer-lamps: {reaches: [none], order: tow}\n  horn: {reaches")
    body = body.replace(
        "why: the pawl holds}", "why: the pawl holds}\n  - {condition: coupled and speed > 60 mph, why: a}"
    )
    return small.small_catalogue(**{"small-van": body})


def van(catalogue: Catalogue) -> BodyPart:
    body = catalogue.get("small-van")
    assert isinstance(body, BodyPart)
    return body


def test_what_an_order_brings_is_there_with_it_only() -> None:
    """Case: signal, lamp, hitch, and what can't be said without the signal."""
    body = van(ordered_van())
    plain, towing = as_ordered(body, ()), as_ordered(body, ("tow",))

    assert {"coupled", "trailer-lamps"} & {*plain.signals, *plain.lamps} == set()
    assert {"coupled", "trailer-lamps"} <= {*towing.signals, *towing.lamps}
    assert (plain.hitch is None, towing.hitch is None) == (True, False)
    assert len(plain.cannot_be) == len(towing.cannot_be) - 1


def test_what_an_order_sets() -> None:
    """Case: what it doesn't name stays."""
    body = van(ordered_van())
    heavy = as_ordered(body, ("heavy",))

    assert (body.gvwr, heavy.gvwr, heavy.base_load) == (3000.0, 3500.0, 40.0)
    assert heavy.mass == body.mass


def test_the_same_body_each_time(catalogue: Catalogue) -> None:
    """Law: what is remembered by the body stays remembered; a body no order changes is itself."""
    body = van(ordered_van())

    assert as_ordered(body, ("heavy",)) is as_ordered(body, ("heavy",))
    assert as_ordered(van(catalogue), ()) is van(catalogue)


def test_the_model_has_the_body_as_ordered() -> None:
    """Case: conditions read what was ordered; its name in vehicle.as-ordered is in the Model."""
    catalogue = ordered_van()
    vehicle = "vehicle: {body: small-van, as-ordered: [tow, heavy], removed: bench}"
    words = small.BASE["words"] + "\n  towing: coupled"
    loaded = read_build(small.whole(vehicle=vehicle, words=words), catalogue=catalogue)

    assert loaded.model is not None, [spoken(each) for each in loaded.findings]
    assert (loaded.model.as_ordered, loaded.model.removed) == (("tow", "heavy"), ("bench",))
    assert loaded.model.body.gvwr == pytest.approx(3500.0)
    assert dict(loaded.model.parts)["small-van"] is loaded.model.body


@pytest.mark.parametrize(("word", "code"), [("as-ordered", "BLD-103"), ("removed", "BLD-104")])
def test_a_body_that_says_nothing_of_orders(catalogue: Catalogue, word: str, code: str) -> None:
    """Case: told at the name, the first of two; nothing else is told wrong for it."""
    loaded = read_build(small.whole(vehicle=f"vehicle: {{body: small-van, {word}: [tow, bench]}}"), catalogue=catalogue)

    assert [(each.code, each.about) for each in loaded.findings] == [
        (code, f"vehicle.{word}.1"),
        (code, f"vehicle.{word}.2"),
    ]


@pytest.mark.parametrize(
    ("sections", "code", "words"),
    [
        ({"vehicle": "vehicle: {body: small-van, as-ordered: [tov]}"}, "BLD-103", "Closest: tow."),
        ({"vehicle": "vehicle: {body: small-van, removed: [bensh]}"}, "BLD-104", "Closest: bench."),
        ({"words": small.BASE["words"] + "\n  towing: coupled"}, "BLD-031", "comes with tow: add that"),
        ({"signals": small.BASE["signals"] + "\n  coupled: {lost: hold}"}, "BLD-058", "comes with tow"),
        (
            {"vehicle_lamps": small.BASE["vehicle-lamps"] + "\n  trailer-lamps: {reach: none}"},
            "BLD-057",
            "comes with tow",
        ),
        (
            {"trailer": "trailer:\n  a: {tongue: 9 kg, weight: 90 kg, lamps: vehicle.trailer-lamps}"},
            "BLD-057",
            "comes with tow",
        ),
    ],
)
def test_what_was_not_ordered_is_told(sections: dict[str, str], code: str, words: str) -> None:
    """Case: nearest order; a signal that only an order brings."""
    loaded = read_build(small.whole(**sections), catalogue=ordered_van())
    found = [each for each in loaded.findings if each.severity == "error"]

    assert [each.code for each in found] == [code]
    assert words in spoken(found[0])
