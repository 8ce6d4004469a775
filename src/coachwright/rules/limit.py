"""What may a number, a word or an answer be? One limit, with the stretch beside it that is called near."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from coachwright.kit.near import nearest
from coachwright.kit.unit_table import find_unit
from coachwright.kit.units import UnitError, kinds, parse

LimitWord = Literal["at-least", "at-most", "between", "equals", "one-of", "none-of", "must-be"]
LIMIT_WORDS: tuple[LimitWord, ...] = get_args(LimitWord)

Would = Literal["pass", "near", "fail"]

PLAIN_KINDS = frozenset({"word", "yes-no"})
"""Kinds of measure beside those of kit.units."""

_FITS: dict[str, tuple[LimitWord, ...]] = {"yes-no": ("must-be",), "word": ("equals", "one-of", "none-of")}
_NUMBERS: tuple[LimitWord, ...] = ("at-least", "at-most", "between", "equals")

SAME_SHARE = 1e-9
"""Two sums of the same thing may differ in their last digits; that is no failure."""


class LimitError(ValueError):
    """A limit that can't be read. `at` is the word it was written under, `write` what to put instead."""

    def __init__(self, why: str, *, at: str = "", write: str = "") -> None:
        super().__init__(why)
        self.at, self.write = at, write


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit in SI.

    Parameters
    ----------
    word : which way it holds.
    low, high : of numbers; ``equals`` has both alike.
    words : of ``equals``, ``one-of`` and ``none-of`` for words.
    truth : of ``must-be``.
    near : width of the stretch on the good side that counts as near, in SI; 0 for none.
    written : as the file has it, with the unit the source prints.
    unit : name of that unit, so that what is measured can be printed in it.
    """

    word: LimitWord
    low: float = -math.inf
    high: float = math.inf
    words: tuple[str, ...] = ()
    truth: bool = True
    near: float = 0.0
    written: str = ""
    unit: str = ""

    def judge(self, value: float | str | bool) -> Would:
        """Where `value` stands. Near is on the good side: it meets the limit with less than the stated margin."""
        if isinstance(value, bool):
            return "pass" if value is self.truth else "fail"
        if isinstance(value, str):
            if self.word == "none-of":
                return "fail" if value in self.words else "pass"
            return "pass" if value in self.words else "fail"
        room = self.room(value)
        if room < -self._slack:
            return "fail"
        return "near" if self.near > 0 and room < self.near - self._slack else "pass"

    def room(self, value: float) -> float:
        """How far `value` is inside the limit, in its unit; negative outside."""
        return min(value - self.low, self.high - value)

    def bound(self, value: float) -> float | None:
        """The end of the limit nearest to `value`; None for limits of words and answers."""
        ends = [end for end in (self.low, self.high) if math.isfinite(end)]
        return min(ends, key=lambda end: abs(value - end)) if ends else None

    @property
    def _slack(self) -> float:
        ends = [abs(end) for end in (self.low, self.high) if math.isfinite(end)]
        return SAME_SHARE * max(ends, default=0.0)

    def __str__(self) -> str:
        return f"{self.word.replace('-', ' ')} {self.written}"


def read_limit(written: Mapping[str, object], *, kind: str, near: str = "") -> Limit:
    """The one limit a rule states.

    Parameters
    ----------
    written : every field of the rule that is a limit word, with what stood there.
    kind : unit kind of its measure.
    near : ``10 %`` of the limit, or a quantity of `kind`; empty for none.

    Raises
    ------
    LimitError : none or several, a word that doesn't fit the kind, or a quantity that can't be read.
    """
    if kind not in PLAIN_KINDS and kind not in kinds():
        near_kind = nearest(kind, (*kinds(), *PLAIN_KINDS))
        write = f"Closest: {near_kind[0]}." if near_kind else ""
        raise LimitError(f"{kind[:40] or 'Nothing'} is no unit kind.", at="kind", write=write)
    if len(written) != 1:
        both = " and ".join(written)
        why = f"{both}: if a clause holds two limits it is two rules." if written else "The rule has no limit."
        raise LimitError(why, at=next(iter(written), ""), write=f"Write one of {', '.join(fitting_words(kind))}.")
    word, raw = next(iter(written.items()))
    fits = fitting_words(kind)
    if word not in fits:
        raise LimitError(f"{word} does not fit a measure of kind {kind}.", at=word, write=f"Write {', '.join(fits)}.")
    if kind == "yes-no":
        return Limit("must-be", truth=_yes(raw), written=str(raw))
    if kind == "word":
        words = _words(raw, word)
        return Limit(word, words=words, written=" or ".join(words))
    return _number_limit(word, raw, kind, near)


def read_expected(expect: object, *, kind: str, tolerance: object = None) -> Limit:
    """What a reading at the bench has to be: a word or an answer as it stands, a number within its tolerance.

    Parameters
    ----------
    tolerance : a quantity of `kind` (a temperature's: kelvin), or a percentage of what is expected; None: exactly.

    Raises
    ------
    LimitError : one of them can't be read.
    """
    if kind in PLAIN_KINDS:
        try:
            return read_limit({"must-be" if kind == "yes-no" else "equals": expect}, kind=kind)
        except LimitError as error:
            raise LimitError(str(error).replace("must-be", "expect"), at="expect", write=error.write) from None
    if kind not in kinds():
        return read_limit({"equals": expect}, kind=kind)
    value = read_number(expect, kind, at="expect")
    width = 0.0 if tolerance is None else _tolerance(tolerance, kind, of=abs(value))
    written = str(expect) if tolerance is None else f"{expect} within {tolerance}"
    return Limit("equals", low=value - width, high=value + width, written=written, unit=_unit_of(str(expect), kind))


def _tolerance(tolerance: object, kind: str, *, of: float) -> float:
    if isinstance(tolerance, str) and tolerance.rstrip().endswith("%") and kind != "share":
        width = read_number(tolerance, "share", at="tolerance") * of
    else:
        width = read_number(tolerance, "temperature-rise" if kind == "temperature" else kind, at="tolerance")
    if width < 0:
        raise LimitError("A tolerance is not negative.", at="tolerance")
    return width


def fitting_words(kind: str) -> tuple[LimitWord, ...]:
    """Limit words that a measure of this kind can have."""
    return _FITS.get(kind, _NUMBERS)


def read_number(text: object, kind: str, *, at: str) -> float:
    """A quantity of `kind` in SI.

    Raises
    ------
    LimitError : it can't be read.
    """
    if not isinstance(text, str):
        raise LimitError("A single quantity belongs here.", at=at)
    try:
        return parse(text, kind)
    except UnitError as error:
        raise LimitError(str(error), at=at, write=error.write) from None


def _number_limit(word: str, raw: object, kind: str, near: str) -> Limit:
    if word == "between":
        if not isinstance(raw, list | tuple) or len(raw) != 2:
            raise LimitError("between takes two quantities.", at=word, write="Write between: [LOW, HIGH].")
        low, high = (read_number(end, kind, at=word) for end in raw)
        if low >= high:
            raise LimitError(f"{raw[0]} is not under {raw[1]}.", at=word, write="Write the lower one first.")
        width = _near(near, kind, of=min(abs(low), abs(high)))
        if width > (high - low) / 2:
            raise LimitError("With this margin nothing would pass clear of both ends.", at="near")
        written = f"{raw[0]} and {raw[1]}"
        return Limit("between", low=low, high=high, near=width, written=written, unit=_unit_of(str(raw[1]), kind))
    value = read_number(raw, kind, at=word)
    unit = _unit_of(str(raw), kind)
    if word == "equals":
        if near:
            raise LimitError("equals has no margin.", at="near", write="Leave near out.")
        return Limit("equals", low=value, high=value, written=str(raw), unit=unit)
    width = _near(near, kind, of=abs(value))
    if word == "at-least":
        return Limit("at-least", low=value, near=width, written=str(raw), unit=unit)
    return Limit("at-most", high=value, near=width, written=str(raw), unit=unit)


def _unit_of(written: str, kind: str) -> str:
    """Name of the unit a quantity was written in; empty for plain numbers and for several units in a row."""
    found = find_unit(written.lstrip("+-0123456789.,/ "), kind)
    return found.name if found is not None and found.name != "1" else ""


def _near(text: str, kind: str, *, of: float) -> float:
    """Width of near: a percentage is of the limit (of a share: in points, as shares add)."""
    if not text:
        return 0.0
    if text.rstrip().endswith("%"):
        share = read_number(text, "share", at="near")
        width = share if kind == "share" else share * of
    else:
        width = read_number(text, kind, at="near")
    if width < 0:
        raise LimitError("A margin is not negative.", at="near")
    return width


def _yes(raw: object) -> bool:
    if raw in ("yes", "no"):
        return raw == "yes"
    raise LimitError("must-be is answered with yes or no.", at="must-be", write="Write yes or no.")


def _words(raw: object, at: str) -> tuple[str, ...]:
    words = (raw,) if isinstance(raw, str) else tuple(raw) if isinstance(raw, list | tuple) else ()
    if not words or not all(isinstance(word, str) and word for word in words):
        raise LimitError(f"{at} takes a word or a list of words.", at=at)
    return tuple(str(word) for word in words)
