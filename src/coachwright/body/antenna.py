"""How far from an antenna must people stay, and what does the cable leave of the power?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, number_of, numbers_of, table_of, tables_in
from coachwright.kit.nodes import Plain

EXPOSURE_DATA = "rf_exposure.yaml"
COAX_DATA = "coax.yaml"
_MW_CM2_W_M2 = 10.0
_HUNDRED_FEET_M = 30.48


class NoFigure(LookupError):
    """The table has nothing for this frequency or cable. Says what it has."""


@dataclass(frozen=True, slots=True)
class ExposureLimit:
    """limit_w_m2 : power density people may be in, averaged over averaging_s."""

    limit_w_m2: float
    averaging_s: float
    cite: Cite


@dataclass(frozen=True, slots=True)
class CoaxLoss:
    """loss_db : of the run. between : whether it lies between two tabulated frequencies."""

    loss_db: float
    between: bool
    cite: Cite


def exposure_limit(frequency_hz: float, *, public: bool) -> ExposureLimit:
    """Power density people may be in, far from the antenna.

    Raises
    ------
    NoFigure : outside 30 MHz to 100 GHz.

    References
    ----------
    .. [1] 47 CFR 1.1310, Table 1.
    """
    table = tables_in("coachwright.body", EXPOSURE_DATA)
    frequency_mhz = frequency_hz / 1e6
    who = table_of(table["public" if public else "workers"], EXPOSURE_DATA)
    rows = [numbers_of(row, EXPOSURE_DATA) for row in _list(who["rows"])]
    if not number_of(table["least-mhz"], EXPOSURE_DATA) <= frequency_mhz <= rows[-1]["most-mhz"]:
        raise NoFigure(f"{frequency_mhz:.6g} MHz: figures are kept from 30 MHz to 100 GHz. Write a frequency between.")
    row = next(row for row in rows if frequency_mhz <= row["most-mhz"])
    mw_cm2 = row["mw-cm2"] if "mw-cm2" in row else frequency_mhz / row["divided-by"]
    averaging_s = 60.0 * number_of(who["averaging-min"], EXPOSURE_DATA)
    return ExposureLimit(mw_cm2 * _MW_CM2_W_M2, averaging_s, cite_of(table, EXPOSURE_DATA))


def exposure_distance_m(*, power_w: float, gain_db: float, limit_w_m2: float, duty_share: float = 1.0) -> float:
    """Distance at which an antenna in the open gives this power density. [m]

    Parameters
    ----------
    power_w : at the antenna. gain_db : over an isotropic antenna (dBi).
    duty_share : of the averaging time in which it sends.

    Notes
    -----
    S = EIRP / (4 pi R^2),  EIRP = P 10^(gain / 10).  Ground or a metal roof can reflect and raise it.

    References
    ----------
    .. [1] FCC OET Bulletin 65, equation for the far field.
    """
    return math.sqrt(power_w * duty_share * math.pow(10.0, gain_db / 10.0) / (4.0 * math.pi * limit_w_m2))


def coax_loss(cable: str, *, length_m: float, frequency_hz: float) -> CoaxLoss:
    """Loss of a run of coaxial cable.

    Notes
    -----
    Between two tabulated frequencies the loss runs straight on a log-log scale; beyond them nothing is guessed.

    Raises
    ------
    NoFigure : no such cable, or a frequency outside its row.
    """
    table = tables_in("coachwright.body", COAX_DATA)
    cables = table_of(table["loss-db-per-100ft"], COAX_DATA)
    if cable not in cables:
        raise NoFigure(f"{cable[:40]!r}: no such cable. Write one of {', '.join(cables)}.")
    points = [(float(mhz), loss) for mhz, loss in numbers_of(cables[cable], COAX_DATA).items()]
    frequency_mhz = frequency_hz / 1e6
    cite = cite_of(table, COAX_DATA)
    for mhz, loss in points:
        if abs(frequency_mhz / mhz - 1.0) < 1e-9:
            return CoaxLoss(loss * length_m / _HUNDRED_FEET_M, False, cite)
    for (low, low_loss), (high, high_loss) in pairwise(points):
        if low < frequency_mhz < high:
            along = math.log(frequency_mhz / low) / math.log(high / low)
            loss = low_loss * math.pow(high_loss / low_loss, along)
            return CoaxLoss(loss * length_m / _HUNDRED_FEET_M, True, cite)
    raise NoFigure(
        f"{frequency_mhz:.6g} MHz: {cable} is tabulated from {points[0][0]:g} to {points[-1][0]:g} MHz. "
        "Write a frequency between."
    )


def delivered_w(power_w: float, *, loss_db: float) -> float:
    """Power behind a loss. [W]"""
    return power_w * math.pow(10.0, -loss_db / 10.0)


def _list(plain: Plain) -> list[Plain]:
    if not isinstance(plain, list):
        raise DataWrong(f"{EXPOSURE_DATA}: a list of rows belongs here.")
    return plain
