"""How does each judgement and each finding stand in a paper's tables?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from coachwright.kit.finding import Finding, Severity
from coachwright.kit.mark import Mark
from coachwright.kit.nodes import Document
from coachwright.look.cells import (
    cite_text,
    limit_cell,
    margin_cell,
    sentence,
    standing_cell,
    value_beside_limit,
    worst_cell,
)
from coachwright.look.quote import quote
from coachwright.look.style import STATES, STATUS_WORDS, Look, state_look
from coachwright.papers.printed import line_of, printed
from coachwright.papers.summary import STATE_MEANS

if TYPE_CHECKING:
    from coachwright.proof.judge import Judgement
    from coachwright.proof.verdict import Verdict
    from coachwright.rules.schema import Pack

_GROUPS: tuple[tuple[Severity, str, str], ...] = (
    ("error", "These stop delivery", STATES["fail"].ink),
    ("warning", "To be read", STATES["near"].ink),
    ("note", "Told", STATES["not-measured"].ink),
)


def finding_groups(verdict: Verdict) -> list[dict[str, Any]]:
    """The findings, most urgent first, each with its place in the file."""
    groups = []
    for severity, title, ink in _GROUPS:
        found = [each for each in verdict.findings if each.severity == severity]
        if found:
            said = f"{title}: {len(found)}"
            groups.append({"title": said, "ink": ink, "items": _gathered(found, verdict.text)})
    return groups


def _gathered(findings: list[Finding], text: str) -> list[dict[str, Any]]:
    """Findings of one code and one mend together: the first in full, the others with their own place and value."""
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    for each in findings:
        fix = each.fix.sentence if each.fix is not None else ""
        alike.setdefault((each.code, each.template, fix), []).append(each)
    return [
        {**_finding(first, text), "more": [_further(each, first) for each in others]}
        for first, *others in alike.values()
    ]


def _further(finding: Finding, first: Finding) -> dict[str, str]:
    """What differs from the first of its kind."""
    said = sentence(finding)
    if finding.value is not None:
        said = value_beside_limit(finding.value, finding.limit)
        place = finding.values.get("place", "")
        said += str(place) if isinstance(place, str) else ""
    place = str(finding.where[0]) if finding.where else ""
    about = finding.about if finding.about != first.about else ""
    return {"about": printed(about), "said": printed(said), "place": printed(place)}


def _finding(finding: Finding, text: str) -> dict[str, Any]:
    mark = finding.where[0] if finding.where else None
    quoted = quote(text, mark, width=92) if mark is not None else None
    return {
        "code": printed(finding.code),
        "name": printed(finding.name),
        "place": printed(str(mark)) if mark is not None else "",
        "about": printed(finding.about),
        "quoted": printed(quoted.line.strip()) if quoted is not None else "",
        "said": printed(sentence(finding)),
        "fix": printed(finding.fix.sentence) if finding.fix is not None else "",
        "story": [f"{number}. {printed(step)}" for number, step in enumerate(finding.story, start=1)],
        "cite": printed(f"Source: {cite_text(finding.cite)}") if finding.cite is not None else "",
    }


def legend() -> list[dict[str, str]]:
    """Every state with its word, its sign and what it means."""
    return [
        {**look_of(state_look(state, "fail" if state == "draft" else "")), "means": STATE_MEANS[state]}
        for state in STATES
    ]


def pack_tables(verdict: Verdict, document: Document | None) -> list[dict[str, Any]]:
    """Every rule of every pack; nothing that was judged is left out, also of a pack that isn't listed."""
    by_pack: dict[str, list[Judgement]] = {}
    for judgement in verdict.judgements:
        by_pack.setdefault(judgement.pack, []).append(judgement)
    packs: Mapping[str, Pack] = {pack.pack: pack for pack in verdict.packs}
    return [
        {
            "title": printed(packs[name].title if name in packs else name),
            "about": printed(_about_pack(packs[name])) if name in packs else "",
            "rules": _rules(judgements, document),
        }
        for name, judgements in sorted(by_pack.items())
    ]


def _about_pack(pack: Pack) -> str:
    edition = f"edition {pack.edition}" if pack.edition.isdecimal() else pack.edition
    said = [STATUS_WORDS[pack.status], edition, f"{len(pack.rules)} rules"]
    if pack.shop_figures:
        said.append(f"figures keyed in by the shop: {', '.join(pack.shop_figures)}")
    return ", ".join(part for part in said if part) + f". {pack.note}".rstrip()


def _rules(judgements: list[Judgement], document: Document | None) -> list[dict[str, Any]]:
    """Each rule once, with a row for each of its subjects."""
    by_code: dict[str, list[Judgement]] = {}
    for judgement in judgements:
        by_code.setdefault(judgement.rule.code, []).append(judgement)
    return [
        {
            "code": printed(found[0].rule.code),
            "name": printed(found[0].rule.name),
            "asks": printed(found[0].rule.asks),
            "limit": printed(limit_cell(found[0].rule).text),
            "source": printed(f"{cite_text(found[0].rule.cite)}; {standing_cell(found[0]).text}"),
            "rows": [_row(judgement, document) for judgement in found],
        }
        for found in by_code.values()
    ]


def _row(judgement: Judgement, document: Document | None) -> dict[str, Any]:
    return {
        "state": look_of(state_look(judgement.state, judgement.would)),
        "about": printed(_subject(judgement)),
        "why": printed(_why(judgement)),
        "worst": printed(worst_cell(judgement).text),
        "margin": printed(margin_cell(judgement).text),
        "line": line_of(judgement_mark(judgement, document)),
    }


def judgement_mark(judgement: Judgement, document: Document | None) -> Mark | None:
    """The line most fixable for this number: of what it depends on, else of its subject."""
    if judgement.finding is not None and judgement.finding.where:
        return judgement.finding.where[0]
    if document is None:
        return None
    blame = judgement.measure.blame if judgement.measure is not None else ()
    for path in (*blame, judgement.about):
        mark = document.nearest_mark(path) if path else None
        if mark is not None:
            return mark
    return None


def _subject(judgement: Judgement) -> str:
    measure = judgement.measure
    said = [judgement.about]
    if measure is not None:
        in_place = judgement.about == f"situations.{measure.situation}" or measure.situation in measure.where
        said += [measure.where, "" if in_place or not measure.situation else f"in {measure.situation}"]
    return ", ".join(part for part in said if part)


def _why(judgement: Judgement) -> str:
    if judgement.waiver is not None:
        waiver = judgement.waiver
        return f"waived by {waiver.by} until {waiver.until}: {waiver.why}"
    return "" if judgement.state == "draft" else judgement.why


def look_of(look: Look) -> dict[str, str]:
    """What the templates' state chip needs."""
    return {"word": look.word, "sign": look.sign, "ink": look.ink, "wash": look.wash}
