"""What voltage does each lamp get, with all the wires, returns and metal between it and the battery?

Quiet between two switchings: no coil, no capacitor, only resistance. Flashing loads make few different pictures of who
is on; each is worked out once (power.states says which occur).

See Also
--------
coachwright.power.elimination : voltages of a network without loads. coachwright.power.states : who is on when.
coachwright.power.findings_network : what of this the lead has to know.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwright.power.elimination import Edges, hanging_on_ground, joined, node_voltages

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Laws = NDArray[np.int8]
Behaves = Literal["current", "power", "resistance"]

SETTLED_V = 1e-10
"""Two rounds this close are one answer."""
_ROUNDS, _NEWTON_ROUNDS = 40, 60
_STANDING, _LOW, _HELD = range(3)
"""What a load follows: its own law; a resistor, below what it works with; the current it has at its floor."""
_ONE_THREAD, _TILE_STATES_N = 250_000, 32
"""Products a matrix library still does without a second thread, measured; and states of one tile."""
_WEAK_CURRENT_SHARE, _WEAK_POWER_SHARE = 0.01, 0.5
"""Of its open voltage, under which a load without a least voltage has none to work with. A single load of constant
power can't stand below half of it: there more current brings less power."""


@dataclass(frozen=True, slots=True)
class Branch:
    """A wire, joint, fuse, contact or piece of metal between two nodes. ohm : 0 makes one node of both."""

    a: int
    b: int
    ohm: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """A battery or a regulated source: `volt` behind `ohm`, plus at `node`, minus at `back`. ohm : above 0."""

    node: int
    back: int
    volt: float
    ohm: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Sink:
    """A load from `node` to `back`.

    behaves : with constant ``current`` [A], ``power`` [W] or ``resistance`` [ohm]; value : of that.
    least_v : it works down to; below that it is counted as browned out and draws as a resistor would that takes its
        rated current at `least_v`. 0 where nothing says.
    """

    node: int
    back: int
    behaves: Behaves
    value: float
    least_v: float = 0.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Solved:
    """Every state of the network; no number in here is ever other than finite.

    voltages_v : over node 0, shape (states, nodes); 0 for a node that is not `fed`. [V]
    across_v, currents_a : of each sink, shape (states, sinks). [V, A]
    browned_out : it is on and gets less than it works with, or nothing; shape (states, sinks).
    fed : node hangs on node 0 by wires and sources, whatever the state; shape (nodes,).
    """

    voltages_v: Floats
    across_v: Floats
    currents_a: Floats
    browned_out: Bools
    fed: Bools


@dataclass(frozen=True, slots=True)
class Reduced:
    """A network as its loads see it.

    open_v : of nodes with every load off, shape (nodes,). per_a : what one ampere through each sink adds to each node,
    shape (nodes, sets). across_v, ohm : the same between the ends of sinks, shapes (sinks,) and (sinks, sinks).
    fed, sink_fed : shapes (nodes,), (sinks,).
    """

    sinks: tuple[Sink, ...]
    open_v: Floats
    per_a: Floats
    across_v: Floats
    ohm: Floats
    fed: Bools
    sink_fed: Bools


def solve(
    nodes_n: int,
    branches: Sequence[Branch],
    sources: Sequence[Source],
    sinks: Sequence[Sink],
    on: NDArray[np.bool_] | Floats,
) -> Solved:
    """Voltages and currents of a network in each state.

    Parameters
    ----------
    nodes_n : nodes are 0..nodes_n - 1; node 0 is the post of the battery that voltages count from.
    on : who is on, or which share of its value it takes, 0..1; shape (states, sinks).

    Raises
    ------
    ValueError : a node that isn't there, a resistance or a value that can't be; says which.

    Notes
    -----
    The highest voltages at which all loads can stand. Where constant power finds none, the loads that are worst off
    fall out one by one until the rest can stand: they are `browned_out`.
    A piece of the network that hangs on node 0 by no wire is an island. Nothing flows in it; its loads are browned out,
    also where current could creep through other loads.
    """
    return solve_reduced(reduced(nodes_n, branches, sources, sinks), on)


