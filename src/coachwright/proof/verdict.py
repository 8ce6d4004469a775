"""All that is found about one build, at once: can this vehicle be delivered, and how do we know?

text -> model -> what is wrong with it -> what the rooms measure -> what the rules make of it -> what is waived. Every
rule that applies has a state, every finding its place in the file. A verdict is an engineering estimate, not a
certificate; measured acceptance decides.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from hashlib import blake2b
from pathlib import Path
from typing import Any

from coachwright.build import settling
from coachwright.build.load import Loaded, load_build
from coachwright.build.marks import mark_findings
from coachwright.build.model import Model
from coachwright.kit.errors import CoachwrightError, SerialNotThere
from coachwright.kit.finding import Finding, Fix, Severity
from coachwright.kit.mark import Mark
from coachwright.kit.nodes import Document
from coachwright.kit.undisturbed import undisturbed
from coachwright.parts.store import load_catalogue
from coachwright.place.checks import place_findings
from coachwright.proof.gather import FOLLOWS, Progress, gather
from coachwright.proof.judge import STATES, Judgement, State, judge_all
from coachwright.proof.law import law_findings
from coachwright.proof.rooms import Rooms, rooms
from coachwright.proof.waive import WaivedFinding, waive
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Pack, PackStatus

CLEAN, STOPS_DELIVERY, UNREADABLE = 0, 1, 2
"""What a command ends with."""

_NAMED = 4
"""How many open clauses a finding names; the rest it counts."""

_SEVERITY_ORDER: Mapping[Severity, int] = {"error": 0, "warning": 1, "note": 2}


@dataclass(frozen=True, slots=True)
class Counts:
    """How many rules ended how. `states` of all; `by_status` apart for law, standard, target, house and contract.

    A draft is counted by what it would have been in `draft_would`.
    """

    states: Mapping[State, int]
    by_status: Mapping[PackStatus, Mapping[State, int]]
    draft_would: Mapping[str, int]
    findings: Mapping[Severity, int]

    @property
    def drafts_n(self) -> int:
        return self.states["draft"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """Everything found about one build.

    Parameters
    ----------
    file, text : what was read, for quoting.
    model : None when the text can't be understood.
    packs : that judged it.
    findings : still standing, in the order of the file, with their marks.
    judgements : of every rule and subject.
    waived : findings somebody lets stand.
    digest : of everything the verdict rests on; the same input has the same digest.
    exit_code : 0 clean, 1 findings that stop delivery, 2 the text can't be read at all.
    judged_on : day on which waivers were looked at.
    """

    file: str
    text: str
    model: Model | None
    packs: tuple[Pack, ...]
    findings: tuple[Finding, ...]
    judgements: tuple[Judgement, ...]
    waived: tuple[WaivedFinding, ...]
    counts: Counts
    digest: str
    exit_code: int
    judged_on: str

    def of_state(self, *states: State) -> tuple[Judgement, ...]:
        """The judgements that ended in one of `states`."""
        return tuple(judgement for judgement in self.judgements if judgement.state in states)


def check(
    path: Path,
    *,
    progress: Progress | None = None,
    today: date | None = None,
    serial: int | None = None,
    behind: bool = False,
) -> Verdict:
    """The verdict on the build at `path`, on its base or on one vehicle of the job; never writes.

    Parameters
    ----------
    progress : called with what is being done, how many are done, how many there are.
    today : on which waivers have to hold; the day it is when left out.
    serial : number of the vehicle.
    behind : also what takes long and otherwise follows behind.

    Raises
    ------
    SerialNotThere : the job has no vehicle of that number.
    """
    day = today or date.today()  # noqa: DTZ011  the shop's own calendar day
    tell = progress or _silent
    tell("reading", 0, 0)
    try:
        catalogue = load_catalogue(shop_folder=path.parent / "parts")
        loaded = load_build(path, catalogue=catalogue, serial=serial)
    except SerialNotThere:
        raise
    except (OSError, CoachwrightError) as error:
        return unreadable(str(path), str(error) or type(error).__name__, day)
    return verdict_of(loaded, folder=path.parent, progress=tell, today=day, behind=behind)


@undisturbed
def verdict_of(
    loaded: Loaded, *, folder: Path | None, progress: Progress, today: date, behind: bool = False
) -> Verdict:
    """The verdict on a build that was read; `folder` is where it lies, with its own packs."""
    document, model = loaded.document, loaded.model
    if model is None:
        code = UNREADABLE if _nothing_read(document) else STOPS_DELIVERY
        return _verdict(document, None, tuple(loaded.findings), today=today, exit_code=code)
    opened = rooms()
    packs, pack_findings = load_packs(
        model.packs,
        registry=opened.windows,
        missing_rooms=opened.missing,
        extra_folder=folder / "packs" if folder is not None else None,
    )
    progress("control", 0, 0)
    found = [*loaded.findings, *opened.findings, *pack_findings, *_no_pack(model)]
    found += _guarded("the places", lambda: place_findings(model))
    found += _guarded("the law's questions", lambda: law_findings(model, packs))
    found += _guarded("the controls", lambda: _before_proof(model))
    found += _guarded("the lock", lambda: settling.lock_findings(model, loaded.lock, settling.SOLVERS))
    judgements, gathered = judged(model, packs, opened, progress, behind=behind)
    found += gathered
    waived = waive(judgements, found, model.waivers, today=today)
    standing = (*waived.findings, *rule_findings(waived.judgements, document))
    return _verdict(
        document, model, standing, today=today, packs=packs, judgements=waived.judgements, waived=waived.waived
    )


def judged(
    model: Model, packs: tuple[Pack, ...], opened: Rooms, progress: Progress, *, behind: bool = False
) -> tuple[tuple[Judgement, ...], list[Finding]]:
    """Every rule's state, and the findings of rules that could not be judged."""
    gathered = gather(model, packs, opened, progress=progress, behind=behind)
    judgements = judge_all(model, packs, opened, gathered.answers)
    return judgements, [
        *gathered.findings,
        *_not_measured(judgements),
        *_following(judgements),
        *_open(packs, judgements),
    ]


