"""Which heads share a clock, and which part of the cycle each of them takes?

One clock per sync group, never restarted by functions: all heads a controller flashes are one group, heads whose lamp
flashes itself are one group per sync wire, else each lamp has a clock of its own with its tolerance.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.build.model import ColourShow, Head, Model, Show
from coachwright.flash.pattern import Half, Row, pattern_defaults

ON_CENTRE_M = 1e-6
"""A head within this distance of the centre line is on it; control counts it with the left ones."""


@dataclass(frozen=True, slots=True)
class SyncGroup:
    """Heads on one clock. tolerance_share : how far that clock may run fast or slow."""

    name: str
    heads: tuple[str, ...]
    tolerance_share: float


def sync_groups(heads: Iterable[Head]) -> tuple[SyncGroup, ...]:
    """The groups in the order in which the heads name them."""
    members: dict[str, list[Head]] = {}
    for head in heads:
        members.setdefault(head.sync_group, []).append(head)
    return tuple(
        SyncGroup(name, tuple(head.id for head in group), max(head.clock_tolerance_share for head in group))
        for name, group in members.items()
    )


def half_of(show: ColourShow, *, left_m: float) -> Half:
    """Half of the cycle in which a head begins.

    left_m : how far left of the centre line it stands, negative to the right. [m]

    ``sides``: left heads (and those on the centre line) first, right ones second; ``other-sides`` the reverse.
    """
    on_left = left_m >= -ON_CENTRE_M
    if show.sides == "sides":
        return "first" if on_left else "second"
    if show.sides == "other-sides":
        return "second" if on_left else "first"
    return "first"


def shows_of(model: Model) -> Iterable[Show]:
    """Every show of every function, levels included."""
    for function in model.functions:
        yield from function.shows
        for level in function.levels:
            yield from level.shows


def rows(model: Model, left_m: dict[str, float]) -> dict[tuple[str, str], Row]:
    """For every run: where each head stands in its row, leftmost first, by (build path of the colour, head).

    left_m : of each head, left of the centre line. [m]
    """
    runs = pattern_defaults().runs
    found: dict[tuple[str, str], Row] = {}
    for show in shows_of(model):
        for colour in show.colours:
            if colour.pattern is None or colour.pattern.word not in runs:
                continue
            across = sorted(show.heads, key=lambda head: -left_m[head])
            for index, head in enumerate(across):
                found[colour.path, head] = Row(index, len(across))
    return found


def half_cycle_apart_s(*, cycle_s: float, tolerance_share: float, other_tolerance_share: float) -> float:
    """Time until two clocks set going together are half a cycle apart, at worst; infinite if neither drifts. [s]

    Clocks of relative error a and b slip (a + b) seconds a second; half a cycle is gone after cycle / 2 / (a + b).
    """
    slip = tolerance_share + other_tolerance_share
    return cycle_s / 2 / slip if slip > 0 else float("inf")
