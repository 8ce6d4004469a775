"""Did what was measured on the bench hold its limits? Each reading with what its instrument may hide.

A lamp's reading has its background taken off and is turned to candela with the distance at which it was taken; both
readings and the tape count at their worst. A siren's level has its background taken off. What can't be said is said to
be open, and what wasn't read stays so.

See Also
--------
coachwright.control.bench_fields : the fields, guard bands. coachwright.control.readings_file : how readings come in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from coachwright.control.bench_fields import (
    Ends,
    Expected,
    Field,
    Kind,
    accepted,
    candela,
    candela_off_by,
    level_alone_db,
)
from coachwright.kit.finding import Finding, Fix, Severity
from coachwright.kit.mark import Mark

_LOOK_AT: dict[Kind, str] = {
    "drop": "the lamp's fuse, its joints, its ground and their ring terminals",
    "alarm": "the settings in the controller, and the wire it reads the supply by",
    "reserve": "the age and the charge of the batteries, their posts, and what else is on",
    "alternator": "the belt, the idle, the cables of the alternator, and what else is on",
    "parked": "what doesn't sleep: pull one fuse after the other",
    "supply": "the battery, the feed's wire, its fuse and its ground",
    "current": "what else is switched on, and for a lamp that is dark or shorted",
    "light": "the lamp, its aim, its wire and its supply",
    "sound": "the siren, its mount and its wire",
}

_TOLD: dict[str, tuple[str, str, Severity, str]] = {
    "fail": ("CTL-063", "reading-fails", "error", "Look at {}, and read again."),
    "not sure": (
        "CTL-064",
        "reading-not-sure",
        "warning",
        "Measure with a better instrument, or ask who has to accept it.",
    ),
}

State = Literal["pass", "draft", "not sure", "fail", "open", "not read"]
"""draft : it holds a limit whose page nobody has read."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read for one field. value, dark : in the unit of the field; distance_m : where the meter stood.

    dark, distance_m : None where nothing was written. at : where it stands in the file.
    """

    field: Field
    value: float
    dark: float | None
    distance_m: float | None
    note: str
    at: Mark


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """All that was read. serial : of the vehicle by the file's own word, "" where it doesn't say."""

    readings: tuple[Reading, ...]
    serial: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """How one field ended.

    value : what was measured: cd of a lamp, else the unit of the field; None where nothing is. off_by : by how much it
    may be off, in the same unit. open_why : why nothing can be said.
    """

    field: Field
    state: State
    reading: Reading | None = None
    value: float | None = None
    off_by: float | None = None
    open_why: str = ""

    @property
    def unit(self) -> str:
        """Of value and off_by."""
        return "cd" if self.field.kind == "light" else self.field.unit


@dataclass(frozen=True, slots=True)
class JudgedReadings:
    """All fields of a build, in the order of its sheet. findings : what is to be told, those of the file first."""

    fields: tuple[JudgedReading, ...]
    findings: tuple[Finding, ...]
    serial: str = ""

    def count(self, state: State) -> int:
        """How many ended so."""
        return sum(each.state == state for each in self.fields)

    @property
    def all_hold(self) -> bool:
        """Was every field that has limits read, and does each reading hold them, with nothing wrong in the file?

        A draft's limit held is held, and no more; how many such there are is said beside.
        """
        limited = [each for each in self.fields if each.field.expected is not None]
        return all(each.state in ("pass", "draft") for each in limited) and not any(
            each.severity == "error" for each in self.findings
        )


def judge_readings(fields: Sequence[Field], said: ReadingsFile, *, serial: str = "") -> JudgedReadings:
    """Hold what was read against what is expected. serial : of the vehicle the fields are of, "" for the base."""
    read = {each.field.name: each for each in said.readings}
    judged = tuple(_judged(field, read.get(field.name)) for field in fields)
    findings = (*said.findings, *_other_vehicle(said, serial), *_told(judged))
    return JudgedReadings(judged, findings, said.serial)


def _judged(field: Field, reading: Reading | None) -> JudgedReading:
    if reading is None:
        return JudgedReading(field, "not read")
    match field.kind:
        case "light":
            return _light(field, reading)
        case "sound":
            return _sound(field, reading)
        case _:
            return _ended(field, reading, reading.value, field.instrument.off_by(reading.value))


def _light(field: Field, reading: Reading) -> JudgedReading:
    """A lamp: both readings, the distance of the reading or that of the sheet."""
    expected = field.expected
    if expected is None:
        return JudgedReading(field, "open", reading, open_why=field.open_why)
    if reading.dark is None:
        return JudgedReading(field, "open", reading, open_why="the reading with this lamp covered is missing")
    distance_m = reading.distance_m or expected.distance_m
    if distance_m < 0.99 * expected.distance_m:
        why = f"read at {distance_m:g} m, nearer than the {expected.distance_m:g} m of the sheet"
        return JudgedReading(field, "open", reading, open_why=f"{why}: too near for a lamp of its size")
    value_cd = candela(reading.value, dark_lx=reading.dark, distance_m=distance_m)
    off_cd = candela_off_by(reading.value, dark_lx=reading.dark, distance_m=distance_m, meter=field.instrument)
    return _ended(field, reading, value_cd, off_cd)


def _sound(field: Field, reading: Reading) -> JudgedReading:
    """A siren: its level alone. A background that comes near says nothing of it."""
    if reading.dark is None:
        return JudgedReading(field, "open", reading, open_why="the level without it is missing")
    hides_db = field.instrument.tolerance_abs
    if reading.value - hides_db <= reading.dark + hides_db:
        return JudgedReading(field, "open", reading, open_why="the level without it is too near to the level with it")
    alone_db = level_alone_db(reading.value, background_db=reading.dark)
    least_db = level_alone_db(reading.value - hides_db, background_db=reading.dark + hides_db)
    return _ended(field, reading, alone_db, max(alone_db - least_db, hides_db))


def _ended(field: Field, reading: Reading, value: float, off_by: float) -> JudgedReading:
    expected = field.expected
    if expected is None:
        return JudgedReading(field, "open", reading, value, off_by, field.open_why)
    ends: Ends = accepted(value, off_by=off_by, least=expected.least, most=expected.most)
    state: State = "draft" if ends == "pass" and expected.draft else ends
    return JudgedReading(field, state, reading, value, off_by)


# ---------------------------------------------------------------------------------------------------------- findings
def _other_vehicle(said: ReadingsFile, serial: str) -> Iterator[Finding]:
    if said.serial and serial and said.serial != serial:
        yield Finding(
            "CTL-061",
            "readings-of-another-vehicle",
            "error",
            "The readings are of vehicle {said}, and vehicle {serial} was asked for.",
            {"said": said.serial, "serial": serial},
            about="serial",
            fix=Fix("Give the file of this vehicle, or ask for the other serial."),
        )


def _told(judged: Iterable[JudgedReading]) -> Iterator[Finding]:
    for each in judged:
        if each.reading is None or each.state in ("pass", "draft"):
            continue
        if each.state == "open":
            if each.field.expected is not None:
                yield _open(each)
            continue
        yield _missed(each, each.field.expected)


def _open(each: JudgedReading) -> Finding:
    assert each.reading is not None
    return Finding(
        "CTL-062",
        "reading-says-nothing",
        "warning",
        "Nothing can be said of it: {why}.",
        {"why": each.open_why},
        about=each.field.name,
        where=(each.reading.at,),
        fix=Fix("Read it again as the sheet says."),
    )


def _missed(each: JudgedReading, expected: Expected | None) -> Finding:
    assert expected is not None
    assert each.reading is not None
    value, off_by = each.value or 0.0, each.off_by or 0.0
    limits = " and ".join(
        f"{word} {_short(limit)} {each.unit}"
        for word, limit in (("at least", expected.least), ("at most", expected.most))
        if limit is not None
    )
    code, name, severity, write = _TOLD[each.state]
    return Finding(
        code,
        name,
        severity,
        "{value}, give or take {off}; it has to be {limits} ({by}).",
        {
            "value": f"{_short(value)} {each.unit}",
            "off": f"{_short(off_by)} {each.unit}",
            "limits": limits,
            "by": expected.by,
        },
        about=each.field.name,
        where=(each.reading.at,),
        fix=Fix(write.format(_LOOK_AT[each.field.kind])),
    )


def _short(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"
