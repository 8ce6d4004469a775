"""Laws of the whole catalogue: every figure has its source, families rise in order, two whole jobs find their parts."""

from itertools import pairwise

import pytest

from coachwright.body.antenna import COAX_DATA
from coachwright.kit.figures import table_of, tables_in
from coachwright.light.colour import judge
from coachwright.parts.schema import (
    KINDS,
    AntennaPart,
    AnyPart,
    BatteryPart,
    BreakerPart,
    FilmPart,
    FittingPart,
    FusePart,
    LampPart,
    WirePart,
    fits_under,
)
from coachwright.parts.store import load_catalogue
from coachwright.power.wire import conductor

CATALOGUE = load_catalogue()
PARTS = [part for name in CATALOGUE.names() if (part := CATALOGUE.get(name)) is not None]
SHELF = [part for part in PARTS if part.kind != "body"]

PICKUP_JOB = {
    "lamps": "bar-6-red-amber-white bar-8-red-amber-white bar-8-red-white long-red-white short-red-amber "
    "short-red-amber-white short-red-white",
    "equipment": "agm-95 backing-alarm camera charger-20a controller-24 disconnect-200 dock-12v emitter-opt fan-40cfm "
    "handlamp-charger inverter-1000 low-tone-siren mobile-radio-50 siren-amplifier tablet-cradle usb-2",
    "console": "console-18in",
    "cargo": "ext-10lb locker-sealed slide-tray-400lb",
    "marking": "red-fyg-iv white-red-iv",
}
"""Parts of a duty pickup with a cap and a command tray, by the section that names them."""

VAN_JOB = {
    "lamps": "bar-8-amber-red bar-8-amber-white long-amber-red long-amber-white scene-white short-amber-red "
    "short-amber-white",
    "equipment": "backing-alarm compressor-12v controller-24 disconnect-200 fan-40cfm inverter-1500 mobile-radio-50 "
    "siren-amplifier tablet-cradle usb-2",
    "console": "console-12in",
    "cargo": "bulkhead-steel floor-jack-3t fuel-5gal locker-sealed",
    "marking": "red-fyg-iv",
}
"""Parts of a service patrol van with a high roof."""

SIGNAL_COLOURS = {"red": ("red",), "amber": ("amber",), "white": ("white",), "green": ("green",)} | {
    "blue": ("signal-blue", "restricted-blue")
}


@pytest.mark.parametrize("job", [PICKUP_JOB, VAN_JOB], ids=["pickup", "van"])
def test_every_part_of_two_whole_jobs_is_there(job: dict[str, str]) -> None:
    """Law: what a whole job names is in the catalogue, and under the section that names it."""
    wanted = {name: section for section, names in job.items() for name in names.split()}

    assert {name: fits_under(part) for name in wanted if (part := CATALOGUE.get(name)) is not None} == wanted


def test_every_kind_of_part_has_one() -> None:
    """Law: whoever enters a part of some kind finds one of that kind to look at."""
    assert set(KINDS) == {part.kind for part in PARTS}


@pytest.mark.parametrize("part", SHELF, ids=lambda part: part.name)
def test_every_part_has_a_price_and_weighs_something(part: AnyPart) -> None:
    """Law: nothing is forgotten in the price or on the axles; only work weighs nothing."""
    assert part.price.endswith(" USD")
    assert float(part.price.split()[0]) > 0
    assert (part.mass > 0) == (part.kind != "labour")
    assert part.figures.source.strip()
    assert part.figures.date


@pytest.mark.parametrize("part", [part for part in PARTS if isinstance(part, LampPart)], ids=lambda part: part.name)
def test_a_lamp_s_colour_is_one_of_571_108(part: LampPart) -> None:
    """49 CFR 571.108, S14.4.1.4.2: the chromaticity a lamp states lies within the boundaries of its colour."""
    stated = {colour: (out.x, out.y) for head in part.heads for colour, out in head.colours.items() if out.x}
    inside = {
        colour: [answer.field.colour for answer in judge(x, y) if answer.field.standard == "us-108" and answer.inside]
        for colour, (x, y) in stated.items()
    }

    assert stated, "a lamp of ours states where its colours lie"
    assert all(set(SIGNAL_COLOURS[colour]) & set(found) for colour, found in inside.items()), inside


