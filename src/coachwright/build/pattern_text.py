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

import math
import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias, cast

from coachwright.build.model import PatternSpec
from coachwright.build.problem import (
    Problem,
    closest,
    quantity_not_read,
    show_not_possible,
    show_not_read,
    unit_missing,
)
from coachwright.build.quantity_text import print_quantity
from coachwright.kit.units import UnitError, parse

Sides: TypeAlias = Literal["", "sides", "other-sides", "together"]

COUNT_WORDS = ("single", "double", "triple", "quad")
RUN_WORDS = ("run-left", "run-right", "run-split", "four-corner")
SIDES_WORDS = ("sides", "other-sides", "together")

MAX_CHARACTERS = 2000
MAX_STEPS = 32
MAX_TIMES = 100
LEAST_CYCLE_MS = 20
MAX_CYCLE_MS = 60_000

_WORD = re.compile(r"[^\s,]+|,")
_WHOLE_MS = 1e-6
_FIRST_WORDS = ("steady", "follow", "lit", *COUNT_WORDS, *RUN_WORDS)
_EXAMPLE = "Write it like lit 60 ms, dark 40 ms, times 2, every 500 ms."


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


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    start: int
    end: int


class _NotRead(Exception):
    def __init__(self, *problems: Problem) -> None:
        super().__init__()
        self.problems = problems


def read_show(text: str, *, signals: Collection[str] | None = None) -> ShowText | tuple[Problem, ...]:
    """What stands behind a colour, or everything that is wrong with it.

    signals : names that can be followed; None leaves the check to the caller.
    """
    try:
        return _show(text, _words(text), signals)
    except _NotRead as wrong:
        return wrong.problems


def read_pattern(text: str) -> PatternSpec | tuple[Problem, ...]:
    """A pattern alone, without sides: what a promise asks for."""
    try:
        words = _words(text)
        if words[-1].text in SIDES_WORDS:
            side = words[-1]
            raise _NotRead(
                show_not_read(
                    side.start, side.end, "A pattern is asked for without its sides.", f"Leave {side.text} away."
                )
            )
        if words[0].text in ("steady", "follow"):
            raise _NotRead(show_not_read(words[0].start, words[0].end, f"{words[0].text} isn't a pattern.", _EXAMPLE))
        return _pattern(text, words)
    except _NotRead as wrong:
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
    return _timeline(asked) == _timeline(shown)


def _timeline(spec: PatternSpec) -> tuple[tuple[tuple[int, int], ...], int]:
    """Spans (start, end) of light, and the length of the cycle. [ms]"""
    spans, at_ms = [], 0
    for lit_ms, dark_ms in spec.steps_ms * spec.times:
        spans.append((at_ms, at_ms + lit_ms))
        at_ms += lit_ms + dark_ms
    return tuple(spans), spec.every_ms or at_ms


def _words(text: str) -> list[_Word]:
    if len(text) > MAX_CHARACTERS:
        raise _NotRead(
            show_not_read(MAX_CHARACTERS, len(text), f"A show is at most {MAX_CHARACTERS:,} characters long.")
        )
    words = [_Word(found[0], *found.span()) for found in _WORD.finditer(text)]
    if not words or words[0].text == ",":
        raise _NotRead(
            show_not_read(0, len(text), "What does this colour do?", f"Write one of {', '.join(_FIRST_WORDS)}.")
        )
    return words


def _show(text: str, words: list[_Word], signals: Collection[str] | None) -> ShowText:
    side = words.pop() if len(words) > 1 and words[-1].text in SIDES_WORDS else None
    while side is not None and words[-1].text == ",":
        words.pop()
    first = words[0].text
    if side is not None and first in ("steady", "follow", *RUN_WORDS):
        why = (
            "A run goes over its heads in their own order."
            if first in RUN_WORDS
            else f"{first} is the same on every side."
        )
        raise _NotRead(show_not_read(side.start, side.end, why, f"Leave {side.text} away."))
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


def _steady(text: str, words: list[_Word]) -> float:
    if len(words) == 1:
        return 1.0
    share = _quantity(text, words[1:], "share", "Write it like steady 40 %.")
    start, end = words[1].start, words[-1].end
    if share == 0:
        raise _NotRead(show_not_possible(start, end, "0 % is dark.", "Write dark: yes in place of the colour."))
    if not 0 < share <= 1:
        raise _NotRead(
            show_not_possible(start, end, "A share is more than 0 % and at most 100 %.", "Write it like steady 40 %.")
        )
    return share


def _followed(words: list[_Word], signals: Collection[str] | None) -> str:
    if len(words) == 1:
        raise _NotRead(show_not_read(words[0].start, words[0].end, "Which signal?", "Write it like follow turn-left."))
    if len(words) > 2:
        extra = words[2]
        raise _NotRead(
            show_not_read(
                extra.start, words[-1].end, "follow copies one signal as it is.", f"Write follow {words[1].text}."
            )
        )
    name = words[1].text
    if signals is not None and name not in signals:
        near = closest(name, signals)
        why = f"No signal that can be followed is named {name}."
        raise _NotRead(show_not_read(words[1].start, words[1].end, why, f"Closest: {near}." if near else "", near))
    return name


