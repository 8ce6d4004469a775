"""What is measured on the bench, as it is printed: what to set, what to expect, where it passes and where it fails.

See Also
--------
coachwright.control.bench_fields : the fields. coachwright.look.bench : the list around them.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from coachwright.control.bench_fields import DISTANCE_OFF_M, FAR_TIMES, Bands, Expected, Field

WIDTH = 80
BOX = "[ ]"
_BLANK = "______"

_TITLES = {
    "supply": "Supply at the controller",
    "current": "Current of the whole fit",
    "drop": "Lost between the battery and each lamp",
    "alarm": "Low-voltage alarm",
    "reserve": "Reserve: the least continuous load with the engine off, and a start",
    "alternator": "Alternator under load",
    "parked": "What the sleeping vehicle draws",
    "light": "Light of each lamp",
    "sound": "Sirens at the driver's ear",
}


def field_lines(fields: Sequence[Field]) -> Iterator[str]:
    """All that is measured: one instrument after the other."""
    if not fields:
        return
    yield "What is measured"
    yield from wrapped(
        "A reading passes where it holds the limit whatever the instrument hides, and fails where it breaks it "
        "whatever the instrument hides. Between the two nobody can be sure: measure better, or ask who has to "
        "accept it.",
        "  ",
    )
    for kind, title in _TITLES.items():
        for meter in dict.fromkeys(field.instrument for field in fields if field.kind == kind):
            of_kind = [field for field in fields if field.kind == kind and field.instrument == meter]
            yield ""
            yield from wrapped(f"{title}, with {meter.name} ({meter.words})", "", "  ")
            yield from _light(of_kind) if kind == "light" else _plain(of_kind)
    yield ""


def _plain(fields: Sequence[Field]) -> Iterator[str]:
    """Volts, amperes, decibels: a line each; what holds for all of them once above."""
    said: list[str] = []
    for field in fields:
        for line in _about(field):
            if line not in said:
                said.append(line)
    for line in said:
        if all(line in _about(field) for field in fields):
            yield from wrapped(line, "  ")
    shared = [line for line in said if all(line in _about(field) for field in fields)]
    for field in fields:
        name = field.name.partition(" ")[2] or field.what
        yield from wrapped(f"{name}: {_BLANK} {field.unit}", f"  {BOX} ", "      ")
        own = " ".join(line for line in _about(field) if line not in shared)
        yield from wrapped(own, "      ") if own else ()


def _about(field: Field) -> list[str]:
    """What is to be said of a field, a sentence each."""
    expected = field.expected
    if expected is None:
        return [f"No expected value: {field.open_why}."]
    found = [f"In {expected.situation}."] if expected.situation else []
    if expected.value is not None:
        peak = (
            f" on average, {_figure(expected.peak, field.unit)} {field.unit} at the peak"
            if expected.peak is not None
            else ""
        )
        found.append(f"Expect {_figure(expected.value, field.unit)} {field.unit}{peak}.")
    found.append(f"{_bands_words(field.bands, field.unit)}.")
    found.append(f"Limits: {expected.by}{' (draft)' if expected.draft else ''}.")
    found += [f"{text[:1].upper()}{text[1:]}." for text in (*expected.how, *expected.notes)]
    return found


def _bands_words(bands: Bands, unit: str) -> str:
    if bands.empty:
        return "No reading can pass: this instrument is too coarse for these limits"
    passes = [f"from {_figure(bands.pass_from, unit)}"] if bands.pass_from is not None else []
    passes += [f"to {_figure(bands.pass_to, unit)}"] if bands.pass_to is not None else []
    fails = [f"below {_figure(bands.fail_below, unit)}"] if bands.fail_below is not None else []
    fails += [f"above {_figure(bands.fail_above, unit)}"] if bands.fail_above is not None else []
    return f"Passes {' '.join(passes)} {unit}, fails {' and '.join(fails)} {unit}"


def _figure(value: float, unit: str) -> str:
    """Three figures; of volts hundredths, for a tenth of a volt tells a full battery from a tired one."""
    return f"{value:.2f}" if unit == "V" else number(value)


# ------------------------------------------------------------------------------------------------------------- light
def _light(fields: Sequence[Field]) -> Iterator[str]:
    yield from wrapped(
        "Face the lamp from its axis, at the distance in metres under `at` (at least "
        f"{FAR_TIMES:g} times its size) or further. Read lit, then dark: this lamp covered, all else as it is. What is "
        "left of lit - dark is held against pass (that many lux or more) and fail (less than that). Further away: "
        "cd = (lit - dark) x distance x distance.",
        "  ",
    )
    yield from wrapped(
        "Cover other lamps that reach the meter. A lamp that flashes: steady, if the controller has a test for that; "
        "else peak hold, lit and dark, with a meter quick enough for its shortest flash. "
        f"Tape within {1000 * DISTANCE_OFF_M:g} mm. Don't look into a lit lamp from near.",
        "  ",
    )
    groups: dict[tuple[str, tuple[str, ...], str], list[Field]] = {}
    for field in fields:
        if field.expected is not None:
            groups.setdefault((field.expected.situation, field.expected.how, field.expected.by), []).append(field)
    width = max(len(field.what) for field in fields) + 1
    for (situation, how, by), of_one in groups.items():
        yield from wrapped(f"{situation}: {', '.join(how)}. Limit: {by}.", "  ", "    ")
        columns = "".join(f"{name:>6}" for name in ("cd", "lux", "pass", "fail"))
        yield f"      {'lamp':<{width}}{'colour':<7}{'at':>4}{columns}{'lit':>8}{'dark':>8}"
        for field in of_one:
            assert field.expected is not None
            yield _lamp_line(field, field.expected, width)
            yield from (line for note in field.expected.notes for line in wrapped(f"{note}.", "      "))
    for field in fields:
        if field.expected is None:
            yield from wrapped(f"{field.what}: no expected value: {field.open_why}.", f"  {BOX} ", "      ")


def _lamp_line(field: Field, expected: Expected, width: int) -> str:
    bands = field.bands
    cells = [expected.value, expected.reading_lx, bands.pass_from, bands.fail_below]
    figures = "".join(f"{number(each):>6}" for each in cells)
    start = f"  {BOX} {field.what:<{width}}{expected.colour:<7}{expected.distance_m:>4g}"
    return f"{start}{figures}{_BLANK:>8}{_BLANK:>8}"


def number(value: float | None) -> str:
    """Three figures that count."""
    if value is None:
        return ""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def field_json(field: Field) -> dict[str, Any]:
    """A field as data; `open` says why nothing is expected."""
    found: dict[str, Any] = {
        "name": field.name,
        "what": field.what,
        "unit": field.unit,
        "instrument": field.instrument.name,
        "tolerance": field.instrument.words,
    }
    expected, bands = field.expected, field.bands
    if expected is None:
        return found | {"open": field.open_why}
    return found | {
        "expected": rounded(expected.value),
        "quantity": "cd" if field.kind == "light" else field.unit,
        "peak": rounded(expected.peak),
        "least": rounded(expected.least),
        "most": rounded(expected.most),
        "limits-by": expected.by,
        "limits-draft": expected.draft,
        "distance-m": rounded(expected.distance_m or None),
        "above-background-lx": rounded(expected.reading_lx or None),
        "background-most-lx": rounded(expected.dark_most_lx or None),
        "pass-from": rounded(bands.pass_from),
        "pass-to": rounded(bands.pass_to),
        "fail-below": rounded(bands.fail_below),
        "fail-above": rounded(bands.fail_above),
        "situation": expected.situation,
        "colour": expected.colour,
        "how": list(expected.how),
        "notes": list(expected.notes),
    }


def rounded(value: float | None) -> float | None:
    """Six figures that count, for JSON."""
    return None if value is None else float(f"{value:.6g}")


def wrapped(text: str, first: str = "", rest: str | None = None) -> list[str]:
    """Lines of the sheet's width."""
    after = rest if rest is not None else " " * len(first)
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=after, break_on_hyphens=False) or [first]
