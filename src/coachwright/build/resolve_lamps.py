"""Which heads does the vehicle have: those of the lamps we fit, and those it came with?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import PurePath

from coachwright.build.model import COLOURS, Colour, Head, Reach, VehicleOutput
from coachwright.build.model_fitted import By
from coachwright.build.model_fitted import Lamp as FittedLamp
from coachwright.build.places import find_place
from coachwright.build.sections.lamps import Lamp
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, FilmPart, LampPart, Place, fits_under
from coachwright.parts.standing import Side, heads_in_order
from coachwright.parts.store import Catalogue

_MOST_REMEMBERED = 20_000
_remembered: dict[tuple[str, Lamp, str, str, float], tuple[tuple[Head, ...], tuple[Trouble, ...]]] = {}


def own_heads(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, clock_share: float, told: list[Trouble]
) -> dict[str, tuple[Head, ...]]:
    """Heads of each lamp we fit. A lamp that can't be understood is lost; without a body only their parts are checked.

    clock_share : how far the controller's clock may run off.
    """
    found: dict[str, tuple[Head, ...]] = {}
    for name, lamp in written.items("lamps").items():
        if body is None:
            lamp_part(lamp.part, catalogue, ("lamps", name, "part"), told)
            continue
        heads, troubles = _lamp(name, lamp, body, catalogue, clock_share)
        told.extend(troubles)
        if troubles:
            written.lost.add("lamps", name)
        else:
            found[name] = heads
    return found


def lamps_of(written: WrittenBuild) -> tuple[FittedLamp, ...]:
    """Every lamp as it was written."""
    by: By = written.one.get("parts-by", "shop")
    return tuple(
        FittedLamp(
            name=name,
            part=item.part,
            at=item.at,
            paired=bool(item.pair),
            aim_rad=item.aim,
            elevation_rad=item.elevation,
            sync=item.sync or "",
            by=item.by or by,
            note=item.note,
            path=f"lamps.{name}",
        )
        for name, item in written.items("lamps").items()
    )


def _lamp(
    name: str, lamp: Lamp, body: BodyPart, catalogue: Catalogue, clock_share: float
) -> tuple[tuple[Head, ...], tuple[Trouble, ...]]:
    if not catalogue.digest:
        return _made(name, lamp, body, catalogue, clock_share)
    key = (name, lamp, body.name, catalogue.digest, clock_share)
    known = _remembered.get(key)
    if known is None:
        known = _made(name, lamp, body, catalogue, clock_share)
        if len(_remembered) >= _MOST_REMEMBERED:
            _remembered.clear()
        _remembered[key] = known
    return known


def _made(
    name: str, lamp: Lamp, body: BodyPart, catalogue: Catalogue, clock_share: float
) -> tuple[tuple[Head, ...], tuple[Trouble, ...]]:
    path = ("lamps", name)
    told: list[Trouble] = []
    part = lamp_part(lamp.part, catalogue, (*path, "part"), told)
    stand = find_place(lamp.at, body.places, (*path, "at"), told)
    sides = _sides(lamp, stand, path, told) if stand is not None else None
    if part is not None and lamp.sync is not None and part.flashed_by != "itself":
        why = f"{lamp.part} is flashed by the controller and has no sync wire."
        told.append(Trouble((*path, "sync"), "BLD-071", "sync-not-possible", why, "Leave sync away.", lamp.sync))
    if part is None or stand is None or sides is None or told:
        return (), tuple(told)
    place = stand[0]
    heads = [
        head
        for side in sides
        for head in _heads_on_side(name, lamp, part, place, side=side, paired=len(sides) == 2, clock_share=clock_share)
    ]
    return tuple(heads), ()


def lamp_part(name: str, catalogue: Catalogue, path: PathPieces, told: list[Trouble]) -> LampPart | None:
    """The lamp of this name in the catalogue."""
    part = part_of(name, "lamp", catalogue, path, told)
    if part is None or isinstance(part, LampPart):
        return part
    why = f"{name} is a {part.kind}; a lamp belongs here."
    told.append(Trouble(path, "BLD-050", "part-of-another-kind", why, "Name a lamp of the catalogue.", name))
    return None


def part_of(name: str, kind: str, catalogue: Catalogue, path: PathPieces, told: list[Trouble]) -> AnyPart | None:
    """The part of this name, of any kind.

    kind : what is due here, for the nearest name when there is none; "" where neither a lamp nor a body is.
    """
    part = catalogue.get(name)
    if part is None and any(PurePath(mark.file).stem == name for each in catalogue.findings for mark in each.where):
        why = f"The file of {name} can't be used; what is wrong in it is told at its own lines."
        told.append(Trouble(path, "BLD-011", "part-not-in-catalogue", why, "Mend the part first.", name))
    elif part is None:
        kinds = {each: catalogue.entries[each].kind for each in catalogue.names()}
        names = [each for each, of in kinds.items() if of == kind or (not kind and of not in ("lamp", "body"))]
        trouble = not_known(
            path, "part", name, names or catalogue.names(), code="BLD-011", name="part-not-in-catalogue"
        )
        near = catalogue.get(trouble.near) if trouble.near else None
        if isinstance(near, LampPart):
            trouble = _described(trouble, near)
        told.append(trouble)
    return part


def another_kind(name: str, part: AnyPart, due: str, path: PathPieces) -> Trouble:
    """A part that belongs under another section than where it is named. due : what belongs here, with its article."""
    where = fits_under(part)
    write = "The shop takes it from its shelf." if where == "shop" else f"Write it under {where}."
    if isinstance(part, FilmPart):
        why = f"{name} is a film for {'panes' if part.use == 'glass' else 'marking'}; {due} belongs here."
        write = f"Name another film, or write this one under {where}."
    else:
        why = f"{name} is a {part.kind}; {due} belongs here."
    return Trouble(path, "BLD-050", "part-of-another-kind", why, write, name)


def _described(trouble: Trouble, near: LampPart) -> Trouble:
    """The closest lamp with what it is: enough to know whether it was meant."""
    colours = _in_order(colour for head in near.heads for colour in head.colours)
    heads = "1 head" if len(near.heads) == 1 else f"{len(near.heads)} heads"
    named = " and ".join([", ".join(colours[:-1]), colours[-1]] if len(colours) > 1 else colours)
    said = f"{heads}, {named}, {near.least_voltage:g}-{near.most_voltage:g} V"
    return Trouble(
        trouble.path,
        trouble.code,
        trouble.name,
        trouble.why,
        f"Closest: {near.name} ({said}).",
        trouble.read,
        near.name,
    )


def _sides(lamp: Lamp, stand: tuple[Place, Side], path: PathPieces, told: list[Trouble]) -> tuple[Side, ...] | None:
    place, said = stand
    if lamp.pair:
        if not place.mirrored:
            why = f"{lamp.at} is there once; a mirrored pair needs a place on both sides."
            told.append(
                Trouble((*path, "pair"), "BLD-054", "pair-not-possible", why, "Leave pair away, or name another place.")
            )
            return None
        if said:
            why = f"{lamp.at} is one side, and pair: mirrored fits both."
            write = f"Write {lamp.at.rpartition('.')[0]}."
            told.append(Trouble((*path, "at"), "BLD-054", "pair-not-possible", why, write, lamp.at))
            return None
        return ("left", "right")
    if place.mirrored and not said:
        why = f"{lamp.at} is on both sides, and one lamp is written."
        write = f"Add pair: mirrored, or write {lamp.at}.left or {lamp.at}.right."
        told.append(Trouble((*path, "at"), "BLD-053", "side-not-said", why, write, lamp.at))
        return None
    return (said,)


def _heads_on_side(
    name: str, lamp: Lamp, part: LampPart, place: Place, *, side: Side, paired: bool, clock_share: float
) -> Iterable[Head]:
    lamp_id = f"{name}.{side}" if paired else name
    by_controller = part.flashed_by == "controller"
    own_clock = f"sync:{lamp.sync}" if lamp.sync else f"own:{lamp_id}"
    order: tuple[int, ...] = (0,)
    if len(part.heads) > 1:
        order = heads_in_order(part, place, side, aim_rad=lamp.aim, elevation_rad=lamp.elevation)
    for number, index in enumerate(order, start=1):
        many = len(order) > 1
        yield Head(
            id=f"{lamp_id}.{number}" if many else lamp_id,
            lamp=name,
            side=side,
            number=number if many else 0,
            part=part.name,
            head_index=index,
            place=lamp.at.removesuffix(f".{side}") if side and not paired else lamp.at,
            aim_rad=lamp.aim,
            elevation_rad=lamp.elevation,
            colours=_in_order(part.heads[index].colours),
            burns_together=part.burns_together,
            reach="own",
            sync_group="controller" if by_controller else own_clock,
            clock_tolerance_share=clock_share if by_controller else part.clock_tolerance,
            path=f"lamps.{name}",
        )


def _in_order(colours: Iterable[str]) -> tuple[Colour, ...]:
    return _ordered(frozenset(colours))


@cache
def _ordered(colours: frozenset[str]) -> tuple[Colour, ...]:
    return tuple(colour for colour in COLOURS if colour in colours)


def vehicle_heads(
    written: WrittenBuild, body: BodyPart, clock_share: float, told: list[Trouble]
) -> tuple[dict[str, tuple[Head, ...]], tuple[VehicleOutput, ...]]:
    """Heads and outputs the vehicle came with. Of what the build says nothing, the reach is none."""
    said = written.items("vehicle-lamps")
    for name, item in said.items():
        path = ("vehicle-lamps", name)
        if name not in body.lamps:
            told.append(
                not_known(
                    path,
                    "lamp or output of this vehicle",
                    name,
                    body.lamps,
                    code="BLD-057",
                    name="vehicle-lamp-not-known",
                    on_key=True,
                )
            )
            written.lost.add("vehicle-lamps", name)
        elif item.reach != "none" and item.reach not in body.lamps[name].reaches:
            why = f"{name} can't be reached like that on this vehicle."
            ways = listed(dict.fromkeys((*body.lamps[name].reaches, "none")))
            told.append(
                Trouble((*path, "reach"), "BLD-072", "reach-not-possible", why, f"Write one of {ways}.", item.reach)
            )
    heads: dict[str, tuple[Head, ...]] = {}
    outputs: list[VehicleOutput] = []
    for name in body.lamps:
        reach: Reach = said[name].reach if name in said else "none"
        if body.lamps[name].heads:
            heads[name] = _vehicle_lamp(name, body, reach, clock_share)
        else:
            outputs.append(VehicleOutput(name, reach, f"vehicle-lamps.{name}"))
    return heads, tuple(outputs)


def _vehicle_lamp(name: str, body: BodyPart, reach: Reach, clock_share: float) -> tuple[Head, ...]:
    specs = body.lamps[name].heads
    sides: Mapping[Side, list[int]] = {}
    for index, spec in enumerate(specs):
        sides = {**sides, spec.side: [*sides.get(spec.side, []), index]}
    found = []
    for index, spec in enumerate(specs):
        beside = sides[spec.side]
        alone = len(beside) == 1 and (bool(spec.side) or len(specs) == 1)
        number = 0 if alone else beside.index(index) + 1
        pieces = [name, spec.side, str(number) if number else ""]
        found.append(
            Head(
                id=".".join(piece for piece in pieces if piece),
                lamp=name,
                side=spec.side,
                number=number,
                part=body.name,
                head_index=index,
                place=spec.place,
                aim_rad=0.0,
                elevation_rad=0.0,
                colours=_in_order(spec.colours),
                burns_together=False,
                reach=reach,
                sync_group="controller",
                clock_tolerance_share=clock_share,
                path=f"vehicle-lamps.{name}",
            )
        )
    return tuple(found)
