"""Which mend of a trouble is so plain that it can be made by the program?

Only where there is one answer: the nearest name in the place of the one that was misspelt, yes for true, the second of
two equal items gone, or what the sentence of the trouble says when it says one thing only. What would need a guess (a
missing unit with several to choose from, a missing field) has none.

See Also
--------
coachwright.build.mend : after this, makes the edits and proves that the finding is gone.
"""

from __future__ import annotations

import re

from coachwright.build.edit_plan import value_at
from coachwright.build.trouble import Trouble
from coachwright.kit.finding import Edit, Fix, FixKind
from coachwright.kit.nodes import Document, PathPieces, Plain

_YES = frozenset(("true", "on", "y", "yes", "1"))
_NO = frozenset(("false", "off", "n", "no", "0"))
_AWAY = re.compile(r"Leave (?P<name>[a-z][a-z0-9-]*) away\.")
_ONE_FIELD = re.compile(r"Write (?P<name>[a-z][a-z-]*): (?P<value>[a-z0-9][a-z0-9-]*)\.")
_ONE_WORD = re.compile(r"Write (?P<value>[a-z0-9]+(?:[.-][a-z0-9]+)*)\.")
_ONE_AMOUNT = re.compile(r"Write (?P<value>[+-]?[0-9][0-9.]* [A-Za-z%]+)\.")
_ONE_EVENT = re.compile(r"Write (?P<value>becomes \([^()]*\))\.")


def fix_of(trouble: Trouble, document: Document) -> Fix | None:
    """The fix a trouble has: its sentence, and the edit where there is one sure answer; None where it says nothing."""
    if not trouble.write:
        return None
    if document.findings:
        return Fix(trouble.write)  # the text itself is to be mended first, and that by hand
    path, value = _written(document, trouble.path)
    beside = value_at(document.plain, path[:-1]) if path else None
    taken = trouble.on_key and isinstance(beside, dict) and trouble.near in beside
    made = None if taken else _made(trouble, path, value)
    if made is None:
        return Fix(trouble.write)
    edit, kind = made
    return Fix(trouble.write, (edit,), kind)


def _made(trouble: Trouble, path: PathPieces, value: Plain | None) -> tuple[Edit, FixKind] | None:
    if trouble.code == "BLD-019" and value is not None:
        return _second_gone(trouble, path, value)
    if trouble.code == "BLD-007" and isinstance(value, str) and value.lower() in _YES | _NO:
        return Edit(path, "yes" if value.lower() in _YES else "no"), "safe"
    if trouble.near:
        return _nearest(trouble, path, value)
    return _said_plainly(trouble, path, value)


def _said_plainly(trouble: Trouble, path: PathPieces, value: Plain | None) -> tuple[Edit, FixKind] | None:
    """The sentence that says what to write says one thing only: ``Write roof-rear.``, ``Leave start away.``"""
    away = _AWAY.fullmatch(trouble.write)
    if away is not None:
        is_entry = trouble.span is None and bool(path) and away["name"] in (path[-1], value)
        return (Edit(path, None), "ask") if is_entry else None
    field = _ONE_FIELD.fullmatch(trouble.write)
    if field is not None and path and path[-1] == field["name"] and isinstance(value, str):
        return Edit(path, _as_text(field["value"])), "ask"
    word = (
        _ONE_WORD.fullmatch(trouble.write)
        or _ONE_AMOUNT.fullmatch(trouble.write)
        or _ONE_EVENT.fullmatch(trouble.write)
    )
    if word is None or not isinstance(value, str) or trouble.on_key:
        return None
    if trouble.span is not None:
        start, end = trouble.span
        return Edit(path, _as_text(value[:start] + word["value"] + value[end:])), "ask"
    wanted = word["value"].split(" ")[0] if " " in word["value"] and trouble.code == "BLD-004" else ""
    if value != trouble.read or (wanted and wanted != value.strip()):
        return None
    return Edit(path, _as_text(word["value"])), "ask"


def _nearest(trouble: Trouble, path: PathPieces, value: Plain | None) -> tuple[Edit, FixKind] | None:
    near = trouble.near
    if trouble.on_key:
        return (Edit(path, near, on_key=True), "ask") if path and path[-1] == trouble.read else None
    if not isinstance(value, str):
        return None
    kind: FixKind = "safe" if trouble.read == "*" else "ask"
    if trouble.span is None:
        return (Edit(path, _as_text(near)), kind) if value == trouble.read else None
    start, end = trouble.span
    word = value[start:end]
    if not word or " " in word or " " in near:
        return None
    return Edit(path, _as_text(value[:start] + near + value[end:])), kind


def _second_gone(trouble: Trouble, path: PathPieces, value: Plain) -> tuple[Edit, FixKind] | None:
    if isinstance(value, list):
        places = [number for number, item in enumerate(value, start=1) if item == trouble.read]
        return (Edit((*path, str(places[1])), None), "safe") if len(places) > 1 else None
    if value == trouble.read and path and path[-1].isdecimal():
        return Edit(path, None), "safe"
    return None


def _written(document: Document, path: PathPieces) -> tuple[PathPieces, Plain | None]:
    """Where in the text it stands, and what stands there; a single item is the first of its list."""
    at = document.written_at(path)
    value = value_at(document.plain, at)
    if value is None and at and at[-1] == "1" and isinstance(value_at(document.plain, at[:-1]), str):
        at = at[:-1]
        value = value_at(document.plain, at)
    return at, value


def _as_text(value: str) -> str:
    """The value as a YAML text that reads as just that."""
    from coachwright.build.edit_value import written

    return written(value, in_flow=False)


__all__ = ["fix_of"]
