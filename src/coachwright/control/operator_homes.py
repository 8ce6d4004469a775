"""At which control, signal or memory is each function told? At the one without which it can't act.

Of several, at the one that the fewest functions need; a control before a signal. A signal counts where it has to have
one certain value (reverse gear), not where it only must not have one (anything but Park).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from coachwright.build.model import Function, Model
from coachwright.control.operator_settings import Settings
from coachwright.control.tries import conditions_of, names_of


def homes_of(model: Model, settings: Settings) -> Mapping[str, str]:
    """Name of the home of every function that can act; "" for one that always does."""
    needs = {
        function.name: _needs(model, settings, function) for function in model.functions if _can_act(settings, function)
    }
    counts = Counter(name for found in needs.values() for name in found)
    return {function.name: _home(model, settings, function, needs[function.name], counts)
            for function in model.functions if function.name in needs}  # fmt: skip


def _can_act(settings: Settings, function: Function) -> bool:
    return settings.can_be(settings.acting(function).active)


def _reads(model: Model, function: Function) -> frozenset[str]:
    return names_of(model, conditions_of(function)) | ({function.by} if function.by else set())


def _needs(model: Model, settings: Settings, function: Function) -> frozenset[str]:
    """Inputs and memories that have to be away from rest for it."""
    wanting = settings.acting(function).wanting
    return frozenset(name for name in _reads(model, function) if not settings.can_be(wanting, settings.at_rest(name)))


def _home(model: Model, settings: Settings, function: Function, needs: frozenset[str], counts: Counter[str]) -> str:
    if function.by:
        return function.by
    memories = {memory.name for memory in model.memories}
    inputs = {item.name: item for item in model.inputs}
    needed_memories = sorted(needs & memories, key=lambda name: (counts[name], name))
    if needed_memories:
        return needed_memories[0]
    certain = [name for name in needs if inputs[name].is_control or _one_value(settings, function, name)]
    if certain:
        return min(certain, key=lambda name: (counts[name], not inputs[name].is_control, name))
    read = (needs or _reads(model, function)) & inputs.keys()
    return min(read, key=lambda name: (not inputs[name].is_control, counts[name], name), default="")


def _one_value(settings: Settings, function: Function, name: str) -> bool:
    choice = settings.moment.choice(name)
    wanting = settings.acting(function).wanting
    return sum(settings.can_be(wanting, literal) for literal in choice.literals) == 1
