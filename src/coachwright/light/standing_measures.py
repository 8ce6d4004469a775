"""What can be asked about how lamps stand: how high, turned where, how near a required lamp, on what?

Everything is shut; distances are from optical centre to optical centre.

See Also
--------
coachwright.light.lamp_measures : what can be asked about their light.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from coachwright.build.model import ColourShow, Function, Head, Model
from coachwright.control.measures_required import road_use
from coachwright.control.tries import ROAD, all_shows, heads_by_id, manner_said
from coachwright.flash.measures import QUARTERS
from coachwright.kit.by_digest import by_digest
from coachwright.kit.geom import Vector, angle_between, bearing_and_elevation
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.colour import ColourField, judge
from coachwright.light.far_field import output_of
from coachwright.parts.schema import LampPart
from coachwright.place.panels import BODY
from coachwright.place.poses import moved_pose, place_and_side
from coachwright.place.required import NO_USE, required_lamps, use_of
from coachwright.place.zones import zones_of

SAME_FACE_RAD = math.radians(60.0)
"""Lamps whose axes differ less look to one side of the vehicle: a driver sees them together."""


@dataclass(frozen=True, slots=True)
class _Does:
    """One thing a head does. use : of a lamp the vehicle came with, or which required lamp a function stands in for."""

    head: Head
    function: Function | None
    colour: str
    manner: str
    use: str

    @property
    def rank(self) -> str:
        return self.function.rank if self.function is not None else ""


# ---------------------------------------------------------------------------------------- where it stands
@measures("light.height", kind="length", per_situation=False)
def height(model: Model) -> tuple[Measure, ...]:
    """How high above the ground does the middle of each light stand?

    Of heads of one lamp that do the same to one side the lowest and the highest answer.
    """
    return _ends(
        model, "light.height", "length", lambda head: moved_pose(head, model).position_m[2], said="above the ground"
    )


@measures("light.axis-elevation", kind="angle", per_situation=False)
def axis_elevation(model: Model) -> tuple[Measure, ...]:
    """How far up (or down, negative) does each light look?"""
    return _ends(
        model,
        "light.axis-elevation",
        "angle",
        lambda head: bearing_and_elevation(moved_pose(head, model).forward)[1],
        said="from the horizontal",
    )


@measures("light.axis-off-side", kind="angle", per_situation=False)
def axis_off_side(model: Model) -> tuple[Measure, ...]:
    """How far from straight sideways does each light look?"""
    return _ends(
        model,
        "light.axis-off-side",
        "angle",
        lambda head: _off_side_rad(moved_pose(head, model).forward),
        said="from straight sideways",
    )


# ---------------------------------------------------------------------------------------- beside the law's
@measures("light.required-distance", kind="length", per_situation=False)
def required_distance(model: Model) -> tuple[Measure, ...]:
    """How far is each lamp of ours from the nearest required lamp that looks to the same side?"""
    flashing = {
        name
        for function in model.functions
        for _, show in all_shows(function)
        for name in show.heads
        if any(colour.manner != "steady" for colour in show.colours)
    }
    nearest: dict[tuple[str, str], tuple[float, Head, Head]] = {}
    required = [head for head in model.heads if head.lamp in required_lamps(model.body) and head.reach != "own"]
    for head in model.heads:
        for other in required if head.reach == "own" else ():
            here, there = moved_pose(head, model), moved_pose(other, model)
            if angle_between(here.forward, there.forward) > SAME_FACE_RAD:
                continue
            away_m = math.dist(here.position_m, there.position_m)
            key = (head.path, use_of(other.lamp))
            if key not in nearest or away_m < nearest[key][0] - 1e-9:
                nearest[key] = (away_m, head, other)
    return tuple(
        Measure(
            "light.required-distance",
            away_m,
            "length",
            about=head.path,
            blame=(f"{head.path}.at", head.path),
            where=f"{head.id} beside {other.id}",
            facts=facts(
                lamp=head.lamp,
                head=head.id,
                other=other.lamp,
                use=use,
                flashes="yes" if head.id in flashing else "no",
                toward=_toward(head, model),
            ),
        )
        for (_, use), (away_m, head, other) in nearest.items()
    )


@measures("light.identification-spacing", kind="number", per_situation=False)
def identification_spacing(model: Model) -> tuple[Measure, ...]:
    """How many spacings of the identification lamps is each lamp of ours away from the nearest of them?"""
    found: dict[str, Measure] = {}
    rows = [_row_of(name, model) for name in model.body.lamps if use_of(name) == "identification"]
    for head in model.heads:
        if head.reach != "own":
            continue
        here = moved_pose(head, model)
        for row in rows:
            same = [there for there, forward in row if angle_between(here.forward, forward) <= SAME_FACE_RAD]
            if len(same) < 2:
                continue
            spacing_m = min(math.dist(one, other) for one, other in pairwise(sorted(same, key=lambda at: -at[1])))
            times = min(math.dist(here.position_m, at) for at in same) / spacing_m
            known = found.get(head.path)
            if known is None or times < float(known.value or 0.0):
                found[head.path] = Measure(
                    "light.identification-spacing",
                    times,
                    "number",
                    about=head.path,
                    blame=(f"{head.path}.at", head.path),
                    where=f"{head.id}, beside identification lamps {spacing_m * 1000:.0f} mm apart",
                    facts=facts(lamp=head.lamp, head=head.id, toward=_toward(head, model)),
                )
    return tuple(found.values())


# ---------------------------------------------------------------------------------------- what it rides on
@measures("light.road-light-on-panel", kind="yes-no", per_situation=False)
def road_light_on_panel(model: Model) -> tuple[Measure, ...]:
    """Does a light that shows stop, turn or reverse ride on a panel that moves?"""
    return _mounted(model, "light.road-light-on-panel", lambda place: "" if place[0] == BODY else place[0])


@measures("light.road-light-on-glass", kind="yes-no", per_situation=False)
def road_light_on_glass(model: Model) -> tuple[Measure, ...]:
    """Does a light that shows stop, turn or reverse sit behind a pane?"""
    return _mounted(model, "light.road-light-on-glass", lambda place: place[1])


# ---------------------------------------------------------------------------------------- what its sheet says
@measures("light.colour-within", kind="yes-no", per_situation=False, standard="word")
def colour_within(model: Model, *, standard: str) -> tuple[Measure, ...]:
    """Does each colour of a lamp lie where the standard draws that colour?

    standard : one of light/chromaticity.yaml. Colours it doesn't draw are not answered for; of blue the restricted one.
    """
    road = {(does.head.id, does.colour) for does in _doing(model) if does.rank == ROAD}
    answers: dict[tuple[str, str, str, float, float], Measure] = {}
    for head in model.heads:
        for colour in head.colours if head.reach == "own" else ():
            output = output_of(head, model, colour)
            if output is None:
                continue
            given = output.x > 0.0 or output.y > 0.0
            field = next((each for each in judge(output.x, output.y) if _is_field(each.field, standard, colour)), None)
            if field is None:
                continue
            work = "road" if (head.id, colour) in road else "other"
            beyond = f", beyond the {field.failed.name} ({field.failed.text})" if given and field.failed else ""
            answers.setdefault(
                (head.path, colour, work, output.x, output.y),
                Measure(
                    "light.colour-within",
                    field.inside if given else None,
                    "yes-no",
                    about=head.path,
                    blame=(f"{head.path}.part",),
                    where=f"{head.id}, {colour} at x {output.x:g}, y {output.y:g}{beyond}",
                    facts=facts(lamp=head.lamp, head=head.id, colour=colour, work=work),
                    why_not="" if given else f"the sheet of {head.part} gives no chromaticity for {colour}",
                ),
            )
    return tuple(answers.values())


@measures("light.figures-voltage", kind="voltage", per_situation=False)
def figures_voltage(model: Model) -> tuple[Measure, ...]:
    """At which voltage were the figures of each lamp of ours taken?"""
    parts = {head.path: (head, model.part(head.part)) for head in model.heads if head.reach == "own"}
    return tuple(
        Measure(
            "light.figures-voltage",
            part.test_voltage,
            "voltage",
            about=path,
            blame=(f"{path}.part",),
            where=part.name,
            facts=facts(lamp=head.lamp, part=part.name),
        )
        for path, (head, part) in parts.items()
        if isinstance(part, LampPart)
    )


# ---------------------------------------------------------------------------------------- what heads do
@by_digest
def _doing(model: Model) -> tuple[_Does, ...]:
    """Everything any function can show on any head, and what the vehicle's own lamps are for."""
    heads = heads_by_id(model)
    found: dict[tuple[str, str, str, str], _Does] = {}
    for function in model.functions:
        use = road_use(model, function)
        for head, colour in _shown(function):
            own = heads[head].reach == "own"
            does = _Does(
                heads[head],
                function,
                colour.colour,
                manner_said(colour.manner),
                use if own else use_of(heads[head].lamp),
            )
            found.setdefault((head, function.name, does.colour, does.manner), does)
    for head_ in model.heads:
        if head_.reach != "own":
            for colour_ in head_.colours:
                found.setdefault((head_.id, "", colour_, ""), _Does(head_, None, colour_, "", use_of(head_.lamp)))
    return tuple(found.values())


