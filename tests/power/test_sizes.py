"""Fuse and wire of whole builds: every rule governs somewhere, nothing is left out, settling twice changes nothing."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.lock import Lock
from coachwright.build.model import Model
from coachwright.build.settling import SOLVERS, settle
from coachwright.power import measures
from coachwright.power.checks import power_findings
from coachwright.power.circuits import circuits_of, warm_by_segment
from coachwright.power.drawn import drawn, drawn_in, lowest_factor, never_on
from coachwright.power.found_sizes import findings_sizes
from coachwright.power.loads import LAMPS, loads_of
from coachwright.power.measures_sizes import laid_wires
from coachwright.power.size import carries, resistance_ohm
from coachwright.power.sizes import (
    SIZES,
    fuse_subject,
    gauge_name,
    sized,
    sized_anew,
    wire_named,
    wires_by_subject,
    wires_for,
)
from coachwright.power.sizing_figures import sizing_figures
from tests.power.vehicles import NAMES, SMALL, again, example, read, small, text_of

assert measures is not None  # opening the room registers its solvers


def locked_model(name: str, lock: Lock) -> Model:
    """An example with its lock."""
    return read(text_of(name), lock=lock)


@pytest.mark.parametrize("name", NAMES)
def test_every_load_hangs_behind_one_fuse_of_its_own_level(name: str) -> None:
    """Law: each load with a feed is on one load circuit, and on every cable its current comes through."""
    model = example(name)
    circuits = circuits_of(model)
    levels = Counter((load, hung.level) for hung in circuits.hung for load in hung.loads if hung.level == "load")

    fed = {load.subject for load in loads_of(model) if load.feed and not load.feed.startswith("vehicle.")}
    assert fed <= {load for load, _ in levels}
    assert {subject: count for (subject, _), count in levels.items() if count > 1 and subject in fed} == {
        subject: count for (subject, _), count in levels.items() if count > 1 and subject in fed and _memory(subject)
    }
    for hung in circuits.hung:
        for above in hung.upstream:
            cable = next(each for each in circuits.hung if above in each.runs)
            assert set(hung.loads) <= set(cable.loads)


def _memory(subject: str) -> bool:
    """A controller has a second thin wire that its disconnect spares."""
    return subject == "equipment.controller"


def test_at_least_four_rules_govern_a_wire_across_the_examples() -> None:
    """Case: which rule made each wire as thick as it is; at least four different ones do."""
    governs = Counter(
        wire.governed_by for name in NAMES for each in sized_anew(example(name)) for wire in each.sized.wires
    )

    assert len({rule for rule in governs if rule not in ("thinnest", "fixed")}) >= 4
    assert {"drop", "fuse", "short", "ampacity"} <= set(governs)


@pytest.mark.parametrize("name", NAMES)
def test_a_second_settling_changes_nothing(name: str) -> None:
    """Law: what is settled stays settled, and sizes read back from the lock are those that were chosen."""
    model = example(name)
    first = settle([model], Lock("build.lock.yaml"), SOLVERS)
    lock = again(first)
    locked = locked_model(name, lock)

    assert first.open == ()
    assert settle([locked], lock, SOLVERS).changes == ()
    gauges = {each.subject: each.value for each in locked.decisions if each.what == "gauge"}
    held = {subject: gauge_name(wire) for subject, wire in wires_by_subject(locked).items()}
    assert gauges
    assert {subject: held[subject] for subject in gauges} == gauges


@pytest.mark.parametrize("name", NAMES)
def test_what_the_solver_chose_breaks_no_rule(name: str) -> None:
    """Law: every wire and fuse that nobody fixed holds every rule, on the lowest supply and in the worst situation."""
    for each in sized_anew(example(name)):
        for wire in each.sized.wires:
            assert not wire.fails or wire.governed_by == "fixed", wire.need.subject
        assert set(each.sized.fuse.broken) <= {"selective"}


@pytest.mark.parametrize("name", NAMES)
def test_supply_and_return_of_one_thing_are_of_one_size(name: str) -> None:
    """Law: all wires of a subject have the gauge of its question, so the way back is as thick as the feed."""
    solved = SIZES.decides(example(name), SIZES.asks(example(name)), {})
    gauges = {subject: value for (subject, what), value in solved.items() if what == "gauge"}

    for subject, gauge in gauges.items():
        wire = wire_named(gauge)
        assert wire is not None
        needs = [each.wire for each in laid_wires(example(name)) if each.run.subject == subject]
        assert all(wire.area >= each.wire.area - 1e-12 for each in needs) or not needs


@pytest.mark.parametrize("name", NAMES)
def test_a_return_is_sized_for_all_that_comes_home_in_it(name: str) -> None:
    """Law: of a lamp on several channels the way home bears the sum, at its peak and by its heat."""
    model = example(name)
    returns = {run.subject: run for run in circuits_of(model).laid.runs if run.kind == "return"}
    several = 0
    for laid in laid_wires(model):
        home = returns.get(laid.run.subject)
        if laid.of.hung.level != "load" or home is None or not laid.run.goes.startswith("supply"):
            continue
        need, whole = laid.wire.need, drawn(model, home.carries)
        several += whole.peak_a > need.peak_a + 1e-9
        out_v, home_v = (
            sum(amperes * resistance_ohm(laid.wire.wire, each, warms) for each in way)
            for way, amperes, warms in (
                (need.out, need.peak_a, need.effective_a),
                (need.back, whole.peak_a, whole.rms_a),
            )
        )

        assert need.home_peak_a == pytest.approx(max(whole.peak_a, need.peak_a))
        assert laid.wire.drop_v == pytest.approx(out_v + home_v)
        assert all(whole.rms_a <= carries(laid.wire.wire, each) for each in need.back)
    assert several


def test_each_fuse_is_larger_than_those_behind_it() -> None:
    """Law: 1.6 times, unless it is told that no wire would bear that, or the lead fixed it."""
    times = sizing_figures().selective_times
    for name in NAMES:
        found = sized_anew(example(name))
        by_run = {run: each for each in found for run in each.hung.runs}
        for each in found:
            for above in each.hung.upstream:
                cable = by_run[above].sized.fuse
                assert cable.rating_a >= times * each.sized.fuse.rating_a - 1e-9 or "selective" in cable.broken


def test_the_job_chooses_the_rule_and_the_family() -> None:
    """Case: a stricter rule never thins a wire; SAE and metric sizes are taken where the job says so."""
    lax, strict = (
        {
            wire.need.subject: wire.wire.area
            for each in sized_anew(example("quillback", ("fuse-rule: 125 %", f"fuse-rule: {rule}")))
            for wire in each.sized.wires
        }
        for rule in ("150 %", "135 %")
    )
    sae = example("quillback", ("wire: awg", "wire: sae"))

    assert all(strict[subject] >= area for subject, area in lax.items())
    assert any(strict[subject] > area for subject, area in lax.items())
    assert {wire.family for wire in wires_for(sae)} == {"sae", "awg"}
    assert any(wire.wire.family == "sae" for each in sized_anew(sae) for wire in each.sized.wires)


def test_what_is_fixed_holds_and_is_told_where_it_breaks_a_rule() -> None:
    """Case: volunteer-car's siren on 10 AWG loses more than 3 % (PWR-060); a fuse too small is told (PWR-061)."""
    car = example("volunteer-car")
    thin = example("volunteer-car", ("fuse: 30 A", "fuse: 10 A"))

    assert [(each.code, each.about) for each in findings_sizes(car)] == [("PWR-060", "equipment.main-siren")]
    siren = next(each for each in sized(thin) if "equipment.main-siren supply" in each.hung.runs)
    assert siren.sized.fuse.rating_a == 10.0
    assert "PWR-061" in {each.code for each in findings_sizes(thin)}


