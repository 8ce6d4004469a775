"""What does a name in a condition mean, with the words right behind it?

``hatch == open``, ``gear in (P, N)``, ``slide leaves full``, ``siren active``, ``brake`` alone. Statements about heads
are read in condition_heads, everything between names in condition_text.
"""

from __future__ import annotations

from coachwright.build.condition import Compare, Condition, Event, FunctionState, Not, OneOf, Truth
from coachwright.build.condition_cursor import Cursor
from coachwright.build.condition_heads import begins_statement, read_statement
from coachwright.build.condition_scope import ALLOWED, ON_OFF, Place, Scope
from coachwright.build.condition_values import (
    UNREAD,
    example_quantity,
    is_value,
    listed,
    note_unknown,
    read_comparison,
    suggestion,
)
from coachwright.build.condition_words import COMPARISONS, RESERVED_WORDS, SHOWING_WORDS, Token
from coachwright.build.problem import (
    closest,
    condition_not_read,
    event_not_possible,
    name_not_known,
    not_read_here,
    value_not_said,
)

IGNITION_ON = ("run", "crank")

_SPOKEN_FIRST = ("if", "when", "while")
_SPOKEN = {"is": "==", "equals": "==", "for": "held", "since": "held", "above": ">", "below": "<"}
"""Words people say, and what is written for them."""


def read_name(cursor: Cursor, *, place: Place, scope: Scope) -> Condition:
    """The comparison, event, state or bare name at the cursor, which stands on a word."""
    if begins_statement(cursor, scope):
        return read_statement(cursor, place=place, scope=scope)
    name = cursor.take()
    if name.text in RESERVED_WORDS:
        return _reserved(cursor, name)
    if name.text in _SPOKEN_FIRST and not scope.knows(name.text) and cursor.next.kind == "word":
        cursor.note(
            condition_not_read(name.start, name.end, f"{name.text} isn't said in conditions.", "Leave it away.")
        )
        return read_name(cursor, place=place, scope=scope)
    if cursor.next.text in _SPOKEN and not scope.knows(cursor.next.text):
        return _spoken(cursor)
    if not name.text[0].isalpha():
        cursor.skip_to_joint()
        cursor.note(
            condition_not_read(
                name.start, cursor.last_end, "A comparison begins with the name.", "Write it like speed < 3 mph."
            )
        )
        return UNREAD
    if cursor.accept("leaves"):
        return _leaves(cursor, name, place=place, scope=scope)
    state = cursor.accept("active", "held-off")
    if state is not None:
        return _function_state(cursor, name, state, place=place, scope=scope)
    if cursor.next.text in (*COMPARISONS, "in"):
        return read_comparison(cursor, name, scope=scope)
    if cursor.next.text == "not" and cursor.after_next.text == "in":
        cursor.take()
        inside = read_comparison(cursor, name, scope=scope)
        return inside if inside == UNREAD else Not(inside)
    return _bare(cursor, name, place=place, scope=scope)


def read_push(cursor: Cursor, *, place: Place, scope: Scope) -> Condition:
    """``pressed N`` or ``released N``."""
    verb = cursor.take()
    if cursor.next.kind != "word":
        cursor.note(
            condition_not_read(
                verb.start, verb.end, f"Which button is {verb.text}?", f"Write {verb.text} and its name."
            )
        )
        return UNREAD
    name = cursor.take()
    check_events(cursor, verb.start, place)
    if name.text not in scope.pushed:
        _not_pushed(cursor, verb, name, scope)
        return UNREAD
    return Event("pressed" if verb.text == "pressed" else "released", name.text)


def check_events(cursor: Cursor, start: int, place: Place) -> None:
    """Note an event, from `start` to the cursor, at a place where none is read."""
    allowed = ALLOWED[place]
    if not allowed.events:
        why = f"An event lasts one step only; {allowed.called} reads what lasts."
        write = (
            "Events are read in the moves of a memory and in promises: let a memory keep it and read the memory here."
        )
        cursor.note(not_read_here(start, cursor.last_end, why, write))


def _not_pushed(cursor: Cursor, verb: Token, name: Token, scope: Scope) -> None:
    text = name.text
    values = scope.values(text) if text in scope.inputs else None
    if values == ON_OFF:
        instead = text if verb.text == "pressed" else f"(not {text})"
        cursor.note(
            event_not_possible(verb.start, name.end, f"{text} isn't pushed by hand.", f"Write becomes {instead}.")
        )
    elif values is not None:
        write = f"Write {text} leaves {values[0]}, or becomes ({text} == {values[-1]})."
        cursor.note(event_not_possible(verb.start, name.end, f"{text} is moved, not pushed.", write))
    elif scope.knows(text):
        cursor.note(
            event_not_possible(verb.start, name.end, f"{text} isn't pushed by hand.", "Name a button or a toggle.")
        )
    else:
        near = closest(text, sorted(scope.pushed))
        cursor.note(
            name_not_known(name.start, name.end, f"No button or toggle is named {text}.", suggestion(near), near)
        )


def _spoken(cursor: Cursor) -> Condition:
    word = cursor.take()
    cursor.skip_to_joint()
    why, write = f"{word.text} isn't said in conditions.", f"Write {_SPOKEN[word.text]}."
    cursor.note(condition_not_read(word.start, word.end, why, write))
    return UNREAD


def _reserved(cursor: Cursor, word: Token) -> Condition:
    cursor.skip_to_joint()
    text = word.text
    if text in SHOWING_WORDS:
        why, write = f"Which heads? {text} stands behind the heads that show it.", "Write it like any red flashing."
    elif text in ("any", "all"):
        why, write = f"{text} names heads; say what they show.", f"Write it like {text} red flashing."
    else:
        why, write = f"Something is missing before {text}.", ""
    cursor.note(condition_not_read(word.start, word.end, why, write))
    return UNREAD