def _shown(function: Function) -> Iterator[tuple[str, ColourShow]]:
    for _, show in all_shows(function):
        for colour in show.colours:
            for head in show.heads:
                yield head, colour


def _ends(model: Model, name: str, kind: str, value_of: Callable[[Head], float], *, said: str) -> tuple[Measure, ...]:
    """One measure per lamp, colour, rank, manner, use and quarter: of the lowest value and of the highest."""
    groups: dict[tuple[str, ...], list[tuple[float, _Does]]] = {}
    for does in _doing(model):
        key = (does.head.path, does.colour, does.rank, does.manner, does.use, _toward(does.head, model))
        groups.setdefault(key, []).append((value_of(does.head), does))
    answers = []
    for (path, colour, rank, manner, use, toward), found in groups.items():
        low = min(found, key=lambda pair: pair[0])
        high = max(found, key=lambda pair: pair[0])
        for value, does in (low, high) if high[0] > low[0] + 1e-6 else (low,):
            head = does.head
            owner = does.function.name if does.function is not None else ""
            answers.append(
                Measure(
                    name,
                    value,
                    kind,
                    about=path,
                    blame=(f"{path}.at", f"{path}.aim", f"{path}.elevation", path),
                    where=f"{head.id}, {said}",
                    facts=facts(
                        lamp=head.lamp,
                        head=head.id,
                        place=place_name(head, model),
                        colour=colour,
                        rank=rank,
                        manner=manner,
                        use=use,
                        owner=owner,
                        toward=toward,
                        reach=head.reach,
                    ),
                )
            )
    return tuple(answers)


