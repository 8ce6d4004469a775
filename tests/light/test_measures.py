"""What a lead may ask about light, on builds small enough to work out by hand and on the pickup of the examples."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.measure import WINDOWS, Measure
from coachwright.light import measures as light
from coachwright.light.effective import effective_level
from coachwright.light.far_field import head_far_field, output_of
from coachwright.light.glass import tinted_transmittance
from coachwright.light.lit import flashing, glows
from coachwright.parts.photometry import beam_table
from coachwright.parts.store import load_catalogue

DEG = math.radians(1.0)

BUILD = """
coachwright: 1
job: {{name: Two lamps, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
  one: {{part: {part}, at: {at}{more}}}
  two: {{part: short-red-white, at: grille.left}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn, ease]
functions:
  warning: {{rank: {rank}, when: slide == full, show: [{{on: one, red: "{red}"}}]}}
{limits}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
  resting: {{slide: "off"}}
"""


def built(
    *,
    part: str = "short-red-white",
    at: str = "bumper-front",
    more: str = ", pair: mirrored",
    rank: str = "warn",
    red: str = "single",
    limits: str = "",
) -> Model:
    """A pickup with one lamp or pair that shows red, and a lamp that stays dark."""
    text = BUILD.format(part=part, at=at, more=more, rank=rank, red=red, limits=limits)
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


@pytest.fixture(scope="module")
def pickup() -> Model:
    """The duty pickup of the examples."""
    path = Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml"
    model = load_build(path).model
    assert model is not None
    return model


def by(found: Iterable[Measure], **wanted: str) -> list[Measure]:
    """Those whose facts are these."""
    return [
        measure
        for measure in found
        if all(measure.facts[name.replace("_", "-")] == value for name, value in wanted.items())
    ]


def number(found: Iterable[Measure], **wanted: str) -> float:
    """The value of the one measure whose facts are these."""
    (only,) = by(found, **wanted)
    assert isinstance(only.value, float)
    return only.value


def asked(model: Model, situation: str) -> dict[str, tuple[Measure, ...]]:
    """Every window of the room."""
    arguments: Mapping[str, Mapping[str, float | str]] = {
        "light.optical-power": {"of": "total", "counting": "all"},
        "light.intensity": {"vertical": 0.0, "horizontal": 0.0},
        "light.lamp-intensity": {"vertical": 0.0, "horizontal": 0.0},
        "light.effective-intensity": {"low": 0.0, "high": 5 * DEG},
        "light.gap": {"least": 100.0},
        "light.one-dead-gap": {"least": 20.0},
        "light.chromaticity": {"x_times": 1.0, "y_times": 0.0},
        "light.colour-within": {"standard": "us-108"},
        "light.form-factor": {"vertical": 0.0},
        "light.pane-share": {"clear": 0.7},
        "light.noticed-through-glass": {"background": 1e4, "sky": 3e4, "ground": 6e3, "visibility": 1e4, "times": 20.0},
        "light.reflection-at-driver": {"age": 65.0, "gap": 0.05, "mirror": 0.8},
        "light.crossing-margin": {"ambient": "day"},
        "light.notice-distance": {"ambient": "day"},
        "light.emitter-time": {"speed": 20.0},
        "light.sources-seen": {"least": 10.0},
        "light.point-flashes": {"least": 1.0},
        "light.open-panel-gap": {"least": 100.0},
        "light.trailer-gap": {"least": 20.0},
        "light.pass-share": {"least": 100.0},
    }
    return {
        name: entry.answer(
            model, **({"situation": situation} if entry.per_situation else {}), **arguments.get(name, {})
        )
        for name, entry in WINDOWS.items()
        if name.startswith("light.")
    }


# ------------------------------------------------------------------------------------------------------------- print
def test_one_square_flash_agrees_with_ies_11_1_10_1_and_j2498() -> None:
    """A lamp lit 200 of 500 ms: I t / (0.2 s + t) a flash (IES 11.1.10.1), 60 s times its mean a minute (J2498)."""
    model = built(at="bumper-front.left", more="")
    (glow,) = flashing(model, "calling").glows
    axis_cd = beam_table(glow.emitter.output).peak_cd
    lit_s = glow.part.wave.on_share() * glow.part.wave.period_ms / 1000

    (seen,) = light.effective_intensity(model, situation="calling", low=0.0, high=0.0)
    assert seen.table is not None
    assert seen.table.column("intensity")[0] == pytest.approx(axis_cd * effective_level(glow.part.wave), rel=1e-6)
    assert effective_level(glow.part.wave) >= lit_s / (0.2 + lit_s) - 1e-12
    points = by(light.optical_power(model, situation="calling", of="point", counting="all"), zone="A", level="both")
    front = dict(zip(points[0].table.column("bearing"), points[0].table.column("power"), strict=True))
    assert front[0.0] == pytest.approx(60 * axis_cd * glow.part.wave.on_share(), rel=1e-6)


def test_lamp_by_itself_agrees_with_its_sheet() -> None:
    """Half of the axial intensity at the beam's half-width and at its half-height (the part's own definition)."""
    model = built()
    axis = light.lamp_intensity(model, situation="calling", vertical=0.0, horizontal=0.0)
    aside = light.lamp_intensity(model, situation="calling", vertical=0.0, horizontal=28 * DEG)
    above = light.lamp_intensity(model, situation="calling", vertical=8 * DEG, horizontal=0.0)

    assert len(axis) == 1  # a pair of equal heads that look one way answers once
    assert axis[0].value / 2 == pytest.approx(aside[0].value, rel=0.01)
    assert axis[0].value / 2 == pytest.approx(above[0].value, rel=0.01)


def test_pane_of_the_windshield_agrees_with_fresnel() -> None:
    """74 % glass that leans 53 deg passes what Fresnel's equations leave at 53 deg, for a lamp that looks level."""
    model = built(part="bar-8-red-white", at="windshield-top", more="")
    (share,) = light.glass_share(model, situation="calling")

    # the end heads look 20 deg aside, so they meet the pane at a larger angle than the others
    angle_rad = math.acos(math.cos(53 * DEG) * math.cos(20 * DEG))
    assert share.value == pytest.approx(tinted_transmittance(angle_rad, at_normal=0.74))
    assert (share.facts["glass"], share.facts["lamp"]) == ("windshield", "one")


def test_chromaticity_agrees_with_the_sheet() -> None:
    """Red is given as x 0.7, y 0.297 on the part's sheet."""
    model = built()
    x = light.chromaticity(model, x_times=1.0, y_times=0.0)
    both = light.chromaticity(model, x_times=1.0, y_times=2.0)

    assert number(x, lamp="one", colour="red") == pytest.approx(0.7)
    assert number(both, lamp="one", colour="red") == pytest.approx(0.7 + 2 * 0.297)


@pytest.mark.parametrize(("at", "upper", "lower"), [("roof-front", True, False), ("bumper-front.left", False, True)])
def test_levels_agree_with_j2498(at: str, upper: bool, lower: bool) -> None:
    """On the roof is above 62 in, in the grille below it (SAE J2498-2016, tnlab.org)."""
    model = built(part="bar-8-red-white", at=at, more="")
    found = light.optical_power(model, situation="calling", of="total", counting="all")

    assert (number(found, zone="A", level="upper") > 0) is upper
    assert (number(found, zone="A", level="lower") > 0) is lower
    assert number(found, zone="A", level="both") > 0


def test_a_rule_may_bring_heights_of_its_own() -> None:
    """With the upper level from 2 m on, a lamp on the roof at 1.9 m is of the lower one (by hand)."""
    model = built(part="bar-8-red-white", at="roof-front", more="")
    found = light.optical_power(model, situation="calling", of="total", counting="all", upper_above=2.0)

    assert number(found, zone="A", level="upper") == 0.0
    assert number(found, zone="A", level="lower") == number(found, zone="A", level="both")


# --------------------------------------------------------------------------------------------------------------- law
@given(st.sampled_from(["fender-corner", "rocker-fore", "tail-inner", "cap-side-high"]), st.integers(-60, 60))
@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_mirrored_pair_lights_both_sides_alike(at: str, aim_deg: int) -> None:
    """Law: right and left of a mirrored pair that flashes together are equal."""
    model = built(at=at, more=f", pair: mirrored, aim: {aim_deg} deg")
    found = light.optical_power(model, situation="calling", of="total", counting="all")

    assert number(found, zone="B", level="both") == pytest.approx(number(found, zone="D", level="both"), abs=1e-6)


def test_steady_light_and_light_that_does_not_warn_count_nothing() -> None:
    """Law: the zone method counts flashing warning only (SAE J2498, public abstract)."""
    for model in (built(red="steady 100 %"), built(rank="ease")):
        found = light.optical_power(model, situation="calling", of="total", counting="all")
        assert [measure.value for measure in found] == [0.0] * 12


def test_a_share_of_light_is_that_share_everywhere() -> None:
    """Law: dimmed to 40 %, every figure is 40 % of the full one."""
    dimmed = built(limits="limits: {dim: {when: gear == D, scale-to: 40 %, of: [warn]}}")
    full, dim = asked(built(), "calling"), asked(dimmed, "calling")
    for name in (
        "light.optical-power",
        "light.intensity",
        "light.lamp-intensity",
        "light.peak",
        "light.effective-intensity",
    ):
        for one, other in zip(full[name], dim[name], strict=True):
            assert other.value == pytest.approx(0.4 * one.value, abs=1e-9), name


def test_a_dead_lamp_never_narrows_the_gap(pickup: Model) -> None:
    """Law: with one lamp dead the widest gap is at least as wide."""
    for situation in ("answering", "on-scene", "lane-closed"):
        for least in (20.0, 100.0, 400.0, 1500.0):
            (alive,) = light.gap(pickup, situation=situation, least=least)
            (dead,) = light.one_dead_gap(pickup, situation=situation, least=least)
            assert dead.value >= alive.value - 1e-9


def test_more_asked_is_less_had(pickup: Model) -> None:
    """Law: fixed is at most all, a point at most the mean of the total, off the horizontal at most what its peak is."""
    for situation in ("answering", "on-scene", "on-scene-shut"):
        given_by = {
            (of, counting): light.optical_power(pickup, situation=situation, of=of, counting=counting)
            for of in ("total", "point", "point-5-up-down")
            for counting in ("all", "fixed")
        }
        for (of, counting), found in given_by.items():
            for measure, everything, total in zip(found, given_by[of, "all"], given_by["total", counting], strict=True):
                assert measure.value <= everything.value * (1 + 1e-12)
                assert 19 * measure.value <= total.value * (1 + 1e-9) or of != "point"


def test_shares_of_panels_stay_within_the_whole(pickup: Model) -> None:
    """Law: what rides on panels is no more than all there is, and what does not is what counting fixed leaves."""
    for situation in ("answering", "on-scene"):
        shares = light.panel_share(pickup, situation=situation)
        everything = light.optical_power(pickup, situation=situation, of="total", counting="all")
        fixed = light.optical_power(pickup, situation=situation, of="total", counting="fixed")
        for zone in "ABCD":
            riding = sum(measure.value for measure in by(shares, zone=zone))
            left = number(fixed, zone=zone, level="both") / number(everything, zone=zone, level="both")
            assert riding == pytest.approx(1.0 - left, abs=1e-9)


def test_night_dims_what_the_limit_names(pickup: Model) -> None:
    """Law: scaled to 40 % at night (examples), the grille peaks at 40 % of its day."""
    day, night = (light.peak(pickup, situation=name) for name in ("answering", "answering-night"))

    assert number(night, lamp="grille", colour="red") == pytest.approx(0.4 * number(day, lamp="grille", colour="red"))


# -------------------------------------------------------------------------------------------------------------- case
def test_every_window_answers_in_every_situation(pickup: Model) -> None:
    """Case: kinds as registered, places as the model has them, and the facts the rules ask for."""
    facts_of = {
        "light.optical-power": {"zone", "level", "test-voltage"},
        "light.intensity": {"toward", "colour", "test-voltage"},
        "light.lamp-intensity": {"lamp", "head", "colour", "rank", "toward", "test-voltage"},
        "light.effective-intensity": {"test-voltage"},
        "light.gap": {"test-voltage"},
        "light.one-dead-gap": {"lamp"},
        "light.panel-share": {"zone", "panel"},
        "light.peak": {"lamp", "head", "colour", "rank", "toward"},
        "light.glass-share": {"lamp", "head", "glass", "film"},
        "light.pane-share": {"glass", "window", "film", "filmed", "came"},
        "light.noticed-through-glass": {"lamp", "glass", "film", "test-voltage"},
        "light.reflection-at-driver": {"lamp", "glass", "film", "rank", "manner"},
        "light.chromaticity": {"lamp", "head", "colour"},
        "light.crossing-margin": {"crossing", "hidden", "held-by", "test-voltage"},
        "light.one-dead-share": {"zone", "level", "lamp"},
        "light.open-panel-share": {"zone", "panel"},
        "light.zone-colour": {"zone", "colour"},
    }
    paths = {each.path for each in (*pickup.heads, *pickup.situations, *pickup.crossings, *pickup.equipment)}
    paths |= {"vehicle.body"} | {pane.path for pane in pickup.glass}
    for situation in pickup.situations:
        for name, found in asked(pickup, situation.name).items():
            for measure in found:
                assert (measure.name, measure.kind) == (name, WINDOWS[name].kind)
                assert measure.about in paths
                assert facts_of.get(name, set()) <= set(measure.facts), name
                assert measure.value is not None
                assert math.isfinite(measure.value)
                assert measure.situation == (situation.name if WINDOWS[name].per_situation else "")


def test_rows_are_one_for_each_zone_and_level(pickup: Model) -> None:
    """Case: twelve rows whatever burns, each once, also where it is zero."""
    for situation in ("answering", "patrolling"):
        found = light.optical_power(pickup, situation=situation, of="point", counting="all")
        assert sorted((measure.facts["zone"], measure.facts["level"]) for measure in found) == sorted(
            (zone, level) for zone in "ABCD" for level in ("upper", "lower", "both")
        )


@pytest.mark.parametrize(
    ("aim_deg", "quarters"), [(0, {"front"}), (44, {"front"}), (45, {"front", "left"}), (46, {"left"}), (90, {"left"})]
)
def test_a_colour_has_a_row_where_a_head_looks(aim_deg: int, quarters: set[str]) -> None:
    """Case: stray light makes no row; on the corner a head looks into both quarters."""
    model = built(at="fender-corner.left", more=f", aim: {aim_deg} deg")
    facing_deg = math.degrees(model.body.places["fender-corner"].facing)
    found = light.intensity(model, situation="calling", vertical=0.0, horizontal=0.0)

    assert facing_deg == pytest.approx(0.0)
    assert {(measure.facts["toward"], measure.facts["colour"]) for measure in found} == {
        (quarter, "red") for quarter in quarters
    }


def test_where_nothing_flashes_all_bearings_are_a_gap() -> None:
    """Case: at rest no warning burns: 360 deg, and no lamp whose loss could matter."""
    model = built()

    assert light.gap(model, situation="resting", least=20.0)[0].value == pytest.approx(math.tau)
    assert light.gap(model, situation="resting", least=20.0)[0].where == "all round"
    assert light.one_dead_gap(model, situation="resting", least=20.0) == ()
    assert light.effective_intensity(model, situation="resting", low=0.0, high=5 * DEG)[0].value == 0.0
    assert light.peak(model, situation="resting") == ()


def test_the_lamp_that_matters_is_named() -> None:
    """Case: the only lamp to the front; with it dead nobody anywhere sees a flash."""
    model = built(at="bumper-front.left", more="")
    (dead,) = light.one_dead_gap(model, situation="calling", least=20.0)

    assert (dead.value, dead.about, dead.facts["lamp"]) == (pytest.approx(math.tau), "lamps.one", "one")
    (alive,) = light.gap(model, situation="calling", least=20.0)
    assert 0 < alive.value < math.tau
    assert alive.where.startswith("bearings ")
    assert alive.blame[0] == "lamps.one.aim"


def test_a_lamp_is_blamed_first_by_its_aim_then_its_place_then_its_part() -> None:
    """Case: what is quickest to change comes first; then the show that lights it."""
    (row,) = by(
        light.optical_power(built(at="bumper-front.left", more=""), situation="calling", of="point", counting="all"),
        zone="A",
        level="both",
    )

    assert row.blame[:3] == ("lamps.one.aim", "lamps.one.at", "lamps.one.part")
    assert row.blame[3].startswith("functions.warning.")
    assert row.where in {"bearing 45 deg", "bearing 315 deg"}


def test_off_the_grid_is_worked_out_by_itself(pickup: Model) -> None:
    """Case: angles the grid of all round does not hold lie between those it holds."""
    low, between, high = (
        number(
            light.intensity(pickup, situation="answering", vertical=0.0, horizontal=angle * DEG),
            toward="rear",
            colour="red",
        )
        for angle in (10.0, 11.3, 12.5)
    )
    assert min(low, high) - 1e-9 <= between <= max(low, high) + 1e-9


def test_colours_without_a_place_on_the_sheet_say_so() -> None:
    """Case: a part that gives no x and y can't be judged by colour."""
    model = built()
    name, part = next((name, part) for name, part in model.parts if name == "short-red-white")
    bare = part.model_copy(
        update={
            "heads": tuple(
                head.model_copy(
                    update={
                        "colours": {
                            key: output.model_copy(update={"x": 0.0, "y": 0.0}) for key, output in head.colours.items()
                        }
                    }
                )
                for head in part.heads
            )
        }
    )
    found = light.chromaticity(
        replace(model, digest="", parts=tuple((key, bare if key == name else old) for key, old in model.parts)),
        x_times=1.0,
        y_times=0.0,
    )

    assert {measure.value for measure in found} == {None}
    assert all("no chromaticity" in measure.why_not for measure in found)


def test_one_edited_aim_works_out_that_head_alone(pickup: Model) -> None:
    """Case: a head of the example is turned; only its colours are worked out anew."""
    light.gap(pickup, situation="answering", least=100.0)
    before = head_far_field.calls
    turned = replace(
        pickup,
        digest="turned",
        heads=tuple(replace(head, aim_rad=0.321) if head.id == "rocker-aft.right" else head for head in pickup.heads),
    )
    burning = [glow for glow in glows(turned, "answering") if glow.head.id == "rocker-aft.right"]
    light.gap(turned, situation="answering", least=100.0)

    assert burning
    assert head_far_field.calls == before + len(burning)


def test_a_colour_the_part_does_not_have_gives_no_light(pickup: Model) -> None:
    """Case: nothing is known of it, so nothing is made up."""
    assert output_of(pickup.head("grille.left"), pickup, "green") is None
