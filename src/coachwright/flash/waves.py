"""What light and what current does each head make over time, in a situation?

The machine says who shows what (control.situations.judged); here it becomes a wave per head and colour, in shares of
the part's full light, and a wave of current. Light and current both follow the share in proportion (a dimmed head is
pulsed far faster than eye and wire can follow); a part that says otherwise comes with its own curve later.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from hashlib import blake2b

from coachwright.build.model import Colour, Head, Model
from coachwright.control.situations import judged, machine_digest, settings_of, tried
from coachwright.control.sources import Setting
from coachwright.control.statement import ColourPart, Outputs
from coachwright.flash.pattern import Half, Row, followed_wave, pattern_wave
from coachwright.flash.sync import half_of, rows
from coachwright.kit.by_digest import by_digest
from coachwright.kit.wave import Wave, repeat_together, total
from coachwright.parts.schema import LampPart
from coachwright.place.poses import head_pose

MOST_KEPT = 4096
"""Waves and draws kept at once: small things, compared by what they are."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class LitPart:
    """One colour of one head over time.

    wave : share of the part's full light, 0..1, limits included.
    steady : burns without flashing. follows : copies a wire.
    """

    colour: Colour
    wave: Wave
    steady: bool
    follows: bool
    owner: str
    rank: str
    path: str


@dataclass(frozen=True, slots=True, weakref_slot=True)
class HeadWave:
    """One head in one situation. current : drawn by it, standby left out. [A]"""

    head: str
    sync_group: str
    parts: tuple[LitPart, ...]
    current_a: Wave

    def light(self) -> Wave:
        """Share of light of all its colours added: what makes a flash to the eye."""
        return total(part.wave for part in self.parts)


@lru_cache(maxsize=MOST_KEPT)
def colour_wave(part: ColourPart, half: Half, row: Row | None, followed_is_on: bool, wire_flashes: bool) -> Wave:
    """One colour of one head: shares of full light over its cycle."""
    show = part.show
    if show.manner == "steady":
        return Wave.constant(part.share)
    if show.manner == "follow":
        if wire_flashes:
            return followed_wave().scale(part.share)
        return Wave.constant(part.share if followed_is_on else 0.0)
    assert show.pattern is not None  # the file door gives every pattern show its pattern
    return pattern_wave(show.pattern, half=half, row=row).scale(part.share)


@lru_cache(maxsize=MOST_KEPT)
def draw_of(parts: tuple[LitPart, ...], currents_a: tuple[tuple[str, float], ...]) -> Wave:
    """Current of a head: each colour's full current times its share, added. [A]"""
    full = dict(currents_a)
    drawn = [part.wave.scale(full[part.colour]) for part in parts]
    if repeat_together(*drawn):
        return total(drawn)
    return Wave.constant(math.fsum(wave.peak() for wave in drawn))  # sooner or later their peaks meet


@dataclass(frozen=True, slots=True)
class Fitted:
    """A model by what its flashing rests on: the machine, where heads stand across the vehicle, clocks and currents.

    A lamp that only looks another way leaves the digest as it was.
    """

    model: Model
    digest: str


@by_digest
def fitted(model: Model) -> Fitted:
    """The model as flashing knows it; without a digest where the model has none."""
    if not model.digest:
        return Fitted(model, "")
    left_m = left_of_centre_m(model)
    stand = [
        (head.id, head.path, head.sync_group, head.clock_tolerance_share, left_m[head.id], currents_of(model, head))
        for head in model.heads
    ]
    said = repr((machine_digest(model), stand))
    return Fitted(model, blake2b(said.encode(), digest_size=16).hexdigest())


def waves(model: Model, *, situation: str) -> tuple[HeadWave, ...]:
    """Every head of the vehicle in `situation`, in the model's order."""
    return _waves(fitted(model), situation)


def waves_tried(model: Model, *, situation: str, changes: Mapping[str, Setting]) -> tuple[HeadWave, ...]:
    """The same once these settings have changed in one step."""
    return _waves_tried(fitted(model), situation, tuple(sorted(changes.items())))


@by_digest
def _waves(known: Fitted, situation: str) -> tuple[HeadWave, ...]:
    return _of(known.model, judged(known.model, situation), dict(settings_of(known.model, situation)))


@by_digest
def _waves_tried(known: Fitted, situation: str, changes: tuple[tuple[str, Setting], ...]) -> tuple[HeadWave, ...]:
    settings = {**dict(settings_of(known.model, situation)), **dict(changes)}
    return _of(known.model, tried(known.model, situation, dict(changes)), settings)


def _of(model: Model, outputs: Outputs, settings: Mapping[str, Setting]) -> tuple[HeadWave, ...]:
    left_m = left_of_centre_m(model)
    in_rows = rows(model, left_m)
    ranks = {function.name: function.rank for function in model.functions}
    flashing = {item.name for item in model.inputs if item.kind in ("turn-wire", "hazard")}
    result = []
    for head, state in zip(model.heads, outputs.heads, strict=True):
        parts = tuple(
            _lit(part, head, left_m[head.id], in_rows, ranks, on=_is_on(settings.get(part.show.signal)), wires=flashing)
            for part in state.parts
            if part.colour in head.colours  # a colour the part lacks gives no light and draws nothing (CTL-015 tells)
        )
        result.append(HeadWave(head.id, head.sync_group, parts, draw_of(parts, currents_of(model, head))))
    return tuple(result)


def _lit(
    part: ColourPart,
    head: Head,
    left_m: float,
    in_rows: dict[tuple[str, str], Row],
    ranks: dict[str, str],
    *,
    on: bool,
    wires: set[str],
) -> LitPart:
    show = part.show
    wave = colour_wave(part, half_of(show, left_m=left_m), in_rows.get((show.path, head.id)), on, show.signal in wires)
    return LitPart(
        part.colour,
        wave,
        show.manner == "steady",
        show.manner == "follow",
        part.owner,
        ranks.get(part.owner, ""),
        show.path,
    )


def _is_on(value: str | float | None) -> bool:
    return value not in (None, "off", "closed", 0.0)


@by_digest
def left_of_centre_m(model: Model) -> dict[str, float]:
    """How far left of the centre line each head stands, negative to the right. [m]"""
    return {head.id: head_pose(head, model.body, model.part(head.part)).position_m[1] for head in model.heads}


def currents_of(model: Model, head: Head) -> tuple[tuple[str, float], ...]:
    """Full current of each colour of a head. [A]"""
    part = model.part(head.part)
    if isinstance(part, LampPart):
        return tuple((name, output.current) for name, output in part.heads[head.head_index].colours.items())
    lamp = model.body.lamps[head.lamp]
    return tuple((name, output.current) for name, output in lamp.heads[head.head_index].colours.items())
