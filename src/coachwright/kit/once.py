"""Worked out once: a kernel's answers, remembered by the content of exactly its arguments.

    @once(max_bytes=64_000_000)
    def beam_table(output: ColourOutput) -> CandelaTable: ...

A *kernel* is a pure function of a few small frozen things. Calling it again with equal content (kit.digest says what is
equal) gives the very same object back, from any thread. What is wrong here is wrong everywhere, so it is strict:

- an argument that can change, or has no stable digest, is refused with its name and the path in it;
- an answer is shared by all who asked, so a list, dict, set or iterator as answer is refused, and arrays in it are made
  read-only;
- a second thread that asks for what a first is working out waits for it; errors aren't remembered, they only pass;
- the least recently used answers go when `max_bytes` is passed; an answer larger than that isn't kept at all.
"""

from __future__ import annotations

import dataclasses
import inspect
import sys
import threading
import weakref
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Mapping
from enum import Enum
from functools import update_wrapper
from typing import Any, Generic, ParamSpec, TypeVar

import numpy as np

from coachwright.kit.digest import digest, encoded, frozen, is_frozen_dataclass, is_frozen_model

__all__ = ["KERNELS", "Kernel", "digest", "frozen", "once"]

P = ParamSpec("P")
R = TypeVar("R")

KERNELS: weakref.WeakValueDictionary[str, Kernel[..., Any]] = weakref.WeakValueDictionary()
"""Every kernel alive by ``module.name``, for whoever counts their calls."""

_ENTRY_BYTES = 400
_LONG = 4000


def once(*, max_bytes: int) -> Callable[[Callable[P, R]], Kernel[P, R]]:
    """Remember the answers of a function, at most `max_bytes` of them. See the head of this file."""
    if max_bytes < 0:
        raise ValueError("memory for answers can't be less than nothing")
    return lambda function: Kernel(function, max_bytes=max_bytes)


class _Flight(Generic[R]):
    """A computation under way, for those who wait for it."""

    __slots__ = ("answers", "cleared", "done", "owner")

    def __init__(self, cleared: int) -> None:
        self.cleared = cleared
        self.owner = threading.get_ident()
        self.done = threading.Event()
        self.answers: list[R] = []


