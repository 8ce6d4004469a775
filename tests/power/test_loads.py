"""What draws, and how much: identities of waves from print, laws over settings, and the three examples."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.kit.wave import Wave, total
from coachwright.parts.schema import LampPart
from coachwright.power.feeds import item_fed
from coachwright.power.found_loads import findings_loads
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import VEHICLE, clock_of, currents, loads_of, restart
from coachwright.power.shape import load_shape
from coachwright.power.summed import NOTHING, Summed, summed
from tests.power.vehicles import NAMES, example, small


def whole(model: Model, situation: str) -> Summed:
    """Everything a vehicle draws in a situation."""
    by_clock: dict[str, list[Wave]] = {}
    for subject, wave in currents(model, situation=situation).items():
        by_clock.setdefault(clock_of(model, subject), []).append(wave)
    return summed({clock: tuple(waves) for clock, waves in by_clock.items()})


# ---- print
@pytest.mark.parametrize(
    ("steps", "mean_a", "rms_a"),
    [
        ([(500, 2.0), (500, 0.0)], 1.0, 1.414),  # square wave of 0 and 2 A: a circuits page, holooly.com, 2.13
        ([(50, 10.0), (950, 0.0)], 0.5, 2.236),  # a twentieth of the time: allaboutcircuits.com, thread 1808
        ([(300, 8.0), (700, 2.0)], 3.8, 4.690),  # two levels, by hand: sqrt(0.3 64 + 0.7 4)
    ],
)
def test_root_mean_squares_agree_with_worked_examples(
    steps: list[tuple[int, float]], mean_a: float, rms_a: float
) -> None:
    """Print: I sqrt(D) of a rectangle, and the sum of squares by their share of the time."""
    found = summed({"": [Wave.of(steps)]})

    assert found.mean_a == pytest.approx(mean_a)
    assert found.rms_a == pytest.approx(rms_a, abs=5e-4)


def test_two_halves_that_alternate_draw_as_one_that_is_steady() -> None:
    """Print: peak = mean = RMS = half of the peak of both at once (the same identities)."""
    one = Wave.of([(250, 5.0), (250, 0.0)])
    alternating, at_once = summed({"": [one, one.shift(250)]}), summed({"": [one, one]})

    assert (alternating.peak_a, alternating.mean_a, alternating.rms_a) == (5.0, 5.0, 5.0)
    assert at_once.peak_a == 10.0


@given(
    count_n=st.integers(1, 6),
    current_a=st.floats(0.1, 20),
    lit_ms=st.integers(1, 999),
)
def test_clocks_that_run_apart_agree_with_the_formula(count_n: int, current_a: float, lit_ms: int) -> None:
    """Print: RMS^2 = (n I D)^2 + n I^2 D (1 - D) of independent loads, as power.shape has it from its source."""
    wave = Wave.of([(lit_ms, current_a), (1000 - lit_ms, 0.0)])
    found = summed({str(number): [wave] for number in range(count_n)})
    shape = load_shape(count_n=count_n, current_a=current_a, duty_share=lit_ms / 1000)

    assert found.mean_a == pytest.approx(shape.mean_a)
    assert found.rms_a == pytest.approx(shape.rms_independent_a)
    assert found.peak_a == pytest.approx(shape.peak_a)


def test_a_radio_sends_a_tenth_of_the_time() -> None:
    """Print: 10 % sending, 90 % receiving (NFPA 1901, 13.3.3, from memory): 0.1 x 11 A + 0.9 x 1.8 A."""
    wave = currents(small(), situation="standing")["equipment.radio"]

    assert load_figures().cites["radio"].source == "NFPA 1901"
    assert load_figures().cites["radio"].is_draft
    assert wave.mean() == pytest.approx(0.1 * 11 + 0.9 * 1.8)
    assert (wave.peak(), wave.trough()) == (11.0, 1.8)


# ---- law
@given(
    rows=st.lists(
        st.tuples(st.integers(1, 5), st.integers(1, 5), st.floats(0, 10), st.integers(0, 3)), min_size=1, max_size=6
    )
)
def test_a_sum_lies_between_what_it_can_be(rows: list[tuple[int, int, float, int]]) -> None:
    """Law: mean <= RMS <= peak; the mean is the sum of means; no peak is above the sum of peaks."""
    waves: dict[str, list[Wave]] = {}
    for lit, dark, current_a, clock in rows:
        waves.setdefault(str(clock), []).append(Wave.of([(100 * lit, current_a), (100 * dark, 0.0)]))
    found = summed({clock: tuple(each) for clock, each in waves.items()})
    every = [wave for each in waves.values() for wave in each]

    assert found.mean_a == pytest.approx(math.fsum(wave.mean() for wave in every))
    assert found.mean_a <= found.rms_a + 1e-9
    assert found.rms_a <= found.peak_a + 1e-9
    assert found.peak_a <= math.fsum(wave.peak() for wave in every) + 1e-9


def test_nothing_adds_up_to_nothing() -> None:
    """Law: a sum of no waves is 0, and it is exact."""
    assert summed({}) == NOTHING


@pytest.mark.parametrize("name", NAMES)
def test_every_load_has_a_current_and_stays_under_its_most(name: str) -> None:
    """Law: subjects and currents are the same names; nothing draws more than it ever may, or less than nothing."""
    model = example(name)
    known = {load.subject: load for load in loads_of(model)}
    assert len(known) == len(loads_of(model))
    for situation in model.situations:
        drawn = currents(model, situation=situation.name)
        assert drawn.keys() == known.keys()
        for subject, wave in drawn.items():
            assert wave.trough() >= 0, (situation.name, subject)
            assert wave.peak() <= known[subject].most_a + 1e-9, (situation.name, subject)


@pytest.mark.parametrize(
    ("more", "situation"),
    [("visor: {part: bar-8-red-white, at: windshield-top}", "standing"), ("", "standing")],
)
def test_more_heads_never_draw_less(more: str, situation: str) -> None:
    """Law: a lamp more in the same show raises mean, RMS and peak, or leaves them."""
    before = whole(small(), situation)
    after = whole(small(("  grille:", f"  {more}\n  grille:")), situation) if more else before

    assert after.mean_a >= before.mean_a - 1e-9
    assert after.rms_a >= before.rms_a - 1e-9
    assert after.peak_a >= before.peak_a - 1e-9
    assert not more or after.mean_a > before.mean_a


@pytest.mark.parametrize(
    ("name", "situation", "left", "right"),
    [
        ("quillback", "lane-closed", "arrow: left}", "arrow: right}"),
        ("volunteer-car", "lane-closed", "arrow: left}", "arrow: right}"),
        ("service-patrol", "blocking", "arrow: left, engine", "arrow: right, engine"),
    ],
)
def test_a_mirrored_vehicle_draws_the_same(name: str, situation: str, left: str, right: str) -> None:
    """Law: the arrow to the other side is the mirror image, and so is what it draws."""
    one, other = whole(example(name), situation), whole(example(name, (left, right)), situation)

    assert one.mean_a == pytest.approx(other.mean_a)
    assert one.rms_a == pytest.approx(other.rms_a)
    assert one.peak_a == pytest.approx(other.peak_a)


def test_sides_and_other_sides_are_mirror_images() -> None:
    """Law: which side begins changes neither the sum nor any head's mean."""
    one, other = (small(("red: single sides", f"red: single {word}")) for word in ("sides", "other-sides"))

    assert whole(one, "standing") == whole(other, "standing")


