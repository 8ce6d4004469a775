"""Which small changes can be made to the lamps of a build: one turned, one tilted, one moved, two exchanged?

Every part stays what it is. Angles are whole degrees within what the place lets out; places are free ones of the body
that hold such a lamp. Changes are made on the model here, to be looked at quickly; as text they are edits of the lamp's
entry, at its own lines.

See Also
--------
coachwright.proof.light_mend : tries them, the smallest first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from coachwright.build.edit_plan import value_at
from coachwright.build.model import Head, Model
from coachwright.build.model_fitted import Lamp
from coachwright.kit.finding import Edit
from coachwright.kit.geom import angle_between, bearing_and_elevation
from coachwright.kit.nodes import Plain
from coachwright.parts.schema import Place
from coachwright.parts.standing import Side, lamp_pose, place_pose

COARSE_DEG = (1, 2, 4, 7, 11, 16, 22, 30, 40, 50, 60, 75, 90)
"""First steps of a turn; between the first of them that helps and the one before it every degree is tried."""

MOST_TILT_DEG = 22
MOST_PLACES_N = 10
"""Nearest free places a lamp is moved to."""

MOST_PARTNERS_N = 6


@dataclass(frozen=True, slots=True)
class Change:
    """One small change.

    kind : turn, tilt, move or exchange, in the order in which they are preferred. size : degrees or metres.
    edits : as text. said : what is done, in words. model : the build with it, as far as light is concerned.
    """

    kind: int
    size: float
    edits: tuple[Edit, ...]
    said: str
    model: Model

    @property
    def order(self) -> tuple[int, float, str]:
        """Sorts the smallest first, and equal ones the same way every time."""
        return self.kind, self.size, self.said


TURN, TILT, MOVE, EXCHANGE = range(4)


def degrees_of(lamp: Lamp, kind: int) -> int:
    """What the lamp's aim, or its elevation, is now, in whole degrees."""
    return round(math.degrees(lamp.aim_rad if kind == TURN else lamp.elevation_rad))


def turned(model: Model, plain: Plain, lamp: Lamp, *, kind: int, by_deg: int) -> Change | None:
    """A lamp turned, or tilted, by whole degrees; None where the body is in its way then, or nothing would change."""
    new_deg = degrees_of(lamp, kind) + by_deg
    angle_rad = math.radians(new_deg)
    aim_rad = angle_rad if kind == TURN else lamp.aim_rad
    elevation_rad = lamp.elevation_rad if kind == TURN else angle_rad
    place, side = _stands(model, lamp)
    if abs(new_deg) > 180 or not _looks_out(place, side, aim_rad, elevation_rad):
        return None
    word = "aim" if kind == TURN else "elevation"
    edits = _angle_edits(plain, lamp, word, new_deg)
    if not edits:
        return None
    done = "turned" if kind == TURN else "tilted"
    said = f"{lamp.name} {done} by {abs(by_deg)} deg, to {word}: {new_deg} deg"
    return Change(
        kind, abs(by_deg), edits, said, _with(model, lamp, said, aim_rad=aim_rad, elevation_rad=elevation_rad)
    )


def moves(model: Model, plain: Plain, lamp: Lamp) -> Iterator[Change]:
    """A lamp moved to the nearest free places that hold it, looking as it does now, or as the place does."""
    place, side = _stands(model, lamp)
    taken = _taken(model)
    free = [
        (math.dist((place.x, place.y, place.z), (other.x, other.y, other.z)), name)
        for name, other in model.body.places.items()
        if name not in taken and other.mirrored == place.mirrored and _holds_alike(other, place)
    ]
    forward = lamp_pose(place, side, aim_rad=lamp.aim_rad, elevation_rad=lamp.elevation_rad).forward
    for away_m, name in sorted(free)[:MOST_PLACES_N]:
        other = model.body.places[name]
        tried = set()
        for aim_deg in (round(math.degrees(lamp.aim_rad)), _aim_toward(other, side, forward), 0):
            aim_rad = math.radians(aim_deg)
            if aim_deg in tried or not _looks_out(other, side, aim_rad, lamp.elevation_rad):
                continue
            tried.add(aim_deg)
            at = f"{name}.{side}" if side and not lamp.paired else name
            turns = _angle_edits(plain, lamp, "aim", aim_deg)
            edits = (Edit(("lamps", lamp.name, "at"), at), *turns)
            aimed = f", aim: {aim_deg} deg" if turns else ""
            said = f"{lamp.name} moved by {away_m:.1f} m, to at: {at}{aimed}"
            changed = _with(model, lamp, said, aim_rad=aim_rad, elevation_rad=lamp.elevation_rad, at=at, place=name)
            yield Change(MOVE, away_m, edits, said, changed)


