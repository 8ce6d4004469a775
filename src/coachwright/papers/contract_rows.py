"""How does a customer's contract stand in a paper? Its clauses in order, and what is still open."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coachwright.look.matrix import contract_said, counts_said, number_said, value_and_limit
from coachwright.look.style import state_look
from coachwright.papers.printed import line_of, printed
from coachwright.papers.rule_rows import look_of
from coachwright.proof.matrix import Clause, matrices

if TYPE_CHECKING:
    from coachwright.proof.verdict import Verdict

NOTE = (
    "Every clause of the contract in the order of its numbers, by the worst of its subjects. What no room can measure "
    "is closed at the bench, by a photo or by a signature, and is open until there is a record of it: open is no pass. "
    "Requirements stand in the shop's short words; the contract's own sentence decides."
)


def contract_tables(verdict: Verdict) -> list[dict[str, Any]]:
    """A table for each contract the job names, with what is still open at its end."""
    return [
        {
            "title": printed(contract_said(matrix)),
            "about": printed(matrix.pack.note),
            "counts": counts_said(matrix),
            "rows": [_row(clause) for clause in matrix.clauses],
            "open": [_open(clause) for clause in matrix.still_open],
        }
        for matrix in matrices(verdict)
    ]


def _row(clause: Clause) -> dict[str, Any]:
    judgement = clause.judgement
    return {
        "number": printed(number_said(clause)),
        "asks": printed(clause.rule.asks),
        "by": clause.rule.closed_by,
        "state": look_of(state_look(judgement.state, judgement.would)),
        "value": printed(value_and_limit(clause)),
        "line": line_of(clause.mark),
        "measure": printed(clause.rule.measure),
        "worst-of": f"worst of {clause.subjects_n}" if clause.subjects_n > 1 else "",
    }


def _open(clause: Clause) -> dict[str, Any]:
    judgement = clause.judgement
    return {
        "number": printed(number_said(clause)),
        "state": look_of(state_look(judgement.state, judgement.would)),
        "to-do": printed(clause.to_do),
    }
