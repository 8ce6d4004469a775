"""From where is the vehicle noticed, in words anybody reads? One short list of sentences for each situation.

Figures are those of the measures, to two digits. What no measure answers isn't told.

See Also
--------
coachwright.light.notice_measures, coachwright.light.crossing_measures : the figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.control.operator_words import capital, joined, plain_name
from coachwright.kit.measure import Measure
from coachwright.light.ambient import AmbientName
from coachwright.light.ground_measures import ground_light
from coachwright.light.lit import flashing
from coachwright.light.notice_measures import notice_distance
from coachwright.light.pictured import level_hidden

AMBIENTS: tuple[tuple[AmbientName, str], ...] = (
    ("day", "On a bright day"),
    ("fog", "In fog by day"),
    ("night", "On a dark night"),
)
FAR_M, FOOT_M, NEAR_M = 1609.344, 0.3048, 5.0
"""What is noticed from a mile is noticed from far enough; nearer than this is not at all."""

TOLD_SHARE = 0.1
_SIDES = {"front": "ahead", "left": "to the left", "right": "to the right", "rear": "behind"}
"""In the order in which they are said."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of situations that are alike. title : their names. sentences : in order."""

    title: str
    sentences: tuple[str, ...]


def told(model: Model) -> tuple[Told, ...]:
    """Every situation in the order of the file; those of which the same is said are told once."""
    found: dict[tuple[str, ...], list[str]] = {}
    for situation in model.situations:
        found.setdefault(sentences_of(model, situation.name), []).append(plain_name(situation.name))
    return tuple(Told(capital(joined(names)), sentences) for sentences, names in found.items())


def sentences_of(model: Model, situation: str) -> tuple[str, ...]:
    """What is seen in one situation."""
    light = flashing(model, situation)
    said = []
    if light.glows:
        colours = sorted({glow.part.colour for glow in light.glows})
        said.append(f"The warning flashes {joined(colours)}.")
        for ambient, when in AMBIENTS:
            answers = notice_distance(model, situation=situation, ambient=ambient)
            if answers:
                said.append(_noticed(when, answers))
        said += _hidden(model, situation)
    else:
        said.append("No warning flashes.")
    return (*said, *_ground(ground_light(model, situation=situation)))


def crossing_sentences(answers: Iterable[Measure], named: Sequence[str]) -> tuple[str, ...]:
    """Whether a driver on the other road can stop in time. named : how each crossing is called."""
    said = []
    for answer, name in zip(answers, named, strict=True):
        if not isinstance(answer.value, float):
            continue
        if answer.facts.get("hidden") == "yes":
            said.append(
                f"At {name} a wall hides you until it is too late for the other driver to stop. "
                "No lamp can help there. Come slowly and use the siren."
            )
        elif answer.value < 0.0:
            said.append(f"At {name} the other driver sees the warning too late to stop. Come slowly.")
        else:
            spare = f"{answer.value:.0f} s to spare" if answer.value >= 1.0 else "no time to spare"
            said.append(f"At {name} the other driver can see the warning in time to stop, with {spare}.")
    return tuple(said)


def way(length_m: float) -> str:
    """A distance to two digits, in metres and feet: ``420 m (1,300 ft)``."""
    if length_m >= FAR_M:
        return "more than a mile"
    metres_n = _two(length_m)
    return f"{metres_n} m ({_two(metres_n / FOOT_M):,} ft)"


def _two(value: float) -> int:
    """Rounded down to two digits: what is said is kept."""
    whole = int(value)
    tens = int(10 ** max(0, len(str(whole)) - 2))
    return whole // tens * tens


def _noticed(when: str, answers: Sequence[Measure]) -> str:
    """The sides by how far; those that are alike to two digits share a number."""
    by_way: dict[str, list[str]] = {}
    unseen = []
    ways_m = {answer.facts["toward"]: answer.value for answer in answers}
    for quarter, side in _SIDES.items():
        length_m = ways_m.get(quarter)
        if isinstance(length_m, float) and length_m >= NEAR_M:
            by_way.setdefault(way(length_m), []).append(side)
        else:
            unseen.append(side)
    if len(by_way) == 1 and not unseen:
        return f"{when} it is noticed from {next(iter(by_way))} on every side."
    pieces = [f"{length} {joined(sides)}" for length, sides in by_way.items()]
    seen = f"{when} it is noticed from {', '.join(pieces)}." if pieces else f"{when} it is noticed from no side."
    some = f" From some spots {joined(unseen, 'or')} it is not seen." if unseen and pieces else ""
    return seen + some


def _hidden(model: Model, situation: str) -> list[str]:
    found = level_hidden(model, situation)
    most = max(found.shares, default=0.0)
    if most < TOLD_SHARE:
        return []
    names = [name for name, share in found.by if share >= TOLD_SHARE][:2]
    verb = "hides" if len(names) == 1 else "hide"
    return [f"The {joined(names)} {verb} up to {100 * most:.0f} % of it from some spots."]


def _ground(answers: Sequence[Measure]) -> list[str]:
    sides = [(answer.facts["toward"], answer.value) for answer in answers if isinstance(answer.value, float)]
    named = {"front": "in front", "right": "on the right", "rear": "behind", "left": "on the left"}
    if not sides:
        return []
    lux = [f"{float(f'{value:.2g}'):g} lux {named[side]}" for side, value in sides]
    return [f"Work light gives the ground {joined(lux)}."]
