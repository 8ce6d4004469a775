"""What can hurt someone, and where must that be said?

One table. Every paper, page and command that gives somebody something to act on takes its cautions from here; a test
holds them in their places. Each defers to who knows better: the law of the place, the vehicle maker's body-builder
guide, the maker of the part, a licensed practitioner.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Kind = Literal["paper", "page", "command"]

ESTIMATE = "An engineering estimate, not a certificate. Measured acceptance, law and contract decide."
"""Stands on every verdict, paper and sheet."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One danger.

    text : what can happen and what to do. defers : who has the last word.
    papers, pages, commands : where it must appear, by name.
    """

    name: str
    title: str
    text: str
    defers: str
    papers: frozenset[str]
    pages: frozenset[str] = frozenset()
    commands: frozenset[str] = frozenset()


_EVERY_BOOK = ("proof-book", "build-book", "delivery-book")
_AT_THE_BENCH = ("proof-book", "build-book", "bench-sheets")


def _of(*names: str) -> frozenset[str]:
    return frozenset(names)


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "battery",
        "Battery and high current",
        "A shorted battery cable burns, and a charging battery gives off gas that explodes. Take off the negative "
        "cable before work on feeds; fuse every feed close to the battery; keep rings, watches, tools off the posts.",
        "The vehicle maker's guide says where and how to connect, and which cable comes off first.",
        _of(*_AT_THE_BENCH, "delivery-book", "drawings"),
        _of("power"),
        _of("papers", "bench", "draw"),
    ),
    Caution(
        "airbags",
        "Airbags and curtains",
        "Nothing is fitted, and no wire is run, where an airbag or a curtain unfolds: pillars, roof rails, seat sides, "
        "dash. Their circuits are neither cut, tapped nor measured. A console or a bar can become a missile.",
        "The body-builder guide shows the zones to be kept free; where it is silent, ask the vehicle's maker.",
        _of(*_AT_THE_BENCH, "drawings"),
        _of("layout"),
        _of("papers", "draw"),
    ),
    Caution(
        "drilling",
        "Drilling and hidden harnesses",
        "Behind panels run harnesses, fuel and brake lines, and batteries of hybrid and electric vehicles at voltages "
        "that kill. Look behind before drilling, set a depth stop, deburr, seal the edge, sleeve each pass-through.",
        "The body-builder guide says where holes are allowed. Orange cables are for those trained for them.",
        _of(*_AT_THE_BENCH, "drawings"),
        _of("layout"),
        _of("papers", "draw"),
    ),
    Caution(
        "glare",
        "Glare and flashing light",
        "At night bright warning light blinds those who must see the people on the road; flashing light of many rates "
        "can bring on seizures in people who are sensitive to it. Dim at night, keep white out of drivers' eyes, and "
        "do not look into lit heads from near.",
        "Acceptance is measured on the vehicle, by day and by night, by people who stand where the public will.",
        _of(*_EVERY_BOOK, "bench-sheets", "operator-card", "what-is-seen"),
        _of("preview", "layout"),
        _of("papers", "bench"),
    ),
    Caution(
        "hearing",
        "Hearing",
        "A siren harms the hearing of the crew and of whoever stands before its speaker. Test with hearing protection, "
        "at low power or with the speaker off; never sound it in a closed shop.",
        "The law on noise at work where the shop and the crew are; a hearing practitioner for exposure.",
        _of(*_EVERY_BOOK, "bench-sheets", "operator-card"),
        _of("sound"),
        _of("papers", "bench"),
    ),
    Caution(
        "radio",
        "Exposure to radio waves",
        "Who sits or stands close to a transmitting antenna is exposed. Keep the distance the radio's licence and "
        "maker ask for, also from seats and from where people lean; never key a radio with the antenna off or at hand.",
        "The rules of the radio authority for the licence, and the maker's installation sheet.",
        _of(*_EVERY_BOOK),
        _of("antennas"),
        _of("papers"),
    ),
    Caution(
        "colours",
        "Colours and who may show them",
        "Which colours a vehicle may show, in which direction, flashing or steady, moving or parked, and with what "
        "permit, is decided by the law of the state and of the place. The answers under job.law are the shop's, with "
        "the papers it names; nothing here is legal advice.",
        "State and local law, and the authority that gives the permit.",
        _of(*_EVERY_BOOK, "offer", "operator-card", "what-is-seen"),
        _of("law", "layout"),
        _of("papers", "check"),
    ),
    Caution(
        "altering",
        "Who alters a certified vehicle",
        "Who alters a vehicle before its first sale answers for its going on meeting every safety standard it was "
        "certified to, and may have to add a label of their own; afterwards nobody in the trade may make required "
        "equipment inoperative. Stop, turn and hazard lamps keep working in every state, faults included.",
        "49 CFR 567, 568 and 49 U.S.C. 30122 in the United States; elsewhere the law there. A compliance practitioner.",
        _of("proof-book", "build-book", "delivery-book", "offer", "drawings"),
        _of("law"),
        _of("papers", "prove", "replay", "watch", "export"),
    ),
    Caution(
        "exported-logic",
        "Logic in another controller",
        "What is proved is the logic, not the controller it runs in: its cycle time, its inputs and outputs, what it "
        "does at a fault or a low voltage, and its clock of the patterns are its own. Test every function at the "
        "bench, then on the vehicle at a standstill, before anybody drives it.",
        "The manual of the controller's maker, and whoever may put such a controller into a vehicle there.",
        _of("bench-sheets"),
        commands=_of("export"),
    ),
)


def cautions_of(kind: Kind, name: str) -> tuple[Caution, ...]:
    """The cautions that must stand in one paper, on one page, or beside what one command prints."""
    return tuple(each for each in CAUTIONS if name in _places(each, kind))


def _places(caution: Caution, kind: Kind) -> Iterable[str]:
    return {"paper": caution.papers, "page": caution.pages, "command": caution.commands}[kind]
