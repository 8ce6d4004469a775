"""Into which cone does each lamp shine, and what of the vehicle stands in it? Plan and sides to scale, and a list.

A cone is as wide as the light has at least half of its peak, and 1.2 m long on every lamp: its length says nothing.
What is hidden far away is barred, from the lamp to the cone's end. The list says by what. Light to work by is made to
land on something: its cone ends there, and the list says on what.

See Also
--------
coachwright.light.cones : what is drawn.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from coachwright.build.model import Model
from coachwright.draw.body_lines import body_elements, corners_of, ground, lines_in, open_elements
from coachwright.draw.lamps import DrawnHead, head_elements
from coachwright.draw.letters import fitted
from coachwright.draw.project import VIEWS, Frame, View, bounds_of, on_view
from coachwright.draw.sheet import Plate, fitting_scale_n, scale_bar
from coachwright.draw.svg import Element, Point, element, group, line, path_of, text
from coachwright.kit.geom import dot
from coachwright.light.cones import Cone
from coachwright.look.style import ACCENT, INK, QUIET, RULE_LINE
from coachwright.place.solids import Solid

CONE_M = 1.2
_LIST_SHARE, _GAP_MM, _HEAD_MM, _FOOT_MM, _ROW_MM = 0.34, 6.0, 6.0, 12.0, 4.2
_BAR_EVERY_M, _SHORT = 0.12, 0.02
_PT, _KEY_MM = 7.0, 6.0
_WASH = "#d3dfe9"
_ASIDE = 0.25
"""A head that looks at the eye, with less of its direction than this along the picture, has no cone in it."""


@dataclass(frozen=True, slots=True)
class Hidden:
    """What is kept back of one lamp in one kind of fan. share : of the rays of its heads. by : the most first."""

    lamp: str
    share: float
    by: tuple[str, ...]


def hidden_lamps(cones: Iterable[Cone]) -> tuple[Hidden, ...]:
    """Lamps of whose cones something is hidden, the most hidden first."""
    rays: dict[str, list[str]] = {}
    for cone in cones:
        rays.setdefault(cone.lamp, []).extend(cone.hidden_by)
    found = []
    for lamp, met in rays.items():
        counted = Counter(name for name in met if name)
        if counted:
            by = tuple(sorted(counted, key=lambda name: (-counted[name], name)))
            found.append(Hidden(lamp, counted.total() / len(met), by))
    return tuple(sorted(found, key=lambda each: (-each.share, each.lamp)))


def cone_plate(
    model: Model,
    title: str,
    heads: Sequence[DrawnHead],
    *,
    level: Sequence[Cone],
    upright: Sequence[Cone],
    working: frozenset[str] = frozenset(),
    opened: Sequence[Solid] = (),
    width_mm: float,
    height_mm: float,
    name: str = "cones",
) -> Plate:
    """Plan over left and right side, the list to their right.

    heads : as they stand. level, upright : their fans, for the plan and for the sides. working : ids of heads that
    only give light to work by. opened : panels that stand open.
    """
    lists = _lists(level, upright, working)
    level, upright = ([_landed(cone) if cone.head in working else cone for cone in fan] for fan in (level, upright))
    room = width_mm * (1.0 - _LIST_SHARE) - _GAP_MM
    views = (VIEWS[0], VIEWS[1], VIEWS[2])
    fans = tuple(_in_view(view, level, upright, heads) for view in views)
    bounds = [bounds_of(_points(model, view, fan, opened)) for view, (_, fan) in zip(views, fans, strict=True)]
    scale_n = max(
        fitting_scale_n(max(each.width for each in bounds), room_mm=room - 4.0),
        fitting_scale_n(
            sum(each.height for each in bounds), room_mm=height_mm - _FOOT_MM - len(views) * (_HEAD_MM + _GAP_MM)
        ),
    )
    top, drawn = 0.0, []
    for view, bound, (shown, fan) in zip(views, bounds, fans, strict=True):
        left = (room - bound.width * 1000.0 / scale_n) / 2
        frame = Frame(view, bound, left, top + _HEAD_MM, scale_n)
        drawn.append(text((0.0, top + 3.6), view.title, size_pt=8.5, ink=INK, bold=True))
        drawn.append(_picture(model, frame, shown, fan, opened))
        top = frame.foot_mm + _GAP_MM
    drawn.append(scale_bar((4.0, height_mm - 7.0), scale_n=scale_n))
    at = (width_mm * (1.0 - _LIST_SHARE), 0.0)
    drawn += _listed(title, lists, at, width_mm=width_mm * _LIST_SHARE, height_mm=height_mm)
    return Plate(name, title, width_mm, height_mm, tuple(drawn), scale_n, name)


def _in_view(
    view: View, level: Sequence[Cone], upright: Sequence[Cone], heads: Sequence[DrawnHead]
) -> tuple[tuple[DrawnHead, ...], tuple[Cone, ...]]:
    """All of them from above; from a side those that don't look away from it."""
    if view.name == "plan":
        return tuple(heads), tuple(level)
    fan = tuple(cone for cone in upright if on_side(cone, view))
    names = {cone.head for cone in fan}
    return tuple(each for each in heads if each.head.id in names), fan


