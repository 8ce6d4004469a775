"""What packs promise of warning that is on: no failed signal and no low supply takes it away.

Both are asked of the situations that stand for calling or blocking: what the crew has switched on there stays as it is.

zone-lit-whatever-signals
    A side on which warning burns keeps a lit head whatever the vehicle's signals read: with one of them failed too.
    Where several signals together could darken it, each is asked alone, the others as in the situation.
warning-at-low-supply
    Every head on which warning burns goes on burning whatever the supply, dimmer if need be.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coachwright.build.condition import Compare, Condition
from coachwright.build.model import Function, Model, Situation
from coachwright.control.claims import Claim, Terms, always, blame_of, heads_are, reads
from coachwright.control.compiled import SUPPLY
from coachwright.control.cone import inputs_of, inputs_of_memories
from coachwright.control.machine import memory_of
from coachwright.control.situations import judged, machine_of, settings_of, settled
from coachwright.control.sources import Setting
from coachwright.control.tries import QUARTERS, WARN, all_shows, lit_by, ranks_of, toward_of

SERVING = ("calling", "blocking")


def zone_lit_whatever_signals(model: Model, terms: Terms) -> Iterator[Claim]:
    """No side goes dark with a signal."""
    del terms
    signals = frozenset(item.name for item in model.inputs if not item.is_control)
    known: set[tuple[Condition | None, tuple[str, ...]]] = set()
    for situation, heads in _warned(model):
        toward = toward_of(model, situation.name)
        for quarter in QUARTERS.values():
            there = tuple(head for head in heads if toward[head] == quarter)
            claim = _side_lit(model, situation, quarter, there, frees=signals) if there else None
            if claim is None or (claim.promise.when, there) in known:
                continue
            known.add((claim.promise.when, there))
            needed = inputs_of(model, [function.name for function in _wanting(model, there)])
            single = (
                _side_lit(model, situation, quarter, there, frees=frozenset({name}))
                for name in needed
                if name in signals
            )
            yield replace(claim, or_else=tuple(each for each in single if each is not None))


def _side_lit(
    model: Model, situation: Situation, quarter: str, heads: tuple[str, ...], *, frees: frozenset[str]
) -> Claim | None:
    """That one of these heads is lit, whatever the inputs that are free read; None where nothing is given at all."""
    functions = _wanting(model, heads)
    when = tuple(_stands(model, situation, functions, frees=frees))
    if not when:
        return None
    lies = f" while {next(iter(frees))} lies" if len(frees) == 1 else ""
    return always(
        f"{quarter} lit in {situation.name}{lies}",
        when=when,
        then=heads_are(heads, "lit", every=False),
        about=situation.path,
        blame=(*blame_of(functions), situation.path),
        subject=f"the {quarter} in {situation.name}{lies}",
        situation=situation.name,
        toward=quarter,
    )


def warning_at_low_supply(model: Model, terms: Terms) -> Iterator[Claim]:
    """No head goes dark with the supply."""
    del terms
    if not any(item.name == SUPPLY for item in model.inputs):
        return
    for situation, heads in _warned(model):
        functions = _wanting(model, heads)
        when = tuple(_stands(model, situation, functions, frees=frozenset({SUPPLY})))
        if when:
            yield always(
                f"warning in {situation.name} at any supply",
                when=when,
                then=heads_are(heads, "lit", every=True),
                about=situation.path,
                blame=(*(stop.path for stop in model.stops), *blame_of(functions), situation.path),
                subject=f"warning in {situation.name}",
                situation=situation.name,
            )


def _warned(model: Model) -> Iterator[tuple[Situation, tuple[str, ...]]]:
    """Situations in service with the heads of ours on which warning burns there."""
    own = [head.id for head in model.heads if head.reach == "own"]
    for situation in sorted(model.situations, key=lambda each: each.name):  # the file's order decides nothing
        if situation.stands_for in SERVING:
            lit = lit_by(judged(model, situation.name), ranks_of(model), WARN)
            heads = tuple(head for head in own if head in lit)
            if heads:
                yield situation, heads


def _wanting(model: Model, heads: tuple[str, ...]) -> tuple[Function, ...]:
    """Functions that may have one of these heads."""
    named = set(heads)
    return tuple(
        function
        for function in model.functions
        if any(not named.isdisjoint(show.heads) for _, show in all_shows(function))
    )


def _stands(
    model: Model, situation: Situation, functions: tuple[Function, ...], *, frees: frozenset[str]
) -> Iterator[Condition]:
    """What stands as in the situation: inputs these functions depend on, but those that are free; memories likewise."""
    settings: dict[str, Setting] = dict(settings_of(model, situation.name))
    needed = inputs_of(model, [function.name for function in functions])
    for item in model.inputs:
        if item.name in needed and item.name not in frees:
            yield reads(model, item.name, settings[item.name])
    memory = memory_of(machine_of(model), settled(model, situation.name).state)
    for each in model.memories:
        moved_by = inputs_of_memories(model, [each.name])
        if set(moved_by) & set(needed) and not set(moved_by) & frees:
            yield Compare(each.name, "==", memory[each.name])
