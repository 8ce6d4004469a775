"""What stands in the console, what is carried, how is the body marked, what may be drawn behind it?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Literal

from coachwright.build.circuits import check_circuit, is_of_vehicle
from coachwright.build.model import Equipment
from coachwright.build.model_fitted import Bay, By, CargoItem, Console, Marking, Trailer
from coachwright.build.places import check_fitted, find_place, places_of_ours
from coachwright.build.problem import closest
from coachwright.build.resolve_lamps import part_of
from coachwright.build.sections.cargo import Cargo
from coachwright.build.sections.console import BLANK, CONTROLS
from coachwright.build.sections.marking import Marking as WrittenMarking
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import (
    AnyPart,
    BodyPart,
    ConsolePart,
    FilmPart,
    ItemPart,
    LockerPart,
    TrayPart,
    fits_under,
)
from coachwright.parts.store import Catalogue

Parts = dict[str, AnyPart]
_INNER_FACES = ("inside", "edge", "edges")
"""Of a panel, behind its name and a hyphen: what one sees of it while it stands open."""


def console_of(
    written: WrittenBuild,
    body: BodyPart | None,
    catalogue: Catalogue,
    *,
    equipment: Mapping[str, Equipment],
    parts: Parts,
    told: list[Trouble],
) -> Console | None:
    """The console with its bays; None where there is none, or something in it is lost or wrong."""
    item = written.one.get("console")
    if item is None:
        return None
    path = ("console", "body")
    part = part_of(item.body.part, "console", catalogue, (*path, "part"), told)
    if part is not None and not isinstance(part, ConsolePart):
        told.append(_another_kind(item.body.part, part, "a console", (*path, "part")))
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


def cargo_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, parts: Parts, told: list[Trouble]
) -> tuple[CargoItem, ...]:
    """Everything that is carried and can be understood."""
    ours = places_of_ours(written)
    by: By = written.one.get("parts-by", "shop")
    found: list[CargoItem] = []
    for name, item in written.items("cargo").items():
        path = ("cargo", name)
        part = None
        if item.part is not None:
            part = part_of(item.part, "item", catalogue, (*path, "part"), told)
            if part is not None and fits_under(part) != "cargo":
                told.append(_another_kind(item.part, part, "something that is carried", (*path, "part")))
                part = None
        if body is not None:
            check_fitted(item.at, body.places, (*path, "at"), told, ours=ours.without(name))
            if item.panel is not None and item.panel not in body.panels:
                place = (*path, "panel")
                told.append(not_known(place, "panel", item.panel, body.panels, code="BLD-116", name="panel-not-known"))
        _check_cargo(item, part, path, told)
        if item.part is None or part is not None:
            found.append(_cargo_item(name, item, part, item.by or by))
        if part is not None:
            parts[part.name] = part
    return tuple(found)


def _check_cargo(item: Cargo, part: AnyPart | None, path: PathPieces, told: list[Trouble]) -> None:
    if item.part is None and item.weight is None:
        why = "Nobody can know what this weighs."
        told.append(Trouble(path, "BLD-117", "weight-not-said", why, "Write part: or weight:.", on_key=True))
    if item.weight is not None and item.weight <= 0:
        why = "Cargo weighs more than nothing."
        told.append(Trouble((*path, "weight"), "BLD-117", "weight-not-said", why, "Write it like 220 lb."))
    if item.volume is not None and item.volume <= 0:
        why = "A space holds more than nothing."
        told.append(Trouble((*path, "volume"), "BLD-118", "figure-not-possible", why, "Write it like 18 ft3."))
    if isinstance(part, TrayPart):
        for number, lock in enumerate(item.locks, start=1):
            if lock not in part.locks:
                place = (*path, "locks", str(number))
                what = f"position in which {part.name} locks"
                told.append(not_known(place, what, lock, part.locks, code="BLD-061", name="position-not-known"))
    elif item.locks and part is not None:
        why = f"{part.name} is a {part.kind}; a tray locks."
        told.append(Trouble((*path, "locks"), "BLD-109", "word-not-for-part", why, "Leave locks away.", on_key=True))


def _cargo_item(name: str, item: Cargo, part: AnyPart | None, by: By) -> CargoItem:
    inside_m3 = part.volume if isinstance(part, LockerPart | ItemPart) else 0.0
    own_kg = part.mass if part is not None else 0.0
    return CargoItem(
        name=name,
        part=item.part or "",
        mass_kg=own_kg if item.weight is None else item.weight,
        count_n=item.count,
        at=item.at,
        panel=item.panel or "",
        locks=item.locks,
        holds=item.holds,
        air=item.air or "",
        volume_m3=inside_m3 if item.volume is None else item.volume,
        hold=item.hold or "",
        by=by,
        packed=item.packed == "before delivery",
        note=item.note,
        path=f"cargo.{name}",
    )


def marking_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, parts: Parts, told: list[Trouble]
) -> tuple[Marking, ...]:
    """Every marking that can be understood."""
    by: By = written.one.get("parts-by", "shop")
    found: list[Marking] = []
    for name, item in written.items("marking").items():
        path = ("marking", name)
        film = part_of(item.film, "film", catalogue, (*path, "film"), told)
        if film is not None and (not isinstance(film, FilmPart) or film.use != "marking"):
            told.append(_another_kind(item.film, film, "a film that marks a body", (*path, "film")))
            film = None
        kind = _kind(item, path, told)
        if body is not None:
            known = faces_of(body)
            _check_faces(item, known, path, told)
        if film is not None and kind is not None:
            parts[film.name] = film
            found.append(_marking(name, item, kind, item.by or by))
    return tuple(found)


def faces_of(body: BodyPart) -> frozenset[str]:
    """What can be marked: faces the body lists, its panels and what they show open, its places, and parts of it.

    A part of it is what two or more of its names begin with, like ``bumper`` of ``bumper-front`` and ``bumper-rear``.
    """
    panels = {f"{panel}-{face}" for panel in body.panels for face in _INNER_FACES}
    names = {*body.surfaces, *body.panels, *body.places}
    begun = {name.rpartition("-")[0] for name in names} | {name.partition("-")[0] for name in names}
    return frozenset({*names, *panels, *begun} - {""})


def _check_faces(item: WrittenMarking, known: Collection[str], path: PathPieces, told: list[Trouble]) -> None:
    said = [((*path, "from"), item.from_), ((*path, "to"), item.to)]
    said += [((*path, "on", str(number)), each) for number, each in enumerate(item.on, start=1)]
    for place, name in said:
        plain = (name or "").removesuffix(".left").removesuffix(".right")
        if name is not None and name not in known and plain not in known:
            told.append(
                not_known(place, "panel or face of this body", name, known, code="BLD-116", name="panel-not-known")
            )


def _kind(item: WrittenMarking, path: PathPieces, told: list[Trouble]) -> Literal["band", "stripes", "field"] | None:
    """A band runs between two ends, stripes lean, and anything else lies on panels as it is."""
    before_n = len(told)

    def tell(word: str, why: str, write: str) -> None:
        told.append(Trouble((*path, word) if word else path, "BLD-119", "marking-not-whole", why, write, on_key=True))

    if item.band is not None and (item.slope is not None or item.width is not None):
        tell("slope" if item.slope is not None else "width", "A band has no stripes.", "Write them as two markings.")
    if item.band is not None and not item.on and (item.from_ is None or item.to is None):
        tell("band", "A band runs from one end to another.", "Write from: and to:, or on: and the panels.")
    if item.band is None and (item.from_ is not None or item.to is not None):
        tell(
            "from" if item.from_ is not None else "to",
            "from and to belong to a band.",
            "Write band: and how high it is.",
        )
    if item.slope is not None and item.width is None and item.band is None:
        tell("slope", "Stripes have a width.", "Write width:, like width: 6 in.")
    if item.band is None and not item.on:
        tell("", "Nothing says where this goes.", "Write on: and the panels, or band: with from: and to:.")
    for word, value in (("band", item.band), ("width", item.width), ("share", item.share)):
        if value is not None and not (0 < value <= (1 if word == "share" else 10)):
            why = "A share is more than 0 % and at most 100 %." if word == "share" else "A film isn't cut like that."
            told.append(Trouble((*path, word), "BLD-118", "figure-not-possible", why, f"Write it like {_LIKE[word]}."))
    if len(told) > before_n:
        return None
    return "band" if item.band is not None else "stripes" if item.width is not None else "field"


_LIKE = {"band": "6 in", "width": "6 in", "share": "50 %"}


def _marking(name: str, item: WrittenMarking, kind: Literal["band", "stripes", "field"], by: By) -> Marking:
    return Marking(
        name=name,
        film=item.film,
        kind=kind,
        band_m=item.band or 0.0,
        begin=item.from_ or "",
        end=item.to or "",
        slope_rad=item.slope or 0.0,
        width_m=item.width or 0.0,
        share=item.share,
        on=item.on,
        by=by,
        note=item.note,
        path=f"marking.{name}",
    )


def trailers_of(written: WrittenBuild, body: BodyPart | None, told: list[Trouble]) -> tuple[Trailer, ...]:
    """Every trailer. What the hitch may carry is for another room to judge."""
    found: list[Trailer] = []
    for name, item in written.items("trailer").items():
        path = ("trailer", name)
        if item.lamps is not None:
            if is_of_vehicle(item.lamps):
                check_circuit(item.lamps, body, (*path, "lamps"), told, sockets=True)
            else:
                why = f"{item.lamps} is no circuit of the vehicle."
                write = "Write it like vehicle.seven-way."
                told.append(Trouble((*path, "lamps"), "BLD-057", "vehicle-lamp-not-known", why, write, item.lamps))
        if not 0 <= item.tongue <= item.weight or item.weight <= 0:
            why = "A trailer lays a part of its weight on the hitch."
            told.append(
                Trouble((*path, "tongue"), "BLD-118", "figure-not-possible", why, "Write less than its weight.")
            )
        if body is not None and body.hitch is None:
            why = f"Nothing says where {body.name} has a hitch, as it is ordered."
            write = "Order one with vehicle.as-ordered, or add hitch to the body."
            told.append(Trouble(path, "BLD-120", "hitch-not-there", why, write, on_key=True, severity="warning"))
        found.append(
            Trailer(
                name, item.tongue, item.weight, item.lamps or "", item.present == "always", item.note, ".".join(path)
            )
        )
    return tuple(found)


def _another_kind(name: str, part: AnyPart, due: str, path: PathPieces) -> Trouble:
    where = fits_under(part)
    write = "The shop takes it from its shelf." if where == "shop" else f"Write it under {where}."
    if isinstance(part, FilmPart):
        why = f"{name} is a film for {'panes' if part.use == 'glass' else 'marking'}; {due} belongs here."
        write = "Name another film." if part.use == "glass" else write
    else:
        why = f"{name} is a {part.kind}; {due} belongs here."
    return Trouble(path, "BLD-050", "part-of-another-kind", why, write, name)
