"""What can conditions read: controls, the vehicle's signals, and signals that something of ours brings?"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from coachwright.build.condition_scope import ON_OFF
from coachwright.build.model import Input
from coachwright.build.places import check_fitted, places_of_ours
from coachwright.build.sections.controls import Control
from coachwright.build.sections.signals import Signal
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.fields import NAME
from coachwright.kit.nodes import PathPieces
from coachwright.kit.units import UnitError, parse
from coachwright.parts.schema import BodyPart
from coachwright.parts.schema import Signal as BodySignal

PARKS = "P-unless-moving"
PAIRS = (("closed", "open"), ("absent", "present"))
"""Values of a signal that is compared with one of them; any other is off or on."""

_LEVERS = ("slide", "pick-one")


def inputs_of(written: WrittenBuild, body: BodyPart, text: str, told: list[Trouble]) -> tuple[Input, ...]:
    """Every input: controls in the order of the file, then signals in the order of the body, then those we bring.

    text : of the whole build, for what a brought signal is compared with.
    """
    ours = places_of_ours(written)
    controls: list[Input] = []
    taken: dict[str, str] = {}
    for name, control in written.items("controls").items():
        check_fitted(control.at, body.places, ("controls", name, "at"), told, ours=ours)
        source = _source(name, control, body, taken, told)
        controls.append(_control(name, control, source, told))
    signals = {
        name: _body_signal(name, signal)
        for name, signal in body.signals.items()
        if name not in taken and name not in written.items("controls")
    }
    for name, over in written.items("signals").items():
        path = ("signals", name)
        if name in signals:
            if over.from_ is not None:
                _check_bringer(over.from_, written, (*path, "from"), told)
            signals[name] = _overridden(signals[name], over, path, told)
        elif name in taken:
            why = f"{name} is read as the control {taken[name]}."
            write = f"Say it at controls.{taken[name]}, and leave it away here."
            told.append(Trouble(path, "BLD-058", "signal-not-known", why, write, name, on_key=True))
        elif over.from_ is None:
            told.append(
                not_known(
                    path, "signal of this vehicle", name, signals, code="BLD-058", name="signal-not-known", on_key=True
                )
            )
            written.lost.add("signals", name)
        else:
            _check_bringer(over.from_, written, (*path, "from"), told)
            signals[name] = _brought(name, over, text, told)
    return (*controls, *signals.values())


def _check_bringer(source: str, written: WrittenBuild, path: PathPieces, told: list[Trouble]) -> None:
    """A signal that comes from a thing of ours names one that is there."""
    owner, dot, name = source.partition(".")
    if not dot or not NAME.fullmatch(owner):
        return  # in words
    lost = written.lost
    if owner in ("cargo", "trailer"):
        names = {*written.items(owner), *lost.of(owner)}
        if name not in names and not lost.any_of(owner):
            at = (len(owner) + 1, len(source))
            told.append(not_known(path, owner, name, names, code="BLD-058", name="signal-not-known", span=at))
        return
    known = {*written.items("equipment"), *lost.of("equipment"), "cargo", "trailer", "vehicle"}
    if owner not in known and not lost.any_of("equipment"):
        told.append(
            not_known(path, "equipment", owner, known, code="BLD-062", name="equipment-not-known", span=(0, len(owner)))
        )


def _source(name: str, control: Control, body: BodyPart, taken: dict[str, str], told: list[Trouble]) -> str:
    """Words for where a control is read from; a vehicle signal it is read from is `taken`."""
    if control.from_ is None:
        return ""
    path = ("controls", name, "from")
    owner, _, signal = control.from_.partition(".")
    if owner != "vehicle":
        return control.from_
    if signal not in body.signals:
        at = (len(owner) + 1, len(control.from_))
        told.append(
            not_known(
                path, "signal of this vehicle", signal, body.signals, code="BLD-058", name="signal-not-known", span=at
            )
        )
        return ""
    if body.signals[signal].kind != "on-off":
        why = f"{signal} isn't simply off or on, so no {control.kind} can be read from it."
        told.append(Trouble(path, "BLD-073", "source-not-possible", why, f"Read {signal} itself.", control.from_))
        return ""
    if signal != name:
        taken[signal] = name
    return body.signals[signal].source


def _control(name: str, item: Control, source: str, told: list[Trouble]) -> Input:
    path = ("controls", name)
    by_lever = item.kind in _LEVERS
    values = item.positions if by_lever else ON_OFF
    if by_lever and len(values) < 2:
        why = f"A {item.kind} needs its positions, at least two."
        write = 'Write them in their order, like positions: ["off", low, full].'
        told.append(Trouble(path, "BLD-074", "positions-not-possible", why, write, on_key=True))
        values = values or ON_OFF
    elif not by_lever and item.positions:
        why = f"A {item.kind} is off or on and has no positions."
        told.append(
            Trouble(
                (*path, "positions"),
                "BLD-074",
                "positions-not-possible",
                why,
                "Make it a pick-one, or leave them away.",
            )
        )
    start = _start(item, values, path, told)
    lost = item.lost or ("hold" if by_lever else "off")
    _check_value(lost, (*values, "hold"), (*path, "lost"), told, of=name)
    follows = item.tell_tale in (None, "follows", "picture")
    return Input(
        name=name,
        kind=item.kind,
        values=values,
        number_kind="",
        start=start,
        asleep=item.asleep,
        lost=lost,
        rest=start if item.kind in ("toggle", "pick-one") else values[0],
        hand=item.by,
        path=".".join(path),
        tell_tale=(item.tell_tale or "") if follows else str(item.tell_tale),
        source=source,
        at=item.at,
    )


def _start(item: Control, values: tuple[str, ...], path: PathPieces, told: list[Trouble]) -> str:
    if item.start is None:
        return values[0]
    if item.kind == "slide":
        why = "A slide is read from its lever, at power-up too."
        told.append(Trouble((*path, "start"), "BLD-075", "start-not-possible", why, "Leave start away.", item.start))
        return values[0]
    if item.kind == "button" and item.start != "off":
        why = "A button is off until it is pressed."
        told.append(Trouble((*path, "start"), "BLD-075", "start-not-possible", why, "Leave start away.", item.start))
        return values[0]
    _check_value(item.start, (*values, "last"), (*path, "start"), told, of=path[-1])
    return item.start


def _check_value(value: str, known: tuple[str, ...], path: PathPieces, told: list[Trouble], *, of: str) -> None:
    if value not in known:
        why = f"{of} never has the value {value[:60]}."
        told.append(Trouble(path, "BLD-032", "value-not-known", why, f"Write one of {listed(known)}.", value[:80]))


@lru_cache(maxsize=2048)
def _quantity(text: str, kind: str) -> float:
    return parse(text, kind)


def _body_signal(name: str, signal: BodySignal) -> Input:
    is_number = signal.kind == "number"
    values = signal.values if signal.kind == "states" else () if is_number else ON_OFF

    def value_of(text: str) -> str | float:
        return _quantity(text, signal.unit_kind) if is_number and text != "hold" else text

    return Input(
        name=name,
        kind=signal.kind,
        values=values,
        number_kind=signal.unit_kind if is_number else "",
        start=value_of(signal.rest),
        asleep="as-is",
        lost=value_of(signal.lost),
        rest=value_of(signal.rest),
        hand=signal.by,
        path=f"signals.{name}",
        edge_hold_ms=_ms(signal.edge_hold),
        debounce_ms=_ms(signal.debounce),
        recognition_ms=_ms(signal.recognition),
        together_ms=_ms(signal.together),
        source=signal.source,
        low=_quantity(signal.low, signal.unit_kind) if is_number and signal.low else 0.0,
        high=_quantity(signal.high, signal.unit_kind) if is_number and signal.high else 0.0,
    )


def _overridden(signal: Input, over: Signal, path: PathPieces, told: list[Trouble]) -> Input:
    flashes = signal.kind in ("turn-wire", "hazard")
    if over.values is not None and over.values != signal.values:
        why = f"The vehicle says what {signal.name} can be: {listed(signal.values) or 'a number'}."
        told.append(Trouble((*path, "values"), "BLD-076", "values-not-ours", why, "Leave values away."))
    for given, word in ((over.edge_hold, "edge-hold"), (over.together, "together")):
        if given is not None and not flashes:
            why = f"{signal.name} isn't a flashing wire."
            told.append(Trouble((*path, word), "BLD-077", "not-a-flashing-wire", why, f"Leave {word} away."))
    lost = signal.lost if over.lost is None else _lost(signal, over.lost, (*path, "lost"), told)
    return replace(
        signal,
        lost=lost,
        edge_hold_ms=signal.edge_hold_ms if over.edge_hold is None else _ms(over.edge_hold),
        together_ms=signal.together_ms if over.together is None else _ms(over.together),
        debounce_ms=signal.debounce_ms if over.debounce is None else _ms(over.debounce),
        recognition_ms=signal.recognition_ms if over.recognition is None else _ms(over.recognition),
        source=f"{signal.source}; {over.from_}" if over.from_ else signal.source,
    )


def _lost(signal: Input, value: str, path: PathPieces, told: list[Trouble]) -> str | float:
    if value == "hold":
        return value
    if value == PARKS:
        if "P" not in signal.values:
            why = f"{PARKS} is for a signal that can be P."
            told.append(
                Trouble(path, "BLD-032", "value-not-known", why, f"Write one of {listed((*signal.values, 'hold'))}.")
            )
        return value
    if not signal.values:
        return number_of(signal, value, path, told)
    _check_value(value, (*signal.values, "hold"), path, told, of=signal.name)
    return value


def number_of(signal: Input, text: str, path: PathPieces, told: list[Trouble]) -> float:
    """A number for this signal, within what it can be. [SI]"""
    kind = signal.number_kind
    try:
        value = parse(text, kind)
    except UnitError as error:
        code, name = (
            ("BLD-004", f"{kind}-without-unit") if error.reason == "no-unit" else ("BLD-006", f"{kind}-not-read")
        )
        told.append(Trouble(path, code, name, str(error), error.write, text[:80], error.near))
        return signal.low
    if signal.high > signal.low and not signal.low - 1e-9 <= value <= signal.high + 1e-9:
        why = f"On this vehicle {signal.name} never reaches {text}."
        told.append(
            Trouble(path, "BLD-078", "number-out-of-range", why, "Write a number the vehicle can have.", text[:80])
        )
    return value


def _brought(name: str, item: Signal, text: str, told: list[Trouble]) -> Input:
    path = ("signals", name)
    values = item.values or _compared_with(name, item.lost, text)
    lost = item.lost or "hold"
    _check_value(lost, (*values, "hold"), (*path, "lost"), told, of=name)
    for given, word in ((item.edge_hold, "edge-hold"), (item.together, "together")):
        if given is not None:
            why = f"{name} isn't a flashing wire."
            told.append(Trouble((*path, word), "BLD-077", "not-a-flashing-wire", why, f"Leave {word} away."))
    return Input(
        name=name,
        kind="on-off" if values == ON_OFF else "states",
        values=values,
        number_kind="",
        start=values[0],
        asleep="as-is",
        lost=lost,
        rest=values[0],
        hand="vehicle",
        path=".".join(path),
        debounce_ms=_ms(item.debounce or 0.0),
        recognition_ms=_ms(item.recognition or 0.0),
        source=item.from_ or "",
    )


def _compared_with(name: str, lost: str | None, text: str) -> tuple[str, ...]:
    """Values of a brought signal that doesn't say them: the pair it is compared with, or has when lost."""
    found = re.findall(rf"(?<![a-z0-9.-]){re.escape(name)}(?: *(?:[=!]=|in) *\(? *|: *)\"?([a-z]+)", text)
    for pair in PAIRS:
        if lost in pair or not set(pair).isdisjoint(found):
            return pair
    return ON_OFF


def _ms(time_s: float) -> int:
    return round(1000 * time_s)


def by_name(inputs: tuple[Input, ...]) -> Mapping[str, Input]:
    """Inputs by their name."""
    return {item.name: item for item in inputs}
