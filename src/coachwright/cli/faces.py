"""How commands speak: plain or coloured text, JSON, progress on the error stream, and doors for files.

Progress goes to the error stream and only to a terminal, so that what a command prints can be piped.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from cyclopts import App

from coachwright.kit.errors import CoachwrightError


def command_app(name: str, doc: str | None) -> App:
    """What reads one command's own words."""
    return App(name=f"coachwright {name}", help=doc or "", version_flags=())


def print_json(data: Any) -> None:
    """One JSON document, keys in their own order, without NaN."""
    print(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))


def existing_build(path: Path) -> Path:
    """The build file at `path`; of a folder, the build.yaml in it.

    Raises
    ------
    CoachwrightError : when there is none.
    """
    found = path / "build.yaml" if path.is_dir() else path
    if not found.is_file():
        raise CoachwrightError(f"There is no build file at {path}. coachwright new FOLDER starts one.")
    return found


@contextmanager
def progress(title: str) -> Iterator[Callable[[str, int, int], None]]:
    """Tells a terminal what is being done; silent elsewhere."""
    if not sys.stderr.isatty():
        yield lambda doing, done, of: None
        return
    from rich.console import Console

    with Console(stderr=True).status(title) as status:

        def tell(doing: str, done: int, of: int) -> None:
            status.update(f"{title}: {doing} {done}/{of}" if of else f"{title}: {doing}")

        yield tell


def caution_line(command: str) -> str:
    """What to keep in mind before anybody acts on what `command` gives; "" where nothing is said for it."""
    from coachwright.look.cautions import cautions_of

    titles = [each.title for each in cautions_of("command", command)]
    if not titles:
        return ""
    return f"Read before acting on it: {'; '.join(titles)}. The proof book says what each means, and who decides."


def coloured() -> bool:
    """May colours be printed?"""
    return sys.stdout.isatty()
