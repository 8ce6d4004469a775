"""What a pack promises of any build, bound to this one: a claim is a promise with the place in the build it is about.

The words in which packs speak (brake, Park, a head to the front, a siren) are bound here to the inputs, heads and
functions of one build. What a build has nothing of brings no claim.

See Also
--------
coachwright.control.claims_road, coachwright.control.claims_park, coachwright.control.claims_warning,
coachwright.control.claims_arrow : the properties. coachwright.control.measures_proved : proves them for rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.condition import And, Compare, Condition, HeadStatement, Manner, Not, Or, Truth
from coachwright.build.model import Function, Model, Promise
from coachwright.control.ranks import ROAD

PARK = "P"


@dataclass(frozen=True, slots=True)
class Terms:
    """The figures a rule gives. within_s : after which a claim is asked. speed_mps : from which a vehicle travels."""

    within_s: float = 0.0
    speed_mps: float = 0.0

    @property
    def within_ms(self) -> int:
        """Whole milliseconds, as the machine counts."""
        return round(self.within_s * 1000)


@dataclass(frozen=True, slots=True)
class Claim:
    """One promise of a pack, bound to the build.

    Parameters
    ----------
    subject : what it is about, in words for a shop lead.
    or_else : claims that together say what is asked for, where this one, which says more, isn't proved.
    """

    promise: Promise
    about: str
    blame: tuple[str, ...]
    subject: str
    facts: tuple[tuple[str, str], ...] = ()
    or_else: tuple[Claim, ...] = ()


def never(
    name: str, *wrong: Condition, but: Iterable[str] = (), about: str, blame: Sequence[str], subject: str, **said: str
) -> Claim:
    """A claim that these never hold together."""
    promise = Promise(name, "never", about, never=both(wrong), but=tuple(but))
    return Claim(promise, about, tuple(blame), subject, _facts(said))


def always(
    name: str,
    *,
    when: Sequence[Condition],
    then: Condition,
    within_ms: int = 0,
    about: str,
    blame: Sequence[str],
    subject: str,
    **said: str,
) -> Claim:
    """A claim that `then` holds while all of `when` do, once they have stood for a while."""
    promise = Promise(name, "then", about, when=both(when), then=then, within_ms=within_ms or None)
    return Claim(promise, about, tuple(blame), subject, _facts(said))


def _facts(said: dict[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((name.replace("_", "-"), value) for name, value in said.items())


def heads_are(
    heads: Iterable[str],
    manner: Manner,
    colour: str = "",
    *,
    every: bool,
    only: bool = False,
    share: float | None = None,
) -> HeadStatement:
    """What is said of these heads: of all of them, or of one at least."""
    named = tuple(heads)
    return HeadStatement(", ".join(named), colour, manner, only, "", share, every, named)


def both(conditions: Iterable[Condition]) -> Condition:
    """All of them together."""
    items = tuple(conditions)
    return items[0] if len(items) == 1 else And(items)


def either(conditions: Iterable[Condition]) -> Condition:
    """One of them at least."""
    items = tuple(conditions)
    return items[0] if len(items) == 1 else Or(items)


def reads(model: Model, name: str, value: str | float) -> Condition:
    """An input (or memory) reads this value."""
    item = next((each for each in model.inputs if each.name == name), None)
    if item is not None and item.values == ("off", "on"):
        return Truth(name) if value == "on" else Not(Truth(name))
    return Compare(name, "==", value)


def has_value(model: Model, name: str, value: str) -> bool:
    """Does the build have this input, with this value?"""
    return any(item.name == name and value in item.values for item in model.inputs)


def in_park(model: Model) -> Condition | None:
    """The gear is P; None for a vehicle whose gear isn't read."""
    return Compare("gear", "==", PARK) if has_value(model, "gear", PARK) else None


def under_way(model: Model) -> list[Condition]:
    """Ignition on, out of Park, park brake released: as far as the vehicle says so."""
    found: list[Condition] = []
    if has_value(model, "ignition", "run"):
        found.append(Compare("ignition", "==", "run"))
    if has_value(model, "gear", PARK):
        found.append(Compare("gear", "!=", PARK))
    if has_value(model, "park-brake", "on"):
        found.append(Not(Truth("park-brake")))
    return found


def of_rank(model: Model, *ranks: str) -> tuple[str, ...]:
    """Names of the functions of these ranks."""
    return tuple(function.name for function in model.functions if function.rank in ranks)


def road_functions(model: Model) -> tuple[Function, ...]:
    """Those that nothing stops, dims or outranks."""
    return tuple(function for function in model.functions if function.rank == ROAD)


def blame_of(functions: Iterable[Function]) -> tuple[str, ...]:
    """Where functions are mended: their conditions first."""
    return tuple(path for each in functions for path in (f"{each.path}.when", each.path))
