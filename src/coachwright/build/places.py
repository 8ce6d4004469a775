"""Is there a place of this name on the body?"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import Place
from coachwright.parts.standing import Side

_SIDES: Mapping[str, Side] = {"left": "left", "right": "right"}


def find_place(
    text: str, places: Mapping[str, Place], path: PathPieces, told: list[Trouble]
) -> tuple[Place, Side] | None:
    """The place, with the side that is written behind it; None, with the trouble told, when there is none."""
    if text in places:
        return places[text], ""
    name, _, last = text.rpartition(".")
    if last not in _SIDES or name not in places:
        known = name if last in _SIDES else text
        told.append(not_known(path, "place on this body", known, places, code="BLD-052", name="place-not-on-body"))
        return None
    if not places[name].mirrored:
        why = f"{name} is there once, not on both sides."
        told.append(Trouble(path, "BLD-054", "pair-not-possible", why, f"Write {name}.", text))
        return None
    return places[name], _SIDES[last]


def places_of_ours(written: WrittenBuild) -> frozenset[str]:
    """Things of the build at which others are fitted: its console, its cargo, its equipment."""
    console = {"console"} if "console" in written.later else set()
    return frozenset((*console, *written.later.get("cargo", ()), *written.items("equipment")))


def check_fitted(
    text: str, places: Mapping[str, Place], path: PathPieces, told: list[Trouble], *, ours: Collection[str]
) -> None:
    """Tell it where something is fitted at no place of the body, and at nothing of ours."""
    if text not in places and text.partition(".")[0] not in ours:
        find_place(text, places, path, told)
