"""What does a mount have to hold when the vehicle stops at once?"""

from __future__ import annotations

STANDARD_GRAVITY_M_S2 = 9.80665


def hold_load_n(mass_kg: float, *, peak_m_s2: float, factor: float = 1.0) -> float:
    """Force with which equipment pulls at its mount. [N]

    Parameters
    ----------
    peak_m_s2 : deceleration the job asks for. [m/s2]
    factor : 1.5 where a steady pull stands for a crash pulse [1]; 1.33 for what is taken off often [2].

    Notes
    -----
    F = m a x factor.

    References
    ----------
    .. [1] SAE J3043, quasi-static load, as summaries quote it.
    .. [2] 14 CFR 25.561.
    """
    return mass_kg * peak_m_s2 * factor