@pytest.mark.parametrize("name", NAMES)
def test_one_after_the_other_is_never_harder_than_all_at_once(name: str) -> None:
    """Law: a sequencer's peak lies between what runs in the end and everything with its inrush."""
    model = example(name)
    for situation in model.situations:
        found = restart(model, situation=situation.name)
        assert found.steady_a <= found.stepped_a + 1e-9
        assert found.stepped_a <= found.together_a + 1e-9


# ---- case
def test_lamps_draw_what_their_sheet_says() -> None:
    """Case: a red head of 0.62 A, lit for a sixth of the cycle or steady, and its share of the lamp's standby."""
    model = small()
    part = model.part("short-red-white")
    assert isinstance(part, LampPart)
    wave = currents(model, situation="standing")["lamps.grille.left"]

    assert wave.peak() == pytest.approx(part.colours["red"].current + part.standby)
    assert currents(model, situation="plain")["lamps.grille.left"] == Wave.constant(part.standby)


def test_a_siren_draws_while_it_sounds() -> None:
    """Case: wail on the way to a call, silent at the scene."""
    model = example("quillback")

    assert currents(model, situation="answering")["equipment.main-siren"].mean() == 19.0
    assert currents(model, situation="on-scene")["equipment.main-siren"].mean() == 0.0


