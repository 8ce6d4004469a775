"""The real vehicle as a network: batteries, cables, feeds, fuses, wires, loads, returns, ground points, its own metal.

Voltages count from the negative post of the vehicle's battery. Every wire has the size it was given, warm from what it
carries; every fuse what it loses at its rating. The metal of the body joins the ground points.

See Also
--------
coachwright.power.network : solves it. coachwright.power.sizes : the wires. coachwright.power.duty : the batteries.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.finding import Finding
from coachwright.kit.wave import Wave
from coachwright.power.charge import Battery, inner_ohm, rest_v
from coachwright.power.circuits import carried, circuits_of
from coachwright.power.duty import duty_figures, engine_runs
from coachwright.power.findings_network import findings_network
from coachwright.power.loads import Load, currents, load_by_subject
from coachwright.power.network import Branch, Sink, Solved, Source, solve
from coachwright.power.runs import Run
from coachwright.power.size import resistance_ohm
from coachwright.power.sizes import sized
from coachwright.power.states import States, states_of
from coachwright.power.supply_of import Described, supply_of

FUSE_LOSES_V = 0.11
"""Over a blade fuse at its rating, warm. One maker's data of blade fuses: 109 to 176 mV."""
_REGULATED_OHM = 0.002
"""Of an alternator that regulates, as seen at the post it charges."""
_STEP_MS = 10
_UNTIL_MS = 20_000
_LEAST_OHM = 1e-6


@dataclass(frozen=True, slots=True)
class WiredNetwork:
    """The network in one situation. sinks : in the order of `subjects`. nodes : by what they are, for the papers.

    posts : plus and minus of the battery each load is fed from, nodes in the order of `subjects`.
    """

    nodes: Mapping[str, int]
    branches: tuple[Branch, ...]
    sources: tuple[Source, ...]
    sinks: tuple[Sink, ...]
    subjects: tuple[str, ...]
    posts: tuple[tuple[int, int], ...] = ()

    @property
    def nodes_n(self) -> int:
        return len(self.nodes)


@dataclass(frozen=True, slots=True)
class LoadVoltage:
    """Voltage at a load in a situation. least_v : at the worst instant, mean_v : over time, while it draws.

    lost_v : the most that is lost between the posts of its battery and the load, out and back, while it draws.
    """

    subject: str
    least_v: float
    mean_v: float
    browned_out: bool
    lost_v: float = 0.0


@dataclass(slots=True)
class _Nodes:
    """Numbers of nodes as they are named. The first is the negative post of the vehicle's battery."""

    numbers: dict[str, int] = field(default_factory=lambda: {"minus main-battery": 0})

    def of(self, name: str) -> int:
        return self.numbers.setdefault(name, len(self.numbers))


@by_digest
def network_of(model: Model, *, situation: str) -> WiredNetwork:
    """The network with the sources of a situation; which loads are on is said when it is solved."""
    described, nodes = supply_of(model), _Nodes()
    branches: list[Branch] = []
    ends = {}
    for each in sized(model):
        above = f"run {each.hung.upstream[-1]}" if each.hung.upstream else _post(model, each.hung.loads, described)
        fuse_ohm = FUSE_LOSES_V / each.sized.fuse.rating_a
        guarded = nodes.of(f"fuse {each.hung.circuit.name}")
        branches.append(Branch(nodes.of(above), guarded, fuse_ohm, f"fuse of {each.hung.circuit.name}"))
        before = guarded
        for name, wire in zip(each.hung.runs, each.sized.wires, strict=True):
            ohm = sum(resistance_ohm(wire.wire, stretch, wire.need.effective_a) for stretch in wire.need.out)
            node = nodes.of(f"run {name}")
            branches.append(Branch(before, node, max(ohm, _LEAST_OHM), name))
            ends[name] = node
            if each.hung.level == "main":
                before = node  # the further cable of a main goes on from the first
    sinks, subjects = _sinks(model, situation, nodes, branches, ends)
    sources = _sources(model, situation, described, nodes, branches)
    plus = [nodes.of(_post(model, (subject,), described)) for subject in subjects]
    minus = {source.node: source.back for source in sources}
    posts = tuple((node, minus.get(node, 0)) for node in plus)
    return WiredNetwork(nodes.numbers, tuple(branches), sources, sinks, subjects, posts)


@by_digest
def solved_in(model: Model, situation: str) -> tuple[Solved, States]:
    """The network of a situation, in all pictures of who is on that occur in twenty seconds."""
    network = network_of(model, situation=situation)
    waves = _waves(model, situation, network.subjects)
    states = states_of(waves, until_ms=_UNTIL_MS, step_ms=_STEP_MS)
    most = np.array([max(wave.peak(), 1e-12) for wave in waves])
    share = states.levels / most
    return solve(network.nodes_n, network.branches, network.sources, network.sinks, share), states


def network_findings(model: Model, situation: str) -> tuple[Finding, ...]:
    """Loads that hang on nothing, and loads that brown out, in a situation."""
    network = network_of(model, situation=situation)
    if not network.sinks:
        return ()
    solved, _ = solved_in(model, situation)
    return findings_network(
        network.nodes_n, network.branches, network.sources, network.sinks, solved, situation=situation
    )


@by_digest
def voltages(model: Model, *, situation: str) -> Mapping[str, LoadVoltage]:
    """Voltage at every load that is on in a situation."""
    network = network_of(model, situation=situation)
    if not network.sinks:
        return {}
    solved, states = solved_in(model, situation)
    waves = _waves(model, situation, network.subjects)
    return {
        subject: _voltage(network, place, solved, states.levels, states.shares)
        for place, subject in enumerate(network.subjects)
        if waves[place].peak() > 0
    }


