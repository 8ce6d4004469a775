"""A second opinion on promises: z3, over formulas written apart from our circuit, says the same of one moment."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import z3
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model, Promise
from coachwright.control.claims import Terms
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine
from coachwright.control.measures_proved import PROPERTIES
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.parts.store import load_catalogue
from tests.control import by_hand
from tests.control.machines import FOCUS, models
from tests.control.promises_at_random import head_statements, promises
from tests.control.second_opinion import Opinion

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))


def ours(model: Model, promise: Promise) -> bool:
    """Is there a moment at rest that breaks it, reached or not? By the circuit."""
    needed = needed_for(model, promise)
    moment = Moment(needed, build_machine(needed))
    promised = Promised(moment, Shown(moment), promise)
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        return solver.can_be(promised.broken)
    finally:
        solver.close()


def theirs(model: Model, promise: Promise) -> bool:
    """The same by z3, of the whole build."""
    opinion = Opinion(model)
    return opinion.can_be(opinion.breaks(promise))


@cache
def example(build: Path) -> Model:
    loaded = read_build(build.read_text(encoding="utf-8"), file=str(build), catalogue=load_catalogue())
    assert loaded.model is not None
    return loaded.model


@pytest.mark.parametrize("build", EXAMPLES, ids=lambda path: path.parent.name)
def test_z3_says_the_same_of_every_promise_of_the_examples(build: Path) -> None:
    """Law: of each promise of the file, whether any moment at all breaks it."""
    model = example(build)

    assert {each.name: ours(model, each) for each in model.promises} == {
        each.name: theirs(model, each) for each in model.promises
    }


@pytest.mark.parametrize("prop", PROPERTIES)
def test_z3_says_the_same_of_what_packs_promise(prop: str) -> None:
    """Law: of each claim about the harbour district's pickup, whether any moment at all breaks it."""
    model = example(next(path for path in EXAMPLES if path.parent.name == "quillback"))
    terms = Terms(30.0 if prop.endswith(("key-out", "standing")) else 0.2, 15.0)
    asked = [claim.promise for claim in PROPERTIES[prop](model, terms)]

    assert [ours(model, each) for each in asked] == [theirs(model, each) for each in asked]


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=20)
@given(data=st.data())
def test_z3_says_the_same_of_random_machines(focus: str, data: st.DataObject) -> None:
    """Law: of random builds and promises, whether any moment at all breaks the promise."""
    model = data.draw(models(focus=focus, most_functions=4))
    promise = data.draw(promises(model))

    assert ours(model, promise) == theirs(model, promise)


@pytest.mark.parametrize("focus", ["anything", "hold-offs", "heads"])
@settings(max_examples=15)
@given(data=st.data())
def test_z3_says_the_same_of_what_heads_show(focus: str, data: st.DataObject) -> None:
    """Law: whether a statement can be true, or false, or true but for its excuse, its `only` and its `at least`."""
    model = data.draw(models(focus=focus))
    statement = data.draw(head_statements(every=data.draw(st.booleans())))
    excused = frozenset(data.draw(st.lists(st.sampled_from([each.name for each in model.functions]), max_size=2)))
    weaker = replace(statement, only=False, at_least_share=None)
    moment, opinion = Moment(model, build_machine(model)), Opinion(model)
    shown = Shown(moment)
    asked = [(statement, frozenset()), (statement, excused), (weaker, frozenset())]
    here = [shown.heads_say(*each) for each in asked]
    there = [opinion.said(*each) for each in asked]
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        for one, other in ((0, 1), (1, 0), (2, 0)):
            mine = solver.can_be(here[one], -here[other])
            assert mine == opinion.can_be(there[one], z3.Not(there[other])), (one, other)
        assert solver.can_be(here[0]) == opinion.can_be(there[0])
        assert solver.can_be(-here[0]) == opinion.can_be(z3.Not(there[0]))
    finally:
        solver.close()


@pytest.mark.parametrize(
    ("never", "but", "can_be"),
    [
        ("bar red steady at least 40 %", "", True),
        ("bar red steady at least 41 %", "", False),
        ("bar red steady at least 21 % and night", "", False),
        ("bar red steady at least 20 % and night", "", True),
        ("bar red steady and not night", "glow", False),
        ("bar dark", "", True),
        ("bar dark and shade", "shade-on", False),
        ("bar only red steady and flash", "", False),
        ("bar red steady and flash", "", False),
        ("bar white flashing", "", True),
        ("bar white flashing", "flash-on", False),
        ("bar white single", "", True),
        ("bar white double", "", False),
        ("siren and not shade", "", False),
        ("siren and shade", "", True),
        ("siren", "shade-on", False),
    ],
)
def test_z3_and_the_circuit_say_what_the_page_says(never: str, but: str, can_be: bool) -> None:
    """docs/control.md, promises: steady, dark, only, at least, but, of one head, worked out by hand."""
    model = by_hand.build(
        inputs=[by_hand.on_off(name) for name in ("night", "flash", "shade")],
        heads=["bar"],
        equipment=["siren"],
        functions=[
            by_hand.function("glow", "ease", "not flash", show=by_hand.show("bar", red="steady 40 %")),
            by_hand.function("flash-on", "warn", "flash", show=by_hand.show("bar", white="single")),
            by_hand.function("shade-on", "open", "shade", show=by_hand.show("bar", dark=True), sound={"siren": "wail"}),
        ],
        limits=[by_hand.limit("dim", "night", 0.5, "ease")],
        promises=[by_hand.promise("p", never=never, **({"but": [but]} if but else {}))],
    )

    assert (ours(model, model.promises[0]), theirs(model, model.promises[0])) == (can_be, can_be)


@pytest.mark.long
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=200)
@given(data=st.data())
def test_z3_says_the_same_of_many_random_machines(focus: str, data: st.DataObject) -> None:
    """Law: the same of two hundred of each focus."""
    model = data.draw(models(focus=focus, most_functions=4))
    promise = data.draw(promises(model))

    assert ours(model, promise) == theirs(model, promise)
