"""A second opinion on promises: z3, over formulas written apart from our circuit, says the same of one moment."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
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
from tests.control.machines import FOCUS, models
from tests.control.promises_at_random import promises
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
