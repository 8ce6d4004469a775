"""How likely does a lot with bad pieces in it pass a sample?

For functions that keep people safe every piece is tested; this says what a sample would miss.
"""

from __future__ import annotations

import math


def accept_probability(*, lot_n: int, bad_n: int, sample_n: int, accept_n: int) -> float:
    """Probability that a sample holds no more bad pieces than are accepted. [1]

    Parameters
    ----------
    lot_n : pieces; bad_n and sample_n : of them. accept_n : bad pieces in the sample at which the lot still passes.

    Notes
    -----
    sum over k <= accept of  C(bad, k) C(lot - bad, sample - k) / C(lot, sample)   (hypergeometric).
    """
    ways = sum(
        math.comb(bad_n, found) * math.comb(lot_n - bad_n, sample_n - found)
        for found in range(min(accept_n, bad_n, sample_n) + 1)
    )
    return ways / math.comb(lot_n, sample_n)
