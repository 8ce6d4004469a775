"""What do the packs of a job ask that a picture of light can show: a least intensity, a crossing?

Read from the rules, so that a ring in a picture is the figure of a rule, never of this code.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from coachwright.build.model import Model
from coachwright.draw.rose import LimitRing
from coachwright.kit.measure import Measure
from coachwright.kit.show import show
from coachwright.proof.facts import situation_facts
from coachwright.proof.gather import questions
from coachwright.proof.rooms import rooms
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Pack, Rule

_GAP, _EFFECTIVE, _CROSSING = "light.gap", "light.effective-intensity", "light.crossing-margin"
_KEPT_N = 2
"""Most rings of one rose."""


def packs_of(model: Model, folder: Path | None) -> tuple[Pack, ...]:
    """The packs a job names; one with an error is left out, as `check` tells. folder : in which the build lies."""
    opened = rooms()
    packs, _ = load_packs(
        model.packs,
        registry=opened.windows,
        missing_rooms=opened.missing,
        extra_folder=folder / "packs" if folder is not None else None,
    )
    return packs


def least_rings(model: Model, packs: Iterable[Pack], situation: str) -> tuple[LimitRing, ...]:
    """What has to be reached from every bearing, level, in this situation: the most that is asked, and the least."""
    known = situation_facts(model, situation)
    found: dict[float, tuple[bool, str]] = {}
    for pack, rule, arguments in _asked(model, packs, (_GAP, _EFFECTIVE), situation):
        if any(asks.fact in known and not asks.holds(known[asks.fact]) for asks in rule.applies):
            continue
        level = rule.measure == _GAP or _number(arguments, "low") <= 0.0 <= _number(arguments, "high")
        least_cd = _number(arguments, "least") if rule.measure == _GAP else rule.limit.low
        if level and 0.0 < least_cd < float("inf"):
            draft = " (draft)" if rule.cite.status == "draft" else ""
            said = f"{show(least_cd, 'luminous-intensity')}, {rule.code}{draft}"
            found.setdefault(least_cd, (pack.status == "target", said))
    rings = sorted(found.items(), key=lambda item: (item[1][0], -item[0]))[:_KEPT_N]
    return tuple(LimitRing(said, value) for value, (_, said) in rings)


@dataclass(frozen=True, slots=True)
class AskedCrossing:
    """One answer about a crossing, with what it was asked with. rule : its code."""

    rule: str
    measure: Measure
    arguments: Mapping[str, object]


def crossings_asked(model: Model, packs: Iterable[Pack]) -> tuple[AskedCrossing, ...]:
    """One answer for each crossing of the job, or of its rules where it names none: by the first rule that asks."""
    answer = rooms().windows[_CROSSING].answer
    found: dict[tuple[str, str], AskedCrossing] = {}
    names = {each.name for each in model.crossings}
    for situation in model.situations:
        for _, rule, arguments in _asked(model, packs, (_CROSSING,), situation.name):
            if names and names <= {name for name, _ in found}:
                break
            if not names and ("house", _key(arguments)) in found:
                continue
            for measure in answer(model, situation=situation.name, **arguments):
                # a job without crossings is asked about those of several rules
                name = measure.facts.get("crossing", "")
                key = (name, "" if names else _key(arguments))
                if isinstance(measure.value, float) and key not in found:
                    found[key] = AskedCrossing(rule.code, measure, arguments)
    return tuple(found.values())


def _key(arguments: Mapping[str, object]) -> str:
    """One crossing of a rule: whatever the light round it."""
    return repr([arguments.get(name) for name in ("own", "cross", "from_cross", "from_own")])


def _asked(
    model: Model, packs: Iterable[Pack], names: tuple[str, ...], situation: str
) -> Iterator[tuple[Pack, Rule, dict[str, object]]]:
    for pack in packs:
        for rule in pack.rules:
            if rule.measure in names:
                for question in questions(rule, model, rooms()):
                    if question.situation == situation:
                        yield pack, rule, dict(question.arguments)


def _number(arguments: Mapping[str, object], name: str) -> float:
    value = arguments.get(name, 0.0)
    return float(value) if isinstance(value, float | int) else 0.0
