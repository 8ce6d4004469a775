"""Changes a build file at one place and leaves every other character alone.

    edit_text(text, [SetValue("lamps.corner.aim", "40 deg")])
    edit_file(path, [DeleteEntry("groups.front.2")], seen=digest)

Comments, order, spacing, quotes and line breaks of everything else stay byte for byte. Before anything is handed back,
the new text is read again: it has to say exactly what the old one said, and the change; if not, the edit is refused.

See Also
--------
coachwright.build.edit_splices : before this, which characters an edit changes.
coachwright.kit.finding.Edit : the edits that findings carry; `from_fix` turns them into these.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

from coachwright.build.edit_file import replace_file
from coachwright.build.edit_places import entry, find, is_container, number_of, root_of
from coachwright.build.edit_plan import (
    BuildEdit,
    DeleteEntry,
    InsertEntry,
    RenameEntry,
    SetValue,
    changed,
    check_apart,
    in_order,
    pieces_of,
    spoken,
    value_at,
)
from coachwright.build.edit_splices import Splice, applied, delete_entry, insert_entry, rename_entry, set_value
from coachwright.kit import finding
from coachwright.kit.errors import DoorRefused, EditRefused
from coachwright.kit.nodes import Plain, read_nodes

__all__ = [
    "BuildEdit",
    "DeleteEntry",
    "EditRefused",
    "Edited",
    "InsertEntry",
    "RenameEntry",
    "SetValue",
    "edit_file",
    "edit_text",
    "edited_to",
    "from_fix",
    "text_digest",
    "undo_edit",
]

BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Edited:
    """An edited text. undo : the one splice into `text` that gives the old text back."""

    text: str
    digest: str
    undo: Splice


def text_digest(text: str) -> str:
    """Digest of a text as it was read, line breaks and all, without a byte order mark."""
    return hashlib.sha256(text.removeprefix(BYTE_ORDER_MARK).encode("utf-8", "surrogatepass")).hexdigest()


def edit_text(text: str, edits: Sequence[BuildEdit], *, seen: str | None = None, file: str = "the file") -> Edited:
    """Make all edits, the last in the text first, or none of them.

    Parameters
    ----------
    text : all of the file; `seen` : its digest when the edits were thought of, None when that is this very moment.
    edits : paths are those of `text`, whatever the other edits do. Of two new entries at one place the first comes
        first.

    Raises
    ------
    EditRefused : the text has moved on, a path isn't there, two edits touch each other, or the outcome isn't exact.
    """
    if seen is not None and text_digest(text) != seen:
        raise EditRefused(f"{file} has changed since it was read. Look at it again, then repeat the edit.")
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    before = text.removeprefix(BYTE_ORDER_MARK)
    plain = _plain_of(before, file)
    check_apart(edits)
    root = root_of(before)
    turns = [(_turn(_position(before, root, plain, edit), number, edit), edit) for number, edit in enumerate(edits)]
    after = before
    for _, edit in sorted(turns, key=lambda turn: turn[0]):
        after, plain = _edited_once(after, plain, edit, file)
    after = mark + after
    return Edited(after, text_digest(after), _way_back(text, after))


def edited_to(old: str, new: str) -> Edited:
    """What `old` became, with the way back."""
    return Edited(new, text_digest(new), _way_back(old, new))


def undo_edit(text: str, edited: Edited) -> str:
    """The text as it was before the edit.

    Raises
    ------
    EditRefused : `text` isn't what the edit gave.
    """
    if text_digest(text) != edited.digest:
        raise EditRefused("The file has changed since the edit, so it can't be taken back.")
    return applied(text, [edited.undo])


def edit_file(path: Path, edits: Sequence[BuildEdit], *, seen: str | None = None) -> Edited:
    """Make all edits in a file, or none: the file holds the old text or the new one, and never less.

    The new text is written beside the file and takes its place in one step; its permissions stay; a link stays a link.

    Raises
    ------
    EditRefused : as `edit_text`, and when the file can't be read or written.
    """
    try:
        real = path.resolve(strict=True)
        old = real.read_bytes()
        text = old.decode("utf-8")
    except (OSError, RuntimeError, UnicodeDecodeError) as error:
        raise EditRefused(f"{path} can't be read as text: {error}.") from error
    edited = edit_text(text, edits, seen=seen, file=str(path))
    if edited.text != text:
        replace_file(real, old=old, new=edited.text.encode("utf-8"))
    return edited


def from_fix(edits: Iterable[finding.Edit], text: str) -> tuple[BuildEdit, ...]:
    """The edits of a finding's fix, their texts read as they would be in the file.

    A path whose last piece isn't there yet, in a mapping that is (or behind a name with nothing behind it), becomes a
    new entry.
    """
    plain = _plain_of(text.removeprefix(BYTE_ORDER_MARK), "the file")
    made: list[BuildEdit] = []
    for edit in edits:
        pieces = pieces_of(edit.path)
        if edit.text is None:
            made.append(DeleteEntry(pieces))
            continue
        if edit.on_key:
            made.append(RenameEntry(pieces, edit.text))
            continue
        value = _plain_of(edit.text, "the fix") if edit.text.strip() else ""
        holder = value_at(plain, pieces[:-1]) if pieces else None
        if holder == "" or (isinstance(holder, dict) and pieces[-1] not in holder):
            made.append(InsertEntry(pieces[:-1], value, name=pieces[-1]))
        else:
            made.append(SetValue(pieces, value))
    return tuple(made)


def _turn(position: int, number: int, edit: BuildEdit) -> tuple[int, bool, int]:
    """When it is an edit's turn: from the last place to the first.

    At one place the later of two entries that follow the same one is put in first; those for the end, in order.
    """
    comes_last = isinstance(edit, InsertEntry) and not edit.after
    return -position, comes_last, number if comes_last else -number


def _edited_once(text: str, plain: Plain, edit: BuildEdit, file: str) -> tuple[str, Plain]:
    """One edit made and proven: the new text, and what it says."""
    wanted = changed(plain, edit)
    root = root_of(text)
    if isinstance(edit, InsertEntry):
        into = pieces_of(edit.into)
        splices = insert_entry(text, root, into, name=edit.name, value=edit.value, after=edit.after)
    else:
        place = find(text, root, pieces_of(edit.path))
        assert root is not None  # _position has looked
        assert place is not None
        if isinstance(edit, SetValue):
            splices = set_value(text, place, edit.value)
        elif isinstance(edit, RenameEntry):
            splices = rename_entry(place, edit.name)
        else:
            splices = delete_entry(text, root, pieces_of(edit.path))
    new = applied(text, splices)
    if in_order(_read_again(new)) != in_order(wanted):
        raise EditRefused(
            f"{spoken(edit)} is written in a way that can't be edited exactly. Change it in {file} by hand."
        )
    return new, wanted


def _plain_of(text: str, file: str) -> Plain:
    try:
        document = read_nodes(text, file=file)
    except DoorRefused as refused:
        raise EditRefused(str(refused)) from refused
    if document.left_out or (document.findings and not document.plain):
        first = document.findings[0]
        where = f"{first.where[0]} " if first.where else ""
        why = first.template.format(**first.values)
        raise EditRefused(f"{where}{why} Mend this first; then it can be edited.")
    return document.plain


def _read_again(text: str) -> Plain | None:
    try:
        return _plain_of(text, "")
    except EditRefused:
        return None


def _position(text: str, root: yaml.Node | None, plain: Plain, edit: BuildEdit) -> int:
    """Where in the text the edit happens; what can't be edited is refused here."""
    if not isinstance(edit, InsertEntry):
        place = find(text, root, pieces_of(edit.path))
        if place is None:
            raise EditRefused(f"{spoken(edit)} isn't in the file.")
        if isinstance(edit, RenameEntry):
            holder = value_at(plain, pieces_of(edit.path)[:-1])
            if isinstance(holder, dict) and edit.name in holder and edit.name != pieces_of(edit.path)[-1]:
                raise EditRefused(f"There is a {edit.name} beside {spoken(edit)} already.")
        return place.start
    into = pieces_of(edit.into)
    holder = value_at(plain, into)
    if holder is None:
        raise EditRefused(f"{spoken(edit)} isn't in the file.")
    if isinstance(holder, list) == bool(edit.name) if isinstance(holder, list | dict) else holder != "":
        what = "a list, whose entries have no name" if isinstance(holder, list) else "no list"
        raise EditRefused(f"{spoken(edit)} is {what}.")
    if isinstance(holder, dict) and edit.name in holder:
        raise EditRefused(f"{spoken(edit)} has a {edit.name} already.")
    place = find(text, root, into) if into else None
    node = place.value if place is not None else root
    if not is_container(node):
        if edit.after:
            raise EditRefused(f"{spoken(edit)} has no {edit.after}.")
        return len(text) if node is None else node.end_mark.index
    number = number_of(node, edit.after) if edit.after else len(node.value) - 1
    if number is None:
        raise EditRefused(f"{spoken(edit)} has no {edit.after}.")
    return entry(text, node, number).end if number >= 0 else node.end_mark.index


def _way_back(old: str, new: str) -> Splice:
    """The smallest single splice that makes `old` of `new`."""
    shorter = min(len(old), len(new))
    start = next((at for at in range(shorter) if old[at] != new[at]), shorter)
    tail = next((at for at in range(shorter - start) if old[-1 - at] != new[-1 - at]), shorter - start)
    return Splice(start, len(new) - tail, old[start : len(old) - tail])
