"""Finds the commands and runs the one that was asked for.

One file in `commands` is one command: its docstring's first line is what the list says, its `app` reads the rest of
the line. Files are found by name and read as text for the list, so that nothing is imported but what runs; a command
that can't be imported explains itself and never hides the others.
"""

from __future__ import annotations

import ast
import importlib
import re
import sys
from collections.abc import Sequence
from importlib import resources

from coachwright import __version__
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.near import nearest

CLEAN, FINDINGS, REFUSED, INTERRUPTED = 0, 1, 2, 130
"""What a command ends with: clean; findings that stop delivery; it can't be done as asked; stopped by the user."""

TITLE = "coachwright: one text file in, a judged vehicle and its papers out."
CAUTION = "A verdict is an engineering estimate, not a certificate; measured acceptance and local law decide."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives the exit code (the script ends with it)."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    known = commands()
    if not words or words[0] in ("--help", "-h", "help"):
        print(overview(known))
        return CLEAN if words else REFUSED
    if words[0] in ("--version", "-V"):
        print(f"coachwright {__version__}")
        return CLEAN
    name = words[0]
    if name not in known:
        near = nearest(name, known)
        hint = f"Did you mean {near[0]}?" if near else "coachwright --help lists them."
        return _refuse(f"No command is called {name[:40]!r}. {hint}")
    return _run(name, words[1:])


def commands() -> dict[str, str]:
    """Every command with what it does, in alphabetical order."""
    folder = resources.files("coachwright.cli").joinpath("commands")
    found = {}
    for item in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if item.name.endswith(".py") and not item.name.startswith("_"):
            found[item.name.removesuffix(".py")] = _first_line(item.read_text(encoding="utf-8"))
    return found


def overview(known: dict[str, str]) -> str:
    """What `coachwright --help` prints."""
    wide = max(map(len, known))
    lines = [f"  {name:<{wide}}  {said}" for name, said in known.items()]
    return "\n".join([TITLE, "", *lines, "", "coachwright COMMAND --help says more of one command.", CAUTION])


def _run(name: str, words: list[str]) -> int:
    try:
        module = importlib.import_module(f"coachwright.cli.commands.{name}")
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:  # whatever breaks one command, the others still work
        return _refuse(f"The command {name} can't be loaded: {type(error).__name__}: {error}. The others still work.")
    run = module.app.default_command
    if run is not None:
        run.__doc__ = _as_read(run.__doc__ or "")
    try:
        result = module.app(words, result_action="return_value", exit_on_error=False, print_error=False)
    except KeyboardInterrupt:
        print("\nStopped. Nothing was left half written.", file=sys.stderr)
        return INTERRUPTED
    except CoachwrightError as error:
        return _refuse(str(error))
    except BrokenPipeError:
        return CLEAN
    except Exception as error:
        if type(error).__module__.startswith("cyclopts"):
            return _refuse(f"{_in_our_words(str(error))} coachwright {name} --help says what can be written.")
        raise
    return result if isinstance(result, int) else CLEAN


def _as_read(docstring: str) -> str:
    """`name : what it is` on two lines: the reader of docstrings takes what stands behind the colon for a type."""
    return re.sub(r"(?m)^( +)(\w+) : (?=\S)", r"\1\2\n\1    ", docstring)


_WORDS = (
    (r'Invalid value "(.*?)" for (\S+?)\. Choose from: (.*)\.$', r'\2 is never "\1". Write one of \3.'),
    (r'Invalid value for (\S+): unable to convert "(.*?)" into int\.$', r'\1 takes a whole number; "\2" is none.'),
    (r"Parameter (\S+) requires an argument\.$", r"Nothing is written for \1."),
    (r"Unused Tokens: \[(.*)\]\.$", r"More is written than is read: \1."),
)
"""What the reader of command lines says, and what is said here in its place."""


def _in_our_words(sentence: str) -> str:
    said = " ".join(sentence.split())
    for theirs, ours in _WORDS:
        said = re.sub(f"^{theirs}", ours, said)
    return said


def _refuse(sentence: str) -> int:
    print(f"coachwright: {sentence}", file=sys.stderr)
    return REFUSED


def _first_line(source: str) -> str:
    try:
        said = ast.get_docstring(ast.parse(source)) or ""
    except SyntaxError:
        return "(this command can't be read)"
    return said.splitlines()[0] if said else ""


if __name__ == "__main__":
    sys.exit(main())
