"""How are this room's own data files read: tables of published figures, each with its cite?"""

from __future__ import annotations

from typing import get_args

from coachwright.kit.cite import Cite, CiteStatus
from coachwright.kit.errors import DataWrong
from coachwright.kit.nodes import Plain


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
