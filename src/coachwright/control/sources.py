"""Which sources stand how, said by name: what a story, a situation or a question sets, and what a fault does to it.

    stand(machine, {"slide": "full", "ring": "pressed", "gear": "D", "speed": 20.0, "turn-left": "on"})

Two ways of naming a toggle: ``pressed`` and ``released`` are its finger, ``on`` and ``off`` its kept value, which
only a start can set (`start_values`); in the middle of a story `change` presses it when its kept value isn't the one
asked for. A turn wire is ``low``, ``high`` or ``flashing``; ``on`` means flashing. ``hazard: on`` means that both
wires flash, whatever the turns say; ``hazard: off`` stops them when both do. ``lost`` silences any source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwright.build.model import Input
from coachwright.control.signals import Inputs, Sources, Value, kept_at_start, place_of
from coachwright.control.turns import FLASHING
from coachwright.kit.near import nearest

Setting = str | float
"""A value as conditions see it, or one of the words above."""

LOST = "lost"
_FINGER = {"released": 0, "pressed": 1, "off": 0, "on": 1}
_WIRE = {"low": 0, "high": 1, "flashing": FLASHING, "off": 0, "on": FLASHING}


class SettingNotKnownError(ValueError):
    """A name or a value that doesn't exist in this build; the text says what could be written."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One source that doesn't tell the truth: stuck at a value, or lost.

    stuck_at : a value of the input; ``pressed`` or ``released`` of a toggle, ``low`` or ``high`` of a turn wire; or
        ``lost``.
    """

    input: str
    stuck_at: Setting


def source_level(item: Input, setting: Setting) -> Value:
    """What stands at the source when `item` is set so.

    Raises
    ------
    SettingNotKnownError : when it can't be set so.
    """
    words: Mapping[str, int] = {}
    if item.kind in ("toggle", "button"):
        words = _FINGER
    elif item.kind == "turn-wire":
        words = _WIRE
    if isinstance(setting, str) and setting in words:
        return words[setting]
    try:
        return place_of(item, setting)
    except ValueError:
        raise SettingNotKnownError(_no_such_value(item, setting, tuple(words))) from None


def kept_value(item: Input, setting: Setting) -> int | None:
    """The kept value that a setting names; None when it names none (numbers, signals, fingers, ``lost``)."""
    if item.kind in ("toggle", "pick-one") and isinstance(setting, str) and setting in item.values:
        return item.values.index(setting)
    return None


def start_values(
    inputs: tuple[Input, ...], sources: Sources, settings: Mapping[str, Setting], *, asleep: bool = False
) -> tuple[Inputs, tuple[int, ...]]:
    """Sources and kept values with which a machine is powered up; inputs that aren't named are at rest.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist.
    """
    kept = list(kept_at_start(sources))
    rested = Inputs(tuple(0 if source.kind == "toggle" else source.rest for source in sources.all), asleep=asleep)
    for place, item in enumerate(inputs):
        if sources.all[place].keeps:
            value = kept_value(item, settings.get(item.name, item.rest))
            kept[place] = kept[place] if value is None else value
    fingers_off = {
        name: setting
        for name, setting in settings.items()
        if not (_named(inputs, name).kind == "toggle" and setting in ("off", "on"))
    }
    return stand(inputs, rested, fingers_off), tuple(kept)


def stand(inputs: tuple[Input, ...], base: Inputs, settings: Mapping[str, Setting]) -> Inputs:
    """`base` with these sources standing otherwise. Naming a lost source brings it back.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist, or the kept value of a toggle.
    """
    values, lost = list(base.values), set(base.lost)
    places = {item.name: place for place, item in enumerate(inputs)}
    wires = [place for place, item in enumerate(inputs) if item.kind == "turn-wire"]
    ordered = sorted(settings, key=lambda name: name in places and inputs[places[name]].kind == "turn-wire")
    for name in ordered:
        item, setting = _named(inputs, name), settings[name]
        place = places[name]
        if setting == LOST:
            lost.add(place)
            continue
        lost.discard(place)
        if item.kind == "toggle" and setting in ("off", "on"):
            raise SettingNotKnownError(f"{name} keeps its value; press it (write {name}=pressed).")
        level = source_level(item, setting)
        if item.kind != "hazard" or len(wires) != 2:
            values[place] = level
        elif not level and all(values[wire] == FLASHING for wire in wires):
            values[wires[0]] = values[wires[1]] = 0
    if len(wires) == 2 and any(inputs[places[name]].kind == "hazard" and settings[name] == "on" for name in ordered):
        values[wires[0]] = values[wires[1]] = FLASHING
    return Inputs(tuple(values), frozenset(lost), base.asleep)


def change(inputs: tuple[Input, ...], base: Inputs, kept: tuple[int, ...], settings: Mapping[str, Setting]) -> Inputs:
    """Like `stand`; ``on`` and ``off`` of a toggle press it where it keeps the other one, and other fingers let go.

    Raises
    ------
    SettingNotKnownError : as `stand`; also when a toggle to be pressed is still pressed (`let_go` first).
    """
    wanted: dict[str, Setting] = dict(settings)
    for place, item in enumerate(inputs):
        if item.kind != "toggle":
            continue
        value = kept_value(item, settings.get(item.name, ""))
        flips = value is not None and kept[place] != value
        if flips and base.values[place]:
            raise SettingNotKnownError(f"{item.name} is still pressed; let it go before it is pressed again.")
        if flips or value is not None or item.name not in settings:
            silent = place in base.lost and item.name not in settings
            wanted[item.name] = LOST if silent else "pressed" if flips else "released"
    return stand(inputs, base, wanted)


def let_go(inputs: tuple[Input, ...], base: Inputs) -> Inputs:
    """`base` with no finger on a toggle."""
    values = tuple(0 if item.kind == "toggle" else base.values[place] for place, item in enumerate(inputs))
    return Inputs(values, base.lost, base.asleep)


def faulted(inputs: tuple[Input, ...], true: Inputs, faults: Iterable[Fault]) -> Inputs:
    """What the controller gets instead of the `true` inputs.

    Raises
    ------
    SettingNotKnownError : for a name or a value that doesn't exist.
    """
    stuck = {fault.input: fault.stuck_at for fault in faults}
    return stand(inputs, true, stuck) if stuck else true


def _named(inputs: tuple[Input, ...], name: str) -> Input:
    for item in inputs:
        if item.name == name:
            return item
    raise SettingNotKnownError(f"No control or signal is named {name}.{closest(name, [each.name for each in inputs])}")


def _no_such_value(item: Input, setting: Setting, words: tuple[str, ...]) -> str:
    if not item.values:
        return f"{item.name} is a number."
    could = list(dict.fromkeys((*item.values, *words, LOST)))
    return f"{item.name} is never {setting}. It has {', '.join(could)}.{closest(str(setting), could)}"


def closest(word: str, known: Iterable[str]) -> str:
    """A sentence with the nearest known word, a space before it; "" when all are too far."""
    near = nearest(word, known)
    return f" Closest: {near[0]}." if near else ""
