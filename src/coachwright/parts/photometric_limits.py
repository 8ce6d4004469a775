"""How far may what a photometric file declares lie from the sum of its candela? Figures in photometry.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, number_of, table_of, tables_in


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Shares, 0.05 for five in a hundred.

    stated_output_share : lumens through the lens as stated. gain_share : beyond all light of the lamps.
    least_output_share : of the lamps' light. part_flux_share : a part's own flux.
    """

    stated_output_share: float
    gain_share: float
    least_output_share: float
    part_flux_share: float
    cite: Cite


@cache
def tolerances() -> Tolerances:
    """As the data file says."""
    table = table_of(tables_in("coachwright.parts", "photometry.yaml").get("tolerances", ""), "photometry.yaml")
    stated, gain, least, part = (
        number_of(table.get(name, ""), f"photometry.yaml, {name}")
        for name in ("stated-output", "gain", "least-output", "part-flux")
    )
    return Tolerances(stated, gain, least, part, cite_of(table, "photometry.yaml"))
