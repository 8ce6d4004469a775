"""Does the vehicle keep the customer's contract? Every numbered clause, how it is closed, and how it stands.

One row for each rule of the packs that are contracts, in the order of their clauses, by the worst of its subjects.

See Also
--------
coachwright.rules.closing : what a clause may be closed by. coachwright.look.matrix : how it is printed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from coachwright.kit.mark import Mark
from coachwright.kit.nodes import Document, read_nodes
from coachwright.proof.judge import STATES, Judgement, State
from coachwright.proof.verdict import Verdict
from coachwright.rules.schema import Pack, Rule

CLOSED: frozenset[State] = frozenset({"pass", "near", "not-applicable"})
"""States of a clause nobody has to come back to. Waived is not among them: it is let stand, until its day."""

_WORST_FIRST: Mapping[State, int] = {
    "fail": 0, "open": 1, "not-measured": 2, "draft": 3, "waived": 4, "near": 5, "pass": 6, "not-applicable": 7,
}  # fmt: skip
_DIGITS = re.compile(r"[0-9]+")


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause of a contract.

    Parameters
    ----------
    number : as the contract numbers it; empty where the rule names none.
    judgement : of the subject that stands worst.
    subjects_n : how many subjects it was judged on.
    mark : the line most fixable for it; None where nothing in the build decides it.
    """

    number: str
    judgement: Judgement
    subjects_n: int
    mark: Mark | None

    @property
    def rule(self) -> Rule:
        return self.judgement.rule

    @property
    def is_closed(self) -> bool:
        return self.judgement.state in CLOSED

    @property
    def to_do(self) -> str:
        """What is still open about it, in words; empty for a clause that is closed."""
        state, judgement = self.judgement.state, self.judgement
        if state in CLOSED:
            return ""
        if state == "waived" and judgement.waiver is not None:
            return f"waived by {judgement.waiver.by} until {judgement.waiver.until}: {judgement.waiver.why}"
        if state == "fail":
            return f"to mend: {self.rule.fix}"
        if state == "draft":
            return "its figure was not checked against the printed page"
        if self.rule.closed_by == "bench":
            return f"needs {self.rule.needs}. {self.rule.step}"
        return judgement.why


@dataclass(frozen=True, slots=True)
class Matrix:
    """The clauses of one contract, in the order of their numbers."""

    pack: Pack
    clauses: tuple[Clause, ...]

    @property
    def states(self) -> Mapping[State, int]:
        """How many clauses stand how."""
        counted = Counter(clause.judgement.state for clause in self.clauses)
        return {state: counted[state] for state in STATES}

    @property
    def still_open(self) -> tuple[Clause, ...]:
        """What somebody has to come back to."""
        return tuple(clause for clause in self.clauses if not clause.is_closed)


def matrices(verdict: Verdict) -> tuple[Matrix, ...]:
    """A matrix for each contract among the packs of a verdict; none when it names no contract."""
    contracts = [pack for pack in verdict.packs if pack.status == "contract"]
    if not contracts:
        return ()
    document = read_nodes(verdict.text, file=verdict.file)
    return tuple(Matrix(pack, _clauses(pack, verdict, document)) for pack in contracts)


def number_key(number: str) -> tuple[tuple[int, int, str], ...]:
    """Sorts 2.9 before 2.10, numbers before letters, and what has no number last."""
    if not number.strip():
        return ((2, 0, ""),)
    pieces = re.findall(r"[0-9]+|[^0-9.\s]+", number)
    return tuple(_piece_key(piece) for piece in pieces)


def _piece_key(piece: str) -> tuple[int, int, str]:
    """Numbers by their length first: as they count, however long somebody makes them."""
    if not _DIGITS.fullmatch(piece):
        return (1, 0, piece.lower())
    digits = piece.lstrip("0")
    return (0, len(digits), digits)


def _clauses(pack: Pack, verdict: Verdict, document: Document) -> tuple[Clause, ...]:
    by_code: dict[str, list[Judgement]] = {}
    for judgement in verdict.judgements:
        if judgement.pack == pack.pack:
            by_code.setdefault(judgement.rule.code, []).append(judgement)
    found = [_clause(judgements, document) for judgements in by_code.values()]
    return tuple(sorted(found, key=lambda each: (number_key(each.number), each.rule.code)))


def _clause(judgements: list[Judgement], document: Document) -> Clause:
    worst = min(judgements, key=lambda each: (_WORST_FIRST[each.state], each.worst_key()))
    return Clause(worst.rule.cite.clause, worst, len(judgements), _mark(worst, document))


def _mark(judgement: Judgement, document: Document) -> Mark | None:
    if judgement.finding is not None and judgement.finding.where:
        return judgement.finding.where[0]
    blame = judgement.measure.blame if judgement.measure is not None else ()
    marks = (document.nearest_mark(path) for path in (*blame, judgement.about) if path)
    return next((mark for mark in marks if mark is not None), None)
