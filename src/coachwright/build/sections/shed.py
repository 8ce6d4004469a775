"""When is something shed as the battery runs down: first, second, never?"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, WithJsonSchema

from coachwright.kit.fields import wrong


def _shed(value: Any) -> Any:
    if value == "never":
        return value
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 999:
        return value
    if isinstance(value, str) and value.isdecimal() and value.isascii() and len(value) < 4 and int(value) >= 1:
        return int(value)
    raise wrong(
        "BLD-026",
        "shed-not-read",
        str(value),
        why="What is shed first has the number 1, the next 2.",
        write="Write a number, or never.",
    )


Shed = Annotated[
    int | Literal["never"],
    BeforeValidator(_shed),
    WithJsonSchema({"type": "string", "pattern": "^(never|[1-9][0-9]{0,2})$"}),
]
"""1 goes first; what has no number goes when its feed does."""
