"""Candela at the angles of a goniometer, types A, B and C: unfolded, looked up, summed to lumens.

Each of the three measures over a sphere with two poles; only where the poles stand differs. Seen from its own poles
each is a `CandelaTable`, so one look-up and one sum serve all three: type B with horizontal and vertical exchanged,
type C with gamma counted from its equator.

See Also
--------
coachwright.kit.goniometer : what the angles mean. coachwright.parts.photometric_grid : the same light as type A.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from coachwright.parts.candela import CandelaTable, Floats, bilinear, lumens
from coachwright.parts.photometric_text import PhotometryWrong

Goniometer: TypeAlias = Literal["A", "B", "C"]

TURN_DEG = 360.0
_SAME_DEG = 1e-6
_EDGE_RAD = 1e-9


@dataclass(frozen=True, slots=True, weakref_slot=True, eq=False)
class PhotometricTable:
    """Candela over the angles of one goniometer type, with every symmetry of the file unfolded.

    Parameters
    ----------
    goniometer : type A, B or C.
    vertical_rad : V of types A and B, gamma of type C; ascending, length V. [rad]
    horizontal_rad : H of types A and B; planes C from a first one to the same a turn later; ascending, length H. [rad]
    candela_cd : shape (V, H); dark outside the angles. [cd]
    """

    goniometer: Goniometer
    vertical_rad: Floats
    horizontal_rad: Floats
    candela_cd: Floats

    def __post_init__(self) -> None:
        for name in ("vertical_rad", "horizontal_rad", "candela_cd"):
            values = np.array(getattr(self, name), dtype=np.float64, order="C")
            values.flags.writeable = False
            object.__setattr__(self, name, values)
        self.sphere()  # refuses what is no table

    def sphere(self) -> CandelaTable:
        """The same numbers about the goniometer's own poles."""
        if self.goniometer == "A":
            return CandelaTable(self.vertical_rad, self.horizontal_rad, self.candela_cd)
        if self.goniometer == "B":
            return CandelaTable(self.horizontal_rad, self.vertical_rad, self.candela_cd.T)
        middle = (self.horizontal_rad[0] + self.horizontal_rad[-1]) / 2
        return CandelaTable(self.vertical_rad - math.pi / 2, self.horizontal_rad - middle, self.candela_cd)

    @property
    def peak_cd(self) -> float:
        """Largest value of the file. [cd]"""
        return float(self.candela_cd.max())

    def toward(self, horizontal_rad: ArrayLike, vertical_rad: ArrayLike) -> Floats:
        """Bilinear between the angles of the file, dark outside; angles as of its own type, broadcast. [cd]"""
        vertical = _at_edge(vertical_rad, self.vertical_rad)
        if self.goniometer == "A":
            return bilinear(self.sphere(), _at_edge(horizontal_rad, self.horizontal_rad), vertical)
        if self.goniometer == "B":
            return bilinear(self.sphere(), vertical, _at_edge(horizontal_rad, self.horizontal_rad))
        first, last = self.horizontal_rad[0], self.horizontal_rad[-1]
        turned = np.clip((np.asarray(horizontal_rad) - first) % math.tau, 0.0, last - first)
        return bilinear(self.sphere(), turned - (last - first) / 2, vertical - math.pi / 2)

    @property
    def axis_cd(self) -> float:
        """Toward gamma = 0 (type C, the mean of its planes), or H = V = 0 (types A and B). [cd]"""
        if self.goniometer == "C":
            if self.vertical_rad[0] > _SAME_DEG:
                return 0.0
            return float(np.average(self.candela_cd[0, :-1], weights=np.diff(self.horizontal_rad)))
        return float(self.toward(np.array(0.0), np.array(0.0)))


def _at_edge(angles_rad: ArrayLike, grid: Floats) -> Floats:
    """An angle that left another system by a rounding is still on the edge of this one."""
    angles = np.asarray(angles_rad, dtype=np.float64)
    low, high = float(grid[0]), float(grid[-1])
    return np.where(abs(angles - low) < _EDGE_RAD, low, np.where(abs(angles - high) < _EDGE_RAD, high, angles))


def flux_lm(table: PhotometricTable) -> float:
    """Luminous flux. [lm]

    Notes
    -----
    Integral of the bilinear intensity over solid angle, exact in each cell (parts.candela.lumens). The zonal rule, mean
    candela times solid angle, lies 0.2 % higher on 5 deg steps of a narrow beam; measured light is no better known.
    """
    return lumens(table.sphere())


