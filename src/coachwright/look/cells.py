"""A measure, a rule's state or a finding as print: a cell, a sentence, a block of text with the line it points at.

    build.yaml:6:10  BLD-004 angle-without-unit   lamps.corner.aim
        6 |     aim: 25
          |          ^^  25 of what?  Write 25 deg (turned outward from where the place looks).

Everything that came from a file is put in as text: it can't break a line, move a cursor or carry markup.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.kit.cite import Cite
from coachwright.kit.finding import Finding, FindingValue, Quantity
from coachwright.kit.measure import Measure
from coachwright.kit.show import show, show_apart
from coachwright.look.quote import GUTTER, columns, plain, quote
from coachwright.look.style import STATUS_WORDS, Look, state_look
from coachwright.proof.judge import Judgement
from coachwright.rules.schema import Rule

Role = Literal["place", "code", "about", "source", "caret", "said", "fix", "cite", "severity"]
"""What a stretch of a finding's block is, for faces that colour it."""

_FIELD = re.compile(r"\{([a-z_]+)\}")
WIDTH = 120
SHORT_CARET, LEAST_ROOM = 16, 40
"""A sentence begins beside a short caret; it never gets fewer columns than these."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Text of one cell, with the look of its state where it has one."""

    text: str
    look: Look | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a block: stretches of text, each with its role."""

    stretches: tuple[tuple[Role, str], ...]

    def __str__(self) -> str:
        return "".join(text for _, text in self.stretches).rstrip()


# ---------------------------------------------------------------------------------------------------------- numbers
def value_text(value: float | str | bool | None, kind: str) -> str:
    """A value of `kind` with its unit, as papers print it; a dash where nothing was measured."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return plain(value)
    return show(value, kind)


def quantity_text(quantity: Quantity) -> str:
    """A quantity with its unit."""
    return show(quantity.value, quantity.kind, unit=quantity.unit or None)


def value_beside_limit(value: Quantity, limit: Quantity | None) -> str:
    """A value as printed beside its limit: in its unit, with as many figures as it takes to tell them apart."""
    if limit is None:
        return quantity_text(value)
    return show_apart(value.value, limit.value, value.kind, unit=value.unit or None)[0]


def measure_cell(measure: Measure) -> Cell:
    """What was measured; why not, where it was not."""
    return Cell(value_text(measure.value, measure.kind) if measure.value is not None else plain(measure.why_not))


# ------------------------------------------------------------------------------------------------------- judgements
def state_cell(judgement: Judgement) -> Cell:
    """Sign and word of a rule's state; a draft in brackets with what it would have been."""
    look = state_look(judgement.state, judgement.would)
    return Cell(f"{look.sign} {look.word}", look)


def worst_cell(judgement: Judgement) -> Cell:
    """What was measured in the worst case; a draft's in brackets, for it proves nothing."""
    look = state_look(judgement.state, judgement.would)
    measure = judgement.measure
    if measure is None or measure.value is None:
        return Cell("–", look)
    if isinstance(measure.value, bool | str):
        said = value_text(measure.value, measure.kind)
    else:
        limit = judgement.rule.limit
        bound = limit.bound(measure.value)
        beside = Quantity(bound, measure.kind, limit.unit) if bound is not None else None
        said = value_beside_limit(Quantity(measure.value, measure.kind, limit.unit), beside)
    return Cell(f"({said})" if judgement.state == "draft" else said, look)


def limit_cell(rule: Rule) -> Cell:
    """The limit as its source writes it; for what no room measures, the record that is needed."""
    if rule.closed_by == "bench":
        return Cell(plain(f"bench: {rule.reading}"))
    return Cell(plain(rule.needs or str(rule.limit)))


def margin_cell(judgement: Judgement) -> Cell:
    """How far inside the limit, with a sign; empty for words and answers."""
    margin = judgement.margin
    if margin is None:
        return Cell("")
    said = quantity_text(Quantity(abs(margin.value), margin.kind, margin.unit))
    sign = "-" if margin.value < 0 else "+"
    return Cell(f"({sign}{said})" if judgement.state == "draft" else f"{sign}{said}")


def standing_cell(judgement: Judgement) -> Cell:
    """What the rule's word is worth: law, standard, target, house, contract; draft is said beside it."""
    word = STATUS_WORDS[judgement.status]
    return Cell(f"{word}, draft" if judgement.rule.is_draft else word)


def cite_text(cite: Cite) -> str:
    """Source, edition and clause, and whether anybody has read them."""
    said = {
        "read": f"read {cite.checked_on}",
        "draft": "draft, page not read",
        "house": "common practice",
        "contract": "contract",
    }
    return f"{plain(str(cite))} ({said[cite.status]})"


# --------------------------------------------------------------------------------------------------------- findings
def sentence(finding: Finding) -> str:
    """The finding's sentence with its values filled in. A value can't fill in another."""

    def filled(match: re.Match[str]) -> str:
        value = finding.values.get(match[1])
        if value is None:
            return match[0]
        if isinstance(value, Quantity) and value == finding.value and finding.limit is not None:
            return value_beside_limit(value, finding.limit)
        return _said(value)

    return _FIELD.sub(filled, finding.template).strip()


