"""Which pictures of light does a job have? Roses and elevation maps of all situations, the ground, cones, crossings.

Nothing is worked out here: light says what arrives, the rules what is asked, the other files of this room draw.

See Also
--------
coachwright.draw.views : the pictures of the vehicle itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from coachwright.build.model import Model, Situation
from coachwright.build.model_fitted import Crossing
from coachwright.control.operator_words import joined, plain_name
from coachwright.control.situations import settings_of
from coachwright.draw.asked_of_light import AskedCrossing, crossings_asked, least_rings
from coachwright.draw.bands import ladder_elements, levels_for
from coachwright.draw.cone_views import cone_plate
from coachwright.draw.crossing import DrawnCrossing, crossing_plate
from coachwright.draw.elevation import SERIES_CD, ElevationMap, elevation_plate
from coachwright.draw.lamps import drawn_heads
from coachwright.draw.letters import fitted
from coachwright.draw.rose import TITLE_MM, LimitRing, RoseCurve, rose_plate
from coachwright.draw.sheet import PaperSize, Plate, framed, room_mm
from coachwright.draw.svg import Element, element, group, line, text
from coachwright.draw.work_light_plates import ground_sheets, opened_solids
from coachwright.kit.show import show
from coachwright.kit.table import Table
from coachwright.light.approach import Approach
from coachwright.light.cones import cones
from coachwright.light.lit import LEVEL, flashing, glows
from coachwright.light.pictured import effective_by_elevation, level_hidden
from coachwright.light.system_measures import TASK
from coachwright.light.words import speed
from coachwright.look.style import INK, QUIET
from coachwright.place.panels import open_panels
from coachwright.rules.schema import Pack

MARKED_SHARE = 0.1
"""From this share of its light on that the vehicle hides a bearing is marked."""

_GAP_MM, _LEGEND_MM, _SMALLEST_ROSE_MM, _LARGEST_ROSE_MM, _ROSE_FOOT_MM = 5.0, 9.0, 62.0, 120.0, 4.5
_EASY_ROSE_MM, _MAP_HIGH_MM, _MAP_WIDE_MM = 80.0, 52.0, 125.0


def light_sheets(
    model: Model, packs: Sequence[Pack], *, digest: str, size: PaperSize = "a3"
) -> tuple[tuple[str, str], ...]:
    """Every picture of light as a sheet of its own, framed: (name, SVG)."""
    width, height = room_mm(size)
    return framed(model, light_plates(model, packs, width_mm=width, height_mm=height), digest=digest, size=size)


def light_plates(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """All of them; what a job has nothing to show for is left out."""
    drawers: tuple[Callable[..., Iterable[Plate]], ...] = (rose_sheets, elevation_sheets, ground_sheets, cone_sheets,
                                                          crossing_sheets)  # fmt: skip
    return tuple(plate for drawer in drawers for plate in drawer(model, packs, width_mm=width_mm, height_mm=height_mm))


# ---- roses


def total_curve(model: Model, situation: str) -> RoseCurve:
    """Effective intensity of all that flashes, level."""
    bearings_rad, _, values_cd = effective_by_elevation(model, situation)
    colours = sorted({glow.part.colour for glow in flashing(model, situation).glows})
    return RoseCurve(
        f"{joined(colours)} together" if len(colours) > 1 else "".join(colours),
        None,
        bearings_rad,
        tuple(values_cd[LEVEL].tolist()),
        heading=situation,
    )


def rose_of(
    model: Model, packs: Sequence[Pack], situation: str, *, size_mm: float, most_cd: float, plain: bool = False
) -> Plate:
    """One situation: all colours together, the least that is asked, where the vehicle hides its own light.

    plain : one ring at most, without the code of its rule.
    """
    curve = total_curve(model, situation)
    hidden = tuple(share >= MARKED_SHARE for share in level_hidden(model, situation).shares)
    rings = least_rings(model, packs, situation)
    if plain:
        rings = tuple(LimitRing("asked for", ring.value_cd) for ring in rings[:1])
    return rose_plate(curve, size_mm=size_mm, most_cd=most_cd, body=model.body, limits=rings, hidden=hidden)


def most_of_all(model: Model) -> float:
    """The brightest level bearing of any situation: one scale for all roses. [cd]"""
    found = [max(total_curve(model, each.name).values_cd) for each in warned(model)]
    return max(found, default=1.0)


def warned(model: Model) -> tuple[Situation, ...]:
    """Situations in which something flashes."""
    return tuple(each for each in model.situations if flashing(model, each.name).glows)


def rose_sheets(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Small multiples: a rose for each situation, all on one scale."""
    shown = warned(model)
    if not shown:
        return ()
    room = height_mm - _LEGEND_MM
    size, across_n, down_n = _laid(len(shown), width_mm, room)
    rows_n = min(down_n, math.ceil(len(shown) / across_n))
    row_mm = min(room / rows_n, size + TITLE_MM + 4 * _ROSE_FOOT_MM)
    most_cd = most_of_all(model)
    made = []
    for number, page in enumerate(_pages(shown, across_n * down_n), start=1):
        drawn: list[Element] = []
        for place, situation in enumerate(page):
            row, column = divmod(place, across_n)
            rose = rose_of(model, packs, situation.name, size_mm=size, most_cd=most_cd)
            left = column * (size + _GAP_MM) + (width_mm - across_n * (size + _GAP_MM) + _GAP_MM) / 2
            top = row * row_mm
            foot = text((0.5, size + TITLE_MM + 2.2), _hidden_said(model, situation.name, size), size_pt=6.5, ink=QUIET)
            drawn.append(group(*rose.elements, foot, name=f"rose-{situation.name}", dx_mm=left, dy_mm=top))
        drawn += _rose_legend(model, shown, width_mm, height_mm)
        name = "roses" if number == 1 else f"roses-{number}"
        title = "Effective intensity by bearing, every situation"
        made.append(Plate(name, title, width_mm, height_mm, tuple(drawn), number=name))
    return tuple(made)


