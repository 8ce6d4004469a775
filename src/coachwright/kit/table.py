"""A small frozen table whose columns know what they hold: the rest of an answer behind its worst case."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

Cell = str | int | float | bool | None
"""One entry; None says that it was not measured."""

Row = tuple[Cell, ...]

WORD_KINDS = frozenset({"word", "place", "path"})
"""Kinds whose entries are text. ``yes-no`` holds True and False; every other kind holds SI numbers."""


@dataclass(frozen=True, slots=True)
class Column:
    """What one column holds.

    Parameters
    ----------
    name : by which code asks for it.
    kind : unit kind of its numbers (SI), or ``count``, ``word``, ``place``, ``path`` or ``yes-no``.
    title : as a paper prints it, without the unit; the name when left empty.
    """

    name: str
    kind: str
    title: str = ""

    @property
    def heading(self) -> str:
        """The title, or the name where there is none."""
        return self.title or self.name.replace("-", " ").replace("_", " ")

    def fits(self, cell: Cell) -> bool:
        """Whether `cell` may stand in this column."""
        if cell is None:
            return True
        if self.kind in WORD_KINDS:
            return isinstance(cell, str)
        if self.kind == "yes-no":
            return isinstance(cell, bool)
        return isinstance(cell, int | float) and not isinstance(cell, bool) and not math.isnan(cell)


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Table:
    """Rows under typed columns; equal tables are equal objects.

    Raises
    ------
    ValueError : two columns of one name, a row of another length, or an entry its column can't hold.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...] = ()

    def __post_init__(self) -> None:
        names = [column.name for column in self.columns]
        if len(set(names)) != len(names):
            raise ValueError(f"two columns of a table have one name: {', '.join(names)}")
        object.__setattr__(self, "rows", tuple(tuple(row) for row in self.rows))
        for number, row in enumerate(self.rows, 1):
            if len(row) != len(names):
                raise ValueError(f"row {number} has {len(row)} entries, the table {len(names)} columns")
            for column, cell in zip(self.columns, row, strict=True):
                if not column.fits(cell):
                    raise ValueError(f"row {number}, {column.name}: {cell!r} is no {column.kind}")

    @classmethod
    def of(cls, columns: Iterable[Column], records: Iterable[Mapping[str, Cell]]) -> Table:
        """Build it from records; what a record leaves out was not measured.

        Raises
        ------
        KeyError : a record has a name that is no column.
        """
        columns = tuple(columns)
        names = [column.name for column in columns]
        rows = []
        for record in records:
            strange = [name for name in record if name not in names]
            if strange:
                raise KeyError(f"no column is called {strange[0]}; there are {', '.join(names)}")
            rows.append(tuple(record.get(name) for name in names))
        return cls(columns, tuple(rows))

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[dict[str, Cell]]:
        """Each row as a record."""
        names = [column.name for column in self.columns]
        return (dict(zip(names, row, strict=True)) for row in self.rows)

    def place_of(self, name: str) -> int:
        """Number of the column called `name`, from 0.

        Raises
        ------
        KeyError : there is none; the message lists what there is.
        """
        for place, column in enumerate(self.columns):
            if column.name == name:
                return place
        raise KeyError(f"no column is called {name}; there are {', '.join(column.name for column in self.columns)}")

    def column(self, name: str) -> tuple[Cell, ...]:
        """All entries of one column, from the first row down."""
        place = self.place_of(name)
        return tuple(row[place] for row in self.rows)

    def where(self, wanted: Mapping[str, Cell]) -> Table:
        """The rows whose entries equal all of `wanted`; True is no 1 here."""
        places = [(self.place_of(name), cell) for name, cell in wanted.items()]
        kept = tuple(row for row in self.rows if all(_same(row[place], cell) for place, cell in places))
        return Table(self.columns, kept)

    def sorted_by(self, name: str, *, descending: bool = False) -> Table:
        """By one column; rows that are alike there keep their order, and what was not measured comes last."""
        place = self.place_of(name)
        measured = [row for row in self.rows if row[place] is not None]
        measured.sort(key=lambda row: _order(row[place]), reverse=descending)
        return Table(self.columns, (*measured, *(row for row in self.rows if row[place] is None)))

    def worst(self, name: str, *, lowest: bool) -> dict[str, Cell] | None:
        """The row that is worst in one column, as a record; the first of equals; None when nothing was measured.

        lowest : whether small is bad (light) or large is (voltage lost).
        """
        place = self.place_of(name)
        measured = [row for row in self.rows if row[place] is not None]
        if not measured:
            return None
        choose = min if lowest else max
        row = choose(measured, key=lambda row: _order(row[place]))
        return dict(zip((column.name for column in self.columns), row, strict=True))


def _same(one: Cell, other: Cell) -> bool:
    return one == other and isinstance(one, bool) == isinstance(other, bool)


def _order(cell: Cell) -> tuple[int, float | str]:
    return (1, cell) if isinstance(cell, str) else (0, float(cell or 0))
