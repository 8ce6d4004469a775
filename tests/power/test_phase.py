"""Phases for the lowest peak: identities, every delay tried by brute force, ties that hold, and the examples."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.kit.wave import Wave, total
from coachwright.power.darkened import zone_of
from coachwright.power.phase import Phased, Tie, Untieable, lowest_peak, phases
from tests.power.vehicles import NAMES, example

PULSES = st.tuples(st.integers(1, 7), st.integers(1, 12)).map(lambda row: (row[0], min(row[1], 8 - row[0] or 1)))


def pulse(lit: int, current_a: float, *, cycle: int = 8) -> Wave:
    """Lit for so many tenths of a second of its cycle."""
    return Wave.of([(100 * lit, float(current_a)), (100 * (cycle - lit), 0.0)])


def brute(groups: list[Wave], *, step_ms: int) -> float:
    """The lowest peak there is: every delay of every group but the first."""
    first, *others = groups
    ranges = [range(0, wave.period_ms or 1, step_ms) for wave in others]
    return min(
        total([first, *(wave.shift(delay) for wave, delay in zip(others, delays, strict=True))]).peak()
        for delays in itertools.product(*ranges)
    )


def peak_of(groups: list[Wave], found: Phased) -> float:
    """The peak with these delays, worked out by the waves alone."""
    return total(wave.shift(delay) for wave, delay in zip(groups, found.delays_ms, strict=True)).peak()


# ---- print
def test_two_equal_halves_draw_half() -> None:
    """Print: two loads of D = 0.5 that alternate have half the peak of both at once (identities of pulsed loads)."""
    found = lowest_peak([pulse(4, 5.0), pulse(4, 5.0)])

    assert (found.before_a, found.after_a, found.least_a) == (10.0, 5.0, 5.0)


@pytest.mark.parametrize(
    ("count_n", "lit", "after_a"), [(2, 4, 1.0), (4, 2, 1.0), (8, 1, 1.0), (5, 2, 2.0), (3, 4, 2.0)]
)
def test_equal_pulses_fill_the_cycle(count_n: int, lit: int, after_a: float) -> None:
    """Print: n pulses of share D need at least ceil(n D) of them at once (pigeonhole), and that can be reached here."""
    found = lowest_peak([pulse(lit, 1.0) for _ in range(count_n)], step_ms=100)

    assert found.after_a == after_a == math.ceil(count_n * lit / 8)


# ---- law
@settings(max_examples=max(20, settings().max_examples // 5))
@given(rows=st.lists(st.tuples(st.integers(1, 7), st.integers(1, 9)), min_size=1, max_size=3))
def test_no_delay_of_all_there_are_is_better(rows: list[tuple[int, int]]) -> None:
    """Law: of up to three groups every delay was tried by brute force."""
    groups = [pulse(lit, current_a) for lit, current_a in rows]
    found = lowest_peak(groups, step_ms=100)

    assert found.after_a == pytest.approx(brute(groups, step_ms=100))
    assert peak_of(groups, found) == pytest.approx(found.after_a)


@settings(max_examples=max(12, settings().max_examples // 7))
@given(
    rows=st.lists(st.tuples(st.integers(1, 5), st.integers(1, 9), st.sampled_from([6, 8, 12])), min_size=1, max_size=8),
    seed=st.integers(0, 3),
)
def test_never_above_before_nor_below_the_bound(rows: list[tuple[int, int, int]], seed: int) -> None:
    """Law: bound <= after <= before; what is put off keeps its mean; the same question has the same answer."""
    groups = [pulse(lit, current_a, cycle=cycle) for lit, current_a, cycle in rows]
    found = lowest_peak(groups, step_ms=100, tries_n=6, seed=seed)
    shifted = [wave.shift(delay) for wave, delay in zip(groups, found.delays_ms, strict=True)]

    assert found.least_a - 1e-9 <= found.after_a <= found.before_a + 1e-9
    assert total(shifted).mean() == pytest.approx(total(groups).mean())
    assert total(shifted).peak() == pytest.approx(found.after_a)
    assert found == lowest_peak(groups, step_ms=100, tries_n=6, seed=seed)


@settings(max_examples=max(12, settings().max_examples // 7))
@given(
    rows=st.lists(st.tuples(st.integers(1, 7), st.integers(1, 9)), min_size=4, max_size=6),
    share=st.sampled_from([0.0, 0.5]),
)
def test_ties_hold(rows: list[tuple[int, int]], share: float) -> None:
    """Law: together begins together, alternating half a cycle apart, whatever the rest does."""
    groups = [pulse(lit, current_a) for lit, current_a in rows]
    found = lowest_peak(groups, [Tie(0, 1, share), Tie(2, 3, 0.5)], step_ms=100, tries_n=5)

    assert (found.delays_ms[1] - found.delays_ms[0]) % 800 == share * 800
    assert (found.delays_ms[3] - found.delays_ms[2]) % 800 == 400
    assert peak_of(groups, found) == pytest.approx(found.after_a)


def test_ties_that_contradict_each_other_are_refused() -> None:
    """Case: together and alternating at once."""
    with pytest.raises(Untieable, match="as tied already"):
        lowest_peak([pulse(2, 1), pulse(2, 1)], [Tie(0, 1), Tie(0, 1, 0.5)])


def test_ties_in_a_row_add_up() -> None:
    """Case: alternating with what alternates is together."""
    groups = [pulse(2, 1.0)] * 3
    found = lowest_peak(groups, [Tie(0, 1, 0.5), Tie(1, 2, 0.5), Tie(0, 2)])

    assert found.delays_ms[0] % 800 == found.delays_ms[2] % 800


def test_nothing_and_steady_things_stay() -> None:
    """Law: no groups, one group and constants have no phase."""
    assert lowest_peak([]) == Phased((), 0.0, 0.0, 0.0)
    assert lowest_peak([Wave.constant(3.0), pulse(2, 1.0)]).after_a == 4.0


# ---- case
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("within", ["shows", "zones"])
def test_the_examples_never_draw_more(name: str, within: str) -> None:
    """Case: before and after in two situations of each example; what one zone sees stays in time."""
    model = example(name)
    for situation in [each.name for each in model.situations][:2]:
        found = phases(model, situation=situation, within="shows" if within == "shows" else "zones")
        assert found.least_a - 1e-9 <= found.after_a <= found.before_a
        assert bool(found.moved) == (found.after_a < found.before_a)
        assert bool(found.moved) != bool(found.why_not)
        delays: dict[str, set[int]] = {}
        for moved in found.moved:
            for head in moved.heads:
                delays.setdefault(zone_of(model, model.head(head)), set()).add(moved.delay_ms)
        assert all(len(each) == 1 for each in delays.values())


def test_quillback_at_the_scene_draws_less_when_its_sides_wait() -> None:
    """Case: hatch shut, the pulses of sides and rear fall between those of the front; as the shows are written not."""
    model = example("quillback")
    zones, shows = (phases(model, situation="on-scene-shut", within=each) for each in ("zones", "shows"))

    assert zones.after_a < 0.85 * zones.before_a
    assert {moved.zone for moved in zones.moved} <= {"B", "C", "D"}
    assert shows.why_not == "no other phases draw less at once"


def test_what_is_steady_has_no_phase() -> None:
    """Case: on patrol nothing flashes."""
    assert phases(example("quillback"), situation="patrolling").why_not == "nothing flashes"
