"""Which lamp is to be turned, tilted, moved or exchanged so that a finding about light passes, and how far?

Small changes of one lamp are tried on the rule that failed, the smallest first; those that help are written into a
copy of the text, which is read and judged as a whole. A mend is the first after which the finding is gone and nothing
else is worse: no state of any rule, notes and drafts included, nothing more found, and no rule that failed before fails
by more. The search is bounded by counts and ends the same way every time.

See Also
--------
coachwright.proof.small_changes : what is tried. coachwright.build.mend : makes the edits, and proves them again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from coachwright.build.edit import edit_text, from_fix
from coachwright.build.edit_plan import value_at
from coachwright.build.model import Model
from coachwright.build.model_fitted import Lamp
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.nodes import Plain
from coachwright.proof.gather import gather
from coachwright.proof.judge import Judgement, judge_all
from coachwright.proof.rooms import rooms
from coachwright.proof.small_changes import (
    COARSE_DEG,
    MOST_TILT_DEG,
    TILT,
    TURN,
    Change,
    exchanges,
    moves,
    turned,
)
from coachwright.proof.verdict import Verdict
from coachwright.rules.schema import Pack

MOST_LAMPS_N = 6
"""Lamps that are tried: those the finding names first, then others that shine in the same situation."""

MOST_LOOKS_N = 400
"""Changes that are looked at on the one rule."""

MOST_WHOLE_N = 14
"""Changes of which the whole verdict is worked out."""

OF_ALL_LAMPS = ("light.one-dead-gap", "light.panel-share")
"""Measures that name one lamp and that others mend: a dead lamp is no help to itself."""

FURTHER_SHARE = 1e-6
"""A rule that failed before may be further outside by this share of its limit, which is rounding, and no more."""

Progress = Callable[[str, int, int], None]

_RANK = {"pass": 0, "not-applicable": 0, "waived": 0, "open": 0, "near": 1, "fail": 2, "not-measured": 3}


@dataclass(frozen=True, slots=True)
class Tried:
    """What the search came to.

    change : the mend, or None. text : with it. looks_n, whole_n : how many changes were looked at, and judged whole.
    hindrance : why the first change that would have helped was not taken, in words; "" where none helped.
    """

    change: Change | None
    text: str
    looks_n: int
    whole_n: int
    hindrance: str = ""


def is_about_light(verdict: Verdict, code: str) -> bool:
    """Whether a finding's code is that of a rule about light."""
    return any(each.rule.code == code and each.rule.measure.startswith("light.") for each in verdict.judgements)


def light_fix(
    text: str,
    finding: Finding,
    before: Verdict,
    judged: Callable[[str], Verdict],
    *,
    progress: Progress | None = None,
) -> Fix:
    """The fix of a finding about light, with the edits where a small change mends it.

    Parameters
    ----------
    text : of the build. before : its verdict, in which the finding stands. judged : the verdict on another text.
    """
    sentence = finding.fix.sentence if finding.fix is not None else ""
    found = search(text, finding, before, judged, progress=progress)
    if found.change is not None:
        return Fix(f"Write it so: {found.change.said}. Nothing else becomes worse by it.", found.change.edits, "ask")
    why = f" The smallest that would: {found.hindrance}" if found.hindrance else ""
    none = (
        f"No one lamp turned, tilted, moved or exchanged mends it without making something worse ({found.looks_n} "
        f"changes tried).{why}"
    )
    return Fix(f"{sentence} {none}".strip())


def search(
    text: str,
    finding: Finding,
    before: Verdict,
    judged: Callable[[str], Verdict],
    *,
    progress: Progress | None = None,
) -> Tried:
    """Try small changes, the smallest of each kind first. Arguments as `light_fix`."""
    tell = progress or _silent
    judgement = _judgement_of(finding, before)
    if judgement is None or before.model is None:
        return Tried(None, text, 0, 0)
    looks = _Looks(before, judgement, tell)
    whole_n, hindrance = 0, ""
    for helping in _helping(before.model, _plain(text), judgement, looks):
        for change in sorted(helping, key=lambda each: each.order):
            if whole_n == MOST_WHOLE_N:
                break
            whole_n += 1
            tell("judging a change", whole_n, MOST_WHOLE_N)
            try:
                new = edit_text(text, from_fix(change.edits, text)).text
                after = judged(new)
            except CoachwrightError:
                continue  # it can't be written there, or what comes of it can't be read: no mend
            worse = still_found(finding, after) or worse_than(before, after)
            if not worse:
                return Tried(change, new, looks.count_n, whole_n)
            hindrance = hindrance or f"{change.said}; then {worse}"
    return Tried(None, text, looks.count_n, whole_n, hindrance)


def still_found(finding: Finding, after: Verdict) -> str:
    """What a verdict still has of a finding; "" when it is gone."""
    same = any(each.code == finding.code and each.about == finding.about for each in after.findings)
    failing = any(
        each.rule.code == finding.code and each.about == finding.about and each.finding is not None
        for each in after.judgements
    )
    return f"{finding.code} would still be found." if same or failing else ""


def worse_than(before: Verdict, after: Verdict) -> str:
    """The first thing that is worse in a verdict than in another, in words; "" when nothing is."""
    if after.model is None:
        return "the text can't be understood."
    known = {_key(each): each for each in before.judgements}
    for each in after.judgements:
        had = known.get(_key(each))
        if _rank(each) > (_rank(had) if had is not None else 0):
            return f"{each.rule.code} {each.rule.name} would be worse at {each.about or 'the whole'}."
        if had is not None and _rank(had) == _RANK["fail"] == _rank(each) and _further(had, each):
            return f"{each.rule.code} {each.rule.name} would fail by more at {each.about or 'the whole'}."
    rules = {each.rule.code for each in (*before.judgements, *after.judgements)}
    found = {(each.code, each.about) for each in before.findings}
    for finding in after.findings:
        if finding.code not in rules and (finding.code, finding.about) not in found:
            return f"{finding.code} {finding.name} would be found at {finding.about or 'the whole'}."
    return ""


