"""What is an edit, and what has the file to say once it is made?  (Plain values only; no text is looked at here.)"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from coachwright.kit.errors import EditRefused
from coachwright.kit.nodes import PathPieces, Plain


@dataclass(frozen=True, slots=True)
class SetValue:
    """Another value at `path`. A list or a mapping is written on one line, in brackets."""

    path: str | PathPieces
    value: Plain


@dataclass(frozen=True, slots=True)
class DeleteEntry:
    """The entry at `path` gone, with its name, dash or comma and the comment on its line."""

    path: str | PathPieces


@dataclass(frozen=True, slots=True)
class InsertEntry:
    """A new entry in the mapping or list at `into` ("" is the file itself).

    name : in a mapping; "" in a list. after : name or number (from 1) of the entry it follows; "" puts it last.
    """

    into: str | PathPieces
    value: Plain
    name: str = ""
    after: str = ""


@dataclass(frozen=True, slots=True)
class RenameEntry:
    """Another name for the entry at `path`, which stands in a mapping; what is behind it stays."""

    path: str | PathPieces
    name: str


BuildEdit: TypeAlias = SetValue | DeleteEntry | InsertEntry | RenameEntry


def pieces_of(path: str | PathPieces) -> PathPieces:
    """Names and numbers of a path, however it was given."""
    if isinstance(path, str):
        return tuple(path.split(".")) if path else ()
    return tuple(path)


def spoken(edit: BuildEdit) -> str:
    """What the edit is about, for a message."""
    path = edit.into if isinstance(edit, InsertEntry) else edit.path
    return ".".join(pieces_of(path)) or "the top of the file"


def value_at(plain: Plain, pieces: PathPieces) -> Plain | None:
    """What stands at a path; None where nothing does."""
    value: Plain | None = plain
    for piece in pieces:
        if isinstance(value, dict):
            value = value.get(piece)
        elif isinstance(value, list) and piece.isdecimal() and 1 <= int(piece) <= len(value):
            value = value[int(piece) - 1]
        else:
            return None
    return value


def check_apart(edits: Sequence[BuildEdit]) -> None:
    """No edit may happen inside what another one replaces or deletes."""
    whole = [pieces_of(edit.path) for edit in edits if not isinstance(edit, InsertEntry)]
    inside = [pieces_of(edit.into) for edit in edits if isinstance(edit, InsertEntry)]
    for number, outer in enumerate(whole):
        others = [*whole[:number], *whole[number + 1 :], *inside]
        touched = next((other for other in others if other[: len(outer)] == outer), None)
        if touched is not None:
            raise EditRefused(
                f"Two edits touch each other: {'.'.join(outer)} and {'.'.join(touched)}. Make one of them first."
            )


def changed(plain: Plain, edit: BuildEdit) -> Plain:
    """What the new text has to say."""
    new = copy.deepcopy(plain)
    if isinstance(edit, InsertEntry):
        return _with_entry(new, edit)
    *above, last = pieces_of(edit.path)
    holder = value_at(new, tuple(above))
    if isinstance(edit, RenameEntry):
        if isinstance(holder, dict):
            entries = [(edit.name if name == last else name, value) for name, value in holder.items()]
            holder.clear()
            holder.update(entries)
        return new
    if isinstance(holder, dict):
        if isinstance(edit, SetValue):
            holder[last] = edit.value
        else:
            del holder[last]
    elif isinstance(holder, list):
        holder[int(last) - 1 : int(last)] = [edit.value] if isinstance(edit, SetValue) else []
    return new


def _with_entry(plain: Plain, edit: InsertEntry) -> Plain:
    into = pieces_of(edit.into)
    holder = value_at(plain, into)
    if isinstance(holder, list):
        holder.insert(int(edit.after) if edit.after else len(holder), edit.value)
        return plain
    entries = list(holder.items()) if isinstance(holder, dict) else []
    at = next((number + 1 for number, (name, _) in enumerate(entries) if name == edit.after), len(entries))
    filled: Plain = dict([*entries[:at], (edit.name, edit.value), *entries[at:]]) if edit.name else [edit.value]
    if not into:
        return filled
    above = value_at(plain, into[:-1])
    if isinstance(above, dict):
        above[into[-1]] = filled
    elif isinstance(above, list):
        above[int(into[-1]) - 1] = filled
    return plain


def in_order(plain: Plain | None) -> object:
    """Something that is equal only when the order of names is equal too."""
    if isinstance(plain, dict):
        return "names", [(name, in_order(value)) for name, value in plain.items()]
    return [in_order(item) for item in plain] if isinstance(plain, list) else plain
