"""Hidden lamps: a share by hand, then what a lead would see when a lamp is moved or a panel opened."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.geom import Pose
from coachwright.light import lit
from coachwright.light.far_field import far_field
from coachwright.light.hidden_measures import hidden_share
from coachwright.light.lit import LEVEL, ROUND, flashing, glows, standing
from coachwright.light.measures import optical_power
from coachwright.light.shadow import NOTHING, Scene
from coachwright.parts.schema import Place
from coachwright.parts.store import load_catalogue
from coachwright.proof.verdict import check
from tests.light.scenes import hidden_round

EXAMPLES = Path(__file__).parents[2] / "examples"
LIMIT = 0.2
"""HSE-056."""


def text_of(name: str) -> str:
    """The build of an example."""
    return (EXAMPLES / name / "build.yaml").read_text(encoding="utf-8")


def changed(name: str, *swaps: tuple[str, str]) -> Model:
    """An example with some of its words exchanged; each has to be there once."""
    text = text_of(name)
    for old, new in swaps:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    model = read_build(text, catalogue=load_catalogue()).model
    assert model is not None
    return model


@cache
def example(name: str) -> Model:
    """One of the three."""
    model = load_build(EXAMPLES / name / "build.yaml").model
    assert model is not None
    return model


def shares(model: Model) -> dict[tuple[str, str], tuple[float, str]]:
    """Hidden share of each lamp in each situation, and by what."""
    return {
        (measure.about, situation.name): (float(measure.value or 0.0), str(measure.facts["by"]))
        for situation in model.situations
        for measure in hidden_share(model, situation=situation.name)
    }


# ------------------------------------------------------------------------------------------------------------- print
def test_share_is_that_of_its_own_quarter_by_hand() -> None:
    """Of the light within 45 deg of straight back, level and 5 deg up and down, what is hidden is the share."""
    model = example("service-patrol")
    (found,) = [m for m in hidden_share(model, situation="blocking-doors") if m.about == "lamps.quarter"]
    head = next(glow for glow in flashing(model, "blocking-doors").glows if glow.head.id == "quarter.left")
    bare = far_field([head.emitter], ROUND)[0]
    hidden = hidden_round(head.view, ROUND) != NOTHING
    rear = [
        place
        for place, bearing in enumerate(ROUND.bearings_rad)
        if abs(bearing - 3.14159265) < 0.7855 and place % 2 == 0
    ]
    rows = slice(LEVEL - 1, LEVEL + 2)

    assert len(rear) == 19
    assert found.value == pytest.approx(bare[rows, rear][hidden[rows, rear]].sum() / bare[rows, rear].sum())
    assert found.value > 0.95
    assert found.facts["by"] == "rear door left"
    assert found.blame[0] == "lamps.quarter.at"


# -------------------------------------------------------------------------------------------------------------- case
def test_lamps_of_the_examples_are_hidden_by_nothing_but_open_doors() -> None:
    """Case: shut, no lamp of the three loses a fifth; the van's quarter lamps do when its rear doors stand out."""
    hidden = {
        (name, about, situation, by)
        for name in ("quillback", "volunteer-car", "service-patrol")
        for (about, situation), (share, by) in shares(example(name)).items()
        if share > LIMIT
    }

    assert hidden == {("service-patrol", "lamps.quarter", "blocking-doors", "rear door left")}


@pytest.mark.slow
def test_finding_names_by_what() -> None:
    """Case: who reads the finding knows the lamp, the quarter and the piece."""
    verdict = check(EXAMPLES / "service-patrol" / "build.yaml", today=date(2026, 11, 25))
    (found,) = [finding for finding in verdict.findings if finding.code == "HSE-056"]

    assert found.about == "lamps.quarter"
    assert "hidden by rear door left" in str(found)


