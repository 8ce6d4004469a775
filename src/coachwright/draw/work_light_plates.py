"""Where does light to work by fall? A map of the ground for each situation that differs, or of the table it is for.

See Also
--------
coachwright.draw.ground, coachwright.draw.table : draw one. coachwright.draw.light_plates : the other pictures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.draw.ground import DrawnGround, ground_plate
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import group
from coachwright.draw.table import DrawnTable, table_plate
from coachwright.light.ground_measures import QUARTERS, ground_light
from coachwright.light.pictured import GroundMap, TableMap, ground_map, table_maps
from coachwright.place.panels import open_panels
from coachwright.place.solids import Solid, solids_of
from coachwright.rules.schema import Pack

_GAP_MM, _TABLE_WIDE_MM = 5.0, 150.0
_NEAR_M, _FAR_M = 0.5, 3.0
"""The ground that is judged, out from the body: as the measures take it."""


def ground_of(
    model: Model,
    situation: str,
    found: GroundMap,
    *,
    width_mm: float,
    height_mm: float,
    name: str,
    others: str = "",
    in_words: bool = True,
) -> Plate:
    """One situation's ground map. in_words : with what the measures find on the ground that is judged under it."""
    body = model.body
    nose_m, tail_m, half_m = body.front_overhang, body.front_overhang - body.length, body.width / 2.0
    boxes = {
        "front": (nose_m + _NEAR_M, nose_m + _FAR_M, -half_m, half_m),
        "rear": (tail_m - _FAR_M, tail_m - _NEAR_M, -half_m, half_m),
        "left": (tail_m, nose_m, half_m + _NEAR_M, half_m + _FAR_M),
        "right": (tail_m, nose_m, -half_m - _FAR_M, -half_m - _NEAR_M),
    }
    mean, least = (
        ground_light(model, situation=situation, of=of, near=_NEAR_M, far=_FAR_M) for of in ("mean", "least")
    )
    said, patches = [], []
    for quarter in QUARTERS:
        for one, other in zip(mean, least, strict=True):
            if one.facts.get("toward") == quarter:
                patches.append(boxes[quarter])
                said.append(
                    f"Dashed, {quarter}, {_NEAR_M:g} to {_FAR_M:g} m out: mean {_lux(one.value)}, darkest spot "
                    f"{_lux(other.value)} ({other.where.partition('darkest ')[2]})."
                )
    if not said:
        reach = f"{_NEAR_M:g} to {_FAR_M:g} m out"
        said.append(f"No ground {reach} is lit: the work light that burns is for a table, a tray, a locker.")
    said.append("Steady work light only; what flashes lights nothing to work by. Street light is not in it.")
    title = f"Light on the ground, {situation}" + (f"; the same in {others}" if others else "")
    told = tuple(said) if in_words else ()
    shown = DrawnGround(title, found.x_m, found.y_m, found.lux, found.people, tuple(patches), told)
    return ground_plate(shown, body, opened_solids(model, situation), width_mm=width_mm, height_mm=height_mm, name=name)


def ground_maps(model: Model) -> tuple[tuple[str, GroundMap, tuple[str, ...]], ...]:
    """Situations with work light, each map once: its first situation, the map, and the others that look the same."""
    found: list[tuple[str, GroundMap, list[str]]] = []
    for situation in model.situations:
        here = ground_map(model, situation.name)
        if here is None:
            continue
        same = next((each for each in found if _alike(each[1], here)), None)
        if same is None:
            found.append((situation.name, here, []))
        else:
            same[2].append(situation.name)
    return tuple((name, here, tuple(others)) for name, here, others in found)


def ground_sheets(model: Model, packs: Sequence[Pack], *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """A map for each situation that differs; of the table instead, where work light is for a table alone."""
    del packs
    made: list[Plate] = []
    shown: list[tuple[str, TableMap, str]] = []
    grounds_n = 0
    for name, found, others in ground_maps(model):
        alike = ", ".join(others)
        tables = () if _is_judged(model, name) else table_maps(model, name)
        shown += [(name, table, alike) for table in tables]
        if not tables:
            grounds_n += 1
            made.append(
                ground_of(model, name, found, width_mm=width_mm, height_mm=height_mm, others=alike,
                          name="ground" if grounds_n == 1 else f"ground-{grounds_n}")
            )  # fmt: skip
    return (*made, *_table_sheets(shown, width_mm=width_mm, height_mm=height_mm))


def _table_sheets(shown: Sequence[tuple[str, TableMap, str]], *, width_mm: float, height_mm: float) -> Iterator[Plate]:
    """Tables side by side where the sheet is wide enough, to one scale."""
    across = 2 if len(shown) > 1 and width_mm >= 2 * _TABLE_WIDE_MM + _GAP_MM else 1
    wide = (width_mm - (across - 1) * _GAP_MM) / across
    for number, start in enumerate(range(0, len(shown), across), start=1):
        name = "table" if number == 1 else f"table-{number}"
        plates = [
            table_of(situation, table, width_mm=wide, height_mm=height_mm, others=others, name=name)
            for situation, table, others in shown[start : start + across]
        ]
        drawn = (
            group(*plate.elements, name=f"table-of-{place}", dx_mm=place * (wide + _GAP_MM), dy_mm=0.0)
            for place, plate in enumerate(plates)
        )
        title = plates[0].title if len(plates) == 1 else "Work light on tables"
        scale_n = plates[0].scale_n if len({plate.scale_n for plate in plates}) == 1 else 0
        yield Plate(name, title, width_mm, height_mm, tuple(drawn), scale_n, name)


def table_of(
    situation: str,
    found: TableMap,
    *,
    width_mm: float,
    height_mm: float,
    name: str,
    others: str = "",
    in_words: bool = True,
) -> Plate:
    """One table in one situation. in_words : with what was found under it."""
    title = f"Light on the {found.name}, {situation}" + (f"; the same in {others}" if others else "")
    mean, darkest, brightest = (_lux(each) for each in (found.lux.mean(), found.lux.min(), found.lux.max()))
    said = (
        f"Top {found.height_m:.2f} m over the ground: mean {mean}, darkest spot {darkest}, brightest {brightest}.",
        f"No ground {_NEAR_M:g} to {_FAR_M:g} m out is lit: this work light is for the {found.name}.",
        "Steady work light only; what lies on the table and who stands at it cast no shadow here.",
    )
    shown = DrawnTable(title, found.x_m, found.y_m, found.lux, found.lamps, said if in_words else ())
    return table_plate(shown, width_mm=width_mm, height_mm=height_mm, name=name)


def _is_judged(model: Model, situation: str) -> bool:
    """Whether work light falls on ground that is judged."""
    return bool(ground_light(model, situation=situation, near=_NEAR_M, far=_FAR_M))


def _alike(one: GroundMap, other: GroundMap) -> bool:
    return one.people == other.people and bool((one.lux == other.lux).all())


def _lux(value: Any) -> str:
    return f"{float(f'{value:.2g}'):g} lx"


def opened_solids(model: Model, situation: str) -> tuple[Solid, ...]:
    """The body's own pieces on panels that stand open in a situation."""
    panels = open_panels(model.body, settings_of(model, situation))
    return tuple(each for each in solids_of(model, panels) if each.panel in panels and not each.path)
