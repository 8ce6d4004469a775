"""The walk of one aim, from its characters in the file to the judgement that points back at them."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from coachwright.build.load import Loaded, load_build
from coachwright.build.marks import mark_findings
from coachwright.kit.finding import Finding
from coachwright.kit.geom import bearing_and_elevation
from coachwright.light.far_field import head_far_field
from coachwright.light.lit import glows
from coachwright.parts.photometry import beam_table
from coachwright.place.poses import head_pose
from coachwright.proof.verdict import Verdict

AIM = "lamps.corner.aim"
AIMS_DEG = (20.0, 45.0, 130.0)


def at_aim(text: str, aim_deg: float) -> str:
    """The example with the corner lamps turned so far outward."""
    assert text.count("aim: 45 deg") == 1
    return text.replace("aim: 45 deg", f"aim: {aim_deg:g} deg")


@pytest.fixture
def loaded(quillback: str, tmp_path: Path) -> Callable[[float], Loaded]:
    """The example as read with another aim."""

    def load(aim_deg: float) -> Loaded:
        file = tmp_path / f"{aim_deg:g}.yaml"
        file.write_text(at_aim(quillback, aim_deg), encoding="utf-8")
        return load_build(file)

    return load


@pytest.mark.parametrize("aim_deg", AIMS_DEG)
def test_the_mark_holds_the_characters_of_the_aim(aim_deg: float, loaded: Callable[[float], Loaded]) -> None:
    """Case: text -> mark. What the mark points at is the aim and nothing else."""
    document = loaded(aim_deg).document
    mark = document.mark(tuple(AIM.split(".")))

    assert mark is not None
    assert document.text[mark.start : mark.end] == f"{aim_deg:g} deg"
    line = document.text.splitlines()[mark.line - 1]
    assert line[mark.column - 1 :].startswith(f"{aim_deg:g} deg")
    assert line.lstrip().startswith("corner:")


@pytest.mark.parametrize("aim_deg", AIMS_DEG)
def test_the_aim_turns_the_heads_of_both_sides_outward(aim_deg: float, loaded: Callable[[float], Loaded]) -> None:
    """Print: fender-corner looks straight ahead (0 deg), so the left lamp looks to 360 - aim, the right one to aim."""
    model = loaded(aim_deg).model
    assert model is not None
    bearings = {}
    for head in model.heads:
        if head.lamp == "corner":
            assert head.aim_rad == pytest.approx(math.radians(aim_deg), abs=1e-12)
            pose = head_pose(head, model.body, model.part(head.part))
            bearings[head.side] = math.degrees(bearing_and_elevation(pose.forward)[0]) % 360.0

    assert bearings == pytest.approx({"left": 360.0 - aim_deg, "right": aim_deg}, abs=1e-9)


def test_the_light_follows_the_aim(loaded: Callable[[float], Loaded]) -> None:
    """Law: what the corner lamps send round the vehicle is turned with them, and is otherwise the same light."""
    brightest = {}
    for aim_deg in (20.0, 45.0):
        model = loaded(aim_deg).model
        assert model is not None
        glow = next(
            each for each in glows(model, "answering") if each.lamp == "corner.right" and each.part.colour == "red"
        )
        brightest[aim_deg] = math.degrees(glow.bearing_rad)

    assert brightest == pytest.approx({20.0: 20.0, 45.0: 45.0}, abs=1e-6)


def test_a_judgement_points_back_at_the_aim(quillback: str, judged: Callable[[str], Verdict]) -> None:
    """Case: light -> judgement -> mark. Something is judged by what the corner lamps send, and blames their line."""
    verdict = judged(at_aim(quillback, 130.0))
    line = next(n for n, text in enumerate(verdict.text.splitlines(), 1) if text.lstrip().startswith("corner:"))
    column = verdict.text.splitlines()[line - 1].index("130 deg") + 1
    blaming = [each for each in verdict.judgements if each.measure is not None and AIM in each.measure.blame]
    found = [
        finding
        for finding in verdict.findings
        if any((mark.line, mark.column) == (line, column) for mark in finding.where)
    ]

    assert {each.rule.measure.split(".")[0] for each in blaming} >= {"light"}
    assert "PLC-001" in {finding.code for finding in found}
    assert any(finding.code.startswith(("HSE", "OSV", "PLT")) for finding in found)


def test_a_finding_about_the_aim_is_marked_there(loaded: Callable[[float], Loaded]) -> None:
    """Case: path -> mark, for a finding that comes with its subject only."""
    document = loaded(45.0).document
    (found,) = mark_findings((Finding("PLC-001", "lamp-lights-body", "warning", "{why}", about=AIM),), document)

    assert document.text[found.where[0].start : found.where[0].end] == "45 deg"


def test_one_edited_aim_recomputes_the_heads_it_turns(quillback: str, judged: Callable[[str], Verdict]) -> None:
    """Law: between two checks only the light of the corner lamps is worked out again, once per side, colour, grid."""
    judged(quillback)
    before_n, tables_n = head_far_field.calls, beam_table.calls
    verdict = judged(at_aim(quillback, 51.0))
    assert verdict.model is not None
    turned = {
        glow.emitter
        for situation in verdict.model.situations
        for glow in glows(verdict.model, situation.name)
        if glow.head.lamp == "corner"
    }

    again_n = head_far_field.calls - before_n
    grids_n, left_n = divmod(again_n, len(turned))
    assert 2 <= len(turned) <= 4
    assert (1 <= grids_n <= 2, left_n) == (True, 0)  # round the vehicle, and high up for the fields of aircraft lamps
    assert again_n < before_n / 5
    assert beam_table.calls == tables_n


def test_an_edit_of_a_comment_recomputes_nothing(quillback: str, judged: Callable[[str], Verdict]) -> None:
    """Law: what isn't read can't change anything that is worked out."""
    judged(quillback)
    before_n = head_far_field.calls
    judged(f"{quillback}# a last word\n")

    assert head_far_field.calls == before_n
