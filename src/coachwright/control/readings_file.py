"""What was measured on the bench, as it is filled in: a form to hand out, and the same form read back.

A table with a row per field, its cells parted by commas, semicolons or tabs; a spreadsheet opens and saves it. Two
columns have to be there, ``field`` and ``reading``; ``dark`` and ``distance`` belong to lamps (and ``dark`` to sirens:
the level without them), ``note`` is the reader's own. Every other column is for people and never read. A number stands
in the unit of its field, or has a unit of its own behind it. Rows that begin with # don't count.

See Also
--------
coachwright.control.readings : holds what was read against what is expected.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.control.bench_fields import Field
from coachwright.control.readings import Reading, ReadingsFile
from coachwright.kit.finding import Finding, FindingValue, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.near import nearest

MOST_BYTES = 1_000_000
MOST_ROWS = 5_000
MOST_CELLS = 64
MOST_NAME = 80
SERIAL = "serial"
"""The row that says which vehicle was measured."""

COLUMNS = ("field", "reading", "dark", "distance", "note")
FOR_PEOPLE = ("unit", "expect", "pass from", "pass to", "at least from", "while", "instrument")
_NEEDED = ("field", "reading")
_KIND_OF_UNIT = {"V": "voltage", "A": "current", "lx": "illuminance", "dB": "level", "s": "time"}


ReadNumber = Callable[[str, str, str], float]
"""(text, kind of unit, unit where none is written) -> value in the unit the program counts in; raises CellNotRead."""


class CellNotRead(ValueError):
    """A cell holds no such number. Its text says why, `write` what to write instead."""

    def __init__(self, why: str, *, write: str = "") -> None:
        super().__init__(why)
        self.write = write


@dataclass(frozen=True, slots=True)
class _Row:
    """Cells by the name of their column, and where each stands."""

    cells: Mapping[str, str]
    marks: Mapping[str, Mark]

    def mark(self, column: str) -> Mark:
        return self.marks.get(column, self.marks["field"])


def form_text(model: Model, fields: Sequence[Field]) -> str:
    """An empty form with every field of a build: what to expect and where it passes, for people, beside it."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow([*COLUMNS[:4], *FOR_PEOPLE, "note"])
    if model.serial:
        writer.writerow([SERIAL, model.serial])
    for field in fields:
        expected, bands = field.expected, field.bands
        told: list[object] = [""] * 5
        if expected is not None:
            expect = expected.reading_lx if field.kind == "light" else expected.value
            passes = [""] * 2 if bands.empty else [_figure(bands.pass_from), _figure(bands.pass_to)]
            where = ", ".join(word for word in (expected.situation, expected.colour) if word)
            told = [_figure(expect), *passes, _metres(expected.distance_m), where]
        writer.writerow([field.name, "", "", "", field.unit, *told, field.instrument.name, ""])
    return written.getvalue()


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.4g}"


def _metres(distance_m: float) -> str:
    return f"{distance_m:g} m" if distance_m else ""


def read_readings(text: str, *, file: str, fields: Sequence[Field], number: ReadNumber) -> ReadingsFile:
    """The readings in a text.

    Parameters
    ----------
    file : its name, for the places of findings.
    fields : those of the build.
    number : the door's reader of one cell.

    Notes
    -----
    What can't be read is a finding with line and column, and the rest is used.
    """
    known = {field.name: field for field in fields}
    found: list[Finding] = []
    readings: dict[str, Reading] = {}
    serial = ""
    for row in _rows(text, file, found):
        name = row.cells["field"].strip()
        if name == SERIAL:
            serial = row.cells["reading"].strip()[:MOST_NAME]
        elif name not in known:
            found.append(_not_known(row, name, known))
        elif row.cells["reading"].strip():
            reading = _reading(row, known[name], number, found)
            if name in readings:
                found.append(_twice(row, name, readings[name]))
            elif reading is not None:
                readings[name] = reading
    return ReadingsFile(tuple(readings.values()), serial, tuple(found))


# -------------------------------------------------------------------------------------------------------------- rows
def _rows(text: str, file: str, found: list[Finding]) -> Iterator[_Row]:
    """Every row below the head that says something."""
    text = text.removeprefix("\ufeff")
    lines = text.splitlines()
    head: list[str] = []
    for line_n, cells in _cells(text, file, found):
        if not any(cell.strip() for cell in cells) or cells[0].lstrip().startswith("#"):
            continue
        columns = list(_columns(lines[line_n - 1] if line_n <= len(lines) else "", cells))
        if not head:
            head = [cell.strip().casefold() for cell in cells]
            missing = [column for column in _NEEDED if column not in head]
            if missing:
                found.append(_head_not_read(Mark(file, line_n, 1), missing))
                return
            continue
        by_name = dict(zip(head, cells, strict=False))
        marks = {name: Mark(file, line_n, column) for name, column in zip(head, columns, strict=False)}
        marks.setdefault("field", Mark(file, line_n, 1))
        yield _Row({column: by_name.get(column, "") for column in COLUMNS}, marks)
    if not head:
        found.append(_head_not_read(Mark(file, 1, 1), _NEEDED))


