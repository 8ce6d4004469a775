"""What can be asked of the lamps as one system: form factor, light to work by, levels."""

import math
from typing import Literal

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.wave import Wave
from coachwright.light import system_measures as system
from coachwright.light.effective import form_factor, form_factor_level
from coachwright.light.lit import flashing, glows
from coachwright.light.measures import one_dead_gap
from coachwright.light.pulse import steps
from coachwright.parts.photometry import beam_table
from coachwright.parts.store import load_catalogue

BUILD = """
coachwright: 1
job: {{name: System}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
{lamps}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
  work:  {{kind: toggle, at: console.panel, start: "off"}}
ranks: [road, task, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: [{names}], red: "{red}"}}]}}
  working: {{rank: task, when: work, show: [{{on: [{names}], white: steady 50 %}}]}}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
  standing: {{work: "on", gear: P, stands-for: blocking}}
"""


def built(*places: str, red: str = "lit 200 ms, dark 300 ms") -> Model:
    """A pickup with one short lamp at each place."""
    lamps = "\n".join(f"  l{number}: {{part: short-red-white, at: {at}}}" for number, at in enumerate(places))
    names = ", ".join(f"l{number}" for number in range(len(places)))
    loaded = read_build(BUILD.format(lamps=lamps, names=names, red=red), catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(("lit_ms", "expected"), [(100, 1 / 3), (200, 0.5), (800, 0.8)])
def test_square_flash_by_its_form_agrees_with_schmidt_clausen(lit_ms: int, expected: float) -> None:
    """I_max / (1 + C / (F T)) with C = 0.2 s, F = 1 for a square flash: t / (0.2 + t) (UN R65 annex 5, memory)."""
    wave = Wave.of([(lit_ms, 1.0), (1000 - lit_ms, 0.0)])

    assert form_factor_level(wave) == pytest.approx(expected, rel=1e-12)


def test_strongest_bearing_is_the_peak_times_the_factor() -> None:
    """One lamp straight ahead, lit 200 of 500 ms: half of its axial intensity (0.2 / (0.2 + 0.2), pencil)."""
    model = built("grille.left")
    axis_cd = beam_table(flashing(model, "calling").glows[0].emitter.output).peak_cd
    (most,) = system.form_factor(model, situation="calling", vertical=0.0, of="most")
    (least,) = system.form_factor(model, situation="calling", vertical=0.0, of="least")

    assert most.value == pytest.approx(axis_cd / 2, rel=1e-3)
    assert least.value == 0.0
    assert most.facts["colour"] == "red"


def test_work_light_is_the_sum_along_the_axes() -> None:
    """Two lamps forward at half light: twice half of the axial intensity, one row for that side (pencil)."""
    model = built("grille.left", "grille.right")
    (found,) = system.work_light(model, situation="standing")
    axis_cd = beam_table(glows(model, "standing")[0].emitter.output).peak_cd

    assert found.value == pytest.approx(2 * 0.5 * axis_cd, rel=1e-6)
    assert (found.facts["toward"], found.facts["colour"]) == ("front", "white")


def test_levels_are_measured_from_the_axles_of_the_body() -> None:
    """Bumper 958 mm ahead of the front axle; rear bumper 4972 mm behind it, 1292 behind the rear one (body file)."""
    model = built("bumper-front.left", "bumper-rear.left")
    by_end = {
        each.facts["end"]: each.value
        for each in system.level_beyond_axle(model, situation="calling")
        if each.facts["level"] == "lower"
    }
    front, rear = model.body.places["bumper-front"].x, model.body.places["bumper-rear"].x
    spacing = {
        each.facts["side"]: each.value
        for each in system.level_spacing(model, situation="calling")
        if each.facts["level"] == "lower"
    }

    assert by_end == {"front": pytest.approx(front), "rear": pytest.approx(-rear - model.body.wheelbase)}
    assert spacing == {"left": pytest.approx(front - rear)}


# --------------------------------------------------------------------------------------------------------------- law
@pytest.mark.parametrize("pulses", [((50, 1.0), (50, 0.0)), ((60, 0.5), (40, 1.0)), ((10, 1.0), (90, 0.2))])
def test_factor_of_a_cycle_is_that_of_one_flash(pulses: tuple[tuple[int, float], ...]) -> None:
    """Law: a cycle that ends in half a second of dark is worth its own flash, dark or not."""
    wave = Wave.of([*pulses, (500, 0.0)])
    alone = form_factor(steps([(ms / 1000, level) for ms, level in pulses])).intensity_cd

    assert form_factor_level(wave) == pytest.approx(alone, rel=1e-12)


def test_never_more_than_the_peak() -> None:
    """Law: an eye that averages can't see more than was sent; a steady light is worth itself."""
    assert form_factor_level(Wave.of([(400, 0.7), (100, 0.0)])) < 0.7
    assert form_factor_level(Wave.constant(0.7)) == 0.7


def test_heads_that_flash_together_add_and_in_turn_do_not() -> None:
    """Law: two heads one way are worth twice as much at the same instants, and no more than one in turn."""
    one, together, in_turn = (
        system.form_factor(model, situation="calling", vertical=0.0, of="most")[0].value
        for model in (
            built("grille.left", red="single together"),
            built("grille.left", "grille.right", red="single together"),
            built("grille.left", "grille.right", red="single sides"),
        )
    )
    assert isinstance(one, float)
    assert together == pytest.approx(2 * one, rel=1e-9)
    assert in_turn == pytest.approx(one, rel=1e-9)


def test_nothing_lit_nothing_said() -> None:
    """Law: a situation without work light or flashing light has no rows, and none is a number out of nothing."""
    model = built("grille.left")

    assert system.work_light(model, situation="calling") == ()
    assert system.form_factor(model, situation="standing", vertical=0.0) == ()
    assert system.level_beyond_axle(model, situation="standing") == ()
    assert math.isfinite(float(system.work_light(model, situation="standing")[0].value or 0.0))


def test_a_level_does_without_the_lamps_of_the_other() -> None:
    """SAE J2498 (second-hand): levels are judged each by itself, so a lamp on the roof can't help the bumper."""
    model = built("bumper-front.left", "cap-front.left", red="single together")

    def width_rad(level: Literal["both", "upper", "lower"]) -> float:
        (found,) = one_dead_gap(model, situation="calling", least=1.0, level=level)
        assert found.facts["level"] == level
        return float(found.value or 0.0)

    assert width_rad("both") < math.tau  # the other lamp still shines
    assert width_rad("upper") == width_rad("lower") == pytest.approx(math.tau)