def test_equipment_runs_with_its_function_and_its_feed() -> None:
    """Case: an emitter on the way; the camera only while the reverse lamps have voltage; an inverter that isn't run."""
    model = example("quillback")

    assert currents(model, situation="answering")["equipment.emitter-front"].mean() == 1.4
    assert currents(model, situation="on-scene")["equipment.emitter-front"].mean() == 0.002  # standby
    assert currents(model, situation="backing-in")["equipment.rear-camera"].mean() == 0.18
    assert currents(model, situation="answering")["equipment.rear-camera"].mean() == 0.0
    assert currents(small(), situation="standing")["equipment.inverter"].mean() == 0.004


def test_the_vehicle_itself_draws_by_its_key() -> None:
    """Case: base load with the engine running, half of it without, a quarter at accessory, parked draw without key."""
    model = small()
    drawn = {each.name: currents(model, situation=each.name)[VEHICLE].mean() for each in model.situations}

    assert drawn["standing"] == model.body.base_load
    assert drawn["engine-off"] == pytest.approx(0.5 * model.body.base_load)
    assert drawn["listening"] == pytest.approx(0.25 * model.body.base_load)
    assert drawn["parked"] == model.body.parked_draw


def test_the_memory_wire_is_a_load_of_its_own() -> None:
    """Case: off with the key, a radio draws its 12 mA through the wire that keeps its memory."""
    drawn = currents(small(), situation="parked")

    assert drawn["equipment.radio"].mean() == 0.0
    assert drawn["equipment.radio.memory"].mean() == pytest.approx(0.012)


def test_several_of_one_kind_share_a_wire() -> None:
    """Case: two sockets written with a count draw twice one socket."""
    one, two = small(("count: 2", "count: 1")), small()
    drawn = [currents(model, situation="standing")["equipment.usb"].mean() for model in (one, two)]

    assert drawn[1] == pytest.approx(2 * drawn[0])


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_are_fed(name: str) -> None:
    """Case: nothing that draws is without a feed, and what isn't fed in a situation draws nothing there."""
    model = example(name)

    assert findings_loads(model) == ()
    for situation in model.situations:
        drawn = currents(model, situation=situation.name)
        for item in model.equipment:
            subject = f"equipment.{item.name}"
            if subject in drawn and item.feed != "shore" and not item_fed(model, item, situation=situation.name).alive:
                assert drawn[subject].peak() == 0.0


def test_lamps_without_a_controller_are_told() -> None:
    """Case: PWR-001 names the lamps, the controller without a feed, and equipment without one."""
    nobody = small(
        ("  controller: {part: controller-24, at: under-rear-seat, feed: main}\n", ""),
        (", spares: [controller.memory]", ""),
    )
    nowhere = small(("at: under-rear-seat, feed: main", "at: under-rear-seat"))

    assert [each.code for each in findings_loads(nobody)] == ["PWR-001"]
    assert "no controller feeds them" in str(findings_loads(nobody)[0].values["why"])
    assert {each.about for each in findings_loads(nowhere)} == {"equipment.controller"}
    assert {each.code for each in findings_loads(nowhere)} == {"PWR-001"}


def test_a_part_without_a_current_is_told_once() -> None:
    """Case: PWR-004 for a lamp whose red draws nothing, though four lamps are of that part."""
    model = small()
    part = model.part("short-red-white")
    assert isinstance(part, LampPart)
    red = part.colours["red"].model_copy(update={"current": 0.0})
    heads = tuple(head.model_copy(update={"colours": head.colours | {"red": red}}) for head in part.heads)
    dark = part.model_copy(update={"heads": heads})
    parts = tuple((name, dark if name == part.name else each) for name, each in model.parts)
    found = findings_loads(replace(model, parts=parts, digest=""))

    assert [(each.code, each.name) for each in found] == [("PWR-004", "part-without-current")]
    assert "draws nothing in red" in str(found[0].values["why"])


def test_totals_of_a_clock_are_exact() -> None:
    """Law: lamps of one clock are summed step by step, and the sum is the one flash.waves would draw."""
    model = example("quillback")
    lamps = [
        wave for subject, wave in currents(model, situation="on-scene-shut").items() if subject.startswith("lamps.")
    ]

    assert summed({"": lamps}).peak_a == pytest.approx(total(lamps).peak())
    assert summed({"": lamps}).exact