def _cells(text: str, file: str, found: list[Finding]) -> Iterator[tuple[int, list[str]]]:
    """Line and cells of every row, as far as the table can be taken apart."""
    separator = next((sign for sign in ("\t", ";") if sign in text.partition("\n")[0]), ",")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line_n = 1
    for count in range(MOST_ROWS + 1):
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            found.append(
                _breaks_off(
                    Mark(file, line_n, 1),
                    "From here on the table can't be taken apart ({why}).",
                    {"why": str(error)},
                    "Look for a quotation mark too many, and save the table again.",
                )
            )
            return
        if count == MOST_ROWS or len(cells) > MOST_CELLS:
            found.append(
                _breaks_off(
                    Mark(file, line_n, 1),
                    "A table of readings has up to {rows} rows of {cells} cells; the rest isn't read.",
                    {"rows": MOST_ROWS, "cells": MOST_CELLS},
                    "Take out what is no reading.",
                )
            )
            return
        yield line_n, cells
        line_n = reader.line_num + 1


def _columns(line: str, cells: Iterable[str]) -> Iterator[int]:
    """Where each cell begins in its line, counted from 1."""
    at = 0
    for cell in cells:
        begins = line.find(cell, at)
        if begins < 0:  # a cell with quotes or line ends in it: the last place that is known
            yield at + 1
            continue
        yield begins + 1
        at = begins + len(cell)


# ----------------------------------------------------------------------------------------------------------- one row
def _reading(row: _Row, field: Field, number: ReadNumber, found: list[Finding]) -> Reading | None:
    """A row of a field; None where its reading can't be used."""
    numbers: dict[str, float | None] = {}
    for column, unit in (("reading", field.unit), ("dark", field.unit), ("distance", "m")):
        kind = "length" if column == "distance" else _KIND_OF_UNIT[field.unit]
        try:
            said = row.cells[column].strip()
            numbers[column] = number(said, kind, unit) if said else None
        except CellNotRead as error:
            found.append(_not_read(row.mark(column), field, row.cells[column], error))
            return None
    value = numbers["reading"]
    if value is None:
        return None
    if field.kind != "sound" and (value < 0 or (numbers["dark"] or 0.0) < 0):
        below = CellNotRead("It is below 0.", write="Look at the meter's leads and its range.")
        found.append(_not_read(row.mark("reading"), field, row.cells["reading"], below))
        return None
    return Reading(
        field, value, numbers["dark"], numbers["distance"], row.cells["note"].strip()[:200], row.mark("reading")
    )


# ---------------------------------------------------------------------------------------------------------- findings
def _quoted(said: str) -> str:
    return f"'{said.strip()[:40]}'"


def _breaks_off(at: Mark, template: str, values: Mapping[str, FindingValue], write: str) -> Finding:
    return Finding("CTL-057", "readings-table-breaks-off", "error", template, values, where=(at,), fix=Fix(write))


def _head_not_read(at: Mark, missing: Iterable[str]) -> Finding:
    return Finding(
        "CTL-057",
        "readings-head-not-read",
        "error",
        "The first row names no column {missing}.",
        {"missing": " and ".join(missing)},
        where=(at,),
        fix=Fix("Begin with coachwright bench BUILD --form FILE, and fill that in."),
    )


def _not_known(row: _Row, name: str, known: Iterable[str]) -> Finding:
    close = nearest(name, known)
    write = f"{close[0]} is the closest." if close else "Take a name from coachwright bench BUILD --form FILE."
    return Finding(
        "CTL-058",
        "reading-not-known",
        "error",
        "{name} is no field of this build.",
        {"name": _quoted(name)},
        where=(row.mark("field"),),
        fix=Fix(write),
    )


def _not_read(at: Mark, field: Field, said: str, error: CellNotRead) -> Finding:
    return Finding(
        "CTL-059",
        "reading-not-read",
        "error",
        "{said}: {why}",
        {"said": _quoted(said), "why": str(error)},
        about=field.name,
        where=(at,),
        fix=Fix(error.write) if error.write else None,
    )


def _twice(row: _Row, name: str, first: Reading) -> Finding:
    return Finding(
        "CTL-060",
        "reading-twice",
        "error",
        "{name} was read in line {line} already; the first counts.",
        {"name": name, "line": first.at.line},
        about=name,
        where=(row.mark("field"),),
        fix=Fix("Keep the one that holds, and write the other into its note."),
    )
