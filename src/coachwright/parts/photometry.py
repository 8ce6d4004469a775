"""How much light does one colour of a head send in each direction?

Photometric angles are those of the vehicle lighting law: H in plan, positive to the right of whoever looks along the
beam; V the true elevation, positive up. That is IES type A, a sphere whose poles stand above and below the lamp. [1]_

References
----------
.. [1] 49 CFR 571.108, S14.2.5.8.1.3 and .4: horizontal angles are taken in plan, the vertical angle is true elevation.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from coachwright.kit.errors import DataWrong
from coachwright.kit.once import once
from coachwright.parts.candela import CandelaTable, Floats, bilinear, lumens
from coachwright.parts.schema import Beam, ColourOutput

__all__ = [
    "CandelaTable",
    "beam_table",
    "bilinear",
    "half_width_rad",
    "height_at",
    "lumens",
    "relative_intensity",
    "width_at",
]

VERTICAL_N = 37
HORIZONTAL_N = 73
"""Angles of a table made from a parametric beam."""

FAINTEST_SHARE = 1e-3
"""A bell is followed down to this share of its peak; beyond that it is dark."""


@once(max_bytes=64_000_000)
def beam_table(output: ColourOutput) -> CandelaTable:
    """The light of one colour as a table: what its photometric file says, or its parametric beam.

    Notes
    -----
    A parametric beam becomes 37 x 73 directions that carry exactly its flux. The grid has equal steps and follows the
    beam: a bell to where it has faded to 1/1000 of its peak (2^-(a/half)^2, so 3.157 half-widths), a plateau to the end
    of its shoulder, a cosine to a quarter turn. The outermost line of a bell is dark, so that no edge shows. Whatever
    the shape leaves out or interpolation rounds off, the table is scaled until `lumens` finds the stated flux.

    See Also
    --------
    coachwright.place.poses : where the head stands and looks.
    coachwright.light.far_field : what this table sends toward a bearing.
    """
    if output.measured is not None:
        return output.measured
    beam = output.beam
    if beam is None:
        raise DataWrong("a colour without a beam needs its photometric file; read the part through the catalogue")
    vertical_end, horizontal_end = _ends(beam)
    vertical = np.linspace(-vertical_end, vertical_end, VERTICAL_N)
    horizontal = np.linspace(-horizontal_end, horizontal_end, HORIZONTAL_N)
    shape = relative_intensity(beam, horizontal[None, :], vertical[:, None])
    if beam.shape == "bell":
        shape[[0, -1], :] = 0.0
        shape[:, [0, -1]] = 0.0
    unit = CandelaTable(vertical, horizontal, shape)
    return CandelaTable(vertical, horizontal, shape * (output.flux / lumens(unit)))


def relative_intensity(beam: Beam, horizontal_rad: ArrayLike, vertical_rad: ArrayLike) -> Floats:
    """Intensity of a parametric beam against its peak, 0 to 1, for type A angles of any broadcastable shapes.

    Notes
    -----
    bell: 2^-((H / half_width)^2 + (V / half_height)^2), so half of the peak at half_width and at half_height.
    cosine: (cos V cos H)^power, for cos V cos H is the cosine of the polar angle; dark behind.
    flat: s(H) s(V) with s = 1 inside, half a cosine over the shoulder, 1/2 at half_width and half_height.
    """
    h, v = np.broadcast_arrays(np.asarray(horizontal_rad, dtype=np.float64), np.asarray(vertical_rad, dtype=np.float64))
    if beam.shape == "bell":
        return np.asarray(np.exp2(-((h / beam.half_width) ** 2 + (v / beam.half_height) ** 2)), dtype=np.float64)
    if beam.shape == "cosine":
        return np.asarray(np.maximum(np.cos(v) * np.cos(h), 0.0) ** beam.power, dtype=np.float64)
    return _plateau(h, beam.half_width, beam.shoulder) * _plateau(v, beam.half_height, beam.shoulder)


def half_width_rad(output: ColourOutput) -> float:
    """How far to its side the light falls to half of its peak; half of the whole width where that is lopsided. [rad]"""
    beam = output.beam
    if beam is None:
        return width_at(beam_table(output), 0.5) / 2
    if beam.shape == "cosine":
        return math.acos(math.pow(0.5, 1.0 / beam.power)) if beam.power > 0 else math.pi / 2
    half_width: float = beam.half_width
    return half_width


def width_at(table: CandelaTable, share: float) -> float:
    """Angle in plan, through the peak, within which the light is at least this share of it. [rad]"""
    row, column = np.unravel_index(int(table.candela_cd.argmax()), table.candela_cd.shape)
    return _span(table.horizontal_rad, table.candela_cd[row], int(column), share)


def height_at(table: CandelaTable, share: float) -> float:
    """Angle up and down, through the peak, within which the light is at least this share of it. [rad]"""
    row, column = np.unravel_index(int(table.candela_cd.argmax()), table.candela_cd.shape)
    return _span(table.vertical_rad, table.candela_cd[:, column], int(row), share)


def _span(angles: Floats, candela: Floats, middle: int, share: float) -> float:
    """Between the first crossings to both sides of `middle`, to the end where there is none."""
    limit = share * float(candela[middle])

    def crossing(step: int) -> float:
        place = middle
        while 0 <= place + step < len(angles) and candela[place + step] >= limit:
            place += step
        if not 0 <= place + step < len(angles):
            return float(angles[place])
        inner, outer = float(candela[place]), float(candela[place + step])
        return float(angles[place] + (inner - limit) / (inner - outer) * (angles[place + step] - angles[place]))

    return crossing(1) - crossing(-1)


def _ends(beam: Beam) -> tuple[float, float]:
    """How far up and down, and how far left and right, the beam is followed. [rad]"""
    if beam.shape == "cosine":
        return math.pi / 2, math.pi / 2
    if beam.shape == "flat":
        reach = beam.shoulder / 2
        return min(beam.half_height + reach, math.pi / 2), min(beam.half_width + reach, math.pi)
    halves = math.sqrt(-math.log2(FAINTEST_SHARE))
    return min(halves * beam.half_height, math.pi / 2), min(halves * beam.half_width, math.pi)


def _plateau(angle_rad: Floats, half_rad: float, shoulder_rad: float) -> Floats:
    beyond = np.clip((abs(angle_rad) - half_rad) / shoulder_rad + 0.5, 0.0, 1.0)
    return np.asarray((1 + np.cos(math.pi * beyond)) / 2, dtype=np.float64)
