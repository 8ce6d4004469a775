"""Reads the text of a condition into the tree of build.condition.

    condition  = both { "or" both }
    both       = single { "and" single }
    single     = { "not" } timed
    timed      = part | part "held" TIME | part "plus" TIME | "first" TIME "of" part
    part       = "(" condition ")" | event | comparison | name | statement about heads
    event      = ("pressed" | "released") NAME | NAME "leaves" VALUE | "becomes" part

``held``, ``plus`` and ``first`` take the one part beside them. Two of them in a row have no meaning of their own:
brackets say which comes first. An ``and`` within an ``and`` (``or`` within ``or``) is one list: ``(a and b) and c`` is
``a and b and c``.

The reading goes on after a mistake at the next ``and``, ``or``, comma or closing bracket, so that one
look finds them all.

See Also
--------
coachwright.build.condition_words : before this, text to words.
coachwright.build.condition_names, coachwright.build.condition_heads : what a single name means.
coachwright.build.condition_print : the way back, tree to text.
"""

from __future__ import annotations

from coachwright.build.condition import And, Condition, Constant, Event, First, Held, Not, Or, Plus, children
from coachwright.build.condition_cursor import Cursor
from coachwright.build.condition_names import check_events, read_name, read_push
from coachwright.build.condition_print import print_condition
from coachwright.build.condition_scope import ALLOWED, Place, Scope
from coachwright.build.condition_values import UNREAD
from coachwright.build.condition_words import COMPARISONS, FOLLOWING_WORDS, RESERVED_WORDS, Token, cut_words
from coachwright.build.problem import (
    MAX_PROBLEMS,
    Problem,
    TooManyProblemsError,
    closest,
    condition_not_read,
    event_not_possible,
)

__all__ = ["MAX_CHARACTERS", "MAX_DEPTH", "Place", "Scope", "happens_in_a_moment", "print_condition", "read_condition"]

MAX_CHARACTERS = 4000
MAX_DEPTH = 40
"""Brackets and nots inside each other."""


class _TooDeepError(Exception):
    """Ends the reading of a text that nests without end."""


def read_condition(text: str, *, place: Place, scope: Scope) -> Condition | tuple[Problem, ...]:
    """The tree of `text`, or everything that is wrong with it, in the order of the text.

    Parameters
    ----------
    text : one condition, as the lead wrote it.
    place : where it stands, which decides whether it may read events, functions, heads and equipment.
    scope : the names that exist.
    """
    if len(text) > MAX_CHARACTERS:
        why = (
            f"A condition of {len(text):,} characters can't be read by a person either; {MAX_CHARACTERS:,} is the most."
        )
        return (
            condition_not_read(
                MAX_CHARACTERS, len(text), why, "Name its pieces under words, and write the names here."
            ),
        )
    tokens, problems = cut_words(text)
    if tokens[0].kind == "end":
        why = "A condition is missing here."
        return tuple(sorted(problems)) or (
            condition_not_read(0, len(text), why, "Write always if it holds at all times."),
        )
    reader = _Reader(Cursor(text, tokens, problems, scope.knows), place, scope)
    try:
        condition = reader.whole()
    except (_TooDeepError, TooManyProblemsError):
        return tuple(sorted(set(problems))[:MAX_PROBLEMS])
    if not problems and ALLOWED[place].needs_event and not happens_in_a_moment(condition):
        word = place.removeprefix("promise-")
        why = f"{word} needs an event, and this can hold for longer than a moment."
        problems.append(event_not_possible(0, len(text), why, f"Write becomes {_in_brackets(text)}."))
    return tuple(sorted(set(problems))) if problems else condition


def happens_in_a_moment(condition: Condition) -> bool:
    """Is it true in single steps only? (An event, an `or` of events, or anything together with an event.)"""
    match condition:
        case Event():
            return True
        case And(items):
            return any(happens_in_a_moment(item) for item in items)
        case Or(items):
            return all(happens_in_a_moment(item) for item in items)
        case _:
            return False


