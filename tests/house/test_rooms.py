"""Every room has a door sign, stands on a floor, and reads nothing it should not."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import coachwright

SOURCE = Path(coachwright.__file__).parent
ROOMS = sorted(path.name for path in SOURCE.iterdir() if path.is_dir() and any(path.rglob("*.py")))
FOLDERS = sorted({path.parent for path in SOURCE.rglob("*.py")})


def contracts(root: Path) -> dict[str, dict[str, list[str]]]:
    """The floors, as written in pyproject.toml."""
    text = (root / "pyproject.toml").read_text()
    return {each["id"]: each for each in tomllib.loads(text)["tool"]["importlinter"]["contracts"]}


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: str(folder.relative_to(SOURCE.parent)))
def test_every_room_has_a_door_sign(folder: Path) -> None:
    """Question answered, what comes in, what goes out: six lines at most."""
    sign = folder / "__init__.py"

    assert sign.is_file(), f"{folder.name} has no __init__.py"
    docstring = ast.get_docstring(ast.parse(sign.read_text()))
    assert docstring, f"{folder.name} has no door sign"
    assert len(docstring.splitlines()) <= 6


def test_every_room_has_a_floor(root: Path) -> None:
    """A folder nobody put on a floor could look anywhere."""
    named = set(re.findall(r"[a-z]+", " ".join(contracts(root)["floors"]["layers"])))

    assert set(ROOMS) <= named


def test_a_room_that_exists_is_not_in_brackets(root: Path) -> None:
    """A bracket in the floors means: planned. A room that lost its folder would go unseen."""
    planned = set(re.findall(r"\((\w+)\)", " ".join(contracts(root)["floors"]["layers"])))

    assert planned.isdisjoint(ROOMS)


def test_rules_know_only_the_kit(root: Path) -> None:
    """The contract names every room below the rules, so that a new one cannot slip in."""
    layers = contracts(root)["floors"]["layers"]
    floor = next(number for number, layer in enumerate(layers) if "rules" in layer)
    below = set(re.findall(r"[a-z]+", " ".join(layers[floor + 1 :]))) & set(ROOMS) - {"kit"}
    forbidden = {name.removeprefix("coachwright.") for name in contracts(root)["rules"]["forbidden_modules"]}

    assert below == forbidden


def imported_by(path: Path) -> set[str]:
    """Every module a file names in an import, wherever in the file."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.update({node.module, *(f"{node.module}.{alias.name}" for alias in node.names)})
    return found


def test_numbers_are_printed_from_proof_upward(root: Path) -> None:
    """Law: a room below hands on floats; only faces put them into words (kit.show)."""
    layers = contracts(root)["floors"]["layers"]
    faces = set(re.findall(r"[a-z]+", " ".join(layers[: layers.index("proof") + 1])))
    users = {
        path.relative_to(SOURCE).parts[0]
        for path in SOURCE.rglob("*.py")
        if "coachwright.kit.show" in imported_by(path) and path.parent.name != "kit"
    }

    assert {"proof", "cli", "papers"} <= faces
    assert users <= faces


@pytest.mark.slow
def test_floors_are_kept(root: Path) -> None:
    """The import contracts of pyproject.toml hold."""
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-logo", "--no-cache"]
    ended = subprocess.run(command, cwd=root, capture_output=True, text=True)

    assert ended.returncode == 0, ended.stdout


def test_the_version_is_the_installed_one() -> None:
    """What is imported is what was installed."""
    from importlib.metadata import version

    assert version("coachwright") == coachwright.__version__
