"""What is a name compared with?  ``speed < 3 mph``, ``slide >= mid``, ``gear in (P, N)``"""

from __future__ import annotations

from typing import cast

from coachwright.build.condition import Compare, Condition, Constant, OneOf, Operator
from coachwright.build.condition_cursor import Cursor
from coachwright.build.condition_scope import ON_OFF, Place, Scope
from coachwright.build.condition_words import COMPARISONS, Token
from coachwright.build.problem import closest, condition_not_read, name_not_known, not_comparable, value_not_known
from coachwright.kit.unit_table import kind_of

UNREAD: Condition = Constant(False)
"""Stands where a problem was noted; never leaves the reader."""

_LISTED_VALUES = 12
_MEANS_ON = {"true": "on", "yes": "on", "1": "on", "false": "off", "no": "off", "0": "off"}


def read_comparison(cursor: Cursor, name: Token, *, scope: Scope) -> Condition:
    """Read the sign or ``in`` at the cursor, and what stands behind it."""
    kind = scope.number_kind(name.text)
    values = scope.values(name.text)
    if kind is None and values is None:
        return _nothing_to_compare(cursor, name, scope)
    sign = cursor.take()
    cursor.compared = name.text
    if sign.text == "in":
        return _one_of(cursor, name, scope=scope)
    value: str | float | None
    if kind is not None:
        value = cursor.quantity(kind)
    else:
        if sign.text not in ("==", "!=") and name.text not in scope.ordered:
            why = f"{name.text} has no order, so {sign.text} says nothing about it."
            cursor.note(not_comparable(name.start, sign.end, why, f"Write == or !=, or {name.text} in (...)."))
        value = _value(cursor, name.text, scope)
    _check_chain(cursor, name)
    return UNREAD if value is None else Compare(name.text, cast(Operator, sign.text), value)


def _check_chain(cursor: Cursor, name: Token) -> None:
    if cursor.next.text in (*COMPARISONS, "in"):
        start = cursor.next.start
        cursor.skip_to_joint()
        why = "Two comparisons stand in a row."
        write = f"Put and between them, and name {name.text} again."
        cursor.note(condition_not_read(start, cursor.last_end, why, write))


def _nothing_to_compare(cursor: Cursor, name: Token, scope: Scope) -> Condition:
    cursor.skip_to_joint()
    text, end = name.text, cursor.last_end
    if text in scope.words:
        cursor.note(
            not_comparable(
                name.start, end, f"{text} is a word: it holds or it doesn't.", f"Write {text}, or not {text}."
            )
        )
    elif text in scope.functions:
        cursor.note(
            not_comparable(
                name.start, end, f"{text} is a function.", f"Write {text} active, where functions can be read."
            )
        )
    elif scope.knows(text):
        cursor.note(
            not_comparable(name.start, end, f"{text} has no value to compare.", "Name a control, a signal or a memory.")
        )
    else:
        note_unknown(cursor, name, place="function", scope=scope)
    return UNREAD


def _one_of(cursor: Cursor, name: Token, *, scope: Scope) -> Condition:
    kind = scope.number_kind(name.text)
    if cursor.next.text != "(":
        start = cursor.next.start
        cursor.skip_to_joint()
        why = "The list behind in stands in brackets."
        cursor.note(
            condition_not_read(
                start, max(start, cursor.last_end), why, f"Write it like {name.text} in ({_two(scope, name.text)})."
            )
        )
        return UNREAD
    opened = cursor.take()
    found: list[str | float] = []
    complete = True
    while cursor.next.text != ")" and cursor.next.kind != "end":
        item = cursor.next
        value = cursor.quantity(kind) if kind is not None else _value(cursor, name.text, scope)
        if value is None:
            complete = False
        elif value in found:
            cursor.note(
                value_not_known(item.start, cursor.last_end, "This value stands in the list already.", "Leave it away.")
            )
        else:
            found.append(value)
        if not cursor.accept(",") and not _list_goes_on(cursor):
            complete = False
    closed = cursor.accept(")")
    if closed is None:
        cursor.note(
            condition_not_read(
                opened.start, opened.end, "This bracket is never closed.", "Write ) behind the last value."
            )
        )
    elif not found and complete:
        cursor.note(
            condition_not_read(
                opened.start, closed.end, "The list is empty.", f"Write it like ({_two(scope, name.text)})."
            )
        )
    elif complete:
        return OneOf(name.text, tuple(found))
    return UNREAD


def _list_goes_on(cursor: Cursor) -> bool:
    """At the end of a list; else note what stands there, and step over it."""
    token = cursor.next
    if token.text == ")" or token.kind == "end":
        return True
    cursor.take()
    cursor.note(
        condition_not_read(
            token.start, token.end, "The values of a list stand with commas between them.", "Write it like (P, N)."
        )
    )
    return False


def _value(cursor: Cursor, name: str, scope: Scope) -> str | None:
    values = scope.values(name) or ()
    token = cursor.next
    if token.kind != "word":
        cursor.note(
            condition_not_read(token.start, token.end, f"Which value of {name}?", f"{name} has {listed(values)}.")
        )
        if token.text not in ("", ")", ","):
            cursor.take()
        return None
    cursor.take()
    return token.text if is_value(cursor, name, token, values, scope) else None


def is_value(cursor: Cursor, name: str, value: Token, values: tuple[str, ...], scope: Scope) -> bool:
    """Is it one of the `values` of `name`? If not, that is noted."""
    if value.text in values:
        return True
    has = f"{name} has {listed(values)}."
    meant = _MEANS_ON.get(value.text.lower()) if values == ON_OFF else None
    near = meant or closest(value.text, values)
    if scope.reads(value.text):
        why = f"{value.text} is a name of its own; {name} is compared with one of its values."
        cursor.note(value_not_known(value.start, value.end, why, has))
    else:
        cursor.note(value_not_known(value.start, value.end, f"{name} is never {value.text}.", has, near))
    return False


def note_unknown(cursor: Cursor, name: Token, *, place: Place, scope: Scope) -> None:
    """Note a name that doesn't exist, with the nearest that does."""
    before = cursor.compared
    if name.text in (scope.values(before) or ()):
        why = f"{name.text} is a value of {before}, and each comparison names what it compares."
        write = f"Write {before} == {name.text}, or {before} in (...) with all its values."
        cursor.note(name_not_known(name.start, name.end, why, write))
        return
    near = closest(name.text, scope.readable(place))
    why = f"No control, signal, word or memory is named {name.text}."
    cursor.note(name_not_known(name.start, name.end, why, suggestion(near), near))


def suggestion(near: str) -> str:
    """Say which name comes closest, where one does."""
    return f"Closest: {near}." if near else ""


def example_quantity(scope: Scope, name: str) -> str:
    """Something a number of this kind might be compared with."""
    kind = scope.number_kind(name)
    return kind_of(kind).example if kind is not None else "2 s"


def _two(scope: Scope, name: str) -> str:
    values = scope.values(name)
    return ", ".join(values[:2]) if values else example_quantity(scope, name)


def listed(values: tuple[str, ...]) -> str:
    """Make a list to read: a, b and c."""
    shown = [*values[:_LISTED_VALUES], *(["more"] if len(values) > _LISTED_VALUES else [])]
    return " and ".join([", ".join(shown[:-1]), shown[-1]]) if len(shown) > 1 else shown[0]
