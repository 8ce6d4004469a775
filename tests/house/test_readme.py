"""The README's tour is what the program really prints."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from coachwright.cli.main import main
from tools.readme_pictures import pictures

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONSOLE = re.compile(r"^```console\n(.*?)^```", re.MULTILINE | re.DOTALL)


def steps() -> list[tuple[str, list[str]]]:
    """Each command of the tour with the lines it is said to print."""
    found: list[tuple[str, list[str]]] = []
    for block in CONSOLE.findall(README):
        for line in block.splitlines():
            if line.startswith("$ coachwright "):
                found.append((line.removeprefix("$ coachwright "), []))
            else:
                found[-1][1].append(line)
    return found


@pytest.mark.parametrize(("command", "lines"), steps(), ids=lambda item: item if isinstance(item, str) else "")
def test_the_tour_prints_what_it_says(
    command: str, lines: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every line stands in the output, in this order; `...` stands for any lines."""
    monkeypatch.chdir(ROOT)
    main(shlex.split(command))
    printed = iter(capsys.readouterr().out.splitlines())

    for line in lines:
        if line.strip() and line != "...":
            assert line in printed, f"the tour says {line!r}"


def test_the_message_of_the_mistake_is_the_program_s(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The example with one unit left away, as the tour shows it."""
    text = (ROOT / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")
    (tmp_path / "build.yaml").write_text(text.replace("aim: 45 deg", "aim: 45"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    (told,) = re.findall(r"^```\n(build\.yaml:.*?)^```", README, re.MULTILINE | re.DOTALL)

    assert main(["check", "build.yaml"]) == 1
    assert told in capsys.readouterr().out


def test_its_pictures_are_what_is_drawn() -> None:
    """Law: written by tools/readme_pictures.py; words alike, places to a fiftieth of a millimetre on any machine."""
    drawn = pictures()

    assert {f"docs/pictures/{name}" for name in drawn} == set(re.findall(r"\]\((docs/pictures/[^)]+)\)", README))
    number = re.compile(r"-?\d+(?:\.\d+)?")
    for name, svg in drawn.items():
        kept = (ROOT / "docs" / "pictures" / name).read_text(encoding="utf-8")
        assert number.sub("0", kept) == number.sub("0", svg), name
        pairs = zip(number.findall(kept), number.findall(svg), strict=True)
        assert all(abs(float(one) - float(other)) <= 0.02 for one, other in pairs), name


def test_the_job_stands_at_the_very_top() -> None:
    """One paragraph, before anything else."""
    lines = README.splitlines()

    assert lines[0] == "# coachwright"
    assert lines[2].startswith("You fit out")
