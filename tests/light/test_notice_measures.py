"""From how far the warning is noticed, and close by: Allard's law by hand, then what must hold."""

import math

import numpy as np
import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light.effective import effective_level
from coachwright.light.far_field import candela_toward
from coachwright.light.lit import flashing
from coachwright.light.near_field import illuminance_at
from coachwright.light.notice import illuminance_lx
from coachwright.light.notice_measures import near_light, notice_distance
from coachwright.parts.store import load_catalogue

CATALOGUE = load_catalogue()
BUILD = """
coachwright: 1
job: {{name: Noticed, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps: {{{lamps}}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: [{on}], red: {red}}}]}}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
  by-night: {{like: calling, headlamps: "on"}}
  resting: {{slide: "off"}}
"""
ALL_ROUND = {
    "front": "{part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}",
    "rear": "{part: short-red-white, at: bumper-rear-corner, pair: mirrored}",
}


def built(lamps: dict[str, str], red: str = "single") -> Model:
    said = ", ".join(f"{name}: {lamp}" for name, lamp in lamps.items())
    loaded = read_build(BUILD.format(lamps=said, on=", ".join(lamps), red=red), file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def number(found: tuple[Measure, ...], **wanted: str) -> float:
    (only,) = [each for each in found if all(each.facts[name] == value for name, value in wanted.items())]
    assert isinstance(only.value, float)
    return only.value


def test_distance_agrees_with_allards_law() -> None:
    """E = I 0.05^(d/V) / d^2 (CIE, Allard's law): at the answer the light is just 0.02 lx, by day and in fog."""
    model = built(ALL_ROUND)
    for name, visibility_m in (("day", 10_000.0), ("fog", 200.0)):
        (right,) = [
            m for m in notice_distance(model, situation="calling", ambient=name) if m.facts["toward"] == "right"
        ]  # type: ignore[arg-type]
        assert right.where.startswith("bearing 90 deg")
        toward = (0.0, -1.0, 0.0)
        effective_cd = sum(
            effective_level(glow.part.wave) * candela_toward(glow.emitter, toward)
            for glow in flashing(model, "calling").glows
        )
        assert isinstance(right.value, float)
        there_lx = illuminance_lx(effective_cd, range_m=right.value, visibility_m=visibility_m)
        assert there_lx == pytest.approx(0.02, rel=1e-6)
        assert right.table is not None
        assert right.table.column("distance")[18] == pytest.approx(right.value, rel=1e-6)


def test_light_close_by_follows_the_inverse_square() -> None:
    """E = I / d^2 with the lamp's own place: straight abreast of one lamp, 3 m from the body."""
    model = built({"one": "{part: short-red-white, at: bed-side, pair: mirrored}"}, red='"single 60 per min"')
    (found,) = near_light(model, situation="calling", eye=1.18, nearest=3.0, farthest=3.0001)
    glow = next(glow for glow in flashing(model, "calling").glows if glow.head.side == "left")
    worst_rad = math.radians(float(found.where.rsplit("bearing ", 1)[1].removesuffix(" deg")))

    body = model.body
    half_m, wide_m = body.length / 2.0, body.width / 2.0
    ahead, left = math.cos(worst_rad), -math.sin(worst_rad)
    way_m = min(half_m / max(abs(ahead), 1e-12), wide_m / max(abs(left), 1e-12)) + 3.0
    eye_m = (body.front_overhang - half_m + way_m * ahead, way_m * left, 1.18)
    wanted_lx = 0.0
    for each in flashing(model, "calling").glows:
        off_m = math.dist(each.position_m, eye_m)
        toward = tuple((there - here) / off_m for here, there in zip(each.position_m, eye_m, strict=True))
        wanted_lx += (
            effective_level(each.part.wave) * candela_toward(each.emitter, (toward[0], toward[1], toward[2])) / off_m**2
        )
    assert found.value == pytest.approx(wanted_lx, rel=1e-6, abs=1e-12)
    assert glow.height_m == pytest.approx(1.18)


def test_a_beam_passes_over_who_stands_close_by() -> None:
    """Law: a lamp 1.9 m high that looks 20 deg up leaves out eyes 1.1 m high at 3 m, one beside them reaches them."""
    model = built(
        {
            "high": "{part: short-red-white, at: cap-side-high.left, elevation: 20 deg}",
            "low": "{part: short-red-white, at: bed-side.left}",
        }
    )
    glows = flashing(model, "calling").glows
    abreast_m = np.array([[-3.7, 4.0, 1.1], [-3.7, 40.0, 1.1]]).T
    high_lx, low_lx = illuminance_at(glows, abreast_m)

    assert low_lx[0] > 1000.0 * high_lx[0]
    assert high_lx[1] * low_lx[0] > 10.0 * low_lx[1] * high_lx[0]  # farther off, he is nearer to its axis


def test_fog_and_dimness_bring_it_nearer() -> None:
    """Law: thicker air brings it nearer, a lamp more never does; a mirrored vehicle is alike on both sides."""
    more = {**ALL_ROUND, "more": "{part: short-red-white, at: bed-side, pair: mirrored}"}
    full, brighter = built(ALL_ROUND), built(more)
    day = notice_distance(full, situation="calling", ambient="day")
    fog = notice_distance(full, situation="calling", ambient="fog")

    for side in ("front", "left", "rear", "right"):
        assert number(fog, toward=side) < number(day, toward=side)
        assert number(notice_distance(brighter, situation="calling", ambient="day"), toward=side) >= number(
            day, toward=side
        )
    assert number(day, toward="left") == pytest.approx(number(day, toward="right"), rel=1e-6)


def test_where_nothing_flashes_or_the_light_is_another_nobody_is_asked() -> None:
    """Case: off; by day with headlamps on; at night without; steady light alone."""
    model = built(ALL_ROUND)

    assert notice_distance(model, situation="resting", ambient="day") == ()
    assert notice_distance(model, situation="by-night", ambient="day") == ()
    assert notice_distance(model, situation="calling", ambient="night") == ()
    assert len(notice_distance(model, situation="by-night", ambient="lit-night")) == 4
    assert near_light(model, situation="resting") == ()
    assert near_light(built(ALL_ROUND, red="steady 100 %"), situation="calling") == ()


def test_a_side_without_lamps_is_noticed_from_nowhere() -> None:
    """Case: 0 m, with the lamp to turn."""
    found = notice_distance(built({"front": ALL_ROUND["front"]}), situation="calling", ambient="day")
    (rear,) = [each for each in found if each.facts["toward"] == "rear"]

    assert rear.value == 0.0
    assert rear.blame[0] == "lamps.front.aim"
