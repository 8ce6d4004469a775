"""How many hours do the next vehicles take, if each is done faster than the one before?

Two conventions share one word and give different hours: which one is meant is always said.
"""

from __future__ import annotations

import math
from typing import Literal

Convention = Literal["unit", "average"]
"""unit: the n-th vehicle takes first x n^b. average: the first n take first x n^b each, on average."""

MOST_N = 100_000


def exponent(rate_share: float) -> float:
    """The exponent b of a learning rate: 80 % is -0.3219. [1]"""
    return math.log2(rate_share)


def hours(*, rate_share: float, first_s: float, from_n: int, to_n: int, convention: Convention) -> float:
    """Time of the vehicles number `from_n` to `to_n` together. [s]

    Parameters
    ----------
    rate_share : what is left of the time when the number doubles, above 0 to 1.
    from_n, to_n : 1 or more, at most `MOST_N`, in order.

    Notes
    -----
    b = log2(rate).  unit: sum of first x n^b.  average: first x (to^(1+b) - (from - 1)^(1+b)).

    References
    ----------
    .. [1] NASA TM X-64968 (1975), Guidelines for application of learning/cost improvement curves.
    """
    power = exponent(rate_share)
    if convention == "unit":
        return first_s * math.fsum(math.pow(number, power) for number in range(from_n, to_n + 1))
    before = math.pow(from_n - 1, 1.0 + power) if from_n > 1 else 0.0
    return first_s * (math.pow(to_n, 1.0 + power) - before)