def test_lamp_behind_roof_gear_fails_there_and_nowhere_else() -> None:
    """Case: the van's grille lamps put on the roof behind its bar are hidden by it; all others stay as they were."""
    before = example("service-patrol")
    bar = before.body.places["roof-front"]
    spot = bar.model_copy(update={"x": bar.x - 0.5, "y": 0.3, "mirrored": True})
    assert isinstance(spot, Place)
    body = before.body.model_copy(update={"places": {**before.body.places, "behind-the-bar": spot}})
    after = replace(
        before,
        digest="grille behind the bar",
        body=body,
        heads=tuple(replace(head, place="behind-the-bar") if head.lamp == "grille" else head for head in before.heads),
    )
    was, now = shares(before), shares(after)
    failing = {about for (about, _), (share, _) in now.items() if share > LIMIT}

    assert failing - {"lamps.quarter"} == {"lamps.grille"}
    assert {by for (about, _), (_, by) in now.items() if about == "lamps.grille"} == {"roof-bar"}
    assert {key: was[key] for key in was if key[0] != "lamps.grille"} == {
        key: now[key] for key in now if key[0] != "lamps.grille"
    }
    (told,) = [m for m in hidden_share(after, situation="blocking") if m.about == "lamps.grille"]
    assert told.facts["by-path"] == "lamps.roof-bar"
    assert told.blame[:2] == ("lamps.grille.at", "lamps.roof-bar")


def test_open_hatch_hides_a_bar_on_the_cap() -> None:
    """Case: the pickup's bar moved outside, onto the cap's rear edge, is seen until the hatch swings up behind it."""
    outside = changed(
        "quillback",
        ("at: cap-hatch-glass}", "at: cap-roof-rear}"),
        ("  hatch-open: {rank: open, when: hatch == open, show: [{on: cap-bar, dark: yes}]}\n", ""),
        ("  crew-dark:  {when: tray-in-use, then: cap-bar dark}\n", ""),
    )
    found = shares(outside)

    assert found["lamps.cap-bar", "on-scene-shut"][0] < 0.05
    assert found["lamps.cap-bar", "on-scene"][0] > 0.5
    assert found["lamps.cap-bar", "on-scene"][1].startswith("hatch")
    others = {key: value for key, value in found.items() if key[0] != "lamps.cap-bar"}
    assert max(share for share, _ in others.values()) <= LIMIT

    rear = {name: _rear_power(outside, name) for name in ("on-scene-shut", "on-scene")}
    bare = {name: _rear_power(outside, name, without_shadow=True) for name in rear}
    assert rear["on-scene-shut"] == pytest.approx(bare["on-scene-shut"], rel=0.01)
    assert rear["on-scene"] < 0.9 * bare["on-scene"]


def test_open_hatch_changes_the_rear_of_the_pickup_and_not_its_front() -> None:
    """Case: with hatch and gate up and down, front and sides keep their light; the rear has other lamps, and enough."""
    model = example("quillback")
    open_, shut = (
        {m.facts["zone"]: m for m in optical_power(model, situation=s) if m.facts["level"] == "both"}
        for s in ("on-scene", "on-scene-shut")
    )
    lamps = {
        s: {glow.head.lamp for glow in flashing(model, s).glows if "C" in glow.zones}
        for s in ("on-scene", "on-scene-shut")
    }

    assert open_["A"].value == pytest.approx(shut["A"].value)
    assert {"hatch-under", "gate-edge"} <= lamps["on-scene"]
    assert "cap-bar" in lamps["on-scene-shut"] - lamps["on-scene"]
    assert open_["C"].value != pytest.approx(shut["C"].value, rel=1e-3)


def test_lamp_of_a_pair_is_told_by_its_worse_side() -> None:
    """Case: one answer for a pair, of the side that loses more; a crate beside the right lamp names that one."""
    model = example("quillback")
    found = [m for m in hidden_share(model, situation="answering") if m.about == "lamps.grille"]

    assert len(found) == 1
    assert found[0].where.startswith("grille.left")
    assert found[0].where.endswith("nothing in the way")


def _rear_power(model: Model, situation: str, *, without_shadow: bool = False) -> float:
    if without_shadow:
        model = replace(model, digest=f"{model.digest} bare")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(lit, "scene_of", lambda *_: Scene(()))
            return _rear_power(model, situation)
    (found,) = [
        m for m in optical_power(model, situation=situation) if m.facts["zone"] == "C" and m.facts["level"] == "both"
    ]
    return float(found.value or 0.0)


def test_position_of_a_glow_is_that_of_its_pose() -> None:
    """Case: what is asked of eyes and shadows begins at the optical centre."""
    model = example("quillback")
    stand = dict(zip((head.id for head in model.heads), standing(model, frozenset()), strict=True))
    for glow in glows(model, "answering"):
        assert glow.position_m == stand[glow.head.id].view.position_m
        assert isinstance(Pose(glow.position_m, glow.emitter.forward, glow.emitter.up), Pose)