def rule_findings(judgements: tuple[Judgement, ...], document: Document) -> list[Finding]:
    """What fails, is near, or would fail if its figure were checked; each at the lines its number depends on.

    Notes are told once per rule, at their worst subject: they are for reading, not for mending one by one.
    """
    found: list[Finding] = []
    noted: dict[str, list[Judgement]] = {}
    for judgement in judgements:
        if judgement.finding is None or judgement.state == "waived":
            continue
        if judgement.finding.severity == "note":
            noted.setdefault(judgement.rule.code, []).append(judgement)
        else:
            found.append(_at_its_lines(judgement, judgement.finding, document))
    for alike in noted.values():
        worst = min(alike, key=Judgement.worst_key)
        finding = worst.finding
        if finding is not None:
            others = [each.about for each in alike if each is not worst]
            values = {**finding.values, "beside": f"{finding.values['beside']}{_also(others)}"}
            found.append(_at_its_lines(worst, replace(finding, values=values), document))
    return found


def _also(abouts: list[str], most: int = 3) -> str:
    if not abouts:
        return ""
    named = [about.split(".", maxsplit=1)[-1] for about in abouts[:most]]
    more = f" and {len(abouts) - most} more" if len(abouts) > most else ""
    return f" Also {', '.join(named)}{more}."


def _at_its_lines(judgement: Judgement, finding: Finding, document: Document) -> Finding:
    measure = judgement.measure
    blame = measure.blame if measure is not None else ()
    marks = dict.fromkeys(mark for path in blame if (mark := _line_of(path, document)) is not None)
    return finding.at(*marks) if marks else finding


