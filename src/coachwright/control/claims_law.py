"""Does a build keep to an answer of state or local law that holds only when something does? Proved, like a promise.

The answer names its condition in the build's own words (``only when not travelling``). What the build shows and the law
is asked about may then be shown in no state in which that condition doesn't hold.

See Also
--------
coachwright.proof.law : which questions are put to what a build shows, and what comes of the answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coachwright.build.condition import Condition, HeadStatement, Manner, Not
from coachwright.build.condition_scope import Scope
from coachwright.build.condition_text import read_condition
from coachwright.build.model import Model, Promise
from coachwright.control.claims import both, either
from coachwright.control.prove import Proof, prove

ONLY_WHEN = "only when"


@dataclass(frozen=True, slots=True)
class ShownThere:
    """One thing a function shows on one head. pattern : its text, where the law asks about that pattern; else ""."""

    function: str
    head: str
    colour: str
    manner: Manner
    pattern: str = ""


def asked_when(model: Model, answer: str) -> Condition | None:
    """The condition of an answer ``only when ...``; None when it doesn't say it in the build's own words."""
    if not answer.startswith(ONLY_WHEN):
        return None
    read = read_condition(answer.removeprefix(ONLY_WHEN).strip(), place="function", scope=_scope(model))
    return None if isinstance(read, tuple) else read


def kept_to(model: Model, question: str, *, allowed: Condition, shown: Sequence[ShownThere]) -> Proof:
    """Whether nothing of `shown` is ever shown while `allowed` doesn't hold."""
    heads: dict[tuple[str, Manner, str], dict[str, None]] = {}
    for each in shown:
        heads.setdefault((each.colour, each.manner, each.pattern), {})[each.head] = None
    said = [
        HeadStatement(", ".join(named), colour, manner, False, pattern, None, False, tuple(named))
        for (colour, manner, pattern), named in heads.items()
    ]
    by = {each.function for each in shown}
    others = tuple(function.name for function in model.functions if function.name not in by)
    wrong = both([either(said), Not(allowed)])
    return prove(model, Promise(f"law {question}", "never", f"job.law.{question}", never=wrong, but=others))


def _scope(model: Model) -> Scope:
    """The names that functions of this build may read."""
    return Scope(
        inputs={item.name: item.values or item.number_kind for item in model.inputs},
        memories={memory.name: memory.values for memory in model.memories},
        words=frozenset(word.name for word in model.words),
        functions=frozenset(function.name for function in model.functions),
        equipment=frozenset(item.name for item in model.equipment),
        ordered=frozenset(
            (
                *(item.name for item in model.inputs if item.kind in ("slide", "pick-one")),
                *(memory.name for memory in model.memories if memory.ordered),
            )
        ),
        pushed=frozenset(item.name for item in model.inputs if item.kind in ("toggle", "button")),
    )
