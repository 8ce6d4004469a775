"""What should be read on the bench, and between which limits? Candela of each lamp, amperes of each situation, volts.

A lamp is measured along its axis in the situation in which it can be measured best. Its limit is the least that a rule
of the build's packs asks of it there; where none does, what a sound part may be from its sheet.

See Also
--------
coachwright.control.bench_fields : the fields, their instruments, pass and fail. coachwright.proof.bench_supply : volts
and amperes. coachwright.proof.bench_figures : the figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from coachwright.build.model import Model
from coachwright.control.bench_fields import FAR_TIMES, Expected, lamps_of
from coachwright.kit.geom import Vector
from coachwright.kit.measure import Measure
from coachwright.kit.wave import Wave, repeat_together, total
from coachwright.light.far_field import candela_toward
from coachwright.light.lit import Glow, glows
from coachwright.parts.schema import LampPart
from coachwright.proof.bench_figures import figures
from coachwright.proof.bench_supply import electrical, packs_of
from coachwright.proof.gather import gather
from coachwright.proof.judge import case_of
from coachwright.proof.rooms import rooms
from coachwright.rules.schema import Pack, Rule

_BY_HEAD = ("light.peak", "light.lamp-intensity")


def expected_on_bench(model: Model, *, folder: Path | None = None) -> Mapping[str, Expected]:
    """Per name of a field, what is expected. folder : where the build lies, with packs of its own."""
    found = electrical(model, folder=folder)
    limits = _limits(model, folder)
    for lamp in lamps_of(model):
        expected = lamp_light(model, lamp, limits)
        if expected is not None:
            found[f"light {lamp}"] = expected
    return {name: each for name, each in found.items() if each != Expected()}


# ------------------------------------------------------------------------------------------------------------- light
@dataclass(frozen=True, slots=True)
class _Setting:
    """A lamp in one situation, one colour. candela : toward the meter, at its brightest instant. [cd]"""

    situation: str
    colour: str
    candela_cd: float
    steady: bool
    glows: tuple[Glow, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """The least that a rule asks of a head along its axis in a situation. [cd]"""

    code: str
    pack: str
    lamp: str
    colour: str
    situation: str
    low_cd: float


def lamp_light(model: Model, lamp: str, asked: Sequence[Asked] = ()) -> Expected | None:
    """What a luxmeter on the axis of a lamp should read; None where it burns nowhere with known figures."""
    known, heads = figures(), lamps_of(model)[lamp]
    settings = [each for situation in model.situations for each in _settings(model, situation.name, lamp)]
    if not settings:
        return None
    distance_m = _distance_m(model, lamp)
    bright = [each for each in settings if each.candela_cd / distance_m**2 >= known.least_lx]
    best = max(bright or settings, key=lambda each: (each.steady and bool(bright), each.candela_cd))
    reading_lx = best.candela_cd / distance_m**2
    rule = None
    if len(heads) == 1:  # rules ask of each head; of several together they don't speak
        fitting = [
            each
            for each in asked
            if (each.lamp, each.colour, each.situation) == (heads[0].lamp, best.colour, best.situation)
            and each.low_cd <= best.candela_cd
        ]
        rule = max(fitting, key=lambda each: each.low_cd, default=None)
    least_cd = rule.low_cd if rule is not None else best.candela_cd * (1 - known.light_share)
    by = f"{rule.code} of {rule.pack}" if rule is not None else _scatter_words()
    return Expected(
        best.candela_cd,
        least_cd,
        None,
        by,
        how=tuple(_how(best)),
        notes=(f"too dim for an ordinary luxmeter: {reading_lx:.2g} lx",) if not bright else (),
        distance_m=distance_m,
        reading_lx=reading_lx,
        dark_most_lx=known.background_share * reading_lx,
        situation=best.situation,
        colour=best.colour,
    )


def _scatter_words() -> str:
    return f"{100 * figures().light_share:g} % under the sheet, {figures().scatter_cite.source.partition(';')[0]}"


def _settings(model: Model, situation: str, lamp: str) -> Iterable[_Setting]:
    """Each colour of a lamp that burns in a situation, toward a meter on the lamp's axis."""
    ours = [each for each in glows(model, situation) if each.lamp == lamp]
    for colour in dict.fromkeys(each.part.colour for each in ours):
        chosen = tuple(each for each in ours if each.part.colour == colour)
        axis = _axis(chosen)
        scaled = [each.part.wave.scale(candela_toward(each.emitter, axis)) for each in chosen]
        candela_cd = together_peak(scaled)
        if candela_cd > 0:
            yield _Setting(situation, colour, candela_cd, all(each.part.wave.is_constant for each in chosen), chosen)


def _axis(chosen: Sequence[Glow]) -> Vector:
    """Where a lamp looks: midway between its heads."""
    sums = [math.fsum(each.emitter.forward[place] for each in chosen) for place in range(3)]
    length = math.hypot(*sums)
    return (sums[0] / length, sums[1] / length, sums[2] / length) if length > 1e-9 else chosen[0].emitter.forward


def together_peak(parts: Sequence[Wave]) -> float:
    """The most that waves reach together; where their clocks run apart their peaks meet sooner or later."""
    if repeat_together(*parts):
        return total(parts).peak()
    return math.fsum(each.peak() for each in parts)


def _distance_m(model: Model, lamp: str) -> float:
    """The first usual distance from which on the lamp counts as a point."""
    part = model.part(lamps_of(model)[lamp][0].part)
    size_m = max(part.width, part.height) if isinstance(part, LampPart) else 0.0
    known = figures().distances_m
    return next((each for each in known if each >= FAR_TIMES * size_m), math.ceil(FAR_TIMES * size_m))


def _how(best: _Setting) -> Iterable[str]:
    yield "steady" if best.steady else "flashing"
    if len({each.test_voltage_v for each in best.glows}) == 1:
        yield f"{best.glows[0].test_voltage_v:g} V at the lamp"


def _limits(model: Model, folder: Path | None) -> list[Asked]:
    """What rules of the build's packs ask of single heads along their axis."""
    packs = packs_of(model, folder)
    asking = [pack.model_copy(update={"rules": tuple(filter(_asks_axis, pack.rules))}) for pack in packs]
    answers = gather(model, asking, rooms()).answers
    return [
        found
        for pack in asking
        for rule in pack.rules
        for question, answer in answers.items()
        if question.measure == rule.measure
        for measure in answer.measures
        if (found := _asked(pack, rule, measure)) is not None
    ]


def _asks_axis(rule: Rule) -> bool:
    """Does it ask a least intensity of a head straight ahead? A figure that nobody checked turns no reading green."""
    straight = all(str(value).split()[0] in ("0", "0.0") for value in rule.with_.values())
    draft = getattr(rule.cite, "status", "") == "draft"
    return rule.measure in _BY_HEAD and straight and not draft and math.isfinite(rule.limit.low)


def _asked(pack: Pack, rule: Rule, measure: Measure) -> Asked | None:
    case = case_of(rule, measure)
    if case is None or case.stands == "not-measured":
        return None
    lamp, colour = str(measure.facts.get("lamp", "")), str(measure.facts.get("colour", ""))
    return Asked(rule.code, pack.pack, lamp, colour, measure.situation, rule.limit.low)
