"""Photometric files made by hand, of light that is known to the last digit; every lamp in them is invented."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from coachwright.kit.goniometer import off_axis, type_b_to_a, type_c_to_a
from coachwright.parts.candela import Floats
from coachwright.parts.photometric_file import PhotometricFile
from coachwright.parts.photometric_read import read_photometric

Beam = Callable[[Floats], Floats]
"""Intensity by the angle from the axis. [rad -> cd]"""

CODE_OF = {"C": 1, "B": 2, "A": 3}


def cosine(power: float, peak_cd: float = 1000.0) -> Beam:
    """I0 cos^m, dark behind."""
    return lambda polar: peak_cd * np.maximum(np.cos(polar), 0.0) ** power


def angles(first: float, last: float, step: float) -> Floats:
    """Both ends included. [deg]"""
    return np.linspace(first, last, round((last - first) / step) + 1)


def polar(kind: str, vertical_deg: Floats, horizontal_deg: Floats) -> Floats:
    """Angle from the axis at each angle of a goniometer, shape (V, H). [rad]"""
    h, v = np.meshgrid(np.radians(horizontal_deg), np.radians(vertical_deg))
    if kind == "B":
        h, v = type_b_to_a(h, v)
    elif kind == "C":
        h, v = type_c_to_a(h, v)
    return off_axis(h, v)


def grid_of(kind: str, step: float) -> tuple[Floats, Floats]:
    """Angles that hold at least the half space in front. [deg]"""
    if kind == "C":
        return angles(0, 180, step), angles(0, 360, 30)
    return angles(-90, 90, step), angles(-90, 90, step)


def rows_of(values: Floats) -> str:
    """One line a plane, as the format lists them."""
    return "\n".join(" ".join(f"{value:.9g}" for value in plane) for plane in values.T)


def ies_text(
    kind: str,
    vertical_deg: Sequence[float] | Floats,
    horizontal_deg: Sequence[float] | Floats,
    candela: Floats,
    *,
    first: str = "IESNA:LM-63-2002\n",
    keywords: str = "[TEST] invented 1\n[MANUFAC] nobody\n",
    tilt: str = "TILT=NONE\n",
    lamps: str = "1 -1",
    multiplier: str = "1",
    units: int = 2,
    factors: str = "1 1 24",
) -> str:
    """A file after LM-63; candela of shape (V, H)."""
    v, h = (" ".join(f"{angle:g}" for angle in each) for each in (vertical_deg, horizontal_deg))
    counts = f"{len(vertical_deg)} {len(horizontal_deg)} {CODE_OF[kind]} {units} 0.1 0.05 0"
    return (
        f"{first}{keywords}{tilt}{lamps} {multiplier} {counts}\n{factors}\n{v}\n{h}\n{rows_of(np.asarray(candela))}\n"
    )


def ldt_text(
    gammas: Sequence[float] | Floats,
    planes: Sequence[float] | Floats,
    values: Floats,
    *,
    symmetry: int = 0,
    ratio: str = "100",
    factor: str = "1",
    tilt: str = "0",
    sets: Sequence[tuple[str, str]] = (("1", "1000"),),
    name: str = "invented",
) -> str:
    """A EULUMDAT file; values in cd/klm of shape (gammas, planes that are written)."""
    lines = [
        "nobody",
        "3",
        str(symmetry),
        str(len(planes)),
        "0",
        str(len(gammas)),
        "0",
        "1",
        name,
        "",
        "a.ldt",
        "today",
    ]
    lines += ["100", "50", "30", "90", "40", "0", "0", "0", "0", "100", ratio, factor, tilt, str(len(sets))]
    for lamps, lumens in sets:
        lines += [lamps, "LED", lumens, "4000", "1A", "10"]
    lines += ["0.5"] * 10
    lines += [f"{angle:g}" for angle in planes] + [f"{angle:g}" for angle in gammas]
    lines += [f"{value:.9g}" for value in np.asarray(values).T.ravel()]
    return "\n".join(lines) + "\n"


def csv_text(
    kind: str,
    vertical_deg: Sequence[float] | Floats,
    horizontal_deg: Sequence[float] | Floats,
    candela: Floats,
    *,
    more: str = "",
    separator: str = ",",
    intensity: str = "cd",
) -> str:
    """A candela table; candela of shape (V, H)."""
    head = [f"goniometer{separator}{kind}", f"angle{separator}deg", f"intensity{separator}{intensity}"]
    corner = "gamma/C" if kind == "C" else "V/H"
    rows = [separator.join([corner, *(f"{angle:g}" for angle in horizontal_deg)])]
    for angle, row in zip(vertical_deg, np.asarray(candela), strict=True):
        rows.append(separator.join([f"{angle:g}", *(f"{value:.9g}" for value in row)]))
    return "\n".join(head) + f"\n{more}" + "\n".join(rows) + "\n"


def read(text: str, ending: str = "ies") -> PhotometricFile:
    """As it would come from disk."""
    return read_photometric(text.encode("utf-8"), name=f"a.{ending}")


def codes(file: PhotometricFile) -> list[str]:
    """What its reader found odd."""
    return [each.code for each in file.oddities]


def lamp(kind: str, step: float, beam: Beam, **how: str) -> PhotometricFile:
    """A lamp of this beam, measured by type and step."""
    v, h = grid_of(kind, step)
    return read(ies_text(kind, v, h, beam(polar(kind, v, h)), **how))


SMALL_IES = ies_text("C", [0, 30, 60, 90], [0, 90, 180], np.outer([100.0, 80, 30, 0], [1.0, 0.9, 0.8]))
SMALL_LDT = ldt_text([0, 45, 90], [0, 90, 180, 270], np.outer([300.0, 200, 0], [1, 0.9, 0.8, 0.7]))
SMALL_CSV = csv_text("A", [-10, 0, 10], [-20, 0, 20], np.array([[1.0, 5, 1], [4, 90, 4], [1, 5, 1]]))
QUARTER = math.pi / 2
