"""The tests themselves: each file has one, each can fail, and each knows its fact."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "tests").rglob("test_*.py"))


def functions_of(path: Path) -> list[ast.FunctionDef]:
    """Every test function of a file, also in classes."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [each for each in ast.walk(tree) if isinstance(each, ast.FunctionDef) and each.name.startswith("test_")]


def judges(function: ast.FunctionDef) -> bool:
    """Whether something in it can fail on purpose: an assert, an expected error, or a call that is named as a check."""
    for node in ast.walk(function):
        if isinstance(node, ast.Assert):
            return True
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in {"raises", "fail", "warns"} or name.startswith(("assert_", "check_", "agree")):
                return True
    return False


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_file_can_fail(path: Path) -> None:
    """A file without a test, or a test without a judgement, proves nothing."""
    found = functions_of(path)

    assert found, "no test in this file"
    assert [function.name for function in found if not judges(function)] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_states_its_fact(path: Path) -> None:
    """The docstring says what is known and who says so."""
    assert [function.name for function in functions_of(path) if not ast.get_docstring(function)] == []


def test_no_test_watches_the_clock() -> None:
    """Seconds on a shared machine mean nothing; speed is a ratio, in benchmarks/."""
    clocks = {"perf_counter", "process_time", "monotonic"}
    names = {
        (path.name, node.attr)
        for path in FILES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in clocks
    }

    assert names == set()


def test_test_folders_hold_no_init() -> None:
    """Test file names may repeat between rooms because no test folder is a package."""
    assert list((ROOT / "tests").rglob("__init__.py")) == []
