"""The fuse of every circuit and the wire of every load of a build: sized anew, as they were decided, and as a solver.

Fuses grow from the loads toward the source. Wires are sized the other way: what the cables lose is no longer there for
the wires behind them. All wires of one subject (its supply on
each channel, its return) are of one size, the thickest any of them needs, so that the way back is as thick as the feed.

See Also
--------
coachwright.power.circuits : what hangs where. coachwright.power.size : one circuit. coachwright.build.settling : who
asks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from coachwright.build.model import Model
from coachwright.build.settling import About, Question, Solver, question
from coachwright.kit.by_digest import by_digest
from coachwright.kit.errors import DataWrong
from coachwright.kit.wave import Wave
from coachwright.parts.schema import FusePart, WirePart
from coachwright.parts.store import load_catalogue
from coachwright.power.circuits import Circuits, Hung, circuits_of, with_budget
from coachwright.power.fuse import FuseRule, fuse_rules
from coachwright.power.shelf import our_shelf, wire_of_gauge
from coachwright.power.size import SizedCircuit, SizedWire, WireNeed, fuse_for, size_circuit
from coachwright.power.sizing_figures import sizing_figures

NAME = "sizes"
GAUGE, FUSE = "gauge", "fuse"
_LEVELS = ("load", "feed", "main")
"""From the load toward the source."""


@dataclass(frozen=True, slots=True)
class Sized:
    """A circuit as it is: who hangs there, its fuse and wires. lost_v : in the cables before it, at their peaks."""

    hung: Hung
    sized: SizedCircuit
    lost_v: float

    def wire_of(self, run: str) -> SizedWire:
        """The wire of a run, by its name."""
        return self.sized.wires[self.hung.runs.index(run)]


@by_digest
def sized(model: Model) -> tuple[Sized, ...]:
    """Every circuit, with what the lead fixed and the lock holds; what neither says is sized."""
    return _sized(model, circuits_of(model), _decided(model))


@by_digest
def sized_anew(model: Model) -> tuple[Sized, ...]:
    """The same as if the lock were empty: what the lead fixed still holds. The rules that govern are told here."""
    return _sized(model, circuits_of(model), {})


def gauge_name(wire: WirePart) -> str:
    """As a build and a lock write it: ``16 AWG``, ``16 SAE``, ``2.5 mm2``."""
    return f"{wire.size} mm2" if wire.family == "metric" else f"{wire.size} {wire.family.upper()}"


def wires_by_subject(model: Model) -> dict[str, WirePart]:
    """The wire of each subject as it is: of several the thickest, for supply and return are of one size."""
    found: dict[str, WirePart] = {}
    for each in sized(model):
        for wire in each.sized.wires if not each.hung.beside else ():
            before = found.get(wire.need.subject)
            if before is None or wire.wire.area > before.area:
                found[wire.need.subject] = wire.wire
    return found


def rule_of(model: Model) -> FuseRule:
    """How the job holds a fuse against its wire."""
    return fuse_rules()[model.job.fuse_rule]


# ------------------------------------------------------------------------------------------------------------- sizing
def _sized(model: Model, circuits: Circuits, decided: Mapping[About, str]) -> tuple[Sized, ...]:
    """Fuses from the loads toward the source, since each is larger than those behind it; wires the other way."""
    rule, sizes = rule_of(model), wires_for(model)
    circuit_of = {run: hung.circuit.name for hung in circuits.hung for run in hung.runs}
    behind_a: dict[str, float] = {}
    guarded: list[Hung] = []
    for hung in sorted(circuits.hung, key=lambda each: (_LEVELS.index(each.level), each.circuit.name)):
        known = _as_decided(hung, decided)
        known = replace(known, circuit=replace(known.circuit, behind_a=behind_a.get(hung.circuit.name, 0.0)))
        rating_a = fuse_for(known.circuit, fuses_for(known)).rating_a
        for name in {circuit_of[run] for run in hung.upstream}:
            behind_a[name] = max(behind_a.get(name, 0.0), rating_a)
        guarded.append(known)
    lost_v: dict[str, float] = {}
    found: list[Sized] = []
    for hung in sorted(guarded, key=lambda each: (-_LEVELS.index(each.level), each.circuit.name)):
        before_v = sum(lost_v[run] for run in hung.upstream)
        asked = hung if hung.is_cable else with_budget(hung, before_v)
        done = size_circuit(asked.circuit, fuses=fuses_for(hung), wires=sizes, rule=rule)
        lost_v |= {run: each.drop_v for run, each in zip(hung.runs, done.wires, strict=True)}
        found.append(Sized(asked, done, before_v))
    order = {hung.circuit.name: place for place, hung in enumerate(circuits.hung)}
    return tuple(sorted(found, key=lambda each: order[each.hung.circuit.name]))


def _as_decided(hung: Hung, decided: Mapping[About, str]) -> Hung:
    """With gauge and fuse from the lock where the lead fixed none."""
    if not decided or hung.beside:
        return hung
    needs = tuple(
        each if each.fixed is not None else replace(each, fixed=wire_named(decided.get((each.subject, GAUGE), "")))
        for each in hung.circuit.wires
    )
    fuse = decided.get((fuse_subject(hung), FUSE), "")
    fixed_a = hung.circuit.fixed_a or (float(fuse.split()[0]) if fuse else 0.0)
    return replace(hung, circuit=replace(hung.circuit, wires=needs, fixed_a=fixed_a))


def _decided(model: Model) -> dict[About, str]:
    return {(each.subject, each.what): each.value for each in model.decisions if each.by == NAME}


def wires_for(model: Model) -> tuple[WirePart, ...]:
    """Sizes of the job's family, and beyond its thickest the AWG cables."""
    shelf = our_shelf()
    own = [each for each in shelf.wires if each.family == model.job.wire_family]
    thickest = max((each.area for each in own), default=0.0)
    more = [each for each in shelf.wires if each.family == "awg" and each.area > thickest]
    return tuple(sorted({each.name: each for each in (*own, *more)}.values(), key=lambda each: (each.area, each.name)))


