"""Is what a promise says about heads and equipment true in this moment?

Judged on statements, not on the instant: red is true through the dark steps of a red pattern.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.condition import HeadStatement
from coachwright.build.pattern_text import shows_pattern
from coachwright.control.statement import ColourPart, HeadState, SoundState

_ROUNDING = 1e-9


def heads_say(statement: HeadStatement, states: Mapping[str, HeadState], excused: frozenset[str]) -> bool:
    """Is it true of every head it names (`every`), or of at least one?

    excused : functions whose own output doesn't count as making it true.
    """
    answers = (head_says(statement, states[head], excused) for head in statement.heads)
    return all(answers) if statement.every else any(answers)


def head_says(statement: HeadStatement, state: HeadState, excused: frozenset[str] = frozenset()) -> bool:
    """Is it true of this head? Of a head that nobody has because nothing decides, nothing is true."""
    if state.ambiguous:
        return False
    if statement.manner == "dark":
        if state.owners and not excused.isdisjoint(state.owners):
            return False
        return not any(not statement.colour or part.colour == statement.colour for part in state.parts)
    fitting = [part for part in state.parts if part.owner not in excused and _fits(statement, part)]
    return bool(fitting) and not (statement.only and any(not _fits(statement, part) for part in state.parts))


def _fits(statement: HeadStatement, part: ColourPart) -> bool:
    if statement.colour and part.colour != statement.colour:
        return False
    if statement.at_least_share is not None and part.share < statement.at_least_share - _ROUNDING:
        return False
    match statement.manner:
        case "steady":
            return part.show.manner == "steady"
        case "flashing":
            return part.show.manner != "steady"
        case "pattern":
            return part.show.pattern is not None and shows_pattern(part.show.pattern, statement.pattern)
        case _:
            return True


def equipment_says(
    name: str, sounds: tuple[SoundState, ...], runs: Mapping[str, frozenset[str]], excused: frozenset[str]
) -> bool:
    """Does this piece of equipment sound or run, and not for an excused function alone?

    runs : what runs now, and the functions that run it.
    """
    for sound in sounds:
        if sound.siren == name and sound.owners and not excused.issuperset(sound.owners):
            return True
    return not excused.issuperset(runs.get(name, frozenset()))