def reduced(nodes_n: int, branches: Sequence[Branch], sources: Sequence[Source], sinks: Sequence[Sink]) -> Reduced:
    """The network as its loads see it: made once, for any number of states. Arguments and errors as `solve`."""
    _check(nodes_n, branches, sources, sinks)
    one_node = joined(nodes_n, [(each.a, each.b) for each in branches if each.ohm == 0.0])
    wires = [each for each in branches if each.ohm > 0.0]
    links = [(each.a, each.b) for each in branches] + [(each.node, each.back) for each in sources]
    fed = hanging_on_ground(nodes_n, links)
    places = np.zeros(nodes_n, dtype=np.intp)
    tops = np.unique(one_node[fed])  # node 0 is the lowest, so it stays node 0
    places[fed] = np.searchsorted(tops, one_node[fed])

    ends = [(each.a, each.b, 1.0 / each.ohm) for each in wires if fed[each.a]]
    ends += [(each.node, each.back, 1.0 / each.ohm) for each in sources if fed[each.node]]
    edges = Edges(
        len(tops),
        places[np.array([each[0] for each in ends], dtype=np.intp)],
        places[np.array([each[1] for each in ends], dtype=np.intp)],
        np.array([each[2] for each in ends]),
    )
    sink_fed = np.array([bool(fed[each.node] and fed[each.back]) for each in sinks], dtype=np.bool_)
    flows = np.zeros((len(tops), len(sinks) + 1))
    for source in sources:
        if fed[source.node]:
            flows[places[source.node], 0] += source.volt / source.ohm
            flows[places[source.back], 0] -= source.volt / source.ohm
    for number, sink in enumerate(sinks, start=1):
        if sink_fed[number - 1]:
            flows[places[sink.node], number] -= 1.0
            flows[places[sink.back], number] += 1.0
    found = node_voltages(edges, flows)[places] * fed[:, None]
    starts = np.array([each.node for each in sinks], dtype=np.intp)
    ends_at = np.array([each.back for each in sinks], dtype=np.intp)
    across = (found[starts] - found[ends_at]) * sink_fed[:, None]
    return Reduced(tuple(sinks), found[:, 0], found[:, 1:], across[:, 0], -across[:, 1:], fed, sink_fed)


def solve_reduced(network: Reduced, on: NDArray[np.bool_] | Floats) -> Solved:
    """Every state of a network that was reduced. on : as of `solve`."""
    share = np.asarray(on, dtype=np.float64)
    if share.ndim != 2 or share.shape[1] != len(network.sinks):
        raise ValueError(
            f"states of {len(network.sinks)} loads are asked with shape (states, loads), not {share.shape}"
        )
    if share.size and not (share.min() >= 0.0 and share.max() <= 1.0):
        raise ValueError("a load takes from nothing to all of its value: a share of 0 to 1")
    loads = _Loads.of(network)
    across_v, law = _stand(network, loads, share)
    currents = loads.current(across_v, share, law) * network.sink_fed
    voltages = network.open_v + _times(currents, network.per_a)
    weak = np.where(loads.resists, across_v < loads.least_v, law != _STANDING)
    browned = (share > 0.0) & (weak | ~network.sink_fed)
    return Solved(voltages * network.fed, across_v, currents, browned, network.fed)


def branch_currents(branches: Sequence[Branch], solved: Solved) -> Floats:
    """Current from a to b through each branch, shape (states, branches); 0 through one without resistance. [A]"""
    a = np.array([each.a for each in branches], dtype=np.intp)
    b = np.array([each.b for each in branches], dtype=np.intp)
    siemens = np.array([1.0 / each.ohm if each.ohm > 0.0 else 0.0 for each in branches])
    return np.asarray((solved.voltages_v[:, a] - solved.voltages_v[:, b]) * siemens)


def source_currents(sources: Sequence[Source], solved: Solved) -> Floats:
    """Current each source gives, shape (states, sources); below 0 where it is charged. [A]"""
    node = np.array([each.node for each in sources], dtype=np.intp)
    back = np.array([each.back for each in sources], dtype=np.intp)
    volt, ohm = np.array([each.volt for each in sources]), np.array([each.ohm for each in sources])
    given = (volt - solved.voltages_v[:, node] + solved.voltages_v[:, back]) / ohm
    return np.asarray(given * solved.fed[node])


