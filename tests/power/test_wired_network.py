"""Voltages of the real vehicle: drops along each path by Kirchhoff, grounds that rust, what the posts give."""

from __future__ import annotations

from collections import deque
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.power.circuits import circuits_of
from coachwright.power.loads import currents, loads_of
from coachwright.power.network import Branch, Solved, branch_currents, solve, source_currents
from coachwright.power.sizes import sized
from coachwright.power.states import States
from coachwright.power.wired_network import (
    FUSE_LOSES_V,
    WiredNetwork,
    network_findings,
    network_of,
    solved_in,
    voltages,
)
from tests.power.vehicles import NAMES, example, small

IN = {"quillback": "answering", "volunteer-car": "answering", "service-patrol": "working"}


def path(network: WiredNetwork, start: int, end: int) -> list[tuple[int, float]]:
    """Branches from one node to another with the direction they are gone through, by the fewest of them."""
    beside: dict[int, list[tuple[int, int, float]]] = {}
    for number, branch in enumerate(network.branches):
        beside.setdefault(branch.a, []).append((branch.b, number, 1.0))
        beside.setdefault(branch.b, []).append((branch.a, number, -1.0))
    came: dict[int, tuple[int, int, float]] = {}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for there, number, sign in beside.get(here, ()):
            if there not in came and there != start:
                came[there] = (here, number, sign)
                waiting.append(there)
    found, here = [], end
    while here != start:
        here, number, sign = came[here]
        found.append((number, sign))
    return found


def again(network: WiredNetwork, states: States, branches: tuple[Branch, ...]) -> Solved:
    """The same states on other branches."""
    most = np.maximum(states.levels.max(axis=0), 1e-12)
    return solve(network.nodes_n, branches, network.sources, network.sinks, states.levels / most)