def finding_text(finding: Finding, *, texts: Mapping[str, str], width: int = WIDTH) -> str:
    """The finding as a block of text, ending without a newline.

    texts : text of each file by the name in its marks, for quoting; a file that isn't here is not quoted.
    """
    return "\n".join(str(line) for line in finding_lines(finding, texts=texts, width=width))


def finding_lines(finding: Finding, *, texts: Mapping[str, str], width: int = WIDTH) -> tuple[Line, ...]:
    """The same block line by line, for faces that colour it."""
    mark = finding.where[0] if finding.where else None
    lines = [_heading(finding)]
    quoted = (
        quote(texts[mark.file], mark, width=width - GUTTER - 3) if mark is not None and mark.file in texts else None
    )
    said: list[tuple[Role, str]] = [("said", sentence(finding))]
    if finding.fix is not None:
        said.append(("fix", plain(finding.fix.sentence)))
    if quoted is not None:
        lines.append(Line((("source", quoted.source()),)))
        lines.extend(_beside(quoted.caret(), said, width))
    else:
        lines.extend(_beside(" " * (GUTTER + 2), said, width))
    lines.extend(_below(finding, width))
    return tuple(lines)


def _heading(finding: Finding) -> Line:
    place = str(finding.where[0]) if finding.where else ""
    stretches: list[tuple[Role, str]] = [("place", plain(f"{place}  "))] if place else []
    stretches.append(("code", f"{finding.code} {finding.name}"))
    if finding.about:
        stretches.append(("about", plain(f"   {finding.about}")))
    if finding.severity != "error":
        stretches.append(("severity", f"   ({finding.severity})"))
    return Line(tuple(stretches))


def _beside(lead: str, said: list[tuple[Role, str]], width: int) -> list[Line]:
    """What is said: beside the caret where it fits or the caret is short, else under it."""
    hang = lead.find("^")
    if hang < 0:
        return _wrapped(lead, lead, said, width - columns(lead))
    whole_n = columns("  ".join(text for _, text in said))
    room = width - columns(lead) - 2
    left = f"{'':>{GUTTER}} | "
    if whole_n <= room or (len(lead) - hang <= SHORT_CARET and room >= LEAST_ROOM):
        return _wrapped(f"{lead}  ", f"{left}{' ' * (hang - GUTTER - 3)}", said, room)
    below = f"{left}{' ' * max(0, min(hang - GUTTER - 3, width - columns(left) - 2 * LEAST_ROOM))}"
    return [Line((("caret", lead),)), *_wrapped(below, below, said, width - columns(below))]


def _wrapped(first: str, rest: str, said: list[tuple[Role, str]], room: int) -> list[Line]:
    whole = "  ".join(text for _, text in said)
    if columns(whole) <= room:
        spaced: list[tuple[Role, str]] = [("caret", first)]
        for number, (role, text) in enumerate(said):
            spaced.append((role, f"  {text}" if number else text))
        return [Line(tuple(spaced))]
    lines: list[Line] = []
    lead = first
    for role, text in said:
        for piece in textwrap.wrap(text, max(30, room), break_on_hyphens=False) or [""]:
            lines.append(Line((("caret", lead), (role, piece))))
            lead = rest
    return lines


def _below(finding: Finding, width: int) -> list[Line]:
    """Story, source, other places, and the command that mends it."""
    lead = f"{'':>{GUTTER}} | " if finding.where else " " * (GUTTER + 2)
    lines: list[Line] = []
    for number, step in enumerate(finding.story, 1):
        lines.extend(_wrapped(f"{lead}{number}. ", f"{lead}   ", [("said", plain(step))], width - columns(lead) - 3))
    if finding.cite is not None:
        lines.extend(_wrapped(lead, lead, [("cite", f"Source: {cite_text(finding.cite)}.")], width - columns(lead)))
    others = _other_places(finding)
    if others:
        lines.append(Line((("caret", lead), ("place", f"Depends also on {others}."))))
    if finding.fix is not None and finding.fix.edits:
        kind = finding.fix.kind.replace("-", " ")
        lines.append(Line((("caret", lead), ("fix", f"Fix: coachwright fix {finding.code}   [{kind}]"))))
    return lines


def _other_places(finding: Finding, most: int = 4) -> str:
    """Further lines the number depends on, most fixable first; lines of the first one's file without its name."""
    first = finding.where[0] if finding.where else None
    others = []
    for mark in finding.where[1:]:
        if first is not None and mark.file == first.file:
            said = f"line {mark.line}" if mark.line != first.line else ""
        else:
            said = plain(str(mark))
        if said and said not in others:
            others.append(said)
    return ", ".join(others[:most])


def _said(value: FindingValue) -> str:
    if isinstance(value, Quantity):
        return quantity_text(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    return plain(str(value))


def one_line(findings: Iterable[Finding]) -> tuple[str, ...]:
    """Each finding on one line: place, code, sentence. For editors and logs."""
    return tuple(
        " ".join(
            part for part in (plain(str(each.where[0])) + ":" if each.where else "", each.code, sentence(each)) if part
        )
        for each in findings
    )
