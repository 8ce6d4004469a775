"""Makes the computed fixes of findings in a text, one after the other, each proven before the next.

After an edit the text is read again: the finding has to be gone, and nothing else may be wrong at the place that was
edited. What only comes to light because more can be understood now is told by the next look, and is no harm.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from coachwright.build.edit import Edited, edit_text, edited_to, from_fix, text_digest, undo_edit
from coachwright.build.edit_file import create_file, replace_file
from coachwright.build.edit_splices import Splice
from coachwright.kit.errors import DoorRefused, EditRefused
from coachwright.kit.finding import Finding, Fix, FixKind
from coachwright.kit.text_file import read_bounded

MOST_STEPS = 200
_MOST_UNDO_BYTES = 50_000_000

Look = Callable[[str], tuple[Finding, ...]]
"""Everything that is found in a text."""

MendOf = Callable[[str, Finding], Fix | None]
"""Works out the fix of a finding in a text that came without an edit; None where there is nothing to work out."""


@dataclass(frozen=True, slots=True)
class Step:
    """One finding that was mended. text : after it."""

    finding: Finding
    text: str


@dataclass(frozen=True, slots=True)
class Mended:
    """What came of it.

    text : with all mends made. steps : one for each. held_back : findings with an edit that was not made, and why.
    without : findings that have no edit.
    """

    text: str
    steps: tuple[Step, ...]
    held_back: tuple[tuple[Finding, str], ...]
    without: tuple[Finding, ...]


def mended(
    text: str,
    look: Look,
    *,
    code: str,
    at: str = "",
    kinds: Iterable[FixKind],
    file: str = "the file",
    mend_of: MendOf | None = None,
) -> Mended:
    """Mend every finding of `code` (at `at` or beneath it) whose edit is of one of `kinds`.

    mend_of : works out the fix of a finding that has no edit of its own; asked when its turn comes, for it takes long.
    """
    steps: list[Step] = []
    held_back: dict[tuple[str, ...], tuple[Finding, str]] = {}
    worked_out: dict[tuple[str, ...], Finding] = {}
    allowed = frozenset(kinds)
    found = look(text)
    while len(steps) < MOST_STEPS:
        waiting = [
            each
            for each in _chosen(found, code, at)
            if each.fix is not None and each.fix.edits and _same(each) not in held_back
        ]
        if not waiting:
            plain = [each for each in _chosen(found, code, at) if _has_no_edit(each) and _same(each) not in worked_out]
            if mend_of is None or not plain:
                break
            finding = plain[0]
            fix = mend_of(text, finding)
            worked_out[_same(finding)] = finding if fix is None else replace(finding, fix=fix)
            if fix is None or not fix.edits:
                continue
            waiting = [worked_out[_same(finding)]]
        finding = waiting[0]
        assert finding.fix is not None  # only such are waiting
        if finding.fix.kind not in allowed:
            held_back[_same(finding)] = (finding, "")
            continue
        try:
            new = edit_text(text, from_fix(finding.fix.edits, text), file=file).text
            after = look(new)
        except (EditRefused, DoorRefused) as refused:
            held_back[_same(finding)] = (finding, str(refused))
            continue
        worse = _worse(finding, found, after)
        if worse:
            held_back[_same(finding)] = (finding, worse)
            continue
        text, found = new, after
        worked_out.clear()  # another text: what couldn't be mended before may be now
        steps.append(Step(finding, new))
    without = tuple(
        worked_out.get(_same(each), each)
        for each in _chosen(found, code, at)
        if _has_no_edit(each) and _same(each) not in held_back
    )
    return Mended(text, tuple(steps), tuple(held_back.values()), without)


def write_mended(path: Path, old: str, new: str) -> None:
    """Put `new` in the place of `old`, and keep the way back beside it.

    Raises
    ------
    EditRefused : the file holds something else by now, or can't be written.
    """
    edited = edited_to(old, new)
    way_back = {
        "of": edited.digest,
        "start": edited.undo.start,
        "end": edited.undo.end,
        "text": edited.undo.text,
    }
    # the way back first: one that leads from a text that never came is none, and does no harm
    _write_over(undo_path(path), json.dumps(way_back, ensure_ascii=True).encode("ascii"))
    replace_file(path.resolve(), old=old.encode("utf-8"), new=new.encode("utf-8"))


def undone(path: Path, text: str) -> str:
    """The text as it was before the last mend.

    Raises
    ------
    EditRefused : there is no mend to take back, or the file has changed since.
    """
    where = undo_path(path)
    try:
        kept = _way_back(read_bounded(where, most_bytes=_MOST_UNDO_BYTES))
    except (FileNotFoundError, DoorRefused):
        kept = None
    if kept is None:
        raise EditRefused(f"No mend of {path} is remembered.")
    digest, splice = kept
    if digest != text_digest(text) or not 0 <= splice.start <= splice.end <= len(text):
        raise EditRefused(f"{path} has changed since the mend, so it can't be taken back.")
    return undo_edit(text, Edited(text, digest, splice))


def forget_undo(path: Path) -> None:
    """After the way back was gone, there is none."""
    undo_path(path).unlink(missing_ok=True)


def undo_path(path: Path) -> Path:
    """Where the way back of the last mend is kept: a hidden file beside the build."""
    return path.with_name(f".{path.name}.undo")


def _chosen(found: Iterable[Finding], code: str, at: str) -> list[Finding]:
    return [
        each for each in found if each.code == code and (not at or each.about == at or each.about.startswith(f"{at}."))
    ]


def _has_no_edit(finding: Finding) -> bool:
    return finding.fix is None or not finding.fix.edits


def _same(finding: Finding) -> tuple[str, ...]:
    return finding.code, finding.about, str(sorted(finding.values.items(), key=str))


def _said(finding: Finding) -> tuple[str, str]:
    return finding.code, str(sorted(finding.values.items(), key=str))


def _worse(finding: Finding, before: tuple[Finding, ...], after: tuple[Finding, ...]) -> str:
    """Why an edit is no mend; "" where it is one."""
    known = {_said(each) for each in before}  # wherever: items of a list may have moved up
    if _same(finding) in {_same(each) for each in after}:
        return "It would still be found."
    edited = [_place(edit.path) for edit in (finding.fix.edits if finding.fix else ()) if edit.text is not None]
    new = [
        each
        for each in after
        if each.severity == "error"
        and _said(each) not in known
        and (each.about == finding.about or any(_touch(each.about, place) for place in edited))
    ]
    return f"It would bring {new[0].code} {new[0].name} there." if new else ""


def _touch(about: str, place: str) -> bool:
    return about == place or about.startswith(f"{place}.")


def _place(path: str | tuple[str, ...]) -> str:
    return path if isinstance(path, str) else ".".join(path)


def _way_back(text: str) -> tuple[str, Splice] | None:
    try:
        kept: Any = json.loads(text)
    except (ValueError, RecursionError):
        return None
    if not isinstance(kept, dict):
        return None
    digest, start, end, old = (kept.get(name) for name in ("of", "start", "end", "text"))
    if not isinstance(digest, str) or not isinstance(old, str) or type(start) is not int or type(end) is not int:
        return None
    return digest, Splice(start, end, old)


def _write_over(path: Path, content: bytes) -> None:
    """A file of ours, whatever it held; a link that stands there is not followed."""
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise EditRefused(f"{path} can't be written: {error.strerror or error}. Nothing was mended.") from error
    create_file(path, new=content)
