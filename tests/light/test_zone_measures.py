"""Sources seen, flashes at a point, colours of a zone, one lamp or channel dead, one panel open, a trailer on."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Decision, Model
from coachwright.kit.measure import Measure
from coachwright.light import measures as light
from coachwright.light.lit import glows, zone_power
from coachwright.light.zone_measures import outages_of
from coachwright.light.zones import zone_totals
from coachwright.parts.store import load_catalogue

ROOT = Path(__file__).resolve().parents[2]

BUILD = """
coachwright: 1
job: {{name: Zones}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
{lamps}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, task, warn]
functions:
{functions}
{more}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
  blocking: {{slide: full, gear: P, stands-for: blocking}}
"""
FLASH = "lit 100 ms, dark 400 ms"
RED = f'red: "{FLASH}"'


def built(lamps: dict[str, str], *, shows: dict[str, str] | None = None, more: str = "") -> Model:
    """A pickup with one short lamp for each name; `shows` of each, red at two flashes a second where it says none."""
    fitted = "\n".join(f"  {name}: {{part: short-red-amber-white, {at}}}" for name, at in lamps.items())
    functions = "\n".join(
        f"  f-{name}: {{rank: warn, when: slide == full, show: [{{on: {name}, {(shows or {}).get(name, RED)}}}]}}"
        for name in lamps
    )
    loaded = read_build(
        BUILD.format(lamps=fitted, functions=functions, more=more), catalogue=load_catalogue(), file="build.yaml"
    )
    assert loaded.model is not None, [(finding.code, dict(finding.values)) for finding in loaded.findings]
    return loaded.model


def only(found: tuple[Measure, ...], **facts: str) -> Measure:
    """The one answer with these facts."""
    (one,) = [each for each in found if all(each.facts.get(name) == value for name, value in facts.items())]
    return one


def value(measure: Measure) -> float:
    assert isinstance(measure.value, float)
    return measure.value


# -------------------------------------------------------------------------------------------------- sources, flashes
def test_sources_are_counted_at_the_weakest_bearing() -> None:
    """Case: two lamps to the front and none to the rear: nothing is seen from behind; a table tells the rest."""
    model = built({"one": "at: grille.left", "two": "at: grille.right"})
    (found,) = light.sources_seen(model, situation="calling", least=10.0)

    assert value(found) == 0.0
    assert "nothing seen" in found.where
    assert found.table is not None
    assert found.table.rows[0] == (0.0, 2.0)
    assert max(count for _, count in found.table.rows) == 2.0  # type: ignore[type-var]


def test_a_bar_is_one_lamp_and_eight_heads() -> None:
    """SAE J595 counts optical sources, a shop what hangs on one plug: heads are never fewer than lamps."""
    model = load_build(ROOT / "examples/quillback/build.yaml").model
    assert model is not None
    (lamps,) = light.sources_seen(model, situation="answering", least=10.0, counting="lamps")
    (heads,) = light.sources_seen(model, situation="answering", least=10.0, counting="heads")
    assert lamps.table is not None
    assert heads.table is not None
    pairs = list(zip(lamps.table.rows, heads.table.rows, strict=True))

    assert all(many[1] >= few[1] for few, many in pairs)  # type: ignore[operator]
    assert any(many[1] > few[1] for few, many in pairs)  # type: ignore[operator]


def test_flashes_at_a_point_add_up_over_heads() -> None:
    """Common practice of the zone method: 75 from each of two sources make 150 a minute at a point."""
    rate = "lit 200 ms, dark 600 ms"  # 75 per min
    sides = ("left", "right")
    places = {f"l-{side}": f"at: grille.{side}" for side in sides}
    places |= {f"b-{side}": f"at: bumper-front.{side}" for side in sides}
    model = built(places, shows=dict.fromkeys(places, f'red: "{rate}"'))
    (found,) = light.point_flashes(model, situation="calling", least=1e9)
    assert value(found) == 0.0

    (found,) = light.point_flashes(model, situation="calling", least=0.0)
    assert value(found) == pytest.approx(4 * 75 / 60)


def test_nothing_flashes_nothing_is_said() -> None:
    """Law: no light, no count of it."""
    model = built({"one": "at: grille.left"}, shows={"one": "red: steady 100 %"})

    for found in (
        light.sources_seen(model, situation="calling", least=1.0),
        light.point_flashes(model, situation="calling", least=1.0),
        light.zone_colour(model, situation="calling"),
        light.one_dead_share(model, situation="calling"),
    ):
        assert found == ()


# ------------------------------------------------------------------------------------------------------------ colours
def test_a_zone_knows_what_spills_in_from_the_side() -> None:
    """Case: an amber lamp turned half forward on the side gives zone A some amber; straight aside it gives none."""
    shows = {"side": f'amber: "{FLASH}"'}

    def amber_in_front(aim: str) -> float:
        model = built({"front": "at: grille.left", "side": f"at: fender-corner.right, aim: {aim}"}, shows=shows)
        return value(only(light.zone_colour(model, situation="calling"), colour="amber", zone="A"))

    assert amber_in_front("60 deg") > 0.01
    assert amber_in_front("90 deg") < amber_in_front("60 deg")


def test_shares_of_all_colours_make_the_whole() -> None:
    """Law: in each zone the colours add up to one."""
    model = load_build(ROOT / "examples/quillback/build.yaml").model
    assert model is not None
    found = light.zone_colour(model, situation="answering")
    for zone in "ABCD":
        assert math.fsum(value(each) for each in found if each.facts["zone"] == zone) == pytest.approx(1.0)


def test_steady_light_counts_as_none() -> None:
    """Common practice of the zone method: what burns steadily counts nothing toward a zone, in no measure."""
    lamps = {"one": "at: grille.left", "two": "at: grille.right"}
    plain = built({"one": "at: grille.left"})
    beside = built(lamps, shows={"two": "white: steady 100 %"})

    assert (zone_power(plain, "calling").sum(axis=0) == zone_power(beside, "calling").sum(axis=0)).all()
    assert value(only(light.zone_colour(beside, situation="calling"), colour="red", zone="A")) == 1.0


# ---------------------------------------------------------------------------------------------------------- one dead
def test_one_of_two_equal_lamps_dead_leaves_half() -> None:
    """Two equal lamps side by side look alike far away: without one of them half is left, of the sum and everywhere."""
    model = built({"one": "at: grille.left", "two": "at: grille.right"})
    of_all = only(light.one_dead_share(model, situation="calling"), zone="A", level="both")
    at_point = only(light.one_dead_share(model, situation="calling", of="point"), zone="A", level="both")

    assert value(of_all) == pytest.approx(0.5)
    assert value(at_point) == pytest.approx(0.5)


def test_a_channel_takes_all_that_hangs_on_it() -> None:
    """Case: three equal lamps, two of them on channel 7: without it a third is left, and it is named."""
    lamps = {"one": "at: grille.left", "two": "at: grille.right", "three": "at: bumper-front.left"}
    more = "fixed:\n  one: {channel: 7}\n  two: {channel: 7}"
    found = only(light.one_dead_share(built(lamps, more=more), situation="calling"), zone="A", level="both")

    assert value(found) == pytest.approx(1 / 3)
    assert found.where.startswith("channel 7 dead")
    assert value(
        only(light.one_dead_share(built(lamps), situation="calling"), zone="A", level="both")
    ) == pytest.approx(2 / 3)


def test_a_channel_of_one_colour_leaves_the_other_colours_lit() -> None:
    """Case: a lamp in red and white at once, told by channel; its red channel dead leaves the white."""
    model = built({"one": "at: grille.left"}, shows={"one": "red: steady 100 %, white: steady 100 %"})
    told = tuple(
        Decision("lamps.one", f"channel-{colour}", number, "channels", "")
        for colour, number in (("red", "3"), ("white", "4"))
    )
    split = replace(model, decisions=told, digest="")
    there = list(glows(split, "calling"))
    dead = {
        name: {glow.part.colour for glow, gone in zip(there, which, strict=True) if gone}
        for name, which in outages_of(split, there).items()
    }

    assert {glow.part.colour for glow in there} == {"red", "white"}
    assert dead == {"one.left": {"red", "white"}, "channel 3": {"red"}, "channel 4": {"white"}}


def test_a_lamp_less_never_adds_to_a_total() -> None:
    """Law: taking any one lamp away never raises a zone's total, and what is left is what one-dead says."""
    lamps = {"one": "at: grille.left", "two": "at: fender-corner.right, aim: 45 deg", "three": "at: tail-inner.left"}
    whole = {zone: float(given.sum()) for zone, given in zone_totals(zone_power(built(lamps), "calling")).items()}
    worst = dict.fromkeys(whole, 1.0)
    for name in lamps:
        fewer = built({other: at for other, at in lamps.items() if other != name})
        for zone, given in zone_totals(zone_power(fewer, "calling")).items():
            assert given.sum() <= whole[zone] * (1 + 1e-12)
            if whole[zone]:
                worst[zone] = min(worst[zone], float(given.sum()) / whole[zone])
    for zone, share in worst.items():
        if whole[zone]:
            found = only(light.one_dead_share(built(lamps), situation="calling"), zone=zone, level="both")
            assert value(found) == pytest.approx(share, abs=1e-12)


