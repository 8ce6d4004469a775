"""Which of the vehicle's own circuits can something of ours hang on, and what does the build call them?

A circuit is a lamp or an output the vehicle came with: ``vehicle.reverse-lamps``, for short ``vehicle.reverse``.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.trouble import Trouble, not_known
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import BodyPart

VEHICLE = "vehicle"
SOCKETS = ("four-way", "seven-way")
"""Sockets for a trailer's lamps, as the trade counts their contacts (SAE J1239 and J2863 have their layouts)."""

_SHORT = ("-lamps", "-lamp")


def circuits_of(body: BodyPart) -> Mapping[str, str]:
    """What can stand behind ``vehicle.``, and the lamp or output of the body that it means."""
    found: dict[str, str] = {}
    for name in body.lamps:
        for ending in _SHORT:
            if name.endswith(ending):
                found.setdefault(name.removesuffix(ending), name)
    return found | {name: name for name in body.lamps}


def is_of_vehicle(text: str) -> bool:
    """Does it begin with ``vehicle.``?"""
    return text.partition(".")[0] == VEHICLE


def check_circuit(
    text: str, body: BodyPart | None, path: PathPieces, told: list[Trouble], *, sockets: bool = False
) -> None:
    """Tell it where no lamp or output of the vehicle goes by that name. sockets : those for a trailer count too."""
    if body is None:
        return
    owner, _, name = text.partition(".")
    known = (*circuits_of(body), *(SOCKETS if sockets else ()))
    if name not in known:
        at = (len(owner) + 1, len(text)) if name else None
        told.append(
            not_known(
                path,
                "lamp or output of this vehicle",
                name or text,
                known,
                code="BLD-057",
                name="vehicle-lamp-not-known",
                span=at,
            )
        )
