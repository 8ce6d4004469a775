"""Sets every rule against what was measured: pass, near, fail, draft, open, not measured or not applicable.

A rule is judged once per subject (the build path a measure is about), by its worst case over places and situations. A
figure nobody has checked makes the state draft, whatever it would have been. Waivers come after (proof.waive).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.model import Model, Waiver
from coachwright.kit.finding import Finding, FindingValue, Fix, Quantity, Severity
from coachwright.kit.measure import Measure
from coachwright.proof.gather import Answer, Question, meant, questions
from coachwright.proof.rooms import Rooms
from coachwright.rules.limit import Would
from coachwright.rules.schema import Pack, PackStatus, Rule

State = Literal["pass", "near", "fail", "waived", "draft", "open", "not-measured", "not-applicable"]
STATES: tuple[State, ...] = ("fail", "waived", "near", "pass", "draft", "open", "not-measured", "not-applicable")
"""Every state, worst news first; papers list them so. open: no room can measure it, and there is no record of it."""

_WORST_FIRST = {"fail": 0, "not-measured": 1, "near": 2, "pass": 3}
SAME_VOLTAGE_V = 0.05


@dataclass(frozen=True, slots=True)
class Case:
    """One measure against the rule.

    stands : where it stands. room : how far inside the limit, in the measure's unit; negative outside; None for words.
    why : what is to be said beside it.
    """

    measure: Measure
    stands: Literal["pass", "near", "fail", "not-measured"]
    room: float | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """How one rule ends for one subject.

    Parameters
    ----------
    pack, status, rule : who asks, and what that word is worth.
    about : build path of the subject; empty for a rule without one.
    state : exactly one. would : what a draft would have been; "" for the rest.
    cases : all that was judged, worst first; empty when nothing was.
    why : reason for open, not measured and not applicable, and what is to be said beside a draft.
    finding : for what the lead should read.
    waiver : who waived it.
    """

    pack: str
    status: PackStatus
    rule: Rule
    about: str
    state: State
    would: Would | Literal[""] = ""
    cases: tuple[Case, ...] = ()
    why: str = ""
    finding: Finding | None = None
    waiver: Waiver | None = None

    @property
    def worst(self) -> Case | None:
        return self.cases[0] if self.cases else None

    @property
    def measure(self) -> Measure | None:
        """What was measured in the worst case."""
        return self.cases[0].measure if self.cases else None

    @property
    def margin(self) -> Quantity | None:
        """How far the worst case is inside the limit; negative outside."""
        worst = self.worst
        if worst is None or worst.room is None:
            return None
        return Quantity(worst.room, self.rule.kind, self.rule.limit.unit)

    def sort_key(self) -> tuple[str, str, str]:
        return (self.pack, self.rule.code, self.about)

    def worst_key(self) -> tuple[int, float, str]:
        """Sorts judgements of one rule, the worst first."""
        worst = self.worst
        if worst is None:
            return (len(_WORST_FIRST), 0.0, self.about)
        return (_WORST_FIRST[worst.stands], worst.room if worst.room is not None else 0.0, self.about)


def judge_all(
    model: Model, packs: Iterable[Pack], rooms: Rooms, answers: Mapping[Question, Answer]
) -> tuple[Judgement, ...]:
    """Every rule of every pack, in an order that neither the packs' nor the rules' order decides."""
    found: list[Judgement] = []
    for pack in packs:
        for rule in pack.rules:
            asked = questions(rule, model, rooms)
            reason = _nothing_to_ask(rule, model, rooms)
            found.extend(judge(pack, rule, [answers[question] for question in asked], reason=reason))
    return tuple(sorted(found, key=Judgement.sort_key))


def judge(pack: Pack, rule: Rule, answers: Iterable[Answer], *, reason: str = "") -> tuple[Judgement, ...]:
    """One rule against the answers to its questions. reason : why nothing could be asked."""
    if rule.needs:
        return (_empty(pack, rule, "open", f"needs {rule.needs}"),)
    troubles = [reason] if reason else []
    subjects: dict[str, list[Case]] = {}
    for answer in answers:
        if answer.trouble:
            troubles.append(answer.trouble)
        for measure in answer.measures:
            case = case_of(rule, measure)
            if case is not None:
                subjects.setdefault(measure.about, []).append(case)
    found = [_judged(pack, rule, about, cases) for about, cases in subjects.items()]
    if troubles:
        found.append(_empty(pack, rule, "not-measured", "; ".join(sorted(set(troubles)))))
    elif not found:
        found.append(_empty(pack, rule, "not-applicable", "nothing in this job is of that kind"))
    return tuple(sorted(found, key=Judgement.sort_key))


def case_of(rule: Rule, measure: Measure) -> Case | None:
    """One measure against the rule; None when the rule doesn't concern it."""
    unsaid = []
    for asks in rule.applies:
        said = measure.facts.get(asks.fact)
        if said is None:
            unsaid.append(asks.fact)
        elif not asks.holds(said):
            return None
    if unsaid:
        return Case(measure, "not-measured", why=f"{measure.name} does not say its {' and '.join(unsaid)}")
    if measure.value is None:
        return Case(measure, "not-measured", why=measure.why_not)
    stands = rule.limit.judge(measure.value)
    is_number = not isinstance(measure.value, bool | str)
    room = rule.limit.room(float(measure.value)) if is_number else None
    caveat = _voltage_caveat(rule, measure)
    if caveat and stands == "pass":
        return Case(measure, "near", room, caveat)
    return Case(measure, stands, room, caveat)


