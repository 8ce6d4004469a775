"""Which of the names we know did somebody mean?

The distance counts slips of the keyboard: a letter missing, a letter too many, a wrong one, two neighbours swapped
(optimal string alignment [1]_). Capitals, and whether words are joined by a hyphen, an underscore or a space, count
for nothing. Two names made of the same words in another order are one slip apart.

References
----------
.. [1] F. J. Damerau, "A technique for computer detection and correction of spelling errors",
       Communications of the ACM 7 (1964), 171-176: these four slips make up most typing errors.
"""

from __future__ import annotations

from collections.abc import Iterable

MOST_LETTERS = 80
"""Longer words are cut here before they are compared, so that a hostile file can't make it slow."""

_SEPARATORS = str.maketrans("_ ", "--")


def nearest(word: str, names: Iterable[str], *, most: int = 1) -> list[str]:
    """Names that `word` may have been meant for, best first; none when all are too far.

    Parameters
    ----------
    word : as it was written.
    names : what could have been written.
    most : how many to give at most.

    Notes
    -----
    One slip is allowed in words up to three letters, two up to seven, three beyond; a name that begins with the whole
    word (three letters or more) counts as one slip however long it goes on. Equal names rank by the letters they share
    at the front, then by length, then by the alphabet, so the order of `names` never decides.
    """
    folded = _fold(word)
    if not folded or most < 1:
        return []
    allowed = 1 if len(folded) <= 3 else 2 if len(folded) <= 7 else 3
    found = []
    for name in dict.fromkeys(names):
        other = _fold(name)
        slips = _slips_of_names(folded, other, allowed)
        if slips <= allowed:
            shared = _shared_front(folded, other)
            found.append((slips, -shared, abs(len(other) - len(folded)), name))
    return [name for *_, name in sorted(found)[:most]]


def slips(one: str, other: str, *, most: int) -> int:
    """Slips of the keyboard between two words, capitals and all; `most` + 1 as soon as there are more than `most`."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    last = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        here = [row]
        for column, opposite in enumerate(other, 1):
            cost = min(last[column] + 1, here[column - 1] + 1, last[column - 1] + (letter != opposite))
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == opposite:
                cost = min(cost, before[column - 2] + 1)
            here.append(cost)
        if min(here) > most and min(last) > most:
            return most + 1
        before, last = last, here
    return min(last[-1], most + 1)


def _slips_of_names(word: str, name: str, allowed: int) -> int:
    if word == name:
        return 0
    if len(word) >= 3 and name.startswith(word):
        return 1
    if "-" in word and sorted(word.split("-")) == sorted(name.split("-")):
        return 1
    return slips(word, name, most=allowed)


def _fold(word: str) -> str:
    return word[:MOST_LETTERS].strip().casefold().translate(_SEPARATORS)[:MOST_LETTERS]


def _shared_front(one: str, other: str) -> int:
    shared = 0
    for a, b in zip(one, other, strict=False):
        if a != b:
            break
        shared += 1
    return shared
