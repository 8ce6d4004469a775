"""Random builds and promises that spin can go through: few inputs, times of a few milliseconds, what the body excludes.

Drawn from tests.control.machines and tests.control.promises_at_random, then made smaller; what is outside of what is
translated (tests.control.promela) is left out and counted.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from hypothesis import strategies as st

from coachwright.build.condition import And, Compare, Condition, First, Held, Not, Plus, Truth
from coachwright.build.model import Input, Model, Promise
from tests.control import by_hand
from tests.control.machines import conditions, models
from tests.control.promises_at_random import promises

LONGEST_MS = 3
FOCUS = ("anything", "memory", "hold-offs", "heads")
KEY = by_hand.button("key")
INPUTS: tuple[Input, ...] = (
    by_hand.slide("slide", "off", "low", "full"),
    by_hand.pick_one("arrow", "none", "left", "right", start="left"),
    by_hand.pick_one("mode", "one", "two", start="last"),
    by_hand.toggle("scene"),
    by_hand.toggle("cruise", start="last"),
    by_hand.button("ring"),
    KEY,
    by_hand.disconnect("main"),
    by_hand.on_off("brake"),
    by_hand.on_off("belt"),
    by_hand.states("gear", "P", "R", "D"),
    by_hand.states("hatch", "closed", "open"),
    by_hand.number("speed"),
)


@st.composite
def small_builds(draw: st.DrawFn) -> tuple[Model, Promise]:
    """A build, a promise, and what can't be, of a size that every state of it can be gone through."""
    focus = draw(st.sampled_from(FOCUS))
    inputs = draw(st.lists(st.sampled_from(INPUTS), min_size=2, max_size=3, unique_by=str))
    if focus == "hold-offs" and KEY not in inputs:
        inputs[-1] = KEY  # which some of their stops read
    model = draw(models(focus=focus, with_inputs=[as_written(item) for item in inputs], most_functions=4, most_words=2))
    promise = draw(rarer(model, draw(promises(model))))
    model = replace(model, messages=())
    signals = [item for item in model.inputs if not item.is_control]
    if len(signals) >= 2 and draw(st.booleans()):
        pair = draw(st.permutations(signals))[:2]
        model = replace(model, cannot_be=((And(tuple(draw(_of_signal(item)) for item in pair)), "it can't"),))
    return shorter_times(model), shorter_times(promise)


@st.composite
def rarer(draw: st.DrawFn, model: Model, promise: Promise) -> Promise:
    """The promise, mostly asking for more at once: else nearly all would be broken at power-up."""
    memories = {memory.name: memory.values for memory in model.memories}
    reading = conditions(list(model.inputs), memories, tuple(word.name for word in model.words))
    more = tuple(draw(st.lists(reading, max_size=3)))
    if not more:
        return promise
    if promise.when is not None:
        return replace(promise, when=And((promise.when, *more)))
    assert promise.never is not None
    return replace(promise, never=And((promise.never, *more)))


def as_written(item: Input) -> Input:
    """The input as a file gives it: what keeps a value rests where it starts."""
    return replace(item, rest=item.start) if item.kind in ("toggle", "pick-one") else item


@st.composite
def _of_signal(draw: st.DrawFn, item: Input) -> Condition:
    """Something about one signal that may not be."""
    said: Condition = Compare(item.name, "<", 6.0)
    if item.values == ("off", "on"):
        said = Truth(item.name)
    elif item.values:
        said = Compare(item.name, "==", draw(st.sampled_from(item.values)))
    return Not(said) if draw(st.booleans()) else said


def shorter_times(thing: Any) -> Any:
    """The same with every time of a condition or a `within` at most `LONGEST_MS`."""
    match thing:
        case Held() | First() | Plus():
            return replace(thing, item=shorter_times(thing.item), time_ms=(thing.time_ms - 1) % LONGEST_MS + 1)
        case tuple():
            return tuple(shorter_times(each) for each in thing)
        case Promise(within_ms=int()):
            thing = replace(thing, within_ms=(thing.within_ms - 1) % LONGEST_MS + 1)
    if not is_dataclass(thing) or isinstance(thing, type | Input):
        return thing
    changed = {}
    for field in fields(thing):
        old = getattr(thing, field.name)
        new = shorter_times(old) if is_dataclass(old) or isinstance(old, tuple) else old
        if new is not old and new != old:
            changed[field.name] = new
    return replace(thing, **changed) if changed else thing
