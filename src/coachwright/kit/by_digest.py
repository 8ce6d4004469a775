"""Remembers answers about a thing that carries its own digest: a model, in which an edit anywhere makes a new one.

Windows ask the same about one model again and again (the waves of a situation, the machine); kernels below them are
remembered by the content of their own arguments (kit.once). A thing without a digest is never remembered.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from typing import Concatenate, ParamSpec, Protocol, TypeVar

MOST_THINGS = 4
"""Models kept at once; the one that was asked about longest ago goes first."""


class HasDigest(Protocol):
    """Anything whose content is said by its digest."""

    @property
    def digest(self) -> str: ...


T = TypeVar("T", bound=HasDigest)
P = ParamSpec("P")
R = TypeVar("R")


def by_digest(function: Callable[Concatenate[T, P], R]) -> Callable[Concatenate[T, P], R]:
    """Remember `function`'s answers by the digest of its first argument and the content of the others.

    The others have to be hashable. Two threads that ask at once may both work it out; both get the same answer.
    """
    kept: OrderedDict[str, dict[Hashable, R]] = OrderedDict()
    guard = threading.Lock()

    @wraps(function)
    def remembered(thing: T, /, *args: P.args, **kwargs: P.kwargs) -> R:
        if not thing.digest:
            return function(thing, *args, **kwargs)
        key = (args, tuple(sorted(kwargs.items()))) if kwargs else (args,)
        with guard:
            answers = kept.setdefault(thing.digest, {})
            kept.move_to_end(thing.digest)
            while len(kept) > MOST_THINGS:
                kept.popitem(last=False)
        if key not in answers:
            answers[key] = function(thing, *args, **kwargs)
        return answers[key]

    return remembered
