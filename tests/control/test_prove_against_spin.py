"""An outside witness of proofs: spin goes through every state of a build, and finds what we find, in as few steps.

Proved is what spin keeps in a complete search; broken is what it breaks, and the first trace of its breadth-first
search has as many steps as our story. `undecided` may be either, and has its bound, as what spin couldn't finish has.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, seed, settings

from coachwright.build.condition import And, Compare, Held, Truth
from coachwright.build.model import Memory, Model, Promise
from coachwright.control.prove import prove
from tests.control import by_hand
from tests.control.promela import Translation, most_states, outside
from tests.control.promela_conditions import Timed
from tests.control.promela_shown import Rules
from tests.control.small_for_spin import small_builds
from tests.control.spin import search
from tests.control.steps_of_story import can_be, fewest_steps

MOST_STATES = 200_000
"""Of a random build: what can be gone through in seconds."""

pytestmark = [pytest.mark.needs("spin", "gcc"), pytest.mark.slow]


@dataclass(frozen=True)
class Compared:
    """What both say of one promise. Steps are -1 where there is no story. believable : our story."""

    ours: str
    theirs: str
    why: str = ""
    our_steps_n: int = -1
    their_steps_n: int = -1
    believable: bool = True

    @property
    def agree(self) -> bool:
        """Nothing that one says goes against the other."""
        if self.ours == "undecided" or self.theirs == "not run":
            return self.believable
        same = (self.ours == "broken") == (self.theirs == "broken")
        return same and self.our_steps_n == self.their_steps_n and self.believable


def compare(model: Model, promise: Promise, folder: Path, translated: type[Translation] = Translation) -> Compared:
    """Ask both."""
    proof = prove(model, promise)
    translation = translated(model, promise)
    if proof.story is None:
        searched = search(translation.text(1), folder)
        return Compared(proof.state, searched.state, searched.why)
    longest_ms = 2 + 2 * sum(each.time_ms for each in (*translation.clocks, *translation.late_clocks))
    searched = search(translation.text(longest_ms), folder, shortest=True)
    if searched.state == "kept":  # within waits that long: so is it kept at all?
        searched = replace(search(translation.text(1), folder), steps_n=-1)
    return Compared(
        proof.state,
        searched.state,
        searched.why,
        fewest_steps(model, promise, proof.story),
        searched.steps_n,
        can_be(model, promise, proof.story),
    )


# ------------------------------------------------------------------------------------------------------------- by hand


def vehicle(**written: Any) -> Model:
    """A slide with two levels, a siren that Park silences until it is asked for again, brake lamps, a dimmer."""
    return by_hand.build(
        inputs=[
            by_hand.slide("slide", "off", "full"),
            by_hand.toggle("scene"),
            by_hand.button("key"),
            by_hand.states("gear", "P", "D"),
            by_hand.on_off("brake"),
        ],
        heads=[by_hand.head("bar", together=True), "tail"],
        equipment=["horn"],
        words={"parked": "gear == P"},
        memories=[
            by_hand.memory(
                "tone",
                "standby",
                "wail",
                moves=[
                    {"on": "parked", "to": "standby"},
                    {"on": "slide leaves full", "to": "standby"},
                    {"on": "pressed key", "next": ["wail", "standby"]},
                ],
            )
        ],
        functions=[
            by_hand.function("warning", by="slide", levels={"full": [by_hand.show("bar", "tail", red="single")]}),
            by_hand.function(
                "stop-lamp", "road", "(brake and not parked) held 2 ms", show=by_hand.show("tail", red="steady")
            ),
            by_hand.function("work", "task", "scene", show=by_hand.show("bar", white="steady 80 %", beside=True)),
            by_hand.function("siren", when="tone == wail or slide == full", sound={"horn": "wail"}),
            by_hand.function("air-horn", "task", "key", sound={"horn": "air-horn"}),
        ],
        stops=[by_hand.stop("quiet", "parked", "siren", resume="ask")],
        limits=[by_hand.limit("dim", "parked plus 3 ms", 0.5, "task", "warn")],
        promises=[by_hand.promise("p", **written)],
    )


AFTER: dict[str, Any] = {"after": "becomes parked", "but": ["air-horn"]}


@pytest.mark.parametrize(
    ("written", "state", "steps_n"),
    [
        ({"when": "slide == full", "then": "bar red flashing"}, "proved", -1),
        ({"when": "slide == full", "then": "bar only red flashing"}, "broken", 1),
        ({"when": "slide == full", "then": "tail red flashing"}, "broken", 1),
        ({"when": "brake and gear == D", "then": "tail only red steady", "within": 2}, "proved", -1),
        ({"when": "brake and gear == D", "then": "tail only red steady", "within": 1}, "broken", 1),
        ({"never": "horn and parked", "but": ["air-horn"]}, "proved", -1),
        ({"never": "horn and parked"}, "broken", 0),
        ({"never": "siren active and slide == off"}, "broken", 1),
        ({"never": "bar white lit at least 41 % and parked"}, "proved", -1),
        ({"never": "bar white lit at least 41 %"}, "broken", 1),
        ({"never": "bar white lit at least 80 % and first 4 ms of (gear == D)"}, "broken", 1),
        ({"never": "slide leaves full and tone == wail"}, "proved", -1),
        (AFTER | {"until": "becomes (gear == D)", "never": "horn and parked"}, "proved", -1),
        (AFTER | {"until": "pressed key", "never": "horn"}, "broken", 2),
        ({"after": "released scene", "until": "pressed key", "never": "bar white steady"}, "broken", 2),
        ({"after": "pressed scene", "until": "released key", "never": "bar dark"}, "broken", 3),
        ({"after": "pressed scene", "until": "pressed scene", "never": "bar white steady"}, "proved", -1),
    ],
    ids=lambda each: ", ".join(f"{key} {said}" for key, said in each.items()) if isinstance(each, dict) else None,
)
def test_spin_says_the_same_of_each_kind_of_promise(
    written: dict[str, Any], state: str, steps_n: int, tmp_path: Path
) -> None:
    """docs/control.md, promises: what is proved, and how many steps break what is broken, worked out by hand."""
    model = vehicle(**written)
    found = compare(model, model.promises[0], tmp_path)

    assert (found.ours, found.theirs, found.our_steps_n, found.their_steps_n) == (
        state,
        {"proved": "kept"}.get(state, state),
        steps_n,
        steps_n,
    )


def comes_back(*, other: bool = False) -> Model:
    """A press that a condition takes back in the same moment; or beside it another memory that never rests."""
    if other:
        memories = [
            by_hand.memory("m", "a", "b", moves=[{"on": "key", "to": "b"}, {"on": "not key", "to": "a"}]),
            by_hand.memory(
                "other", "a", "b", moves=[{"on": "x and other == a", "to": "b"}, {"on": "x and other == b", "to": "a"}]
            ),
        ]
        promise = by_hand.promise("p", when="key", then="bar red flashing")
    else:
        memories = [by_hand.memory("m", "a", "b", moves=[{"on": "pressed key", "to": "b"}, {"on": "x", "to": "a"}])]
        promise = by_hand.promise("p", never="bar dark and pressed key")
    return by_hand.build(
        inputs=[by_hand.button("key"), by_hand.on_off("x")],
        heads=["bar"],
        memories=memories,
        functions=[by_hand.function("f", when="m == b plus 3 ms", show=by_hand.show("bar", red="single"))],
        promises=[promise],
    )


@pytest.mark.parametrize("other", [False, True])
def test_spin_says_the_same_of_memories_that_come_back(other: bool, tmp_path: Path) -> None:
    """docs/control.md, memory: memory stays as before the moment, so that what a press starts doesn't begin."""
    model = comes_back(other=other)
    found = compare(model, model.promises[0], tmp_path)

    assert (found.ours, found.agree) == ("broken", True), found


