"""What can be asked of every state there is: the promises that packs bring, each proved over the build.

A rule names one property (and whether it has to hold with a source that lies as well); this window binds it to the
build and proves each claim. The answer is a word: proved, broken (with the shortest story found), blind (kept as the
machine reads things, but not as they truly stand), or undecided.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.condition import Not
from coachwright.build.model import Model, Promise
from coachwright.control.claims import Claim, Terms
from coachwright.control.claims_arrow import arrow_never_against_turn, arrow_only_standing
from coachwright.control.claims_park import (
    dark_with_key_out,
    emitter_off_in_park,
    siren_asked_for_again,
    siren_off_in_park,
    white_forward_off_in_park,
)
from coachwright.control.claims_road import (
    brake_shown,
    nothing_beside_signal,
    panel_never_outranks_road,
    required_lamp_never_dimmed,
    stop_yields_to_turn,
    turn_shown,
)
from coachwright.control.claims_warning import warning_at_low_supply, zone_lit_whatever_signals
from coachwright.control.faults import UnderFault, kept_whatever_is_read, under_faults
from coachwright.control.prove import prove
from coachwright.control.run import Acted
from coachwright.kit.measure import Measure, measures

Property = Literal[
    "brake-shown",
    "turn-shown",
    "stop-yields-to-turn",
    "nothing-beside-signal",
    "panel-never-outranks-road",
    "required-lamp-never-dimmed",
    "siren-off-in-park",
    "siren-asked-for-again",
    "emitter-off-in-park",
    "white-forward-off-in-park",
    "dark-with-key-out",
    "zone-lit-whatever-signals",
    "warning-at-low-supply",
    "arrow-only-standing",
    "arrow-never-against-turn",
]

PROPERTIES: Mapping[str, Callable[[Model, Terms], Iterator[Claim]]] = {
    "brake-shown": brake_shown,
    "turn-shown": turn_shown,
    "stop-yields-to-turn": stop_yields_to_turn,
    "nothing-beside-signal": nothing_beside_signal,
    "panel-never-outranks-road": panel_never_outranks_road,
    "required-lamp-never-dimmed": required_lamp_never_dimmed,
    "siren-off-in-park": siren_off_in_park,
    "siren-asked-for-again": siren_asked_for_again,
    "emitter-off-in-park": emitter_off_in_park,
    "white-forward-off-in-park": white_forward_off_in_park,
    "dark-with-key-out": dark_with_key_out,
    "zone-lit-whatever-signals": zone_lit_whatever_signals,
    "warning-at-low-supply": warning_at_low_supply,
    "arrow-only-standing": arrow_only_standing,
    "arrow-never-against-turn": arrow_never_against_turn,
}
"""Every property a rule can name; what each means stands at the head of the file it is from."""

_WORST = ("broken", "undecided", "blind")


@measures(
    "control.proved",
    kind="word",
    per_situation=False,
    property="word",
    under_faults="word",
    within="time",
    speed="speed",
)
def proved(
    model: Model,
    *,
    property: Property,  # noqa: A002 - the word rules use
    under_faults: Literal["no", "yes"] = "no",
    within: float = 0.0,
    speed: float = 0.0,
) -> tuple[Measure, ...]:
    """Does this property hold in every state the vehicle can get into?"""
    claims = PROPERTIES[property](model, Terms(within, speed))
    return tuple(_answer(model, claim, faults=under_faults == "yes") for claim in claims)


@dataclass(frozen=True, slots=True)
class Ended:
    """How a claim ends: the word, what it is about, and the story behind it."""

    word: str
    subject: str
    story: Acted | None = None


def ended(model: Model, claim: Claim, *, faults: bool) -> Ended:
    """Prove a claim. faults : with each source it depends on lying, one at a time, as well."""
    proof = prove(model, claim.promise)
    if proof.state != "proved" and claim.or_else:
        each = [ended(model, one, faults=False) for one in claim.or_else]
        worst = min(each, key=lambda one: _order(one.word))
        return worst if worst.word != "proved" else Ended("proved", claim.subject)
    if proof.state != "proved" or not faults or kept_whatever_is_read(model, claim.promise):
        return Ended(proof.state, claim.subject, proof.story)
    lying = [each for each in under_faults(model, _as_read(claim.promise)) if each.state in _WORST]
    if not lying:
        return Ended("proved", claim.subject)
    found = min(lying, key=lambda each: _order(each.state))
    return Ended(found.state, f"{claim.subject} with {_fault(found)}", found.story)


def _as_read(promise: Promise) -> Promise:
    """What may never be is asked as the machine reads it: while the gear is read as D, nothing is in Park."""
    return promise if promise.never is None else replace(promise, never=Not(Not(promise.never)))


def _answer(model: Model, claim: Claim, *, faults: bool) -> Measure:
    end = ended(model, claim, faults=faults)
    told = f": {'; '.join(end.story.lines)}" if end.story is not None else ""
    return Measure(
        "control.proved",
        end.word,
        "word",
        about=claim.about,
        blame=claim.blame,
        where=f"{end.subject}{told}",
        facts=dict(claim.facts),
    )


def _order(word: str) -> int:
    return _WORST.index(word) if word in _WORST else len(_WORST)


def _fault(under: UnderFault) -> str:
    return under.fault