def _laid(count: int, width_mm: float, height_mm: float) -> tuple[float, int, int]:
    """The largest size at which all go on one sheet, and how many go across and down.

    Where they would be too small to read, larger ones go on several sheets, about as many on each.
    """

    def grid(size_mm: float) -> tuple[int, int]:
        across = int((width_mm + _GAP_MM) / (size_mm + _GAP_MM))
        return max(1, across), max(1, int(height_mm / (size_mm + TITLE_MM + _ROSE_FOOT_MM)))

    sizes = [_LARGEST_ROSE_MM - step for step in range(int(_LARGEST_ROSE_MM - _SMALLEST_ROSE_MM) + 1)]
    each_n = count
    if math.prod(grid(_SMALLEST_ROSE_MM)) < count:
        each_n = math.ceil(count / math.ceil(count / math.prod(grid(_EASY_ROSE_MM))))
    size = next((size for size in sizes if math.prod(grid(size)) >= each_n), _SMALLEST_ROSE_MM)
    across, down = grid(size)
    return size, min(across, each_n), down


def _pages(shown: Sequence[Any], most_n: int) -> Iterator[Sequence[Any]]:
    for start in range(0, len(shown), most_n):
        yield shown[start : start + most_n]


def _hidden_said(model: Model, situation: str, width_mm: float) -> str:
    found = level_hidden(model, situation)
    marked = [share for share in found.shares if share >= MARKED_SHARE]
    if not marked:
        return f"the vehicle hides less than {100 * MARKED_SHARE:.0f} % of its light everywhere"
    by = ", ".join(name for name, _ in found.by[:2])
    return fitted(f"hidden: up to {100 * max(marked):.0f} %, most by {by}", width_mm=width_mm - 1.0, size_pt=6.5)


