"""Of the vehicles that are built, how many keep each rule of warning light, where do the rest fail, and why?

A rule of the packs that asks for optical power or for gaps is turned into targets (light.pass_share), in the same
situations, zones and levels in which it judges the drawing; thousands of vehicles are then drawn by lot and held
against all of them at once. Other rules about light are named as not drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.kit.measure import Measure
from coachwright.light.pass_share import Asked, Progress, Sampled, Target, WeakPoint, sampled
from coachwright.light.tolerances import Tolerances, tolerances
from coachwright.light.zones import LEVELS, Level, heights
from coachwright.place.zones import ZONES
from coachwright.proof.judge import Judgement
from coachwright.proof.rooms import rooms
from coachwright.proof.verdict import Verdict
from coachwright.rules.bind import arguments_of
from coachwright.rules.schema import Rule

DRAWN = ("light.optical-power", "light.gap", "light.one-dead-gap")
"""Measures of which a share of vehicles can be drawn."""

NO_CAUSE = 0.0005
"""A cause that changes the share by less than this, in 2,000 vehicles at most one, is not named."""


@dataclass(frozen=True, slots=True)
class RuleShare:
    """How one rule fares.

    as_drawn : whether the drawing passes everywhere. share : of the vehicles that pass everywhere. weakest : where most
    fail. cause : title of what costs most, "" where nothing does; share_without : of vehicles that pass without it,
    and first_share with it, among the first vehicles.
    """

    rule: Rule
    pack: str
    as_drawn: bool
    share: float
    weakest: tuple[tuple[WeakPoint, Target], ...]
    cause: str
    share_without: float
    first_share: float


@dataclass(frozen=True, slots=True)
class Sure:
    """The tolerance run of one build. left_out : codes of rules about light that can't be drawn."""

    vehicles_n: int
    seed: int
    rules: tuple[RuleShare, ...]
    left_out: tuple[str, ...]
    causes: Tolerances


def sure(
    verdict: Verdict,
    *,
    vehicles_n: int | None = None,
    seed: int | None = None,
    known: Tolerances | None = None,
    threads_n: int | None = None,
    progress: Progress | None = None,
) -> Sure:
    """Draw the vehicles and hold them against the rules of a verdict.

    Parameters
    ----------
    vehicles_n, seed : as the data say where left out. known : what is drawn; that of the data where left out.
    """
    tolerances_known = known or tolerances()
    many_n = tolerances_known.samples_n if vehicles_n is None else vehicles_n
    with_seed = tolerances_known.seed if seed is None else seed
    by_rule = _targets(verdict.judgements)
    targets = [target for _, judged in by_rule for target, _ in judged]
    if verdict.model is None or not targets:
        return Sure(many_n, with_seed, (), _left_out(verdict.judgements), tolerances_known)
    found = sampled(
        verdict.model,
        targets,
        tolerances_known,
        vehicles_n=many_n,
        seed=with_seed,
        causes_n=tolerances_known.causes_n,
        threads_n=threads_n,
        progress=progress,
    )
    shares, first = [], 0
    for judgement, judged in by_rule:
        shares.append(_share(judgement, judged, range(first, first + len(judged)), found, tolerances_known))
        first += len(judged)
    return Sure(many_n, with_seed, tuple(shares), _left_out(verdict.judgements), tolerances_known)


def _targets(judgements: Sequence[Judgement]) -> list[tuple[Judgement, list[tuple[Target, bool]]]]:
    """Of each rule that can be drawn: its first judgement, and every case with whether the drawing passes it."""
    found: dict[str, tuple[Judgement, list[tuple[Target, bool]]]] = {}
    for judgement in judgements:
        rule = judgement.rule
        if rule.measure not in DRAWN:
            continue
        for case in judgement.cases:
            if case.stands != "not-measured":
                cases = found.setdefault(rule.code, (judgement, []))[1]
                cases.append((_target(rule, case.measure), case.stands != "fail"))
    return [found[code] for code in sorted(found)]


def _target(rule: Rule, measure: Measure) -> Target:
    """What a rule asks in one situation, zone and level."""
    limit, said = rule.limit, measure.facts
    given = arguments_of(rule, rooms().windows[rule.measure])
    level: Level = next((each for each in LEVELS if each == said.get("level")), "both")
    if rule.measure != "light.optical-power":
        asked: Asked = "one-dead-gap" if rule.measure == "light.one-dead-gap" else "gap"
        return Target(
            measure.situation,
            asked,
            low=-math.inf if limit.low <= 0 else limit.low,
            high=limit.high,
            level=level if asked == "one-dead-gap" else "both",
            least_cd=float(given["least"]),
        )
    usual = heights()
    return Target(
        measure.situation,
        _OF[str(given.get("of", "total"))],
        low=limit.low,
        high=limit.high,
        zone=next(each for each in ZONES if each == said["zone"]),
        level=level,
        counting="fixed" if given.get("counting") == "fixed" else "all",
        lower_from_m=float(given.get("lower_from", usual.lower_from_m)),
        upper_above_m=float(given.get("upper_above", usual.upper_above_m)),
    )


_OF: dict[str, Asked] = {"total": "total", "point": "point", "point-5-up-down": "point-5-up-down"}
"""Words of light.optical-power."""


def _share(
    judgement: Judgement,
    judged: Sequence[tuple[Target, bool]],
    numbers: Sequence[int],
    found: Sampled,
    known: Tolerances,
) -> RuleShare:
    first_share = found.first_share(numbers)
    without = {cause.name: found.share_without(cause.name, numbers) for cause in known.causes}
    most = max(without, key=lambda name: without[name], default="")
    matters = bool(most) and without[most] - first_share > NO_CAUSE
    return RuleShare(
        judgement.rule,
        judgement.pack,
        all(passes for _, passes in judged),
        found.share(numbers),
        tuple((point, found.targets[point.target]) for point in found.weakest(numbers)),
        next(cause.title for cause in known.causes if cause.name == most) if matters else "",
        without[most] if matters else first_share,
        first_share,
    )


def _left_out(judgements: Sequence[Judgement]) -> tuple[str, ...]:
    """Rules about light that judge this build and of which nothing is drawn."""
    return tuple(
        sorted(
            {
                each.rule.code
                for each in judgements
                if each.rule.measure.startswith("light.")
                and each.rule.measure not in (*DRAWN, "light.pass-share")
                and each.cases
            }
        )
    )