def islands(nodes_n: int, branches: Sequence[Branch], sources: Sequence[Source]) -> tuple[tuple[int, ...], ...]:
    """Pieces of the network that hang on node 0 by no wire and no source, each by its nodes."""
    links = [(each.a, each.b) for each in branches] + [(each.node, each.back) for each in sources]
    tops = joined(nodes_n, links)
    pieces: dict[int, list[int]] = {}
    for node, top in enumerate(tops.tolist()):
        if top:
            pieces.setdefault(top, []).append(node)
    return tuple(tuple(piece) for piece in pieces.values())


@dataclass(frozen=True, slots=True)
class _Loads:
    """Sinks as arrays. floor_v : under which one falls out; least_v : as written."""

    value: Floats
    powers: Bools
    resists: Bools
    floor_v: Floats
    least_v: Floats

    @classmethod
    def of(cls, network: Reduced) -> _Loads:
        powers = np.array([each.behaves == "power" for each in network.sinks], dtype=np.bool_)
        resists = np.array([each.behaves == "resistance" for each in network.sinks], dtype=np.bool_)
        least = np.array([each.least_v for each in network.sinks], dtype=np.float64)
        share = np.where(powers, _WEAK_POWER_SHARE, _WEAK_CURRENT_SHARE)
        floor = np.where(least > 0.0, least, np.maximum(share * network.across_v, 1e-6))
        return cls(np.array([each.value for each in network.sinks], dtype=np.float64), powers, resists, floor, least)

    def current(self, across_v: Floats, share: Floats, law: Laws) -> Floats:
        """Of each load at a voltage. [A] Standing, it takes no more than at its floor, so that rounds can't run off."""
        standing = np.where(self.powers, self.value / np.maximum(across_v, self.floor_v), self.value)
        if law.any():
            rated = np.where(self.powers, self.value / self.floor_v, self.value)
            standing = np.where(law == _LOW, rated * across_v / self.floor_v, np.where(law == _HELD, rated, standing))
        return share * np.where(self.resists, across_v / self.value, standing)

    def slope(self, across_v: Floats, share: Floats, law: Laws) -> Floats:
        """Change of the current with the voltage. [A/V]"""
        above = self.powers & (across_v > self.floor_v)
        standing = np.where(above, -self.value / np.maximum(across_v, self.floor_v) ** 2, 0.0)
        rated = np.where(self.powers, self.value / self.floor_v, self.value)
        fallen = np.where(law == _LOW, rated / self.floor_v, 0.0)
        return share * np.where(self.resists, 1.0 / self.value, np.where(law == _STANDING, standing, fallen))


def _stand(network: Reduced, loads: _Loads, share: Floats) -> tuple[Floats, Laws]:
    """Voltages across the loads, and the law each follows.

    Begins with all standing. The weakest falls first and is a resistor from then on; where its voltage rises above its
    floor again, as others fall, it holds the current it has there. Each of these only raises voltages, so it ends.
    """
    law = np.full(share.shape, _STANDING, dtype=np.int8)
    across_v = np.broadcast_to(network.across_v, share.shape).copy()
    asks = np.arange(len(share))
    while asks.size and network.sinks:
        found, settled = _settled(network, loads, share[asks], law[asks])
        across_v[asks] = found
        there = law[asks]
        works = (share[asks] > 0.0) & ~loads.resists & network.sink_fed
        lack = np.where(works & (there == _STANDING), found / loads.floor_v, np.inf)
        weakest = lack.argmin(axis=1)
        falls = lack[np.arange(len(asks)), weakest] < np.where(settled, 1.0, np.inf)
        there[falls, weakest[falls]] = _LOW
        rises = works & (there == _LOW) & (found > loads.floor_v) & (settled & ~falls)[:, None]
        there[rises] = _HELD
        law[asks] = there
        again = falls | rises.any(axis=1)
        if not (settled | again).all():
            raise ArithmeticError("a network of resistors did not settle")  # cannot be: without loads that bend it does
        asks = asks[again]
    return across_v, law


