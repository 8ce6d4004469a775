"""How is a number of things said: 1 fault, 2 faults?"""

from __future__ import annotations


def counted(number: int, one: str, many: str = "") -> str:
    """``1 fault``, ``2 faults``; `many` where the word does more than take an s."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"