def _rose_legend(model: Model, shown: Sequence[Situation], width_mm: float, height_mm: float) -> list[Element]:
    y = height_mm - 2.0
    names = {each.name for each in shown}
    dark = [each.name for each in model.situations if each.name not in names]
    told = f"No warning flashes in: {', '.join(dark)}." if dark else ""
    least = "the least a rule asks for"
    hides = f"the vehicle hides {100 * MARKED_SHARE:.0f} % of its light there or more"
    marked = any(max(level_hidden(model, each.name).shares) >= MARKED_SHARE for each in shown)
    key = [element("rect", x=48.0, y=y - 1.8, width=7.0, height=1.6, fill=INK), text((56.5, y), hides, size_pt=7.0,
                                                                                    ink=INK)]  # fmt: skip
    return [
        line((0.0, y - 0.8), (7.0, y - 0.8), ink=INK, width_mm=0.4, dash="1.2 0.8"),
        text((8.5, y), least, size_pt=7.0, ink=INK),
        *(key if marked else ()),
        text((width_mm, y), fitted(told, width_mm=width_mm - 140.0, size_pt=7.0), size_pt=7.0, ink=QUIET, anchor="end"),
    ]


# ---- up and down


def elevation_of(model: Model, packs: Sequence[Pack], situation: str, *, width_mm: float, height_mm: float) -> Plate:
    """One situation's map."""
    bearings_rad, elevations_rad, values_cd = effective_by_elevation(model, situation)
    shown = ElevationMap(situation, bearings_rad, elevations_rad, values_cd)
    return elevation_plate(
        shown, width_mm=width_mm, height_mm=height_mm, limits=least_rings(model, packs, situation)[:1]
    )


