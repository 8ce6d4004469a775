"""A job small enough to judge by hand: three situations, rules and measures with a few words."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from coachwright.build.model import Situation
from coachwright.kit.cite import Cite
from coachwright.kit.measure import Measure
from coachwright.rules.limit import read_limit
from coachwright.rules.schema import Asks, Pack, Rule

FACTS = {
    "answering": {
        "situation": "answering",
        "stands-for": "calling",
        "parked": "no",
        "travelling": "yes",
        "night": "no",
    },
    "on-scene": {"situation": "on-scene", "stands-for": "blocking", "parked": "yes", "travelling": "no", "night": "no"},
    "by-night": {
        "situation": "by-night",
        "stands-for": "blocking",
        "parked": "yes",
        "travelling": "no",
        "night": "yes",
    },
}


def measure(
    value: Any, *, kind: str = "rate", name: str = "flash.rate", about: str = "lamps.grille", **rest: Any
) -> Measure:
    facts = rest.pop("facts", {})
    why = "the part says nothing" if value is None else ""
    return Measure(name, value, kind, about, facts=facts, why_not=why, **rest)


def rule(code: str = "OWN-001", **changes: Any) -> Rule:
    """A rule that asks for one flash a second; changes are fields of the schema."""
    status = changes.pop("status", "house")
    kind = changes.pop("kind", "rate")
    limit = changes.pop("limit", {"at-least": "1 Hz"})
    near = changes.pop("near", "")
    applies = tuple(Asks(fact, any_of=(word,)) for fact, word in changes.pop("applies", {}).items())
    day = {"checked_on": "2026-10-01", "checked_by": "A. Reader"} if status == "read" else {}
    given: dict[str, Any] = {
        "name": "too-slow",
        "asks": "It flashes once a second.",
        "applies": applies,
        "measure": "flash.rate",
        "kind": kind,
        "limit": read_limit(limit, kind=kind, near=near),
        "cite": Cite("a page", status=status, **day),
        "why": "So it is.",
        "fix": "Flash faster.",
    }
    return Rule(code=code, **(given | changes))


def pack(*rules: Rule, name: str = "ours", status: Any = "house", **rest: Any) -> Pack:
    return Pack(
        pack=name,
        prefix=rules[0].code.split("-")[0] if rules else "OWN",
        title="Our own",
        status=status,
        rules=rules,
        **rest,
    )


def job(*names: str) -> Any:
    """A model as far as gathering and judging look at one."""
    chosen = names or tuple(FACTS)
    return SimpleNamespace(
        situations=tuple(
            Situation(name, (), (), FACTS[name]["stands-for"], 0.0, f"situations.{name}") for name in chosen
        )
    )
