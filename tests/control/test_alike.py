"""Two builds compared: what is called alike never differs, what differs is told by a story."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control.alike import Alike, alike, outputs_of_both
from coachwright.control.machine import build_machine, power_up, step
from coachwright.control.sources import start_values
from tests.control.machines import FOCUS, conditions, models, stories
from tests.control.test_machine_against_reference import standing

TEXT = (Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")


def changed(old: str, new: str) -> Alike:
    """quillback against itself with one line changed."""
    assert TEXT.count(old) >= 1
    one, other = (read_build(text).model for text in (TEXT, TEXT.replace(old, new)))
    assert one is not None
    assert other is not None
    return alike(one, other)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("when: brake and not parked, show", "when: not parked and brake, show"),
        ("ranks: [road, open, task, traffic, warn, ease]", "ranks: [road, task, open, traffic, warn, ease]"),
    ],
)
def test_another_way_to_say_the_same_is_proved_alike(old: str, new: str) -> None:
    """Case: `and` the other way round; two ranks that never meet on one head."""
    assert changed(old, new) == Alike("alike")


def test_a_condition_left_out_is_told_by_the_shortest_story() -> None:
    """Case: the brake in Park; one act, and the heads that differ with what they did and do."""
    found = changed("when: brake and not parked, show", "when: brake, show")

    assert (found.ends, found.acts) == ("different", ("brake on",))
    assert ("tail.left", "dark") in found.old
    assert ("tail.left", "red steady at 100 %") in found.new


def test_a_longer_time_is_told_by_waiting_for_it() -> None:
    """Case: night after 4 s and not after 3 s: after 3 s one is dimmed and the other isn't."""
    found = changed("headlamps held 3 s", "headlamps held 4 s")

    assert found.ends == "different"
    assert found.acts[-1] == "wait 3 s"
    assert "headlamps on" in found.acts


def test_the_share_of_a_limit_counts() -> None:
    """Case: 45 % and not 40 % by night."""
    found = changed("scale-to: 40 %", "scale-to: 45 %")

    assert found.ends == "different"
    assert "at 40 %" in found.old[0][1]
    assert "at 45 %" in found.new[0][1]


@pytest.fixture
def short_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    """How far is looked for a story is no matter to what is proved."""
    monkeypatch.setattr("coachwright.control.alike.STEPS_MOST", 150)


@pytest.mark.usefixtures("short_searches")
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_what_is_alike_never_differs(focus: str, data: st.DataObject) -> None:
    """Law: a random build against itself with one condition changed; if alike, no story tells them apart."""
    model = data.draw(models(focus=focus))
    memories = {memory.name: memory.values for memory in model.memories}
    reading = conditions(list(model.inputs), memories, tuple(word.name for word in model.words))
    place = data.draw(st.integers(0, len(model.functions) - 1))
    functions = list(model.functions)
    functions[place] = replace(functions[place], when=data.draw(reading))
    other = replace(model, functions=tuple(functions))
    found = alike(model, other)
    if found.ends == "alike":
        for _ in range(3):
            _go(model, other, data)
    assert alike(model, model).ends == "alike"
    mirrored = alike(other, model)
    assert {found.ends, mirrored.ends} in ({"alike"}, {"different"}, {"undecided"}, {"different", "undecided"})


def _go(model: Model, other: Model, data: st.DataObject) -> None:
    machines = [build_machine(each) for each in (model, other)]
    states = []
    for each, machine in zip((model, other), machines, strict=True):
        inputs, _ = start_values(each.inputs, machine.sources, {})
        states.append(power_up(machine, inputs)[0])
    for change in data.draw(stories(model, still=True)):
        new = standing(model, change)
        stepped = [
            step(machine, state, new, change.elapsed_ms) for machine, state in zip(machines, states, strict=True)
        ]
        states = [state for state, _ in stepped]
        assert all(was == now for was, now in outputs_of_both(stepped[0][1], stepped[1][1]).values())
