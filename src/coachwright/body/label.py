"""How much may be added before a light vehicle's load label has to be corrected?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, number_of, tables_in

DATA = "label.yaml"
POUND_KG = 0.45359237


@dataclass(frozen=True, slots=True)
class LabelRule:
    """The lesser of a share of the rating and a mass; for ratings up to most_gvwr_kg."""

    most_gvwr_kg: float
    share_of_gvwr: float
    most_kg: float
    cite: Cite


def label_limit_kg(gvwr_kg: float, *, rule: LabelRule) -> float:
    """Added mass above which the label is corrected. [kg]

    References
    ----------
    .. [1] 49 CFR 571.110 (72 FR 68442): the lesser of 1.5 % of the GVWR and 100 lb.
    """
    return min(rule.share_of_gvwr * gvwr_kg, rule.most_kg)


@cache
def label_rule() -> LabelRule:
    """The rule as it stands in the data."""
    table = tables_in("coachwright.body", DATA)
    return LabelRule(
        number_of(table["most-gvwr-lb"], DATA) * POUND_KG,
        number_of(table["share-of-gvwr"], DATA),
        number_of(table["most-lb"], DATA) * POUND_KG,
        cite_of(table, DATA),
    )