def fuses_for(hung: Hung) -> tuple[FusePart, ...]:
    """The fuses a circuit may have, the favoured first."""
    figures = sizing_figures()
    return _fuses(figures.cable_fuses if hung.is_cable else figures.load_fuses)


@cache
def _fuses(names: tuple[str, ...]) -> tuple[FusePart, ...]:
    catalogue = load_catalogue()
    found = [part for part in map(catalogue.get, names) if isinstance(part, FusePart)]
    if len(found) != len(names):
        raise DataWrong(f"sizing.yaml, fuses: one of {', '.join(names)} is no fuse of the catalogue.")
    return tuple(found)


# -------------------------------------------------------------------------------------------------------------- solver
def fuse_subject(hung: Hung) -> str:
    """Under whose name the fuse of a circuit is decided: the first load of a channel by name, else whose wire it is.

    Channels of the colours of one head share the answer: the fuse of the one that asks for more.
    """
    return min(hung.loads) if hung.channel and hung.loads else hung.circuit.wires[0].subject


def asks(model: Model) -> tuple[Question, ...]:
    """A gauge for each subject that has a wire, a fuse for each circuit."""
    circuits, rule = circuits_of(model), model.job.fuse_rule
    taken = {(each.subject, each.what) for each in model.fixed}
    by_subject: dict[str, list[tuple[WireNeed, float]]] = {}
    found: dict[About, Question] = {}
    by_fuse: dict[About, list[tuple[tuple[Wave, ...], float, float]]] = {}
    for hung in circuits.hung:
        if hung.beside:
            continue
        for need in hung.circuit.wires:
            by_subject.setdefault(need.subject, []).append((need, hung.circuit.fixed_a))
        about = (fuse_subject(hung), FUSE)
        if about not in taken and not hung.circuit.fixed_a and _named(about[0]):
            by_fuse.setdefault(about, []).append((hung.circuit.waves, hung.circuit.hours_a, hung.circuit.surge_a))
    for about, loads in by_fuse.items():
        found[about] = question(*about, *(piece for load in loads for piece in load))
    for subject, needs in by_subject.items():
        about = (subject, GAUGE)
        if about not in taken and _named(subject) and any(need.fixed is None for need, _ in needs):
            found[about] = question(*about, tuple(needs), rule, model.job.wire_family)
    return tuple(found.values())


def _named(subject: str) -> bool:
    """Is it something a lock can name? Cables of the vehicle's battery and taps at its lamps are sized each time."""
    return subject.startswith(("lamps.", "equipment.", "feeds."))


def decides(model: Model, waiting: tuple[Question, ...], kept: Mapping[About, str]) -> Mapping[About, str]:
    """What is sized anew for each that waits. The same build has the same answer, whatever was settled before."""
    fuses: dict[str, float] = {}
    thickest: dict[str, WirePart] = {}
    for circuit in sized_anew(model):
        if circuit.hung.beside:
            continue
        about, rating_a = fuse_subject(circuit.hung), circuit.sized.fuse.rating_a
        fuses[about] = max(fuses.get(about, 0.0), rating_a)
        for wire in circuit.sized.wires:
            before = thickest.get(wire.need.subject)
            if before is None or wire.wire.area > before.area:
                thickest[wire.need.subject] = wire.wire
    answers: dict[About, str] = {}
    for each in waiting:
        if each.what == FUSE and each.subject in fuses:
            answers[each.about] = f"{fuses[each.subject]:g} A"
        elif each.what == GAUGE and each.subject in thickest:
            answers[each.about] = gauge_name(thickest[each.subject])
    return answers


SIZES = Solver(NAME, asks, decides)
"""Registered with build.settling by the room's window (power.measures_sizes)."""


def wire_named(gauge: str) -> WirePart | None:
    """The wire of a size as a lock or a build writes it."""
    return wire_of_gauge(gauge, our_shelf())
