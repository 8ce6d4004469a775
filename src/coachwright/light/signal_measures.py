"""Are brake and turn still read from behind, with the warning flashing round them?

The warning is on, the brake is pressed, or the turn signal on: what each signal lamp sends a driver behind, against all
the warning that flashes at nearly the same spot of his view.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwright.build.model import Head, Model
from coachwright.control.situations import settings_of
from coachwright.control.sources import Setting
from coachwright.control.tries import ROAD, drives, has
from coachwright.flash.measures import WARNING_RANKS
from coachwright.flash.pattern import followed_wave
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Vector, angle_between, unit
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.wave import Wave
from coachwright.light.coverage import brightest_cd, gathered, merged
from coachwright.light.lit import Glow, glows_tried, standing, voltages
from coachwright.light.seen import Source, candela_at
from coachwright.place.panels import open_panels
from coachwright.place.required import required_lamps, use_of

SIGNALS: Mapping[str, Mapping[str, Setting]] = {
    "stop": {"brake": "on"},
    "turn-left": {"turn-left": "on"},
    "turn-right": {"turn-right": "on"},
}
"""What a driver behind has to read, and what the driver of our vehicle does."""


@dataclass(frozen=True, slots=True)
class _Sign:
    """A lamp that gives the signal, as the driver behind sees it. peak_cd : at its brightest. [cd]"""

    head: Head
    position_m: Vector
    peak_cd: float


@measures("light.signal-share", kind="share", of="word", behind="length", eye="length", within="angle")
def signal_share(
    model: Model,
    *,
    situation: str,
    of: Literal["each-lamp", "clearest"] = "each-lamp",
    behind: float = 30.0,
    eye: float = 1.08,
    within: float = math.radians(1.0),
) -> tuple[Measure, ...]:
    """Of the light at the spot of a brake or turn lamp, how much is the signal's while the warning flashes round it?

    of : the worst head of each lamp that gives the signal, ours and the vehicle's own; or the signal's clearest head.
    behind, eye : where the driver behind has his eyes, from our rear end and above the ground. [m] within : warning
    that flashes no farther from the lamp than that, in his view, counts as the same spot. [rad]

    Asked of a vehicle that moves with its warning on. The signal counts at its brightest, and so does the warning, at
    the brightest instant of all those heads together. Whole: nothing flashes there.
    """
    speed = dict(settings_of(model, situation)).get("speed")
    if not isinstance(speed, float | int) or speed <= 0:
        return ()
    eyes_m = (model.body.front_overhang - model.body.length - behind, 0.0, eye)
    answers: list[Measure] = []
    for signal, does in SIGNALS.items():
        seen = _seen(model, situation, signal, eyes_m, within) if has(model, *does) else ()
        if of == "clearest" and seen:
            clearest = max(seen, key=lambda each: (each.share, each.sign.head.id))
            answers.append(_answer(model, situation, signal, clearest, about=model.situation(situation).path))
        elif seen:
            worst = {path: _worst(seen, path) for path in dict.fromkeys(each.sign.head.path for each in seen)}
            answers += [_answer(model, situation, signal, each, about=path) for path, each in worst.items()]
    return tuple(answers)


@dataclass(frozen=True, slots=True)
class _Seen:
    """A signal lamp beside the warning. most : the head that flashes most at its spot, if any does."""

    sign: _Sign
    share: float
    most: Glow | None


@by_digest
def _seen(model: Model, situation: str, signal: str, eyes_m: Vector, within_rad: float) -> tuple[_Seen, ...]:
    """Every lamp that gives the signal; none where no warning flashes at all."""
    burning = _burning(model, situation, signal)
    around = [
        glow
        for glow in burning
        if glow.part.rank in WARNING_RANKS and not glow.part.wave.is_constant and _toward_cd(glow, eyes_m) > 0.0
    ]
    found = []
    for sign in _signs(model, situation, signal, burning, eyes_m) if around else ():
        near = [glow for glow in around if _apart_rad(eyes_m, sign.position_m, glow.position_m) <= within_rad]
        share = sign.peak_cd / (sign.peak_cd + _brightest_cd(near, eyes_m))
        found.append(_Seen(sign, share, max(near, key=lambda glow: _toward_cd(glow, eyes_m), default=None)))
    return tuple(found)


def _worst(seen: tuple[_Seen, ...], path: str) -> _Seen:
    return min((each for each in seen if each.sign.head.path == path), key=lambda each: (each.share, each.sign.head.id))


def _answer(model: Model, situation: str, signal: str, seen: _Seen, *, about: str) -> Measure:
    head, most = seen.sign.head, seen.most
    beside = f", {most.head.id} flashes beside it" if most is not None else ""
    return Measure(
        "light.signal-share",
        seen.share,
        "share",
        about=about,
        blame=(*((f"{most.head.path}.at", most.part.path) if most is not None else ()), about),
        where=f"{head.id} as {signal.replace('-', ' ')}{beside}",
        situation=situation,
        facts=facts(
            signal=signal.split("-", maxsplit=1)[0],
            lamp=head.lamp,
            head=head.id,
            other=most.head.id if most is not None else "",
            reach=head.reach,
            test_voltage=voltages([] if most is None else [most]),
        ),
    )


@by_digest
def _burning(model: Model, situation: str, signal: str) -> tuple[Glow, ...]:
    """Everything of ours that burns in the situation while the driver gives the signal under way."""
    return glows_tried(model, situation, drives(model) | dict(SIGNALS[signal]))


def _signs(model: Model, situation: str, signal: str, burning: tuple[Glow, ...], eyes_m: Vector) -> list[_Sign]:
    """Lamps that show the signal to the driver behind: heads of rank road, and the vehicle's own."""
    found = [
        _Sign(glow.head, glow.position_m, _toward_cd(glow, eyes_m))
        for glow in burning
        if glow.part.rank == ROAD and glow.part.wave.is_constant == (signal == "stop") and glow.part.colour != "white"
    ]
    use, side = signal.partition("-")[0], signal.partition("-")[2]
    own = {head.id for head in (sign.head for sign in found)}
    wave = Wave.constant(1.0) if use == "stop" else followed_wave()
    panels = open_panels(model.body, settings_of(model, situation))
    for head, stand in zip(model.heads, standing(model, panels), strict=True):
        is_sign = head.lamp in required_lamps(model.body) and use_of(head.lamp) == use
        if head.reach == "own" or not is_sign or head.id in own or (side and head.side not in (side, "")):
            continue
        for emitter in stand.emitters.values():
            peak_cd = wave.peak() * candela_at(Source(emitter, stand.view), eyes_m)
            found.append(_Sign(head, stand.view.position_m, peak_cd))
    return [sign for sign in found if sign.peak_cd > 0.0]


def _brightest_cd(chosen: list[Glow], eyes_m: Vector) -> float:
    if not chosen:
        return 0.0
    together = merged([glow.part.wave for glow in chosen], [glow.head.sync_group for glow in chosen])
    full = np.array([[candela_at(glow.source, eyes_m)] for glow in chosen])
    return float(brightest_cd(together, gathered(together, full))[0])


def _toward_cd(glow: Glow, eyes_m: Vector) -> float:
    return glow.part.wave.peak() * candela_at(glow.source, eyes_m)


def _apart_rad(eyes_m: Vector, one_m: Vector, other_m: Vector) -> float:
    return angle_between(_direction(eyes_m, one_m), _direction(eyes_m, other_m))


def _direction(from_m: Vector, to_m: Vector) -> Vector:
    return unit((to_m[0] - from_m[0], to_m[1] - from_m[1], to_m[2] - from_m[2]))