def test_spin_says_the_same_of_what_the_body_excludes(tmp_path: Path) -> None:
    """docs/control.md, promises: no story passes through what can't be."""
    model = by_hand.build(
        inputs=[by_hand.states("gear", "P", "D"), by_hand.number("speed")],
        heads=["bar"],
        functions=[by_hand.function("f", when="speed > 10 mph", show=by_hand.show("bar", red="single"))],
        promises=[by_hand.promise("p", never="f active"), by_hand.promise("q", never="f active and gear == P")],
    )
    model = replace(model, cannot_be=((And((Compare("gear", "==", "P"), Compare("speed", ">", 0.0))), "it rolls"),))
    p, q = (compare(model, promise, tmp_path) for promise in model.promises)

    assert (p.ours, p.agree) == ("broken", True), p
    assert (q.ours, q.theirs) == ("proved", "kept")


# -------------------------------------------------------------------------------------------------------------- random


def drawn(number: int, builds_n: int) -> tuple[list[tuple[Model, Promise]], Counter[str]]:
    """So many builds with a promise each, the same every time, and what was left out on the way.

    At most every fifth is broken as the power comes: it would be half of them otherwise, and says little.
    """
    found: list[tuple[Model, Promise]] = []
    left_out: Counter[str] = Counter()
    at_once_n = 0

    @seed(number)
    @settings(
        max_examples=25 * builds_n,
        database=None,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    @given(small_builds())
    def draw(each: tuple[Model, Promise]) -> None:
        nonlocal at_once_n
        why = outside(*each) or ("too many states" if most_states(*each) > MOST_STATES else "")
        if not why and any(each[0].functions == model.functions for model, _ in found):
            why = "nearly the same"
        if not why and len(found) < builds_n and broken_at_once(*each):
            at_once_n += 1
            why = "broken at power-up" if at_once_n > builds_n // 5 else ""
        if why:
            left_out[why] += 1
        elif len(found) < builds_n:
            found.append(each)

    draw()
    return found, left_out


def broken_at_once(model: Model, promise: Promise) -> bool:
    """Is it broken as the power comes, by our own word? What isn't left out is asked of spin all the same."""
    proof = prove(model, promise)
    return proof.story is not None and fewest_steps(model, promise, proof.story) == 0


def check_all(number: int, builds_n: int, folder: Path) -> None:
    """All that are drawn; prints how each ended."""
    builds, left_out = drawn(number, builds_n)
    ends: Counter[str] = Counter()
    for model, promise in builds:
        found = compare(model, promise, folder)
        assert found.agree, (found, model, promise)
        steps = f" in {found.our_steps_n} steps" if found.ours == "broken" else ""
        ends[f"{found.ours}{steps}, spin: {found.theirs} {found.why}".strip()] += 1
    print(f"\nnot drawn: {dict(left_out)}")
    for end, times in sorted(ends.items()):
        print(f"{times:4} {end}")
    assert len(builds) == builds_n
    assert sum(times for end, times in ends.items() if end.startswith("undecided")) <= 0.15 * builds_n + 1
    assert sum(times for end, times in ends.items() if "not run" in end) <= 0.05 * builds_n


def test_spin_says_the_same_of_random_builds(tmp_path: Path) -> None:
    """Law: five small random builds, the same five every time."""
    check_all(1, 5, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("number", range(10))
def test_spin_says_the_same_of_many_random_builds(number: int, tmp_path: Path) -> None:
    """Law: ten times twenty."""
    check_all(100 + number, 20, tmp_path)


# ------------------------------------------------------------------------------------------------------ planted faults


class NeverHeld(Translation):
    """What is held for two milliseconds never gets there."""

    def _clock_says(self, timed: Timed) -> str:
        said = super()._clock_says(timed)
        return f"(0 && {said})" if isinstance(timed, Held) and timed.time_ms == 2 else said


class LastMoveFirst(Translation):
    """The last move that holds acts, not the first."""

    def _moved(self, memory: Memory) -> str:
        return super()._moved(replace(memory, moves=memory.moves[::-1]))


class NobodyAsks(Translation):
    """Who is held off stays held off."""

    def _asks(self, function: Any) -> str:
        return "0"


class NothingIsExcluded(Translation):
    """The body is not asked."""

    def _believable(self) -> str:
        return "1"


class RanksTurned(Translation):
    """The last in the list of ranks has the head."""

    def __init__(self, model: Model, promise: Promise) -> None:
        super().__init__(model, promise)
        self.rules = Rules(replace(model, ranks=model.ranks[::-1]))


def planted() -> Iterator[tuple[type[Translation], Model]]:
    """Each with a build whose promise it makes another one of."""
    brake: dict[str, Any] = {"when": "brake and gear == D", "then": "tail only red steady", "within": 3}
    yield NeverHeld, vehicle(**brake)
    yield RanksTurned, vehicle(**brake)
    yield LastMoveFirst, vehicle(never="slide leaves full and tone == wail")
    yield NobodyAsks, vehicle(**AFTER, until="pressed key", never="horn")
    excluded = by_hand.build(
        inputs=[by_hand.on_off("brake"), by_hand.on_off("belt")],
        promises=[by_hand.promise("p", never="brake and belt")],
    )
    yield NothingIsExcluded, replace(excluded, cannot_be=((And((Truth("brake"), Truth("belt"))), "it can't"),))


@pytest.mark.parametrize(("fault", "model"), list(planted()), ids=lambda each: getattr(each, "__name__", ""))
def test_a_planted_fault_is_seen(fault: type[Translation], model: Model, tmp_path: Path) -> None:
    """Law: with one rule of the language read wrongly both no longer agree; without it they do."""
    assert compare(model, model.promises[0], tmp_path).agree
    assert not compare(model, model.promises[0], tmp_path, fault).agree
