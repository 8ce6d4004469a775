"""Who decides what the lead left open (channel, gauge, fuse), and from what? The registry of solvers, and one settling.

A solver says which questions a vehicle asks, each with a digest of all it rests on, and answers those that are open. It
never writes: `settle` gathers the answers, and they reach the next run through the lock beside the build. So what is
settled stays, until what it rests on changes; then it is still used, and told.

    question("equipment.main-siren", "fuse", load, way, wire)

See Also
--------
coachwright.build.lock : where decisions are kept.
coachwright.build.fixed : the lead's own choices, which win over every decision.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from coachwright.build.lock import Lock, sort_key
from coachwright.build.model import Decision, Model
from coachwright.kit.digest import digest
from coachwright.kit.errors import DataWrong
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark

About: TypeAlias = tuple[str, str]
"""(subject, what), as of `Decision`."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something that has to be decided. rests_on : digest of all the answer may depend on."""

    subject: str
    what: str
    rests_on: str

    @property
    def about(self) -> About:
        return self.subject, self.what


@dataclass(frozen=True, slots=True)
class Solver:
    """One who decides.

    Parameters
    ----------
    name : as it stands in the lock.
    asks : the questions one vehicle asks; the same vehicle asks the same.
    decides : answers to the open questions, as text; what is settled already is handed over and stays. What can't be
        answered is left out. The same questions have the same answers.
    """

    name: str
    asks: Callable[[Model], tuple[Question, ...]]
    decides: Callable[[Model, tuple[Question, ...], Mapping[About, str]], Mapping[About, str]]


SOLVERS: dict[str, Solver] = {}
"""All there are, by name; rooms add theirs when they are imported."""


def register(solver: Solver) -> Solver:
    """Make a solver known.

    Raises
    ------
    DataWrong : another one has that name.
    """
    if SOLVERS.setdefault(solver.name, solver) is not solver:
        raise DataWrong(f"two solvers are called {solver.name}")
    return solver


def question(subject: str, what: str, *rests_on: object) -> Question:
    """A question that rests on these frozen things."""
    return Question(subject, what, digest(rests_on)[:16])


@dataclass(frozen=True, slots=True)
class Change:
    """One line of difference between the lock as it is and as it will be. before, after : None where there is none."""

    before: Decision | None
    after: Decision | None
    why: str


@dataclass(frozen=True, slots=True)
class Settled:
    """What a lock should hold. open : questions nobody answered, with the choices of the vehicle that asks."""

    decisions: tuple[Decision, ...]
    changes: tuple[Change, ...]
    open: tuple[tuple[Question, tuple[tuple[str, str], ...]], ...]


def settle(models: Iterable[Model], lock: Lock, solvers: Mapping[str, Solver], *, anew: bool = False) -> Settled:
    """Decide what is open or stale, for the base and for each different set of choices.

    Parameters
    ----------
    models : the base first, then one vehicle of each set.
    anew : decide everything again, also what still rests on the same.

    Raises
    ------
    DataWrong : a solver answers what it wasn't asked.
    """
    wanted: dict[tuple[object, ...], Decision] = {}
    left_open: list[tuple[Question, tuple[tuple[str, str], ...]]] = []
    for model in models:
        own = _own_choices(model)
        for solver in sorted(solvers.values(), key=lambda each: each.name):
            decided, unanswered = _of_one(model, solver, anew=anew)
            left_open += [(question, own) for question in unanswered]
            for decision in decided:
                base = wanted.get((decision.subject, decision.what, ()))
                if not own or base is None or _bare(base) != _bare(decision):
                    wanted[decision.subject, decision.what, own] = _for(decision, own)
    for decision in lock.decisions:  # nobody here knows better than whoever wrote it
        if decision.by not in solvers:
            wanted.setdefault((decision.subject, decision.what, decision.choices), decision)
    decisions = tuple(sorted(wanted.values(), key=sort_key))
    return Settled(decisions, tuple(_changes(lock.decisions, decisions)), tuple(left_open))


