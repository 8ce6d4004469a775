"""Reads what stands behind a colour in a show, and writes patterns as text.

    steady            steady 15 %                          follow turn-left
    single sides      double 150 per min other-sides       run-left      four-corner 90 per min
    lit 60 ms, dark 40 ms, times 2, every 500 ms sides

What the language leaves to this page:

- ``steady`` alone is ``steady 100 %``. Only ``steady`` has a share: a limit dims what flashes. ``steady 0 %`` is
  refused: it is ``dark: yes``.
- A flash without ``sides`` or ``other-sides`` is ``together``. Runs have an order of their own and take none of the
  three; nor do ``steady`` and ``follow``.
- A text pattern begins lit, and lit and dark take turns. Its last dark may be left away where ``every`` says how long
  the cycle is and no ``times`` repeats the steps: between two rounds there has to be a dark moment. ``times N`` repeats
  all the steps. Without ``every`` the cycle is the steps; with it the rest of the cycle is dark.
- With ``sides`` the light of one side has to fit half of the cycle, because the other side has the other half.
- ``every`` that says just what the steps add up to is dropped from the canonical text.
- Times are whole milliseconds. A cycle is 20 ms to 60 s, which only bounds the reading: how fast a lamp may flash is a
  question for rules.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal, TypeAlias, cast

from coachwright.build.model import PatternSpec
from coachwright.build.pattern_steps import EXAMPLE, LEAST_CYCLE_MS, MAX_CYCLE_MS, STEP_WORDS, read_steps, timeline
from coachwright.build.pattern_words import NotReadError, Word, cut_words, not_possible, not_read, read_quantity
from coachwright.build.problem import Problem, closest
from coachwright.build.quantity_text import print_quantity

Sides: TypeAlias = Literal["", "sides", "other-sides", "together"]

COUNT_WORDS = ("single", "double", "triple", "quad")
RUN_WORDS = ("run-left", "run-right", "run-split", "four-corner")
SIDES_WORDS = ("sides", "other-sides", "together")
FIRST_WORDS = ("steady", "follow", "lit", *COUNT_WORDS, *RUN_WORDS)


@dataclass(frozen=True, slots=True)
class ShowText:
    """What one colour does, as written.

    sides : ``together`` for a flash that names no side, "" where sides mean nothing (steady, follow, runs).
    share : of the part's full light, 1.0 unless ``steady`` says less. signal : the followed signal, or "".
    """

    manner: Literal["pattern", "steady", "follow"]
    pattern: PatternSpec | None = None
    sides: Sides = ""
    share: float = 1.0
    signal: str = ""


def read_show(text: str, *, signals: Collection[str] | None = None) -> ShowText | tuple[Problem, ...]:
    """What stands behind a colour, or everything that is wrong with it.

    signals : names that can be followed; None leaves the check to the caller.
    """
    try:
        return _show(text, cut_words(text), signals)
    except NotReadError as wrong:
        return wrong.problems


def read_pattern(text: str) -> PatternSpec | tuple[Problem, ...]:
    """A pattern alone, without sides: what a promise asks for."""
    try:
        words = cut_words(text)
        first, last = words[0], words[-1]
        if last.text in SIDES_WORDS:
            raise not_read(last, last, "A pattern is asked for without its sides.", f"Leave {last.text} away.")
        if first.text in ("steady", "follow"):
            raise not_read(first, first, f"{first.text} isn't a pattern.", EXAMPLE)
        return _pattern(text, words)
    except NotReadError as wrong:
        return wrong.problems


def print_pattern(spec: PatternSpec) -> str:
    """Canonical text of a pattern; reading it gives the pattern again."""
    if spec.word:
        return spec.word if spec.rate_hz is None else f"{spec.word} {print_quantity(spec.rate_hz, 'rate')}"
    steps = [f"lit {lit_ms} ms" + (f", dark {dark_ms} ms" if dark_ms else "") for lit_ms, dark_ms in spec.steps_ms]
    if spec.times > 1:
        steps.append(f"times {spec.times}")
    if spec.every_ms:
        steps.append(f"every {spec.every_ms} ms")
    return ", ".join(steps)


def print_show(show: ShowText) -> str:
    """Canonical text of a show; reading it gives the show again."""
    if show.manner == "steady":
        return f"steady {print_quantity(show.share, 'share')}"
    if show.manner == "follow" or show.pattern is None:
        return f"follow {show.signal}"
    return f"{print_pattern(show.pattern)} {show.sides}".rstrip()


def same_pattern(asked: PatternSpec, shown: PatternSpec) -> bool:
    """Is `shown` the pattern that a promise asks for?

    A count word or a run without a rate asks for no rate. Text patterns are the same when they are lit at the same
    moments, however their steps were put into words.
    """
    if asked.word or shown.word:
        return asked.word == shown.word and asked.rate_hz in (None, shown.rate_hz)
    return timeline(asked) == timeline(shown)


@lru_cache(maxsize=1024)
def shows_pattern(shown: PatternSpec, asked: str) -> bool:
    """Is `shown` the pattern of a promise, which keeps what it asks for as text?

    Raises
    ------
    ValueError : `asked` is no pattern (the file door refuses it first).
    """
    read = read_pattern(asked)
    if isinstance(read, tuple):
        raise ValueError(f"{asked} is no pattern")
    return same_pattern(read, shown)


def _show(text: str, words: list[Word], signals: Collection[str] | None) -> ShowText:
    side = words.pop() if len(words) > 1 and words[-1].text in SIDES_WORDS else None
    if side is not None and words[-1].text == ",":
        words.pop()
    first = words[0].text
    if side is not None and first in ("steady", "follow", *RUN_WORDS):
        is_run = first in RUN_WORDS
        why = "A run has an order of its own." if is_run else f"{first} is the same on both sides."
        raise not_read(side, side, why, f"Leave {side.text} away.")
    if first == "steady":
        return ShowText("steady", share=_steady(text, words))
    if first == "follow":
        return ShowText("follow", signal=_followed(words, signals))
    pattern = _pattern(text, words)
    if first in RUN_WORDS:
        return ShowText("pattern", pattern)
    if side is not None and side.text != "together":
        _check_half(pattern, side)
    return ShowText("pattern", pattern, cast(Sides, side.text if side is not None else "together"))


def _steady(text: str, words: list[Word]) -> float:
    if len(words) == 1:
        return 1.0
    share = read_quantity(text, words[1:], "share", example="steady 40 %")
    first, last = words[1], words[-1]
    if share == 0:
        raise not_possible(first, last, "0 % is dark.", "Write dark: yes in place of the colour.")
    if not 0 < share <= 1:
        raise not_possible(first, last, "A share is more than 0 % and at most 100 %.", "Write it like steady 40 %.")
    return share


def _followed(words: list[Word], signals: Collection[str] | None) -> str:
    if len(words) == 1:
        raise not_read(words[0], words[0], "Which signal?", "Write it like follow turn-left.")
    if len(words) > 2:
        raise not_read(words[2], words[-1], "follow copies one signal as it is.", f"Write follow {words[1].text}.")
    name = words[1]
    if signals is not None and name.text not in signals:
        near = closest(name.text, signals)
        write = f"Closest: {near}." if near else ""
        raise not_read(name, name, f"No signal that can be followed is named {name.text}.", write, near)
    return name.text


def _pattern(text: str, words: list[Word]) -> PatternSpec:
    first = words[0]
    if first.text in (*COUNT_WORDS, *RUN_WORDS):
        rate_hz = _rate_hz(text, words) if len(words) > 1 else None
        return _with_text(PatternSpec(first.text, rate_hz, (), 1, 0, ""))
    if first.text in STEP_WORDS:
        return _with_text(read_steps(text, words))
    near = "" if first.text in ("on", "off") else closest(first.text, FIRST_WORDS)
    write = f"Closest: {near}." if near else f"It begins with one of {', '.join(FIRST_WORDS)}."
    if first.text in ("on", "off"):
        write = "Write steady." if first.text == "on" else "Write dark: yes in place of the colour."
    raise not_read(first, first, f"{first.text} isn't something a colour can do.", write, near)


def _with_text(spec: PatternSpec) -> PatternSpec:
    return replace(spec, text=print_pattern(spec))


def _rate_hz(text: str, words: list[Word]) -> float:
    example = f"{words[0].text} 150 per min"
    rate_hz = read_quantity(text, words[1:], "rate", example=example)
    first, last = words[1], words[-1]
    if rate_hz <= 0:
        raise not_possible(first, last, "A rate is more than nothing.", f"Write it like {example}.")
    if not LEAST_CYCLE_MS <= 1000 / rate_hz <= MAX_CYCLE_MS:
        why = f"One cycle at this rate is no time between {LEAST_CYCLE_MS} ms and {MAX_CYCLE_MS // 1000} s."
        raise not_possible(first, last, why, f"Write it like {example}.")
    return rate_hz


def _check_half(pattern: PatternSpec, side: Word) -> None:
    if pattern.word:
        return
    spans, cycle_ms = timeline(pattern)
    lasts_ms = spans[-1][1]
    if 2 * lasts_ms > cycle_ms:
        why = f"With {side.text} the light has half of the cycle, {cycle_ms // 2} ms, and it lasts {lasts_ms} ms."
        raise not_possible(side, side, why, f"Write every {2 * lasts_ms} ms or more, or together.")
