"""Who may let which finding stand, why, and until when.

A waiver names a code and a subject. It holds until its day, never for rules that can't be waived, and never turns
anything green: what is waived is printed as waived on every paper. A waiver nobody needs is a finding.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from coachwright.build.model import Waiver
from coachwright.kit.finding import Finding, Fix, Severity
from coachwright.proof.judge import Judgement
from coachwright.rules.schema import is_day

NEVER_WAIVED = ("BLD-", "PRT-", "RUL-", "VER-")
"""Findings that the text, the catalogue, a pack or the program is wrong: nobody can let those stand."""


@dataclass(frozen=True, slots=True)
class WaivedFinding:
    """A finding that somebody lets stand."""

    finding: Finding
    waiver: Waiver


@dataclass(frozen=True, slots=True)
class Waived:
    """What is left after the waivers.

    judgements : with state ``waived`` where one holds.
    findings : those that still stand, and what is wrong with waivers.
    waived : what was let stand, of rules and of rooms.
    """

    judgements: tuple[Judgement, ...]
    findings: tuple[Finding, ...]
    waived: tuple[WaivedFinding, ...]


def waive(
    judgements: Iterable[Judgement], findings: Iterable[Finding], waivers: Iterable[Waiver], *, today: date
) -> Waived:
    """Lay the job's waivers over what was found.

    Parameters
    ----------
    judgements : of rules; their findings are not among `findings`.
    findings : of every other kind.
    today : day on which the verdict is given.
    """
    said: list[Finding] = []
    holding: list[Waiver] = []
    for waiver in waivers:
        trouble = _trouble(waiver, today)
        if trouble is None:
            holding.append(waiver)
        else:
            said.append(trouble)
    used: set[str] = set()
    refused: dict[str, Finding] = {}
    judged: list[Judgement] = []
    waived: list[WaivedFinding] = []
    for judgement in judgements:
        found = next((each for each in holding if _names(each, judgement.rule.code, judgement.about)), None)
        if found is None or not _fails(judgement):
            judged.append(judgement)
            continue
        used.add(found.path)
        if not judgement.rule.waivable:
            refused[found.path] = _not_allowed(found, "{code} can't be waived")
            judged.append(judgement)
        elif judgement.state == "fail" and judgement.finding is not None:
            judged.append(replace(judgement, state="waived", waiver=found))
            waived.append(WaivedFinding(judgement.finding, found))
        else:
            judged.append(replace(judgement, waiver=found))
    standing = _lay_over_findings(findings, holding, used, refused, waived)
    unused = [_unused(each) for each in holding if each.path not in used]
    return Waived(tuple(judged), (*standing, *said, *refused.values(), *unused), tuple(waived))


def _lay_over_findings(
    findings: Iterable[Finding],
    holding: list[Waiver],
    used: set[str],
    refused: dict[str, Finding],
    waived: list[WaivedFinding],
) -> list[Finding]:
    standing: list[Finding] = []
    for finding in findings:
        found = next((each for each in holding if _names(each, finding.code, finding.about)), None)
        if found is None or finding.severity == "note":
            standing.append(finding)
            continue
        used.add(found.path)
        if finding.code.startswith(NEVER_WAIVED):
            refused[found.path] = _not_allowed(found, "{code} says that something can't be read or judged")
            standing.append(finding)
        else:
            waived.append(WaivedFinding(finding, found))
    return standing


def _fails(judgement: Judgement) -> bool:
    return judgement.state == "fail" or judgement.would == "fail"


def _names(waiver: Waiver, code: str, about: str) -> bool:
    """Whether the waiver is for this code and this subject, or one that holds it."""
    return waiver.code == code and (about == waiver.about or about.startswith(f"{waiver.about}."))


def _trouble(waiver: Waiver, today: date) -> Finding | None:
    """Why a waiver can't be laid over anything; None when it holds."""
    if not is_day(waiver.until):
        said = "The day until which the waiver of {code} holds reads {until}, which is no day."
        return _finding(waiver, "VER-023 waiver-day-not-plain", "error", said, "Write a day like 2027-03-15.")
    if not (waiver.by.strip() and waiver.why.strip()):
        said = "The waiver of {code} does not say who gives it and why."
        return _finding(waiver, "VER-024 waiver-without-name", "error", said, "Write by and why.")
    if date.fromisoformat(waiver.until) < today:
        said = "The waiver of {code} by {by} held until {until}."
        return _finding(waiver, "VER-020 waiver-over", "warning", said, "Mend what it covered, or have it given again.")
    return None


def _unused(waiver: Waiver) -> Finding:
    said = "Nothing fails under {code} at {about}: the waiver by {by} is not needed."
    return _finding(waiver, "VER-021 waiver-unused", "warning", said, "Take it out.")


def _not_allowed(waiver: Waiver, why: str) -> Finding:
    said = why + "; the finding stands."
    return _finding(waiver, "VER-022 waiver-not-allowed", "error", said, "Take the waiver out.")


def _finding(waiver: Waiver, named: str, severity: Severity, said: str, write: str) -> Finding:
    code, name = named.split()
    values = {
        "code": waiver.code,
        "about": waiver.about or "the whole job",
        "by": waiver.by,
        "until": waiver.until[:40],
    }
    return Finding(code, name, severity, said, values, about=waiver.path, fix=Fix(write))