def test_a_cable_that_can_not_be_selective_is_told() -> None:
    """Case: a feed fixed to a fuse no larger than one behind it is told (PWR-062)."""
    fixed = "fixed:\n  computer: {fuse: 15 A, why: the district's drawing}"
    model = example("quillback", ("fixed:", fixed))

    assert [each.about for each in findings_sizes(model) if each.code == "PWR-062"] == ["feeds.computer"]


def test_a_load_that_is_on_in_no_situation_counts_as_on() -> None:
    """Case: quillback's second siren sounds in no situation; its wire and fuse are for what it takes at its most."""
    model = example("quillback")
    known = {load.subject: load for load in loads_of(model)}
    siren = known["equipment.second-siren"]

    assert never_on(model, siren.subject)
    assert drawn(model, (siren.subject,)).peak_a == pytest.approx(siren.most_a * lowest_factor(siren, 11.8))


@settings(max_examples=15)
@given(st.data())
def test_what_hangs_together_never_draws_less(data: st.DataObject) -> None:
    """Law: with more loads mean, heat and peak are as much or more, and never more than their sum."""
    model = small()
    subjects = [load.subject for load in loads_of(model)]
    few = tuple(sorted(data.draw(st.sets(st.sampled_from(subjects), min_size=1))))
    more = tuple(sorted({*few, *data.draw(st.sets(st.sampled_from(subjects)))}))

    one, other = drawn(model, few), drawn(model, more)

    assert one.mean_a <= other.mean_a + 1e-9
    assert one.rms_a <= other.rms_a + 1e-9
    assert one.peak_a <= other.peak_a + 1e-9
    assert other.peak_a <= sum(drawn(model, (each,)).peak_a for each in more) + 1e-9


def test_only_wires_that_are_warm_count_in_a_bundle() -> None:
    """Case: forty lamps of under an ampere don't heat each other; the main cables do."""
    model = example("quillback")
    circuits = circuits_of(model)
    warm = warm_by_segment(model, circuits.laid)
    lamps = [run for run in circuits.laid.runs if run.kind == "supply" and run.subject.startswith(LAMPS)]

    assert len(lamps) > 20
    assert max(warm.values()) <= 6
    assert all(drawn_in(model, run.carries, model.situations[0].name).rms_a < 10 for run in lamps)


def test_who_begins_with_the_lamps_is_told_once() -> None:
    """Case: lamps, and not a word of feeds or a controller: one warning (PWR-001), nothing of wires."""
    text = SMALL[: SMALL.index("controls:")] + "situations:\n  plain: {}\n"
    found = power_findings(read(text))

    assert [(each.code, each.severity) for each in found] == [("PWR-001", "warning")]


def test_the_fuse_of_a_channel_is_decided_under_its_first_load() -> None:
    """Case: one question for each circuit, none for what the lead fixed."""
    model = example("quillback")
    asked = {(each.subject, each.what) for each in SIZES.asks(model)}
    by_channel = [hung for hung in circuits_of(model).hung if hung.channel]

    assert all((fuse_subject(hung), "fuse") in asked for hung in by_channel)
    assert ("equipment.main-siren", "fuse") not in asked
    assert ("equipment.main-siren", "gauge") not in asked
