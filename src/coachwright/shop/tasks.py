"""Which tasks decide when a job is done, and how likely is it done by a day?"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

MOST_TASKS = 500

_TASK = re.compile(r"\s*([A-Za-z0-9_-]{1,20})\s*(?:\(([^()]*)\))?\s+(.+)")


class TasksUnclear(ValueError):
    """Tasks that make no plan. Says which and what to write."""


@dataclass(frozen=True, slots=True)
class Task:
    """One task: shortest, likely and longest time, in any one unit of time."""

    name: str
    after: tuple[str, ...]
    shortest: float
    likely: float
    longest: float

    @property
    def mean(self) -> float:
        """(a + 4 m + b) / 6."""
        return (self.shortest + 4.0 * self.likely + self.longest) / 6.0

    @property
    def variance(self) -> float:
        """((b - a) / 6)^2."""
        return ((self.longest - self.shortest) / 6.0) ** 2


@dataclass(frozen=True, slots=True)
class Network:
    """Of the whole job: mean duration, the path that makes it, and the variance along that path."""

    duration: float
    critical: tuple[str, ...]
    variance: float


def read_tasks(text: str) -> tuple[Task, ...]:
    """Tasks written ``A 2 5 6; C(A) 4 6 10; D(A,B) 3``: name, after which others, shortest, likely, longest time.

    Raises
    ------
    TasksUnclear : with the task and what to write.
    """
    tasks = tuple(_read(piece) for piece in text.split(";") if piece.strip())
    if not tasks or len(tasks) > MOST_TASKS:
        raise TasksUnclear(f"here are {len(tasks)} tasks. Write 1 to {MOST_TASKS}, like A 2 5 6; C(A) 4 6 10.")
    names = {task.name for task in tasks}
    if len(names) < len(tasks):
        raise TasksUnclear("a task is written twice. Give each its own name.")
    for task in tasks:
        for other in task.after:
            if other not in names:
                raise TasksUnclear(
                    f"{task.name} comes after {other[:20]}, which isn't here. Write it, or leave it out."
                )
    return tasks


def critical_path(tasks: Sequence[Task]) -> Network:
    """Mean duration of the job, the tasks that make it, and their variance.

    Notes
    -----
    Forward pass over mean times. Of paths equally long the one with the larger variance counts. Other paths, almost as
    long, make the real chance smaller than the critical path says.

    Raises
    ------
    TasksUnclear : tasks wait for each other in a circle.

    References
    ----------
    .. [1] D. G. Malcolm et al., Application of a technique for research and development program evaluation, Operations
       Research 7 (1959).
    """
    done: dict[str, tuple[float, float, tuple[str, ...]]] = {}
    waiting = list(tasks)
    while waiting:
        ready = [task for task in waiting if all(other in done for other in task.after)]
        if not ready:
            raise TasksUnclear(f"{waiting[0].name} waits for itself over others. Break the circle.")
        for task in ready:
            before = max((done[other] for other in task.after), key=lambda each: each[:2], default=(0.0, 0.0, ()))
            done[task.name] = (before[0] + task.mean, before[1] + task.variance, (*before[2], task.name))
        waiting = [task for task in waiting if task.name not in done]
    duration, variance, path = max(done.values(), key=lambda each: each[:2])
    return Network(duration, path, variance)


def done_by(network: Network, *, time: float) -> float:
    """Probability that the critical path is done by a time: normal law of its mean and variance. [1]"""
    spread = math.sqrt(network.variance)
    if spread == 0.0:
        return 1.0 if time >= network.duration else 0.0
    return 0.5 * math.erfc((network.duration - time) / (spread * math.sqrt(2.0)))


def _read(piece: str) -> Task:
    told = " ".join(piece.split())[:40]
    found = _TASK.fullmatch(piece)
    times: list[float] = []
    if found is not None:
        try:
            times = [float(word) for word in found.group(3).split()]
        except ValueError:
            times = []
    if found is None or len(times) not in (1, 3):
        raise TasksUnclear(
            f"{told!r} is no task. Write a name, what it comes after, and times: C(A) 4 6 10, or C(A) 6."
        )
    shortest, likely, longest = times * 3 if len(times) == 1 else times
    if not 0.0 <= shortest <= likely <= longest <= 1e9:
        raise TasksUnclear(f"{told!r}: the times run from shortest over likely to longest. Write them so: 4 6 10.")
    after = tuple(name.strip() for name in (found.group(2) or "").split(",") if name.strip())
    return Task(found.group(1), after, shortest, likely, longest)
