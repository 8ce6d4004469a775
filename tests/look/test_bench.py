"""The bench list as it is read: every step, every box, every reason, in text and in JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from coachwright.build.model import Model
from coachwright.control.bench_closed import Closed, closed_bench
from coachwright.control.bench_sheet import PACE, second_person, sheet, told
from coachwright.control.story import Act
from coachwright.look.bench import bench_json, bench_lines, named
from coachwright.look.bench_measured import BOX, WIDTH
from tests.control import by_hand
from tests.control.by_hand import build, function, show


def little() -> Model:
    """A lamp with a brake, a horn key and a speed."""
    return build(
        inputs=[by_hand.on_off("brake", hand="foot"), by_hand.button("key"), by_hand.number("speed")],
        heads=["tail", "front"],
        functions=[
            function("brake-shows", "road", "brake", show=show("tail", red="steady")),
            function("flash", "task", "key and speed > 5 m/s", show=show("front", white="double")),
        ],
    )


@pytest.fixture(scope="module")
def closed() -> Closed:
    """Its list, tried on mistakes."""
    return closed_bench(little())


def test_every_step_and_expectation_has_its_box(closed: Closed) -> None:
    """Law: a box for each line to be seen, and one per step for all that has to be dark."""
    text = list(bench_lines(little(), closed))
    read = sheet(little(), closed.listed)

    steps = text[: text.index("What is measured")]
    boxes = sum(line.startswith(f"  {BOX} ") for line in steps)
    assert boxes == sum(len(step.expect) + 1 for step in read.steps)
    assert sum(line.startswith("Step ") for line in text) == len(read.steps)
    assert all(len(line) <= WIDTH + 5 for line in text)


def test_json_says_the_same_and_is_json(closed: Closed) -> None:
    """Law: as many steps and moves as the text, every kind of mistake with its counts."""
    data = json.loads(json.dumps(bench_json(little(), closed), allow_nan=False))

    assert len(data["steps"]) == len(closed.listed.steps)
    assert data["moves"] == sum(step["moves"] for step in data["steps"])
    for row in data["mistakes"]:
        assert row["all"] == row["caught"] + row["equivalent"] + row["undecided"]


def test_who_helps_is_said_with_the_reason(closed: Closed) -> None:
    """Case by hand: a foot on the brake, a held key and speed each need somebody where a lamp has to be looked at."""
    said = {reason for step in closed.listed.steps for reason in second_person(little(), step).split("; ") if reason}

    assert said == {
        "keeps a foot on brake",
        "holds key",
        "drives on a closed course, or feeds the speed signal",
    }


def test_minutes_follow_from_the_assumptions(closed: Closed) -> None:
    """Law: with everything taking twice as long, waits apart, the minutes double; the assumptions are printed."""
    waits_min = sum(step.wait_ms for step in closed.listed.steps) / 60_000
    twice = replace(PACE, **{name: 2 * getattr(PACE, name) for name in PACE.__slots__})
    once_min, twice_min = (sheet(little(), closed.listed, pace).minutes for pace in (PACE, twice))

    assert twice_min - waits_min == pytest.approx(2 * (once_min - waits_min))
    text = "\n".join(bench_lines(little(), closed))
    assert all(words.split(",")[0] in text for words in PACE.words)


def test_acts_are_told_as_one_tells_them() -> None:
    """Case: a foot, a key that is held, a key let go, a wait."""
    acts = [
        Act("brake", "on", 0, "brake on"),
        Act("key", "on", 0, "key pressed"),
        Act("key", "off", 0, "key released"),
        Act("speed", 9.0, 0, "speed > 5 m/s"),
        Act("", "", 120_000, "wait 2 min"),
    ]

    assert [told(little(), act) for act in acts] == [
        "Foot on brake.",
        "Press key and hold it.",
        "Let key go.",
        "Bring speed > 5 m/s.",
        "Wait 2 min.",
    ]


def test_runs_of_heads_are_told_shortly() -> None:
    """Case: numbers that follow each other as one; the rest as they are."""
    assert named(["visor.1", "visor.2", "visor.3", "tail.left", "bar.5"]) == ["visor.1-3", "tail.left", "bar.5"]
