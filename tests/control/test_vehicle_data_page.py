"""docs/vehicle-data.md: what it shows loads, what it promises as a bound is the bound."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coachwright.control import logs, logs_binary, replay_found, watch
from coachwright.control.logs import read_log
from coachwright.control.replay import replay
from coachwright.control.vehicle_data import feeds_of, settings_known
from coachwright.look.codes import finding_pages
from coachwright.parts import dbc
from coachwright.parts.vehicle_data import read_vehicle_data
from tests.control.test_replay import quillback

PAGE = Path(__file__).parents[2] / "docs" / "vehicle-data.md"


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


def test_the_example_of_a_file_is_read(tmp_path: Path) -> None:
    """Law: what a reader copies loads, and its values are those of the build it is for."""
    path = tmp_path / "vehicle-data.yaml"
    path.write_text(blocks("yaml")[0])
    read = read_vehicle_data(path)
    inputs = {item.name: item for item in quillback().inputs}

    assert read.said is not None, read.troubles
    assert set(read.said.signals) <= set(inputs)
    for name, fed in read.said.signals.items():
        assert set(fed.values) <= set(settings_known(inputs[name]))


def test_the_example_of_a_log_of_lines_replays(tmp_path: Path) -> None:
    """Law: every column of it feeds its input."""
    table = next(block for block in blocks("") if block.startswith("time s"))
    path = tmp_path / "lines.csv"
    path.write_text(table)
    log = read_log(path)
    result = replay(quillback(), (log,), feeds_of(quillback(), None, log.names))

    assert result.findings == ()
    assert {feed.wire for feed in result.feeds.feeds if feed.wire} == set(log.names)
    assert result.track("input", "turn-left").at(4_400) == "on"


def test_the_bounds_are_those_of_the_code() -> None:
    """Law: a figure on the page is the figure that holds."""
    said = PAGE.read_text(encoding="utf-8").replace("\n", " ")

    for figure in (
        f"{logs.MOST_BYTES // 10**6} MB and {logs.MOST_ENTRIES:,} entries",
        f"{dbc.MOST_BYTES // 10**6} MB, {dbc.MOST_MESSAGES:,} messages and {dbc.MOST_SIGNALS:,} signals",
        f"beyond {logs_binary.MOST_UNPACKED // 10**6} MB",
        f"at most {watch.MOST_PER_S:,} frames of one second",
        f"({replay_found.SLACK_MS} ms,",
    ):
        assert figure in said, figure


def test_every_finding_of_a_log_is_on_the_page() -> None:
    """Law: whoever gets a code finds it where logs are told."""
    ours = {code for code in finding_pages() if "CTL-040" <= code <= "CTL-056"}

    assert ours == set(re.findall(r"CTL-0[45]\d", PAGE.read_text(encoding="utf-8")))


@pytest.mark.parametrize("name", ["drive.log", "drive-swapped-wires.log"])
def test_the_drives_it_names_are_there(name: str) -> None:
    """Law: a reader who follows the page finds them."""
    assert name in PAGE.read_text(encoding="utf-8")
    assert (PAGE.parents[1] / "examples" / "quillback" / "drive" / name).is_file()
