"""Windows of wire, fuse, ground and what joins them: against print, by hand, and laws that hold on every example."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.measure import Measure
from coachwright.power.circuits import circuits_of
from coachwright.power.drawn import drawn_in, lowest_factor
from coachwright.power.laying import laying
from coachwright.power.loads import Load, loads_of
from coachwright.power.measures_joints import (
    host_circuit_share,
    spare_fuses_share,
    terminal_share,
    watched_circuit_tapped,
)
from coachwright.power.measures_sizes import (
    TABLES,
    Laid,
    ampacity_share,
    drop_share,
    fuse_share_of_wire,
    ground_point_share,
    ground_share_of_feed,
    laid_wires,
    load_share_of_fuse,
    short_let_through_share,
    stranded_copper,
    subjects_through,
    table_a,
    unprotected_length,
    wire_gauge,
    wire_share_of_fuse,
)
from coachwright.power.returns import grounded
from coachwright.power.size import Stretch
from coachwright.power.sizes import sized, wire_named
from coachwright.power.sizing_figures import sizing_figures
from tests.power.vehicles import NAMES, example, small

AIR = Stretch(1.0, 30.0)


def value(measure: Measure) -> float:
    """A number that is known."""
    assert isinstance(measure.value, float)
    return measure.value


def by_path(found: tuple[Measure, ...]) -> dict[str, float]:
    """The answer for each thing."""
    return {each.about: value(each) for each in found}


def load(behaves: str, *, least_v: float = 0.0) -> Load:
    """A load of 12.8 V."""
    known = next(each for each in loads_of(small()) if each.subject == "equipment.radio")
    return replace(known, behaves=behaves, test_voltage_v=12.8, least_voltage_v=least_v)  # type: ignore[arg-type]


# --------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(
    ("gauge", "by", "carries_a"),
    [
        ("16 AWG", "33-cfr-183-425", 25.0),
        ("12 AWG", "33-cfr-183-425", 45.0),
        ("12 AWG", "chassis-maker", 42.0),
        ("10 AWG", "chassis-maker", 58.0),
    ],
)
def test_what_a_wire_carries_is_read_off_the_named_table(gauge: str, by: str, carries_a: float) -> None:
    """33 CFR 183.425, table 5, 105 degC insulation in 30 degC; a chassis maker's table for body builders, XLPE."""
    wire = wire_named(gauge)
    assert wire is not None

    assert table_a(wire, by, AIR) == pytest.approx(carries_a)
    assert table_a(wire, by, replace(AIR, bundle_n=12)) == pytest.approx(carries_a)  # a bundle is counted elsewhere


# ----------------------------------------------------------------------------------------------------------------- law
@given(lowest_v=st.floats(9.0, 12.8), least_v=st.floats(0.0, 12.8))
def test_at_the_lowest_supply_power_takes_more_and_a_resistance_less(lowest_v: float, least_v: float) -> None:
    """Law (I = P / V, I = V / R): and never below what a load works with."""
    at_v = max(lowest_v, least_v)

    assert lowest_factor(load("power", least_v=least_v), lowest_v) == pytest.approx(12.8 / at_v)
    assert lowest_factor(load("resistance", least_v=least_v), lowest_v) == pytest.approx(at_v / 12.8)
    assert lowest_factor(load("current", least_v=least_v), lowest_v) == 1.0


@pytest.mark.parametrize("name", NAMES)
def test_the_drop_to_a_load_is_that_of_every_wire_on_its_way(name: str) -> None:
    """Law: by hand from each wire's own drop at its peak, scaled to what it leads in the situation, over 11.8 V."""
    model, lowest_v = example(name), sizing_figures().lowest_v
    known = {laid.run.name: laid for laid in laid_wires(model)}

    def lost_v(laid: Laid, situation: str) -> float:
        now_a = drawn_in(model, subjects_through(model, laid), situation).peak_a
        return laid.wire.drop_v * now_a / laid.wire.need.peak_a if laid.wire.need.peak_a else 0.0

    for situation in (model.situations[0].name, model.situations[-1].name):
        worst: dict[str, float] = {}
        for laid in known.values():
            if laid.of.hung.level == "load":
                way = [known[each] for each in laid.of.hung.upstream]
                share = sum(lost_v(each, situation) for each in (laid, *way)) / lowest_v
                worst[laid.run.path] = max(worst.get(laid.run.path, 0.0), share)
        assert by_path(drop_share(model, situation=situation)) == pytest.approx(worst)


@pytest.mark.parametrize("name", NAMES)
def test_currents_at_ground_points_are_those_that_return_there(name: str) -> None:
    """Law: every load that is laid returns once, and a point's share is the sum of their peaks over what it carries."""
    model = example(name)
    laid = circuits_of(model).laid
    points = grounded(model.body, laid.net, laid.runs)
    returning = [load for point in points for load in point.carries]
    situation = model.situations[0].name
    shares = {each.facts["point"]: value(each) for each in ground_point_share(model, situation=situation)}
    by_hand = {
        point.point.node: sum(drawn_in(model, (load,), situation).peak_a for load in point.carries) / point.point.most_a
        for point in points
        if point.point.most_a > 0
    }

    assert len(returning) == len(set(returning))
    assert {load for run in laid.runs if run.kind == "return" for load in run.carries} <= set(returning)
    assert shares == pytest.approx(by_hand)