def _pattern(text: str, words: list[_Word]) -> PatternSpec:
    first = words[0]
    if first.text in (*COUNT_WORDS, *RUN_WORDS):
        rate_hz = _rate_hz(text, words) if len(words) > 1 else None
        return _with_text(PatternSpec(first.text, rate_hz, (), 1, 0, ""))
    if first.text in ("lit", "dark", "times", "every"):
        return _with_text(_steps(text, words))
    near = closest(first.text, _FIRST_WORDS)
    write = f"Closest: {near}." if near else f"Write one of {', '.join(_FIRST_WORDS)}."
    if first.text in ("on", "off"):
        near, write = "", "Write steady." if first.text == "on" else "Write dark: yes in place of the colour."
    raise _NotRead(show_not_read(first.start, first.end, f"{first.text} isn't something a colour can do.", write, near))


def _with_text(spec: PatternSpec) -> PatternSpec:
    return replace(spec, text=print_pattern(spec))


def _rate_hz(text: str, words: list[_Word]) -> float:
    example = f"Write it like {words[0].text} 150 per min."
    rate_hz = _quantity(text, words[1:], "rate", example)
    start, end = words[1].start, words[-1].end
    if rate_hz <= 0:
        raise _NotRead(show_not_possible(start, end, "A rate is more than nothing.", example))
    if not LEAST_CYCLE_MS <= 1000 / rate_hz <= MAX_CYCLE_MS:
        why = f"A cycle lasts {LEAST_CYCLE_MS} ms to {MAX_CYCLE_MS // 1000} s."
        raise _NotRead(show_not_possible(start, end, why, example))
    return rate_hz


def _quantity(text: str, words: list[_Word], kind: str, example: str) -> float:
    start, end = words[0].start, words[-1].end
    written = text[start:end]
    if not re.match(r"[-+.]?[0-9]", written):
        raise _NotRead(show_not_read(start, end, f"{written[:60]} isn't part of this.", example))
    try:
        value: float = parse(written, kind)
    except UnitError as error:
        wrong = unit_missing if error.reason == "no-unit" else quantity_not_read
        raise _NotRead(wrong(start, end, kind, str(error), error.write)) from None
    if not math.isfinite(value):
        raise _NotRead(
            quantity_not_read(start, end, kind, "This number is larger than anything on a vehicle.", example)
        )
    return value


def _steps(text: str, words: list[_Word]) -> PatternSpec:
    """`lit T, dark T, ... [, times N] [, every T]`: every clause is read, then what they make together is judged."""
    problems: list[Problem] = []
    lights: list[tuple[_Word, int]] = []
    ends: dict[str, int] = {}
    for clause in _clauses(words, problems):
        verb = clause[0]
        try:
            if verb.text in ends or (verb.text in ("lit", "dark") and ends):
                why = f"{verb.text} stands behind {next(reversed(ends))}."
                raise _NotRead(
                    show_not_read(
                        verb.start, verb.end, why, f"Steps come first, then times, then every, each once. {_EXAMPLE}"
                    )
                )
            if verb.text in ("lit", "dark"):
                lights.append((verb, _time_ms(text, clause)))
            elif verb.text in ("every", "times"):
                ends[verb.text] = _time_ms(text, clause) if verb.text == "every" else _times(clause)
            else:
                near = closest(verb.text, ("lit", "dark", "times", "every", *SIDES_WORDS))
                why = f"{verb.text} isn't part of a pattern."
                raise _NotRead(
                    show_not_read(verb.start, verb.end, why, f"Closest: {near}." if near else _EXAMPLE, near)
                )
        except _NotRead as wrong:
            problems += wrong.problems
        if len(problems) >= MAX_STEPS:
            break
    if not problems:
        problems += _turns(lights, ends)
    if problems:
        raise _NotRead(*problems)
    times_ms = [time_ms for _, time_ms in lights]
    pairs = tuple(zip(times_ms[::2], [*times_ms[1::2], *([0] if len(times_ms) % 2 else [])], strict=True))
    times, every_ms = ends.get("times", 1), ends.get("every", 0)
    spec = PatternSpec("", None, pairs, times, every_ms, "")
    problems += _fits(spec, words)
    if problems:
        raise _NotRead(*problems)
    return replace(spec, every_ms=0) if every_ms == times * sum(times_ms) and not len(times_ms) % 2 else spec


