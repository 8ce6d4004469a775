"""Reads a pattern of steps: ``lit 60 ms, dark 40 ms, times 2, every 500 ms``."""

from __future__ import annotations

import re
from dataclasses import replace

from coachwright.build.model import PatternSpec
from coachwright.build.pattern_words import NotReadError, Word, not_possible, not_read, read_quantity
from coachwright.build.problem import MAX_PROBLEMS, Problem, closest, show_not_read

MAX_STEPS = 32
MAX_TIMES = 100
LEAST_CYCLE_MS = 20
MAX_CYCLE_MS = 60_000
STEP_WORDS = ("lit", "dark", "times", "every")
EXAMPLE = "Write it like lit 60 ms, dark 40 ms, times 2, every 500 ms."

_WHOLE_MS = 1e-6


def read_steps(text: str, words: list[Word]) -> PatternSpec:
    """Read every clause, then judge what they make together."""
    problems: list[Problem] = []
    lights: list[tuple[Word, int]] = []
    ends: dict[str, int] = {}
    for clause in _clauses(words, problems):
        try:
            _read_clause(text, clause, lights, ends)
        except NotReadError as wrong:
            problems += wrong.problems
        if len(problems) >= MAX_PROBLEMS:
            break
    if problems:
        raise NotReadError(*sorted(problems)[:MAX_PROBLEMS])
    _check_turns(words[0], lights, ends)
    times_ms = [time_ms for _, time_ms in lights]
    pairs = tuple(zip(times_ms[::2], [*times_ms[1::2], *([0] * (len(times_ms) % 2))], strict=True))
    spec = PatternSpec("", None, pairs, ends.get("times", 1), ends.get("every", 0), "")
    _check_fit(spec, words)
    steps_ms = spec.times * sum(times_ms)
    return replace(spec, every_ms=0) if pairs[-1][1] and spec.every_ms == steps_ms else spec


def timeline(spec: PatternSpec) -> tuple[tuple[tuple[int, int], ...], int]:
    """Spans (start, end) of light, and the length of the cycle, of a pattern of steps. [ms]"""
    spans, at_ms = [], 0
    for lit_ms, dark_ms in spec.steps_ms * spec.times:
        spans.append((at_ms, at_ms + lit_ms))
        at_ms += lit_ms + dark_ms
    return tuple(spans), spec.every_ms or at_ms


def _clauses(words: list[Word], problems: list[Problem]) -> list[list[Word]]:
    """Words between commas; a comma too many or one too few is noted."""
    clauses: list[list[Word]] = [[]]
    for word in words:
        if word.text == ",":
            if clauses[-1]:
                clauses.append([])
            else:
                problems.append(show_not_read(word.start, word.end, "Two commas stand in a row.", "Leave one away."))
        elif word.text in STEP_WORDS and clauses[-1]:
            problems.append(show_not_read(word.start, word.end, f"A comma is missing before {word.text}.", EXAMPLE))
            clauses.append([word])
        else:
            clauses[-1].append(word)
    if not clauses[-1]:
        last = words[-1]
        problems.append(show_not_read(last.start, last.end, "Nothing stands behind this comma.", "Leave it away."))
        clauses.pop()
    return clauses


def _read_clause(text: str, clause: list[Word], lights: list[tuple[Word, int]], ends: dict[str, int]) -> None:
    verb = clause[0]
    if verb.text in ends or (verb.text in ("lit", "dark") and ends):
        why = f"{verb.text} stands behind {next(reversed(ends))}."
        raise not_read(verb, verb, why, f"The steps come first, then times, then every, each once. {EXAMPLE}")
    if verb.text in ("lit", "dark"):
        lights.append((verb, _time_ms(text, clause)))
    elif verb.text == "every":
        ends["every"] = _time_ms(text, clause)
    elif verb.text == "times":
        ends["times"] = _times(clause)
    else:
        near = closest(verb.text, STEP_WORDS)
        why = f"{verb.text} isn't part of a pattern."
        raise not_read(verb, verb, why, f"Closest: {near}." if near else EXAMPLE, near)


def _time_ms(text: str, clause: list[Word]) -> int:
    verb = clause[0]
    example = f"{verb.text} 60 ms"
    if len(clause) == 1:
        raise not_read(verb, verb, f"{verb.text} for how long?", f"Write it like {example}.")
    time_s = read_quantity(text, clause[1:], "time", example=example)
    time_ms = round(time_s * 1000)
    first, last = clause[1], clause[-1]
    if time_s <= 0:
        raise not_possible(first, last, "A step lasts longer than nothing.", f"Write it like {example}.")
    if abs(time_s * 1000 - time_ms) > _WHOLE_MS:
        raise not_possible(first, last, "Steps are whole milliseconds.", f"Write {verb.text} {max(1, time_ms)} ms.")
    if time_ms > MAX_CYCLE_MS:
        raise not_possible(first, last, f"A cycle lasts at most {MAX_CYCLE_MS // 1000} s.", "Write a shorter time.")
    return time_ms


def _times(clause: list[Word]) -> int:
    number = " ".join(word.text for word in clause[1:])
    if not re.fullmatch(r"[0-9]{1,6}", number, re.ASCII) or not 1 <= int(number) <= MAX_TIMES:
        why = f"times is a whole number from 1 to {MAX_TIMES}."
        raise not_read(clause[0], clause[-1], why, "Write it like times 2.")
    return int(number)


def _check_turns(first: Word, lights: list[tuple[Word, int]], ends: dict[str, int]) -> None:
    """Lit and dark take turns, lit first; the last dark may be left to `every`."""
    if not lights:
        raise not_read(first, first, "A pattern has at least one lit step.", EXAMPLE)
    if len(lights) > 2 * MAX_STEPS:
        extra = lights[2 * MAX_STEPS][0]
        raise not_possible(extra, extra, f"A pattern has at most {MAX_STEPS} lit steps.", "Use times, or fewer steps.")
    for number, (verb, _) in enumerate(lights):
        if verb.text == ("lit", "dark")[number % 2]:
            continue
        if number == 0:
            raise not_read(verb, verb, "A pattern begins lit.", "Write this dark step last.")
        raise not_read(verb, verb, f"Two {verb.text} steps stand in a row.", "Add up their times.")
    last = lights[-1][0]
    if last.text == "lit" and (ends.get("times", 1) > 1 or "every" not in ends):
        why = "Without a dark step at the end the light never goes out between two rounds."
        raise not_read(last, last, why, "Write a dark step behind it, like dark 40 ms.")


def _check_fit(spec: PatternSpec, words: list[Word]) -> None:
    first, last = words[0], words[-1]
    spans, cycle_ms = timeline(spec)
    steps_ms = spec.times * sum(lit_ms + dark_ms for lit_ms, dark_ms in spec.steps_ms)
    if spec.every_ms and steps_ms > spec.every_ms:
        why = f"The steps last {steps_ms} ms and don't fit into every {spec.every_ms} ms."
        raise not_possible(first, last, why, f"Write every {steps_ms} ms or more, or shorter steps.")
    if spans[-1][1] >= cycle_ms:
        raise not_possible(first, last, "The light never goes out.", "Write steady, or a longer every.")
    if not LEAST_CYCLE_MS <= cycle_ms <= MAX_CYCLE_MS:
        why = f"The cycle lasts {cycle_ms} ms; it can last {LEAST_CYCLE_MS} ms to {MAX_CYCLE_MS // 1000} s."
        raise not_possible(first, last, why, "Write other steps.")
