"""How long do several things take that run turn by turn?"""

import gc
import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

FEWEST_ROUNDS = 5

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class Timed:
    """Every round of one contestant, and its last answer."""

    seconds: tuple[float, ...]
    answer: object

    @property
    def median_s(self) -> float:
        """The middle round. [s]"""
        return statistics.median(self.seconds)

    @property
    def spread_share(self) -> float:
        """Slowest less fastest round, as a share of the middle one."""
        return (max(self.seconds) - min(self.seconds)) / self.median_s if self.median_s else 0.0


def interleaved(
    contestants: Mapping[Key, Callable[[], object]],
    *,
    rounds_n: int,
    clock: Callable[[], float] = time.perf_counter,
) -> dict[Key, Timed]:
    """Run all contestants once to warm up, then `rounds_n` times turn by turn.

    The order is turned round every other round, so that nobody always runs on a warm or a throttled machine. The
    garbage collector waits while the clock runs.

    Parameters
    ----------
    contestants : name -> what to call.
    rounds_n : at least five; the median is worth nothing below.
    clock : seconds from anywhere. [s]

    Raises
    ------
    ValueError
        If fewer than five rounds are asked for.
    """
    if rounds_n < FEWEST_ROUNDS:
        raise ValueError(f"{rounds_n} rounds: a median needs at least {FEWEST_ROUNDS}")
    answers = {key: call() for key, call in contestants.items()}
    seconds: dict[Key, list[float]] = {key: [] for key in contestants}
    for number in range(rounds_n):
        order: Sequence[Key] = list(contestants)
        for key in order if number % 2 == 0 else reversed(order):
            seconds[key].append(_once(contestants[key], clock))
    return {key: Timed(tuple(seconds[key]), answers[key]) for key in contestants}


def _once(call: Callable[[], object], clock: Callable[[], float]) -> float:
    gc.collect()
    gc.disable()
    try:
        start_s = clock()
        call()
        return clock() - start_s
    finally:
        gc.enable()
