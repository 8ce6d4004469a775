"""The promises in the proof book: how each ends, what breaks it, what a lying source does."""

from dataclasses import replace
from pathlib import Path

from coachwright.build.load import load_build
from coachwright.papers.promise_rows import promise_rows
from tests.control import by_hand

ROOT = Path(__file__).parents[2]


def test_a_proved_promise_is_the_only_green_one() -> None:
    """Case: quillback's promises are proved; a brake that is never read is told as blind, at the promise's line."""
    loaded = load_build(ROOT / "examples" / "quillback" / "build.yaml")
    rows = {row["name"]: row for row in promise_rows(loaded.model, loaded.document)}

    assert {row["state"]["word"] for row in rows.values()} == {"proved"}
    assert any(fault.startswith("brake stuck at off: blind") for fault in rows["brake-seen"]["faults"])
    assert rows["brake-seen"]["line"].startswith("line ")
    assert rows["quiet-park"]["says"] == "never main-siren and parked, but air-horn-on"


def test_a_broken_promise_prints_its_story() -> None:
    """Case: the acts in their order, in the ink of what fails."""
    model = by_hand.build(
        inputs=[by_hand.on_off("brake"), by_hand.states("hatch", "closed", "open")],
        heads=["tail"],
        functions=[
            by_hand.function("stop", "warn", "brake", show=by_hand.show("tail", red="steady 100 %")),
            by_hand.function("shade", "open", "hatch == open", show=by_hand.show("tail", dark=True)),
        ],
        promises=[by_hand.promise("seen", when="brake", then="tail red steady")],
    )
    (row,) = promise_rows(model, None)

    assert (row["state"]["word"], row["state"]["sign"]) == ("broken", "×")
    assert row["story"][0] == "power-up, everything at rest"
    assert set(row["story"][1:]) == {"brake on", "hatch open"}


def test_a_job_without_promises_has_no_rows() -> None:
    """Case: nothing is claimed where nothing was asked."""
    assert promise_rows(None, None) == []
    assert promise_rows(replace(by_hand.build(heads=["tail"]), promises=()), None) == []
