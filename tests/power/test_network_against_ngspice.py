"""The same network, branch for branch, given to ngspice: within a hundredth of a millivolt."""

from pathlib import Path

import numpy as np
import pytest

from benchmarks.long_supply import vehicle
from benchmarks.spice import flashing, operating_point, run, standing
from coachwright.power.network import Behaves, Branch, Sink, Source, solve
from coachwright.power.states import states_of

MOST_APART_V = 1e-5
KINDS: list[Behaves] = ["current", "power", "resistance"]


def drawn(seed: int, nodes_n: int, sinks_n: int) -> tuple[list[Branch], list[Source], list[Sink]]:
    """A harness with loops, of loads of all kinds, fed by two sources; some wires have no resistance."""
    draw = np.random.default_rng(seed)
    half = nodes_n // 2
    branches = [
        Branch(node, int(draw.integers(1, node)), float(10 ** draw.uniform(-4, -2)), f"feed {node}")
        for node in range(2, half)
    ]
    branches += [
        Branch(
            node,
            int(draw.integers(half, node)) if node > half else 0,
            float(10 ** draw.uniform(-4, -2)),
            f"return {node}",
        )
        for node in range(half, nodes_n)
    ]
    branches += [Branch(int(draw.integers(1, half)), int(draw.integers(1, half)), 0.01, "loop") for _ in range(3)]
    branches.append(Branch(nodes_n - 1, half, 0.0, "stud"))
    branches = [each for each in branches if each.a != each.b]
    sources = [Source(1, 0, 12.6, 4e-3, "battery"), Source(2, 0, 13.8, 20e-3, "alternator")]
    values = {"current": 2.0, "power": 20.0, "resistance": 8.0}
    sinks = [
        Sink(
            int(draw.integers(3, half)), int(draw.integers(half, nodes_n)), kind, values[kind] * draw.uniform(0.3, 1.5)
        )
        for kind in (KINDS[number % 3] for number in range(sinks_n))
    ]
    return branches, sources, sinks


@pytest.mark.needs("ngspice")
@pytest.mark.parametrize("seed", range(6))
def test_every_node_stands_where_ngspice_puts_it(seed: int, tmp_path: Path) -> None:
    """ngspice's operating point, of networks below and above the size at which another way is taken."""
    nodes_n = (60, 400)[seed % 2]
    branches, sources, sinks = drawn(seed, nodes_n, 24)
    on = np.random.default_rng(seed).integers(0, 2, (3, len(sinks))).astype(float)
    ours = solve(nodes_n, branches, sources, sinks, on)

    assert not ours.browned_out.any()
    for number, state in enumerate(on):
        theirs = operating_point(run(standing(branches, sources, sinks, state), tmp_path), nodes_n)
        assert ours.voltages_v[number] == pytest.approx(theirs, abs=MOST_APART_V)


@pytest.mark.needs("ngspice")
@pytest.mark.parametrize("behaves", ["current", "power"])
def test_lamps_that_flash_follow_ngspice_through_time(behaves: Behaves, tmp_path: Path) -> None:
    """ngspice's transient of a vehicle of 471 nodes, in the middle of each step, after its first second."""
    made = vehicle(1, behaves)
    states = states_of(made.waves, until_ms=2000, step_ms=5)
    ours = solve(made.nodes_n, made.branches, made.sources, made.sinks, states.levels).across_v[states.which]
    text = flashing(made.branches, made.sources, made.sinks, made.waves, until_ms=2000, step_ms=5)
    theirs = run(text, tmp_path)
    middle_s = (np.arange(200, 400) + 0.5) * 5e-3

    assert made.nodes_n == 471
    for number, sink in enumerate(made.sinks):
        across_v = theirs[f"v({sink.node})"] - theirs[f"v({sink.back})"]
        assert ours[200:, number] == pytest.approx(np.interp(middle_s, theirs["time"], across_v), abs=MOST_APART_V)


def two_grounds(lifted: bool, behaves: Behaves) -> tuple[int, list[Branch], list[Source], list[Sink]]:
    """Four lamps on a bus bar that is grounded at two points; one of them may be off."""
    branches = [
        Branch(1, 2, 3e-3, "feed"),
        Branch(3, 0, 8e-3, "front ground"),
        *([] if lifted else [Branch(4, 0, 6e-3, "rear ground")]),
        Branch(3, 4, 15e-3, "bus bar"),
    ]
    sinks = []
    for lamp in range(4):
        plus, minus = 5 + 2 * lamp, 6 + 2 * lamp
        branches += [Branch(2, plus, 0.03, f"wire {lamp}"), Branch(minus, 3 + lamp % 2, 4e-3, f"return {lamp}")]
        sinks.append(
            Sink(plus, minus, behaves, {"current": 6.0, "power": 75.0, "resistance": 2.0}[behaves], 0.0, f"lamp {lamp}")
        )
    return 13, branches, [Source(1, 0, 12.6, 5e-3, "battery")], sinks


@pytest.mark.needs("ngspice")
@pytest.mark.parametrize("behaves", KINDS)
def test_a_lifted_ground_loads_the_other_and_dims_the_lamps_behind_it(behaves: Behaves, tmp_path: Path) -> None:
    """By the amounts ngspice gives: the current through the ground that is left, and the voltage at every lamp."""
    on = np.ones((1, 4))
    found = []
    for lifted in (False, True):
        nodes_n, branches, sources, sinks = two_grounds(lifted, behaves)
        ours = solve(nodes_n, branches, sources, sinks, on)
        theirs = operating_point(run(standing(branches, sources, sinks, on[0]), tmp_path), nodes_n)
        assert ours.voltages_v[0] == pytest.approx(theirs, abs=MOST_APART_V)
        found.append((ours.voltages_v[0, 3] / 8e-3, ours.across_v[0], theirs[3] / 8e-3))
    (shared_a, bright_v, _), (alone_a, dim_v, alone_in_ngspice_a) = found

    assert alone_a > 1.5 * shared_a
    assert alone_a == pytest.approx(alone_in_ngspice_a, rel=1e-6)
    assert (dim_v[1::2] < bright_v[1::2] - 0.05).all()  # lamps 1 and 3 went home by the ground that is off
