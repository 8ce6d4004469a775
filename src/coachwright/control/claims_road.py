"""What packs promise of brake, turn, hazard and reverse.

brake-shown
    With the brake pressed, out of Park, every head that shows the brake burns as its function says, and nothing else
    burns there. A head that also shows a turn or the hazard is asked while that isn't on.
turn-shown
    With a turn or the hazard on, every head that shows it does.
stop-yields-to-turn
    In a head that shows brake and turn, the brake isn't lit while the turn or the hazard is on.
nothing-beside-signal
    While a function of the road acts, nothing of another rank burns in its heads.
panel-never-outranks-road
    Whatever every switch reads: while a signal is given, no other rank lights its heads or holds them dark.
required-lamp-never-dimmed
    A lamp that road law asks for, whose feed we interrupt or which we ask the vehicle for, is neither dark nor dimmed
    by a function of ours while the driver does what lights it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coachwright.build.condition import And, Condition, FunctionState, Held, Manner, Not, Truth
from coachwright.build.model import ColourShow, Function, Model
from coachwright.control.claims import (
    Claim,
    Terms,
    always,
    blame_of,
    either,
    has_value,
    heads_are,
    never,
    of_rank,
    under_way,
)
from coachwright.control.ranks import ROAD
from coachwright.control.road_signs import TURNS, heads_of, sign, signs_given
from coachwright.control.tries import all_shows
from coachwright.place.required import required_lamps, use_of

_FULL_SHARE = 0.99
"""Full light, but for rounding."""

_LIT_BY: dict[str, tuple[str, ...]] = {
    "stop": ("brake",),
    "turn": TURNS,
    "backup": ("reverse",),
    "headlamp": ("headlamps", "main-beam"),
    **dict.fromkeys(("tail", "parking", "marker", "clearance", "identification", "plate"), ("headlamps",)),
}
"""What the driver does for which a required lamp lights up."""


def brake_shown(model: Model, terms: Terms) -> Iterator[Claim]:
    """The brake, in its colour and manner, alone in its heads."""
    yield from _shown(model, ("brake",), terms)


def turn_shown(model: Model, terms: Terms) -> Iterator[Claim]:
    """Turns and hazard."""
    yield from _shown(model, TURNS, terms)


def stop_yields_to_turn(model: Model, terms: Terms) -> Iterator[Claim]:
    """No stop light in a head that turns."""
    del terms
    given = signs_given(model)
    brakes = given.get("brake", ())
    others = tuple(each.name for each in model.functions if each not in brakes)
    stops = {head for function in brakes for head in heads_of(model, function)}
    for name in TURNS:
        functions, condition = given.get(name, ()), sign(model, name)
        heads = tuple(dict.fromkeys(head for each in functions for head in heads_of(model, each) if head in stops))
        if heads and condition is not None:
            yield never(
                f"stop yields to {name}",
                condition,
                heads_are(heads, "lit", every=False),
                but=others,
                about=functions[0].path,
                blame=(f"{functions[0].path}.wins-over", *blame_of(brakes)),
                subject=f"brake and {name} in {_some(heads)}",
                sign=name,
                reach=_reach(model, heads[0]),
            )


def nothing_beside_signal(model: Model, terms: Terms) -> Iterator[Claim]:
    """No other colour beside a signal."""
    del terms
    road = of_rank(model, ROAD)
    functions = {function.name: (name, function) for name, each in signs_given(model).items() for function in each}
    for name, function in functions.values():
        heads = heads_of(model, function)
        if heads:
            yield never(
                f"nothing beside {function.name}",
                FunctionState(function.name, "active"),
                heads_are(heads, "lit", every=False),
                but=road,
                about=function.path,
                blame=blame_of([function]),
                subject=f"{name} in {_some(heads)}",
                sign=name,
            )


def panel_never_outranks_road(model: Model, terms: Terms) -> Iterator[Claim]:
    """No switch takes a head from a signal."""
    road, given = of_rank(model, ROAD), signs_given(model)
    for name, functions in given.items():
        for when, heads in _asked(model, name, given):
            lit_or_dark = either([heads_are(heads, "lit", every=False), heads_are(heads, "dark", every=False)])
            asked: Condition = And(when) if len(when) > 1 else when[0]
            yield never(
                f"{name} keeps {_some(heads)}",
                Held(asked, terms.within_ms) if terms.within_ms else asked,
                lit_or_dark,
                but=road,
                about=functions[0].path,
                blame=blame_of(functions),
                subject=f"{name} in {_some(heads)}",
                sign=name,
            )


def required_lamp_never_dimmed(model: Model, terms: Terms) -> Iterator[Claim]:
    """Lamps road law asks for keep their full light."""
    del terms
    required = set(required_lamps(model.body))
    lamps = {head.id: head.lamp for head in model.heads if head.reach in ("series", "request")}
    for function in model.functions:
        shown = {head for _, show in all_shows(function) for head in show.heads if lamps.get(head) in required}
        for lamp in sorted({lamps[head] for head in shown}):
            heads = sorted(head for head in shown if lamps[head] == lamp)
            signs = [each for name in _LIT_BY.get(use_of(lamp), ()) if (each := _sign(model, name)) is not None]
            if signs:
                yield never(
                    f"{function.name} never dims {lamp}",
                    either(signs),
                    FunctionState(function.name, "active"),
                    Not(heads_are(heads, "lit", every=True, share=_FULL_SHARE)),
                    about=function.path,
                    blame=blame_of([function]),
                    subject=lamp,
                    lamp=lamp,
                    use=use_of(lamp),
                )


# ------------------------------------------------------------------------------------------------------------- signals
def _sign(model: Model, name: str) -> Condition | None:
    if name in ("reverse", "brake", *TURNS):
        return sign(model, name)
    return Truth(name) if has_value(model, name, "on") else None


def _shown(model: Model, names: Sequence[str], terms: Terms) -> Iterator[Claim]:
    given = signs_given(model)
    for name in names:
        functions = given.get(name, ())
        for when, heads in _asked(model, name, given):
            shows = {head: _statements(functions, head) for head in heads}
            for said in dict.fromkeys(shows.values()):
                alike = [head for head in heads if shows[head] == said]
                yield always(
                    f"{name} shown in {_some(alike)}",
                    when=when,
                    then=_say(alike, said),
                    within_ms=terms.within_ms,
                    about=functions[0].path,
                    blame=blame_of(functions),
                    subject=f"{name} in {_some(alike)}",
                    sign=name,
                    reach=_reach(model, alike[0]),
                )


def _asked(
    model: Model, name: str, given: dict[str, tuple[Function, ...]]
) -> Iterator[tuple[tuple[Condition, ...], tuple[str, ...]]]:
    """When a signal is asked for, and in which heads: a brake not where a turn has the head."""
    condition = sign(model, name)
    functions = given.get(name, ())
    if condition is None or not functions:
        return
    heads = tuple(dict.fromkeys(head for function in functions for head in heads_of(model, function)))
    rivals: dict[str, tuple[str, tuple[str, ...]]] = {}
    for head in heads:
        turns = TURNS if name == "brake" else ()
        rivals[head] = (
            _reach(model, head),
            tuple(turn for turn in turns if any(head in heads_of(model, other) for other in given.get(turn, ()))),
        )
    for reach, away in dict.fromkeys(rivals.values()):
        drives = under_way(model) if name == "brake" else []
        yield (
            (condition, *drives, *(Not(Truth(turn)) for turn in away)),
            tuple(head for head in heads if rivals[head] == (reach, away)),
        )


def _reach(model: Model, head: str) -> str:
    """How we reach it: a head of our own, or a lamp of the vehicle in whose feed we are or which we ask for."""
    return next(each.reach for each in model.heads if each.id == head)


_Said = tuple[str, Manner, bool]


def _statements(functions: Sequence[Function], head: str) -> tuple[_Said, ...]:
    """What these functions show on a head: colour, manner, and whether it is the only colour of its show."""
    found: dict[_Said, None] = {}
    for function in functions:
        for _, show in all_shows(function):
            if head in show.heads:
                found |= {_statement(colour, alone=len(show.colours) == 1): None for colour in show.colours}
    return tuple(found)


def _statement(colour: ColourShow, *, alone: bool) -> _Said:
    return colour.colour, "steady" if colour.manner == "steady" else "flashing", alone


def _say(heads: Sequence[str], said: Sequence[_Said]) -> Condition:
    if len(said) == 1:
        ((colour, manner, alone),) = said
        return heads_are(heads, manner, colour, every=True, only=alone)
    each = [
        either([heads_are([head], manner, colour, every=True, only=alone) for colour, manner, alone in said])
        for head in heads
    ]
    return each[0] if len(each) == 1 else And(tuple(each))


def _some(heads: Sequence[str], most: int = 4) -> str:
    return ", ".join(heads[:most]) + (", ..." if len(heads) > most else "")