def elevation_sheets(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """A map for each situation, in two columns."""
    shown = warned(model)
    across = 2 if width_mm >= 2 * _MAP_WIDE_MM + _GAP_MM else 1
    rows_n, most_n = math.ceil(len(shown) / across), max(1, int((height_mm - _LEGEND_MM) / _MAP_HIGH_MM))
    down = max(1, math.ceil(rows_n / max(1, math.ceil(rows_n / most_n))))  # sheets alike, none with the rest alone
    wide = (width_mm - (across - 1) * _GAP_MM) / across
    most_cd = max((float(effective_by_elevation(model, each.name)[2].max()) for each in shown), default=0.0)
    made = []
    for number, page in enumerate(_pages(shown, across * down), start=1):
        tall = (height_mm - _LEGEND_MM) / math.ceil(len(page) / across) if len(page) > across else _MAP_HIGH_MM * 1.4
        tall = min(tall, _MAP_HIGH_MM * 1.4)
        drawn: list[Element] = []
        for place, situation in enumerate(page):
            row, column = divmod(place, across)
            plate = elevation_of(model, packs, situation.name, width_mm=wide, height_mm=tall - 2.0)
            drawn.append(
                group(*plate.elements, name=f"elevation-{situation.name}", dx_mm=column * (wide + _GAP_MM),
                      dy_mm=row * tall)
            )  # fmt: skip
        y = height_mm - 6.8
        levels = levels_for(most_cd, SERIES_CD)
        drawn += ladder_elements((0.0, y), levels, lambda level: f"{level:,.0f}", unit="cd, effective")
        drawn.append(
            line((width_mm - 62.0, y + 1.3), (width_mm - 55.0, y + 1.3), ink=INK, width_mm=0.45, dash="1.6 0.9")
        )
        drawn.append(text((width_mm - 53.5, y + 2.1), "the least a rule asks for, level", size_pt=7.0, ink=INK))
        name = "elevation" if number == 1 else f"elevation-{number}"
        title = "Effective intensity by bearing and elevation"
        made.append(Plate(name, title, width_mm, height_mm, tuple(drawn), number=name))
    return tuple(made)


# ---- cones


def _said(panels: Iterable[str]) -> list[str]:
    """``rear door left``."""
    return [plain_name(each.replace(".", " ")) for each in panels]


def cone_sheets(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Once for each way the panels stand in a situation: the heads that burn then."""
    del packs
    states: dict[frozenset[str], list[str]] = {}
    for situation in model.situations:
        states.setdefault(open_panels(model.body, settings_of(model, situation.name)), []).append(situation.name)
    made: list[Plate] = []
    for panels, situations in sorted(states.items(), key=lambda item: (len(item[0]), sorted(item[0]))):
        ranks: dict[str, set[str]] = {}
        for glow in (glow for name in situations for glow in glows(model, name)):
            ranks.setdefault(glow.head.id, set()).add(glow.part.rank)
        burning = set(ranks)
        level, upright = (
            tuple(each for each in cones(model, panels, fan) if each.head in burning) for fan in ("level", "upright")
        )
        if not level:
            continue
        heads = [each for each in drawn_heads(model, panels) if each.fitted and each.head.id in burning]
        title = f"Cones and shadows, {joined(_said(sorted(panels)))} open" if panels else "Cones and shadows, all shut"
        number = len(made) + 1
        name = "cones" if number == 1 else f"cones-{number}"
        made.append(
            cone_plate(
                model,
                title,
                heads,
                level=level,
                upright=upright,
                working=frozenset(head for head, found in ranks.items() if found == {TASK}),
                opened=opened_solids(model, situations[0]),
                width_mm=width_mm,
                height_mm=height_mm,
                name=name,
            )
        )
    return tuple(made)


# ---- crossings


def crossing_sheets(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Once for each crossing of the job, or of its rules where it names none."""
    return tuple(
        crossing_plate(
            _drawn_crossing(model, asked),
            model.body,
            tuple(glow.position_m for glow in flashing(model, asked.measure.situation).glows),
            width_mm=width_mm,
            height_mm=height_mm,
            name=f"crossing-{number}",
        )
        for number, asked in enumerate(crossings_asked(model, packs), start=1)
    )


def _drawn_crossing(model: Model, asked: AskedCrossing) -> DrawnCrossing:
    measure, arguments = asked.measure, asked.arguments
    name = measure.facts.get("crossing", "")
    crossing = next((each for each in model.crossings if each.name == name), None) or _of_rule(arguments)
    # of two sides that answer alike the measure names one: the picture shows that one
    side = -1 if "from the right" in measure.where else 1
    approach = Approach(
        crossing.own_m_s, crossing.cross_m_s, side, 0.0, crossing.corner_from_cross_m, crossing.corner_from_own_m,
        crossing.grade_share,
    )  # fmt: skip
    assert isinstance(measure.value, float)
    hidden = " Only the siren can help there." if measure.facts.get("hidden") == "yes" else ""
    when = "before" if measure.value >= 0.0 else "after"
    found = (
        f"Noticed {abs(measure.value):.1f} s {when} that moment ({measure.where}); what holds it back: "
        f"{measure.facts.get('held-by', 'nothing')}.{hidden} Asked by {asked.rule} in {measure.situation}, by "
        f"{arguments.get('ambient', 'day')}."
    )
    columns, rows = _table(measure.table)
    named = plain_name(name) if crossing.name else f"{speed(crossing.own_m_s)} against {speed(crossing.cross_m_s)}"
    eye_m, short_m = (float(str(arguments.get(key, usual))) for key, usual in (("eye", 1.08), ("short", 0.0)))
    return DrawnCrossing(f"Crossing: {named}", found, approach, eye_m, short_m, columns, rows)


def _of_rule(arguments: Any) -> Crossing:
    own, cross, from_cross, from_own = (arguments.get(key) for key in ("own", "cross", "from_cross", "from_own"))
    return Crossing("", own, cross, from_cross, from_own, "both", 0.0, "", "")


_TOLD = ("own-speed", "cross-speed", "margin", "way", "held-by")


def _table(table: Table | None) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The table of speeds as print."""
    if table is None:
        return (), ()
    places = [place for place, column in enumerate(table.columns) if column.name in _TOLD]
    heads = tuple(table.columns[place].heading for place in places)
    rows = tuple(
        tuple(
            str(row[place]) if table.columns[place].kind == "word" else _cell(float(str(row[place])), table, place)
            for place in places
        )
        for row in table.rows
    )
    return heads, rows


def _cell(value: float, table: Table, place: int) -> str:
    kind = table.columns[place].kind
    return f"{value:.1f} s" if kind == "time" else f"{value:.0f} m" if kind == "length" else show(value, kind)