# --------------------------------------------------------------------------------------------------- looking at changes
class _Looks:
    """Counts the looks taken at the one rule, and takes no more than are allowed."""

    def __init__(self, before: Verdict, judgement: Judgement, tell: Progress) -> None:
        self.count_n = 0
        self._tell = tell
        pack = next(each for each in before.packs if each.pack == judgement.pack)
        self._pack: Pack = pack.model_copy(update={"rules": (judgement.rule,)})
        self._about = judgement.about

    def are_left(self) -> bool:
        """Whether another look may be taken."""
        return self.count_n < MOST_LOOKS_N

    def helps(self, change: Change) -> bool:
        """Whether the rule passes at the same subject after a change."""
        self.count_n += 1
        self._tell("trying changes", self.count_n, MOST_LOOKS_N)
        opened = rooms()
        gathered = gather(change.model, [self._pack], opened)
        return all(
            each.finding is None and each.state != "not-measured"
            for each in judge_all(change.model, [self._pack], opened, gathered.answers)
            if each.about == self._about
        )


def _helping(model: Model, plain: Plain, judgement: Judgement, looks: _Looks) -> Iterator[list[Change]]:
    """Changes after which the rule passes: turns and tilts together, then moves, then exchanges."""
    lamps = _lamps(model, plain, judgement)
    yield [
        change
        for kind in (TURN, TILT)
        for lamp in lamps
        for sign in (1, -1)
        for change in _least_turns(model, plain, lamp, kind=kind, sign=sign, looks=looks)
    ]
    yield [change for lamp in lamps for change in moves(model, plain, lamp) if looks.are_left() and looks.helps(change)]
    every = [lamp for lamp in model.lamps if value_at(plain, ("lamps", lamp.name)) is not None]
    yield [
        change for lamp in lamps for change in exchanges(model, lamp, every) if looks.are_left() and looks.helps(change)
    ]


def _least_turns(model: Model, plain: Plain, lamp: Lamp, *, kind: int, sign: int, looks: _Looks) -> list[Change]:
    """The least whole degrees to one side that help, and the next coarse step, in case the least hurts elsewhere."""
    before_deg = 0
    steps = [deg for deg in COARSE_DEG if kind == TURN or deg <= MOST_TILT_DEG]
    for number, deg in enumerate(steps):
        if not looks.are_left():
            return []
        change = turned(model, plain, lamp, kind=kind, by_deg=sign * deg)
        if change is None:
            return []
        if looks.helps(change):
            found = [change]
            for finer_deg in range(before_deg + 1, deg):
                finer = turned(model, plain, lamp, kind=kind, by_deg=sign * finer_deg)
                if finer is not None and looks.are_left() and looks.helps(finer):
                    found.append(finer)
                    break
            further = turned(model, plain, lamp, kind=kind, by_deg=sign * steps[min(number + 1, len(steps) - 1)])
            if further is not None and further.size > deg and looks.are_left() and looks.helps(further):
                found.append(further)
            return found
        before_deg = deg
    return []


def _lamps(model: Model, plain: Plain, judgement: Judgement) -> list[Lamp]:
    """The lamp the finding is about; else those its measure names, then others in the order of the file."""
    fitted = {lamp.name: lamp for lamp in model.lamps if isinstance(value_at(plain, ("lamps", lamp.name)), dict)}
    pieces = judgement.about.split(".")
    if pieces[0] == "lamps" and len(pieces) > 1 and judgement.rule.measure not in OF_ALL_LAMPS:
        return [fitted[pieces[1]]] if pieces[1] in fitted else []
    blame = judgement.measure.blame if judgement.measure is not None else ()
    named = [path.split(".")[1] for path in blame if path.startswith("lamps.")]
    ordered = dict.fromkeys([*named, *fitted])
    return [fitted[name] for name in ordered if name in fitted][:MOST_LAMPS_N]


# -------------------------------------------------------------------------------------------------- comparing verdicts
def _judgement_of(finding: Finding, verdict: Verdict) -> Judgement | None:
    return next(
        (
            each
            for each in verdict.judgements
            if each.rule.code == finding.code and each.about == finding.about and each.finding is not None
        ),
        None,
    )


def _key(judgement: Judgement) -> tuple[str, str, str]:
    return judgement.pack, judgement.rule.code, judgement.about


def _rank(judgement: Judgement) -> int:
    """A draft counts as what it would be."""
    state = judgement.would or judgement.state if judgement.state == "draft" else judgement.state
    return _RANK[str(state)]


def _further(before: Judgement, after: Judgement) -> bool:
    """Whether a rule that fails is further outside its limit than it was."""
    had, has = before.worst, after.worst
    if had is None or has is None or had.room is None or has.room is None:
        return False
    limit = max((abs(end) for end in (before.rule.limit.low, before.rule.limit.high) if abs(end) < 1e300), default=0.0)
    return has.room < had.room - FURTHER_SHARE * max(limit, abs(had.room))


def _plain(text: str) -> Plain:
    from coachwright.kit.nodes import read_nodes

    return read_nodes(text.removeprefix("\ufeff"), file="build.yaml").plain


def _silent(doing: str, done: int, of: int) -> None:
    return
