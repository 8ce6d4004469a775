"""What can be wrong with a YAML text before anybody asks what it means?

Anchors, tags, tabs, a second document, too many levels, brackets and quotes left open: each is a finding at its
place. Where the text can't be composed, the entry with the fault is blanked (same length, so that all marks stay right)
and the rest is composed again.

Notes
-----
PyYAML's C composer calls itself for every level and dies of some thousand of them, so the depth is bounded before it
is let loose. Looking at tokens or events costs as much as composing; both are done only when a glance says they may be
needed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import yaml

from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.text_lines import blanked, entry_around, line_column
from coachwright.kit.yaml_loader import LOADER, compose_nodes
from coachwright.kit.yaml_words import Fault, fault_of

MAX_REPAIRS = 20
"""Faults of syntax that are told at once."""

MAX_REPAIRED_CHARACTERS = 1_000_000
"""A longer text is composed once only."""

_SUSPECT = re.compile(r"[&*%]|!(?!= )")
_BEFORE_SIGN = frozenset("\n\r [{,:?-")
_TABBED = re.compile(r"^[^\n\t]*\t[^\n]*$", re.MULTILINE)
_INDENT = re.compile(r"^[ ?:-]{60,}", re.MULTILINE)
_NO_BRACKET = re.compile(r"[^\[\]{}]+")


@dataclass(frozen=True, slots=True)
class Composed:
    """What the reader of YAML made of a text.

    root : None when there is nothing. aliased : one node may stand at two places. shift : characters not counted.
    """

    root: yaml.Node | None
    findings: tuple[Finding, ...]
    left_out: tuple[tuple[str, ...], ...]
    aliased: bool
    shift: int


def text_finding(code: str, name: str, why: str, write: str, mark: Mark, *, about: str = "") -> Finding:
    """A finding about the text itself."""
    return Finding(
        code, name, "error", "{why}", {"why": why}, about=about, where=(mark,), fix=Fix(write) if write else None
    )


def compose(text: str, *, file: str, most_depth: int) -> Composed:
    """The nodes of `text`, as far as it can be read, and everything that is wrong with it."""
    shift = 1 if text.startswith("\ufeff") else 0
    work, findings = _tabs(text[shift:], file)
    left_out: list[tuple[str, ...]] = []
    aliased = False
    deep = _too_deep(work, file, most_depth)
    if deep is not None:
        return Composed(None, (*_moved(findings, shift), *_moved([deep], shift)), (), False, shift)
    root: yaml.Node | None = None
    repairs = MAX_REPAIRS if len(text) <= MAX_REPAIRED_CHARACTERS else 0
    for turn in range(repairs + 1):
        try:
            root = compose_nodes(work)
        except (yaml.YAMLError, UnicodeError) as error:
            fault = fault_of(error, work)
            again = any(finding.where[0].start == fault.start for finding in findings)
            if not again:
                findings.append(_fault_finding(fault, work, file))
            cut = _cut(work, replace(fault, cuts_rest=fault.cuts_rest or again))
            if cut is None or turn == repairs:
                break
            work, paths = cut
            left_out.extend(paths)
            deep = _too_deep(work, file, most_depth)
            if deep is not None:
                break
        else:
            break
    if _is_suspect(work):
        found, aliased = _signs(work, file)
        known = {finding.where[0].line for finding in findings}
        for finding in found:
            if finding.where[0].line not in known:
                findings.append(finding)
            if finding.code != "BLD-042":
                left_out.extend(entry_around(work, finding.where[0].start, whole_section=False)[2])
    return Composed(root, tuple(_moved(findings, shift)), tuple(left_out), aliased, shift)


def _moved(findings: list[Finding], shift: int) -> list[Finding]:
    if not shift:
        return findings
    return [
        replace(each, where=tuple(replace(mark, start=mark.start + shift, end=mark.end + shift) for mark in each.where))
        for each in findings
    ]


def _tabs(text: str, file: str) -> tuple[str, list[Finding]]:
    """The text with spaces in place of tabs, and a finding for each line that holds one outside its comment."""
    if "\t" not in text:
        return text, []
    findings: list[Finding] = []
    for found in _TABBED.finditer(text):
        before_comment = re.split(r"(?<!\S)#", found[0], maxsplit=1)[0]
        at = before_comment.find("\t")
        if at >= 0 and len(findings) < MAX_REPAIRS:
            start = found.start() + at
            line, column = line_column(text, start)
            findings.append(
                text_finding(
                    "BLD-044", "tab", "A tab stands here.", "Write spaces.", Mark(file, line, column, start, start + 1)
                )
            )
    return text.replace("\t", " "), findings


def is_plain(text: str) -> bool:
    """Is there nothing in it to look at more closely: no tab, no sign, no mark of a document, no depth?"""
    return not (
        "\t" in text
        or text.startswith(("\ufeff", "---", "..."))
        or "\n---" in text
        or "\n..." in text
        or _is_suspect(text)
        or _may_be_deep(text)
    )


def _is_suspect(text: str) -> bool:
    """A glance: could there be an anchor, an alias, a tag or a directive?"""
    for found in _SUSPECT.finditer(text):
        at = found.start()
        before = text[at - 1] if at else "\n"
        if before in "\n\r" or (before in _BEFORE_SIGN and text[at] != "%"):
            return True
    return False


def _too_deep(text: str, file: str, most_depth: int) -> Finding | None:
    """A finding where a list or mapping begins more than `most_depth` levels down."""
    if not _may_be_deep(text):
        return None
    depth = 0
    try:
        for event in yaml.parse(text, Loader=LOADER):
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > most_depth:
                    start = event.start_mark.index if event.start_mark is not None else 0
                    mark = Mark(file, *line_column(text, start), start, start + 1)
                    why = f"This lies deeper than {most_depth} levels; nothing in this language does."
                    return text_finding("BLD-045", "nested-too-deep", why, "Look for a bracket too many.", mark)
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
    except (yaml.YAMLError, UnicodeError):
        return None  # up to the fault it was not too deep, and composing ends at the same fault
    return None


def _may_be_deep(text: str) -> bool:
    """A glance that errs on the safe side: each level of a block needs a column, each level in brackets a bracket."""
    if _INDENT.search(text):
        return True
    brackets = _NO_BRACKET.sub("", text)
    for _ in range(20):
        if not brackets:
            return False
        brackets = brackets.replace("[]", "").replace("{}", "")
    return bool(brackets)


def _fault_finding(fault: Fault, text: str, file: str) -> Finding:
    line, column = line_column(text, fault.start)
    mark = Mark(file, line, column, fault.start, max(fault.start, fault.end))
    return text_finding(fault.code, fault.name, fault.why, fault.write, mark)


def _cut(text: str, fault: Fault) -> tuple[str, tuple[tuple[str, ...], ...]] | None:
    """The text without the entry the fault stands in, and its path; None when there is nothing to cut."""
    if fault.cuts_rest:
        rest = blanked(text, fault.start, len(text))
        return None if rest == text else (rest, ((),))
    for wide in (False, True):
        start, end, paths = entry_around(text, fault.opened, whole_section=wide)
        without = blanked(text, start, end)
        if without != text:
            return without, paths
    return None


def _signs(text: str, file: str) -> tuple[list[Finding], bool]:
    """Anchors, aliases, tags, directives: legal YAML that this language does without."""
    found: list[Finding] = []
    aliased = False
    try:
        for token in yaml.scan(text, Loader=LOADER):
            told = _sign_of(token)
            aliased = aliased or isinstance(token, yaml.AliasToken)
            if len(found) == MAX_REPAIRS:
                return found, True  # enough is told; there may be anything in the rest
            if told is not None:
                start, end = token.start_mark, token.end_mark
                mark = Mark(file, start.line + 1, start.column + 1, start.index, end.index)
                found.append(text_finding(*told, mark))
    except (yaml.YAMLError, UnicodeError):
        pass  # the fault has its finding already
    return found, aliased


def _sign_of(token: yaml.Token) -> tuple[str, str, str, str] | None:
    match token:
        case yaml.AliasToken():
            why = f"*{str(token.value)[:40]} is an alias, and this language has none."
            return "BLD-040", "alias-or-anchor", why, "Write out what it stands for; for everything write all."
        case yaml.AnchorToken():
            why = f"&{str(token.value)[:40]} is an anchor, and this language has none."
            return "BLD-040", "alias-or-anchor", why, "Leave it away, and write out what is meant where it is meant."
        case yaml.TagToken():
            return "BLD-041", "tag", "A word behind ! is a tag, and this language has none.", "Put the text in quotes."
        case yaml.DirectiveToken():
            return (
                "BLD-042",
                "directive",
                "A line with % in front is a directive, and this language has none.",
                "Leave it away.",
            )
    return None
