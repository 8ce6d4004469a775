"""The compliance matrix in print: a row for each clause, and what is still open at the end."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath
from typing import Any

from coachwright.build.choices import spoken_choices, spoken_vehicles
from coachwright.look.cells import limit_cell, one_line, state_cell, worst_cell
from coachwright.look.quote import plain
from coachwright.look.style import STATES
from coachwright.proof.alike import JobVerdict
from coachwright.proof.as_json import judgement_json
from coachwright.proof.judge import State
from coachwright.proof.matrix import Clause, Matrix, matrices
from coachwright.proof.verdict import Verdict

WIDTH = 118
FORMAT = 1
"""Raised when a field of the JSON changes its name or its meaning."""
NO_CONTRACT = (
    "The job names no pack that is a contract, so there is no matrix. docs/how-to-write-a-contract.md shows how a "
    "customer's clauses are keyed in."
)
HEADS = ("clause", "requirement", "closed by", "state", "value / limit", "where")
_ENDED: tuple[State, ...] = ("pass", "near", "fail", "waived", "draft", "open", "not-measured", "not-applicable")


def matrix_lines(verdict: Verdict, *, coloured: bool = False) -> Iterator[str]:
    """Every contract of the job as a table, the counts, and what is still open."""
    found, left_out = matrices(verdict), packs_left_out(verdict)
    yield from left_out
    if left_out:
        yield ""
    elif not found:
        yield NO_CONTRACT
    for matrix in found:
        yield f"Compliance with {plain(contract_said(matrix))}"
        yield ""
        yield from _table(matrix, coloured)
        yield ""
        yield counts_said(matrix)
        yield from _open(matrix)
        yield ""


def packs_left_out(verdict: Verdict) -> tuple[str, ...]:
    """What is wrong with packs that do not load: their clauses are missing from every matrix."""
    return one_line(finding for finding in verdict.findings if finding.code.startswith("RUL-"))


def job_matrix_lines(job: JobVerdict, *, coloured: bool = False) -> Iterator[str]:
    """The matrix of the base, then of each other set of choices the clauses that stand otherwise."""
    yield from matrix_lines(job.base, coloured=coloured)
    if job.based is None:
        return
    yield f"This is the base, with no option chosen: vehicles {spoken_vehicles(job.based) or 'none'}."
    for other in job.others:
        chosen = spoken_choices(other.vehicles.differs, ())
        yield f"Vehicles {spoken_vehicles(other.vehicles)}, {chosen}: {_otherwise(job.base, other.verdict)}"


def job_matrix_json(job: JobVerdict) -> dict[str, Any]:
    """The matrix of the base, and under ``alike`` that of each other set of choices."""
    told = {**matrix_json(job.base), "exit": job.exit_code}
    if job.based is not None:
        told["base-of"] = list(job.based.numbers)
        told["alike"] = [
            {
                "vehicles": list(each.vehicles.numbers),
                "choices": dict(each.vehicles.differs),
                "matrix": matrix_json(each.verdict),
            }
            for each in job.others
        ]
    return told


def _otherwise(base: Verdict, other: Verdict) -> str:
    """Clauses whose state differs from the base's, in words."""
    if other.model is None:
        return "the build can't be understood with these choices."
    states = {clause.rule.code: clause.judgement.state for matrix in matrices(base) for clause in matrix.clauses}
    said = [
        f"{number_said(clause)} {state_cell(clause.judgement).text}"
        for matrix in matrices(other)
        for clause in matrix.clauses
        if states.get(clause.rule.code) != clause.judgement.state
    ]
    return f"otherwise {', '.join(said)}." if said else "every clause stands as in the base."


def contract_said(matrix: Matrix) -> str:
    """Title and edition of the contract."""
    pack = matrix.pack
    return f"{pack.title}, {pack.edition}" if pack.edition else pack.title


