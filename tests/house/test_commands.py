"""Every command has its page, and the page says what the command says."""

import ast
import re

import pytest

from coachwright.cli.main import commands, main
from tools import command_pages


def test_the_page_is_up_to_date() -> None:
    """Law: docs/commands.md is what the commands say of themselves (python tools/command_pages.py writes it)."""
    assert command_pages.PAGE.read_text(encoding="utf-8") == command_pages.page()


@pytest.mark.parametrize(("name", "said"), commands().items(), ids=list(commands()))
def test_every_command_is_on_the_page(name: str, said: str) -> None:
    """Law: each with the sentence that `coachwright --help` prints, and how to write it."""
    text = command_pages.PAGE.read_text(encoding="utf-8")

    assert f"\n## {name}\n\n{said}\n" in text
    assert f"\ncoachwright {name}" in text


@pytest.mark.parametrize("name", commands())
def test_every_word_of_a_command_is_explained(name: str) -> None:
    """Law: no argument and no option goes without a sentence."""
    section = command_pages.section(command_pages.COMMANDS / f"{name}.py")
    rows = [line for line in section.splitlines() if line.startswith("| `")]

    assert all(len(row.split("|")[2].strip()) > 5 for row in rows), rows


@pytest.mark.parametrize("name", commands())
def test_help_says_what_the_page_says(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Law: `coachwright COMMAND --help` explains every argument and option in the words of the page."""
    main([name, "--help"])
    told = " ".join(re.sub(r"[^\w' ]", " ", capsys.readouterr().out).split())
    tree = ast.parse((command_pages.COMMANDS / f"{name}.py").read_text(encoding="utf-8"))
    run = next(node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == "run")

    for word in command_pages.words_of(run):
        first_words = re.sub(r"[^\w' ]", " ", word.said).split()[:3]
        assert " ".join(first_words) in told, word


def test_the_page_bites() -> None:
    """Case: a command with a required word, any number of others, an option with a default and a switch."""
    source = '''
def run(build: Path, *names: str, out: Path = Path("out"), as_json: Annotated[bool, Parameter(name="--json")] = False):
    """Do it.

    Parameters
    ----------
    build : the file.
    names : which.
    out : where to,
        in two lines.
    as_json : print JSON.
    """
'''
    function = ast.parse(source).body[0]
    assert isinstance(function, ast.FunctionDef)
    words = command_pages.words_of(function)

    assert [word.usage() for word in words] == ["BUILD", "[NAMES ...]", "[--out OUT]", "[--json]"]
    assert [word.said for word in words] == ["the file.", "which.", "where to, in two lines.", "print JSON."]
    assert words[2].default == "out"
