"""Work during which Python's garbage collector waits.

An answer makes some hundred thousand small frozen things that refer to nothing in a circle; the collector looks through
all of them several times and finds nothing, at moments nobody chose. It goes on as soon as the answer is there.
"""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_guard = threading.Lock()
_at_work = 0
_was_on = True


def undisturbed(function: Callable[P, R]) -> Callable[P, R]:
    """Let the collector wait while `function` works, also when it calls itself or several threads do."""

    @wraps(function)
    def working(*args: P.args, **kwargs: P.kwargs) -> R:
        _begin()
        try:
            return function(*args, **kwargs)
        finally:
            _end()

    return working


def _begin() -> None:
    global _at_work, _was_on  # noqa: PLW0603 - the collector itself is one for the whole program
    with _guard:
        if _at_work == 0:
            _was_on = gc.isenabled()
            gc.disable()
        _at_work += 1


def _end() -> None:
    global _at_work  # noqa: PLW0603
    with _guard:
        _at_work -= 1
        if _at_work == 0 and _was_on:
            gc.enable()
