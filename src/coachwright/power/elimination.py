"""What voltage do the nodes of a resistive network take, for many sets of currents at once?

Two ways to one answer: whole matrices for small networks, and for large ones node after node, the one with the fewest
neighbours first. A harness is nearly a tree, so that way costs little more than walking over its wires. All
conductances are added and none is ever subtracted, so no digits are lost between a milliohm and a kilohm.

See Also
--------
coachwright.power.network : asks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DENSE_BELOW = 300
"""Nodes up to which whole matrices are as quick. Measured."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Conductances between nodes 0..nodes_n - 1; node 0 is what voltages count from, and every node hangs on it.

    a, b : nodes, shape (edges,). siemens : above 0, shape (edges,).
    """

    nodes_n: int
    a: NDArray[np.intp]
    b: NDArray[np.intp]
    siemens: Floats


def node_voltages(edges: Edges, flows_a: Floats) -> Floats:
    """Voltage of each node over node 0. [V]

    Parameters
    ----------
    flows_a : current put into each node, shape (nodes, sets); row 0 is not looked at. [A]

    Returns
    -------
    Shape (nodes, sets).
    """
    return by_matrix(edges, flows_a) if edges.nodes_n < DENSE_BELOW else by_elimination(edges, flows_a)


def by_matrix(edges: Edges, flows_a: Floats) -> Floats:
    """All of it as one matrix."""
    matrix = np.zeros((edges.nodes_n, edges.nodes_n))
    np.add.at(matrix, (edges.a, edges.b), -edges.siemens)
    np.add.at(matrix, (edges.b, edges.a), -edges.siemens)
    np.fill_diagonal(matrix, 0.0)
    np.fill_diagonal(matrix, -matrix.sum(axis=1))
    found = np.zeros(flows_a.shape)
    found[1:] = np.linalg.solve(matrix[1:, 1:], flows_a[1:])
    return found


def by_elimination(edges: Edges, flows_a: Floats) -> Floats:
    """Node after node: its wires become wires between its neighbours (star to mesh), and its current goes to them."""
    flows = np.array(flows_a, dtype=np.float64)
    order = _taken_out(edges)
    for node, whole, around in order:
        for other, siemens in around:
            if other:
                flows[other] += (siemens / whole) * flows[node]
    found = np.zeros(flows.shape)
    for node, whole, around in reversed(order):
        here = flows[node] / whole
        for other, siemens in around:
            if other:
                here += (siemens / whole) * found[other]
        found[node] = here
    return found


def hanging_on_ground(nodes_n: int, links: Sequence[tuple[int, int]]) -> NDArray[np.bool_]:
    """Which nodes the links join to node 0, by any way."""
    labels = joined(nodes_n, links)
    return np.asarray(labels == labels[0])


def joined(nodes_n: int, links: Sequence[tuple[int, int]]) -> NDArray[np.intp]:
    """For each node the lowest node it is linked to, by any way: equal where two are of one piece."""
    above = list(range(nodes_n))
    for one, other in links:
        first, second = sorted((_top(above, one), _top(above, other)))
        above[second] = first
    return np.array([_top(above, node) for node in range(nodes_n)], dtype=np.intp)


def _top(above: list[int], node: int) -> int:
    while above[node] != node:
        above[node] = above[above[node]]
        node = above[node]
    return node


_Step = tuple[int, float, list[tuple[int, float]]]


def _taken_out(edges: Edges) -> list[_Step]:
    """Every node but 0 in the order it is taken out, with its conductances then, and their sum."""
    near: list[dict[int, float]] = [{} for _ in range(edges.nodes_n)]
    for one, other, siemens in zip(edges.a.tolist(), edges.b.tolist(), edges.siemens.tolist(), strict=True):
        if one != other:
            near[one][other] = near[other][one] = near[one].get(other, 0.0) + siemens
    waiting = [(len(near[node]), node) for node in range(1, edges.nodes_n)]
    heapify(waiting)
    order: list[_Step] = []
    gone = bytearray(edges.nodes_n)
    while waiting:
        degree, node = heappop(waiting)
        if gone[node] or degree != len(near[node]):
            continue
        gone[node] = 1
        around = list(near[node].items())
        whole = sum(siemens for _, siemens in around)
        order.append((node, whole, around))
        for place, (one, siemens) in enumerate(around):
            mine = near[one]
            del mine[node]
            for other, further in around[place + 1 :]:
                mine[other] = near[other][one] = mine.get(other, 0.0) + siemens * further / whole
        for one, _ in around:
            if one:
                heappush(waiting, (len(near[one]), one))
    return order
