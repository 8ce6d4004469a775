"""Who our own light blinds: by hand with one lamp, then what must hold."""

import math

import numpy as np
import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light import blinded_measures
from coachwright.light.blinded_measures import crew_light, flash_back, glare_veil, most_toward
from coachwright.light.crew import candela_at_eye, eyes
from coachwright.light.driver import door_mirrors, seen_in
from coachwright.light.far_field import candela_toward
from coachwright.light.glare import age_adjusted_veil_cd_m2, glare_beside
from coachwright.light.lit import glows
from coachwright.parts.store import load_catalogue
from coachwright.place.solids import solids_of

CATALOGUE = load_catalogue()
BUILD = """
coachwright: 1
job: {{name: Glare, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
{lamps}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{shows}]}}
situations:
  blocking: {{slide: full, gear: P, hatch: open, tailgate: open, stands-for: blocking}}
  dark: {{gear: P}}
"""


def built(lamps: dict[str, str], *shows: str) -> Model:
    """A pickup that stands with hatch and tailgate open."""
    said = ", ".join(shows or (f"{{on: [{', '.join(lamps)}], red: steady 100 %}}",))
    text = BUILD.format(lamps="\n".join(f"  {name}: {lamp}" for name, lamp in lamps.items()), shows=said)
    loaded = read_build(text, file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def by(found: tuple[Measure, ...], **wanted: str) -> Measure:
    (only,) = [each for each in found if all(each.facts[name] == value for name, value in wanted.items())]
    return only


FRONT = {"one": "{part: short-red-white, at: bumper-front.left}"}


# ------------------------------------------------------------------------------------------------------------- print
def test_veil_of_one_lamp_agrees_with_vos_2003() -> None:
    """L = E 10 (1 + (A/70)^4) / angle^2, E = I cos / d^2 (Vos 2003, abstract), place by place along the lane.

    5,000 cd, 50 m ahead, 3.6 m aside: 4.118 deg, 1.985 lx, 2.04 cd/m2 at 65 years, worked by hand.
    """
    by_hand = glare_beside(5000.0, ahead_m=50.0, aside_m=3.6)
    assert age_adjusted_veil_cd_m2(
        by_hand.illuminance_lx, angle_rad=by_hand.angle_rad, age_years=65.0
    ) == pytest.approx(2.04, abs=0.005)
    model = built(FRONT)
    (glow,) = glows(model, "blocking")
    found = by(glare_veil(model, situation="blocking", age=65.0, aside=3.6, eye=glow.height_m), toward="front")
    assert found.table is not None
    nose_m = model.body.front_overhang

    for row in found.table:
        assert isinstance(row["distance"], float)
        # the worse side is the lamp's own: he passes on the left, so 3.6 m less the lamp's own 0.45 m
        ahead_m, aside_m = row["distance"] + nose_m - glow.position_m[0], 3.6 - glow.position_m[1]
        off_m = math.hypot(ahead_m, aside_m)
        candela = candela_toward(glow.emitter, (ahead_m / off_m, aside_m / off_m, 0.0))
        seen = glare_beside(candela, ahead_m=ahead_m, aside_m=aside_m)
        wanted = 0.0
        if seen.angle_rad <= math.radians(30.0):
            wanted = age_adjusted_veil_cd_m2(seen.illuminance_lx, angle_rad=seen.angle_rad, age_years=65.0)
        assert row["veil"] == pytest.approx(wanted, rel=1e-6)
    assert found.where.endswith("on the left of us")


def test_light_at_the_eyes_follows_the_inverse_square() -> None:
    """E = I / d^2: at a metre 1 cd is 1 lx; the same head as light.toward-crew counts, eye by eye."""
    model = built({"one": "{part: short-red-amber, at: cap-hatch-underside.left}"}, "{on: one, red: single}")
    (glow,) = glows(model, "blocking")
    eye_m = eyes(model, frozenset({"hatch"}), height_m=1.6, away_m=1.0)["hatch"]

    found = by(crew_light(model, situation="blocking", nearest=1.0, farthest=1.0), panel="hatch")

    assert found.value == pytest.approx(candela_at_eye(glow, eye_m) / math.dist(glow.position_m, eye_m) ** 2, rel=1e-6)
    assert isinstance(found.value, float)
    assert found.value > 1.0


def test_a_lamp_that_looks_forward_is_seen_in_its_mirror(monkeypatch: pytest.MonkeyPatch) -> None:
    """By hand: 0.8 I / way^2, the way from the lamp to the image of the eyes; a small glass doesn't show it.

    The cab roof hides this lamp from mirror and eyes; without the roof it is as worked out.
    """
    model = built({"one": "{part: short-red-white, at: cap-front.left}"})
    (glow,) = glows(model, "blocking")
    eyes_m = (-1.56, 0.39, 1.585)
    mirror = door_mirrors(model.body, eyes_m, width_m=1.0, height_m=1.0)["left"]
    seen = seen_in(mirror, eyes_m, glow.position_m)
    assert seen is not None
    spot_m, way_m = seen
    off_m = math.dist(glow.position_m, spot_m)
    toward = tuple((there - here) / off_m for here, there in zip(glow.position_m, spot_m, strict=True))
    wanted_lx = 0.8 * candela_toward(glow.emitter, (toward[0], toward[1], toward[2])) / way_m**2

    hidden = flash_back(model, situation="blocking", reflects=0.8, width=1.0, height=1.0)
    assert [measure.value for measure in hidden] == [0.0, 0.0, 0.0]
    everything = tuple(each.name for each in solids_of(model, frozenset({"hatch", "tailgate"})))
    monkeypatch.setattr(blinded_measures, "_clear_to_the_driver", lambda model, situation: everything)
    found = flash_back(model, situation="blocking", reflects=0.8, width=1.0, height=1.0)

    assert wanted_lx > 1.0
    assert by(found, way="mirror-left").value == pytest.approx(wanted_lx, rel=1e-6)
    assert by(found, way="mirror-left").where == "in the left mirror, most from one.left"
    assert by(flash_back(model, situation="blocking"), way="mirror-left").value == 0.0
    off_m = math.dist(glow.position_m, eyes_m)
    toward = tuple((there - here) / off_m for here, there in zip(glow.position_m, eyes_m, strict=True))
    straight_lx = candela_toward(glow.emitter, (toward[0], toward[1], toward[2])) / off_m**2
    assert by(found, way="straight").value == pytest.approx(straight_lx, rel=1e-6)


# -------------------------------------------------------------------------------------------------------------- laws
def test_lamps_that_look_away_from_him_do_not_flash_back() -> None:
    """Law: the same lamp turned outward gives the driver nothing, in no mirror."""
    model = built({"one": "{part: short-red-white, at: bed-side-low, pair: mirrored}"})

    assert [measure.value for measure in flash_back(model, situation="blocking")] == [0.0, 0.0, 0.0]


def test_more_lamps_veil_more_and_the_old_more_than_the_young() -> None:
    """Law: veils add; older eyes scatter more; who passes farther aside is veiled less."""
    one, two = built(FRONT), built({**FRONT, "two": "{part: short-red-white, at: grille, pair: mirrored}"})

    def front(model: Model, **said: float) -> float:
        value = by(glare_veil(model, situation="blocking", **said), toward="front").value
        assert isinstance(value, float)
        return value

    assert front(two) > front(one)
    assert front(one, age=70.0) > front(one, age=25.0)
    assert front(one, age=70.0) / front(one, age=0.0) == pytest.approx(2.0)
    assert front(one, aside=6.0) < front(one, aside=3.6)


def test_both_sides_and_ends_are_alike_for_a_mirrored_vehicle() -> None:
    """Law: a pair gives left and right alike; a lamp to the front veils nobody who comes from behind."""
    model = built({"one": "{part: short-red-white, at: grille, pair: mirrored}"})
    found = glare_veil(model, situation="blocking")

    assert by(found, toward="rear").value == pytest.approx(0.0, abs=1e-12)
    sides = most_toward(model, situation="blocking")
    assert by(sides, toward="left").value == pytest.approx(by(sides, toward="right").value, rel=1e-6)


def test_the_brightest_instant_counts_not_the_sum_of_peaks() -> None:
    """Law: heads that take turns never glare together; heads in step do."""
    pair = {"one": "{part: short-red-white, at: grille, pair: mirrored}"}
    turns, step = built(pair, "{on: one, red: single sides}"), built(pair, "{on: one, red: single together}")
    there, here = (by(most_toward(model, situation="blocking"), toward="front").value for model in (turns, step))

    assert isinstance(here, float)
    assert there == pytest.approx(here / 2.0, rel=1e-6)


# ------------------------------------------------------------------------------------------------------------- cases
def test_nothing_burns_nobody_is_blinded() -> None:
    """Case: no answers, rather than answers of nothing."""
    model = built(FRONT)
    for window in (most_toward, glare_veil, crew_light, flash_back):
        assert window(model, situation="dark") == ()


def test_blame_names_the_lamp_that_glares() -> None:
    """Case: the lamp to turn comes first, and what it shows last."""
    model = built(
        {
            "weak": "{part: short-red-white, at: grille.left, aim: 60 deg}",
            "strong": "{part: long-red-white, at: bumper-front.left}",
        }
    )
    found = by(glare_veil(model, situation="blocking"), toward="front")

    assert found.blame[0] == "lamps.strong.aim"
    assert "functions.warning.show.1.red" in found.blame
    assert np.isfinite(found.value)
