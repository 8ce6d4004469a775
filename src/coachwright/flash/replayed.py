"""When does each head burn on a log, by the millisecond?

The machine says who shows what from when on; here that becomes stretches of light. Where a clock stands when a log
begins nobody knows: every pattern is drawn as if its clock had begun with the log. What is followed copies the wire as
it was logged.

See Also
--------
coachwright.control.replay : before this. coachwright.draw.replayed : draws it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.model import Colour, Model
from coachwright.control.replayed import Change, Replayed, Track
from coachwright.control.statement import ColourPart, HeadState
from coachwright.control.turns import FLASHING
from coachwright.flash.pattern import Row, followed_wave
from coachwright.flash.sync import half_of, rows
from coachwright.flash.waves import colour_wave, left_of_centre_m
from coachwright.kit.wave import Wave


@dataclass(frozen=True, slots=True)
class Lit:
    """A stretch in which one colour of a head is shown. share : of full light, limits included.

    steady : burns without a break; else `pulses` are the stretches in which it does, as (from, until). [ms]
    """

    colour: Colour
    from_ms: int
    until_ms: int
    share: float
    steady: bool
    owner: str
    pulses: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class LitHead:
    """One head over a stretch of the log. undecided : stretches in which nothing decides who has it. [ms]"""

    head: str
    lit: tuple[Lit, ...]
    undecided: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A head where it stands: left of the centre line, and its places in the rows that run. [m]"""

    head: str
    left_m: float
    rows: dict[tuple[str, str], Row]


def lit_heads(model: Model, replayed: Replayed, *, from_ms: int, until_ms: int) -> tuple[LitHead, ...]:
    """Every head that is lit, or not decided, at some time of the stretch; in the model's order."""
    left_m = left_of_centre_m(model)
    in_rows = rows(model, left_m)
    tracks = {track.name: track for track in replayed.tracks if track.kind == "head"}
    found = []
    for head in model.heads:
        track = tracks.get(head.id)
        if track is None:
            continue
        fitted = _Fitted(head.id, left_m[head.id], in_rows)
        lit: list[Lit] = []
        undecided = []
        for begins, ends, state in spans_of(track, from_ms=from_ms, until_ms=until_ms):
            assert isinstance(state, HeadState)
            if state.ambiguous:
                undecided.append((begins, ends))
            for part in state.parts:
                if part.colour in head.colours:
                    lit.append(_lit(part, fitted, replayed, begins=begins, ends=ends))
        if lit or undecided:
            found.append(LitHead(head.id, tuple(lit), tuple(undecided)))
    return tuple(found)


def spans_of(track: Track, *, from_ms: int, until_ms: int) -> Iterator[tuple[int, int, object]]:
    """What a track is from when to when, within a stretch."""
    changes = [*track.changes, Change(until_ms, None)]
    for one, following in pairwise(changes):
        begins, ends = max(one.at_ms, from_ms), min(following.at_ms, until_ms)
        if begins < ends:
            yield begins, ends, one.value


def _lit(part: ColourPart, fitted: _Fitted, replayed: Replayed, *, begins: int, ends: int) -> Lit:
    show = part.show
    if show.manner == "steady":
        return Lit(part.colour, begins, ends, part.share, True, part.owner)
    if show.manner == "follow":
        pulses = _followed(show.signal, replayed, begins, ends)
    else:
        wave = colour_wave(
            part, half_of(show, left_m=fitted.left_m), fitted.rows.get((show.path, fitted.head)), True, False
        )
        pulses = _pulses(wave, begins, ends)
    return Lit(part.colour, begins, ends, part.share, False, part.owner, pulses)


def _pulses(wave: Wave, begins: int, ends: int) -> tuple[tuple[int, int], ...]:
    edges, values = wave.steps(begins, ends)
    steps = zip(pairwise(edges.tolist()), values.tolist(), strict=True)
    return tuple((start, end) for (start, end), value in steps if value > 0)


def _followed(signal: str, replayed: Replayed, begins: int, ends: int) -> tuple[tuple[int, int], ...]:
    """Where the followed wire is high; of a hazard either wire; of a state where it isn't at its first value."""
    wires: Sequence[Track] = [track for track in replayed.wires if track.name == signal]
    if not wires and signal == "hazard":
        wires = replayed.wires[:1]
    if wires:
        found: list[tuple[int, int]] = []
        for start, end, level in spans_of(wires[0], from_ms=begins, until_ms=ends):
            if level == FLASHING:
                found += [(start + one, start + other) for one, other in _pulses(followed_wave(), 0, end - start)]
            elif level:
                found.append((start, end))
        return tuple(found)
    track = next((track for track in replayed.tracks if track.kind == "input" and track.name == signal), None)
    if track is None:
        return ()
    spans = spans_of(track, from_ms=begins, until_ms=ends)
    return tuple((start, end) for start, end, value in spans if value not in ("off", "closed", 0.0, None))
