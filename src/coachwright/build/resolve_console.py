"""What stands in the console, and do its bays and the equipment say the same?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.model import Equipment
from coachwright.build.model_fitted import Bay, Console
from coachwright.build.places import find_place
from coachwright.build.problem import closest
from coachwright.build.resolve_lamps import another_kind, part_of
from coachwright.build.sections.console import BLANK, CONTROLS
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, ConsolePart
from coachwright.parts.store import Catalogue


def console_of(
    written: WrittenBuild,
    body: BodyPart | None,
    catalogue: Catalogue,
    *,
    equipment: Mapping[str, Equipment],
    parts: dict[str, AnyPart],
    told: list[Trouble],
) -> Console | None:
    """The console with its bays; None where there is none, or something in it is lost or wrong."""
    item = written.one.get("console")
    if item is None:
        return None
    path = ("console", "body")
    part = part_of(item.body.part, "console", catalogue, (*path, "part"), told)
    if part is not None and not isinstance(part, ConsolePart):
        told.append(another_kind(item.body.part, part, "a console", (*path, "part")))
    if body is not None and item.body.at not in body.places:
        find_place(item.body.at, body.places, (*path, "at"), told)
    bays = _bays(item.bays, written, equipment, told)
    if not isinstance(part, ConsolePart):
        return None
    parts[part.name] = part
    _check_room(part, bays, told)
    return Console(part.name, item.body.at, bays, item.note, "console")


def _bays(
    written_bays: tuple[str, ...], written: WrittenBuild, equipment: Mapping[str, Equipment], told: list[Trouble]
) -> tuple[Bay, ...]:
    there: dict[str, list[str]] = {}
    for each in equipment.values():
        owner, _, bay = each.at.partition(".")
        if owner == "console" and bay:
            there.setdefault(bay, []).append(each.name)
    found: list[Bay] = []
    for number, text in enumerate(written_bays, start=1):
        name, _, holds = text.partition(" ")
        path = ("console", "bays", str(number))
        standing = there.get(name, [])
        for other in standing[1:]:
            why = f"{standing[0]} and {other} both stand at console.{name}."
            place = ("equipment", other, "at")
            told.append(Trouble(place, "BLD-114", "bay-taken", why, "Give one of them another bay.", also=(path,)))
        if holds and holds not in standing and holds not in written.lost.of("equipment"):
            trouble = _bay_trouble(name, holds, standing, equipment, path)
            told.extend([trouble] if trouble is not None else [])
        fitted = standing[0] if standing else holds if holds in equipment else ""
        found.append(Bay(name, holds, holds == CONTROLS, holds == BLANK and not standing, fitted, ".".join(path)))
    return tuple(found)


def _bay_trouble(
    name: str, holds: str, standing: list[str], equipment: Mapping[str, Equipment], path: PathPieces
) -> Trouble | None:
    """One thing in each bay, and the bay says what the equipment says."""
    if holds in equipment:
        why = f"{holds} stands at {equipment[holds].at}, not in this bay."
        write = f"Write at: console.{name} under equipment.{holds}, or another word here."
        also = (("equipment", holds, "at"),)
        return Trouble(path, "BLD-115", "bay-says-otherwise", why, write, holds, also=also)
    if not standing:
        return None
    also = (("equipment", standing[0], "at"),)
    if holds == CONTROLS:
        why = f"{standing[0]} stands in this bay, and so do controls."
        write = f"Write {name} {standing[0]}, or give {standing[0]} another bay."
        return Trouble(path, "BLD-114", "bay-taken", why, write, holds, also=also)
    near = closest(holds, standing)
    if not near or set(holds.split("-")) <= set(near.split("-")):
        return None  # usb, where usb-front stands
    why = f"{near} stands in this bay, and it is said to hold {holds}."
    write = f"Write {name} {near}."
    return Trouble(path, "BLD-115", "bay-says-otherwise", why, write, holds, near, severity="warning", also=also)


def _check_room(part: ConsolePart, bays: tuple[Bay, ...], told: list[Trouble]) -> None:
    """A console has so many openings; each bay of the build takes one."""
    for number, bay in enumerate(bays, start=1):
        if bay.name.startswith("bay-") and bay.name not in part.bays:
            path = ("console", "bays", str(number))
            what = f"opening of {part.name}"
            told.append(not_known(path, what, bay.name, part.bays, code="BLD-102", name="bay-not-known"))