def unfolded(
    goniometer: Goniometer,
    *,
    vertical_deg: Floats,
    horizontal_deg: Floats,
    candela_cd: Floats,
    at: tuple[int, int] = (1, 1),
) -> tuple[PhotometricTable, tuple[str, ...]]:
    """The whole table from the part of it that is written, and what was taken for granted.

    Parameters
    ----------
    candela_cd : shape (vertical, horizontal).
    at : where the angles stand, for what is refused.

    Notes
    -----
    Type C by its last plane: 0 rotational, 90 the same in each quadrant, 180 the same on both sides of C 0-180; from 90
    to 270 the same on both sides of C 90-270; 360, or one step short of it, nothing alike. Types A and B that begin at
    H = 0 are the same left and right. [1]_

    References
    ----------
    .. [1] ANSI/IESNA LM-63-02, horizontal angles (from memory).

    Raises
    ------
    PhotometryWrong : angles that don't ascend, lie outside the sphere, or leave planes out.
    """
    _check_angles(goniometer, vertical_deg, horizontal_deg, at)
    said: tuple[str, ...] = ()
    if goniometer == "C":
        horizontal_deg, candela_cd, said = _whole_turn(horizontal_deg, candela_cd, at)
    elif horizontal_deg[0] == 0.0:
        horizontal_deg = np.concatenate([-horizontal_deg[:0:-1], horizontal_deg])
        candela_cd = np.concatenate([candela_cd[:, :0:-1], candela_cd], axis=1)
    table = PhotometricTable(goniometer, np.radians(vertical_deg), np.radians(horizontal_deg), candela_cd)
    return table, said


def _check_angles(goniometer: Goniometer, vertical_deg: Floats, horizontal_deg: Floats, at: tuple[int, int]) -> None:
    for what, angles in (("vertical", vertical_deg), ("horizontal", horizontal_deg)):
        steps = np.diff(angles)
        if (steps <= _SAME_DEG).any():
            place = int(np.argmax(steps <= _SAME_DEG))
            raise PhotometryWrong(
                "PRT-086",
                "photometric-angles-out-of-order",
                f"The {what} angle {angles[place + 1]:g} deg follows {angles[place]:g} deg; they have to ascend.",
                at=at,
                write="Compare the counts of angles in the header with the angles.",
            )
    vertical_limits = {"A": (-90.0, 90.0), "B": (-180.0, 180.0), "C": (0.0, 180.0)}[goniometer]
    horizontal_limits = {"A": (-180.0, 180.0), "B": (-90.0, 90.0), "C": (-360.0, 720.0)}[goniometer]
    for what, angles, (low, high) in (
        ("vertical", vertical_deg, vertical_limits),
        ("horizontal", horizontal_deg, horizontal_limits),
    ):
        if angles[0] < low - _SAME_DEG or angles[-1] > high + _SAME_DEG:
            raise _angles_no(
                f"{what.capitalize()} angles of type {goniometer} lie between {low:g} and {high:g} deg; "
                f"these run from {angles[0]:g} to {angles[-1]:g}.",
                at,
            )
    if len(vertical_deg) < 2 or (goniometer != "C" and len(horizontal_deg) < 2):
        raise _angles_no(f"A table of type {goniometer} needs two angles each way at least.", at)


def _angles_no(why: str, at: tuple[int, int]) -> PhotometryWrong:
    write = "Compare the type and the angles with the report of the laboratory."
    return PhotometryWrong("PRT-087", "photometric-angles-not-possible", why, at=at, write=write)


def _whole_turn(planes: Floats, candela: Floats, at: tuple[int, int]) -> tuple[Floats, Floats, tuple[str, ...]]:
    """Planes from a first one to the same a turn later."""
    first, last = float(planes[0]), float(planes[-1])
    if len(planes) == 1:
        said = () if first == 0.0 else (f"The only plane, C {first:g} deg, is taken for all of them.",)
        return np.array([0.0, TURN_DEG]), np.repeat(candela, 2, axis=1), said
    span = last - first
    if _near(span, TURN_DEG):
        planes = planes.copy()
        planes[-1] = first + TURN_DEG
        return planes, candela, ()
    if _near(first, 0.0) and _near(last, 90.0):
        planes, candela = _mirrored(planes, candela)
        return (*_mirrored(planes, candela), ())
    if _near(span, 180.0) and (_near(first, 0.0) or _near(abs(first), 90.0)):
        return (*_mirrored(planes, candela), ())
    gap = TURN_DEG - span
    if span > 180.0 and gap <= 1.01 * float(np.diff(planes).max()):
        said = () if _near(first, 0.0) and span <= 180.0 else ("The turn is closed with the first plane.",)
        return np.append(planes, first + TURN_DEG), np.hstack([candela, candela[:, :1]]), said
    raise _angles_no(
        f"Planes from C {first:g} to {last:g} deg are neither a turn, half a turn, a quarter nor one plane.", at
    )


def _mirrored(planes: Floats, candela: Floats) -> tuple[Floats, Floats]:
    """Once more on the other side of the last plane."""
    return (
        np.concatenate([planes, 2 * planes[-1] - planes[-2::-1]]),
        np.hstack([candela, candela[:, -2::-1]]),
    )


def _near(value: float, target: float) -> bool:
    return abs(value - target) < 1e-3
