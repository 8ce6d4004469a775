"""How much light gets through a pane, and how much does it throw back, at the angle at which it meets it?

Fresnel's reflection at both faces, all bounces between them counted, and the tint in the glass, both ways of polarised
light worked out apart. A film on the face takes the same share at every angle, as nearly as matters here. What doesn't
get through is thrown back like by a mirror, or stays in tint and film.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

WINDOW_INDEX = 1.52
"""Refractive index of soda-lime float glass, near enough for every window."""


@dataclass(frozen=True, slots=True)
class FaceReflectance:
    """Share one face throws back, for light polarised across (s) and in (p) the plane of incidence."""

    across: float
    within: float

    @property
    def mean(self) -> float:
        """Of unpolarised light."""
        return (self.across + self.within) / 2.0


def face_reflectance(angle_rad: float, *, index: float = WINDOW_INDEX) -> FaceReflectance:
    """Share of light one face of a pane in air throws back.

    Parameters
    ----------
    angle_rad : between the light and the pane's upright, 0 to a right angle. [rad]
    index : refractive index of the pane, more than 1.

    Notes
    -----
    R_s = ((cos i - n cos t) / (cos i + n cos t))^2,  R_p = ((n cos i - cos t) / (n cos i + cos t))^2,  sin i = n sin t.
    R_p is 0 at Brewster's angle, tan i = n.

    References
    ----------
    .. [1] Fresnel's equations, any textbook of optics.
    """
    outside, inside = _cosines(angle_rad, index)
    across = ((outside - index * inside) / (outside + index * inside)) ** 2
    within = ((index * outside - inside) / (index * outside + inside)) ** 2
    return FaceReflectance(across, within)


def clear_transmittance(angle_rad: float, *, index: float = WINDOW_INDEX) -> float:
    """Share of unpolarised light a pane without tint lets through, all bounces counted.

    Notes
    -----
    T = (1 - R) / (1 + R) for each polarisation, and the mean of the two.
    """
    face = face_reflectance(angle_rad, index=index)
    return sum((1.0 - share) / (1.0 + share) for share in (face.across, face.within)) / 2.0


def tinted_transmittance(
    angle_rad: float, *, at_normal: float, film_share: float = 1.0, index: float = WINDOW_INDEX
) -> float:
    """Share of unpolarised light a pane tinted through its thickness lets through, with a film on it.

    Parameters
    ----------
    at_normal : share the glass lets through straight on, as the trade marks it; more than 0, at most clear glass's.
    film_share : of a film on its face, 1 for none. A film is thin: light bends in it as in the glass and goes through
        nearly the same way at every angle, so its share is taken as it is.

    Notes
    -----
    T = f (1 - R)^2 u / (1 - R^2 u^2)  with the inner share  u = tau^(1 / cos t),  mean of both polarisations; tau is
    what gives `at_normal` straight on without the film, f the film's share.

    Raises
    ------
    ValueError : when `at_normal` is more than the two faces alone would let through; when the film's share is none.
    """
    face, path = face_reflectance(angle_rad, index=index), _path_share(angle_rad, at_normal, index)
    return (
        _film(film_share)
        * sum(
            (1.0 - share) ** 2 * path / (1.0 - (share * path) ** 2) if share < 1.0 else 0.0
            for share in (face.across, face.within)
        )
        / 2.0
    )


def tinted_transmittances(
    cosines: Floats, *, at_normal: float, film_share: float = 1.0, index: float = WINDOW_INDEX
) -> Floats:
    """`tinted_transmittance` for many directions at once.

    Parameters
    ----------
    cosines : of the angles between the light and the pane's upright, each more than 0.
    """
    inside = np.sqrt(1.0 - (1.0 - cosines**2) / index**2)
    path = _inner_share(at_normal, index=index) ** (1.0 / inside)
    across = ((cosines - index * inside) / (cosines + index * inside)) ** 2
    within = ((index * cosines - inside) / (index * cosines + inside)) ** 2
    both = ((1.0 - share) ** 2 * path / (1.0 - (share * path) ** 2) for share in (across, within))
    return np.asarray(_film(film_share) * sum(both) / 2.0, dtype=np.float64)


def pane_reflectance(
    angle_rad: float, *, at_normal: float, film_share: float = 1.0, index: float = WINDOW_INDEX
) -> float:
    """Share of unpolarised light a pane throws back like a mirror, both faces, all bounces; alike from either side.

    Parameters
    ----------
    at_normal, film_share : as of `tinted_transmittance`. A film that is a mirror by itself throws back more.

    Notes
    -----
    rho = R + R (1 - R)^2 w^2 / (1 - R^2 w^2)  with  w = f u:  what comes back from the far face has gone through tint
    and film twice. Mean of both polarisations.
    """
    face = face_reflectance(angle_rad, index=index)
    path = _film(film_share) * _path_share(angle_rad, at_normal, index)
    return (
        sum(
            share + share * (1.0 - share) ** 2 * path**2 / (1.0 - (share * path) ** 2) if share < 1.0 else 1.0
            for share in (face.across, face.within)
        )
        / 2.0
    )


def _path_share(angle_rad: float, at_normal: float, index: float) -> float:
    """What the tint alone lets through along one way through the glass."""
    _, inside = _cosines(angle_rad, index)
    return float(_inner_share(at_normal, index=index) ** (1.0 / inside))


def _film(share: float) -> float:
    if not 0.0 < share <= 1.0:
        raise ValueError(f"a film lets through more than nothing and at most all, here {100 * share:.4g} %")
    return share


def _inner_share(at_normal: float, *, index: float) -> float:
    """What the tint alone lets through, straight on: the formula above solved for tau."""
    most = clear_transmittance(0.0, index=index)
    if not 0.0 < at_normal <= most * (1.0 + 1e-9):
        raise ValueError(
            f"clear glass of index {index:g} lets {100 * most:.1f} % through straight on, "
            f"so tinted glass can't let {100 * at_normal:.4g} % through"
        )
    reflected = face_reflectance(0.0, index=index).mean
    entering = (1.0 - reflected) ** 2
    return min(1.0, 2.0 * at_normal / (entering + math.sqrt(entering**2 + (2.0 * at_normal * reflected) ** 2)))


def _cosines(angle_rad: float, index: float) -> tuple[float, float]:
    """Of the angles outside and inside the pane."""
    if not 0.0 <= angle_rad <= math.pi / 2.0:
        raise ValueError(f"light meets a pane at 0 to 90 degrees, here {math.degrees(angle_rad):g}")
    if not 1.0 < index < math.inf:
        raise ValueError(f"a pane's refractive index is more than 1, here {index:g}")
    outside = math.cos(angle_rad) if angle_rad < math.pi / 2.0 else 0.0
    return outside, math.sqrt(1.0 - (math.sin(angle_rad) / index) ** 2)
