"""Brake and turn beside the warning: one share by hand, then what must hold."""

import math

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light.far_field import candela_toward
from coachwright.light.lit import glows_tried, standing
from coachwright.light.signal_measures import signal_share
from coachwright.parts.store import load_catalogue

CATALOGUE = load_catalogue()
BUILD = """
coachwright: 1
job: {{name: Signals, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
  beside: {{part: short-red-amber, at: {at}}}
  sign: {{part: short-red-amber-white, at: tail-inner, pair: mirrored}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: beside, red: {red}}}]}}
  brake-shows: {{rank: road, when: brake, show: [{{on: [sign{held}], red: steady 100 %}}]}}
  turn-left-shows:
    {{rank: road, when: turn-left, wins-over: [brake-shows], show: [{{on: sign.left, amber: follow turn-left}}]}}
situations:
  moving: {{slide: full, gear: D, speed: 40 mph}}
  parked: {{slide: full, gear: P}}
  plain: {{gear: D, speed: 40 mph}}
"""


def built(at: str = "tail-upper.left", red: str = "single", held: str = "") -> Model:
    text = BUILD.format(at=at, red=red, held=held)
    loaded = read_build(text, file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def by_lamp(found: tuple[Measure, ...], signal: str) -> dict[str, float]:
    return {each.facts["lamp"]: float(each.value or 0.0) for each in found if each.facts["signal"] == signal}


def test_share_agrees_with_hand_calculation() -> None:
    """By hand: candela of the stop lamp over its own and the flash's, both toward eyes 30 m behind, 1.08 m high."""
    model = built()
    eyes_m = (model.body.front_overhang - model.body.length - 30.0, 0.0, 1.08)

    def toward(place_m: tuple[float, float, float]) -> tuple[float, float, float]:
        off_m = math.dist(place_m, eyes_m)
        x, y, z = ((there - here) / off_m for here, there in zip(place_m, eyes_m, strict=True))
        return (x, y, z)

    burning = glows_tried(model, "moving", {"brake": "on"})
    flash = next(glow for glow in burning if glow.lamp == "beside.left" or glow.head.lamp == "beside")
    flash_cd = candela_toward(flash.emitter, toward(flash.position_m))
    stop = next(
        stand
        for head, stand in zip(model.heads, standing(model, frozenset()), strict=True)
        if head.lamp == "brake-lamps" and head.side == "left"
    )
    stop_cd = candela_toward(stop.emitters["red"], toward(stop.view.position_m))

    found = by_lamp(signal_share(model, situation="moving"), "stop")

    assert found["brake-lamps"] == pytest.approx(stop_cd / (stop_cd + flash_cd), rel=1e-9)
    assert 0.0 < found["brake-lamps"] < 1.0


def test_what_counts_as_the_same_spot_is_an_angle() -> None:
    """By hand: 1 deg at 30 m is 0.52 m; a lamp 1.85 m across the vehicle is no neighbour, within 5 deg it is one."""
    model = built(at="bumper-rear.right")
    near = by_lamp(signal_share(model, situation="moving", within=math.radians(1.0)), "stop")
    wide = by_lamp(signal_share(model, situation="moving", within=math.radians(5.0)), "stop")

    assert near["sign"] == 1.0
    assert wide["sign"] < 1.0


def test_the_clearest_lamp_is_never_worse_than_each() -> None:
    """Law: and a warning that the brake holds dark masks nothing."""
    model = built()
    each, clearest = (signal_share(model, situation="moving", of=of) for of in ("each-lamp", "clearest"))
    for signal in ("stop", "turn"):
        assert max(by_lamp(clearest, signal).values()) >= min(by_lamp(each, signal).values())
    held = signal_share(built(held=", beside"), situation="moving", of="clearest")
    assert [m.value for m in held if m.facts["signal"] == "stop"] == []  # nothing flashes any more: nothing to ask


def test_a_brighter_flash_leaves_less() -> None:
    """Law: half the flash, more of the signal."""
    full, half = built(), built(red='"lit 60 ms, dark 40 ms, times 2, every 500 ms"')
    one, other = (by_lamp(signal_share(model, situation="moving"), "stop")["brake-lamps"] for model in (full, half))

    assert one == pytest.approx(other)  # the brightest instant counts, not how long it lasts


@pytest.mark.parametrize("situation", ["parked", "plain"])
def test_nobody_is_asked_without_warning_or_standing(situation: str) -> None:
    """Case: parked the brake says nothing; without warning nothing masks it."""
    assert signal_share(built(), situation=situation) == ()


def test_turn_signals_are_asked_side_by_side() -> None:
    """Case: ours on the left, and the vehicle's own on both sides; the neighbour is named."""
    found = signal_share(built(), situation="moving")
    places = [each.where for each in found if each.facts["signal"] == "turn"]

    assert any(place.startswith("sign.left as turn left") for place in places)
    assert any("as turn right" in place for place in places)
    assert not any(place.startswith("sign.right") for place in places)
    assert any("beside flashes beside it" in place for place in places)
