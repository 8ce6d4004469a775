"""How much of a day's permitted noise has somebody had?

The rules are data (exposure.yaml) with source and status; whether a dose is too much a rule pack says.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in

DATA = "exposure.yaml"


@dataclass(frozen=True, slots=True)
class ExposureRule:
    """criterion_dba may last reference_s; each exchange_db more halves the time."""

    name: str
    title: str
    criterion_dba: float
    exchange_db: float
    reference_s: float
    cite: Cite


@dataclass(frozen=True, slots=True)
class Dose:
    """What one day held.

    share : of what it may hold, 1 is all of it.
    average_dba : steady level of the reference time that does the same; minus infinity for no noise.
    """

    share: float
    average_dba: float


def permitted_time_s(level_dba: float, *, rule: ExposureRule) -> float:
    """How long a level may last. [s]

    Notes
    -----
    T = reference / 2^((L - criterion) / exchange).
    """
    return rule.reference_s * math.pow(2.0, (rule.criterion_dba - level_dba) / rule.exchange_db)


def noise_dose(exposures: Sequence[tuple[float, float]], *, rule: ExposureRule) -> Dose:
    """Dose of one day.

    Parameters
    ----------
    exposures : time and level of each stretch. [s, dBA]

    Notes
    -----
    D = sum(C / T);  average = criterion + exchange / log10(2) x log10(D):  16.61 log10(D) + 90 for OSHA.
    Every stretch counts, also one below the threshold at which a rule begins to count.

    References
    ----------
    .. [1] 29 CFR 1910.95, appendix A.
    .. [2] NIOSH 98-126.
    """
    share = sum(time_s / permitted_time_s(level_dba, rule=rule) for time_s, level_dba in exposures)
    if share <= 0.0:
        return Dose(0.0, -math.inf)
    return Dose(share, rule.criterion_dba + rule.exchange_db * math.log2(share))


@cache
def exposure_rules() -> dict[str, ExposureRule]:
    """Every rule by name."""
    rules = {}
    for name, entry in table_of(tables_in("coachwright.sound", DATA)["rules"], DATA).items():
        what = f"{DATA}, {name}"
        table = table_of(entry, what)
        rules[name] = ExposureRule(
            name,
            named(entry, "title", what),
            number_of(table["criterion-dba"], what),
            number_of(table["exchange-db"], what),
            number_of(table["reference-h"], what) * 3600.0,
            cite_of(entry, what),
        )
    return rules
