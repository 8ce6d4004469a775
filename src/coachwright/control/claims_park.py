"""What packs promise of a vehicle in Park, and of one whose key is out.

siren-off-in-park
    In Park no siren sounds, but for what a held button sounds and what the road asks for.
siren-asked-for-again
    A siren that Park has silenced stays silent until somebody moves a control that it reads.
emitter-off-in-park
    In Park no signal emitter runs.
white-forward-off-in-park
    In Park no warning shows white to the front; light to work by may.
dark-with-key-out
    With the key out, every control in its first position and the vehicle at rest, everything is dark and silent after a
    while, but for what the road asks for.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.condition import And, Compare, Condition, Event, Held, Or, Truth
from coachwright.build.model import Function, Input, Model, Promise
from coachwright.control.claims import (
    Claim,
    Terms,
    blame_of,
    either,
    has_value,
    heads_are,
    in_park,
    never,
    of_rank,
    reads,
)
from coachwright.control.ranks import ROAD
from coachwright.control.tries import QUARTERS, all_shows, buttons_of, reads_through_memory
from coachwright.place.zones import zones_of

TASK = "task"


def siren_off_in_park(model: Model, terms: Terms) -> Iterator[Claim]:
    """No siren in Park."""
    del terms
    park = in_park(model)
    for siren, functions in _sirens(model).items():
        asked = [each for each in functions if not _by_hand(model, each)]
        if park is not None and asked:
            yield never(
                f"{siren} silent in Park",
                Truth(siren),
                park,
                but=_excused(model, functions),
                about=asked[0].path,
                blame=blame_of(asked),
                subject=f"{siren} in Park",
                equipment=siren,
            )


def siren_asked_for_again(model: Model, terms: Terms) -> Iterator[Claim]:
    """A siren doesn't come back by itself."""
    del terms
    park = in_park(model)
    for siren, functions in _sirens(model).items():
        asked = [each for each in functions if not _by_hand(model, each)]
        by = {name for function in asked for name in reads_through_memory(model, function)}
        asking = [event for item in model.inputs if item.name in by for event in _moves_of(item)]
        if park is None or not asked or not asking:
            continue
        promise = Promise(
            f"{siren} asked for again",
            "between",
            asked[0].path,
            never=Truth(siren),
            but=_excused(model, functions),
            after=Event("becomes", "", item=park),
            until=asking[0] if len(asking) == 1 else Or(tuple(asking)),
        )
        yield Claim(promise, asked[0].path, blame_of(asked), f"{siren} after Park", (("equipment", siren),))


def emitter_off_in_park(model: Model, terms: Terms) -> Iterator[Claim]:
    """No emitter in Park."""
    del terms
    park, kinds = in_park(model), {name: part.kind for name, part in model.parts}
    for item in model.equipment:
        runs = [function for function in model.functions if item.name in function.runs]
        if park is not None and runs and kinds.get(item.part) == "emitter":
            yield never(
                f"{item.name} off in Park",
                Truth(item.name),
                park,
                about=runs[0].path,
                blame=blame_of(runs),
                subject=f"{item.name} in Park",
                equipment=item.name,
            )


def white_forward_off_in_park(model: Model, terms: Terms) -> Iterator[Claim]:
    """No white warning to the front in Park."""
    del terms
    park = in_park(model)
    for function in model.functions:
        heads = _shown_toward(model, function, "white", "front")
        if park is not None and heads and function.rank not in (ROAD, TASK):
            others = tuple(each.name for each in model.functions if each.name != function.name)
            yield never(
                f"{function.name} without white to the front in Park",
                heads_are(heads, "lit", "white", every=False),
                park,
                but=others,
                about=function.path,
                blame=(f"{function.path}.at-most", f"{function.path}.when", function.path),
                subject=f"white of {function.name} to the front",
                owner=function.name,
            )


def dark_with_key_out(model: Model, terms: Terms) -> Iterator[Claim]:
    """Everything goes dark after the key."""
    own = [head.id for head in model.heads if head.reach == "own"]
    if not has_value(model, "ignition", "out") or not own:
        return
    still: list[Condition] = [Compare("ignition", "==", "out")]
    for item in model.inputs:
        if item.is_control and item.values:
            still.append(reads(model, item.name, item.values[0]))
        elif item.values and item.name not in ("ignition", "engine") and item.rest in item.values:
            still.append(reads(model, item.name, item.rest))
    burning = [function for function in model.functions if function.rank != ROAD]
    yield never(
        "dark with the key out",
        Held(And(tuple(still)), terms.within_ms),
        either([heads_are(own, "lit", every=False), *(Truth(siren) for siren in _sirens(model))]),
        but=of_rank(model, ROAD),
        about="functions",
        blame=blame_of(burning),
        subject="everything, with the key out and nobody at the controls",
    )


# -------------------------------------------------------------------------------------------------------------- sirens
def _sirens(model: Model) -> dict[str, tuple[Function, ...]]:
    """Every siren that a function sounds, with those functions."""
    found: dict[str, list[Function]] = {}
    for function in model.functions:
        for sound in function.sounds:
            found.setdefault(sound.siren, []).append(function)
    return {siren: tuple(functions) for siren, functions in found.items()}


def _by_hand(model: Model, function: Function) -> bool:
    """Does it sound while a button is held, or because the road asks for it?"""
    return function.rank == ROAD or bool(buttons_of(model, function))


def _excused(model: Model, functions: tuple[Function, ...]) -> tuple[str, ...]:
    return tuple(function.name for function in functions if _by_hand(model, function))


def _moves_of(item: Input) -> list[Event]:
    """Every event of a hand at a control."""
    if not item.is_control:
        return []
    if item.kind in ("toggle", "button"):
        return [Event("pressed", item.name)]
    if item.kind in ("slide", "pick-one"):
        return [Event("leaves", item.name, position) for position in item.values]
    return [Event("becomes", "", item=Truth(item.name))]


def _shown_toward(model: Model, function: Function, colour: str, quarter: str) -> tuple[str, ...]:
    """Heads of ours that look there, on which the function shows the colour."""
    heads = {head.id: head for head in model.heads if head.reach == "own"}
    shown = {
        head: None
        for _, show in all_shows(function)
        if any(each.colour == colour for each in show.colours)
        for head in show.heads
        if head in heads and quarter in (QUARTERS[zone] for zone in zones_of(heads[head], model))
    }
    return tuple(shown)
