"""What is wrong at one build path, before it is known where in the text that stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.build.problem import Problem, closest
from coachwright.kit.finding import Severity
from coachwright.kit.nodes import PathPieces


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing the door can't take, or wants to be seen.

    Parameters
    ----------
    path : pieces of the build path, list items counted from 1.
    code, name : as of a finding (``BLD-055``, ``selector-not-known``).
    why, write : sentences for a shop lead: why not, and what to write instead (or "").
    read : what stood there. near : the closest known name, or "".
    on_key : the name is what is wrong, not the value behind it.
    span : characters of the text at `path`, end excluded; None for all of it.
    also : paths of further places to look at.
    """

    path: PathPieces
    code: str
    name: str
    why: str
    write: str = ""
    read: str = ""
    near: str = ""
    on_key: bool = False
    span: tuple[int, int] | None = None
    severity: Severity = "error"
    also: tuple[PathPieces, ...] = ()


def from_problem(problem: Problem, path: PathPieces) -> Trouble:
    """What a reader of one line of text found, at the path of that line."""
    return Trouble(
        path,
        problem.code,
        problem.name,
        problem.why,
        problem.write,
        near=problem.near,
        span=(problem.start, problem.end),
    )


def not_known(
    path: PathPieces,
    what: str,
    word: str,
    known: Iterable[str],
    *,
    code: str,
    name: str,
    on_key: bool = False,
    span: tuple[int, int] | None = None,
) -> Trouble:
    """No `what` is called `word`; the nearest known name is given, or some of the known ones."""
    names = sorted(set(known))
    near = closest(word, names)
    write = f"Closest: {near}." if near else f"Write one of {listed(names)}." if names else ""
    return Trouble(path, code, name, f"No {what} is called {word[:60]}.", write, word[:80], near, on_key, span)


def listed(names: Iterable[str], *, most: int = 12) -> str:
    """``a, b, c`` and how many more."""
    every = list(names)
    more = f" and {len(every) - most} more" if len(every) > most else ""
    return f"{', '.join(every[:most])}{more}"
