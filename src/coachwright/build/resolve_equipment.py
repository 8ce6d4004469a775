"""What else is fitted, what sounds and what runs?"""

from __future__ import annotations

from coachwright.build.model import Equipment, Input
from coachwright.build.places import check_fitted, find_place, places_of_ours
from coachwright.build.reading import Reading
from coachwright.build.resolve_lamps import part_of
from coachwright.build.sections.equipment import Equipment as Written
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, ControllerPart, SirenPart, runs, sounds
from coachwright.parts.store import Catalogue


def equipment_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, told: list[Trouble]
) -> tuple[dict[str, Equipment], dict[str, AnyPart]]:
    """Every piece of equipment that can be understood, and its part. Any other is lost."""
    found: dict[str, Equipment] = {}
    parts: dict[str, AnyPart] = {}
    ours = places_of_ours(written)
    for name, item in written.items("equipment").items():
        path = ("equipment", name)
        part = part_of(item.part, "", catalogue, (*path, "part"), told)
        if body is not None:
            check_fitted(item.at, body.places, (*path, "at"), told, ours=ours - {name})
        if part is None or not _fits(part, item, path, told):
            written.lost.add("equipment", name)
            continue
        _speakers(part, item, body, path, told)
        parts[item.part] = part
        found[name] = Equipment(
            name=name,
            part=item.part,
            at=item.at,
            speakers=item.speakers,
            sounds=sounds(part),
            runs=runs(part),
            path=".".join(path),
            count=item.count,
            by=item.by,
        )
    return found, parts


def controller_clock_share(written: WrittenBuild, catalogue: Catalogue) -> float:
    """How far the clock of the controllers may run off; of several, the furthest."""
    parts = [catalogue.get(item.part) for item in written.items("equipment").values()]
    return max((part.clock_tolerance for part in parts if isinstance(part, ControllerPart)), default=0.0)


def check_equipment(written: WrittenBuild, inputs: dict[str, Input], reading: Reading) -> None:
    """What equipment says of controls and conditions."""
    for name, item in written.items("equipment").items():
        path = ("equipment", name)
        if item.isolator is not None:
            reading.condition(item.isolator.join, (*path, "isolator", "join"), "feed")
            if item.isolator.split is not None:
                reading.condition(item.isolator.split, (*path, "isolator", "split"), "feed")
        if item.turned_by is None or item.turned_by in reading.lost or reading.all_lost:
            continue
        control = inputs.get(item.turned_by)
        if control is None or not control.is_control:
            known = [each.name for each in inputs.values() if each.kind == "rotary-disconnect"]
            reading.told.append(
                not_known(
                    (*path, "turned-by"), "control", item.turned_by, known, code="BLD-059", name="control-not-known"
                )
            )


def _fits(part: AnyPart, item: Written, path: PathPieces, told: list[Trouble]) -> bool:
    if part.kind not in ("lamp", "body"):
        return True
    write = "Write it under lamps." if part.kind == "lamp" else "Write it as vehicle.body."
    why = f"{item.part} is a {part.kind}; equipment belongs here."
    told.append(Trouble((*path, "part"), "BLD-050", "part-of-another-kind", why, write, item.part))
    return False


def _speakers(part: AnyPart, item: Written, body: BodyPart | None, path: PathPieces, told: list[Trouble]) -> None:
    if item.speakers and not isinstance(part, SirenPart):
        why = f"{item.part} is a {part.kind} and drives no speakers."
        told.append(Trouble((*path, "speakers"), "BLD-090", "speakers-not-driven", why, "Leave speakers away."))
        return
    if isinstance(part, SirenPart) and len(item.speakers) > part.speakers:
        why = f"{item.part} drives {part.speakers}, and {len(item.speakers)} speakers stand here."
        told.append(
            Trouble((*path, "speakers"), "BLD-090", "speakers-not-driven", why, "Write fewer, or another siren.")
        )
    if body is None:
        return
    for number, place in enumerate(item.speakers, start=1):
        find_place(place, body.places, (*path, "speakers", str(number)), told)