# ------------------------------------------------------------------------------------------------- panels and trailer
def test_a_lamp_on_the_hatch_is_lost_when_the_hatch_opens() -> None:
    """Case: the rear's only lamp stands in the hatch: with it open the rear keeps next to nothing, else all of it."""
    model = built({"rear": "at: cap-corner-rear.left", "hatch": "at: hatch-edge"}, shows={"rear": "dark: yes"})
    found = light.open_panel_share(model, situation="blocking")

    assert value(only(found, zone="C", panel="hatch")) < 0.2
    assert value(only(found, zone="C", panel="tailgate")) == pytest.approx(1.0)
    assert light.open_panel_share(model, situation="calling") == ()


def test_a_gap_opens_with_the_panel_and_is_named() -> None:
    """Case: the same: the gap is wider with the hatch open than with the hood open, and says with what."""
    model = built({"front": "at: grille.left", "hatch": "at: hatch-edge"})
    found = light.open_panel_gap(model, situation="blocking", least=1.0)
    hatch, hood = only(found, panel="hatch"), only(found, panel="hood")

    assert value(hatch) > value(hood)
    assert "with hatch open" in hatch.where


TRAILER = "trailer:\n  box: {tongue: 10 kg, weight: 100 kg, width: 2 m, length: 3 m, drawbar: 1 m, height: %s}"