class _Reader:
    """One reading of one text: the cursor moves on, the depth goes up and down."""

    def __init__(self, cursor: Cursor, place: Place, scope: Scope) -> None:
        self.cursor = cursor
        self.place: Place = place
        self.scope = scope
        self.depth = 0

    def whole(self) -> Condition:
        condition = self.either()
        while self.cursor.next.kind != "end":
            token = self.cursor.take()
            if token.text == ")":
                self._note(token, "This bracket was never opened.", "Leave it away, or open it further left.")
            else:
                self._note(token, "A comma has no meaning here.", "Write and, or write or.")
            if self.cursor.next.kind != "end":
                self.cursor.accept("and", "or")
                self.either()
        return condition

    def either(self) -> Condition:
        items = [self.both()]
        while self.cursor.accept("or"):
            items.append(self.both())
        return items[0] if len(items) == 1 else Or(_in_one_list(items, Or))

    def both(self) -> Condition:
        items = [self.single()]
        while True:
            token = self.cursor.next
            if self.cursor.accept("and"):
                items.append(self.single())
            elif token.kind == "end" or token.text in ("or", ")", ","):
                break
            elif token.text in COMPARISONS:
                self.cursor.skip_to_joint()
                self._note(
                    token,
                    f"{token.text} stands behind something that can't be compared.",
                    "Name a control, a signal or a memory before it.",
                )
            elif self._means_nothing(token):
                if self._stray(token) in ("and", "or"):
                    items.append(self.single())
            else:
                if token.text not in FOLLOWING_WORDS:  # those say themselves that something is missing before them
                    why = f"Something is missing before {token.text}."
                    self._note(token, why, "Write and, or write or, between the two.")
                items.append(self.single())
        return items[0] if len(items) == 1 else And(_in_one_list(items, And))

    def _means_nothing(self, token: Token) -> bool:
        is_name = token.kind == "word" and token.text not in RESERVED_WORDS
        return is_name and not self.scope.knows(token.text.split(".", 1)[0])

    def _stray(self, token: Token) -> str:
        """Note a word that is nobody's name where no name is due; which word of the language may be meant."""
        self.cursor.take()
        near = closest(token.text, ("and", "or", "held", "plus"))
        write = f"Closest: {near}." if near else "Leave it away."
        why = f"{token.text} means nothing here."
        self.cursor.note(condition_not_read(token.start, token.end, why, write, near))
        if near not in ("and", "or"):
            self.cursor.skip_to_joint()
        return near

    def single(self) -> Condition:
        nots = 0
        while self.cursor.next.text == "not":
            self._deeper(self.cursor.take())
            nots += 1
        condition = self.timed()
        for _ in range(nots):
            condition = Not(condition)
        self.depth -= nots
        return condition

    def timed(self) -> Condition:
        start = self.cursor.next.start
        if self.cursor.next.text == "first":
            return self._first(start)
        item = self.part()
        verb = self.cursor.accept("held", "plus")
        if verb is None:
            return item
        time_ms = self.cursor.time_ms()
        self._check_lasts(item, verb, start)
        self._check_one_time(start)
        if time_ms is None:
            return UNREAD
        return Held(item, time_ms) if verb.text == "held" else Plus(item, time_ms)

    def _first(self, start: int) -> Condition:
        word = self.cursor.take()
        time_ms = self.cursor.time_ms()
        if not self.cursor.accept("of"):
            at = self.cursor.next
            self._note(at, "of is missing behind the time.", "Write it like first 20 s of low-tone.")
        if self.cursor.next.text == "not":
            taken = self.cursor.take()
            self._note(
                taken,
                "first takes the one name, comparison or bracket behind it.",
                "Put not and what it stands before in brackets.",
            )
        item = self.part()
        self._check_lasts(item, word, start)
        self._check_one_time(start)
        return UNREAD if time_ms is None else First(item, time_ms)

    def _check_lasts(self, item: Condition, verb: Token, start: int) -> None:
        if _has_event(item):
            why = f"An event lasts one step only, so {verb.text} has nothing to measure."
            write = "Let a memory keep it, and read the memory here."
            self.cursor.note(event_not_possible(start, self.cursor.last_end, why, write))

    def _check_one_time(self, start: int) -> None:
        """`x held 2 s plus 3 s`: the reader doesn't guess."""
        measured = self.cursor.said(start)
        while (verb := self.cursor.accept("held", "plus")) is not None:
            self.cursor.time_ms()
            why = f"Two times stand in a row, and {verb.text} takes only the one name, comparison or bracket beside it."
            write = f"Put brackets around what is measured first, like ({measured}) {self.cursor.said(verb.start)}."
            self.cursor.note(condition_not_read(verb.start, self.cursor.last_end, why, write))

    def part(self) -> Condition:
        token = self.cursor.next
        if token.text == "(":
            return self._bracket()
        if token.kind != "word" or token.text in ("and", "or"):
            return self._missing(token)
        match token.text:
            case "pressed" | "released":
                return read_push(self.cursor, place=self.place, scope=self.scope)
            case "becomes":
                return self._becomes()
            case "always" | "never":
                self.cursor.take()
                return Constant(token.text == "always")
            case "first" | "not":
                return self._needs_brackets()
            case _:
                return read_name(self.cursor, place=self.place, scope=self.scope)

    def _needs_brackets(self) -> Condition:
        token = self.cursor.take()
        self._deeper(token)
        self._note(token, f"{token.text} needs brackets around it here.", f"Write it like ({token.text} ...).")
        if token.text == "first":
            self.cursor.time_ms()
            self.cursor.accept("of")
        self.part()
        self.depth -= 1
        return UNREAD

    def _bracket(self) -> Condition:
        opened = self.cursor.take()
        self._deeper(opened)
        inside = UNREAD
        if self.cursor.next.text == ")":
            self._note(opened, "Nothing stands in these brackets.", "Write a condition in them, or leave them away.")
        else:
            inside = self.either()
        while self.cursor.next.text == ",":
            self._note(self.cursor.take(), "A comma has no meaning here.", "Write and, or write or.")
            self.cursor.accept("and", "or")
            self.either()
        if not self.cursor.accept(")"):
            self._note(opened, "This bracket is never closed.", "Write ) where it ends.")
        self.depth -= 1
        return inside

    def _becomes(self) -> Condition:
        word = self.cursor.take()
        self._deeper(word)
        item = self.part()
        self.depth -= 1
        if _has_event(item):
            why = "An event doesn't become true again within its step."
            self.cursor.note(event_not_possible(word.start, self.cursor.last_end, why, "Leave becomes away."))
        check_events(self.cursor, word.start, self.place)
        return Event("becomes", "", item=item)

    def _missing(self, token: Token) -> Condition:
        what = f"before {token.text}" if token.text else "at the end"
        self._note(token, f"Something is missing {what}.", "Write a name or a comparison.")
        if token.text in COMPARISONS:
            self.cursor.skip_to_joint()
        return UNREAD

    def _deeper(self, token: Token) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            self._note(
                token,
                f"More than {MAX_DEPTH} brackets and nots stand inside each other.",
                "Name the inner ones under words.",
            )
            raise _TooDeepError

    def _note(self, token: Token, why: str, write: str) -> None:
        self.cursor.note(condition_not_read(token.start, token.end, why, write))


def _in_one_list(items: list[Condition], kind: type[And] | type[Or]) -> tuple[Condition, ...]:
    """`(a and b) and c` has the three items of `a and b and c`."""
    flat: list[Condition] = []
    for item in items:
        flat += item.items if isinstance(item, kind) else (item,)
    return tuple(flat)


def _has_event(condition: Condition) -> bool:
    return isinstance(condition, Event) or any(_has_event(item) for item in children(condition))


def _in_brackets(text: str) -> str:
    words = " ".join(text.split())
    return f"({words})" if len(words) <= 60 else "(...)"