class Kernel(Generic[P, R]):
    """A function that remembers its answers.

    calls : how often it was really worked out. max_bytes : most that is kept.
    """

    def __init__(self, function: Callable[P, R], *, max_bytes: int) -> None:
        self.calls = 0
        self.max_bytes = max_bytes
        self._function = function
        self._names, self._defaults, self._by_place_n = _parameters(function)
        self._kept: OrderedDict[Hashable, tuple[R, int]] = OrderedDict()
        self._flights: dict[Hashable, _Flight[R]] = {}
        self._size_bytes = 0
        self._cleared = 0
        self._lock = threading.Lock()
        update_wrapper(self, function)
        KERNELS[f"{function.__module__}.{function.__qualname__}"] = self

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """The answer, remembered or worked out now.

        Raises
        ------
        TypeError : an argument or the answer isn't fit to be remembered.
        RecursionError : working out the answer asks for the very same answer.
        """
        key = self._key(args, kwargs)
        while True:
            with self._lock:
                if key in self._kept:
                    self._kept.move_to_end(key)
                    return self._kept[key][0]
                flight = self._flights.get(key)
                is_first = flight is None
                if flight is None:
                    flight = self._flights[key] = _Flight(self._cleared)
                    self.calls += 1
            if is_first:
                return self._worked_out(key, flight, lambda: self._function(*args, **kwargs))
            if flight.owner == threading.get_ident():
                raise RecursionError(f"{self._function.__qualname__} asks for the answer it is working out")
            flight.done.wait()
            if flight.answers:
                return flight.answers[0]

    def _worked_out(self, key: Hashable, flight: _Flight[R], work: Callable[[], R]) -> R:
        size_bytes = 0
        try:
            answer = work()
            size_bytes = _ENTRY_BYTES + _fit_to_share(answer, self._function.__qualname__)
            flight.answers.append(answer)
        finally:
            with self._lock:
                del self._flights[key]
                if flight.answers and flight.cleared == self._cleared:
                    self._keep(key, flight.answers[0], size_bytes)
            flight.done.set()
        return answer

    @property
    def size_bytes(self) -> int:
        """What the kept answers take, as well as Python tells."""
        return self._size_bytes

    def clear(self) -> None:
        """Forget every answer, also those now being worked out; `calls` goes on counting."""
        with self._lock:
            self._kept.clear()
            self._size_bytes = 0
            self._cleared += 1

    def __reduce__(self) -> str:
        """Travels to other processes by its name, as functions do."""
        return self._function.__qualname__

    def _keep(self, key: Hashable, answer: R, size: int) -> None:
        if size > self.max_bytes:
            return
        self._kept[key] = (answer, size)
        self._size_bytes += size
        while self._size_bytes > self.max_bytes:
            _, (_, gone) = self._kept.popitem(last=False)
            self._size_bytes -= gone

    def _key(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> Hashable:
        names = self._names
        if not kwargs and len(args) == len(names) == self._by_place_n:
            values: Any = args
        else:
            given = {**self._defaults, **dict(zip(names[: self._by_place_n], args, strict=False)), **kwargs}
            if len(given) != len(names) or len(args) > self._by_place_n or kwargs.keys() & set(names[: len(args)]):
                inspect.signature(self._function).bind(*args, **kwargs)  # says what is missing, unknown or double
            values = [given[name] for name in names]
        try:
            codes = tuple(map(encoded, values))
        except TypeError:
            for name, value in zip(names, values, strict=True):
                encoded(value, name=f"{self._function.__qualname__}: argument {name}")  # says which one it is
            raise
        if sum(map(len, codes)) > _LONG:
            return digest(codes)
        return codes


def _parameters(function: Callable[..., object]) -> tuple[tuple[str, ...], dict[str, Any], int]:
    """Names of all parameters, defaults, and how many may be given by place."""
    parameters = inspect.signature(function).parameters.values()
    kinds = inspect.Parameter
    open_ended = [each.name for each in parameters if each.kind in (kinds.VAR_POSITIONAL, kinds.VAR_KEYWORD)]
    if open_ended:
        raise TypeError(f"{function.__qualname__} takes any number of {open_ended[0]}; a kernel names each argument")
    defaults = {each.name: each.default for each in parameters if each.default is not kinds.empty}
    return (
        tuple(each.name for each in parameters),
        defaults,
        sum(each.kind != kinds.KEYWORD_ONLY for each in parameters),
    )


def _fit_to_share(answer: object, kernel: str) -> int:
    """Make its arrays read-only, refuse what its receivers could change, and tell how many bytes it takes."""
    size, seen = 0, set[int]()
    waiting: list[tuple[object, bool]] = [(answer, False)]
    while waiting:
        thing, vouched_for = waiting.pop()
        if id(thing) in seen:
            continue
        seen.add(id(thing))
        size += sys.getsizeof(thing)
        if isinstance(thing, np.ndarray):
            size += 0 if thing.flags.owndata else thing.nbytes
            thing.flags.writeable = False
            continue
        if not vouched_for:
            _refuse_changeable(thing, kernel)
        waiting += _inside(thing, vouched_for)
    return size


def _inside(thing: object, vouched_for: bool) -> list[tuple[object, bool]]:
    kind = type(thing)
    if isinstance(thing, Enum):
        return []
    if isinstance(thing, tuple | frozenset | list | set):
        return [(each, vouched_for) for each in thing]
    if isinstance(thing, Mapping):
        return [(each, vouched_for) for pair in thing.items() for each in pair]
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        return [(getattr(thing, field.name), True) for field in dataclasses.fields(thing)]
    if is_frozen_model(kind):
        return [(getattr(thing, name), True) for name in kind.model_fields]  # type: ignore[attr-defined]
    return []


def _refuse_changeable(thing: object, kernel: str) -> None:
    """A frozen class vouches for its own fields; everything else is looked into."""
    kind = type(thing)
    changeable = isinstance(thing, list | dict | set | bytearray | Iterator) or (
        dataclasses.is_dataclass(kind) and not is_frozen_dataclass(kind)
    )
    if changeable:
        raise TypeError(f"{kernel} answers with a {kind.__name__}, which whoever receives it could change or use up")