def _settled(network: Reduced, loads: _Loads, share: Floats, law: Laws) -> tuple[Floats, Bools]:
    """Highest voltages at which the currents fit, shape (states, sinks), and which states got there.

    From above, round after round: each round is a product of matrices for all states at once, and with loads that only
    draw more at less voltage it never falls past the answer. What is slow, near where no answer is left, is found by
    Newton's way, from above as well.
    """
    open_v = np.broadcast_to(network.across_v, share.shape)
    across_v = open_v - _times(loads.current(open_v, share, law), network.ohm)
    settled = np.zeros(len(share), dtype=np.bool_)
    for _ in range(_ROUNDS):
        after = open_v - _times(loads.current(across_v, share, law), network.ohm)
        settled = np.abs(after - across_v).max(axis=1, initial=0.0) < SETTLED_V
        across_v = after
        if settled.all():
            return across_v, settled
    slow = np.flatnonzero(~settled)
    across_v[slow] = open_v[slow]
    for _ in range(_NEWTON_ROUNDS):
        if not slow.size:
            break
        here, taken, laws = across_v[slow], share[slow], law[slow]
        wrong = here - network.across_v + _times(loads.current(here, taken, laws), network.ohm)
        bent = network.ohm * loads.slope(here, taken, laws)[:, None, :] + np.eye(len(network.sinks))
        try:
            step = np.linalg.solve(bent, wrong[:, :, None])[:, :, 0]
        except np.linalg.LinAlgError:
            break  # one stands on the very edge: told as not settled, and its weakest load falls out
        lost = ~np.isfinite(step).all(axis=1)
        across_v[slow] = here - np.where(lost[:, None], 0.0, step)
        near = ~lost & (np.abs(step).max(axis=1) < SETTLED_V)
        settled[slow[near]] = True
        slow = slow[~near & ~lost]
    return across_v, settled


def _times(currents: Floats, per_a: Floats) -> Floats:
    """Currents (states, sinks) by per_a (places, sinks), (states, places).

    In tiles so small that the matrix library does each in one thread: it waits for its threads longer than such a tile
    takes, and far longer on a machine that does something else as well.
    """
    found = np.empty((len(currents), len(per_a)))
    across = np.ascontiguousarray(per_a.T)
    places_n = max(1, _ONE_THREAD // (_TILE_STATES_N * max(1, len(across))))
    for place in range(0, len(per_a), places_n):
        there = slice(place, place + places_n)
        for state in range(0, len(currents), _TILE_STATES_N):
            here = slice(state, state + _TILE_STATES_N)
            found[here, there] = currents[here] @ across[:, there]
    return found


def _check(nodes_n: int, branches: Sequence[Branch], sources: Sequence[Source], sinks: Sequence[Sink]) -> None:
    if nodes_n < 1:
        raise ValueError("a network has at least node 0")
    for branch in branches:
        _check_nodes(nodes_n, branch.name, branch.a, branch.b)
        if not (math.isfinite(branch.ohm) and branch.ohm >= 0.0):
            raise ValueError(f"{branch.name or 'a wire'}: {branch.ohm:g} ohm; a wire has 0 ohm or more")
    for source in sources:
        _check_nodes(nodes_n, source.name, source.node, source.back)
        if not (math.isfinite(source.volt) and math.isfinite(source.ohm) and source.ohm > 0.0):
            raise ValueError(
                f"{source.name or 'a source'}: {source.volt:g} V behind {source.ohm:g} ohm; "
                "a source has a voltage, and more than 0 ohm"
            )
    for sink in sinks:
        _check_nodes(nodes_n, sink.name, sink.node, sink.back)
        least = 1e-9 if sink.behaves == "resistance" else -math.inf if sink.behaves == "current" else 0.0
        if not (
            math.isfinite(sink.value) and sink.value >= least and math.isfinite(sink.least_v) and sink.least_v >= 0.0
        ):
            raise ValueError(
                f"{sink.name or 'a load'}: {sink.value:g} of constant {sink.behaves} down to {sink.least_v:g} V; "
                "a load has a finite value, a resistance or a power none below 0"
            )


def _check_nodes(nodes_n: int, name: str, *nodes: int) -> None:
    for node in nodes:
        if not 0 <= node < nodes_n:
            raise ValueError(f"{name or 'a piece of the network'} ends at node {node}; there are 0 to {nodes_n - 1}")