def _line_of(path: str, document: Document) -> Mark | None:
    """Where `path` is written; the name of the nearest entry above it where it isn't."""
    pieces = tuple(path.split("."))
    written = document.mark(pieces)
    if written is not None and "\n" not in document.text[written.start : written.end]:
        return written
    return next(
        (mark for end in range(len(pieces), 0, -1) if (mark := document.mark(pieces[:end], key=True)) is not None), None
    )


def unreadable(file: str, why: str, today: date) -> Verdict:
    """The verdict on a file that could not be opened or is no build at all."""
    finding = Finding(
        "VER-001",
        "build-not-readable",
        "error",
        "{file} can't be read: {why}",
        {"file": file, "why": why if why.endswith(".") else f"{why}."},
        where=(Mark(file, 1, 1),),
    )
    empty = Document(file, "", {})
    return _verdict(empty, None, (finding,), today=today, exit_code=UNREADABLE)


def _nothing_read(document: Document) -> bool:
    return not document.plain and any(finding.severity == "error" for finding in document.findings)


def _silent(doing: str, done: int, of: int) -> None:
    return


def _before_proof(model: Model) -> tuple[Finding, ...]:
    from coachwright.control.before_proof import before_proof

    return before_proof(model)


def _guarded(what: str, ask: Callable[[], tuple[Finding, ...]]) -> tuple[Finding, ...]:
    """What a whole look at the model finds; one that breaks is itself found, never passed over."""
    try:
        return ask()
    except Exception as error:
        values = {"what": what, "error": f"{type(error).__name__}: {error}"}
        sentence = "The look at {what} broke: {error}. This is a fault of the program, not of the build."
        return (Finding("VER-007", "look-broke", "error", sentence, values),)


def _no_pack(model: Model) -> list[Finding]:
    if model.packs:
        return []
    sentence = "The job names no pack, so no rule judges this vehicle."
    return [Finding("VER-008", "no-pack-named", "warning", sentence, about="packs", fix=Fix("Write packs: [house]."))]


def _not_measured(judgements: tuple[Judgement, ...]) -> list[Finding]:
    """One finding per reason, with the rules it concerns: silence is not a pass."""
    reasons: dict[tuple[str, str], dict[str, str]] = {}
    for judgement in judgements:
        if judgement.state == "not-measured" and judgement.why != FOLLOWS:
            why = judgement.why.replace(judgement.rule.measure, "it")
            reasons.setdefault((judgement.pack, why), {})[judgement.rule.code] = judgement.rule.measure
    return [
        Finding(
            "VER-004",
            "not-measured",
            "warning",
            "{rules} not measured: {why}.",
            {"rules": _listed(sorted(rules)), "why": (_only(rules.values(), why)).rstrip(".")},
            about="packs",
        )
        for (_, why), rules in sorted(reasons.items())
    ]


def _following(judgements: tuple[Judgement, ...]) -> list[Finding]:
    """What takes long is told, so that nobody takes the quick answer for the whole one."""
    rules = sorted({f"{each.rule.code} {each.rule.name}" for each in judgements if each.why == FOLLOWS})
    if not rules:
        return []
    sentence = "{rules} {follow} behind this answer."
    follow = "follows" if len(rules) == 1 else "follow"
    values = {"rules": " and ".join(rules), "follow": follow}
    fix = Fix("`coachwright check --sure` works it out, by vehicles drawn by lot.")
    return [Finding("VER-030", "follows-behind", "note", sentence, values, about="packs", fix=fix)]