@pytest.mark.parametrize("name", NAMES)
def test_fuse_over_wire_and_wire_over_fuse_are_one_question(name: str) -> None:
    """Law: of each thing with one wire the two are each other's reciprocal."""
    model = example(name)
    wires = [laid.run.path for laid in laid_wires(model)]
    fuse, wire = by_path(fuse_share_of_wire(model, by=TABLES[0])), by_path(wire_share_of_fuse(model))
    alone = [path for path in fuse if wires.count(path) == 1]

    assert alone
    assert all(fuse[path] * wire[path] == pytest.approx(1.0) for path in alone)
    assert (
        fuse_share_of_wire(model, by="no-such-table") == ampacity_share(model, situation="", by="no-such-table") == ()
    )


@pytest.mark.parametrize("name", NAMES)
def test_no_wire_of_the_examples_carries_more_than_it_may(name: str) -> None:
    """Law: of what the solver sized each wire bears its current in its heat and bundle, each fuse what runs for hours.

    And no fuse lets more through in a short than its wire bears.
    """
    model = example(name)
    for situation in model.situations:
        assert max(by_path(ampacity_share(model, situation=situation.name, by=TABLES[0])).values()) <= 1.0
        assert max(by_path(load_share_of_fuse(model, situation=situation.name)).values()) <= 1.0
    assert max(by_path(short_let_through_share(model)).values()) <= 1.0


@pytest.mark.parametrize("name", NAMES)
def test_every_thing_with_a_wire_is_answered_once(name: str) -> None:
    """Law: one answer for each path, and every window that asks of all wires asks of the same things."""
    model = example(name)
    paths = {laid.run.path for laid in laid_wires(model)}
    found = (stranded_copper(model), unprotected_length(model), wire_share_of_fuse(model))

    assert all({each.about for each in answers} == paths for answers in found)
    assert all(len(answers) == len(paths) for answers in found)


@pytest.mark.parametrize("name", NAMES)
def test_a_connector_way_carries_no_more_than_it_is_made_for(name: str) -> None:
    """Law: on the examples; and more current is never less of it."""
    model = example(name)
    shares = {each.name: by_path(terminal_share(model, situation=each.name)) for each in model.situations}

    assert all(0.0 <= share <= 1.0 for found in shares.values() for share in found.values())
    assert any(found for found in shares.values())


# ---------------------------------------------------------------------------------------------------------------- case
def test_gauges_are_told_as_awg_numbers() -> None:
    """Case: 2/0 is -1, the thinner cable at the disconnect; what lies alone or is under an ampere is marked."""
    found = {each.about: each for each in wire_gauge(small())}

    assert value(found["equipment.disconnect"]) == -1.0
    assert {each.facts["installed"] for each in found.values()} <= {"alone", "in-sheath"}
    assert {each.facts["electronics"] for each in found.values()} == {"yes", "no"}


def test_copper_is_stranded_and_fuses_sit_one_loop_from_their_source() -> None:
    """Case: every wire of the shelf is; the way to a fuse is what the harness says of it."""
    assert all(each.value is True for each in stranded_copper(small()))
    assert {value(each) for each in unprotected_length(small())} == {laying().loop_at_end_m}


def test_the_way_back_is_as_thick_as_the_feed() -> None:
    """Case: everything that has a return; a cable has none."""
    found = by_path(ground_share_of_feed(small()))

    assert set(found.values()) == {1.0}
    assert "lamps.grille" in found
    assert "equipment.disconnect" not in found


def test_spare_fuses_are_counted_by_kind() -> None:
    """Case: none ride along in the small build; the count of those in place is that of its circuits."""
    found = spare_fuses_share(small())
    in_place = {each.facts["size"]: int(each.where.split(" for ")[1].split()[0]) for each in found}

    assert {value(each) for each in found} == {0.0}
    assert sum(in_place.values()) == len(sized(small()))


def test_what_only_the_maker_knows_is_not_guessed() -> None:
    """Case: a factory circuit's fuse, and whether its module watches a lamp: no value, and the reason."""
    model = example("quillback")
    hosts = host_circuit_share(model, situation="on-scene")
    watched = watched_circuit_tapped(model)

    assert {each.about for each in hosts} == {"equipment.backing-alarm", "equipment.rear-camera"}
    assert watched
    for each in (*hosts, *watched):
        assert each.value is None
        assert "ask the maker" in each.why_not
    assert host_circuit_share(small(), situation="standing") == ()


def test_radios_sirens_and_computers_count_as_critical() -> None:
    """Case: their drop is marked, so that the stricter rule asks it of them alone."""
    facts = {each.about: each.facts["critical"] for each in drop_share(small(), situation="standing")}

    assert facts["equipment.radio"] == facts["equipment.dock"] == facts["equipment.controller"] == "yes"
    assert facts["lamps.grille"] == facts["equipment.usb"] == "no"
    assert not math.isnan(sum(by_path(drop_share(small(), situation="standing")).values()))
