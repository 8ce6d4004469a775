"""The proofs of a build's promises as text and JSON: how each ends, the story that breaks it, and what faults do to it.

See Also
--------
coachwright.control.prove, coachwright.control.faults, coachwright.control.witness : what is told.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from coachwright.build.model import Model
from coachwright.control.before_proof import before_proof
from coachwright.control.faults import UnderFault, under_faults
from coachwright.control.prove import Proof, prove, second_witness
from coachwright.control.run import Acted
from coachwright.control.statement import HeadState
from coachwright.control.witness import Witness
from coachwright.kit.counted import counted
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.finding import Finding
from coachwright.kit.near import nearest
from coachwright.look.cells import sentence
from coachwright.look.quote import plain

WIDTH = 110
_SIGNS = {"proved": "✓", "broken": "×", "undecided": "?"}
_TOLD = ("broken", "undecided", "blind")
_NEVER = frozenset(f"CTL-{number:03d}" for number in (4, 5, 6, 7, 8, 9, 10, 11, 20))
"""Findings of things that are written and never happen."""


@dataclass(frozen=True, slots=True)
class Asked:
    """All that was found about one promise. faults : None when they weren't asked for."""

    proof: Proof
    witness: Witness
    faults: tuple[UnderFault, ...] | None


def asked_of(
    model: Model, names: Sequence[str], *, faults: bool, progress: Callable[[str, int, int], None]
) -> tuple[Asked, ...]:
    """The proofs of the promises named; of all when none is.

    Raises
    ------
    CoachwrightError : a name that is no promise of the build.
    """
    known = {promise.name: promise for promise in model.promises}
    for name in names:
        if name not in known:
            near = nearest(name, known, most=1)
            there = f"Closest: {near[0]}." if near else f"There are {', '.join(known) or 'none'}."
            raise CoachwrightError(f"No promise is called {plain(name)[:60]}. {there}")
    wanted = [known[name] for name in dict.fromkeys(names)] or list(model.promises)
    found = []
    for number, promise in enumerate(wanted, start=1):
        progress(promise.name, number, len(wanted))
        under = under_faults(model, promise) if faults else None
        found.append(Asked(prove(model, promise), second_witness(model, promise), under))
    return tuple(found)


def proofs_lines(found: Sequence[Asked]) -> Iterator[str]:
    """The proofs as a person reads them; the last line sums up."""
    for each in found:
        yield from _promise_lines(each)
        yield ""
    counts = {state: sum(each.proof.state == state for each in found) for state in _SIGNS}
    said = ", ".join(f"{number} {state}" for state, number in counts.items() if number)
    blind = sum(fault.state == "blind" for each in found for fault in each.faults or ())
    under = f"; blind under {counted(blind, 'fault')}" if blind else ""
    yield f"{counted(len(found), 'promise')}: {said}{under}." if found else "The build makes no promises."


def never_happens(model: Model) -> tuple[Finding, ...]:
    """Functions that never win, heads never lit, inputs and memories nobody reads, situations nobody reaches."""
    return tuple(found for found in before_proof(model) if found.code in _NEVER)


def never_lines(found: Sequence[Finding]) -> Iterator[str]:
    """What never happens, in a line or two each."""
    if not found:
        yield "Every function wins somewhere, every input is read, every situation can be reached."
        return
    yield "What never happens in this build, whatever is done:"
    for finding in found:
        yield from _wrapped(f"{finding.code} {sentence(finding)}", first="  ", rest="    ")


def never_json(found: Sequence[Finding]) -> list[dict[str, str]]:
    """The same for programs."""
    return [{"code": each.code, "about": each.about, "message": sentence(each)} for each in found]


def _promise_lines(asked: Asked) -> Iterator[str]:
    proof = asked.proof
    yield f"{_SIGNS[proof.state]} {proof.promise}: {proof.state}"
    yield from _wrapped(how_said(proof))
    if proof.story is not None:
        yield from _story_lines(proof.story)
    yield from _wrapped(witness_said(asked.witness, proof))
    if asked.faults is not None:
        yield from _fault_lines(asked.faults)


def how_said(proof: Proof) -> str:
    """How it came to that, in a sentence."""
    how = f"{proof.how[0].upper()}{proof.how[1:]}."
    if proof.lemmas_n and proof.state == "proved":
        facts = "1 fact about memories helps" if proof.lemmas_n == 1 else f"{proof.lemmas_n} facts about memories help"
        how += f" {facts}."
    return how


def witness_said(gone_through: Witness, proof: Proof) -> str:
    """What the second witness found, in a sentence."""
    if gone_through.broken_n and proof.state == "proved":
        return f"Second witness, {gone_through} in one moment; no story leads to them."
    return f"Second witness, {gone_through}."


def _story_lines(story: Acted) -> Iterator[str]:
    for number, line in enumerate(story.lines, start=1):
        yield from _wrapped(line, first=f"    {number}. ", rest="       ")
    for state in _contended(story):
        yield from _wrapped(f"{state.head}: {_won(state)}", first="       ", rest="         ")


def _contended(story: Acted, most: int = 4) -> list[HeadState]:
    return [state for state in story.outputs.heads if state.owners or state.ambiguous][:most]


def _won(state: HeadState) -> str:
    """Who has the head in the end, and who else wanted it."""
    shown = " and ".join(f"{part.colour} {part.show.manner}" for part in state.parts) or "dark"
    has = f"{shown}, by {' and '.join(state.owners)}" if state.owners else "nobody, because nothing decides"
    lost = [
        f"{each.function} ({each.outcome.replace('-', ' ')})"
        for each in state.wanted
        if each.outcome not in ("owns", "beside")
    ]
    return has + (f"; also wanted by {', '.join(lost)}" if lost else "")


def _fault_lines(faults: Sequence[UnderFault]) -> Iterator[str]:
    holds = sum(fault.state in ("holds", "not asked") for fault in faults)
    yield from _wrapped(f"Under single faults: {holds} of {len(faults)} hold or ask nothing.")
    for fault in faults:
        if fault.state in _TOLD:
            yield from _wrapped(fault_said(fault), first="    ", rest="      ")


def fault_said(fault: UnderFault) -> str:
    """A fault, how the promise ends under it, and the acts that show it."""
    story = f": {'; '.join(act.text for act in fault.story.acts)}" if fault.story is not None else ""
    return f"{fault}{story}"


def _wrapped(said: str, *, first: str = "  ", rest: str = "  ") -> Iterable[str]:
    return textwrap.wrap(plain(said), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def proofs_json(found: Sequence[Asked]) -> dict[str, Any]:
    """The same for programs."""
    return {"format": 1, "promises": [_asked_json(each) for each in found]}


def _asked_json(asked: Asked) -> dict[str, Any]:
    proof = asked.proof
    return {
        "promise": proof.promise,
        "state": proof.state,
        "how": proof.how,
        "story": _story_json(proof.story),
        "rows-tried": proof.rows_n,
        "facts-about-memories": proof.lemmas_n,
        "second-witness": {
            "bits": asked.witness.bits,
            "ran": asked.witness.ran,
            "settings": asked.witness.settings_n,
            "breaking": asked.witness.broken_n,
        },
        "faults": None
        if asked.faults is None
        else [
            {"input": each.input, "stuck-at": each.stuck_at, "state": each.state, "story": _story_json(each.story)}
            for each in asked.faults
        ],
    }


def _story_json(story: Acted | None) -> list[str] | None:
    return None if story is None else list(story.lines)
