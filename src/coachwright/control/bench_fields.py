"""What is measured on the bench beside what is seen: volts, amperes, candela from lux, decibels; and how it is judged.

Each field names its instrument and what the instrument may be off by. A limit is drawn in by a guard band of that
tolerance before a reading is held against it, so that a reading that passes does so whatever the instrument hides.

References
----------
.. [1] IES, definition 9.1.1, "inverse-square law": E = I / d^2; within 1 % from five times the source's largest
       dimension on. ies.org/definitions/inverse-square-law.
.. [2] ILAC-G8:09/2019, "Guidelines on decision rules and statements of conformity", 4.1: guard band, acceptance limit.
.. [3] Energy subtraction of a background level, as ISO 10140-4 and ISO 1996-1 use it (second-hand).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.model import Head, Model

FAR_TIMES = 5.0
"""Distance in largest dimensions of the source from which it counts as a point, within 1 %. [1]"""

Ends = Literal["pass", "not sure", "fail"]
Kind = Literal["supply", "current", "drop", "alarm", "reserve", "alternator", "parked", "light", "sound"]


@dataclass(frozen=True, slots=True)
class Instrument:
    """What is measured with. tolerance_share, tolerance_abs : of the reading, and on top, in the unit of the field.

    The figures are those of ordinary instruments of a shop (common practice); the instrument's own sheet decides.
    """

    name: str
    unit: str
    tolerance_share: float
    tolerance_abs: float = 0.0

    def off_by(self, reading: float) -> float:
        """By how much a reading may be off, in the field's unit."""
        return abs(reading) * self.tolerance_share + self.tolerance_abs

    @property
    def words(self) -> str:
        """Its tolerance in words."""
        parts = [f"{100 * self.tolerance_share:g} % of the reading"] if self.tolerance_share else []
        parts += [f"{self.tolerance_abs:g} {self.unit}"] if self.tolerance_abs else []
        return f"may be off by {' and '.join(parts)}"


VOLTMETER = Instrument("a voltmeter", "V", 0.005, 0.02)
FINE_VOLTMETER = Instrument("a voltmeter good to 0.1 %", "V", 0.001, 0.01)
LONG_LEAD = Instrument("a voltmeter with a long lead, way out and way back read and added", "V", 0.005, 0.04)
STOPWATCH = Instrument("a stopwatch", "s", 0.0, 1.0)
MILLIAMMETER = Instrument("a milliammeter or a shunt", "A", 0.01, 0.001)
CLAMP_METER = Instrument("a clamp meter for direct current", "A", 0.02, 0.1)
LUX_METER = Instrument("a luxmeter that follows the eye's curve, and a tape", "lx", 0.08, 0.02)
SOUND_METER = Instrument("a sound level meter, A-weighted", "dB", 0.0, 1.5)


@dataclass(frozen=True, slots=True)
class Expected:
    """What a field should read, worked out by a room above.

    value : expected, in the unit of the field (of a lamp: candela). least, most : limits of the true value; None where
    there is none. by : whose limits. how : what to see to, a line each. notes : what isn't counted.
    peak : of a current that flashes. situation, colour : in which it is measured, where the field's name doesn't say.
    draft : nobody has read the page that the limits are from, so a reading that holds them proves nothing.
    distance_m, reading_lx, dark_most_lx : of a lamp: where the meter stands, what it adds to the background there,
    and how much background may be.
    """

    value: float | None = None
    least: float | None = None
    most: float | None = None
    by: str = ""
    how: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    distance_m: float = 0.0
    reading_lx: float = 0.0
    dark_most_lx: float = 0.0
    peak: float | None = None
    situation: str = ""
    colour: str = ""
    draft: bool = False


@dataclass(frozen=True, slots=True)
class Bands:
    """Readings that pass (from `pass_from` to `pass_to`) and that fail (below `fail_below`, above `fail_above`).

    In the unit of what is read. None : no such end. Between passing and failing nobody can be sure.
    """

    pass_from: float | None = None
    pass_to: float | None = None
    fail_below: float | None = None
    fail_above: float | None = None

    @property
    def empty(self) -> bool:
        """Does no reading pass, because the instrument is too coarse for these limits?"""
        return self.pass_from is not None and self.pass_to is not None and self.pass_from > self.pass_to


