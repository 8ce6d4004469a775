"""Which cases a job has: each panel open by itself, and a trailer on."""

from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.light.cases import cases_of, trailers_on
from coachwright.light.lit import glows
from coachwright.place.panels import all_panels, open_panels

ROOT = Path(__file__).resolve().parents[2]


def example(name: str) -> Model:
    model = load_build(ROOT / "examples" / name / "build.yaml").model
    assert model is not None
    return model


@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_each_panel_is_open_by_itself_once(name: str) -> None:
    """Law: in each situation that stands for blocking every panel has its turn, and nothing else is open then."""
    model = example(name)
    cases = cases_of(model)
    blocking = [situation.name for situation in model.situations if situation.stands_for == "blocking"]

    assert list(cases.shut) == blocking
    for situation in blocking:
        assert not open_panels(model.body, settings_of(cases.model, cases.shut[situation]))
        turns = [
            panel
            for case in cases.opened[situation]
            for panel in sorted(open_panels(model.body, settings_of(cases.model, case.name)))
        ]
        assert sorted(turns) == sorted(all_panels(model.body))


def test_both_leaves_of_one_signal_open_together() -> None:
    """Case: the rear doors of the van have one switch between them, so no leaf is open by itself."""
    (first, *_) = [case for case in cases_of(example("service-patrol")).opened["blocking"] if len(case.panels) > 1]

    assert first.panels == ("rear-door.left", "rear-door.right")
    assert first.spoken == "rear-door.left and rear-door.right"


def test_everything_else_stays_as_the_situation_has_it() -> None:
    """Law: a case differs from its situation in signals of panels alone."""
    model = example("quillback")
    cases = cases_of(model)
    signals = {panel.signal for panel in model.body.panels.values()}
    signals |= {panel.signal_right for panel in model.body.panels.values()}
    before = dict(settings_of(model, "on-scene-night"))
    for case in cases.opened["on-scene-night"]:
        after = dict(settings_of(cases.model, case.name))
        assert {name for name in before if before[name] != after[name]} <= signals


def test_the_hatch_puts_out_its_bar_and_lights_its_underside() -> None:
    """Case: quillback, hatch open by itself: cap-bar dark, hatch-under lit; with all shut the reverse."""
    cases = cases_of(example("quillback"))
    name = next(case.name for case in cases.opened["on-scene"] if case.panels == ("hatch",))

    def lamps(situation: str) -> set[str]:
        return {glow.head.lamp for glow in glows(cases.model, situation)}

    assert {"cap-bar", "hatch-under"} & lamps(name) == {"hatch-under"}
    assert {"cap-bar", "hatch-under"} & lamps(cases.shut["on-scene"]) == {"cap-bar"}


def test_the_job_itself_is_left_as_it_was() -> None:
    """Law: cases are situations more, with a digest of their own; the job's own situations are the first."""
    model = example("quillback")
    cases = cases_of(model)

    assert cases.model.situations[: len(model.situations)] == model.situations
    assert cases.model.digest != model.digest


def test_a_trailer_that_is_said_to_be_absent_is_not_on() -> None:
    """Case: one that may come along counts where nothing is said, and where it is said to be there."""
    model = example("service-patrol")

    assert [trailer.name for trailer in trailers_on(model, "blocking")] == ["sign-trailer"]
    assert [trailer.name for trailer in trailers_on(model, "with-trailer")] == ["sign-trailer"]
    assert cases_of(model).trailer_on["blocking"] == "blocking, trailer on"
    assert trailers_on(example("quillback"), "on-scene") == ()
