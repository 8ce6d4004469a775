"""What packs promise of direction arrows.

arrow-only-standing
    No arrow runs once the vehicle has gone faster than a given speed for a while.
arrow-never-against-turn
    No arrow points left while the turn signal says right, nor the reverse.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.condition import Compare, Condition, HeadStatement, Held, Truth
from coachwright.build.model import ColourShow, Function, Model, Show
from coachwright.control.claims import Claim, Terms, blame_of, has_value, never
from coachwright.control.tries import ARROWS, all_shows

_AGAINST = {"run-left": "turn-right", "run-right": "turn-left"}


def arrow_only_standing(model: Model, terms: Terms) -> Iterator[Claim]:
    """No arrow on the move."""
    if not any(item.name == "speed" and not item.values for item in model.inputs):
        return
    moves = Held(Compare("speed", ">", terms.speed_mps), terms.within_ms)
    for function, position, show, colour in _arrows(model):
        yield _never(function, position, show, colour, wrong=moves, said="while travelling")


def arrow_never_against_turn(model: Model, terms: Terms) -> Iterator[Claim]:
    """No arrow against the turn."""
    del terms
    for function, position, show, colour in _arrows(model):
        turn = _AGAINST.get(colour.pattern.word) if colour.pattern is not None else None
        if turn is not None and has_value(model, turn, "on"):
            yield _never(function, position, show, colour, wrong=Truth(turn), said=f"with {turn}")


def _arrows(model: Model) -> Iterator[tuple[Function, str, Show, ColourShow]]:
    for function in model.functions:
        for position, show in all_shows(function):
            for colour in show.colours:
                if colour.pattern is not None and colour.pattern.word in ARROWS:
                    yield function, position, show, colour


def _never(function: Function, position: str, show: Show, colour: ColourShow, *, wrong: Condition, said: str) -> Claim:
    pattern = colour.pattern.text if colour.pattern is not None else ""
    word = colour.pattern.word if colour.pattern is not None else ""
    return never(
        f"{word} of {function.name} never {said}",
        wrong,
        HeadStatement(show.selector, colour.colour, "pattern", False, pattern, None, False, show.heads),
        about=function.path,
        blame=blame_of([function]),
        subject=f"{word} {said}",
        owner=function.name,
        position=position,
    )
