"""Numbers of things in words."""

from __future__ import annotations

import pytest

from coachwright.kit.counted import counted


@pytest.mark.parametrize(
    ("number", "one", "many", "said"),
    [
        (0, "fault", "", "0 faults"),
        (1, "fault", "", "1 fault"),
        (2, "fault", "", "2 faults"),
        (1, "memory", "memories", "1 memory"),
        (3, "memory", "memories", "3 memories"),
        (1234, "step", "", "1,234 steps"),
    ],
)
def test_one_and_many(number: int, one: str, many: str, said: str) -> None:
    """Case: plural only where there isn't exactly one."""
    assert counted(number, one, many) == said
