"""What solvers chose, as it stands in the lock beside a build; and how it is written there.

One decision a line, sorted, so that a difference between two locks can be read. Nobody has to write in it; whoever does
is told at which line what can't be read, and the rest still holds.

See Also
--------
coachwright.build.settling : who decides, and from what.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coachwright.build.choices import Choices
from coachwright.build.edit_file import create_file, replace_file
from coachwright.build.edit_value import written
from coachwright.build.model import Decision, Fixed
from coachwright.kit.errors import DoorRefused, EditRefused
from coachwright.kit.fields import NAME
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.nodes import Document, PathPieces, read_nodes
from coachwright.kit.text_file import read_bounded

VERSION = "1"
MOST_CHARACTERS = 2_000_000
MOST_DECISIONS = 20_000
MOST_FINDINGS = 50

_SUBJECT = re.compile(r"(?:equipment|feeds|lamps)(?:\.[a-z0-9]+(?:-[a-z0-9]+)*){1,4}", re.ASCII)
_DIGEST = re.compile(r"[0-9a-f]{8,64}", re.ASCII)
_FIELDS = ("about", "what", "value", "when", "by", "from")
_HEAD = """\
# What solvers chose for {build}. coachwright settle writes this file; the next run reads it.
# A choice of your own belongs under fixed: in the build, and wins over what stands here.
coachwright-lock: 1
"""


@dataclass(frozen=True, slots=True)
class Lock:
    """A lock that was read. file : as marks show it; text : all of it, "" where there is none."""

    file: str
    text: str = ""
    decisions: tuple[Decision, ...] = ()
    findings: tuple[Finding, ...] = ()
    document: Document | None = None

    def for_choices(self, choices: Choices, base: Choices, *, fixed: Iterable[Fixed] = ()) -> tuple[Decision, ...]:
        """What holds for vehicles with these choices: their own decisions first, then those for all; the lead's win."""
        own = tuple(pair for pair in choices if pair not in base)
        taken = {(each.subject, each.what) for each in fixed}
        found: dict[tuple[str, str], Decision] = {}
        for decision in self.decisions:
            about = (decision.subject, decision.what)
            if about in taken or (decision.choices and set(decision.choices) != set(own)):
                continue
            if decision.choices or about not in found:
                found[about] = decision
        return tuple(found[about] for about in sorted(found))


def lock_path(build: Path) -> Path:
    """Where the lock of a build lies: ``build.lock.yaml`` beside ``build.yaml``."""
    return build.with_name(f"{build.stem}.lock.yaml")


def read_lock(path: Path) -> Lock:
    """The lock at `path`; an empty one where there is none. What can't be read of it is among its findings."""
    try:
        text = read_bounded(path, most_bytes=4 * MOST_CHARACTERS)
    except FileNotFoundError:
        return Lock(str(path))
    except DoorRefused as refused:
        return Lock(str(path), findings=(_refused(str(path), str(refused)),))
    return read_lock_text(text, file=str(path))


def read_lock_text(text: str, *, file: str) -> Lock:
    """What the text of a lock says."""
    if len(text) > MOST_CHARACTERS:
        return Lock(file, text, findings=(_refused(file, f"{file} is longer than {MOST_CHARACTERS:,} characters."),))
    try:
        document = read_nodes(text, file=file)
    except DoorRefused as refused:
        return Lock(file, text, findings=(_refused(file, str(refused)),))
    reading = _Reading(document)
    reading.whole()
    findings = tuple(sorted((*document.findings, *reading.findings), key=Finding.sort_key)[:MOST_FINDINGS])
    return Lock(file, text, tuple(sorted(reading.decisions, key=sort_key)), findings, document)


def lock_text(decisions: Iterable[Decision], *, build: str) -> str:
    """The text of a lock with these decisions. build : name of the build file, for whoever opens the lock."""
    lines = [_line(each) for each in sorted(set(decisions), key=sort_key)]
    body = "decisions:\n" + "".join(f"- {line}\n" for line in lines) if lines else "decisions: []\n"
    return _HEAD.format(build=" ".join(build.split())) + body


def write_lock(lock: Lock, decisions: Iterable[Decision], *, path: Path, build: str) -> bool:
    """Put these decisions in the place of what `lock` was read from, in one step; True when that changed anything.

    Raises
    ------
    EditRefused : what stands there is a link or no lock, has changed since it was read, or can't be written.
    """
    new = lock_text(decisions, build=build)
    if path.is_symlink():
        raise EditRefused(f"{path} is a link, and settle writes through none. Put the file itself there.")
    there = path.exists()
    if there and not _is_lock(lock):
        raise EditRefused(f"{path} isn't a lock. Move it away; then settle writes one.")
    if new == lock.text or (not there and not lock.text and new == lock_text((), build=build)):
        return False
    if there:
        replace_file(path, old=lock.text.encode("utf-8"), new=new.encode("utf-8"))
    else:
        create_file(path, new=new.encode("utf-8"))
    return True


