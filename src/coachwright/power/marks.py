"""What is printed on each wire, so that whoever opens the vehicle in ten years knows what it does?

A mark is a number and words: ``104 grille left``, ``104 grille left return``. All wires of one thing have its number,
and no two wires have one mark. Lamps are counted from 101, equipment from 301, feeds and cables of batteries from 501,
what the controller reads from 701, circuits of the vehicle from 901.

A number that was given out stays: what is handed over as kept keeps its number, and new things take the first free one.

References
----------
.. [1] KKK-A-1822, wire marking by function and number, as read from the E edition's pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from coachwright.power.runs import Run

FIRST = {"lamps": 101, "equipment": 301, "feeds": 501, "vehicle": 501, "controls": 701, "signals": 701}
"""From which number each kind of subject is counted."""
FIRST_ELSE = 901


@dataclass(frozen=True, slots=True)
class Mark:
    """Print of one wire. number : of the thing it belongs to. words : what the thing is called, and what it does."""

    number: int
    words: str

    @property
    def text(self) -> str:
        return f"{self.number} {self.words}"


def numbers_of(subjects: Iterable[str], *, kept: Mapping[str, int] | None = None) -> dict[str, int]:
    """A number for each subject.

    Parameters
    ----------
    subjects : in the order in which new ones are counted.
    kept : numbers given out before; those of subjects that are gone stay taken.
    """
    found: dict[str, int] = {}
    taken = set((kept or {}).values())
    for subject in dict.fromkeys(subjects):
        if kept and subject in kept:
            found[subject] = kept[subject]
            continue
        number = next(each for each in count(FIRST.get(subject.partition(".")[0], FIRST_ELSE)) if each not in taken)
        taken.add(number)
        found[subject] = number
    return found


def marks_of(runs: Sequence[Run], *, kept: Mapping[str, int] | None = None) -> dict[str, tuple[Mark, ...]]:
    """The marks of each run by its name, one for each conductor."""
    numbers = numbers_of((run.subject for run in runs), kept=kept)
    return {run.name: tuple(_marks(run, numbers[run.subject])) for run in runs}


def _marks(run: Run, number: int) -> Iterable[Mark]:
    words = _words(run)
    if run.conductors_n == 1:
        yield Mark(number, words)
        return
    for place in range(1, run.conductors_n + 1):
        yield Mark(number, f"{words}, {place} of {run.conductors_n}")


def _words(run: Run) -> str:
    thing = run.subject.partition(".")[2].replace(".", " ").replace("-", " ")
    does = "" if run.goes in ("supply", "cable") else f" {run.goes.replace('.', ' ').replace('-', ' ')}"
    if run.goes.startswith("supply "):
        does = f" channel {run.channel or run.goes.split()[-1]}"
    return f"{thing}{does}"
