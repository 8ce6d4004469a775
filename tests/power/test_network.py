"""Voltages of a network with loads: by hand, then laws, then what can go wrong."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.network import (
    Behaves,
    Branch,
    Sink,
    Solved,
    Source,
    branch_currents,
    islands,
    solve,
    source_currents,
)
from coachwright.power.shape import constant_power

ON = np.ones((1, 1), dtype=np.bool_)


def a_vehicle(seed: int, behaves: tuple[Behaves, ...], *, longer: float = 1.0, lamps_n: int = 8, larger: float = 1.0):
    """A battery, two feeds, lamps with wires there and back, and a frame with two ways home."""
    draw = np.random.default_rng(seed)
    branches = [
        Branch(1, 2, 2e-3, "main feed"),
        Branch(2, 3, 4e-3, "left feed"),
        Branch(2, 4, 5e-3, "right feed"),
        Branch(5, 0, 1e-3, "frame"),
        Branch(6, 5, 2e-3, "rear frame"),
        Branch(6, 0, 6e-3, "return cable"),
    ]
    sinks = []
    for lamp in range(lamps_n):
        plus, minus = 7 + 2 * lamp, 8 + 2 * lamp
        branches.append(Branch(3 + lamp % 2, plus, draw.uniform(0.01, 0.06) * longer, f"wire {lamp}"))
        branches.append(Branch(minus, 5 + lamp % 2, draw.uniform(0.005, 0.03) * longer, f"ground {lamp}"))
        kind = behaves[lamp % len(behaves)]
        value = {
            "current": draw.uniform(0.5, 3.0),
            "power": draw.uniform(6.0, 36.0),
            "resistance": draw.uniform(4.0, 20.0),
        }[kind]
        scaled = value / larger if kind == "resistance" else value * larger
        sinks.append(Sink(plus, minus, kind, scaled, 0.0, f"lamps.{lamp}"))
    sources = [Source(1, 0, 12.6, 5e-3, "battery")]
    return 7 + 2 * lamps_n, branches, sources, sinks


def one_lamp(sink: Sink, ohm: float = 0.05) -> Solved:
    """A battery of 12.6 V with 10 mohm, a wire and a lamp."""
    return solve(3, [Branch(1, 2, ohm, "wire")], [Source(1, 0, 12.6, 0.01, "battery")], [sink], ON)


def test_a_lamp_at_the_end_of_a_wire_agrees_with_ohm() -> None:
    """10 A through 50 and 10 mohm take 0.6 V off 12.6 V, by hand (Ohm's law)."""
    solved = one_lamp(Sink(2, 0, "current", 10.0))

    assert solved.voltages_v[0].tolist() == pytest.approx([0.0, 12.5, 12.0])
    assert not solved.browned_out.any()


def test_constant_power_agrees_with_the_quadratic() -> None:
    """60 W behind 60 mohm at 12.6 V: V = (Vs + sqrt(Vs^2 - 4 P R)) / 2, circuit textbooks."""
    fed = constant_power(power_w=60.0, supply_v=12.6, loop_ohm=0.06)
    solved = one_lamp(Sink(2, 0, "power", 60.0))

    assert fed is not None
    assert solved.across_v[0, 0] == pytest.approx(fed.voltage_v, abs=1e-9)
    assert solved.currents_a[0, 0] == pytest.approx(fed.current_a, abs=1e-9)


def test_a_resistor_divides() -> None:
    """6 ohm behind 60 mohm get 12.6 x 6 / 6.06, by hand."""
    assert one_lamp(Sink(2, 0, "resistance", 6.0)).across_v[0, 0] == pytest.approx(12.6 * 6.0 / 6.06)


@given(st.integers(0, 5000), st.lists(st.booleans(), min_size=8, max_size=8))
def test_currents_add_up_at_every_node(seed: int, on: list[bool]) -> None:
    """Law: Kirchhoff, with loads of all three kinds, on or off."""
    nodes_n, branches, sources, sinks = a_vehicle(seed, ("current", "power", "resistance"))
    solved = solve(nodes_n, branches, sources, sinks, np.array([on]))
    left = np.zeros(nodes_n)
    for branch, current_a in zip(branches, branch_currents(branches, solved)[0], strict=True):
        left[branch.a] -= current_a
        left[branch.b] += current_a
    for sink, current_a in zip(sinks, solved.currents_a[0], strict=True):
        left[sink.node] -= current_a
        left[sink.back] += current_a
    for source, current_a in zip(sources, source_currents(sources, solved)[0], strict=True):
        left[source.node] += current_a
        left[source.back] -= current_a

    assert np.abs(left).max() < 1e-6


@given(st.integers(0, 5000), st.floats(1.0, 4.0))
def test_more_resistance_never_raises_a_voltage(seed: int, longer: float) -> None:
    """Law: with loads of constant current, longer wires cost every lamp voltage and gain none any."""
    short = solve(*a_vehicle(seed, ("current",)), np.ones((1, 8)))
    long = solve(*a_vehicle(seed, ("current",), longer=longer), np.ones((1, 8)))

    assert (long.across_v <= short.across_v + 1e-12).all()


@given(st.integers(0, 5000))
def test_twice_the_current_is_twice_the_loss(seed: int) -> None:
    """Law: wires are linear, so with loads of constant current losses double with the loads."""
    once = solve(*a_vehicle(seed, ("current",)), np.ones((1, 8)))
    twice = solve(*a_vehicle(seed, ("current",), larger=2.0), np.ones((1, 8)))

    assert 12.6 - twice.across_v == pytest.approx(2.0 * (12.6 - once.across_v), rel=1e-9)


@given(st.integers(0, 5000), st.sampled_from([("current",), ("power",), ("current", "power", "resistance")]))
def test_all_that_leaves_the_battery_is_used_or_heats_a_wire(seed: int, behaves: tuple[Behaves, ...]) -> None:
    """Law: energy is conserved: source power = heat in it and in the wires + power of the loads."""
    nodes_n, branches, sources, sinks = a_vehicle(seed, behaves)
    solved = solve(nodes_n, branches, sources, sinks, np.ones((1, 8)))
    wires_a, given_a = branch_currents(branches, solved)[0], source_currents(sources, solved)[0, 0]
    heat_w = sum(branch.ohm * current**2 for branch, current in zip(branches, wires_a, strict=True))
    used_w = float((solved.across_v[0] * solved.currents_a[0]).sum())

    assert 12.6 * given_a == pytest.approx(5e-3 * given_a**2 + heat_w + used_w, rel=1e-9)


def test_states_are_worked_out_as_if_each_were_alone() -> None:
    """Law: many states at once are the same as one after the other."""
    nodes_n, branches, sources, sinks = a_vehicle(3, ("current", "power", "resistance"))
    on = np.random.default_rng(7).random((40, 8)) < 0.5
    together = solve(nodes_n, branches, sources, sinks, on)

    for number, state in enumerate(on):
        alone = solve(nodes_n, branches, sources, sinks, state[None])
        assert together.voltages_v[number] == pytest.approx(alone.voltages_v[0], abs=1e-9)


def test_a_dimmed_load_takes_its_share() -> None:
    """Law: 40 % of 10 A is 4 A."""
    solved = solve(
        3, [Branch(1, 2, 0.05)], [Source(1, 0, 12.6, 0.01)], [Sink(2, 0, "current", 10.0)], np.array([[0.4]])
    )

    assert solved.across_v[0, 0] == pytest.approx(12.6 - 4.0 * 0.06)


def test_a_wire_without_resistance_makes_one_node() -> None:
    """Case: a stud both ends of a wire are bolted to."""
    branches = [Branch(1, 2, 0.0, "stud"), Branch(2, 3, 0.05, "wire")]
    solved = solve(4, branches, [Source(1, 0, 12.6, 0.01)], [Sink(3, 0, "current", 10.0)], ON)

    assert solved.voltages_v[0].tolist() == pytest.approx([0.0, 12.5, 12.5, 12.0])
    assert branch_currents(branches, solved)[0].tolist() == pytest.approx([0.0, 10.0])


@pytest.mark.parametrize(("watts", "stands"), [(660.0, True), (663.0, False), (5000.0, False)])
def test_past_the_most_power_a_wire_brings_it_browns_out(watts: float, stands: bool) -> None:
    """Vs^2 / 4 R is 661.5 W at 12.6 V behind 60 mohm: more finds no voltage, and that is said, never a NaN."""
    solved = one_lamp(Sink(2, 0, "power", watts))

    assert bool(solved.browned_out[0, 0]) is not stands
    assert np.isfinite(solved.voltages_v).all()
    assert np.isfinite(solved.currents_a).all()
    assert 0.0 < solved.across_v[0, 0] < 12.6


def test_the_weakest_falls_out_and_the_rest_stands() -> None:
    """Case: two equal loads that can't both stand: the one behind fifty times the wire goes, the near one works."""
    branches = [Branch(1, 2, 0.02, "main feed"), Branch(2, 3, 0.005, "short"), Branch(2, 4, 0.25, "long")]
    sinks = [Sink(3, 0, "power", 150.0, 0.0, "near"), Sink(4, 0, "power", 150.0, 0.0, "far")]
    solved = solve(5, branches, [Source(1, 0, 12.6, 0.01)], sinks, np.ones((1, 2)))

    assert solved.browned_out[0].tolist() == [False, True]
    assert solved.across_v[0, 0] * solved.currents_a[0, 0] == pytest.approx(150.0)


def test_below_what_it_works_with_it_is_browned_out() -> None:
    """Case: 11.9 V are not enough for a radio that asks 12 V, and are for one that asks 11.8 V."""
    assert one_lamp(Sink(2, 0, "current", 10.0, 12.1)).browned_out[0, 0]
    assert not one_lamp(Sink(2, 0, "current", 10.0, 11.9)).browned_out[0, 0]
    assert one_lamp(Sink(2, 0, "resistance", 1.0, 12.0)).browned_out[0, 0]


@given(st.integers(0, 3000), st.floats(1.0, 60.0))
def test_whatever_is_asked_the_answer_is_finite(seed: int, larger: float) -> None:
    """Law: overloaded twenty times, every number is still one, and who works gets what it asks for."""
    nodes_n, branches, sources, sinks = a_vehicle(seed, ("power", "current", "power", "resistance"), larger=larger)
    solved = solve(nodes_n, branches, sources, sinks, np.ones((1, 8)))

    assert np.isfinite(solved.voltages_v).all()
    assert np.isfinite(solved.currents_a).all()
    for number, sink in enumerate(sinks):
        if sink.behaves == "power" and not solved.browned_out[0, number]:
            assert solved.across_v[0, number] * solved.currents_a[0, number] == pytest.approx(sink.value, rel=1e-6)


def test_an_island_is_named_and_nothing_flows_in_it() -> None:
    """Case: a lamp whose ground wire is off hangs on a piece of its own."""
    branches, sources = [Branch(1, 2, 0.05, "wire"), Branch(3, 4, 0.01, "ground wire")], [Source(1, 0, 12.6, 0.01)]
    solved = solve(5, branches, sources, [Sink(2, 3, "current", 5.0)], ON)

    assert islands(5, branches, sources) == ((3, 4),)
    assert solved.fed.tolist() == [True, True, True, False, False]
    assert solved.browned_out.all()
    assert solved.currents_a[0, 0] == 0.0
    assert solved.voltages_v[0].tolist() == pytest.approx([0.0, 12.6, 12.6, 0.0, 0.0])


@pytest.mark.parametrize(
    ("branches", "sources", "sinks", "says"),
    [
        ([Branch(1, 9, 0.1, "stray")], [], [], "stray ends at node 9"),
        ([Branch(1, 2, -0.1, "odd")], [], [], "odd: -0.1 ohm"),
        ([Branch(1, 2, float("nan"), "odd")], [], [], "odd: nan ohm"),
        ([], [Source(1, 0, 12.0, 0.0, "stiff")], [], "more than 0 ohm"),
        ([], [], [Sink(1, 0, "power", -5.0, 0.0, "odd")], "odd: -5 of constant power"),
        ([], [], [Sink(1, 0, "resistance", 0.0, 0.0, "odd")], "odd: 0 of constant resistance"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    branches: list[Branch], sources: list[Source], sinks: list[Sink], says: str
) -> None:
    """Case: the wire, source or load that can't be is named."""
    with pytest.raises(ValueError, match=says):
        solve(3, branches, sources, sinks, np.ones((1, len(sinks))))


def test_shares_outside_0_to_1_are_refused() -> None:
    """Case: a load can't take more than all of its value."""
    with pytest.raises(ValueError, match="share of 0 to 1"):
        solve(3, [Branch(1, 2, 0.1)], [Source(1, 0, 12.0, 0.1)], [Sink(2, 0, "current", 1.0)], np.array([[1.5]]))
    with pytest.raises(ValueError, match="shape"):
        solve(3, [Branch(1, 2, 0.1)], [Source(1, 0, 12.0, 0.1)], [Sink(2, 0, "current", 1.0)], np.ones(1))


def test_a_network_nothing_hangs_on_has_voltages_all_the_same() -> None:
    """Case: a body on which no wire can be laid leaves batteries alone with their posts."""
    solved = solve(2, (), (Source(1, 0, 12.8, 0.005, "battery"),), (), np.zeros((1, 0)))

    assert solved.voltages_v.tolist() == [[0.0, pytest.approx(12.8)]]
    assert solved.across_v.shape == (1, 0)