@dataclass(frozen=True, slots=True)
class Field:
    """One field on the sheet.

    name : short, for a file of readings: ``light grille.left``. kind : what is measured. open_why : where nothing is
    expected, why.
    """

    name: str
    kind: Kind
    what: str
    unit: str
    instrument: Instrument
    expected: Expected | None = None
    open_why: str = ""

    @property
    def bands(self) -> Bands:
        """Readings that pass and fail; of a lamp: lux above the background."""
        if self.expected is None:
            return Bands()
        if self.kind == "light":
            return lux_bands(self.expected, self.instrument)
        return bands(
            least=self.expected.least,
            most=self.expected.most,
            off_abs=self.instrument.tolerance_abs,
            off_share=self.instrument.tolerance_share,
        )


DISTANCE_OFF_M = 0.02
"""What a tape may hide. An assumption, printed."""


def bands(*, least: float | None, most: float | None, off_abs: float, off_share: float) -> Bands:
    """Where readings pass and fail, when a reading r may be off by off_abs + off_share r. [2]

    Pass where r - off(r) >= least and r + off(r) <= most; fail where r + off(r) < least or r - off(r) > most: the same
    as `accepted` says of each reading.
    """
    found = Bands()
    if least is not None:
        found = replace(
            found,
            pass_from=(least + off_abs) / (1 - off_share),
            fail_below=max(0.0, (least - off_abs) / (1 + off_share)),
        )
    if most is not None:
        found = replace(
            found,
            pass_to=max(0.0, (most - off_abs) / (1 + off_share)),
            fail_above=(most + off_abs) / (1 - off_share),
        )
    return found


def lux_bands(expected: Expected, meter: Instrument) -> Bands:
    """The same for a lamp, in lux above the background: both readings and the tape at their worst."""
    distance_m = expected.distance_m
    in_cd = bands(
        least=expected.least,
        most=expected.most,
        off_abs=2 * distance_m**2 * meter.off_by(expected.dark_most_lx),
        off_share=meter.tolerance_share + 2 * DISTANCE_OFF_M / distance_m,
    )
    ends = (in_cd.pass_from, in_cd.pass_to, in_cd.fail_below, in_cd.fail_above)
    return Bands(*(None if each is None else each / distance_m**2 for each in ends))


def candela(lit_lx: float, *, dark_lx: float, distance_m: float) -> float:
    """Intensity toward the meter, from the illuminance with the lamp lit and without. [cd]

    Parameters
    ----------
    lit_lx, dark_lx : reading with the lamp lit and dark, at the same spot; the meter faces the lamp. [lx]
    distance_m : from the lamp to the meter. [m]

    Notes
    -----
    I = (E_lit - E_dark) d^2. [1]  Never below 0: a background that brightened says nothing about the lamp.

    Raises
    ------
    ValueError : for a distance that isn't more than 0, or a reading below 0.
    """
    if not distance_m > 0 or lit_lx < 0 or dark_lx < 0:
        raise ValueError(f"{lit_lx:g} lx, {dark_lx:g} lx at {distance_m:g} m: nothing can be worked out of that")
    return max(0.0, lit_lx - dark_lx) * distance_m**2


def candela_off_by(
    lit_lx: float,
    *,
    dark_lx: float,
    distance_m: float,
    meter: Instrument = LUX_METER,
    distance_off_m: float = DISTANCE_OFF_M,
) -> float:
    """By how much the intensity may be off: both readings and the distance at their worst, added. [cd]

    A first-order sum of the parts: |dI| <= d^2 (u_lit + u_dark) + 2 d |E_lit - E_dark| u_d.
    """
    readings_lx = meter.off_by(lit_lx) + meter.off_by(dark_lx)
    return distance_m**2 * readings_lx + 2 * distance_m * abs(lit_lx - dark_lx) * distance_off_m


def least_distance_m(largest_dimension_m: float) -> float:
    """From where on a lamp counts as a point, within 1 %. [m] [1]"""
    return FAR_TIMES * largest_dimension_m


MOST_LEVEL_DB = 300.0
"""Beyond it there is no sound in air, and no number to work with."""


def level_alone_db(together_db: float, *, background_db: float) -> float:
    """Level of a source alone, from the level with it and without. [dB]

    L = 10 log10(10^(L_together / 10) - 10^(L_background / 10)). [3]

    Raises
    ------
    ValueError : when the background is not below what was measured with the source, or a level is none of this world.
    """
    if max(abs(together_db), abs(background_db)) > MOST_LEVEL_DB:
        raise ValueError(f"a level is between -{MOST_LEVEL_DB:g} and {MOST_LEVEL_DB:g} dB")
    if not together_db > background_db:
        raise ValueError(f"{together_db:g} dB with the source and {background_db:g} dB without: the source isn't heard")
    return 10.0 * math.log10(10 ** (together_db / 10) - 10 ** (background_db / 10))