def lock_findings(model: Model, lock: Lock, solvers: Mapping[str, Solver]) -> tuple[Finding, ...]:
    """What is stale, gone, unknown or undecided in the lock, for one vehicle. Nothing of it stops delivery."""
    found: list[Finding] = []
    asked = {name: {each.about: each for each in solver.asks(model)} for name, solver in solvers.items()}
    decided = {(each.subject, each.what) for each in model.decisions}
    decided |= {(choice.subject, choice.what) for choice in model.fixed}
    offered = {(option.name, value.name) for option in model.options for value in option.values}
    for decision in lock.decisions:
        unknown = [pair for pair in decision.choices if pair not in offered]
        if unknown:
            why = f"No vehicle can choose {' '.join(unknown[0])}, so this decision holds for none."
            found.append(_finding("BLD-172", "decision-without-subject", why, decision, lock))
    for decision in model.decisions:
        what = f"the {decision.what} of {decision.subject}"
        questions = asked.get(decision.by)
        if questions is None:
            why = f"Nobody here is called {decision.by}, who decided {what}; {decision.value} is used unchecked."
            found.append(_finding("BLD-173", "decided-by-nobody-known", why, decision, lock))
        elif (decision.subject, decision.what) not in questions:
            if not decision.choices and _own_choices(model):
                continue  # it holds for the base; what this vehicle doesn't have needs none
            why = f"{decision.by} decided {what}, and nothing asks for it any more."
            found.append(_finding("BLD-172", "decision-without-subject", why, decision, lock))
        elif questions[decision.subject, decision.what].rests_on != decision.decided_from:
            why = f"What {decision.by} decided {what} from has changed since; {decision.value} is still used."
            found.append(_finding("BLD-171", "decision-stale", why, decision, lock))
    waiting = [each for questions in asked.values() for each in questions.values() if each.about not in decided]
    fix = Fix("Run coachwright settle, or write it under fixed.")
    for each in waiting:
        why = f"The {each.what} of {each.subject} isn't decided."
        found.append(Finding("BLD-174", "not-settled", "warning", "{why}", {"why": why}, about=each.subject, fix=fix))
    return tuple(found)


def _of_one(model: Model, solver: Solver, *, anew: bool) -> tuple[list[Decision], list[Question]]:
    """What one solver says of one vehicle, and what it left open."""
    fixed = {(each.subject, each.what): each.value for each in model.fixed}
    questions = [each for each in solver.asks(model) if each.about not in fixed]
    known = {(each.subject, each.what): each for each in model.decisions if each.by == solver.name and not anew}
    fresh = {
        each.about: known[each.about]
        for each in questions
        if each.about in known and known[each.about].decided_from == each.rests_on
    }
    others = {(each.subject, each.what): each.value for each in model.decisions if each.by != solver.name}
    kept = others | {about: decision.value for about, decision in fresh.items()} | fixed
    waiting = tuple(each for each in questions if each.about not in fresh)
    answers = solver.decides(model, waiting, kept) if waiting else {}
    strange = sorted(set(answers) - {each.about for each in waiting})
    if strange:
        raise DataWrong(f"the solver {solver.name} answers {' '.join(strange[0])}, which was not asked")
    made = [
        Decision(each.subject, each.what, answers[each.about], solver.name, each.rests_on)
        for each in waiting
        if each.about in answers
    ]
    return [*fresh.values(), *made], [each for each in waiting if each.about not in answers]


def _own_choices(model: Model) -> tuple[tuple[str, str], ...]:
    base = {(option.name, option.base) for option in model.options}
    return tuple(sorted(pair for pair in model.choices if pair not in base))


def _bare(decision: Decision) -> tuple[str, ...]:
    return decision.value, decision.by, decision.decided_from


def _for(decision: Decision, choices: tuple[tuple[str, str], ...]) -> Decision:
    return Decision(decision.subject, decision.what, decision.value, decision.by, decision.decided_from, choices)


def _changes(before: tuple[Decision, ...], after: tuple[Decision, ...]) -> list[Change]:
    old = {(each.subject, each.what, each.choices): each for each in before}
    new = {(each.subject, each.what, each.choices): each for each in after}
    found: list[Change] = []
    for key in sorted({*old, *new}):
        was, will = old.get(key), new.get(key)
        if was is None:
            found.append(Change(None, will, "new"))
        elif will is None:
            found.append(Change(was, None, "fixed by the lead, or nothing asks for it any more"))
        elif _bare(was) != _bare(will):
            same = was.value == will.value
            found.append(Change(was, will, "still holds, from what it rests on now" if same else "decided again"))
    return found


def _finding(code: str, name: str, why: str, decision: Decision, lock: Lock) -> Finding:
    mark = lock.document.mark(decision.path) if lock.document is not None and decision.path else None
    fix = Fix("Run coachwright settle; it shows what changes.")
    return Finding(
        code,
        name,
        "warning",
        "{why}",
        {"why": why},
        about=decision.subject,
        where=(mark or Mark(lock.file or "the lock", 1, 1),),
        fix=fix,
    )


__all__ = [
    "SOLVERS",
    "Change",
    "Question",
    "Settled",
    "Solver",
    "lock_findings",
    "question",
    "register",
    "settle",
]
