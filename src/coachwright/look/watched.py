"""What a live bus did to a build, line by line, and in the end how fast and how much of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coachwright.control.watch import LATE_MS, MOST_PER_S, Answer, Counts, percentile_us
from coachwright.look.quote import plain

_MOST_SAID = 8


def answer_line(answer: Answer) -> str:
    """One moment: when, how long after its frame, what changed."""
    took = f"{answer.response_us / 1000:9.1f} ms" if answer.response_us is not None else f"{'by time':>12}"
    said = [_change(*change) for change in answer.changes] or ["everything at rest"]
    took = f"{'power-up':>12}" if answer.powered_up else took
    more = f"; and {len(said) - _MOST_SAID} more" if len(said) > _MOST_SAID else ""
    return plain(f"{answer.at_ms / 1000:10.3f} s {took}  {'; '.join(said[:_MOST_SAID])}{more}")


def _change(kind: str, name: str, _was: str, said: str) -> str:
    if kind == "promise":
        return f"× {name} is broken" if said == "broken" else f"{name} is kept again"
    return f"{name} {said or ('dark' if kind == 'head' else 'ends')}"


def counts_lines(counts: Counts) -> Iterator[str]:
    """How it ended."""
    yield f"{counts.frames_n:,} frames, {counts.known_n:,} of them heard{f'; {counts.why}' if counts.why else ''}."
    if counts.responses_us:
        half, most = percentile_us(counts.responses_us, 0.5) / 1000, max(counts.responses_us) / 1000
        nearly = percentile_us(counts.responses_us, 0.99) / 1000
        yield (
            f"From a frame to the changed outputs: half within {half:.1f} ms, 99 of 100 within {nearly:.1f} ms, "
            f"longest {most:.1f} ms ({len(counts.responses_us):,} changes; debounce and edge hold included)."
        )
    if counts.dropped_n:
        yield f"{counts.dropped_n:,} frames dropped: more than {MOST_PER_S:,} in one second."
    if counts.late_n:
        yield f"{counts.late_n:,} frames dropped: they had waited longer than {LATE_MS:,} ms."
    if counts.unsent_n:
        yield f"{counts.unsent_n:,} frames of the log were not taken by the bus."
    if counts.unknown_values_n:
        yield f"{counts.unknown_values_n:,} values stand for none of their input's."
    yield "Measured on this computer, which is no controller: the finished vehicle's response is measured at hand-over."


def answer_json(answer: Answer) -> dict[str, Any]:
    """One moment for programs, one line each."""
    return {
        "at-ms": answer.at_ms,
        "response-us": answer.response_us,
        "power-up": answer.powered_up,
        "changes": [{"kind": kind, "name": name, "was": was, "is": said} for kind, name, was, said in answer.changes],
    }


def counts_json(counts: Counts) -> dict[str, Any]:
    """How it ended, for programs."""
    return {
        "frames": counts.frames_n,
        "heard": counts.known_n,
        "dropped": counts.dropped_n,
        "late": counts.late_n,
        "not-sent": counts.unsent_n,
        "values-not-known": counts.unknown_values_n,
        "response-us": {
            "changes": len(counts.responses_us),
            "half": percentile_us(counts.responses_us, 0.5),
            "99-of-100": percentile_us(counts.responses_us, 0.99),
            "longest": max(counts.responses_us, default=0),
        },
        "ended": counts.why,
    }
