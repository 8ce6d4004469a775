"""Exported programs, read back from their text, live like the machine: 20,000 steps, a million in `make long`.

What time, sources and rounds do is shown here; what the proof shows for every setting is in test_proof.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.export.about import About
from coachwright.control.export.exported import json_table
from coachwright.control.export.program import step_of
from coachwright.control.export.structured_text import read_structured_text, structured_text
from coachwright.control.export.table import read_table
from coachwright.parts.store import load_catalogue
from tests.control.export.lives import first_difference, random_life, told_by_machine, told_by_program
from tests.control.machines import FOCUS, models

ABOUT = About("test")
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*/build.yaml"))


def check_lives(model: Model, seed: int, steps_n: int) -> None:
    """Structured Text and JSON, each read back, say what the machine says after each step."""
    step = step_of(model)
    life = random_life(model, seed, steps_n)
    expected = told_by_machine(model, life)
    for program in (
        read_structured_text(structured_text(step, ABOUT)),
        read_table(json_table(step, ABOUT)),
    ):
        assert first_difference(expected, told_by_program(model, program, step.facts, life)) == ""


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=20)
@given(data=st.data())
def test_each_step_of_a_random_life_is_the_machines(focus: str, data: st.DataObject) -> None:
    """Law: 20 random builds of each kind, 150 steps each (21,000 in all): readings, memory, heads, sirens, messages."""
    check_lives(data.draw(models(focus=focus)), data.draw(st.integers(0, 10**6)), 150)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_examples_live_like_the_machine(path: Path) -> None:
    """Case: each example, 400 steps."""
    model = load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts")).model
    assert model is not None

    check_lives(model, 1, 400)


@pytest.mark.long
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=120)
@given(data=st.data())
def test_a_million_steps(focus: str, data: st.DataObject) -> None:
    """Law: 120 larger random builds of each kind, 1,200 steps each (1,008,000 in all)."""
    check_lives(data.draw(models(focus=focus, most_functions=8)), data.draw(st.integers(0, 10**6)), 1_200)
