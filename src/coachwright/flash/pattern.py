"""When is a head lit within one cycle, for a pattern as written?

Light is 1 or 0 here; levels and limits come later (flash.waves).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

from coachwright.build.model import PatternSpec
from coachwright.kit.errors import DataWrong
from coachwright.kit.nodes import Plain, read_nodes
from coachwright.kit.wave import Wave

Half = Literal["first", "second"]
"""Half of the cycle in which a head begins its pattern. Together means the first for everybody."""

MS_PER_MINUTE = 60_000


@dataclass(frozen=True, slots=True)
class PatternDefaults:
    """The shop's timing where a build leaves it open (patterns.yaml says each line)."""

    source: str
    pulses: tuple[tuple[str, int], ...]
    runs: tuple[str, ...]
    count_rate_per_min: int
    group_fill_percent: int
    run_rate_per_min: int
    least_heads_n: int
    corner_heads_n: int
    corner_lit_percent: int
    followed_rate_per_min: int
    followed_lit_percent: int


@dataclass(frozen=True, slots=True)
class Row:
    """A head's place in the row a run goes over: 0 is the leftmost of `count` heads."""

    index: int
    count: int


@cache
def pattern_defaults() -> PatternDefaults:
    """The defaults this product ships. Status house: common practice, no published source."""
    text = resources.files("coachwright.flash").joinpath("patterns.yaml").read_text(encoding="utf-8")
    plain = read_nodes(text, file="patterns.yaml").plain
    if not isinstance(plain, dict):
        raise DataWrong("patterns.yaml of the flash room is no list of names and values")

    def whole(name: str) -> int:
        return int(str(plain[name]))

    words, cite, runs = plain["count-words"], plain["cite"], plain["runs"]
    if not (isinstance(words, dict) and isinstance(cite, dict) and isinstance(runs, list)):
        raise DataWrong("patterns.yaml of the flash room: count-words, cite or runs has another shape")
    return PatternDefaults(
        source=str(cite["source"]),
        pulses=tuple((word, int(str(count))) for word, count in words.items()),
        runs=_words(runs),
        count_rate_per_min=whole("count-rate-per-min"),
        group_fill_percent=whole("group-fill-percent"),
        run_rate_per_min=whole("run-rate-per-min"),
        least_heads_n=whole("least-heads"),
        corner_heads_n=whole("corner-heads-each-end"),
        corner_lit_percent=whole("corner-lit-percent"),
        followed_rate_per_min=whole("followed-rate-per-min"),
        followed_lit_percent=whole("followed-lit-percent"),
    )


def cycle_ms(spec: PatternSpec, defaults: PatternDefaults | None = None) -> int:
    """Length of one whole cycle. [ms]"""
    timing = defaults or pattern_defaults()
    if spec.steps_ms:
        return spec.every_ms or spec.times * sum(lit + dark for lit, dark in spec.steps_ms)
    if spec.rate_hz is not None:
        return max(2, round(1000 / spec.rate_hz))
    rate = timing.run_rate_per_min if spec.word in timing.runs else timing.count_rate_per_min
    return round(MS_PER_MINUTE / rate)


def pattern_wave(
    spec: PatternSpec, *, half: Half = "first", row: Row | None = None, defaults: PatternDefaults | None = None
) -> Wave:
    """Light of one head over a cycle: 1 lit, 0 dark.

    Parameters
    ----------
    spec : the pattern as read from the build.
    half : which half of the cycle the head begins in. A run takes no notice of it.
    row : the head's place in the row; needed for runs only.
    defaults : timing of what the build left open.

    Raises
    ------
    ValueError : a run without its row, or a count word nobody knows (the file door refuses both first).
    """
    timing = defaults or pattern_defaults()
    period_ms = cycle_ms(spec, timing)
    if spec.word in timing.runs:
        if row is None:
            raise ValueError(f"{spec.word} goes over a row of heads; which one is this?")
        return lit_spans(period_ms, _run_spans(spec.word, row, period_ms, timing))
    begin_ms = 0 if half == "first" else period_ms // 2
    spans = _text_spans(spec) if spec.steps_ms else _count_spans(spec.word, period_ms, timing)
    return lit_spans(period_ms, tuple((begin_ms + start, begin_ms + end) for start, end in spans))


def followed_wave(defaults: PatternDefaults | None = None) -> Wave:
    """A turn wire at work, where its own rate isn't known: the shop's default, on first."""
    timing = defaults or pattern_defaults()
    period_ms = round(MS_PER_MINUTE / timing.followed_rate_per_min)
    return lit_spans(period_ms, ((0, period_ms * timing.followed_lit_percent // 100),))


def lit_spans(period_ms: int, spans: tuple[tuple[int, int], ...]) -> Wave:
    """A wave that is 1 within each span (start, end) and 0 between; spans may run past the end of the cycle."""
    edges: dict[int, float] = {0: 0.0}
    folded: list[tuple[int, int]] = []
    for begin, end in spans:
        start, length = begin % period_ms, end - begin
        if start + length <= period_ms:
            folded.append((start, start + length))
        else:
            folded += [(start, period_ms), (0, start + length - period_ms)]
    for start, end in sorted(folded):
        edges[start] = 1.0
        if end < period_ms:
            edges.setdefault(end, 0.0)
    return Wave(period_ms, tuple(sorted(edges)), tuple(edges[at] for at in sorted(edges)))


def _words(items: list[Plain]) -> tuple[str, ...]:
    return tuple(str(item) for item in items)


def _count_spans(word: str, period_ms: int, timing: PatternDefaults) -> tuple[tuple[int, int], ...]:
    pulses_n = dict(timing.pulses).get(word)
    if pulses_n is None:
        raise ValueError(f"{word} is no count word")
    pieces_n = 2 * pulses_n - 1
    piece_ms = max(1, period_ms * timing.group_fill_percent // (200 * pieces_n))
    return tuple((2 * pulse * piece_ms, (2 * pulse + 1) * piece_ms) for pulse in range(pulses_n))


def _text_spans(spec: PatternSpec) -> tuple[tuple[int, int], ...]:
    spans: list[tuple[int, int]] = []
    at_ms = 0
    for _ in range(spec.times):
        for lit_ms, dark_ms in spec.steps_ms:
            spans.append((at_ms, at_ms + lit_ms))
            at_ms += lit_ms + dark_ms
    return tuple(spans)


def _run_spans(word: str, row: Row, period_ms: int, timing: PatternDefaults) -> tuple[tuple[int, int], ...]:
    from_left, count = row.index, row.count
    if word == "four-corner":
        at_an_end = min(from_left, count - 1 - from_left) < timing.corner_heads_n
        return ((0, period_ms * timing.corner_lit_percent // 100),) if at_an_end else ()
    if word == "run-split":  # from the middle outward, both sides at once
        steps_n = (count + 1) // 2
        order = steps_n - 1 - min(from_left, count - 1 - from_left)
    else:
        steps_n = count
        order = count - 1 - from_left if word == "run-left" else from_left
    step_ms = period_ms // (steps_n + 2)
    return ((order * step_ms, (steps_n + 1) * step_ms),)