def _clauses(words: list[_Word], problems: list[Problem]) -> list[list[_Word]]:
    clauses: list[list[_Word]] = [[]]
    for word in words:
        if word.text == ",":
            if not clauses[-1]:
                problems.append(
                    show_not_read(word.start, word.end, "Nothing stands before this comma.", "Leave it away.")
                )
                continue
            clauses.append([])
        elif word.text in ("lit", "dark", "times", "every") and clauses[-1]:
            problems.append(show_not_read(word.start, word.end, f"A comma is missing before {word.text}.", _EXAMPLE))
            clauses.append([word])
        else:
            clauses[-1].append(word)
    if not clauses[-1]:
        last = words[-1]
        problems.append(show_not_read(last.start, last.end, "Nothing stands behind this comma.", "Leave it away."))
        clauses.pop()
    return clauses


def _time_ms(text: str, clause: list[_Word]) -> int:
    verb = clause[0]
    if len(clause) == 1:
        raise _NotRead(
            show_not_read(verb.start, verb.end, f"{verb.text} for how long?", f"Write it like {verb.text} 60 ms.")
        )
    time_s = _quantity(text, clause[1:], "time", f"Write it like {verb.text} 60 ms.")
    time_ms = round(time_s * 1000)
    start, end = clause[1].start, clause[-1].end
    if time_s <= 0:
        raise _NotRead(
            show_not_possible(start, end, "A step lasts longer than nothing.", f"Write it like {verb.text} 60 ms.")
        )
    if abs(time_s * 1000 - time_ms) > _WHOLE_MS:
        raise _NotRead(
            show_not_possible(start, end, "Steps are whole milliseconds.", f"Write {verb.text} {max(1, time_ms)} ms.")
        )
    if time_ms > MAX_CYCLE_MS:
        raise _NotRead(
            show_not_possible(start, end, f"A cycle lasts at most {MAX_CYCLE_MS // 1000} s.", "Write a shorter time.")
        )
    return time_ms


def _times(clause: list[_Word]) -> int:
    verb = clause[0]
    number = " ".join(word.text for word in clause[1:])
    if not re.fullmatch(r"[0-9]{1,6}", number) or not 1 <= int(number) <= MAX_TIMES:
        raise _NotRead(
            show_not_read(
                verb.start, clause[-1].end, f"times is a whole number from 1 to {MAX_TIMES}.", "Write it like times 2."
            )
        )
    return int(number)


def _turns(lights: list[tuple[_Word, int]], ends: dict[str, int]) -> list[Problem]:
    """Make lit and dark take turns, lit first; the last dark may be left to `every`."""
    if not lights:
        return [show_not_read(0, 0, "A pattern has at least one lit step.", _EXAMPLE)]
    found = []
    if len(lights) > 2 * MAX_STEPS:
        extra = lights[2 * MAX_STEPS][0]
        found.append(
            show_not_possible(
                extra.start, extra.end, f"More than {MAX_STEPS} flashes in one pattern.", "Use times, or fewer steps."
            )
        )
    wanted = "lit"
    for verb, _ in lights:
        if verb.text != wanted:
            why = "A pattern begins lit." if verb is lights[0][0] else f"Two {verb.text} steps stand in a row."
            write = "Put the dark step last." if verb is lights[0][0] else "Add the two times."
            return [*found, show_not_read(verb.start, verb.end, why, write)]
        wanted = "dark" if wanted == "lit" else "lit"
    last = lights[-1][0]
    if last.text == "lit" and (ends.get("times", 1) > 1 or "every" not in ends):
        why = "Without a dark step at the end the light would never go out between two rounds."
        found.append(show_not_read(last.start, last.end, why, "Write a dark step behind it, like dark 40 ms."))
    return found


def _fits(spec: PatternSpec, words: list[_Word]) -> list[Problem]:
    start, end = words[0].start, words[-1].end
    spans, cycle_ms = _timeline(spec)
    steps_ms = spec.times * sum(lit_ms + dark_ms for lit_ms, dark_ms in spec.steps_ms)
    if spec.every_ms and steps_ms > spec.every_ms:
        why = f"The steps last {steps_ms} ms and don't fit into every {spec.every_ms} ms."
        return [show_not_possible(start, end, why, f"Write every {steps_ms} ms or more, or shorter steps.")]
    if spans[-1][1] >= cycle_ms:
        return [
            show_not_possible(
                start, end, "The light would never go out.", "Write steady, or a longer cycle behind every."
            )
        ]
    if not LEAST_CYCLE_MS <= cycle_ms <= MAX_CYCLE_MS:
        why = f"The cycle lasts {cycle_ms} ms; it has to be {LEAST_CYCLE_MS} ms to {MAX_CYCLE_MS // 1000} s."
        return [show_not_possible(start, end, why, "Write other steps.")]
    return []


def _check_half(pattern: PatternSpec, side: _Word) -> None:
    if pattern.word:
        return
    spans, cycle_ms = _timeline(pattern)
    if 2 * spans[-1][1] > cycle_ms:
        lasts_ms = spans[-1][1]
        why = (
            f"With {side.text} each side has half of the cycle, {cycle_ms // 2} ms, and the light lasts {lasts_ms} ms."
        )
        write = f"Write every {2 * lasts_ms} ms or more, or together."
        raise _NotRead(show_not_possible(side.start, side.end, why, write))
