"""Does one dead channel darken a zone that warns? Asked of every moment of the machine at once.

A zone warns while a head that looks into it burns for a function of a warning rank. Where at least two such heads burn
and all of them hang on one channel, that channel alone stands between the zone and the dark. (Where one head warns
alone no channel can help; lamps can.) Panels count as they stand in that moment.

See Also
--------
coachwright.power.allocate : who spreads heads over channels until nothing is found here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from coachwright.build.model import Head, Model
from coachwright.control.ambiguity import least_away, setting_texts
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.flash.measures import WARNING_RANKS
from coachwright.kit.by_digest import by_digest
from coachwright.place.panels import BODY, all_panels
from coachwright.place.zones import zones_of


@dataclass(frozen=True, slots=True)
class Dark:
    """All that warns in a zone hangs on one channel. heads : those; setting : when, what is away from rest."""

    zone: str
    channel: int
    heads: tuple[str, ...]
    setting: tuple[str, ...]


Wire = tuple[str, str]
"""A head and one of its colours: what hangs on a channel."""


class Warned:
    """The warning of a model as literals, and a solver to ask; to be closed.

    warns : per wire. looks : per zone, each head with when it looks there.
    """

    def __init__(self, model: Model) -> None:
        self.moment = Moment(model, build_machine(model))
        self.warns = _warns(model, self.moment)
        self.looks = _looks(model, self.moment)
        self.solver = Solver(self.moment.circuit, self.moment.rules, self.moment.rules_at_rest)

    def darkened(self, channels: Mapping[Wire, int], *, told: bool = False) -> tuple[Dark, ...]:
        """Every zone and channel for which it can happen, with one moment of it each.

        channels : of each head, colour by colour. told : the moment with the least away from rest, in words.
        """
        found = []
        all_of = self.moment.circuit.all_of
        for zone, looking in self.looks.items():
            lit = {wire: all_of((each, looking[wire[0]])) for wire, each in self.warns.items() if wire[0] in looking}
            for channel in sorted({channels[wire] for wire in lit if wire in channels}):
                dark = _dark(self, zone, channel, lit, channels=channels, told=told)
                if dark is not None:
                    found.append(dark)
        return tuple(found)

    def close(self) -> None:
        """Gives back the solver's memory."""
        self.solver.close()


def darkened(model: Model, channels: Mapping[Wire, int]) -> tuple[Dark, ...]:
    """Every zone that one channel alone can darken, told."""
    warned = Warned(model)
    try:
        return warned.darkened(channels, told=True)
    finally:
        warned.close()


def zone_of(model: Model, head: Head) -> str:
    """The zone a head belongs to: where it warns with its panel shut; where it never does so, with its panel open.

    "" for one that looks into none.
    """
    opened = frozenset(all_panels(model.body))
    shut, open_ = zones_of(head, model)[:1], zones_of(head, model, opened)[:1]
    if shut == open_ or not open_ or (shut and head.id in _warning_shut(model)):
        return "".join(shut)
    return "".join(open_)


@by_digest
def warning_wires(model: Model) -> frozenset[Wire]:
    """Heads with their colours that some function of a warning rank shows."""
    moment = Moment(model, build_machine(model))
    return frozenset(wire for wire, literal in _warns(model, moment).items() if literal != FALSE)


@by_digest
def _warning_shut(model: Model) -> frozenset[str]:
    """Heads that have a moment in which they warn with their panel shut; also those that never warn at all."""
    warned = Warned(model)
    try:
        found = set()
        for head in model.heads:
            if head.reach == "own":
                wires = [each for wire, each in warned.warns.items() if wire[0] == head.id]
                warns, is_open = warned.moment.circuit.any_of(wires), _open(model, head, warned.moment)
                if warned.solver.can_be(warns, -is_open) or not warned.solver.can_be(warns):
                    found.add(head.id)
        return frozenset(found)
    finally:
        warned.close()


def _dark(
    known: Warned, zone: str, channel: int, lit: Mapping[Wire, int], *, channels: Mapping[Wire, int], told: bool
) -> Dark | None:
    circuit = known.moment.circuit
    on: dict[str, list[int]] = {}
    for wire, each in lit.items():
        if channels.get(wire) == channel and each != FALSE:
            on.setdefault(wire[0], []).append(each)
    burns = {head: circuit.any_of(each) for head, each in on.items()}
    if len(burns) < 2:
        return None
    off = [-each for wire, each in lit.items() if channels.get(wire) != channel]
    wanted = [each for each in (circuit.pairs(list(burns.values())), *off) if each != TRUE]
    solution = None if FALSE in wanted else known.solver.solution(*wanted)
    if solution is None:
        return None
    if told:
        solution = least_away(known.moment, known.solver, wanted) or solution
    heads = tuple(head for head, each in burns.items() if solution.holds(each)[0])
    return Dark(zone, channel, heads, setting_texts(known.moment, solution) if told else ())


def _warns(model: Model, moment: Moment) -> Mapping[Wire, int]:
    shown, circuit = Shown(moment), moment.circuit
    warning = {function.name for function in model.functions if function.rank in WARNING_RANKS}
    found: dict[Wire, int] = {}
    for head in model.heads:
        contested = shown.heads.get(head.id) if head.reach == "own" else None
        parts = contested.parts if contested is not None else ()
        for colour in head.colours if contested is not None else ():
            lit = [each for function, show, each in parts if function in warning and show.colour == colour]
            found[head.id, colour] = circuit.any_of(lit)
    return found


def _looks(model: Model, moment: Moment) -> Mapping[str, Mapping[str, int]]:
    """Per zone: heads that can look there, each with the literal of its panel standing so."""
    opened = frozenset(all_panels(model.body))
    found: dict[str, dict[str, int]] = {}
    for head in model.heads:
        if head.reach != "own":
            continue
        is_open = _open(model, head, moment)
        for when, panels in ((-is_open, frozenset[str]()), (is_open, opened)):
            if when == FALSE:
                continue
            for zone in zones_of(head, model, panels):
                there = found.setdefault(zone, {})
                there[head.id] = moment.circuit.any_of((there.get(head.id, FALSE), when))
    return dict(sorted(found.items()))


def _open(model: Model, head: Head, moment: Moment) -> int:
    """Literal: the panel a head rides on stands open."""
    panel: Any = model.body.panels.get(model.body.places[head.place].panel)
    if model.body.places[head.place].panel == BODY or panel is None:
        return FALSE
    choice = moment.inputs.get(panel.signal_right if head.side == "right" and panel.mirrored else panel.signal)
    if choice is None or panel.open_value not in choice.values:
        return FALSE
    return choice.literals[choice.values.index(panel.open_value)]
