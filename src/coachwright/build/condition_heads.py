"""What does a promise say about heads?  ``SELECTOR [only] [COLOUR] steady|flashing|dark|lit|PATTERN [at least N %]``"""

from __future__ import annotations

import re
from dataclasses import replace

from coachwright.build.condition import Condition, Constant, HeadStatement, Manner
from coachwright.build.condition_cursor import Cursor
from coachwright.build.condition_scope import ALLOWED, Place, Scope
from coachwright.build.condition_words import (
    COLOUR_WORDS,
    MANNER_WORDS,
    RESERVED_WORDS,
    SHOWING_WORDS,
    Token,
)
from coachwright.build.pattern_text import COUNT_WORDS, RUN_WORDS, read_pattern
from coachwright.build.problem import closest, condition_not_read, name_not_known, not_read_here, quantity_not_read

SELECTOR = re.compile(
    r"(?P<name>[a-z0-9]+(?:-[a-z0-9]+)*)(?:\.(?:left|right))?(?:\.(?:ends|[0-9]{1,3}(?:-[0-9]{1,3})?))?"
)
_STOPS_A_PATTERN = frozenset("and or not held plus at only".split())


def begins_statement(cursor: Cursor, scope: Scope) -> bool:
    """Does a statement about heads stand at the cursor?"""
    name, behind = cursor.next, cursor.after_next
    if name.text in ("any", "all"):
        return behind.text in SHOWING_WORDS or (behind.kind == "word" and behind.text not in RESERVED_WORDS)
    if "." in name.text and name.text[0].isalpha():
        return True
    if name.text in RESERVED_WORDS or behind.text not in SHOWING_WORDS:
        return False
    is_value = behind.text in (scope.values(name.text) or ())
    return name.text in scope.selectors or not is_value


def read_statement(cursor: Cursor, *, place: Place, scope: Scope) -> Condition:
    """The statement at the cursor."""
    selector = cursor.take()
    noted_n = len(cursor.problems)
    allowed = ALLOWED[place]
    _check_selector(cursor, selector, scope)
    only = cursor.accept("only")
    colour = cursor.accept(*COLOUR_WORDS)
    if colour is None and only is None and cursor.next.text not in SHOWING_WORDS:
        return _nothing_said(cursor, selector)
    manner, pattern = _manner(cursor, colour)
    if only is not None and (colour is None or manner == "dark"):
        why = "only says that a head burns in no other colour, so it needs the colour."
        cursor.note(condition_not_read(only.start, only.end, why, f"Write it like {selector.text} only red steady."))
    share = _at_least(cursor, manner)
    if not allowed.heads:
        why = f"What heads show can't be read in {allowed.called}."
        cursor.note(
            not_read_here(selector.start, cursor.last_end, why, "Promises can; read here the controls and signals.")
        )
    if len(cursor.problems) > noted_n:
        return Constant(False)
    return HeadStatement(
        selector.text,
        colour.text if colour else "",
        manner,
        only=only is not None,
        pattern=pattern,
        at_least_share=share,
        every=allowed.every and selector.text != "any",
    )


def _check_selector(cursor: Cursor, selector: Token, scope: Scope) -> None:
    text = selector.text
    if text in ("any", "all"):
        if cursor.next.text not in SHOWING_WORDS:
            extra = cursor.take()
            why = f"{text} stands alone: it means the heads of the whole vehicle."
            cursor.note(condition_not_read(selector.start, extra.end, why, f"Write {text} or {extra.text}, not both."))
        return
    found = SELECTOR.fullmatch(text)
    if found is None:
        why = f"{text} doesn't name heads."
        write = "Write a name, with .left or .right, and .3, .3-6 or .ends behind it."
        cursor.note(condition_not_read(selector.start, selector.end, why, write))
    elif found["name"] not in scope.selectors:
        near = closest(found["name"], sorted(scope.selectors))
        write = f"Closest: {near}." if near else ""
        end = selector.start + len(found["name"])
        cursor.note(name_not_known(selector.start, end, f"No lamp or group is named {found['name']}.", write, near))


def _nothing_said(cursor: Cursor, selector: Token) -> Condition:
    start = cursor.next.start
    cursor.skip_to_joint()
    why = f"{selector.text} names heads; say what they show."
    write = f"Write a colour, steady, flashing, dark, lit or a pattern behind it, like {selector.text} dark."
    cursor.note(
        condition_not_read(
            selector.start if start >= cursor.last_end else start, max(selector.end, cursor.last_end), why, write
        )
    )
    return Constant(False)


def _manner(cursor: Cursor, colour: Token | None) -> tuple[Manner, str]:
    """What is shown, and the canonical text of its pattern. A colour alone means lit in any way."""
    word = cursor.next
    if word.text in (*COUNT_WORDS, *RUN_WORDS) or (word.text == "lit" and cursor.after_next.text[:1].isdigit()):
        return "pattern", _pattern(cursor)
    if cursor.accept("steady"):
        return "steady", ""
    if cursor.accept("flashing"):
        return "flashing", ""
    if cursor.accept("dark"):
        return "dark", ""
    strange = word.kind == "word" and word.text not in RESERVED_WORDS and not cursor.knows(word.text)
    if cursor.accept("lit") or (colour is not None and not strange):
        return "lit", ""
    if strange:
        cursor.take()
    write = f"Write one of {', '.join((*MANNER_WORDS, *COUNT_WORDS, *RUN_WORDS))}."
    near = closest(word.text, MANNER_WORDS) if strange else ""
    cursor.note(condition_not_read(word.start, word.end, "What do the heads show?", write, near))
    return "lit", ""


def _pattern(cursor: Cursor) -> str:
    start = cursor.next.start
    in_steps = cursor.next.text == "lit"
    while cursor.next.kind == "word" and cursor.next.text not in _STOPS_A_PATTERN:
        cursor.take()
        if in_steps:
            cursor.accept(",")
    read = read_pattern(cursor.text[start : cursor.last_end])
    if not isinstance(read, tuple):
        return read.text
    for problem in read:
        cursor.note(replace(problem, start=problem.start + start, end=problem.end + start))
    return ""


def _at_least(cursor: Cursor, manner: Manner) -> float | None:
    at = cursor.accept("at")
    if at is None:
        return None
    if not cursor.accept("least"):
        end = cursor.accept("most") or at
        cursor.note(condition_not_read(at.start, end.end, "Behind at stands least.", "Write it like at least 90 %."))
    start = cursor.next.start
    share = cursor.quantity("share")
    if share is None:
        return None
    if manner == "dark":
        cursor.note(
            condition_not_read(
                at.start, cursor.last_end, "A dark head has no share of its light.", "Leave at least away."
            )
        )
    elif not 0 < share <= 1:
        why = "A share asked for is more than 0 % and at most 100 %."
        cursor.note(quantity_not_read(start, cursor.last_end, "share", why, "Write it like at least 90 %."))
    return share