def accepted(reading: float, *, off_by: float, least: float | None = None, most: float | None = None) -> Ends:
    """Does a reading hold the limits, with a guard band as wide as it may be off? [2]

    ``pass``: inside of both acceptance limits. ``fail``: outside of a limit by more than it may be off. Between them
    ``not sure``: measure better, or ask who has to accept it.
    """
    inside = (least is None or reading >= least + off_by) and (most is None or reading <= most - off_by)
    if inside:
        return "pass"
    outside = (least is not None and reading < least - off_by) or (most is not None and reading > most + off_by)
    return "fail" if outside else "not sure"


def fields_of(model: Model, expected: Mapping[str, Expected] | None = None) -> tuple[Field, ...]:
    """The fields of a build's sheet. expected : per name of a field, what a room above worked out."""
    known = expected or {}
    return tuple(replace(field, expected=known.get(field.name)) for field in _fields(model, known))


def lamps_of(model: Model) -> dict[str, tuple[Head, ...]]:
    """Every lamp of the fit with its heads, each of a pair by itself: ``grille.left``."""
    found: dict[str, list[Head]] = {}
    for head in model.heads:
        if head.reach == "own":
            found.setdefault(f"{head.lamp}.{head.side}" if head.side else head.lamp, []).append(head)
    return {name: tuple(heads) for name, heads in found.items()}


def _fields(model: Model, known: Mapping[str, Expected]) -> Iterable[Field]:
    yield from _in_situations(model)
    for lamp in lamps_of(model):
        yield _volts(f"drop {lamp}", "drop", lamp, "no wire to it is known, or it burns nowhere", LONG_LEAD)
    yield from _acceptance(known)
    yield from _light_and_sound(model)


def _volts(name: str, kind: Kind, what: str, open_why: str, instrument: Instrument = VOLTMETER) -> Field:
    return Field(name, kind, what, instrument.unit, instrument, open_why=open_why)


def _acceptance(known: Mapping[str, Expected]) -> Iterable[Field]:
    """Tests of the supply as a whole. How many alarms a build has is known above."""
    alarms = [name for name in known if name.startswith("alarm ")]
    for name in alarms:
        meter = STOPWATCH if name.endswith(" delay") else FINE_VOLTMETER
        yield _volts(name, "alarm", name.partition(" ")[2], "", meter)
    if not alarms:
        yield _volts("alarm", "alarm", "low-voltage alarm", "no message of the build tells of a low supply")
    no_battery = "the body names no battery, or no situation is one of the least continuous load"
    yield _volts("reserve voltage", "reserve", "volts at the end", no_battery)
    yield _volts("reserve start", "reserve", "volts while it cranks", no_battery)
    for name, load in (("idle", "least continuous load, engine at idle"), ("full", "all loads for hours")):
        why = "the body says nothing of its alternator, or no such situation has the engine running"
        yield _volts(f"alternator {name}", "alternator", load, why)
    yield _volts("parked", "parked", "current of the sleeping vehicle", "", MILLIAMMETER)


def _in_situations(model: Model) -> Iterable[Field]:
    for situation in model.situations:
        yield Field(
            f"supply {situation.name}",
            "supply",
            f"supply at the controller, in {situation.name}",
            VOLTMETER.unit,
            VOLTMETER,
            open_why="there is no controller",
        )
    for situation in model.situations:
        yield Field(
            f"current {situation.name}",
            "current",
            f"current of the whole fit, in {situation.name}",
            CLAMP_METER.unit,
            CLAMP_METER,
            open_why="no current is worked out for it",
        )


def _light_and_sound(model: Model) -> Iterable[Field]:
    for lamp in lamps_of(model):
        yield Field(
            f"light {lamp}",
            "light",
            lamp,
            LUX_METER.unit,
            LUX_METER,
            open_why="it burns in no situation, or its sheet has no figures for what burns",
        )
    for siren in sorted({sound.siren for function in model.functions for sound in function.sounds}):
        yield Field(
            f"sound {siren}",
            "sound",
            f"{siren}: level at the driver's ear, windows shut, and the level without it",
            SOUND_METER.unit,
            SOUND_METER,
            open_why="no level at the driver's ear is worked out for it",
        )
