"""A second witness: every setting of what a promise depends on, one after the other, without a solver.

All settings of up to 28 bits are gone through, 64 at a time in each word. What the solver says of a moment has to
agree with it; past 28 bits it isn't run, and says so.

See Also
--------
coachwright.control.prove : the first witness.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwright.control.circuit import TRUE, Circuit

MOST_BITS = 28
_IN_A_WORD, _IN_A_BLOCK = 6, 14
"""Bits that are gone through inside a word of 64 settings, and inside a block of words that stays in the cache."""

_PATTERNS = tuple(np.uint64(sum(1 << place for place in range(64) if place >> bit & 1)) for bit in range(_IN_A_WORD))
_ALL = np.uint64(0xFFFF_FFFF_FFFF_FFFF)

Words = NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Witness:
    """What was gone through.

    bits : of the cone. settings_n : of all 2^bits, those that obey the rules (a list of values that is no power of two
    has its last value under several numbers). broken_n : those that break the promise. None where it was not run.
    """

    bits: int
    settings_n: int | None
    broken_n: int | None

    @property
    def ran(self) -> bool:
        """Was every setting gone through?"""
        return self.broken_n is not None

    def __str__(self) -> str:
        if self.broken_n is None:
            return f"{self.bits} bits: not run"
        broken = (
            "none breaks it" if not self.broken_n else f"{self.broken_n:,} of {self.settings_n:,} possible break it"
        )
        return f"{self.bits} bits, every setting: {broken}"


def witness(circuit: Circuit, broken: int, rules: Sequence[int], *, most_bits: int = MOST_BITS) -> Witness:
    """Go through every setting of the variables that `broken` and the rules beside it depend on."""
    counted = _connected(circuit, broken, rules)
    nodes = circuit.cone([broken, *counted])
    free = [node for node in nodes if not circuit.inputs(node)]
    if len(free) > most_bits:
        return Witness(len(free), None, None)
    held_n = broken_n = 0
    for values in _blocks(circuit, nodes, free):
        holds = _and(values, counted)
        held_n += _ones(holds)
        broken_n += _ones(holds & _of(values, broken))
    unused = max(0, _IN_A_WORD - len(free))  # of a small cone each setting stands several times in its word
    return Witness(len(free), held_n >> unused, broken_n >> unused)


def _connected(circuit: Circuit, broken: int, rules: Sequence[int]) -> list[int]:
    """The rules that speak of anything `broken` depends on, through one another too."""
    cones = {
        rule: {each for each in circuit.cone([rule]) if not circuit.inputs(each)} for rule in rules if rule != TRUE
    }
    reached = {each for each in circuit.cone([broken]) if not circuit.inputs(each)}
    found: list[int] = []
    waiting = dict(cones)
    while True:
        near = [rule for rule, inside in waiting.items() if inside & reached or not inside]
        if not near:
            return found
        for rule in near:
            reached |= waiting.pop(rule)
            found.append(rule)


def _blocks(circuit: Circuit, nodes: Sequence[int], free: Sequence[int]) -> Iterator[dict[int, Words]]:
    """Values of every node, block by block."""
    inside = free[: _IN_A_WORD + _IN_A_BLOCK]
    outside = free[_IN_A_WORD + _IN_A_BLOCK :]
    words_n = 1 << max(0, len(inside) - _IN_A_WORD)
    place = np.arange(words_n, dtype=np.uint64)
    fixed: dict[int, Words] = {TRUE: np.full(words_n, _ALL, dtype=np.uint64)}
    for bit, node in enumerate(inside):
        if bit < _IN_A_WORD:
            fixed[node] = np.full(words_n, _PATTERNS[bit], dtype=np.uint64)
        else:
            set_there = place >> np.uint64(bit - _IN_A_WORD) & np.uint64(1)
            fixed[node] = np.where(set_there == 1, _ALL, np.uint64(0)).astype(np.uint64)
    nothing = np.zeros(words_n, dtype=np.uint64)
    moving = set(outside)
    still = _still(circuit, nodes, moving)
    for node in nodes:
        if node in still and node not in fixed:
            fixed[node] = _and(fixed, circuit.inputs(node))
    rest = [node for node in nodes if node not in still and node not in moving]
    for number in range(1 << len(outside)):
        values = dict(fixed)
        for bit, node in enumerate(outside):
            values[node] = fixed[TRUE] if number >> bit & 1 else nothing
        for node in rest:
            values[node] = _and(values, circuit.inputs(node))
        yield values


def _still(circuit: Circuit, nodes: Sequence[int], moving: set[int]) -> set[int]:
    """Nodes that depend on nothing that moves from block to block."""
    found: set[int] = set()
    for node in nodes:
        below = circuit.inputs(node)
        if all(abs(each) in found for each in below) if below else node not in moving:
            found.add(node)
    return found


def _of(values: dict[int, Words], literal: int) -> Words:
    return values[literal] if literal > 0 else ~values[-literal]


def _and(values: dict[int, Words], literals: Sequence[int]) -> Words:
    holds = values[TRUE].copy()
    for literal in literals:
        if literal > 0:
            np.bitwise_and(holds, values[literal], out=holds)
        else:
            np.bitwise_and(holds, ~values[-literal], out=holds)
    return holds


def _ones(words: Words) -> int:
    return int(np.bitwise_count(words).sum(dtype=np.int64))
