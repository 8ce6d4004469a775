"""What does a photometric file say: its candela, what it declares about itself, and what is odd in it?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwright.parts.candela import Floats
from coachwright.parts.photometric_table import PhotometricTable
from coachwright.parts.photometric_text import Oddity, PhotometryWrong

NOISE_SHARE = 1e-3
"""A photometer that looks at nothing may read so much of the peak below nothing."""

Declared = Literal["lamps", "through the lens", ""]


@dataclass(frozen=True, slots=True, weakref_slot=True)
class PhotometricFile:
    """One file that was read whole.

    Parameters
    ----------
    layout : which it follows, as it names itself (``LM-63-2002``, ``EULUMDAT``, ``candela table``).
    table : candela, all multipliers applied.
    declared_lm : lumens the file states, None where it states none (absolute photometry). [lm]
    declared_of : what these lumens are of: the bare ``lamps``, or the light ``through the lens``.
    output_share : share of the lamps' lumens that comes out, as the file states it; None where it doesn't.
    lamps_n : number of lamps. power_w : input power, 0 where none is given. [W]
    keywords : (name, text) pairs in the order of the file.
    size_m : width, length and height of the luminous opening as written, in metres; below 0 it is round.
    oddities : what was read although it is odd.
    """

    layout: str
    table: PhotometricTable
    declared_lm: float | None
    declared_of: Declared
    output_share: float | None = None
    lamps_n: float = 1.0
    power_w: float = 0.0
    keywords: tuple[tuple[str, str], ...] = ()
    size_m: tuple[float, float, float] = (0.0, 0.0, 0.0)
    oddities: tuple[Oddity, ...] = ()


def dark_where_below_nothing(candela_cd: Floats, at: tuple[int, int], oddities: list[Oddity]) -> Floats:
    """Candela with the noise of a photometer in the dark taken out.

    Raises
    ------
    PhotometryWrong : values far below nothing, or no light at all.
    """
    peak, lowest = float(candela_cd.max()), float(candela_cd.min())
    if peak <= 0.0:
        raise PhotometryWrong(
            "PRT-089", "candela-not-possible", "No direction has any light.", at=at, write="Ask for the file again."
        )
    if lowest >= 0.0:
        return candela_cd
    if -lowest > NOISE_SHARE * peak:
        raise PhotometryWrong(
            "PRT-089",
            "candela-not-possible",
            f"There are candela below nothing, down to {lowest:g}.",
            at=at,
            write="Compare with the report; a count of angles may be wrong.",
        )
    why = f"Candela a little below nothing (down to {lowest:g}) are read as dark."
    oddities.append(Oddity("PRT-094", "candela-below-nothing", why, *at))
    return np.maximum(candela_cd, 0.0)
