"""What is wrong at one path of a part file, before it is known where in the text that stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coachwright.kit.finding import Severity

if TYPE_CHECKING:
    from coachwright.parts.base import PartBase


@dataclass(frozen=True, slots=True)
class PartProblem:
    """One thing that can't be read in a part file, can't be so, or is worth a second look.

    Parameters
    ----------
    path : pieces within the file, list items counted from 1.
    code, name : as of a finding (``PRT-031``, ``heads-out-of-order``).
    why : a sentence for a shop lead. write : a sentence with what to write, or "".
    near : the closest known name, or "".
    on_key : the name itself is what is wrong, not the value behind it.
    severity : an error keeps the part out; anything else is told and the part is used.
    """

    path: tuple[str, ...]
    code: str
    name: str
    why: str
    write: str = ""
    near: str = ""
    on_key: bool = False
    severity: Severity = "error"


def above_nothing(part: PartBase, *fields: str) -> Iterator[PartProblem]:
    """Figures of a part that can't be nothing or less."""
    for field in fields:
        if getattr(part, field) <= 0:
            why = f"{field.replace('_', ' ').capitalize()} is above nothing."
            yield PartProblem((field.replace("_", "-"),), "PRT-043", "figure-not-possible", why)


def not_below_nothing(part: PartBase, *fields: str) -> Iterator[PartProblem]:
    """Figures of a part that may be nothing, but not less."""
    for field in fields:
        if getattr(part, field) < 0:
            why = f"{field.replace('_', ' ').capitalize()} can't be below nothing."
            yield PartProblem((field.replace("_", "-"),), "PRT-043", "figure-not-possible", why)


def rising(part: PartBase, low: str, high: str) -> Iterator[PartProblem]:
    """Two figures of a part of which the first can't be above the second."""
    if getattr(part, low) > getattr(part, high):
        first, second = low.replace("_", "-"), high.replace("_", "-")
        why = f"{first.capitalize()} is above {second}."
        yield PartProblem((first,), "PRT-056", "figures-out-of-order", why, f"Write the smaller one as {first}.")


def voltages(least: float, test: float, most: float) -> Iterator[PartProblem]:
    """The voltage figures were taken at lies between the least and the most it is made for. [V]"""
    if not 0 < least <= test <= most:
        yield PartProblem(
            ("least-voltage",),
            "PRT-032",
            "voltages-out-of-order",
            f"It was tested at {test:g} V but is made for {least:g} to {most:g} V.",
            "The test voltage lies between the least and the most.",
        )


def doubt(path: tuple[str, ...], why: str, write: str = "") -> PartProblem:
    """Two figures of one part that hardly hold together: told, and the part is used as it is written."""
    return PartProblem(path, "PRT-057", "figures-disagree", why, write, severity="warning")