def exchanges(model: Model, lamp: Lamp, others: Sequence[Lamp]) -> Iterator[Change]:
    """A lamp and another one exchanged, each looking at its new place as it was turned at its old one."""
    place, side = _stands(model, lamp)
    partners = []
    for other in others:
        there, other_side = _stands(model, other)
        alike = other.paired == lamp.paired and other_side == side and _holds_alike(there, place)
        if other.name != lamp.name and other.part != lamp.part and alike and there.mirrored == place.mirrored:
            away_m = math.dist((place.x, place.y, place.z), (there.x, there.y, there.z))
            partners.append((away_m, other.name, other))
    for away_m, _, other in sorted(partners, key=lambda partner: partner[:2])[:MOST_PARTNERS_N]:
        there, _ = _stands(model, other)
        fits = _looks_out(there, side, lamp.aim_rad, lamp.elevation_rad)
        if not fits or not _looks_out(place, side, other.aim_rad, other.elevation_rad):
            continue
        edits = (Edit(("lamps", lamp.name, "at"), other.at), Edit(("lamps", other.name, "at"), lamp.at))
        said = f"{lamp.name} and {other.name} exchanged"
        first = _with(
            model,
            lamp,
            said,
            aim_rad=lamp.aim_rad,
            elevation_rad=lamp.elevation_rad,
            at=other.at,
            place=_base(other.at),
        )
        changed = _with(
            first,
            other,
            said,
            aim_rad=other.aim_rad,
            elevation_rad=other.elevation_rad,
            at=lamp.at,
            place=_base(lamp.at),
        )
        yield Change(EXCHANGE, away_m, edits, said, changed)


# ------------------------------------------------------------------------------------------------------------- helpers
def _stands(model: Model, lamp: Lamp) -> tuple[Place, Side]:
    """The place a lamp is at, and its side; of a pair the left."""
    base = _base(lamp.at)
    if lamp.paired:
        return model.body.places[base], "left"
    side: Side = "left" if lamp.at.endswith(".left") else "right" if lamp.at.endswith(".right") else ""
    return model.body.places[base], side


def _base(at: str) -> str:
    return at.removesuffix(".left").removesuffix(".right")


def _looks_out(place: Place, side: Side, aim_rad: float, elevation_rad: float) -> bool:
    """Whether the body is not in the way (what PLC-001 asks)."""
    standing = lamp_pose(place, side, aim_rad=aim_rad, elevation_rad=elevation_rad)
    return bool(angle_between(standing.forward, place_pose(place, side).forward) <= place.clear + 1e-9)


def _aim_toward(place: Place, side: Side, forward: tuple[float, float, float]) -> int:
    """Whole degrees by which a lamp at a place is turned to look most nearly where another one looks."""
    wanted = bearing_and_elevation(forward)[0]

    def off_rad(aim_deg: int) -> float:
        bearing = bearing_and_elevation(
            lamp_pose(place, side, aim_rad=math.radians(aim_deg), elevation_rad=0.0).forward
        )[0]
        return abs((bearing - wanted + math.pi) % math.tau - math.pi)

    return min(range(-180, 181), key=lambda aim_deg: (round(off_rad(aim_deg), 6), abs(aim_deg)))


def _holds_alike(place: Place, other: Place) -> bool:
    """Whether what is at one of them fits at the other: a lamp for a lamp, a bar for a bar."""
    lamps = {"lamp", "bar"}
    return bool(lamps & set(place.holds) & set(other.holds))


def _taken(model: Model) -> frozenset[str]:
    """Places at which something stands."""
    heads = {head.place for head in model.heads}
    fitted = {_base(each.at) for each in model.equipment} | {_base(item.at) for item in model.inputs if item.at}
    speakers = {_base(place) for each in model.equipment for place in (*each.speakers, each.antenna) if place}
    own = {spec.place for lamp in model.body.lamps.values() for spec in lamp.heads}
    return frozenset(heads | fitted | speakers | own)


def _angle_edits(plain: Plain, lamp: Lamp, word: str, new_deg: int) -> tuple[Edit, ...]:
    """The edit that writes an angle of a lamp; none where it says so already."""
    path = ("lamps", lamp.name, word)
    now_rad = lamp.aim_rad if word == "aim" else lamp.elevation_rad
    if abs(math.degrees(now_rad) - new_deg) < 1e-9:
        return ()
    if new_deg == 0 and value_at(plain, path) is not None:
        return (Edit(path, None),)
    return (Edit(path, f"{new_deg} deg"),)


def _with(
    model: Model,
    lamp: Lamp,
    said: str,
    *,
    aim_rad: float,
    elevation_rad: float,
    at: str = "",
    place: str = "",
) -> Model:
    """The model with this lamp changed, for a first look; the text is read again before anything is believed."""

    def changed(head: Head) -> Head:
        if head.lamp != lamp.name or head.reach != "own":
            return head
        return replace(head, aim_rad=aim_rad, elevation_rad=elevation_rad, place=place or head.place)

    heads = tuple(changed(head) for head in model.heads)
    lamps = tuple(
        replace(each, aim_rad=aim_rad, elevation_rad=elevation_rad, at=at or each.at)
        if each.name == lamp.name
        else each
        for each in model.lamps
    )
    return replace(model, heads=heads, lamps=lamps, digest=f"{model.digest}: {said}" if model.digest else "")