def place_name(head: Head, model: Model) -> str:
    """Name of the place a head's lamp stands at."""
    return head.place if head.reach == "own" else model.body.lamps[head.lamp].heads[head.head_index].place


def _mounted(model: Model, name: str, of: Callable[[tuple[str, str]], str]) -> tuple[Measure, ...]:
    """One measure per lamp and use of lights that do a required lamp's work."""
    required = set(required_lamps(model.body))
    worst: dict[tuple[str, str], tuple[str, _Does]] = {}
    for does in _doing(model):
        own = does.head.reach == "own"
        if does.use == NO_USE or not (own or does.head.lamp in required):
            continue
        place, _ = place_and_side(does.head, model.body)
        told = of((place.panel, place.glass))
        key = (does.head.path, does.use)
        if key not in worst or (told and not worst[key][0]):
            worst[key] = (told, does)
    return tuple(
        Measure(
            name,
            bool(told),
            "yes-no",
            about=path,
            blame=(f"{path}.at", path),
            where=f"{does.head.id}, {told or 'on the body, outside'}",
            facts=facts(lamp=does.head.lamp, head=does.head.id, use=use, reach=does.head.reach, mount=told),
        )
        for (path, use), (told, does) in worst.items()
    )


def _row_of(lamp: str, model: Model) -> list[tuple[Vector, Vector]]:
    """Where the heads of a lamp of the vehicle stand, and where they look."""
    poses = [moved_pose(head, model) for head in model.heads if head.lamp == lamp and head.reach != "own"]
    return [(pose.position_m, pose.forward) for pose in poses]


def _is_field(field: ColourField, standard: str, colour: str) -> bool:
    return field.standard == standard and field.colour in (colour, f"restricted-{colour}")


def _toward(head: Head, model: Model) -> str:
    zones = zones_of(head, model)
    return QUARTERS[zones[0]] if zones else ""


def _off_side_rad(forward: Vector) -> float:
    """Angle in plan between where a light looks and straight left or right, whichever is nearer."""
    bearing = bearing_and_elevation(forward)[0]
    return min(abs((bearing - side + math.pi) % math.tau - math.pi) for side in (math.pi / 2, 3 * math.pi / 2))