def counts_said(matrix: Matrix) -> str:
    """``12 clauses: 4 pass, 1 fail, 5 open, 2 not measured.``"""
    said = [f"{matrix.states[state]} {STATES[state].word}" for state in _ENDED if matrix.states[state]]
    many = len(matrix.clauses)
    return f"{many} clause{'' if many == 1 else 's'}: {', '.join(said) or 'none'}."


def value_and_limit(clause: Clause) -> str:
    """What was measured and what was asked for; for a record, what it has to hold."""
    limit = limit_cell(clause.rule).text
    if clause.rule.needs:
        return limit
    return f"{worst_cell(clause.judgement).text} / {limit}"


def where_said(clause: Clause) -> str:
    """The line that decides it, and under it the measure and of how many subjects it is the worst."""
    if clause.rule.needs:
        return ""
    measure = clause.rule.measure
    said = [f"{measure}, worst of {clause.subjects_n}" if clause.subjects_n > 1 else measure]
    if clause.mark is not None:
        said.insert(0, plain(f"{PurePath(clause.mark.file).name}:{clause.mark.line}:{clause.mark.column}"))
    return "\n".join(said)


def number_said(clause: Clause) -> str:
    """The clause's number; the rule's code where it has none."""
    return plain(clause.number or clause.rule.code)


def matrix_json(verdict: Verdict) -> dict[str, Any]:
    """The same for programs; numbers are SI, each with its unit beside it."""
    return {
        "format": FORMAT,
        "file": verdict.file,
        "digest": verdict.digest,
        "exit": verdict.exit_code,
        "judged-on": verdict.judged_on,
        "packs-left-out": list(packs_left_out(verdict)),
        "contracts": [_contract_json(matrix) for matrix in matrices(verdict)],
        "note": "An engineering estimate, not a certificate. Measured acceptance, law and contract decide.",
    }


def _contract_json(matrix: Matrix) -> dict[str, Any]:
    return {
        "pack": matrix.pack.pack,
        "title": matrix.pack.title,
        "edition": matrix.pack.edition,
        "counts": dict(matrix.states),
        "clauses": [_clause_json(clause) for clause in matrix.clauses],
        "open": [{"clause": number_said(clause), "to-do": clause.to_do} for clause in matrix.still_open],
    }


def _clause_json(clause: Clause) -> dict[str, Any]:
    told = judgement_json(clause.judgement)
    mark = clause.mark
    kept = ("code", "state", "would", "asks", "closed-by", "needs", "limit", "why", "about", "waiver")
    return {
        "clause": clause.number,
        **{name: told[name] for name in kept},
        "measure": clause.rule.measure,
        "case": told["cases"][0] if told["cases"] else None,
        "subjects": clause.subjects_n,
        "where": None if mark is None else {"file": mark.file, "line": mark.line, "column": mark.column},
    }


def _table(matrix: Matrix, coloured: bool) -> Iterator[str]:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1), width=WIDTH, show_edge=False)
    for head, ratio in zip(HEADS, (None, 5, None, None, 4, 4), strict=True):
        table.add_column(head, ratio=ratio, no_wrap=ratio is None, overflow="fold")
    before = ""
    for clause in matrix.clauses:
        state = state_cell(clause.judgement)
        number = number_said(clause)
        table.add_row(
            Text("" if number == before else number),
            Text(plain(clause.rule.asks)),
            Text(clause.rule.closed_by),
            Text(state.text, style=state.look.terminal if state.look is not None and coloured else ""),
            Text(value_and_limit(clause)),
            Text(where_said(clause)),
        )
        before = number
    console = Console(width=WIDTH, force_terminal=coloured, color_system="auto" if coloured else None, highlight=False)
    with console.capture() as captured:
        console.print(table)
    yield from (line.rstrip() for line in captured.get().splitlines())


def _open(matrix: Matrix) -> Iterator[str]:
    import textwrap

    if not matrix.still_open:
        yield "Nothing is open."
        return
    yield "Still open"
    for clause in matrix.still_open:
        lead = f"  {number_said(clause)}  "
        said = plain(f"{state_cell(clause.judgement).text}: {clause.to_do}")
        yield from textwrap.wrap(said, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead)) or [lead]
