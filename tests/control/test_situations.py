"""control.situations: a situation comes to rest before it is judged, and can be tried from there."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control.measures_show import heads_lit
from coachwright.control.situations import (
    after,
    judged,
    machine_digest,
    machine_of,
    rest_inputs,
    settings_of,
    settled,
    tried,
)
from tests.control.promises_in_situations import broken_promises

QUILLBACK = (Path(__file__).parents[2] / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")


def model_of(text: str) -> Model:
    """A model, or everything that is wrong with the text."""
    loaded = read_build(text, file="build.yaml")
    assert loaded.model is not None, loaded.findings
    return loaded.model


@pytest.fixture(scope="module")
def quillback() -> Model:
    """The example job."""
    return model_of(QUILLBACK)


# ---- case
def test_a_toggle_that_is_tried_is_pushed_not_held(quillback: Model) -> None:
    """Once it stands no finger is on it, so it can be pushed again from there."""
    machine = machine_of(quillback)
    on = after(machine, settled(quillback, "patrolling").state, {"takedown": "on"})
    off = after(machine, on.state, {"takedown": "off"})

    assert "takedown-on" in on.outputs.active
    assert "takedown-on" not in off.outputs.active


def test_unnamed_inputs_are_at_rest(quillback: Model) -> None:
    """Ignition run, engine running, gear P, speed 0, supply 13.8 V, all else off, closed."""
    rest = rest_inputs(quillback)

    assert (rest["ignition"], rest["engine"], rest["gear"], rest["speed"]) == ("run", "running", "P", 0.0)
    assert rest["supply"] == pytest.approx(13.8)
    assert (rest["brake"], rest["hatch"], rest["takedown"]) == ("off", "closed", "off")


def test_a_timed_word_has_had_its_time(quillback: Model) -> None:
    """night is `headlamps held 3 s`: in a situation it holds, and dims."""
    outputs = judged(quillback, "answering-night")
    part = outputs.head("grille.left").parts[0]

    assert part.limited_by == "night-dim"
    assert part.share == pytest.approx(0.4)


def test_memory_that_is_named_is_laid_in(quillback: Model) -> None:
    """answering has `tone: wail`, and the siren wails."""
    (sound,) = judged(quillback, "answering").sounds

    assert (sound.siren, sound.tone) == ("main-siren", "wail")


def test_a_memory_that_a_move_takes_away_is_told() -> None:
    """Laid in beside a condition that moves it at once, it doesn't stay."""
    model = model_of(
        QUILLBACK.replace("{on: becomes parked, to: standby}", "{on: parked, to: standby}").replace(
            "    gear: D\n    tone: wail\n    speed: 45 mph", "    gear: P\n    tone: wail"
        )
    )

    assert settled(model, "answering").lost_memory == (("tone", "standby"),)


def test_a_try_goes_on_from_the_situation(quillback: Model) -> None:
    """Braking while answering: the tail burns red, the rest goes on warning."""
    outputs = tried(quillback, "answering", {"brake": "on"})

    assert [part.owner for part in outputs.head("tail.left").parts] == ["brake-shows"]
    assert [part.owner for part in outputs.head("grille.left").parts] == ["warning", "warning"]


def test_a_try_names_only_what_the_vehicle_has(quillback: Model) -> None:
    """Rules try park brakes also on vehicles without one."""
    assert tried(quillback, "answering", {"no-such-input": "on"}) == tried(quillback, "answering", {})


def test_a_siren_put_into_park_falls_silent_and_stays_so(quillback: Model) -> None:
    """becomes parked sends the tone to standby; it has to be asked for again."""
    assert tried(quillback, "answering", {"gear": "P", "speed": 0.0}).sounds == ()


def test_a_promise_broken_in_a_situation_is_known() -> None:
    """Without its dark show the bar shines on the crew, and crew-dark names where."""
    model = model_of(QUILLBACK.replace("show: [{on: cap-bar, dark: yes}]", "show: [{on: cap-bar, amber: single}]"))

    broken = broken_promises(model)
    assert "on-scene" in broken["crew-dark"]
    assert broken["quiet-park"] == ()


def test_promises_that_hold_are_broken_nowhere(quillback: Model) -> None:
    """Which is no proof."""
    assert set(broken_promises(quillback).values()) == {()}


def test_a_turned_lamp_leaves_the_machine_as_it_was(quillback: Model) -> None:
    """Aims can't change who shows what; a condition can."""
    turned = model_of(QUILLBACK.replace("aim: 45 deg", "aim: 30 deg"))
    changed = model_of(QUILLBACK.replace("when: gear == R, show", "when: gear == N, show"))

    assert machine_digest(turned) == machine_digest(quillback)
    assert machine_digest(changed) != machine_digest(quillback)
    assert turned.digest != quillback.digest


def test_heads_lit_counts_also_what_is_not_there(quillback: Model) -> None:
    """A rule that wants no white to the front in Park needs the zero."""
    rows = {
        (row.facts["colour"], row.facts["rank"], row.facts["manner"], row.facts["toward"]): row.value
        for row in heads_lit(quillback, situation="on-scene")
    }

    assert rows["white", "warn", "flashing", "front"] == 0
    assert rows["red", "warn", "flashing", "front"] >= 8


# ---- law
@given(st.data())
def test_what_a_situation_sets_is_what_it_reads(data: st.DataObject) -> None:
    """Law: settings named last win, the rest is at rest."""
    model = model_of(QUILLBACK)
    name = data.draw(st.sampled_from([each.name for each in model.situations]))
    written = dict(model.situation(name).settings)

    for key, value in settings_of(model, name):
        assert value == written.get(key, rest_inputs(model)[key])
