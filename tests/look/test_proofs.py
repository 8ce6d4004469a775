"""Proofs as text and JSON, and the command that prints them."""

import json
from pathlib import Path

import pytest

from coachwright.cli.main import main
from coachwright.kit.errors import CoachwrightError
from coachwright.look.proofs import asked_of, never_happens, never_json, never_lines, proofs_json, proofs_lines
from tests.control import by_hand

ROOT = Path(__file__).parents[2]
QUILLBACK = "examples/quillback/build.yaml"


def silent(_doing: str, _done: int, _of: int) -> None:
    return


def broken_build() -> object:
    """A hatch that darkens the brake."""
    return by_hand.build(
        inputs=[by_hand.on_off("brake"), by_hand.states("hatch", "closed", "open")],
        heads=["tail"],
        functions=[
            by_hand.function("stop", "warn", "brake", show=by_hand.show("tail", red="steady 100 %")),
            by_hand.function("shade", "open", "hatch == open", show=by_hand.show("tail", dark=True)),
        ],
        promises=[by_hand.promise("seen", when="brake", then="tail red steady")],
    )


def test_a_broken_promise_tells_its_story_and_who_won() -> None:
    """Case: the acts in order, then who has the head in the end and who wanted it too."""
    found = asked_of(broken_build(), (), faults=False, progress=silent)  # type: ignore[arg-type]
    text = "\n".join(proofs_lines(found))

    assert "× seen: broken" in text
    assert "1. power-up, everything at rest" in text
    assert {"brake on", "hatch open"} == {
        line.strip()[3:] for line in text.splitlines() if line.strip()[:2] in ("2.", "3.")
    }
    assert "tail: dark, by shade; also wanted by stop (lower rank)" in text
    assert text.endswith("1 promise: 1 broken.")


def test_json_has_everything_and_nothing_else_than_json() -> None:
    """Law: what is printed for programs can be read back."""
    found = asked_of(broken_build(), ("seen",), faults=True, progress=silent)  # type: ignore[arg-type]
    (said,) = json.loads(json.dumps(proofs_json(found), allow_nan=False))["promises"]

    assert said["state"] == "broken"
    assert said["story"][0] == "power-up, everything at rest"
    assert said["second-witness"]["ran"]
    assert said["second-witness"]["breaking"] > 0
    assert {fault["input"] for fault in said["faults"]} == {"brake", "hatch"}


def test_what_never_happens_is_told_behind_the_promises() -> None:
    """Case: a switch nobody reads, and a function whose condition can't be; nothing of the kind is said in one line."""
    model = by_hand.build(
        inputs=[by_hand.on_off("brake"), by_hand.toggle("spare")],
        heads=["tail"],
        functions=[
            by_hand.function("stop", "road", "brake", show=by_hand.show("tail", red="steady 100 %")),
            by_hand.function("ghost", "warn", "brake and not brake", show=by_hand.show("tail", white="single")),
        ],
    )
    found = never_happens(model)
    text = "\n".join(never_lines(found))

    assert {"CTL-008", "CTL-009"} <= {each["code"] for each in never_json(found)}
    assert "spare" in text
    assert "ghost" in text
    assert [*never_lines(())] == ["Every function wins somewhere, every input is read, every situation can be reached."]


def test_a_name_that_is_no_promise_is_told_with_the_closest() -> None:
    """Case: a slip of the pen."""
    with pytest.raises(CoachwrightError, match="Closest: seen"):
        asked_of(broken_build(), ("sean",), faults=False, progress=silent)  # type: ignore[arg-type]


def test_the_promises_of_quillback_are_proved(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Case: the command ends with 0, and a brake that is never read is told as blind."""
    monkeypatch.chdir(ROOT)
    code = main(["prove", QUILLBACK])
    said = capsys.readouterr().out

    assert code == 0
    assert "4 promises: 4 proved" in said
    assert "brake stuck at off: blind" in said
    assert "Who alters a certified vehicle" in said
