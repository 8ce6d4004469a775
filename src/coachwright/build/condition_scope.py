"""What may a condition read at its place in the build, and which names exist there?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Literal

ON_OFF = ("off", "on")

Place = Literal[
    "word",
    "function",
    "memory-on",
    "memory-if",
    "stop",
    "limit",
    "feed",
    "vehicle",
    "message",
    "tell-tale",
    "promise-when",
    "promise-then",
    "promise-never",
    "promise-after",
    "promise-until",
]
"""Where a condition stands. `function` is also a level's `at-most`; `vehicle` is what a body says can't be."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """What can be read at one place.

    events : ``pressed``, ``released``, ``becomes``, ``leaves``. functions : ``FUNCTION active``, ``FUNCTION held-off``.
    heads : what heads show, and what equipment does. every : a selector means every head of it, else at least one.
    needs_event : without an event it would be true for longer than a moment.
    """

    called: str
    events: bool = False
    functions: bool = False
    heads: bool = False
    every: bool = False
    needs_event: bool = False


ALLOWED: Mapping[Place, Allowed] = {
    "word": Allowed("a word"),
    "function": Allowed("a function"),
    "memory-on": Allowed("a memory's move", events=True),
    "memory-if": Allowed("a memory's move", events=True),
    "stop": Allowed("a stop"),
    "limit": Allowed("a limit"),
    "feed": Allowed("a feed"),
    "vehicle": Allowed("a body"),
    "message": Allowed("a message", functions=True),
    "tell-tale": Allowed("a tell-tale", functions=True),
    "promise-when": Allowed("a promise", events=True, functions=True, heads=True),
    "promise-then": Allowed("a promise", events=True, functions=True, heads=True, every=True),
    "promise-never": Allowed("a promise", events=True, functions=True, heads=True),
    "promise-after": Allowed("a promise", events=True, functions=True, heads=True, needs_event=True),
    "promise-until": Allowed("a promise", events=True, functions=True, heads=True, needs_event=True),
}


@dataclass(frozen=True, slots=True)
class Scope:
    """Every name a condition could read.

    Parameters
    ----------
    inputs : controls and vehicle signals: values in order (``("off", "on")`` for on/off), or a number's unit kind.
    memories : their values. words, functions, equipment : names.
    selectors : lamps, groups and lamps of the vehicle, without ``.left`` or ``.3`` behind them (``all`` and ``any`` are
        always known).
    ordered : inputs and memories whose values have an order (slide, pick-one, a memory with ``ordered: yes``).
    pushed : controls that are pushed (toggle, button).
    """

    inputs: Mapping[str, tuple[str, ...] | str] = field(default_factory=dict)
    memories: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    words: Collection[str] = frozenset()
    functions: Collection[str] = frozenset()
    equipment: Collection[str] = frozenset()
    selectors: Collection[str] = frozenset()
    ordered: Collection[str] = frozenset()
    pushed: Collection[str] = frozenset()

    def values(self, name: str) -> tuple[str, ...] | None:
        """Values of a control, signal or memory; None for a number and for anything else."""
        found = self.inputs.get(name, self.memories.get(name))
        return found if isinstance(found, tuple) else None

    def number_kind(self, name: str) -> str | None:
        """Unit kind of a number, None for anything else."""
        found = self.inputs.get(name)
        return found if isinstance(found, str) else None

    def reads(self, name: str) -> bool:
        """Is it something any condition can read?"""
        return name in self.inputs or name in self.memories or name in self.words

    def knows(self, name: str) -> bool:
        """Is it a name at all?"""
        return self.reads(name) or name in self.functions or name in self.equipment or name in self.selectors

    def readable(self, place: Place) -> tuple[str, ...]:
        """All bare names that can be read at `place`, for the nearest one to a name that isn't known."""
        names = [*self.inputs, *self.memories, *self.words]
        if ALLOWED[place].heads:
            names += self.equipment
        return tuple(sorted(names))