def _leaves(cursor: Cursor, name: Token, *, place: Place, scope: Scope) -> Condition:
    check_events(cursor, name.start, place)
    position = cursor.take() if cursor.next.kind == "word" else None
    end = cursor.last_end
    values = scope.values(name.text)
    if values is None and scope.number_kind(name.text) is None:
        if scope.knows(name.text):
            why = f"{name.text} has no positions to leave."
            cursor.note(
                event_not_possible(name.start, end, why, "Name a control or a signal with positions, or write becomes.")
            )
        else:
            note_unknown(cursor, name, place=place, scope=scope)
    elif values is None or values == ON_OFF:
        why, write = f"{name.text} has no positions to leave.", f"Write becomes (not {name.text})."
        if values is None:
            write = f"Write becomes ({name.text} > {example_quantity(scope, name.text)})."
        cursor.note(event_not_possible(name.start, end, why, write))
    elif position is None:
        cursor.note(
            condition_not_read(
                name.start, end, f"Which position does {name.text} leave?", f"{name.text} has {listed(values)}."
            )
        )
    elif name.text in scope.memories:
        write = f"Write becomes ({name.text} != {position.text})."
        cursor.note(
            event_not_possible(
                name.start, end, f"{name.text} is a memory; only controls and signals leave a position.", write
            )
        )
    elif is_value(cursor, name.text, position, values, scope):
        return Event("leaves", name.text, position.text)
    return UNREAD


def _function_state(cursor: Cursor, name: Token, state: Token, *, place: Place, scope: Scope) -> Condition:
    allowed = ALLOWED[place]
    if name.text not in scope.functions:
        if scope.reads(name.text):
            why, write = f"{name.text} is no function.", f"Write {name.text} without {state.text}."
            cursor.note(name_not_known(name.start, state.end, why, write))
        else:
            near = closest(name.text, sorted(scope.functions))
            cursor.note(
                name_not_known(name.start, name.end, f"No function is named {name.text}.", suggestion(near), near)
            )
        return UNREAD
    if not allowed.functions:
        why = f"{allowed.called.capitalize()} can't read what functions do."
        write = "Promises, messages and tell-tales can; read here the controls and signals that the function reads."
        cursor.note(not_read_here(name.start, state.end, why, write))
        return UNREAD
    return FunctionState(name.text, "active" if state.text == "active" else "held-off")


def _bare(cursor: Cursor, name: Token, *, place: Place, scope: Scope) -> Condition:
    text = name.text
    allowed = ALLOWED[place]
    if allowed.heads and scope.reads(text) and text in scope.equipment:
        why = f"{text} is both something conditions read and a piece of equipment."
        cursor.note(name_not_known(name.start, name.end, why, "Give one of the two another name."))
        return UNREAD
    if text in scope.words or (text in scope.equipment and allowed.heads):
        return Truth(text)
    values = scope.values(text)
    if values is not None:
        return _bare_values(cursor, name, values, scope)
    kind = scope.number_kind(text)
    if kind is not None:
        write = f"Write it like {text} > {example_quantity(scope, text)}."
        cursor.note(value_not_said(name.start, name.end, f"{text} is a number; compare it with one.", write))
    elif not scope.knows(text):
        note_unknown(cursor, name, place=place, scope=scope)
    else:
        _known_elsewhere(cursor, name, place=place, scope=scope)
    return UNREAD


def _bare_values(cursor: Cursor, name: Token, values: tuple[str, ...], scope: Scope) -> Condition:
    text = name.text
    if cursor.next.kind == "word" and cursor.next.text in values:
        value = cursor.take()
        write = f"Write {text} == {value.text}."
        cursor.note(
            condition_not_read(name.start, value.end, f"A sign is missing between {text} and {value.text}.", write)
        )
        return UNREAD
    if values == ON_OFF:
        return Truth(text) if text in scope.inputs else Compare(text, "==", "on")
    if text == "ignition" and set(IGNITION_ON) <= set(values):
        return OneOf(text, IGNITION_ON)
    sign = ">=" if text in scope.ordered else "=="
    write = f"Write it like {text} {sign} {values[min(1, len(values) - 1)]}."
    cursor.note(
        value_not_said(name.start, name.end, f"{text} alone doesn't say which of its values: {listed(values)}.", write)
    )
    return UNREAD


def _known_elsewhere(cursor: Cursor, name: Token, *, place: Place, scope: Scope) -> None:
    text = name.text
    allowed = ALLOWED[place]
    if text in scope.functions and allowed.functions:
        write = f"Write {text} active, or {text} held-off."
        cursor.note(value_not_said(name.start, name.end, f"{text} is a function; say what it does.", write))
    elif text in scope.selectors and allowed.heads:
        cursor.note(
            value_not_said(
                name.start, name.end, f"{text} names heads; say what they show.", f"Write it like {text} dark."
            )
        )
    elif text in scope.functions:
        write = "Promises, messages and tell-tales can; read here the controls and signals that the function reads."
        cursor.note(
            not_read_here(
                name.start, name.end, f"{text} is a function, and {allowed.called} can't read functions.", write
            )
        )
    elif text in scope.equipment:
        write = "Read here what makes it sound or run."
        why = f"{text} is a piece of equipment; what it does can be read in promises only."
        cursor.note(not_read_here(name.start, name.end, why, write))
    else:
        why = f"{text} names heads; what they show can be read in promises only."
        cursor.note(not_read_here(name.start, name.end, why, "Read here the controls and signals."))
