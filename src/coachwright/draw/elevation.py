"""How much light goes where, up and down as well? Bearing across, elevation up, effective intensity in steps.

The rear is at both ends and the nose in the middle. The corners of the zones and the band of 5 deg up and down in which
they are judged are drawn in; elevation is stretched against bearing. Values are handed in.

See Also
--------
coachwright.draw.rose : the same level with the horizon.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from coachwright.draw.bands import Raster, band_elements, dashed_level, levels_for
from coachwright.draw.contours import Floats
from coachwright.draw.lamp_table import degrees_text
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.rose import LimitRing, candela_text
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, element, line, text
from coachwright.look.style import ACCENT, INK, QUIET
from coachwright.place.zones import ZONE_MIDDLES_RAD

SERIES_CD = (10.0, 30.0, 100.0, 300.0, 1_000.0, 3_000.0, 10_000.0, 30_000.0, 100_000.0)
"""Levels: half a decade apart, nearly."""

HEAD_MM, FOOT_MM = 10.0, 7.0
_UNIT = "effective intensity, cd"
_LEFT_MM, _RIGHT_MM = 13.0, 6.0
_BAND_DEG = 5
_LEAST_BETWEEN_MM = 2.4
_ZONE_WORDS = {"A": "A front", "B": "B right", "C": "C rear", "D": "D left"}


@dataclass(frozen=True, slots=True)
class ElevationMap:
    """Effective intensity over directions.

    bearings_rad : ascending from 0 at equal steps, round once. elevations_rad : ascending, at equal steps.
    values_cd : shape (elevations, bearings).
    """

    title: str
    bearings_rad: tuple[float, ...]
    elevations_rad: tuple[float, ...]
    values_cd: Floats


def elevation_plate(
    shown: ElevationMap, *, width_mm: float, height_mm: float, limits: Iterable[LimitRing] = (), name: str = "elevation"
) -> Plate:
    """One map with its axes and its title."""
    raster = _raster(shown, width_mm=width_mm, height_mm=height_mm)
    levels = levels_for(float(shown.values_cd.max()), SERIES_CD)
    rings = tuple(limits)
    drawn = [
        *_title(shown, width_mm),
        *band_elements(raster, levels, _candela, limits=[ring.value_cd for ring in rings]),
        *_band(raster, shown),
        *_zones(raster, shown),
        *_axes(raster, shown),
    ]
    for ring in rings:
        limit = dashed_level(raster, ring.value_cd, name="limit")
        drawn += [] if limit is None else [limit]
    return Plate(name, shown.title, width_mm, height_mm, tuple(drawn))


def _candela(level: float) -> str:
    return f"{level:,.0f}"


def _raster(shown: ElevationMap, *, width_mm: float, height_mm: float) -> Raster:
    """From the rear by the left to the nose, on by the right to the rear again; the top row is the highest."""
    half = len(shown.bearings_rad) // 2
    order = [*range(half, len(shown.bearings_rad)), *range(half + 1)]
    values = np.asarray(shown.values_cd[::-1][:, order], dtype=np.float64)
    return Raster(
        values,
        _LEFT_MM,
        HEAD_MM,
        (width_mm - _LEFT_MM - _RIGHT_MM) / (values.shape[1] - 1),
        (height_mm - HEAD_MM - FOOT_MM) / (values.shape[0] - 1),
    )


def _title(shown: ElevationMap, width_mm: float) -> list[Element]:
    row, column = divmod(int(shown.values_cd.argmax()), shown.values_cd.shape[1])
    peak = float(shown.values_cd[row, column])
    up = math.degrees(shown.elevations_rad[row])
    place = f"{degrees_text(shown.bearings_rad[column])} deg, {_up_said(round(up))}"
    most = f"most {candela_text(peak)} toward {place}" if peak > 0 else "no light"
    wide = text_width_mm(most, size_pt=7.0)
    title = fitted(shown.title, width_mm=width_mm - wide - _LEFT_MM - 4.0, size_pt=9.0, bold=True)
    after = _LEFT_MM + text_width_mm(title, size_pt=9.0, bold=True) + 2.5
    has_room = after + text_width_mm(_UNIT, size_pt=7.0) < width_mm - _RIGHT_MM - wide - 2.0
    return [
        text((_LEFT_MM, 3.4), title, size_pt=9.0, ink=INK, bold=True),
        *((text((after, 3.4), _UNIT, size_pt=7.0, ink=QUIET),) if has_room else ()),
        text((width_mm - _RIGHT_MM, 3.4), most, size_pt=7.0, ink=INK, anchor="end"),
    ]


def _up_said(degrees: int) -> str:
    return "level" if degrees == 0 else f"{abs(degrees)} deg {'up' if degrees > 0 else 'down'}"


def _y(raster: Raster, shown: ElevationMap, degrees: float) -> float:
    step_rad = shown.elevations_rad[1] - shown.elevations_rad[0]
    return raster.at((0.0, (shown.elevations_rad[-1] - math.radians(degrees)) / step_rad))[1]


def _x(raster: Raster, degrees: float) -> float:
    """Where a bearing off the nose, to the right, from -180 to 180, is across the map. [deg, mm]"""
    return raster.at(((degrees + 180.0) / 360.0 * (raster.values.shape[1] - 1), 0.0))[0]


def _band(raster: Raster, shown: ElevationMap) -> list[Element]:
    """The lines 5 deg up and down, and the horizon."""
    left, right = _x(raster, -180.0), _x(raster, 180.0)
    drawn = []
    for degrees in (-_BAND_DEG, 0, _BAND_DEG):
        y = _y(raster, shown, degrees)
        dash = None if degrees == 0 else "0.5 0.7"
        drawn.append(line((left, y), (right, y), ink=ACCENT, width_mm=0.2 if degrees else 0.28, dash=dash))
    return drawn


def _zones(raster: Raster, shown: ElevationMap) -> list[Element]:
    top, foot = HEAD_MM, raster.at((0.0, raster.values.shape[0] - 1.0))[1]
    drawn: list[Element] = []
    for zone, middle_rad in ZONE_MIDDLES_RAD.items():
        middle = (math.degrees(middle_rad) + 180.0) % 360.0 - 180.0
        corner = (middle + 45.0 + 180.0) % 360.0 - 180.0
        x = _x(raster, corner)
        drawn.append(line((x, top - 2.0), (x, foot), ink=ACCENT, width_mm=0.2, dash="1.6 1"))
        for place in (-157.5, 157.5) if zone == "C" else (middle,):
            word = _ZONE_WORDS[zone]
            drawn.append(
                text((_x(raster, place), top - 1.2), word, size_pt=6.5, ink=ACCENT, anchor="middle", bold=True)
            )
    return drawn


def _axes(raster: Raster, shown: ElevationMap) -> list[Element]:
    left, right = _x(raster, -180.0), _x(raster, 180.0)
    top, foot = HEAD_MM, raster.at((0.0, raster.values.shape[0] - 1.0))[1]
    drawn = [
        element("rect", x=left, y=top, width=right - left, height=foot - top, fill="none", stroke=INK, stroke_width=0.2)
    ]
    for degrees in range(-180, 181, 15):
        x = _x(raster, degrees)
        drawn.append(line((x, foot), (x, foot + (1.3 if degrees % 45 == 0 else 0.7)), ink=INK, width_mm=0.14))
        if degrees % 45 == 0:
            said = f"{degrees % 360}" + (" deg" if degrees in (-180, 0) else "")
            drawn.append(text((x, foot + 3.8), said, size_pt=6.0, ink=QUIET, anchor="middle"))
    lowest, highest = (round(math.degrees(shown.elevations_rad[place])) for place in (0, -1))
    written: list[float] = []
    for degrees in sorted({0, _BAND_DEG, -_BAND_DEG, *range(lowest, highest + 1, 10)}, key=lambda up: (abs(up), up)):
        y = _y(raster, shown, degrees)
        if all(abs(y - other) >= _LEAST_BETWEEN_MM for other in written):
            written.append(y)
            drawn.append(line((left - 0.9, y), (left, y), ink=INK, width_mm=0.14))
            drawn.append(text((left - 1.4, y + 0.75), _up_said(degrees), size_pt=6.0, ink=QUIET, anchor="end"))
    return drawn
