"""A verdict as SARIF, the open format in which editors and code hosts read findings.

Every finding is a result of kind ``fail``; what a rule passed, left open or doesn't apply to is a result too, with the
kind the format has for it, so that silence isn't read as a pass there either. A draft is for review, never a pass.

References
----------
.. [1] OASIS, "Static Analysis Results Interchange Format (SARIF) Version 2.1.0", Errata 01: 3.13 log, 3.14 run, 3.27
   result (3.27.9 kind, 3.27.10 level, 3.27.23 suppressions), 3.30 region, 3.49 reportingDescriptor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

import coachwright
from coachwright.kit.finding import Finding
from coachwright.kit.mark import Mark
from coachwright.look.cells import cite_text, limit_cell, sentence, standing_cell, worst_cell
from coachwright.look.codes import finding_pages
from coachwright.proof.judge import Judgement, State
from coachwright.proof.rooms import rooms
from coachwright.proof.verdict import UNREADABLE, Verdict
from coachwright.proof.waive import WaivedFinding
from coachwright.rules.explain import explain
from coachwright.rules.schema import Rule

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

_KINDS: dict[State, str] = {
    "pass": "pass",
    "near": "pass",
    "draft": "review",
    "not-measured": "open",
    "not-applicable": "notApplicable",
}
"""What a judgement is that told no finding. "open": it can't be said yet; "review": somebody has to look. [1]"""


def sarif(verdict: Verdict) -> dict[str, Any]:
    """The whole verdict as one SARIF log of one run."""
    told = {(finding.code, finding.about) for finding in verdict.findings}
    told |= {(each.finding.code, each.finding.about) for each in verdict.waived}
    results = [_result(finding) for finding in verdict.findings]
    results += [_waived(each) for each in verdict.waived]
    results += _silent(verdict.judgements, told)
    rules = _rules(verdict, {result["ruleId"] for result in results})
    places = {rule["id"]: number for number, rule in enumerate(rules)}
    for result in results:
        result["ruleIndex"] = places[result["ruleId"]]
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {"driver": {"name": "coachwright", "semanticVersion": coachwright.__version__, "rules": rules}},
                "columnKind": "unicodeCodePoints",
                "invocations": [
                    {"executionSuccessful": verdict.exit_code != UNREADABLE, "exitCode": verdict.exit_code}
                ],
                "artifacts": [
                    {"location": {"uri": uri}, "roles": ["analysisTarget"] if uri == _uri(verdict.file) else []}
                    for uri in _files(verdict)
                ],
                "results": results,
                "properties": {
                    "digest": verdict.digest,
                    "states": dict(verdict.counts.states),
                    "note": "An engineering estimate, not a certificate. Measured acceptance, law and contract decide.",
                },
            }
        ],
    }


def _result(finding: Finding) -> dict[str, Any]:
    first, *others = finding.where or (None,)
    text = sentence(finding)
    if finding.fix is not None:
        text = f"{text} {finding.fix.sentence}".strip()
    result: dict[str, Any] = {
        "ruleId": finding.code,
        "kind": "fail",
        "level": finding.severity,
        "message": {"text": text or finding.name},
        "locations": [_location(first, finding.about)] if first is not None or finding.about else [],
        "partialFingerprints": {"subject/v1": f"{finding.code} {finding.about}".rstrip()},
    }
    if others:
        result["relatedLocations"] = [{"id": number, **_location(mark, "")} for number, mark in enumerate(others, 1)]
    properties = {"name": finding.name}
    if finding.cite is not None:
        properties["source"] = cite_text(finding.cite)
    if finding.story:
        properties["story"] = "\n".join(finding.story)
    result["properties"] = properties
    return result


def _waived(waived: WaivedFinding) -> dict[str, Any]:
    """Somebody lets it stand: still a failure, with who, why and until when."""
    waiver = waived.waiver
    said = f"{waiver.by}: {waiver.why} (until {waiver.until})"
    return {
        **_result(waived.finding),
        "suppressions": [{"kind": "external", "status": "accepted", "justification": said}],
    }


def _silent(judgements: Iterable[Judgement], told: set[tuple[str, str]]) -> Iterator[dict[str, Any]]:
    """Rules that told no finding, each with how it ended."""
    for judgement in judgements:
        if (judgement.rule.code, judgement.about) in told or judgement.state not in _KINDS:
            continue
        ended = judgement.why or f"{worst_cell(judgement).text}; the limit is {limit_cell(judgement.rule).text}"
        yield {
            "ruleId": judgement.rule.code,
            "kind": _KINDS[judgement.state],
            "level": "none",
            "message": {"text": f"{judgement.rule.name} {judgement.state.replace('-', ' ')}: {ended}."},
            "locations": [_location(None, judgement.about)] if judgement.about else [],
            "properties": {"state": judgement.state, "standing": standing_cell(judgement).text},
        }


def _location(mark: Mark | None, about: str) -> dict[str, Any]:
    location: dict[str, Any] = {}
    if mark is not None:
        region: dict[str, int] = {"startLine": mark.line, "startColumn": mark.column}
        if mark.end > mark.start:
            region |= {"charOffset": mark.start, "charLength": mark.end - mark.start}
        location["physicalLocation"] = {"artifactLocation": {"uri": _uri(mark.file)}, "region": region}
    if about:
        location["logicalLocations"] = [{"fullyQualifiedName": about}]
    return location


def _rules(verdict: Verdict, codes: set[str]) -> list[dict[str, Any]]:
    """A page for every code a result names, by the alphabet."""
    of_packs = {rule.code: rule for pack in verdict.packs for rule in pack.rules}
    pages = finding_pages()
    found = []
    for code in sorted(codes):
        if code in of_packs:
            found.append(_rule_of_pack(of_packs[code], verdict))
        else:
            page = pages.get(code)
            found.append(_descriptor(code, page.name if page else code, page.lines if page else ()))
    return found


def _rule_of_pack(rule: Rule, verdict: Verdict) -> dict[str, Any]:
    explanation = explain(rule.code, packs=verdict.packs, registry=rooms().windows)
    lines = explanation.lines() if explanation is not None else ()
    return {
        **_descriptor(rule.code, rule.name, lines),
        "defaultConfiguration": {"level": rule.severity},
        "properties": {"source": cite_text(rule.cite), "draft": rule.is_draft},
    }


def _descriptor(code: str, name: str, lines: tuple[tuple[str, str], ...]) -> dict[str, Any]:
    first = lines[0][1] if lines else name
    told = "\n".join(f"{heading}: {text}" for heading, text in lines if text) or name
    return {"id": code, "name": name, "shortDescription": {"text": first}, "help": {"text": told}}


def _files(verdict: Verdict) -> list[str]:
    found = [verdict.file, *(mark.file for finding in verdict.findings for mark in finding.where)]
    return list(dict.fromkeys(map(_uri, found)))


def _uri(file: str) -> str:
    """The name of a file as it was given, as a URI reference; one that begins at the root as a file URI."""
    path = PurePath(file)
    return path.as_uri() if path.is_absolute() else quote(path.as_posix())
