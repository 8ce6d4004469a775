"""What did the lead choose, so that no solver may choose otherwise?"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from coachwright.build.sections.base import Section, Text, Written, said
from coachwright.kit.fields import Count, Current, wrong
from coachwright.kit.units import UnitError, parse

MOST_CHANNELS = 1_000
_GAUGE = re.compile(r"(?:[1-9]|1[0-9]|2[0-9]|30|[1-4]/0) AWG", re.ASCII)


def _gauge(value: Any) -> Any:
    if isinstance(value, str):
        if _GAUGE.fullmatch(value):
            return value
        try:
            area_m2 = parse(value, "area")
        except UnitError:
            pass  # no cross-section either; told below
        else:
            if 0.05e-6 <= area_m2 <= 500e-6:
                return value
    raise wrong(
        "BLD-165",
        "gauge-not-read",
        str(value),
        why=f"{value[:40] if isinstance(value, str) and value else 'This'} is no size of wire.",
        write="Write it like 14 AWG, 2/0 AWG or 2.5 mm2.",
    )


def _fuse(value: Any) -> Any:
    if 0.1 <= value <= 1_000:
        return value
    raise wrong(
        "BLD-166",
        "fuse-not-possible",
        str(value),
        why="A fuse of a vehicle carries 0.1 A to 1,000 A.",
        write="Write it like 15 A.",
    )


def _channel(value: int) -> int:
    if 1 <= value <= MOST_CHANNELS:
        return value
    raise wrong(
        "BLD-167",
        "channel-not-possible",
        str(value),
        why=f"Channels are counted from 1, and no controller has more than {MOST_CHANNELS:,}.",
        write="Write it in digits, like 4.",
    )


Gauge = Annotated[str, BeforeValidator(_gauge), WithJsonSchema({"type": "string", "examples": ["14 AWG", "2.5 mm2"]})]


class Fixed(Written):
    """What the lead chose for one thing that wire leads to."""

    gauge: Gauge | None = said("size of its wire", "14 AWG", "2.5 mm2", default=None)
    fuse: Annotated[Current, AfterValidator(_fuse)] | None = said("rating of its fuse", "30 A", default=None)
    channel: Annotated[Count, AfterValidator(_channel)] | None = said(
        "which output of the controller it hangs on, counted from 1", "4", default=None
    )
    why: Text = said("for the papers: why no solver may choose", "the customer's drawing", default="")


SECTION = Section(
    "fixed",
    "entries",
    Fixed,
    "What have you chosen yourself, so that nothing else is chosen for you?",
    """\
fixed:
  main-siren: {gauge: 10 AWG, fuse: 30 A, channel: 4}
  visor.3: {channel: 7}
""",
    keys="paths",
)