def standing_of(pack: Pack, rule: Rule) -> PackStatus:
    """What the word of a rule is worth: a figure of the house stays the house's, also in a pack of law."""
    return "house" if rule.cite.status == "house" else pack.status


def _voltage_caveat(rule: Rule, measure: Measure) -> str:
    """A figure holds at one voltage; a pass at another is not called clear."""
    if rule.test_voltage is None:
        return ""
    said = measure.facts.get("test-voltage", "")
    try:
        taken_v = float(said)
    except ValueError:
        return f"the limit holds at {rule.test_voltage:g} V; the part does not say its voltage"
    if abs(taken_v - rule.test_voltage) <= SAME_VOLTAGE_V:
        return ""
    return f"measured at {taken_v:g} V; the limit holds at {rule.test_voltage:g} V"


def _nothing_to_ask(rule: Rule, model: Model, rooms: Rooms) -> str:
    entry = rooms.windows.get(rule.measure)
    if entry is None:
        return f"nothing measures {rule.measure} yet"
    if entry.per_situation and not meant(rule, model.situations):
        return f"the job has no situation that stands for {' or '.join(rule.situations)}"
    return ""


def _empty(pack: Pack, rule: Rule, state: State, why: str) -> Judgement:
    return Judgement(pack.pack, standing_of(pack, rule), rule, "", state, why=why)


def _judged(pack: Pack, rule: Rule, about: str, cases: list[Case]) -> Judgement:
    ordered = _worst_first(cases)
    worst = ordered[0]
    if worst.stands == "not-measured":
        return Judgement(pack.pack, standing_of(pack, rule), rule, about, "not-measured", cases=ordered, why=worst.why)
    finding = _finding(rule, ordered) if _is_told(rule, worst) else None
    if rule.is_draft:
        why = "a figure nobody has checked against the printed page"
        return Judgement(pack.pack, standing_of(pack, rule), rule, about, "draft", worst.stands, ordered, why, finding)
    return Judgement(
        pack.pack, standing_of(pack, rule), rule, about, worst.stands, cases=ordered, why=worst.why, finding=finding
    )


def _is_told(rule: Rule, worst: Case) -> bool:
    """What fails is a finding; near is one only for figures that are checked and stop or warn."""
    if worst.stands == "near":
        return rule.severity != "note" and not rule.is_draft
    return worst.stands == "fail"


def _worst_first(cases: list[Case]) -> tuple[Case, ...]:
    """The worst first. Facts are put in order only where nothing else tells two cases apart: they seldom have to be."""
    if len(cases) == 1:
        return tuple(cases)
    keys = [_case_key(case) for case in cases]
    if len(set(keys)) == len(keys):
        return tuple(cases[place] for place in sorted(range(len(keys)), key=keys.__getitem__))
    return tuple(sorted(cases, key=lambda case: (*_case_key(case), tuple(sorted(case.measure.facts.items())))))


def _case_key(case: Case) -> tuple[int, float, str, str]:
    room = case.room if case.room is not None else 0.0
    return (_WORST_FIRST[case.stands], room, case.measure.situation, case.measure.where)


def _finding(rule: Rule, cases: tuple[Case, ...]) -> Finding:
    worst = cases[0]
    measure = worst.measure
    values: dict[str, FindingValue] = {"asks": rule.asks, "limit": str(rule.limit), "place": _place(measure)}
    value = limit = margin = None
    if worst.room is not None and isinstance(measure.value, float | int):
        bound = rule.limit.bound(measure.value)
        unit = rule.limit.unit
        value, margin = Quantity(float(measure.value), rule.kind, unit), Quantity(worst.room, rule.kind, unit)
        limit = Quantity(bound, rule.kind, unit) if bound is not None else None
        values["value"] = value
    elif isinstance(measure.value, str):
        values["value"] = measure.value
    values["beside"] = _beside(worst, cases)
    return Finding(
        rule.code,
        rule.name,
        _severity(rule, worst),
        _template(rule, worst),
        values,
        about=measure.about,
        value=value,
        limit=limit,
        margin=margin,
        cite=rule.cite,
        fix=Fix(rule.fix),
    )


def _template(rule: Rule, worst: Case) -> str:
    lead = "(would fail) " if rule.is_draft else ""
    if isinstance(worst.measure.value, bool):
        return lead + "{asks} Here it isn't so{place}.{beside}"
    if worst.stands == "near":
        return lead + "{asks} Here it is {value}{place}: within the limit ({limit}), with little to spare.{beside}"
    return lead + "{asks} Here it is {value}{place}; the limit is {limit}.{beside}"


def _severity(rule: Rule, worst: Case) -> Severity:
    """A draft stops nothing, and near is only told."""
    if worst.stands == "near":
        return "note"
    if rule.is_draft and rule.severity == "error":
        return "warning"
    return rule.severity


def _place(measure: Measure) -> str:
    said = [measure.where] if measure.where else []
    said += [f"in {measure.situation}"] if measure.situation and measure.situation not in measure.where else []
    return f" ({', '.join(said)})" if said else ""


def _beside(worst: Case, cases: tuple[Case, ...]) -> str:
    alike = sum(case.stands == worst.stands for case in cases) - 1
    said = f" {worst.why[:1].upper()}{worst.why[1:]}." if worst.why else ""
    if alike:
        said += f" Likewise in {alike} more {'place or situation' if alike == 1 else 'places or situations'}."
    return said
