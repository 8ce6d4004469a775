"""What does one published formula give for these inputs? The door of `coachwright reckon`.

Reads ``key=value`` texts with the units of kit.units and gives the answer, or one line that says what to write.
"""

from __future__ import annotations

from collections.abc import Sequence

from coachwright.kit.near import nearest
from coachwright.kit.reckoner import RECKONERS, InputRefused, Reckoner, load_reckoners
from coachwright.kit.reckoner_text import work_out
from coachwright.kit.reckoning import Reckoning
from coachwright.kit.units import UnitError, parse


def reckon(name: str, texts: Sequence[str]) -> Reckoning:
    """Work one calculation out.

    Parameters
    ----------
    name : of the reckoner, e.g. ``effective-intensity``.
    texts : ``key=value``, one each.

    Raises
    ------
    InputRefused : one line for people; the command ends with 2.
    """
    return work_out(find(name), texts, parse=parse, unit_error=UnitError)


def find(name: str) -> Reckoner:
    """The reckoner of this name.

    Raises
    ------
    InputRefused : names the nearest one, and any room that could not be loaded.
    """
    broken = load_reckoners()
    if name in RECKONERS:
        return RECKONERS[name]
    near = nearest(name, RECKONERS)
    hint = f"Did you mean {near[0]}?" if near else "Write coachwright reckon to see them all."
    missing = "".join(f" (The {room} room could not be loaded: {why})" for room, why in broken.items())
    raise InputRefused(f"{' '.join(name.split())[:60]!r}: no calculation is called so. {hint}{missing}")


def listing() -> tuple[tuple[Reckoner, ...], dict[str, str]]:
    """Every reckoner, room by room, and the rooms that could not be loaded with the reason."""
    broken = load_reckoners()
    return tuple(sorted(RECKONERS.values(), key=lambda entry: (entry.room, entry.name))), broken
