"""A source that begins to lie on the way: what is told as kept, no story with such a source breaks."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.condition import Condition, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.control.faults import UnderFault, under_faults
from coachwright.control.prove import prove
from coachwright.control.run import Watched
from tests.control import by_hand
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


Story = tuple[str, Lie, int, list[Change]]


def against_what_is_told(model: Model, promise: Promise, seed: int, stories_n: int) -> Iterator[Story]:
    """Stories by lot in which a source begins to lie and does to the promise what was told can't happen."""
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
                if breaks(watched, story, lie, begins):
                    yield "breaks", lie, begins, story
                never_blind = "blind" not in states and promise.kind == "then" and item.kind != "turn-wire"
                if never_blind and not reads_memory and blinds(watched, story, lie, begins):
                    yield "blinds", lie, begins, story


@pytest.mark.slow
@pytest.mark.parametrize("sleeps", [False, True])
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=3)
@given(data=st.data())
def test_what_is_told_as_kept_no_source_that_begins_to_lie_breaks(
    focus: str, sleeps: bool, data: st.DataObject
) -> None:
    """Law: of random builds, promises, faults and stories, nothing that happens breaks what holds under a fault."""
    model = data.draw(models(focus=focus, most_functions=4, sleeps=sleeps))
    promise = data.draw(promises(model))
    assert not next(against_what_is_told(model, promise, data.draw(st.integers(0, 10**6)), 2), None)


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
    assert not next(against_what_is_told(model, promise, data.draw(st.integers(0, 10**6)), 6), None)


@pytest.mark.slow
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=10)
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


# ---- by hand


def states(model: Model) -> dict[tuple[str, str], UnderFault]:
    return {(each.input, each.stuck_at): each for each in under_faults(model, model.promises[0])}


def horn(**gear: str) -> Model:
    """A fan that a key starts in D and that leaving D ends: written so that a loss of the gear keeps it going."""
    return by_hand.build(
        inputs=[by_hand.states("gear", "P", "R", "D", **gear), by_hand.button("key")],
        outputs=["fan"],
        memories=[
            by_hand.memory(
                "m",
                "rests",
                "runs",
                moves=[{"on": "gear leaves D", "to": "rests"}, {"on": "pressed key", "if": "gear == D", "to": "runs"}],
            )
        ],
        functions=[by_hand.function("f", "task", "m == runs")],
        promises=[by_hand.promise("p", never="f active and gear == P")],
    )


def test_a_loss_on_the_way_is_a_story_that_says_where() -> None:
    """Case: a loss fires no `leaves`; only after a while on the road does that show, and the story says where."""
    model = horn(lost="P")
    assert prove(model, model.promises[0]).state == "proved"
    found = states(model)

    assert found["gear", "lost"].state == "broken"
    assert found["gear", "lost"].story is not None
    assert found["gear", "lost"].story.lines == ("power-up, everything at rest", "gear D", "key pressed", "gear lost")
    assert found["gear", "P"].state != "broken"  # a wire that sticks at P leaves D before the machine's eyes
    assert str(found["gear", "lost"]) == "gear lost: broken"


def test_what_is_held_is_what_was_read_last() -> None:
    """Case: a gear that holds D when it falls silent keeps the fan going, and the machine never reads P."""
    found = states(horn(lost="hold"))

    assert found["gear", "lost"].state == "blind"
    assert found["gear", "lost"].story is not None
    assert found["gear", "lost"].story.lines[1:] == ("gear D", "gear lost", "gear P", "key pressed")


def test_a_toggle_whose_finger_moves_no_more_keeps_either_value() -> None:
    """Case: stuck while off it never lights; stuck while on it lights for good."""
    model = by_hand.build(
        inputs=[by_hand.toggle("scene"), by_hand.on_off("brake")],
        heads=["tail"],
        functions=[by_hand.function("glow", "task", "scene", show=by_hand.show("tail", white="steady 100 %"))],
        promises=[by_hand.promise("p", never="tail white steady and brake")],
    )
    found = states(model)

    assert (found["scene", "off"].state, found["scene", "on"].state) == ("holds", "broken")
    assert found["scene", "on"].story is not None
    assert found["scene", "on"].story.lines[1:] == ("brake on", "scene on", "scene stuck while on")


def sleeper(awake_while: str, sleeps_after_s: float = 0.0, *, never: str = "f active and slide == off") -> Model:
    """A fan that a key starts while the slide is full, and that leaving full ends. Asleep the slide reads off."""
    return by_hand.build(
        inputs=[by_hand.slide("slide", "off", "full"), by_hand.button("key"), by_hand.on_off("ignition")],
        memories=[
            by_hand.memory(
                "m",
                "rests",
                "runs",
                moves=[
                    {"on": "slide leaves full", "to": "rests"},
                    {"on": "pressed key", "if": "slide == full", "to": "runs"},
                ],
            )
        ],
        functions=[by_hand.function("f", "task", "m == runs")],
        promises=[by_hand.promise("p", never=never)],
        awake_while=awake_while,
        sleeps_after_s=sleeps_after_s,
    )


def test_a_story_may_put_the_controller_to_sleep_where_its_feed_says_so() -> None:
    """Case: asleep the slide reads off and nothing has left full; without a word about sleep it never sleeps."""
    model = sleeper("ignition", 300.0)
    proof = prove(model, model.promises[0])

    assert (proof.state, prove(sleeper(""), model.promises[0]).state) == ("broken", "proved")
    assert proof.story is not None
    assert proof.story.lines == (
        "power-up, everything at rest",
        "slide full",
        "key pressed",
        "wait 5 min: the controller falls asleep",
    )


def test_a_lever_that_is_moved_while_it_sleeps_leaves_nothing() -> None:
    """Case: awake with the slide off, and what leaving full would have ended goes on; the hand moved it unseen."""
    model = sleeper("ignition", never="f active and slide == off and ignition")
    proof = prove(model, model.promises[0])

    assert proof.state == "broken"
    assert proof.story is not None
    assert proof.story.lines[1:] == (
        "slide full",
        "key pressed",
        "the controller falls asleep",
        "slide off",
        "the controller wakes",
        "ignition on",
    )


def test_a_lever_set_to_what_it_was_powered_up_with_asks_without_leaving() -> None:
    """Case: powered up with the lever at right it reads left; to move it to left asks, and nothing was left."""
    positions = ("none", "left", "right")
    model = by_hand.build(
        inputs=[by_hand.pick_one("arrow", *positions, start="left", rest="left"), by_hand.on_off("x")],
        heads=["bar"],
        functions=[
            by_hand.function(
                "f",
                "traffic",
                by="arrow",
                levels={each: [by_hand.show("bar", amber="single")] for each in positions[1:]},
                one_level=True,
            )
        ],
        stops=[by_hand.stop("s", "x", "f", resume="ask")],
        promises=[
            by_hand.promise(
                "p",
                after="becomes x",
                until=" or ".join(f"arrow leaves {each}" for each in positions),
                never="f active",
            )
        ],
    )

    assert prove(model, model.promises[0]).state != "proved"
