"""The commands that put a vehicle's log through the machine: what they print, write and end with."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from coachwright.cli.main import FINDINGS, REFUSED, main

QUILLBACK = Path(__file__).parents[2] / "examples" / "quillback"
KEPT, SWAPPED = QUILLBACK / "drive" / "drive.log", QUILLBACK / "drive" / "drive-swapped-wires.log"


def ran(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    ended = main(list(words))
    said = capsys.readouterr()
    return ended, said.out, said.err


def test_a_drive_that_keeps_its_promises(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: ends with 0, tells what came when, writes strips and no close-up."""
    ended, out, _ = ran(capsys, "replay", str(QUILLBACK), str(KEPT), "--out", str(tmp_path))

    assert ended == 0
    assert "429 frames in 16.005 s; from 2026-11-06 21:20:00 UTC" in out
    assert "2.840 s  gear D; warning acts (full); brake-shows acts" in out
    assert "promises kept on this log" in out
    assert {path.name.split("-")[0] for path in tmp_path.iterdir()} == {"replay"}


def test_a_drive_with_swapped_wires(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: ends with 1, names the promise, the inputs and the line of the log, and draws what is to be looked at."""
    ended, out, _ = ran(capsys, "replay", str(QUILLBACK), str(SWAPPED), "--out", str(tmp_path))

    assert ended == FINDINGS
    assert "CTL-048 promise-blind-in-log   promises.brake-seen" in out
    assert "CTL-049 sources-disagree   signals.park-brake" in out
    assert "drive-swapped-wires.log:" in out
    assert any(path.name.startswith("close-up-") and "brake-seen" in path.name for path in tmp_path.iterdir())
    assert all(path.read_text().startswith("<?xml") for path in tmp_path.iterdir())


def test_json_says_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    """Case: one document, with tracks, spans and findings; the exit code stays."""
    ended, out, _ = ran(capsys, "replay", str(QUILLBACK), str(SWAPPED), "--json")
    said = json.loads(out)

    assert ended == FINDINGS
    assert said["promises"]["brake-seen"] == "blind"
    assert {each["what"] for each in said["disagree"]} == {"brake", "park-brake"}
    assert {each["code"] for each in said["findings"]} == {"CTL-048", "CTL-049"}
    assert said["unknown-frames"] == {"51B": 16}
    assert any(track["name"] == "tail.left" and track["kind"] == "head" for track in said["tracks"])


def test_the_same_log_gives_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: same files in, same text and strips out."""
    told = [ran(capsys, "replay", str(QUILLBACK), str(KEPT), "--out", str(tmp_path / "a")) for _ in range(2)]

    assert told[0] == told[1]


def test_without_a_log_it_says_by_what_each_input_is_heard(capsys: pytest.CaptureFixture[str]) -> None:
    """Case: what a standard has is named, and what none has as well."""
    ended, out, _ = ran(capsys, "replay", str(QUILLBACK))

    assert ended == 0
    assert "PGN 65265 SPN 597" in out
    assert "diagnostics have none" in out
    assert "on no bus of the vehicle" in out


@pytest.mark.parametrize(
    ("words", "match"),
    [
        (("replay", str(QUILLBACK), "nothing.log"), "can't be read"),
        (("replay", str(QUILLBACK), "nothing.txt"), "of no form that is read"),
        (("replay", str(QUILLBACK), str(KEPT), "--map", "none.yaml"), "no file of vehicle data"),
        (("watch", str(QUILLBACK)), "--play"),
        (("watch", str(QUILLBACK), "--for", "10"), "--for 10"),
        (("watch", str(QUILLBACK), "--bus", "pcan:x", "--for", "1 s"), "isn't used here"),
        (("watch", str(QUILLBACK), "--bus", "socketcan:vcan0", "--play", str(KEPT)), "nothing is sent"),
    ],
)
def test_what_can_not_be_done_is_one_sentence(
    words: tuple[str, ...], match: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: a wrong name, form or bus ends with 2 and a sentence, without a trace."""
    ended, _, err = ran(capsys, *words)

    assert ended == REFUSED
    assert match in err
    assert "Traceback" not in err


def test_a_wrong_entry_of_vehicle_data_is_shown_with_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: CTL-051 under the line it stands in, and the log isn't touched."""
    said = tmp_path / "vehicle-data.yaml"
    said.write_text("vehicle-data: 1\nsignals:\n  brake: {obd: 01 0D}\n")
    ended, _, err = ran(capsys, "replay", str(QUILLBACK), str(KEPT), "--map", str(said))

    assert ended == REFUSED
    assert "vehicle-data.yaml:3:16  CTL-051 standard-has-none" in err
    assert "brake: {obd: 01 0D}" in err


def test_a_log_of_lines_needs_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: columns called like the inputs are enough."""
    log = tmp_path / "lines.csv"
    log.write_text("time s,slide,gear,brake\n0,off,P,off\n1,full,,\n2,,D,\n3,,,on\n4,,,off\n")
    ended, out, _ = ran(capsys, "replay", str(QUILLBACK), str(log))

    assert ended == 0
    assert "3.010 s  brake on; brake-shows acts" in out


def test_a_played_log_is_watched(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: JSON lines, the counts last; every frame of the log was sent and seen."""
    lines = KEPT.read_text().splitlines(keepends=True)[:60]
    log = tmp_path / "short.log"
    log.write_text("".join(lines))
    data = str(QUILLBACK / "drive" / "vehicle-data.yaml")
    ended, out, _ = ran(capsys, "watch", str(QUILLBACK), "--play", str(log), "--map", data, "--json")
    said = [json.loads(line) for line in out.splitlines()]

    assert ended == 0
    assert said[-1]["frames"] == 60
    assert said[-1]["ended"] == "the log is over"
    assert any(change["name"] == "slide" and change["is"] == "full" for each in said[:-1] for change in each["changes"])


def test_watch_ends_cleanly_when_it_is_stopped() -> None:
    """Case: Ctrl-C while a log plays: the counts are said, the exit code is 0, there is no trace."""
    program = (
        "import sys\nfrom coachwright.cli.main import main\n"
        f"sys.exit(main(['watch', {str(QUILLBACK)!r}, '--play', {str(KEPT)!r}]))\n"
    )
    words = [sys.executable, "-u", "-c", program]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        first = running.stdout.readline()  # it plays now; before that there is nothing to be stopped
        running.send_signal(signal.SIGINT)
        rest, trouble = running.communicate(timeout=120)

    assert running.returncode == 0
    assert "stopped" in first + rest
    assert "Traceback" not in trouble


@pytest.mark.parametrize("command", ["check", "replay", "watch"])
def test_help_imports_no_library_of_buses(command: str) -> None:
    """Law: who asks for help waits for neither cantools nor python-can."""
    program = (
        "import sys\nfrom coachwright.cli.main import main\n"
        f"main([{command!r}, '--help'])\n"
        "print(sorted({'can', 'cantools'} & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=120)

    assert done.stderr.strip().endswith("[]")
