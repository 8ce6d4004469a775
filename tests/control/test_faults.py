"""One source at a time that doesn't tell the truth: what holds, what breaks, what the machine can't know."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.control.faults import UnderFault, under_faults
from coachwright.control.prove import prove
from tests.control import by_hand
from tests.control.machines import FOCUS, models
from tests.control.promises_at_random import promises


def tail(**promise: str) -> Model:
    """A brake that lights the tail unless the gear is P; a hatch that darkens it while open."""
    return by_hand.build(
        inputs=[
            by_hand.on_off("brake", lost="on"),
            by_hand.states("gear", "P", "R", "D"),
            by_hand.states("hatch", "closed", "open", lost="closed"),
            by_hand.toggle("scene"),
        ],
        heads=["tail"],
        functions=[
            by_hand.function("stop", "road", "brake and gear != P", show=by_hand.show("tail", red="steady 100 %")),
            by_hand.function("shade", "open", "hatch == open", show=by_hand.show("tail", dark=True)),
            by_hand.function("glow", "warn", "scene", show=by_hand.show("tail", white="steady 100 %")),
        ],
        promises=[by_hand.promise("p", **promise)],
    )


def states(model: Model) -> dict[tuple[str, str], str]:
    return {(each.input, each.stuck_at): each.state for each in under_faults(model, model.promises[0])}


def test_a_brake_that_is_never_read_is_blind() -> None:
    """Case: brake pressed and never read: nothing the machine could do; stuck on, and lost (reads on), it holds."""
    found = states(tail(when="brake and gear == D", then="tail red steady"))

    assert found["brake", "off"] == "blind"
    assert found["brake", "on"] == "holds"
    assert found["brake", "lost"] == "holds"


def test_what_cant_hold_under_a_fault_is_not_asked() -> None:
    """Case: with the gear read as R the machine never sees D; truly it may stand there, and red still shows."""
    found = states(tail(when="brake and gear == D", then="tail red steady"))

    assert found["gear", "P"] == "blind"
    assert found["gear", "R"] == "not asked"
    assert found["gear", "D"] == "holds"
    assert found["gear", "lost"] == "blind"  # it holds what was read last, P too


def test_a_story_under_a_fault_names_the_fault_first() -> None:
    """Case: white is shown whatever else is stuck; the story begins with what is stuck and ends with the switch."""
    model = tail(never="tail white steady")
    (broken,) = [each for each in under_faults(model, model.promises[0]) if each.state == "broken"][:1]

    assert broken.story is not None
    assert "scene on" in " ".join(broken.story.lines)
    assert broken.input in broken.story.start_text


def test_what_a_lower_rank_reads_can_stick_without_harm() -> None:
    """Case: hatch and toggle belong to functions that want the same head; the road has it whatever they read."""
    found = states(tail(when="brake and gear == D", then="tail red steady"))

    assert {name for name, _ in found} == {"brake", "gear", "hatch", "scene"}
    assert all(state == "holds" for (name, _), state in found.items() if name in ("hatch", "scene"))


def test_a_fault_is_told_as_a_person_says_it() -> None:
    """Case: the words of a fault."""
    assert str(UnderFault("brake", "off", "blind")) == "brake stuck at off: blind"
    assert str(UnderFault("brake", "lost", "holds")) == "brake lost: holds"


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=6)
@given(data=st.data())
def test_what_is_broken_without_a_fault_has_a_fault_that_breaks_it(focus: str, data: st.DataObject) -> None:
    """Law: a story that moves nothing but what isn't stuck breaks the promise under that fault too."""
    model = data.draw(models(focus=focus))
    promise = data.draw(promises(model))
    proof = prove(model, promise)
    found = under_faults(model, promise)
    if proof.state != "broken" or proof.story is None:
        return
    moved = {name for act in proof.story.acts for name, _ in act.settings} | {name for name, _ in proof.story.start}
    still = [
        item for item in model.inputs if item.name not in moved and item.values and item.kind in ("on-off", "states")
    ]
    for item in still:
        state = next((f.state for f in found if (f.input, f.stuck_at) == (item.name, str(item.rest))), "broken")
        assert state in ("broken", "undecided")
