"""Whether a driver on the crossing road notices in time: by hand with one lamp, then what must hold for any."""

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light.ambient import AmbientName, ambient, ambients
from coachwright.light.approach import STEP_S
from coachwright.light.crossing import stopping
from coachwright.light.crossing_measures import crossing_margin
from coachwright.light.effective import effective_level
from coachwright.light.far_field import candela_toward
from coachwright.light.lit import flashing
from coachwright.light.notice import illuminance_lx, sight_range_m
from coachwright.parts.store import load_catalogue

MPH = 0.44704
CATALOGUE = load_catalogue()

BUILD = """
coachwright: 1
job: {{name: Crossings, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
{lamps}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: [{on}], red: {red}}}]}}
{crossings}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
  by-night: {{like: calling, headlamps: "on"}}
  standing: {{slide: full, gear: P}}
"""
CORNER = "corner: {part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}"
GRILLE = "grille: {part: short-red-white, at: grille, pair: mirrored}"


def built(*lamps: str, red: str = "single", crossings: str = "", on: str = "") -> Model:
    """A pickup with these lamps, all of which flash red."""
    names = on or ", ".join(lamp.split(":")[0] for lamp in lamps)
    text = BUILD.format(lamps="\n".join(f"  {lamp}" for lamp in lamps), on=names, red=red, crossings=crossings)
    loaded = read_build(text, file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def margin(model: Model, situation: str = "calling", day: AmbientName = "day", **crossing: float) -> Measure:
    """The answer at one crossing of a rule: 30 mph against 30 mph unless said otherwise."""
    said = {"own": 30 * MPH, "cross": 30 * MPH, **crossing}
    (found,) = crossing_margin(model, situation=situation, ambient=day, **said)
    return found


def seconds(measure: Measure) -> float:
    assert isinstance(measure.value, float)
    return measure.value


# ------------------------------------------------------------------------------------------------------------- print
def test_threshold_by_day_agrees_with_cole_and_brown_1968() -> None:
    """200 cd for a red signal at 100 m against a bright sky (Human Factors 10, 1968, abstract): 0.02 lx."""
    day = ambient("day")

    assert day.noticed_lx == pytest.approx(200.0 / 100.0**2)
    assert illuminance_lx(200.0, range_m=100.0, visibility_m=math.inf) == pytest.approx(day.noticed_lx)


def test_threshold_at_night_agrees_with_33_cfr_84_14() -> None:
    """Twenty times the 2e-7 lx of 33 CFR 84.14 (the factor is the house's); a lit night is remembered, so a draft."""
    assert ambient("night").noticed_lx == pytest.approx(20 * 2e-7)
    assert {name: found.cite.status for name, found in ambients().items()} == {
        "day": "read",
        "fog": "read",
        "night": "house",
        "lit-night": "draft",
    }


def test_one_lamp_is_noticed_where_allards_law_says() -> None:
    """One head at a steady 45 deg: E = I 0.05^(d/V)/d^2 (CIE, Allard's law) reaches 0.02 lx at the range solved."""
    model = built("one: {part: short-red-white, at: fender-corner.left, aim: 45 deg}", red='"single 60 per min"')
    found = margin(model, late=0.0)
    (glow,) = flashing(model, "calling").glows
    last_m = stopping(30 * MPH).distance_m

    def range_m(cross_m: float) -> float:
        return math.dist(glow.position_m, (model.body.front_overhang + cross_m, cross_m, 1.08))

    def effective_cd(cross_m: float) -> float:
        eye = (model.body.front_overhang + cross_m, cross_m, 1.08)
        toward = tuple((one - other) / range_m(cross_m) for one, other in zip(eye, glow.position_m, strict=True))
        return effective_level(glow.part.wave) * candela_toward(glow.emitter, (toward[0], toward[1], toward[2]))

    # on the right there is no lamp: the worse side counts, and there it is never noticed
    assert seconds(found) == pytest.approx(-last_m / (30 * MPH), abs=STEP_S)
    crossings = "crossings:\n  left-hand: {own: 30 mph, cross: 30 mph, side: left}"
    model = built(
        "one: {part: short-red-white, at: fender-corner.left, aim: 45 deg}",
        red='"single 60 per min"',
        crossings=crossings,
    )
    (left,) = crossing_margin(model, situation="calling", ambient="day")
    assert seconds(left) < 6.0
    noticed_m = last_m + seconds(left) * 30 * MPH  # his way to the crossing when he begins to notice
    solved_m = sight_range_m(effective_cd(noticed_m), threshold_lx=0.02, visibility_m=10_000.0)
    assert range_m(noticed_m) == pytest.approx(solved_m, abs=2 * STEP_S * 30 * MPH)


def test_a_hidden_crossing_agrees_with_the_printed_line() -> None:
    """p/d + q/d < 1 at his last place to stop, 60.3 m at 30 mph (AASHTO inputs): 12 and 10 m hide, 45 and 30 don't."""
    model = built(CORNER, GRILLE, red="double")
    assert stopping(30 * MPH).distance_m == pytest.approx(60.3, abs=0.1)

    hidden = margin(model, from_cross=12.0, from_own=10.0)
    free = margin(model, from_cross=45.0, from_own=30.0)

    assert (hidden.facts["hidden"], free.facts["hidden"]) == ("yes", "no")
    assert seconds(hidden) < 0.0 <= seconds(free)
    assert "hidden by the corner" in hidden.where
    # by hand: in sight from 22 m on, (60.3 - 22) / 13.41 m/s = 2.86 s too late; the lamps stand farther back
    assert -3.3 < seconds(hidden) < -2.8


# -------------------------------------------------------------------------------------------------------------- laws
@settings(max_examples=15)
@given(
    st.floats(10.0, 55.0),
    st.floats(20.0, 55.0),
    st.one_of(st.none(), st.tuples(st.floats(5.0, 80.0), st.floats(5.0, 80.0))),
)
def test_a_lamp_more_is_never_noticed_later(own: float, cross: float, corner: tuple[float, float] | None) -> None:
    """Law: light adds up, whatever the speeds and the corner."""
    corners: dict[str, float] = {} if corner is None else {"from_cross": corner[0], "from_own": corner[1]}
    said = {"own": own * MPH, "cross": cross * MPH, "late": 1.0, **corners}
    few = seconds(margin(built(GRILLE), **said))
    more = seconds(margin(built(GRILLE, CORNER), **said))

    assert more >= few - 1e-9


def test_a_corner_lamp_off_costs_what_its_photometry_says() -> None:
    """Law: without it the margin is that of the light which is left; where the corner hides all, it changes nothing."""
    whole, without = built(GRILLE, CORNER, red="double"), built(GRILLE, CORNER, red="double", on="grille")
    lit, bare = margin(whole), margin(without)

    def given_cd(model: Model) -> float:
        toward = (math.sqrt(0.5), math.sqrt(0.5), 0.0)
        return sum(
            effective_level(glow.part.wave) * candela_toward(glow.emitter, toward)
            for glow in flashing(model, "calling").glows
        )

    # noticed where candela / way^2 = threshold, so ways go as the root of the candela; mist and lamp places aside
    far_m, near_m = (stopping(30 * MPH).distance_m + seconds(each) * 30 * MPH for each in (lit, bare))
    assert near_m / far_m == pytest.approx(math.sqrt(given_cd(without) / given_cd(whole)), rel=0.06)
    hidden = [margin(model, from_cross=12.0, from_own=10.0) for model in (whole, without)]
    assert seconds(hidden[0]) - seconds(hidden[1]) == pytest.approx(0.0, abs=2 * STEP_S)


def test_coming_slower_or_seeing_further_is_never_worse() -> None:
    """Law: a slower vehicle is nearer at every moment; a corner farther from both roads hides less."""
    model = built(GRILLE, CORNER, red="double")
    by_corner = [seconds(margin(model, from_cross=away, from_own=away)) for away in (5.0, 15.0, 30.0, 60.0, 200.0)]

    assert by_corner == sorted(by_corner)
    assert by_corner[-1] == seconds(margin(model))


# ------------------------------------------------------------------------------------------------------------- cases
CROSSINGS = """crossings:
  mill-road: {own: 45 mph, cross: 35 mph, corner: {from-cross: 20 m, from-own: 15 m}}
  highway: {own: 45 mph, cross: 45 mph, side: right}"""


def test_the_job_is_asked_at_its_own_crossings() -> None:
    """Case: each by its name and path; a crossing of a rule is for jobs that name none."""
    model = built(GRILLE, CORNER, red="double", crossings=CROSSINGS)
    found = crossing_margin(model, situation="calling", ambient="day")

    assert [measure.about for measure in found] == ["crossings.mill-road", "crossings.highway"]
    assert [measure.facts["crossing"] for measure in found] == ["mill-road", "highway"]
    assert found[0].where.startswith("mill-road, from the ")
    assert found[1].where.startswith("highway, from the right, 45 mph against 45 mph")
    assert {"crossings.mill-road", "lamps.corner.aim"} <= set(found[0].blame)
    assert crossing_margin(model, situation="calling", ambient="day", own=20.0, cross=20.0) == ()
    assert crossing_margin(built(GRILLE), situation="calling", ambient="day") == ()


def test_the_table_tells_speed_by_speed() -> None:
    """Case: every 10 mph up to the crossing's own; seconds times his speed are metres; the siren is named."""
    model = built(GRILLE, CORNER, red="double", crossings=CROSSINGS)
    mill = crossing_margin(model, situation="calling", ambient="day")[0]
    assert mill.table is not None
    rows = list(mill.table)

    assert sorted({round(float(row["own-speed"]) / MPH) for row in rows}) == [10, 20, 30, 40, 45]  # type: ignore[arg-type]
    assert sorted({round(float(row["cross-speed"]) / MPH) for row in rows}) == [30, 35]  # type: ignore[arg-type]
    for row in rows:
        assert row["way"] == pytest.approx(row["margin"] * row["cross-speed"])  # type: ignore[operator]
        assert row["held-by"] in ("the corner", "the light", "nothing")
    assert {row["siren-alone"] for row in rows} == {True, False} or all(row["siren-alone"] for row in rows)
    assert seconds(mill) == min(row["margin"] for row in rows)  # type: ignore[type-var]


def test_nobody_is_asked_about_a_vehicle_that_stands_or_a_light_that_is_not() -> None:
    """Case: parked; by day with headlamps on, at night without."""
    model = built(GRILLE, crossings=CROSSINGS)

    assert crossing_margin(model, situation="standing", ambient="day") == ()
    assert crossing_margin(model, situation="by-night", ambient="day") == ()
    assert crossing_margin(model, situation="calling", ambient="night") == ()
    assert len(crossing_margin(model, situation="by-night", ambient="night")) == 2


def test_in_fog_he_notices_later() -> None:
    """Case: the pickup of the examples, at an open crossing."""
    model = load_build(Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").model
    assert model is not None
    by_day, in_fog = (crossing_margin(model, situation="answering", ambient=air)[0:] for air in ("day", "fog"))
    assert by_day
    for clear, mist in zip(by_day, in_fog, strict=True):
        assert seconds(mist) <= seconds(clear)
