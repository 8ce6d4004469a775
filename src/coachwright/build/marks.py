"""Where in the file does each finding stand?"""

from __future__ import annotations

from collections.abc import Iterable

from coachwright.build.sure_fix import fix_of
from coachwright.build.trouble import Trouble
from coachwright.kit.finding import Finding
from coachwright.kit.mark import Mark
from coachwright.kit.nodes import Document, PathPieces


def mark_findings(findings: Iterable[Finding], document: Document) -> tuple[Finding, ...]:
    """The same findings, in the same order, each with a mark.

    A finding that has marks keeps them. Any other gets the place of what it is `about`; where that was not written
    itself, the place of the nearest of its parents that was.
    """
    return tuple(finding if finding.where else finding.at(_about(finding.about, document)) for finding in findings)


def finding_of(trouble: Trouble, document: Document) -> Finding:
    """A trouble of the door as a finding at its line and column."""
    values = {"why": trouble.why}
    if trouble.read:
        values["read"] = trouble.read
    if trouble.near:
        values["near"] = trouble.near
    marks = [_mark(trouble, document)]
    marks += [mark for path in trouble.also if (mark := document.nearest_mark(path)) is not None]
    return Finding(
        trouble.code,
        trouble.name,
        trouble.severity,
        "{why}",
        values,
        about=".".join(trouble.path),
        where=tuple(dict.fromkeys(marks)),
        fix=fix_of(trouble, document),
    )


def _about(about: str, document: Document) -> Mark:
    pieces = about.split(".") if about else []
    whole = document.mark(tuple(pieces)) if pieces else None
    if whole is not None and "\n" in document.text[whole.start : whole.end]:
        return document.mark(tuple(pieces), key=True) or whole  # a whole entry is shown by its name
    return whole or _nearest(tuple(pieces), document)


def _mark(trouble: Trouble, document: Document) -> Mark:
    path = trouble.path
    if trouble.span is not None:
        found = document.mark_within(path, *trouble.span)
    else:
        found = document.mark(path, key=trouble.on_key and bool(path))
        if found is not None and not trouble.on_key and "\n" in document.text[found.start : found.end].strip():
            found = document.mark(path, key=True)
    return found or _nearest(path, document)


def _nearest(path: PathPieces, document: Document) -> Mark:
    for end in range(len(path), 0, -1):
        found = document.mark(path[:end], key=True)
        if found is not None:
            return found
    return Mark(document.file, 1, 1)
