"""The ES module, run by a JavaScript engine that others wrote, lives like the machine."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.export.about import About
from coachwright.control.export.es_module import es_module
from coachwright.control.export.program import step_of
from coachwright.parts.store import load_catalogue
from tests.control import by_hand
from tests.control.export.lives import (
    first_difference,
    random_life,
    rest_of,
    said_by_program,
    told_by_machine,
)
from tests.control.machines import FOCUS, Change, models

ABOUT = About("test")
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*/build.yaml"))
RUN = Path(__file__).with_name("run_module.mjs")


def in_words(model: Model, change: Change) -> dict[str, Any]:
    """The inputs of one step as the module takes them."""
    stands = {name: value for name, value in change.sources.items() if model.input(name).kind != "hazard"}
    return {"stands": stands, "lost": sorted(change.lost), "asleep": change.asleep}


def node(*words: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Runs node."""
    return subprocess.run(["node", *map(str, words)], capture_output=True, text=True, timeout=300, cwd=cwd, check=False)


def told_by_module(model: Model, life: list[Change], folder: Path) -> list[dict[str, Any]]:
    """What the module says after each step."""
    step = step_of(model)
    (folder / "step.mjs").write_text(es_module(step, ABOUT))
    acts = [{"inputs": in_words(model, each), "elapsed": each.elapsed_ms} for each in [rest_of(model), *life]]
    (folder / "life.json").write_text(json.dumps(acts))
    ended = node(RUN, folder / "step.mjs", folder / "life.json")
    assert ended.returncode == 0, ended.stderr
    now: dict[str, Any] = {}
    told = []
    for line in ended.stdout.splitlines():
        now |= json.loads(line)
        told.append(said_by_program(step.facts, now))
    return told


@pytest.mark.slow
@pytest.mark.needs("node")
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_each_step_of_a_random_life_is_the_machines(focus: str, tmp_path: Path, data: st.DataObject) -> None:
    """Law: 10 random builds of each kind, 300 steps each (21,000 in all), through the names of the build."""
    model = data.draw(models(focus=focus))
    life = random_life(model, data.draw(st.integers(0, 10**6)), 300)

    assert first_difference(told_by_machine(model, life), told_by_module(model, life, tmp_path)) == ""


@pytest.mark.needs("node")
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_examples_live_like_the_machine(path: Path, tmp_path: Path) -> None:
    """Case: each example, 400 steps."""
    model = load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts")).model
    assert model is not None
    life = random_life(model, 1, 400)

    assert first_difference(told_by_machine(model, life), told_by_module(model, life, tmp_path)) == ""


@pytest.mark.long
@pytest.mark.needs("node")
@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_million_steps(focus: str, tmp_path: Path, data: st.DataObject) -> None:
    """Law: 30 larger random builds of each kind, 5,000 steps each (1,050,000 in all)."""
    model = data.draw(models(focus=focus, most_functions=8))
    life = random_life(model, data.draw(st.integers(0, 10**6)), 5_000)

    assert first_difference(told_by_machine(model, life), told_by_module(model, life, tmp_path)) == ""


# ------------------------------------------------------------------------------------------------- names in, names out
def little() -> Model:
    """A slide, a toggle and one head."""
    return by_hand.build(
        inputs=[by_hand.slide("slide", "off", "full"), by_hand.toggle("scene"), by_hand.number("speed", rest=3.0)],
        heads=["tail.left"],
        functions=[
            by_hand.function("warning", by="slide", levels={"full": [by_hand.show("tail.left", red="double")]}),
            by_hand.function("work", "task", "scene and speed < 5 m/s", show=by_hand.show("tail.left", white="steady")),
        ],
    )


def answer(folder: Path, script: str) -> Any:
    """What a script that has the module prints, as JSON."""
    (folder / "step.mjs").write_text(es_module(step_of(little()), ABOUT))
    (folder / "ask.mjs").write_text(f"import {{ powerUp, step, describe }} from './step.mjs';\n{script}\n")
    ended = node("--disallow-code-generation-from-strings", "ask.mjs", cwd=folder)
    assert ended.returncode == 0, ended.stderr
    return json.loads(ended.stdout)


@pytest.mark.needs("node")
def test_a_story_in_names(tmp_path: Path) -> None:
    """Case: the owner, the colour and its share come out by name; nothing needs code made from text."""
    told = answer(
        tmp_path,
        """
        let now = powerUp({ stands: { slide: "full" } });
        const one = now.outputs.heads.get("tail.left");
        now = step(now.state, { stands: { slide: "full", scene: "pressed" } }, 250);
        const two = now.outputs.heads.get("tail.left");
        console.log(JSON.stringify([one.owners, one.colours[0].show.pattern.word, two.owners, two.colours[0].share]));
        """,
    )

    assert told == [["warning"], "double", ["work"], 10000]


@pytest.mark.needs("node")
def test_kept_values_can_be_laid_in(tmp_path: Path) -> None:
    """Case: a preview begins with a toggle that is on."""
    told = answer(tmp_path, "console.log(JSON.stringify(powerUp({}, { scene: 'on' }).outputs.active));")

    assert told == ["work"]


@pytest.mark.needs("node")
@pytest.mark.parametrize(
    ("script", "said"),
    [
        ("powerUp({ stands: { slid: 'full' } })", "No control or signal is named slid."),
        ("powerUp({ stands: { slide: 'half' } })", "slide is never half. It has off, full."),
        ("powerUp({ stands: { speed: NaN } })", "speed is a number, and reads NaN."),
        ("powerUp({ lost: ['__proto__'] })", "No control or signal is named __proto__."),
        ("step(powerUp().state, {}, -1)", "-1 ms: time is whole milliseconds, and doesn't run backward."),
        ("step(powerUp().state, {}, 0.5)", "0.5 ms: time is whole milliseconds, and doesn't run backward."),
        ("powerUp({}, { slide: 'full' })", "slide doesn't keep full."),
    ],
)
def test_what_isnt_known_is_refused_in_words(script: str, said: str, tmp_path: Path) -> None:
    """Case: a name, a value or a time that can't be is an error that says which."""
    told = answer(tmp_path, f"try {{ {script}; }} catch (error) {{ console.log(JSON.stringify(error.message)); }}")

    assert told == said


def test_no_code_is_made_from_text() -> None:
    """Law: none of what a strict content security policy forbids stands in the module."""
    text = es_module(step_of(little()), ABOUT)

    assert [
        word for word in ("eval", "Function(", "import(", "innerHTML", "document", "require(") if word in text
    ] == []
