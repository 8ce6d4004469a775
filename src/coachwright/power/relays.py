"""Which relay does each thing have that a channel only switches, and does its contact carry what flows?

A channel switches a relay where a load has a feed of its own or takes more than the channel gives, for lamps the
vehicle came with, and for outputs of the vehicle that are interrupted. The smallest relay is taken whose contact has a
fifth to spare. What flows in the vehicle's own outputs nobody says; they get the smallest, and the maker decides.

See Also
--------
coachwright.power.channels : what a channel leads to. coachwright.power.drawn : what flows.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.parts.schema import RelayPart
from coachwright.parts.store import load_catalogue
from coachwright.power.channels import outputs_of
from coachwright.power.drawn import drawn
from coachwright.power.loads import loads_of
from coachwright.power.sizing_figures import sizing_figures


@dataclass(frozen=True, slots=True)
class Relay:
    """A relay beside a controller.

    subject, path : what it switches. part : None where no contact on the shelf carries it. current_a : heats the
    contact, in the worst situation; None where nobody says.
    """

    subject: str
    path: str
    part: RelayPart | None
    current_a: float | None


@by_digest
def relays_of(model: Model) -> tuple[Relay, ...]:
    """Every relay of a build, in the order of the file."""
    known = {load.subject for load in loads_of(model)}
    found = []
    for output in outputs_of(model):
        if output.carries == "coil":
            current_a = drawn(model, (output.subject,)).rms_a if output.subject in known else None
            found.append(Relay(output.subject, output.path, relay_for(current_a or 0.0), current_a))
    return tuple(found)


def relay_for(current_a: float) -> RelayPart | None:
    """The smallest relay of the shelf that switches a current for good; None where none does. [A]"""
    share = sizing_figures().relay_share
    return next((each for each in _shelf() if current_a <= share * each.current * (1 + 1e-12)), None)


@cache
def _shelf() -> tuple[RelayPart, ...]:
    found = [part for part in load_catalogue().of_kind("relay") if isinstance(part, RelayPart)]
    return tuple(sorted(found, key=lambda each: (each.current, each.name)))