def _voltage(
    network: WiredNetwork,
    place: int,
    solved: Solved,
    levels: NDArray[np.float64],
    shares: NDArray[np.float64],
) -> LoadVoltage:
    subject, (plus, minus) = network.subjects[place], network.posts[place]
    on = levels[:, place] > 0
    if not on.any():
        return LoadVoltage(
            subject, float(solved.across_v[:, place].min()), float(solved.across_v[:, place].mean()), False
        )
    across = solved.across_v[on, place]
    weights = shares[on] / shares[on].sum()
    lost_v = float((solved.voltages_v[on, plus] - solved.voltages_v[on, minus] - across).max())
    browned_out = bool(solved.browned_out[on, place].any())
    return LoadVoltage(subject, float(across.min()), float(across @ weights), browned_out, lost_v)


# ---------------------------------------------------------------------------------------------------------------- ends
def _sinks(
    model: Model,
    situation: str,
    nodes: _Nodes,
    branches: list[Branch],
    ends: Mapping[str, int],
) -> tuple[tuple[Sink, ...], tuple[str, ...]]:
    """Every load at the end of its wire, with its return to a ground point."""
    laid = circuits_of(model).laid
    by_load: dict[str, Run] = {}
    for run in laid.runs:
        if run.kind in ("supply", "tap"):
            for carries in carried(model, run):
                by_load.setdefault(carries, run)
    returns = {run.subject: run for run in laid.runs if run.kind == "return"}
    known = load_by_subject(model)
    metal_ohm = duty_figures().metal_ohm
    drawn = currents(model, situation=situation)
    sinks: list[Sink] = []
    subjects: list[str] = []
    wires = {name: wire for each in sized(model) for name, wire in zip(each.hung.runs, each.sized.wires, strict=True)}
    for subject, run in by_load.items():
        if subject not in known or run.name not in ends:
            continue
        home = returns.get(run.subject)
        back = nodes.of(f"back {run.subject}")
        if home is not None and f"metal {home.to_joint}" not in nodes.numbers:
            branches.append(Branch(nodes.of(f"metal {home.to_joint}"), nodes.of("body"), metal_ohm, home.to_place))
        if home is not None and not any(each.name == home.name for each in branches):
            wire = wires[run.name]
            ohm = sum(resistance_ohm(wire.wire, stretch, wire.need.home_a) for stretch in wire.need.back)
            branches.append(Branch(back, nodes.of(f"metal {home.to_joint}"), max(ohm, _LEAST_OHM), home.name))
        elif home is None and not any(each.a == back for each in branches):
            branches.append(Branch(back, nodes.of("body"), metal_ohm, f"{run.subject} to the body"))
        load = known[subject]
        sinks.append(_sink(load, drawn.get(subject, Wave.constant(0.0)).peak(), ends[run.name], back))
        subjects.append(subject)
    branches.append(Branch(nodes.of("body"), 0, metal_ohm, "the battery's own ground cable"))
    return tuple(sinks), tuple(subjects)


def _sink(load: Load, peak_a: float, node: int, back: int) -> Sink:
    match load.behaves:
        case "power":
            value = max(peak_a, 1e-9) * load.test_voltage_v
        case "resistance":
            value = load.test_voltage_v / max(peak_a, 1e-9)
        case _:
            value = max(peak_a, 1e-9)
    return Sink(node, back, load.behaves, value, load.least_voltage_v, load.path)


def _post(model: Model, loads: tuple[str, ...], described: Described) -> str:
    """The post a circuit begins at: that of the battery its feed comes from."""
    known = load_by_subject(model)
    feeds = [known[load].feed for load in loads if load in known]
    bus = next((described.bus_of[feed] for feed in feeds if feed in described.bus_of), "main")
    return f"plus {bus}"


def _sources(
    model: Model, situation: str, described: Described, nodes: _Nodes, branches: list[Branch]
) -> tuple[Source, ...]:
    """Batteries full and at rest, or the alternator's voltage at their posts while the engine runs."""
    supply = described.supply
    if supply is None:
        return (Source(nodes.of("plus main"), 0, 12.8, 0.005, "a battery nobody named"),)
    figures = duty_figures()
    regulated_v = 0.0
    if engine_runs(model, situation) and supply.alternator is not None:
        regulated_v = supply.alternator.voltage_v(figures.idling_degc)
    found = [_source(nodes.of("plus main"), 0, supply.main, regulated_v)]
    if supply.second is not None:
        home = next((run for run in circuits_of(model).laid.runs if run.kind == "battery-return"), None)
        minus = nodes.of("minus second")
        joint = f"metal {home.to_joint}" if home is not None else "body"
        fresh = joint not in nodes.numbers
        branches.append(Branch(minus, nodes.of(joint), figures.metal_ohm, home.name if home is not None else "second"))
        if fresh and joint != "body":
            branches.append(Branch(nodes.of(joint), nodes.of("body"), figures.metal_ohm, joint))
        found.append(_source(nodes.of("plus second"), minus, supply.second, regulated_v))
    return tuple(found)


def _source(node: int, back: int, battery: Battery, regulated_v: float) -> Source:
    if regulated_v:
        return Source(node, back, regulated_v, _REGULATED_OHM, battery.name)
    return Source(node, back, rest_v(battery, 1.0), inner_ohm(battery, 1.0), battery.name)


def _waves(model: Model, situation: str, subjects: tuple[str, ...]) -> list[Wave]:
    drawn = currents(model, situation=situation)
    return [drawn.get(subject, Wave.constant(0.0)) for subject in subjects]