def _is_lock(lock: Lock) -> bool:
    """Was it one, or nothing at all? Whatever else is called so is somebody's own."""
    if lock.document is None:
        return False
    plain = lock.document.plain
    if not plain:
        return not lock.document.findings
    return isinstance(plain, dict) and "coachwright-lock" in plain


def sort_key(decision: Decision) -> tuple[object, ...]:
    """By what they are about, then for which vehicles."""
    return (decision.subject, decision.what, decision.choices, decision.value, decision.by, decision.decided_from)


def _line(decision: Decision) -> str:
    fields: dict[str, Any] = {"about": decision.subject, "what": decision.what, "value": decision.value}
    if decision.choices:
        fields["when"] = dict(decision.choices)
    return written(fields | {"by": decision.by, "from": decision.decided_from}, in_flow=False)


class _Reading:
    """One way through a lock."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.decisions: list[Decision] = []
        self.findings: list[Finding] = []

    def whole(self) -> None:
        plain = self.document.plain
        if not isinstance(plain, dict) or (plain and plain.get("coachwright-lock") is None):
            if plain:
                self._wrong((), "A lock begins with coachwright-lock: 1.")
            return
        if plain and plain["coachwright-lock"] != VERSION:
            self._wrong(("coachwright-lock",), f"This coachwright reads locks of version {VERSION}.")
            return
        for name in plain:
            if name not in ("coachwright-lock", "decisions"):
                self._wrong((name,), f"A lock has no {name[:60]}.", on_key=True)
        decisions = plain.get("decisions", "")
        if decisions == "":
            return
        if not isinstance(decisions, list) or len(decisions) > MOST_DECISIONS:
            self._wrong(("decisions",), f"A list of at most {MOST_DECISIONS:,} decisions belongs here.", on_key=True)
            return
        seen: dict[tuple[object, ...], int] = {}
        for number, item in enumerate(decisions, start=1):
            decision = self._decision(("decisions", str(number)), item)
            if decision is None:
                continue
            about = (decision.subject, decision.what, frozenset(decision.choices))
            if about in seen:
                path = ("decisions", str(number))
                self._wrong(path, f"The {decision.what} of {decision.subject} is decided twice, here and above.")
                continue
            seen[about] = number
            self.decisions.append(decision)

    def _decision(self, path: PathPieces, item: Any) -> Decision | None:
        if not isinstance(item, dict):
            self._wrong(path, "A decision has the fields about, what, value, by and from.")
            return None
        before_n = len(self.findings)
        for name in item:
            if name not in _FIELDS:
                self._wrong((*path, name), f"A decision has no field {name[:60]}.", on_key=True)
        for name in ("about", "what", "value", "by", "from"):
            if not isinstance(item.get(name), str) or not item[name] or len(item[name]) > 200:
                self._wrong((*path, name), f"{name} is missing here, or isn't one line of text.")
        when = item.get("when", {})
        if not isinstance(when, dict) or not all(_is_name(name) and _is_name(value) for name, value in when.items()):
            self._wrong((*path, "when"), "Options with the values chosen belong here.")
        if len(self.findings) == before_n and not _SUBJECT.fullmatch(item["about"]):
            self._wrong((*path, "about"), f"{item['about'][:60]} names no equipment, feed or lamp.")
        if len(self.findings) == before_n and not _DIGEST.fullmatch(item["from"]):
            self._wrong((*path, "from"), "A digest belongs here.")
        if len(self.findings) == before_n and not (_is_name(item["what"]) and _is_name(item["by"])):
            self._wrong(path, "what and by are plain names.")
        if len(self.findings) > before_n:
            return None
        choices = tuple(sorted(when.items()))
        return Decision(item["about"], item["what"], item["value"], item["by"], item["from"], choices, ".".join(path))

    def _wrong(self, path: PathPieces, why: str, *, on_key: bool = False) -> None:
        mark = self.document.mark(path, key=on_key) if path else None
        mark = mark or self.document.nearest_mark(path) or Mark(self.document.file, 1, 1)
        fix = Fix("Run coachwright settle; it writes the lock anew.")
        # a decision that can't be read is not used, so the vehicle may be built otherwise than it was settled
        self.findings.append(
            Finding("BLD-170", "lock-not-read", "warning", "{why}", {"why": why}, where=(mark,), fix=fix)
        )


def _is_name(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= 64 and NAME.fullmatch(value) is not None


def _refused(file: str, why: str) -> Finding:
    fix = Fix("Move the file away and run coachwright settle.")
    return Finding("BLD-170", "lock-not-read", "warning", "{why}", {"why": why}, where=(Mark(file, 1, 1),), fix=fix)
