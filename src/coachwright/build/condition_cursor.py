"""Where the reader of a condition stands in its words, and the quantities it meets there."""

from __future__ import annotations

from collections.abc import Callable

from coachwright.build.condition_words import Token
from coachwright.build.problem import (
    MAX_PROBLEMS,
    Problem,
    TooManyProblemsError,
    quantity_not_read,
    time_not_usable,
    unit_missing,
)
from coachwright.kit.unit_table import kind_of
from coachwright.kit.units import UnitError, parse

MAX_TIME_MS = 30 * 24 * 3_600_000
_WHOLE_MS = 1e-6
_STOPS_A_QUANTITY = frozenset("and or not held plus of at leaves active held-off".split())
_MAX_QUANTITY_WORDS = 6


class Cursor:
    """The words of one text, the place reached, and the problems found so far.

    compared : the name compared last, for who writes `gear == P or N`.
    """

    def __init__(
        self, text: str, tokens: tuple[Token, ...], problems: list[Problem], knows: Callable[[str], bool]
    ) -> None:
        self.text = text
        self.problems = problems
        self.compared = ""
        self._tokens = tokens
        self._at = 0
        self._knows = knows

    @property
    def next(self) -> Token:
        return self._tokens[self._at]

    @property
    def after_next(self) -> Token:
        return self._tokens[min(self._at + 1, len(self._tokens) - 1)]

    @property
    def last_end(self) -> int:
        """End of the word before this place."""
        return self._tokens[self._at - 1].end if self._at else 0

    def take(self) -> Token:
        token = self.next
        if token.kind != "end":
            self._at += 1
        return token

    def accept(self, *texts: str) -> Token | None:
        """The next word or sign if it is one of `texts`; else stay."""
        return self.take() if self.next.kind != "end" and self.next.text in texts else None

    def note(self, problem: Problem) -> None:
        self.problems.append(problem)
        if len(self.problems) >= MAX_PROBLEMS:
            raise TooManyProblemsError

    def said(self, start: int) -> str:
        """What was written from `start` to this place, cut short for a message."""
        text = " ".join(self.text[start : self.last_end].split())
        return text if len(text) <= 60 else f"{text[:57]}..."

    def skip_to_joint(self) -> None:
        """Leave the rest of what can't be read: to the next and, or, comma or closing bracket at this depth."""
        depth = 0
        while self.next.kind != "end":
            text = self.next.text
            if depth == 0 and (text in ("and", "or", ",", ")")):
                return
            depth += (text == "(") - (text == ")")
            self.take()

    def quantity(self, kind: str) -> float | None:
        """A number with its unit. [SI] None, with a problem noted, when there is none."""
        start = self.next.start
        words_n = 0
        while words_n < _MAX_QUANTITY_WORDS and self._goes_on(words_n):
            self.take()
            words_n += 1
        if words_n == 1 and self._decimal_comma():
            self.take()
            self.take()
            while self._goes_on(1):
                self.take()
        if not words_n:
            write = f"Write it like {kind_of(kind).example}."
            self.note(quantity_not_read(start, self.next.end, kind, "A number with its unit is missing here.", write))
            if self.next.kind == "word" and self.next.text not in _STOPS_A_QUANTITY:
                self.take()
            return None
        end = self.last_end
        try:
            return parse(self.text[start:end], kind)
        except UnitError as error:
            wrong = unit_missing if error.reason == "no-unit" else quantity_not_read
            self.note(wrong(start, end, kind, str(error), error.write))
            return None

    def _goes_on(self, words_n: int) -> bool:
        token = self.next
        if token.kind != "word":
            return False
        if words_n == 0:
            return token.text[0] in "+-.−" or token.text[0].isdigit()
        return token.text not in _STOPS_A_QUANTITY and not self._knows(token.text)

    def _decimal_comma(self) -> bool:
        """Does `11,8 V` stand here, with no space around its comma?"""
        comma, behind = self.next, self.after_next
        joined = comma.start == self.last_end and behind.start == comma.end
        return comma.text == "," and joined and behind.text[:1].isdigit()

    def knows(self, name: str) -> bool:
        """Is it a name of anything?"""
        return self._knows(name)

    def time_ms(self) -> int | None:
        """A time a timer can keep. [ms] None, with a problem noted, when it isn't one."""
        start = self.next.start
        time_s = self.quantity("time")
        if time_s is None:
            return None
        time_ms = round(time_s * 1000)
        end = self.last_end
        if time_s <= 0:
            self.note(time_not_usable(start, end, "A time here is longer than nothing.", "Write it like 2 s."))
        elif abs(time_s * 1000 - time_ms) > _WHOLE_MS:
            self.note(time_not_usable(start, end, "Timers count whole milliseconds.", f"Write {max(1, time_ms)} ms."))
        elif time_ms > MAX_TIME_MS:
            why = "No timer of a vehicle runs longer than 30 days."
            self.note(time_not_usable(start, end, why, "Write a shorter time."))
        else:
            return time_ms
        return None
