"""`coachwright export` writes what it proved, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwright.cli.main import main
from coachwright.control.export import exported
from coachwright.control.export.es_module import read_es_module
from coachwright.control.export.proof import Same
from coachwright.control.export.structured_text import read_structured_text
from coachwright.control.export.table import read_table

VOLUNTEER = str(Path(__file__).parents[2] / "examples" / "volunteer-car")
READ = {
    "st": ("step.st", read_structured_text),
    "json": ("step.json", read_table),
    "js": ("step.mjs", read_es_module),
}


@pytest.mark.parametrize("form", READ)
def test_the_file_is_written_and_can_be_read(form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the file lies in the folder, reads back, and is the same bytes the second time."""
    name, read = READ[form]

    assert main(["export", VOLUNTEER, "--as", form, "--out", str(tmp_path)]) == 0
    told = capsys.readouterr().out
    assert str(tmp_path / name) in told
    assert "proved the same in every setting" in told
    text = (tmp_path / name).read_text()
    assert len(read(text).body) > 10
    assert main(["export", VOLUNTEER, "--as", form, "--out", str(tmp_path)]) == 0
    assert (tmp_path / name).read_text() == text


def test_the_schema_lies_beside_the_table(tmp_path: Path) -> None:
    """Case: who reads the table has what it means beside it."""
    main(["export", VOLUNTEER, "--as", "json", "--out", str(tmp_path)])

    assert {path.name for path in tmp_path.iterdir()} == {"step.json", "step.schema.json"}


def test_what_isnt_proved_isnt_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: where the proof finds a difference the command says which, ends with 2, and leaves no file."""
    monkeypatch.setattr(exported, "prove_same", lambda *_: Same(3, ("warning has tail",)))

    assert main(["export", VOLUNTEER, "--as", "st", "--out", str(tmp_path)]) == 2
    assert "warning has tail" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_no_path_of_this_machine_is_written(tmp_path: Path) -> None:
    """Law: the file names the build file, not the folder it lies in."""
    main(["export", VOLUNTEER, "--as", "js", "--out", str(tmp_path)])

    assert str(Path(VOLUNTEER).parent) not in (tmp_path / "step.mjs").read_text()