# ----------------------------------------------------------------------------------------------------------------- law
@pytest.mark.parametrize("name", NAMES)
def test_the_voltage_at_a_load_is_the_posts_less_the_drops_on_its_path(name: str) -> None:
    """Law (Kirchhoff): posts less current times resistance of each branch out and back, in every state and load."""
    network, (solved, _) = network_of(example(name), situation=IN[name]), solved_in(example(name), IN[name])
    flows_a = branch_currents(network.branches, solved)

    assert len(network.sinks) > 20
    for place, sink in enumerate(network.sinks):
        plus, minus = network.posts[place]
        by_hand_v = solved.voltages_v[:, plus] - solved.voltages_v[:, minus]
        for number, sign in (*path(network, plus, sink.node), *path(network, sink.back, minus)):
            by_hand_v = by_hand_v - sign * flows_a[:, number] * network.branches[number].ohm
        assert np.allclose(by_hand_v, solved.across_v[:, place], atol=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_currents_at_ground_points_sum_to_the_loads(name: str) -> None:
    """Law: what comes back through all metal is what the loads draw, and what batteries and alternator give."""
    network, (solved, _) = network_of(example(name), situation=IN[name]), solved_in(example(name), IN[name])
    flows_a = branch_currents(network.branches, solved)
    metal = {node: 0.0 for label, node in network.nodes.items() if label.startswith("metal ")}
    backs = {sink.back for sink in network.sinks}
    into = {node: np.zeros(len(flows_a)) for node in metal}
    to_minus = np.zeros(len(flows_a))
    for number, branch in enumerate(network.branches):
        if branch.b in into and branch.a in backs:
            into[branch.b] += flows_a[:, number]
        if 0 in (branch.a, branch.b):
            to_minus += flows_a[:, number] * (1.0 if branch.b == 0 else -1.0)
    home = {branch.a: branch.b for branch in network.branches if branch.a in backs and branch.b in metal}
    asked = {node: np.zeros(len(flows_a)) for node in metal}
    for place, sink in enumerate(network.sinks):
        if sink.back in home:
            asked[home[sink.back]] += solved.currents_a[:, place]
    given_a = source_currents(network.sources, solved)

    assert len(metal) > 2
    assert all(np.allclose(into[node], asked[node], atol=1e-6) for node in metal)
    assert np.allclose(given_a.sum(axis=1), solved.currents_a.sum(axis=1), atol=1e-5)
    main = next(place for place, source in enumerate(network.sources) if source.back == 0)
    assert np.allclose(to_minus, given_a[:, main], atol=1e-5)


@settings(max_examples=10)
@given(data=st.data(), times=st.floats(2.0, 200.0))
def test_a_ground_that_rusts_dims_the_lamps_behind_it(data: st.DataObject, times: float) -> None:
    """Law: with more resistance between one ground point and the body, what returns there gets less."""
    model = example("volunteer-car")
    network, (solved, states) = network_of(model, situation="on-scene"), solved_in(model, "on-scene")
    body = network.nodes["body"]
    metal = [
        number
        for number, branch in enumerate(network.branches)
        if branch.b == body
        and branch.a in {node for label, node in network.nodes.items() if label.startswith("metal ")}
    ]
    chosen = data.draw(st.sampled_from(metal))
    joint = network.branches[chosen].a
    rusty = tuple(
        replace(branch, ohm=branch.ohm * times) if number == chosen else branch
        for number, branch in enumerate(network.branches)
    )
    after = again(network, states, rusty)
    returns = {branch.a for branch in network.branches if branch.b == joint}
    behind = [place for place, sink in enumerate(network.sinks) if sink.back in returns]
    draws = solved.currents_a.max(axis=0)

    assert behind
    for place in behind:
        lit = solved.currents_a[:, place] > 0.01 * draws[place]
        if draws[place] > 0.05:
            assert (after.across_v[lit, place] < solved.across_v[lit, place]).all()
    assert (after.voltages_v[:, joint] >= solved.voltages_v[:, joint] - 1e-9).all()


@pytest.mark.parametrize("name", NAMES)
def test_what_is_lost_and_what_is_left_are_the_posts(name: str) -> None:
    """Law: a load never gets more than the highest posts, and least volts and most lost stay within them."""
    for situation in example(name).situations:
        network = network_of(example(name), situation=situation.name)
        most_v = max(source.volt for source in network.sources)
        for found in voltages(example(name), situation=situation.name).values():
            assert 0.0 < found.least_v <= found.mean_v + 1e-9
            assert found.mean_v <= most_v
            assert 0.0 <= found.lost_v <= most_v - found.least_v + 1e-9


# ---------------------------------------------------------------------------------------------------------------- case
def test_a_radio_alone_is_worked_out_by_hand() -> None:
    """By hand: engine off, one radio on a feed of its own: 12.85 V less its current times what lies on its path."""
    model = small()
    network, (solved, _) = network_of(model, situation="listening"), solved_in(model, "listening")
    place = network.subjects.index("equipment.radio.memory")
    (circuit,) = (each for each in sized(model) if "equipment.radio on main" in each.hung.runs)
    ohm = {branch.name: branch.ohm for branch in network.branches}
    current_a = float(solved.currents_a[0, place])

    assert current_a == pytest.approx(0.012)
    assert ohm[f"fuse of {circuit.hung.circuit.name}"] == pytest.approx(FUSE_LOSES_V / circuit.sized.fuse.rating_a)
    wire = circuit.sized.wires[0]
    cold_ohm = sum(each.length_m for each in wire.need.out) * wire.wire.resistance_per_length
    assert cold_ohm < ohm["equipment.radio on main"] < 1.5 * cold_ohm  # warm copper has more, never half again as much
    assert float(solved.across_v[0, place]) == pytest.approx(12.85, abs=0.1)


def test_posts_stand_at_the_regulator_with_the_engine_running_and_at_rest_without() -> None:
    """Case: quillback's sources: 13.52 V hot idle (14.2 V less 10 mV/K above 25 degC), 12.85 V and less at rest."""
    model = example("quillback")
    on, off = (network_of(model, situation=each).sources for each in ("on-scene", "on-scene-off"))

    assert all(source.volt == pytest.approx(14.2 - 0.010 * (93.0 - 25.0)) for source in on)
    assert all(12.5 < source.volt < 13.0 for source in off)
    assert len(on) == len(off) == 2


@pytest.mark.parametrize("name", NAMES)
def test_every_load_of_the_examples_that_is_laid_is_fed_and_none_browns_out(name: str) -> None:
    """Case: the network of each example holds each load that has a supply wire, and tells nothing."""
    model = example(name)
    laid = {load for run in circuits_of(model).laid.runs if run.kind in ("supply", "tap") for load in run.carries}
    for situation in model.situations:
        subjects = network_of(model, situation=situation.name).subjects

        assert network_findings(model, situation.name) == ()
        assert laid <= {*subjects, *(f"{each}.memory" for each in subjects)} | (
            laid - {load.subject for load in loads_of(model)}
        )


def test_a_body_without_a_battery_still_has_volts_and_nothing_breaks() -> None:
    """Case: no battery named: one of 12.8 V is assumed, so that wires can be judged at all."""
    model = example("volunteer-car")
    silent = replace(model, body=model.body.model_copy(update={"battery": None}), digest=f"{model.digest} none")

    assert [source.volt for source in network_of(silent, situation="on-scene").sources] == [12.8]
    assert all(np.isfinite(each.least_v) for each in voltages(silent, situation="on-scene").values())


def test_states_cover_every_current_of_the_situation() -> None:
    """Law: in the pictures that are worked out each load reaches its peak."""
    model = example("service-patrol")
    network, (_, states) = network_of(model, situation="blocking"), solved_in(model, "blocking")
    drawn = currents(model, situation="blocking")

    for place, subject in enumerate(network.subjects):
        assert states.levels[:, place].max() == pytest.approx(drawn[subject].peak() if subject in drawn else 0.0)