def of_family(family: str) -> list[WirePart]:
    """Wires of one family, thinnest first."""
    found = [part for part in PARTS if isinstance(part, WirePart) and part.family == family]
    return sorted(found, key=lambda part: part.area)


@pytest.mark.parametrize("family", ["awg", "sae", "metric"])
def test_thicker_wire_resists_less_weighs_more_and_is_wider(family: str) -> None:
    """Law: within a family resistance falls with area; mass per length, diameter and price per metre rise."""
    wires = of_family(family)

    assert len(wires) >= 6
    for thin, thick in pairwise(wires):
        assert thick.resistance_per_length < thin.resistance_per_length
        assert thick.mass_per_length > thin.mass_per_length
        assert thick.diameter > thin.diameter
        assert float(thick.price.split()[0]) / thick.reel > float(thin.price.split()[0]) / thin.reel


@pytest.mark.parametrize("family", ["awg", "sae", "metric"])
def test_each_wire_has_the_area_of_its_size(family: str) -> None:
    """ASTM B258 for AWG, the least areas of SAE J1128 (draft) for SAE, the size itself for metric: within 0.1 %."""
    for part in of_family(family):
        assert part.area == pytest.approx(conductor(part.size, family=part.family).area_m2, rel=1e-3)


def test_a_wire_s_reel_weighs_at_least_its_wire() -> None:
    """Law: the mass of the part is that of the whole reel, a little of it the reel itself."""
    for part in (part for part in PARTS if isinstance(part, WirePart)):
        assert part.mass_per_length * part.reel <= part.mass <= part.mass_per_length * part.reel + 1.0
        assert part.area * 8890 < part.mass_per_length  # copper: 8.89 g/cm3


@pytest.mark.parametrize(
    "part", [part for part in PARTS if isinstance(part, FusePart | BreakerPart)], ids=lambda part: part.name
)
def test_the_more_current_the_sooner_it_opens(part: FusePart | BreakerPart) -> None:
    """Law: opening times fall over current, what is left of the rating falls over temperature."""
    for low, high in pairwise(part.curve):
        assert low.share < high.share
        assert low.least >= high.least
        assert high.most is not None
        assert low.most is None or low.most > high.most
    for cold, hot in pairwise(part.rerating):
        assert cold.temperature < hot.temperature
        assert cold.share > hot.share
    assert any(point.share == 1.0 for point in part.rerating)


def test_every_holder_is_a_fitting() -> None:
    """Law: a part that names another names one there is."""
    for part in (part for part in PARTS if isinstance(part, FusePart) and part.holder):
        holder = CATALOGUE.get(part.holder)
        assert isinstance(holder, FittingPart)
        assert holder.what == "holder"


def test_what_names_a_table_of_another_room_is_in_it() -> None:
    """Law: classes of film are those of the table of retroreflection, cables those of the table of losses."""
    films = table_of(tables_in("coachwright.light", "retroreflection.yaml")["films"], "films")
    cables = table_of(tables_in("coachwright.body", COAX_DATA)["loss-db-per-100ft"], "cables")

    for part in PARTS:
        if isinstance(part, FilmPart) and part.film_class:
            least = table_of(table_of(table_of(films[part.film_class], "")["least"], "")["0.2/-4"], "")
            assert set(part.colours) <= set(least)
        if isinstance(part, AntennaPart):
            assert part.cable in cables


def test_heavier_batteries_of_one_chemistry_hold_more() -> None:
    """Law: within a chemistry more capacity is more mass, more cranking current and less resistance."""
    glass_mat = sorted(
        (part for part in PARTS if isinstance(part, BatteryPart) and part.chemistry == "agm"),
        key=lambda part: part.mass,
    )

    assert len(glass_mat) >= 2
    for small, large in pairwise(glass_mat):
        assert small.capacity < large.capacity
        assert small.cranking < large.cranking
        assert small.resistance > large.resistance