def test_a_high_trailer_hides_the_rear_and_a_low_one_does_not() -> None:
    """Case: tail lamps at 1.3 m: behind a box of 2 m nothing is seen straight behind, over one of 1 m everything."""
    lamps = {"left": "at: tail-inner.left", "right": "at: tail-inner.right"}
    high, low = (built(lamps, more=TRAILER % height) for height in ("2 m", "1 m"))
    share = only(light.trailer_share(high, situation="blocking"), zone="C")

    assert value(share) < 0.6
    assert value(only(light.trailer_share(low, situation="blocking"), zone="C")) == pytest.approx(1.0)

    lamps |= {"one": "at: grille.left", "two": "at: rocker-fore.left", "three": "at: rocker-fore.right"}
    lamps |= {"four": "at: fender-corner.left, aim: 45 deg", "five": "at: fender-corner.right, aim: 45 deg"}
    lamps |= {"six": "at: bumper-rear-corner.left", "seven": "at: bumper-rear-corner.right"}
    high, low = (built(lamps, more=TRAILER % height) for height in ("2 m", "40 cm"))
    (gap,) = light.trailer_gap(high, situation="blocking", least=1.0)
    (without,) = light.trailer_gap(low, situation="blocking", least=1.0)
    assert value(gap) > 0.0
    assert value(without) == 0.0


def test_a_trailer_of_unknown_size_is_told() -> None:
    """Law: no size, no figure, and the reason in words."""
    model = built({"left": "at: tail-inner.left"}, more="trailer:\n  box: {tongue: 10 kg, weight: 100 kg}")
    (gap,) = light.trailer_gap(model, situation="blocking", least=1.0)
    (share,) = light.trailer_share(model, situation="blocking")

    assert gap.value is share.value is None
    assert "write its width, height and length" in gap.why_not
