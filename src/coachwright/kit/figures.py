"""How are a room's own data files read: tables of published figures, each with its cite?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from importlib import resources
from typing import get_args

from coachwright.kit.cite import Cite, CiteStatus
from coachwright.kit.errors import DataWrong
from coachwright.kit.nodes import Plain, read_nodes
from coachwright.kit.reckoner import Source


def tables_in(room: str, file: str) -> dict[str, Plain]:
    """Everything a data file of a room says; a fault of its text is a refusal, never a gap.

    Parameters
    ----------
    room : package the file lies in, e.g. ``coachwright.light``.
    """
    document = read_nodes(resources.files(room).joinpath(file).read_text(encoding="utf-8"), file=file)
    if document.findings:
        raise DataWrong(f"{file}: {document.findings[0].name}")
    return table_of(document.plain, file)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A data file of tables, each by its name."""

    file: str
    tables: dict[str, dict[str, Plain]]

    def number(self, table: str, name: str) -> float:
        """A plain number of a table; a refusal that names both where there is none."""
        return number_of(self.tables[table].get(name, ""), f"{self.file}, {table}, {name}")


def sheet_in(room: str, file: str) -> Sheet:
    """A data file that holds nothing but tables. room : as of `tables_in`."""
    return Sheet(file, {name: table_of(plain, f"{file}, {name}") for name, plain in tables_in(room, file).items()})


def table_of(plain: Plain, what: str) -> dict[str, Plain]:
    """A table of names and values, or a refusal that names the place."""
    if not isinstance(plain, dict):
        raise DataWrong(f"{what}: a table of names and values belongs here.")
    return plain


def named(plain: Plain, name: str, what: str) -> str:
    """The word or text a table has under a name."""
    value = table_of(plain, what).get(name)
    if not isinstance(value, str):
        raise DataWrong(f"{what}: {name} is missing or no text.")
    return value


def number_of(plain: Plain, what: str) -> float:
    """A plain number, finite, in the unit its table says."""
    try:
        value = float(str(plain))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise DataWrong(f"{what}: {str(plain)[:40]!r} is no number.")
    return value


def numbers_of(plain: Plain, what: str) -> dict[str, float]:
    """A table of names and plain numbers."""
    return {name: number_of(value, f"{what}, {name}") for name, value in table_of(plain, what).items()}


def cite_of(plain: Plain, what: str) -> Cite:
    """The cite a table has under ``cite``."""
    cite = table_of(table_of(plain, what).get("cite", ""), what)
    status = str(cite.get("status", ""))
    for known in get_args(CiteStatus):
        if known == status:
            return Cite(
                source=named(cite, "source", what),
                edition=str(cite.get("edition", "")),
                clause=str(cite.get("clause", "")),
                checked_on=str(cite["checked-on"]) if "checked-on" in cite else None,
                status=known,
            )
    raise DataWrong(f"{what}: status {status!r} of its cite is none of {', '.join(get_args(CiteStatus))}.")


def source_of(cite: Cite) -> Source:
    """The cite of a figure as a calculation prints it; what wasn't read stays a draft."""
    title = f"{cite.source}, {cite.edition}" if cite.edition else cite.source
    return Source(title, cite.clause, "read" if cite.status == "read" else "draft")