def on_side(cone: Cone, view: View) -> bool:
    """Whether a head belongs to a side view: it looks to that side, or straight on and stands on that side."""
    toward = cone.forward[1] * view.toward[1]
    if abs(toward) > _SHORT:
        return toward > 0.0
    return cone.position_m[1] * view.toward[1] >= -_SHORT


def _points(model: Model, view: View, fan: Sequence[Cone], opened: Sequence[Solid]) -> list[Point]:
    points = [on_view(view, spot) for solid in opened for spot in corners_of(solid)]
    points += [point for drawn in lines_in(model.body, view) for point in drawn.points]
    body = model.body
    tail_m = body.front_overhang - body.length
    points += [
        on_view(view, (x, y, z))
        for x in (body.front_overhang + CONE_M, tail_m - CONE_M)
        for y in (body.width / 2, -body.width / 2)
        for z in (0.0, body.height)
    ]
    ends = (_end(cone, ray) for cone in fan for ray in cone.rays)
    points += [on_view(view, end) for end in ends if view.name == "plan" or end[2] > 0.0]
    return points


def _end(cone: Cone, ray: tuple[float, float, float], share: float = 1.0) -> tuple[float, float, float]:
    x, y, z = cone.position_m
    return (x + ray[0] * CONE_M * share, y + ray[1] * CONE_M * share, z + ray[2] * CONE_M * share)


def _landed(cone: Cone) -> Cone:
    """With its rays only as long as they go free, in lengths of a cone: none of it is hidden."""
    rays = []
    for (x, y, z), met_m in zip(cone.rays, cone.met_m, strict=True):
        share = min(1.0, met_m / CONE_M)
        rays.append((share * x, share * y, share * z))
    return replace(cone, rays=tuple(rays), hidden_by=("",) * len(rays))


def _lists(
    level: Sequence[Cone], upright: Sequence[Cone], working: frozenset[str]
) -> list[tuple[str, str, tuple[Hidden, ...]]]:
    """Heading, the word before what is met, and lamps: those of the warning by view, those to work by once."""
    flat, tall = (hidden_lamps(cone for cone in fan if cone.head not in working) for fan in (level, upright))
    lists = [("Hidden, seen from above", "by", flat), ("Hidden, seen from the side", "by", tall)]
    landed = hidden_lamps(cone for cone in upright if cone.head in working)
    return [*lists, ("Light to work by, and where it lands", "on", landed)] if landed else lists


def _picture(
    model: Model, frame: Frame, heads: Sequence[DrawnHead], fan: Sequence[Cone], opened: Sequence[Solid]
) -> Element:
    floor = [] if frame.view.name == "plan" else [ground(frame)]
    boxes = [part for each in heads for part in head_elements(each, frame) if part.attributes[0][1] != "cone"]
    view = frame.view
    along = (cone for cone in fan if math.hypot(dot(view.across, cone.forward), dot(view.up, cone.forward)) > _ASIDE)
    cones = [part for cone in along for part in _cone(cone, frame)]
    return group(
        group(
            *floor, *body_elements(model.body, frame), *open_elements(opened, frame), name=f"vehicle-{frame.view.name}"
        ),
        group(*cones, name=f"cones-{frame.view.name}"),
        group(*boxes, name=f"lamps-{frame.view.name}"),
    )


