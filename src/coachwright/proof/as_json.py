"""A verdict for programs: the same input gives the same bytes, and what a field is called stays."""

from __future__ import annotations

import json
import math
from typing import Any

from coachwright.kit.cite import Cite
from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.kit.measure import Measure
from coachwright.kit.unit_table import kinds, si_unit
from coachwright.proof.judge import Case, Judgement
from coachwright.proof.verdict import Verdict

FORMAT = 1
"""Raised when a field changes its name or its meaning; fields may be added without."""


def as_json(verdict: Verdict) -> dict[str, Any]:
    """The whole verdict in plain dicts, lists, text and numbers. Numbers are SI, each with its unit beside it."""
    model = verdict.model
    return {
        "format": FORMAT,
        "file": verdict.file,
        "digest": verdict.digest,
        "exit": verdict.exit_code,
        "judged-on": verdict.judged_on,
        "job": None
        if model is None
        else {"name": model.job.name, "number": model.job.number, "revision": model.job.revision},
        "packs": [
            {
                "pack": pack.pack,
                "title": pack.title,
                "edition": pack.edition,
                "status": pack.status,
                "applies-to": pack.applies_to,
                "rules": len(pack.rules),
                "shop-figures": list(pack.shop_figures),
            }
            for pack in verdict.packs
        ],
        "counts": {
            "states": dict(verdict.counts.states),
            "by-status": {status: dict(states) for status, states in verdict.counts.by_status.items()},
            "draft-would": dict(verdict.counts.draft_would),
            "findings": dict(verdict.counts.findings),
        },
        "findings": [finding_json(finding) for finding in verdict.findings],
        "judgements": [judgement_json(judgement) for judgement in verdict.judgements],
        "waived": [
            {
                "finding": finding_json(each.finding),
                "by": each.waiver.by,
                "why": each.waiver.why,
                "until": each.waiver.until,
            }
            for each in verdict.waived
        ],
        "note": "An engineering estimate, not a certificate. Measured acceptance, law and contract decide.",
    }


def json_text(verdict: Verdict) -> str:
    """`as_json` as text, one field a line, ending in a newline."""
    return json.dumps(as_json(verdict), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def finding_json(finding: Finding) -> dict[str, Any]:
    """One finding, its sentence filled in plainly; numbers stay numbers beside it."""
    return {
        "code": finding.code,
        "name": finding.name,
        "severity": finding.severity,
        "template": finding.template,
        "values": {name: _value(value) for name, value in sorted(finding.values.items())},
        "about": finding.about,
        "where": [{"file": mark.file, "line": mark.line, "column": mark.column} for mark in finding.where],
        "value": _quantity(finding.value),
        "limit": _quantity(finding.limit),
        "margin": _quantity(finding.margin),
        "cite": _cite(finding.cite),
        "fix": _fix(finding.fix),
        "story": list(finding.story),
    }


def _fix(fix: Fix | None) -> dict[str, Any] | None:
    """What to write, and the edits that do it where there are any; the path of each by its pieces."""
    if fix is None:
        return None
    edits = [
        {
            "path": edit.path.split(".") if isinstance(edit.path, str) else list(edit.path),
            "text": edit.text,
            "on-key": edit.on_key,
        }
        for edit in fix.edits
    ]
    return {"sentence": fix.sentence, "kind": fix.kind, "edits": edits}


def judgement_json(judgement: Judgement) -> dict[str, Any]:
    """One rule for one subject, with every case it was judged by."""
    rule = judgement.rule
    waiver = judgement.waiver
    return {
        "code": rule.code,
        "name": rule.name,
        "pack": judgement.pack,
        "status": judgement.status,
        "about": judgement.about,
        "state": judgement.state,
        "would": judgement.would,
        "asks": rule.asks,
        "closed-by": rule.closed_by,
        "needs": rule.needs,
        "limit": str(rule.limit) if rule.closed_by in ("measure", "bench") else "",
        "cite": _cite(rule.cite),
        "margin": _quantity(judgement.margin),
        "why": judgement.why,
        "waiver": None if waiver is None else {"by": waiver.by, "why": waiver.why, "until": waiver.until},
        "cases": [_case(case) for case in judgement.cases],
    }


def _case(case: Case) -> dict[str, Any]:
    return {"stands": case.stands, "room": _number(case.room), "why": case.why, **_measure(case.measure)}


def _measure(measure: Measure) -> dict[str, Any]:
    value = measure.value
    return {
        "measure": measure.name,
        "value": _number(value) if isinstance(value, float) else value,
        "unit": _unit(measure.kind),
        "where": measure.where,
        "situation": measure.situation,
        "facts": dict(sorted(measure.facts.items())),
    }


def _cite(cite: Cite | None) -> dict[str, Any] | None:
    if cite is None:
        return None
    return {
        "source": cite.source,
        "edition": cite.edition,
        "clause": cite.clause,
        "status": cite.status,
        "checked-on": cite.checked_on,
        "checked-by": cite.checked_by,
    }


def _value(value: str | int | float | Quantity) -> Any:
    return _quantity(value) if isinstance(value, Quantity) else _number(value)


def _quantity(quantity: Quantity | None) -> dict[str, Any] | None:
    if quantity is None:
        return None
    return {"value": _number(quantity.value), "unit": _unit(quantity.kind)}


def _unit(kind: str) -> str:
    return si_unit(kind) if kind in kinds() else ""


def _number(value: Any) -> Any:
    """Twelve significant digits: the last ones differ between machines and mean nothing."""
    if isinstance(value, bool) or not isinstance(value, float):
        return value
    return float(f"{value:.12g}") if math.isfinite(value) else None
