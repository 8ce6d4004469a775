"""What else is fitted, what sounds and what runs?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coachwright.build.model import Equipment, Input
from coachwright.build.model_fitted import By, Isolator
from coachwright.build.places import check_fitted, check_side, find_place, places_of_ours
from coachwright.build.reading import Reading
from coachwright.build.resolve_lamps import part_of
from coachwright.build.sections.equipment import Equipment as Written
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import (
    AntennaPart,
    AnyPart,
    BatteryPart,
    BodyPart,
    ControllerPart,
    DisconnectPart,
    IsolatorPart,
    SirenPart,
    fits_under,
    runs,
    sounds,
)
from coachwright.parts.store import Catalogue

MEMORY = "memory"
"""The wire of a piece of equipment that keeps what it remembers."""

_ELSEWHERE = {
    "lamps": "Write it under lamps.",
    "vehicle": "Write it as vehicle.body.",
    "console": "Write it as console.body.part.",
    "shop": "The shop takes it from its shelf; leave it away here.",
}


def equipment_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, told: list[Trouble]
) -> tuple[dict[str, Equipment], dict[str, AnyPart]]:
    """Every piece of equipment that can be understood, and its part. Any other is lost."""
    found: dict[str, Equipment] = {}
    parts: dict[str, AnyPart] = {}
    ours = places_of_ours(written)
    by: By = written.one.get("parts-by", "shop")
    for name, item in written.items("equipment").items():
        path = ("equipment", name)
        part = part_of(item.part, "", catalogue, (*path, "part"), told)
        if body is not None:
            check_fitted(item.at, body.places, (*path, "at"), told, ours=ours.without(name))
            check_side(item.at, body.places, (*path, "at"), told, count_n=item.count, ours=ours)
        if part is None or not _fits(part, item, path, told):
            written.lost.add("equipment", name)
            continue
        _speakers(part, item, body, path, told)
        _own_words(part, item, path, told)
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
            by=item.by or by,
            feed=item.feed or "",
            also=item.also,
            antenna=item.antenna or "",
            shed=item.shed,
            eject=item.eject,
            turned_by=item.turned_by or "",
            breaks=item.breaks,
            spares=item.spares,
            note=item.note,
        )
    return found, parts


def controller_clock_share(written: WrittenBuild, catalogue: Catalogue) -> float:
    """How far the clock of the controllers may run off; of several, the furthest."""
    parts = [catalogue.get(item.part) for item in written.items("equipment").values()]
    return max((part.clock_tolerance for part in parts if isinstance(part, ControllerPart)), default=0.0)


def joined_equipment(
    written: WrittenBuild,
    body: BodyPart | None,
    equipment: Mapping[str, Equipment],
    inputs: Mapping[str, Input],
    reading: Reading,
) -> dict[str, Equipment]:
    """The same, with what equipment says of conditions read, and of controls, antennas and feeds looked up."""
    found: dict[str, Equipment] = {}
    for name, item in written.items("equipment").items():
        path = ("equipment", name)
        isolator = _isolator(item, path, reading)
        _turned_by(item, inputs, path, reading)
        _antenna(item, written, body, path, reading.told)
        _broken(item, name, written, path, reading.told)
        if name in equipment:
            found[name] = replace(equipment[name], isolator=isolator) if isolator is not None else equipment[name]
    return found


def _isolator(item: Written, path: PathPieces, reading: Reading) -> Isolator | None:
    if item.isolator is None:
        return None
    join = reading.condition(item.isolator.join, (*path, "isolator", "join"), "feed")
    split = None
    if item.isolator.split is not None:
        split = reading.condition(item.isolator.split, (*path, "isolator", "split"), "feed")
    return None if join is None else Isolator(join, split)


def _turned_by(item: Written, inputs: Mapping[str, Input], path: PathPieces, reading: Reading) -> None:
    if item.turned_by is None or item.turned_by in reading.lost or reading.all_lost:
        return
    control = inputs.get(item.turned_by)
    if control is None or not control.is_control:
        known = [each.name for each in inputs.values() if each.kind == "rotary-disconnect"]
        reading.told.append(
            not_known((*path, "turned-by"), "control", item.turned_by, known, code="BLD-059", name="control-not-known")
        )


def _antenna(
    item: Written, written: WrittenBuild, body: BodyPart | None, path: PathPieces, told: list[Trouble]
) -> None:
    """A place on the body, or an antenna that is equipment of its own."""
    equipment = {*written.items("equipment"), *written.lost.of("equipment")}
    if item.antenna is not None and body is not None and item.antenna not in equipment:
        find_place(item.antenna, body.places, (*path, "antenna"), told)


def _broken(item: Written, name: str, written: WrittenBuild, path: PathPieces, told: list[Trouble]) -> None:
    """What a disconnect cuts off and what stays fed are feeds and equipment."""
    lost = written.lost
    if lost.any_of("feeds", "equipment"):
        return
    feeds = {*written.items("feeds"), *lost.of("feeds")}
    equipment = {*written.items("equipment"), *lost.of("equipment")} - {name}
    known = {*feeds, *equipment, "main-battery", "second-battery"}
    for number, each in enumerate(item.breaks, start=1):
        if each not in known:
            place = (*path, "breaks", str(number))
            told.append(
                not_known(place, "battery, feed or equipment", each, known, code="BLD-113", name="broken-not-known")
            )
    for number, each in enumerate(item.spares, start=1):
        owner, _, wire = each.partition(".")
        memory = wire == MEMORY and owner in equipment
        if not memory and (wire or owner not in feeds | equipment):
            place = (*path, "spares", str(number))
            spared = (*feeds, *equipment, *(f"{other}.{MEMORY}" for other in equipment))
            told.append(not_known(place, "feed or memory wire", each, spared, code="BLD-113", name="broken-not-known"))


def _fits(part: AnyPart, item: Written, path: PathPieces, told: list[Trouble]) -> bool:
    where = fits_under(part)
    if where == "equipment" or part.kind == "mount":
        return True
    write = _ELSEWHERE.get(where, f"Write it under {where}.")
    why = f"{item.part} is a {part.kind}; equipment belongs here."
    told.append(Trouble((*path, "part"), "BLD-050", "part-of-another-kind", why, write, item.part))
    return False


def _own_words(part: AnyPart, item: Written, path: PathPieces, told: list[Trouble]) -> None:
    """Words that only one kind of part can have."""

    def tell(word: str, why: str, write: str) -> None:
        told.append(Trouble((*path, word), "BLD-109", "word-not-for-part", why, write, on_key=True))

    if not isinstance(part, DisconnectPart):
        for word, given in (("turned-by", item.turned_by), ("breaks", item.breaks), ("spares", item.spares)):
            if given:
                tell(word, f"{item.part} is a {part.kind}; {word} is said of a disconnect.", f"Leave {word} away.")
    if item.isolator is not None and not isinstance(part, BatteryPart | IsolatorPart):
        why = f"{item.part} is a {part.kind}; isolator is said of a second battery."
        tell("isolator", why, "Say it where the battery is.")
    if item.eject and item.feed != "shore":
        tell("eject", "What throws its lead out hangs on the shore.", "Write feed: shore, or leave eject away.")
    if item.antenna is not None and isinstance(part, AntennaPart):
        tell("antenna", "This is the antenna itself.", "Say where it stands with at, and leave antenna away.")


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
