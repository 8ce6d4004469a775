"""Where do labels go along an edge, so that none touches its neighbour and each is near what it names?"""

from __future__ import annotations

from collections.abc import Sequence


def spread(wanted_mm: Sequence[float], *, gap_mm: float, low_mm: float, high_mm: float) -> tuple[float, ...]:
    """Places along a line, at least `gap_mm` apart, in the order of `wanted_mm`, each as near to its wish as can be.

    Labels that would touch are put side by side round the middle of their wishes (pool adjacent violators: the least
    sum of squared moves). Where more are wanted than the line holds, they share it evenly, closer than `gap_mm`.

    Parameters
    ----------
    wanted_mm : ascending. [mm]
    low_mm, high_mm : ends of the line. [mm]
    """
    count = len(wanted_mm)
    if not count:
        return ()
    gap = gap_mm if (count - 1) * gap_mm <= high_mm - low_mm else (high_mm - low_mm) / (count - 1)
    blocks: list[tuple[float, int]] = []
    for place, wish in enumerate(wanted_mm):
        middle, size = wish - place * gap, 1
        while blocks and blocks[-1][0] >= middle:
            before, before_n = blocks.pop()
            middle = (middle * size + before * before_n) / (size + before_n)
            size += before_n
        blocks.append((middle, size))
    most = high_mm - (count - 1) * gap
    level = [min(max(middle, low_mm), most) for middle, size in blocks for _ in range(size)]
    return tuple(base + place * gap for place, base in enumerate(level))