def _cone(cone: Cone, frame: Frame) -> list[Element]:
    """Runs of rays that go free are a wash, runs that are hidden are barred."""
    drawn = []
    numbered = list(zip(cone.rays, cone.hidden_by, strict=True))
    for hidden, run in groupby(range(len(numbered)), key=lambda place: bool(numbered[place][1])):
        places = list(run)
        # up to the next ray: runs share their border
        rays = [cone.rays[place] for place in (*places, *((places[-1] + 1,) if places[-1] + 1 < len(numbered) else ()))]
        if len(rays) < 2:
            continue
        outline = [frame.at(cone.position_m), *(frame.at(_end(cone, ray)) for ray in rays)]
        drawn.append(
            element(
                "path",
                class_="hidden" if hidden else "cone",
                d=path_of(outline, closed=True),
                fill="none" if hidden else _WASH,
                fill_opacity=None if hidden else "0.5",
                stroke=INK if hidden else ACCENT,
                stroke_width=0.14,
                stroke_linejoin="round",
            )
        )
        if hidden:
            drawn += _bars(cone, rays, frame)
    return drawn


def _bars(cone: Cone, rays: Sequence[tuple[float, float, float]], frame: Frame) -> list[Element]:
    """Lines across the hidden run at equal steps outward."""
    steps_n = round(CONE_M / _BAR_EVERY_M)
    pieces = [path_of([frame.at(_end(cone, ray, step / steps_n)) for ray in rays]) for step in range(1, steps_n)]
    return [element("path", class_="bars", d="".join(pieces), fill="none", stroke=INK, stroke_width=0.16)]


def _listed(
    title: str,
    lists: Sequence[tuple[str, str, tuple[Hidden, ...]]],
    at: Point,
    *,
    width_mm: float,
    height_mm: float,
) -> list[Element]:
    """How to read the sheet, and what is in whose way."""
    left, y = at
    drawn = [text((left, y + 3.6), fitted(title, width_mm=width_mm, size_pt=9.0, bold=True), size_pt=9.0, ink=INK,
                  bold=True)]  # fmt: skip
    y += 8.6
    for barred, said in (
        (False, f"a lamp's light to half of its peak; drawn {CONE_M:g} m long, it goes on"),
        (True, "hidden from who is far off"),
    ):
        drawn += _key((left, y), barred=barred)
        drawn.append(text((left + _KEY_MM + 1.5, y), fitted(said, width_mm=width_mm - _KEY_MM - 1.5, size_pt=_PT),
                          size_pt=_PT, ink=INK))  # fmt: skip
        y += _ROW_MM + 0.4
    room_n = int((height_mm - y - 14.0) / _ROW_MM) - 3 * len(lists)
    for place, (head, word, found) in enumerate(lists):
        y += _ROW_MM
        most_n = max(2, room_n // (len(lists) - place))
        drawn.append(text((left, y), head, size_pt=8.0, ink=ACCENT, bold=True))
        drawn.append(text((left + width_mm, y), "share of the cone", size_pt=6.5, ink=QUIET, anchor="end"))
        drawn.append(line((left, y + 1.3), (left + width_mm, y + 1.3), ink=RULE_LINE, width_mm=0.16))
        y += _ROW_MM + 0.8
        shown = found if len(found) <= most_n else found[: most_n - 1]
        for each in shown:
            drawn += _row(each, word, (left, y), width_mm)
            y += _ROW_MM
            room_n -= 1
        if len(shown) < len(found):
            more = f"and {len(found) - len(shown)} more"
            drawn.append(text((left, y), more, size_pt=_PT, ink=QUIET))
            y += _ROW_MM
        if not found:
            drawn.append(text((left, y), "no lamp", size_pt=_PT, ink=INK))
            y += _ROW_MM
    return drawn


def _key(at: Point, *, barred: bool) -> list[Element]:
    """A piece of a cone, free or barred."""
    left, y = at
    drawn = [
        element("rect", x=left, y=y - 2.1, width=_KEY_MM, height=2.6, fill="none" if barred else _WASH,
                fill_opacity=None if barred else "0.5", stroke=INK if barred else ACCENT, stroke_width=0.14)
    ]  # fmt: skip
    if barred:
        for step in range(1, 6):
            x = left + step * _KEY_MM / 6
            drawn.append(line((x, y - 2.1), (x, y + 0.5), ink=INK, width_mm=0.16))
    return drawn


def _row(each: Hidden, word: str, at: Point, width_mm: float) -> list[Element]:
    left, y = at
    share = f"{max(1, round(100 * each.share))} %"
    name = fitted(each.lamp, width_mm=width_mm * 0.34, size_pt=_PT, bold=True)
    by = fitted(f"{word} {', '.join(each.by)}", width_mm=width_mm * 0.52, size_pt=_PT)
    return [
        text((left, y), name, size_pt=_PT, ink=INK, bold=True),
        text((left + width_mm * 0.35, y), by, size_pt=_PT, ink=INK),
        text((left + width_mm, y), share, size_pt=_PT, ink=INK, anchor="end"),
    ]
