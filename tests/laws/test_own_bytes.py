"""An edit changes its own characters and no others, and the file can still be judged."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.edit import DeleteEntry, SetValue, edit_text
from coachwright.build.load import read_build
from coachwright.kit.nodes import read_nodes
from tests.laws.builds import catalogue, judged_text

EXAMPLE = (Path(__file__).resolve().parents[2] / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")
DOCUMENT = read_nodes(EXAMPLE, file="build.yaml")

ANGLES = st.integers(-60, 60).map(lambda angle: f"{angle} deg")
SHARES = st.integers(5, 95).map(lambda share: f"{share} %")
EDITS = {
    "lamps.corner.aim": ANGLES,
    "lamps.mirror.aim": ANGLES,
    "limits.night-dim.scale-to": SHARES,
    "limits.low-dim.scale-to": SHARES,
    "count": st.integers(5, 500).map(str),  # the example names vehicles up to number 5
    "job.name": st.sampled_from(["Duty pickups", "a: b, c", "No 7 # not a comment", 'say "ready"', "Größe 3"]),
    "lamps.grille.part": st.sampled_from(["short-red-white", "short-red-amber-white"]),
    "situations.answering.speed": st.integers(0, 100).map(lambda speed: f"{speed} mph"),
    "functions.tray-red.show.1.red": SHARES.map(lambda share: f"steady {share}"),
    "messages.belts.say": st.sampled_from(["Belts", "Fasten your belt, please", "yes"]),
    "words.travelling": st.integers(1, 60).map(lambda speed: f"speed > {speed} mph held 3 s"),
}


@st.composite
def edits(draw: st.DrawFn) -> SetValue:
    """One new value at one path."""
    path = draw(st.sampled_from(sorted(EDITS)))
    return SetValue(path, draw(EDITS[path]))


@given(edits())
def test_everything_but_the_value_stays_byte_for_byte(edit: SetValue) -> None:
    """Law: what stands before and behind the value's own characters is untouched, and the file is understood."""
    assert isinstance(edit.path, str)
    mark = DOCUMENT.mark(tuple(edit.path.split(".")))
    assert mark is not None
    before, behind = EXAMPLE[: mark.start], EXAMPLE[mark.end :]
    edited = edit_text(EXAMPLE, [edit]).text

    assert edited.startswith(before)
    assert edited.endswith(behind)
    loaded = read_build(edited, catalogue=catalogue())
    assert loaded.model is not None, [finding.values for finding in loaded.findings]


@given(edits(), edits())
def test_two_edits_are_the_one_and_then_the_other(first: SetValue, second: SetValue) -> None:
    """Law: edits at different places don't know of each other."""
    if first.path != second.path:
        both = edit_text(EXAMPLE, [first, second]).text

        assert both == edit_text(edit_text(EXAMPLE, [first]).text, [second]).text
        assert both == edit_text(edit_text(EXAMPLE, [second]).text, [first]).text


def test_the_value_it_had_gives_back_the_file() -> None:
    """Law: there and back again is no change at all."""
    there = edit_text(EXAMPLE, [SetValue("lamps.corner.aim", "12 deg")]).text

    assert there != EXAMPLE
    assert edit_text(there, [SetValue("lamps.corner.aim", "45 deg")]).text == EXAMPLE


def test_a_check_still_runs_after_an_edit() -> None:
    """Case: check judges the edited file whole; a lamp fewer in the tray darkens no promise of the others."""
    for edit in (SetValue("lamps.corner.aim", "30 deg"), DeleteEntry("functions.camera-on")):
        verdict = judged_text(edit_text(EXAMPLE, [edit]).text)

        assert verdict.model is not None
        assert len(verdict.judgements) > 100
        assert not [finding for finding in verdict.findings if finding.code in ("VER-002", "VER-006", "VER-007")]
