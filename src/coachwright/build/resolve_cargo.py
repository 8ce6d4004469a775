"""What is carried, and what may be drawn behind the vehicle?"""

from __future__ import annotations

from coachwright.build.circuits import check_circuit, is_of_vehicle
from coachwright.build.model_fitted import By, CargoItem, Trailer
from coachwright.build.places import check_fitted, check_side, places_of_ours
from coachwright.build.resolve_lamps import another_kind, part_of
from coachwright.build.sections.cargo import Cargo
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, ItemPart, LockerPart, TrayPart, fits_under
from coachwright.parts.store import Catalogue


def cargo_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, parts: dict[str, AnyPart], told: list[Trouble]
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
                told.append(another_kind(item.part, part, "something that is carried", (*path, "part")))
                part = None
        if body is not None:
            check_fitted(item.at, body.places, (*path, "at"), told, ours=ours.without(name))
            check_side(item.at, body.places, (*path, "at"), told, count_n=item.count, ours=ours)
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
        sizes = {"width": item.width, "height": item.height, "length": item.length}
        told.extend(
            Trouble(
                (*path, word), "BLD-118", "figure-not-possible", "A size is more than nothing.", "Write it like 5 ft."
            )
            for word, size in sizes.items()
            if size is not None and size <= 0
        )
        if item.drawbar < 0:
            why = "A trailer stands behind its coupling."
            told.append(Trouble((*path, "drawbar"), "BLD-118", "figure-not-possible", why, "Write it like 3 ft."))
        found.append(
            Trailer(
                name,
                item.tongue,
                item.weight,
                item.lamps or "",
                item.present == "always",
                item.note,
                ".".join(path),
                item.width,
                item.height,
                item.length,
                item.drawbar,
            )
        )
    return tuple(found)
