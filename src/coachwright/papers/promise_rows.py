"""The promises of a build as the proof book prints them: how each ends, its story, and what a lying source does to it.

See Also
--------
coachwright.control.prove, coachwright.control.faults : what is printed. coachwright.look.proofs : the same as text.
"""

from __future__ import annotations

from typing import Any

from coachwright.build.model import Model, Promise
from coachwright.kit.nodes import Document
from coachwright.look.proofs import Asked, asked_of, fault_said, how_said, witness_said
from coachwright.look.style import STATES, Look
from coachwright.papers.printed import line_of, printed

NOTE = (
    "Each promise was asked over every state that any story reaches, and again while one wire, bus value or control "
    "lies. Blind: what it asks about truly holds, the machine can't know, and the promise isn't kept; no logic mends "
    "that, another switch does."
)
NO_PROMISES = "The job makes no promises, so nothing was proved of what its switches do together."

_LOOKS: dict[str, Look] = {"proved": STATES["pass"], "broken": STATES["fail"], "undecided": STATES["draft"]}
_TOLD = ("broken", "undecided", "blind")


def promise_rows(model: Model | None, document: Document | None) -> list[dict[str, Any]]:
    """One entry for each promise, in the order of the file."""
    if model is None or not model.promises:
        return []
    found = asked_of(model, (), faults=True, progress=lambda *_: None)
    return [_row(promise, each, document) for promise, each in zip(model.promises, found, strict=True)]


def _row(promise: Promise, asked: Asked, document: Document | None) -> dict[str, Any]:
    proof = asked.proof
    look = _LOOKS[proof.state]
    faults = asked.faults or ()
    harmless = sum(fault.state not in _TOLD for fault in faults)
    mark = document.mark(tuple(promise.path.split("."))) if document is not None else None
    return {
        "name": printed(promise.name),
        "says": printed(promise.text),
        "line": line_of(mark),
        "state": {"sign": look.sign, "word": proof.state, "ink": look.ink, "wash": look.wash},
        "how": printed(how_said(proof)),
        "witness": printed(witness_said(asked.witness, proof)),
        "story": [printed(line) for line in proof.story.lines] if proof.story is not None else [],
        "under": f"Under single faults {harmless} of {len(faults)} hold or ask nothing.",
        "faults": [printed(fault_said(fault)) for fault in faults if fault.state in _TOLD],
    }