def _open(packs: tuple[Pack, ...], judgements: tuple[Judgement, ...]) -> list[Finding]:
    """One finding per pack for what no room can measure: it is open until there is a record of it."""
    found = []
    for pack in packs:
        lacking = [each for each in judgements if each.pack == pack.pack and each.state == "open"]
        if lacking:
            needed = [f"{each.rule.code} {each.rule.name} ({each.rule.needs})" for each in lacking]
            more = f" and {len(needed) - _NAMED} more" if len(needed) > _NAMED else ""
            values = {
                "title": pack.title,
                "many": "One clause is" if len(needed) == 1 else f"{len(needed)} clauses are",
                "needed": f"{'; '.join(needed[:_NAMED])}{more}",
            }
            sentence = "{title}: {many} open until there is a record: {needed}."
            where = "check --matrix" if pack.status == "contract" else "check --rules"
            fix = Fix(f"`coachwright {where}` lists what each of them needs.")
            found.append(Finding("VER-009", "clause-open", "warning", sentence, values, about="packs", fix=fix))
    return found


def _only(names: Iterable[str], why: str) -> str:
    """The reason with the measure's name where there is only one."""
    different = set(names)
    return why.replace(" it ", f" {different.pop()} ", 1) if len(different) == 1 and " it " in why else why


def _listed(codes: list[str], most: int = 6) -> str:
    if len(codes) == 1:
        return f"{codes[0]} was"
    shown = ", ".join(codes[:most])
    return f"{shown} and {len(codes) - most} more were" if len(codes) > most else f"{shown} were"


def _verdict(
    document: Document,
    model: Model | None,
    findings: tuple[Finding, ...],
    *,
    today: date,
    packs: tuple[Pack, ...] = (),
    judgements: tuple[Judgement, ...] = (),
    waived: tuple[WaivedFinding, ...] = (),
    exit_code: int | None = None,
) -> Verdict:
    marked = tuple(sorted(_marked(findings, document), key=_finding_key))
    shown = tuple(replace(each, finding=_marked((each.finding,), document)[0]) for each in waived)
    stops = any(finding.severity == "error" for finding in marked)
    return Verdict(
        file=document.file,
        text=document.text,
        model=model,
        packs=packs,
        findings=marked,
        judgements=judgements,
        waived=shown,
        counts=_counts(judgements, marked),
        digest=_digest(document, model, packs),
        exit_code=(STOPS_DELIVERY if stops else CLEAN) if exit_code is None else exit_code,
        judged_on=today.isoformat(),
    )


def _marked(findings: tuple[Finding, ...], document: Document) -> tuple[Finding, ...]:
    """Findings that have no place yet get the line of what they are about."""
    placed = iter(mark_findings(tuple(each for each in findings if not each.where), document))
    return tuple(each if each.where else next(placed) for each in findings)


def _finding_key(finding: Finding) -> tuple[Any, ...]:
    return (finding.sort_key(), _SEVERITY_ORDER[finding.severity], repr(sorted(finding.values.items(), key=str)))


def _counts(judgements: tuple[Judgement, ...], findings: tuple[Finding, ...]) -> Counts:
    states = Counter(judgement.state for judgement in judgements)
    apart: dict[PackStatus, Counter[State]] = {}
    for judgement in judgements:
        apart.setdefault(judgement.status, Counter())[judgement.state] += 1
    would = Counter(judgement.would for judgement in judgements if judgement.state == "draft")
    told = Counter(finding.severity for finding in findings)
    return Counts(
        states={state: states[state] for state in STATES},
        by_status={status: {state: count[state] for state in STATES} for status, count in sorted(apart.items())},
        draft_would={word: would[word] for word in ("pass", "near", "fail")},
        findings={severity: told[severity] for severity in _SEVERITY_ORDER},
    )


def _digest(document: Document, model: Model | None, packs: tuple[Pack, ...]) -> str:
    hashed = blake2b(digest_size=16)
    hashed.update((model.digest if model is not None else document.text).encode("utf-8", "replace"))
    if model is not None and model.decisions:
        hashed.update(repr([(each.subject, each.what, each.value) for each in model.decisions]).encode())
    for pack in sorted(packs, key=lambda each: each.pack):
        hashed.update(repr(pack).encode("utf-8", "replace"))
    return hashed.hexdigest()
