"""A source that begins to lie on the way: what is told as kept, no story with such a source breaks."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import Condition, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.control.acted import Watched
from coachwright.control.faults import under_faults
from coachwright.control.prove import prove
from tests.control.lived import Lie, by_lot, lies_of, lived
from tests.control.machines import FOCUS, Change, models
from tests.control.promises_at_random import promises

KEPT = ("holds", "not asked", "blind")


def breaks(watched: Watched, story: list[Change], lie: Lie, begins: int) -> bool:
    """Is the promise broken, as the machine reads it, in a moment in which the source is read to lie?"""
    armed, since_ms = False, -1
    for now_ms, lies, instant in lived(watched.model, watched.machine, story, lie.fault, begins):
        if instant.state.inputs.asleep and watched.is_awake(instant):
            return False  # it can't sleep then
        broken, armed = watched.sees(instant, armed)
        if lies and since_ms < 0:
            since_ms = now_ms
        if broken and lies and now_ms >= since_ms + lie.reads_in_ms:
            return True
    return False


def asked_and_wrong(promise: Promise) -> tuple[Condition, Condition] | None:
    """What a promise asks about, for as long as it has to stand, and what may not be then."""
    if promise.when is None or promise.then is None:
        return None
    asked = Held(promise.when, promise.within_ms) if promise.within_ms else promise.when
    return asked, Not(promise.then)


def blinds(watched: Watched, story: list[Change], lie: Lie, begins: int) -> bool:
    """Does what the promise asks about truly hold, and isn't it kept, in a moment in which the source lies?"""
    parts = asked_and_wrong(watched.promise)
    assert parts is not None
    true, read = watched.watching(parts[0]), watched.watching(parts[1])
    truly = {}
    for now_ms, _, instant in lived(watched.model, true.machine, story):
        if instant.state.inputs.asleep and watched.is_awake(instant):
            return False
        truly[now_ms] = instant.watched[0]
    since_ms, wrong = -1, {}
    for now_ms, lies, instant in lived(watched.model, read.machine, story, lie.fault, begins):
        if instant.state.inputs.asleep and read.is_awake(instant):
            return False
        if lies and since_ms < 0:
            since_ms = now_ms
        wrong[now_ms] = instant.watched[0] and lies and now_ms >= since_ms + lie.reads_in_ms
    return any(truly[now_ms] and wrong[now_ms] for now_ms in truly.keys() & wrong.keys())


def check(model: Model, promise: Promise, seed: int, stories_n: int) -> None:
    """Let sources begin to lie in stories by lot, and hold what comes of it against what was told."""
    told = {(each.input, each.stuck_at): each.state for each in under_faults(model, promise)}
    watched, lot = Watched(model, promise), Random(seed)
    reads_memory = bool(model.memories)
    for item in model.inputs:
        for lie in lies_of(model, item):
            states = {told[key] for key in lie.told_as if key in told}
            if not states or not states <= set(KEPT):
                continue
            for _ in range(stories_n):
                story = by_lot(model, lot, sleeps=bool(model.feeds))
                begins = lot.randint(0, len(story))
                assert not breaks(watched, story, lie, begins), (lie.fault, begins, story)
                never_blind = "blind" not in states and promise.kind == "then" and item.kind != "turn-wire"
                if never_blind and not reads_memory:
                    assert not blinds(watched, story, lie, begins), (lie.fault, begins, story)


@pytest.mark.parametrize("sleeps", [False, True])
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=6)
@given(data=st.data())
def test_what_is_told_as_kept_no_source_that_begins_to_lie_breaks(
    focus: str, sleeps: bool, data: st.DataObject
) -> None:
    """Law: of random builds, promises, faults and stories, nothing that happens breaks what holds under a fault."""
    model = data.draw(models(focus=focus, most_functions=4, sleeps=sleeps))
    promise = data.draw(promises(model))
    check(model, promise, data.draw(st.integers(0, 10**6)), 2)


@pytest.mark.long
@pytest.mark.parametrize("sleeps", [False, True])
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=80)
@given(data=st.data())
def test_what_is_told_as_kept_no_source_that_begins_to_lie_breaks_of_many(
    focus: str, sleeps: bool, data: st.DataObject
) -> None:
    """Law: the same of thousands of stories."""
    model = data.draw(models(focus=focus, most_functions=4, sleeps=sleeps))
    promise = data.draw(promises(model))
    check(model, promise, data.draw(st.integers(0, 10**6)), 6)


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=20)
@given(data=st.data())
def test_what_is_proved_no_sleep_breaks(focus: str, data: st.DataObject) -> None:
    """Law: of random builds whose controller may sleep, nothing that anybody does breaks what was proved."""
    model = data.draw(models(focus=focus, most_functions=4, sleeps=True))
    promise = data.draw(promises(model))
    if prove(model, promise).state != "proved":
        return
    watched, lot = Watched(model, promise), Random(data.draw(st.integers(0, 10**6)))
    for _ in range(20):
        armed = False
        for _, _, instant in lived(model, watched.machine, by_lot(model, lot, sleeps=True)):
            if instant.state.inputs.asleep and watched.is_awake(instant):
                break
            broken, armed = watched.sees(instant, armed)
            assert not broken
