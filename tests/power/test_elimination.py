"""Two ways through a resistive network, which have to agree; then what holds for every one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.elimination import Edges, by_elimination, by_matrix, hanging_on_ground, joined, node_voltages


def a_network(seed: int, nodes_n: int, loops_n: int) -> Edges:
    """A tree with some loops, from a tenth of a milliohm to a kilohm."""
    draw = np.random.default_rng(seed)
    a = np.concatenate([np.arange(1, nodes_n), draw.integers(0, nodes_n, loops_n)])
    b = np.concatenate([[draw.integers(0, node) for node in range(1, nodes_n)], draw.integers(0, nodes_n, loops_n)])
    return Edges(nodes_n, a, b.astype(np.intp), 10.0 ** draw.uniform(-3.0, 4.0, len(a)))


def test_a_bridge_agrees_with_kirchhoff_by_hand() -> None:
    """A bridge of 1 to 5 ohm and 1 A through it, by hand (Kirchhoff): 0 - 1 - 3 and 0 - 2 - 3, and 1 - 2 across."""
    ends = [(0, 1, 1.0), (1, 3, 2.0), (0, 2, 3.0), (2, 3, 4.0), (1, 2, 5.0)]
    edges = Edges(
        4,
        np.array([each[0] for each in ends]),
        np.array([each[1] for each in ends]),
        np.array([1.0 / each[2] for each in ends]),
    )
    flows = np.array([[-1.0], [0.0], [0.0], [1.0]])
    # 17 v1 - 2 v2 - 5 v3 = 0, -12 v1 + 47 v2 - 15 v3 = 0, -2 v1 - v2 + 3 v3 = 4
    expected = np.array([0.0, 53.0, 63.0, 155.0]) / 74.0

    for way in (by_matrix, by_elimination):
        assert way(edges, flows)[:, 0] == pytest.approx(expected, rel=1e-12)


@given(st.integers(0, 10_000), st.integers(2, 60), st.integers(0, 12))
def test_both_ways_find_the_same(seed: int, nodes_n: int, loops_n: int) -> None:
    """Law: whole matrices and taking out node after node are the same sums in another order."""
    edges = a_network(seed, nodes_n, loops_n)
    flows = np.random.default_rng(seed).normal(size=(nodes_n, 3))

    assert by_elimination(edges, flows) == pytest.approx(by_matrix(edges, flows), rel=1e-7, abs=1e-9)


@given(st.integers(0, 10_000), st.one_of(st.integers(2, 40), st.just(310)))
def test_currents_that_meet_at_a_node_add_up(seed: int, nodes_n: int) -> None:
    """Law: Kirchhoff, at every node, whichever way was taken."""
    edges = a_network(seed, nodes_n, 5)
    flows = np.random.default_rng(seed).normal(size=(nodes_n, 2))
    volts = node_voltages(edges, flows)
    through = edges.siemens[:, None] * (volts[edges.a] - volts[edges.b])
    left = flows.copy()
    np.subtract.at(left, edges.a, through)
    np.add.at(left, edges.b, through)
    scale = np.abs(through).max() + 1.0

    assert np.abs(left[1:]).max() < 1e-8 * scale


def test_pieces_are_found() -> None:
    """Case: two pieces, of which one hangs on node 0."""
    links = [(0, 3), (3, 4), (1, 2)]

    assert hanging_on_ground(5, links).tolist() == [True, False, False, True, True]
    assert joined(5, links).tolist() == [0, 1, 1, 0, 0]
