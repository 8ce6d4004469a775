"""How many vehicles alike?"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator

from coachwright.build.sections.base import Section
from coachwright.kit.fields import Count, wrong

MOST = 10_000


def _some(value: int) -> Any:
    if 1 <= value <= MOST:
        return value
    raise wrong(
        "BLD-009",
        "count-not-whole",
        str(value),
        why=f"A job builds 1 to {MOST:,} vehicles.",
        write="Write it in digits, like 6.",
    )


SECTION = Section("count", "one", Annotated[Count, AfterValidator(_some)], "How many vehicles alike?", "count: 6")
