"""Commands say what to keep in mind before anybody acts on what they give, from the one table."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwright.cli.main import commands, main
from coachwright.look.cautions import CAUTIONS, cautions_of

QUILLBACK = str(Path(__file__).parents[2] / "examples" / "quillback")
VOLUNTEER = str(Path(__file__).parents[2] / "examples" / "volunteer-car")
WARNING = sorted({name for caution in CAUTIONS for name in caution.commands})


@pytest.mark.parametrize("command", WARNING)
def test_the_command_prints_its_cautions(command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each command the table names prints the title of each caution it has."""
    writes = command in ("papers", "draw", "export")
    shortly = ("--for", "100 ms") if command == "watch" else ()
    form = ("--as", "js") if command == "export" else ()
    words = [command, QUILLBACK, *form, *(("--out", str(tmp_path)) if writes else ()), *shortly]

    assert main(words) == 0
    told = capsys.readouterr().out
    assert all(caution.title in told for caution in cautions_of("command", command))


def test_the_table_names_only_commands_there_are() -> None:
    """A caution for a command of another name would stand nowhere."""
    assert set(WARNING) <= set(commands())
