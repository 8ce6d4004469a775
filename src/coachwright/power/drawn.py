"""What do loads draw together at the lowest supply, in any situation of a build, and if they are on in none?

What a load draws at its test voltage is turned to the lowest supply: constant power then takes more, a resistance less.
A load that is on in no situation of the build can still be on: it counts as on, at its most, in every one.

See Also
--------
coachwright.power.loads : at the test voltage. coachwright.power.circuits : who asks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.wave import Wave, repeat_together, total
from coachwright.power.loads import Load, clock_of, currents, load_by_subject, loads_of
from coachwright.power.sizing_figures import sizing_figures
from coachwright.power.summed import Summed, summed

_OFF_A = 1e-9


def lowest_factor(load: Load, lowest_v: float) -> float:
    """What a load takes at the lowest supply, over what it takes at its test voltage.

    Below what it works at nothing is promised; it counts as at its least.
    """
    at_v = max(lowest_v, load.least_voltage_v)
    match load.behaves:
        case "power":
            return load.test_voltage_v / at_v
        case "resistance":
            return at_v / load.test_voltage_v
        case _:
            return 1.0


@by_digest
def drawn(model: Model, subjects: tuple[str, ...]) -> Summed:
    """The most of each that loads draw together, over all situations, at the lowest supply. [A]"""
    sums = [_sum(model, subjects, situation) for situation in _situations(model)]
    return Summed(
        max(each.mean_a for each in sums),
        max(each.rms_a for each in sums),
        max(each.peak_a for each in sums),
        exact=all(each.exact for each in sums),
    )


@by_digest
def drawn_in(model: Model, subjects: tuple[str, ...], situation: str) -> Summed:
    """What loads draw together in one situation, at the lowest supply. [A]"""
    return _sum(model, subjects, situation)


@by_digest
def waves_of(model: Model, subjects: tuple[str, ...]) -> tuple[Wave, ...]:
    """What a fuse before these loads sees, one wave for each situation. [A]

    Where clocks run apart: the burst of the load that swings most, over the heat of the rest.
    """
    return tuple(dict.fromkeys(_wave(model, subjects, situation) for situation in _situations(model)))


@by_digest
def hours_a(model: Model, subjects: tuple[str, ...]) -> float:
    """Mean of what is on for hours, in the worst situation, at the lowest supply. [A]"""
    known = load_by_subject(model)
    lasting = tuple(subject for subject in subjects if subject in known and known[subject].continuous)
    return drawn(model, lasting).mean_a if lasting else 0.0


def never_on(model: Model, subject: str) -> bool:
    """Does a load draw no more than its standby in every situation of the build?"""
    load = load_by_subject(model)[subject]
    return all(
        currents(model, situation=situation.name).get(subject, _NOTHING).peak() <= load.standby_a + _OFF_A
        for situation in model.situations
    )


_NOTHING = Wave.constant(0.0)


def _situations(model: Model) -> tuple[str, ...]:
    """Names of all; one without a name where the build has none."""
    return tuple(situation.name for situation in model.situations) or ("",)


def _sum(model: Model, subjects: tuple[str, ...], situation: str) -> Summed:
    found: dict[str, list[Wave]] = {}
    for clock, wave in _waves(model, subjects, situation):
        found.setdefault(clock, []).append(wave)
    return summed({clock: tuple(each) for clock, each in found.items()})


def _wave(model: Model, subjects: tuple[str, ...], situation: str) -> Wave:
    waves = [wave for _, wave in _waves(model, subjects, situation)]
    if not waves or repeat_together(*waves):
        return total(waves)
    whole = _sum(model, subjects, situation)
    loudest = max(waves, key=lambda each: each.peak() - each.mean())
    rest_a = math.sqrt(max(0.0, whole.rms_a**2 - loudest.rms() ** 2))
    return loudest.add(Wave.constant(max(0.0, rest_a - loudest.mean())))


def _waves(model: Model, subjects: tuple[str, ...], situation: str) -> Iterator[tuple[str, Wave]]:
    known, lowest_v = load_by_subject(model), sizing_figures().lowest_v
    at_test = currents(model, situation=situation) if situation else {}
    for subject in subjects:
        if subject not in known:
            continue
        load = known[subject]
        idle = subject in _idle(model)
        wave = Wave.constant(load.most_a) if idle else at_test.get(subject, _NOTHING)
        yield clock_of(model, subject), wave.scale(lowest_factor(load, lowest_v))


@by_digest
def _idle(model: Model) -> frozenset[str]:
    return frozenset(load.subject for load in loads_of(model) if never_on(model, load.subject))
