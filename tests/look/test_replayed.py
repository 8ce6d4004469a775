"""A replay as text and JSON: one sentence first and last, names as text, nothing of a number's hundred steps."""

from __future__ import annotations

import json
from pathlib import Path

from coachwright.control.logs import read_log
from coachwright.control.replay import replay
from coachwright.control.vehicle_data import feeds_of
from coachwright.look.replayed import (
    MOST_MOMENTS,
    Told,
    feeds_lines,
    log_line,
    replayed_json,
    replayed_lines,
    summary_line,
)
from tests.control.drives import EXAMPLES
from tests.control.test_replay import LITTLE, bodied, lines, quillback


def told_of(path: Path, *, little: bool = False) -> Told:
    model = bodied(LITTLE) if little else quillback()
    log = read_log(path)
    said = None if little else EXAMPLES / "vehicle-data.yaml"
    return Told(model, (log,), replay(model, (log,), feeds_of(model, said, log.names)))


def test_the_last_line_says_how_it_ended() -> None:
    """Case: kept and not kept, by name."""
    kept, swapped = (told_of(EXAMPLES / name) for name in ("drive.log", "drive-swapped-wires.log"))

    assert summary_line(kept).startswith(f"{len(kept.model.promises)} of {len(kept.model.promises)} promises kept")
    assert "brake-seen" in summary_line(swapped)
    assert " ".join(list(replayed_lines(swapped))[-2:]).endswith("coachwright prove asks every story.")


def test_a_number_is_told_where_something_comes_of_it() -> None:
    """Case: the speed rises and falls in some eighty steps; it is told once, where the siren ends."""
    said = [line for line in replayed_lines(told_of(EXAMPLES / "drive-swapped-wires.log")) if "speed 2.6 mph" in line]
    every = [line for line in replayed_lines(told_of(EXAMPLES / "drive-swapped-wires.log")) if " s  speed" in line]

    assert len(said) == len(every) == 1
    assert "siren ends" in said[0]


def test_a_broken_promise_stands_in_its_moment(tmp_path: Path) -> None:
    """Case: beside what the inputs did then."""
    told = told_of(lines(tmp_path, "brake,gear", "0,off,P", "1000,on,", "1250,,D", "2000,off,"), little=True)
    at = next(line for line in replayed_lines(told) if line.startswith("     1.000 s"))

    assert "brake on" in at
    assert "× seen is broken for 0.250 s" in at


def test_the_text_is_bounded(tmp_path: Path) -> None:
    """Law: a long log prints so many moments and says how many more there are."""
    rows = [f"{at},{'on' if at % 20 else 'off'}" for at in range(0, 20_000, 10)]
    said = list(replayed_lines(told_of(lines(tmp_path, "brake", *rows), little=True)))

    assert any("further moments" in line for line in said)
    assert len([line for line in said if " s  " in line]) <= MOST_MOMENTS + 2


def test_what_stands_in_a_file_moves_no_cursor(tmp_path: Path) -> None:
    """Law: names and dates from a stranger's log are printed as text."""
    path = tmp_path / "a.asc"
    path.write_text(
        "date \x1b[31mred\x07\nbase hex  timestamps absolute\nno internal events logged\n   0.1 1  3B3   Rx   d 1 01\n"
    )
    told = told_of(path)
    said = "\n".join([log_line(told.logs[0]), *replayed_lines(told), *feeds_lines(told.model, told.feeds)])

    assert told.logs[0].dated.startswith("\x1b")
    assert "\x1b" not in said
    assert "\x07" not in said


def test_json_can_be_written_and_read() -> None:
    """Law: no value that JSON can't hold, and the same text each time."""
    told = told_of(EXAMPLES / "drive.log")
    said = json.dumps(replayed_json(told), allow_nan=False)

    assert said == json.dumps(replayed_json(told_of(EXAMPLES / "drive.log")), allow_nan=False)
    assert set(json.loads(said)["promises"].values()) == {"kept"}
