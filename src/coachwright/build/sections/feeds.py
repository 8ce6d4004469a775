"""Where does power come from, and when?"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from coachwright.build.sections.base import ConditionText, PlaceName, Section, Text, Written, said
from coachwright.build.sections.shed import Shed
from coachwright.kit.fields import wrong
from coachwright.kit.units import UnitError, parse

HOT = "hot"
"""Straight off the battery: fed at all times."""

_BELOW = re.compile(r"\s*(?P<voltage>.+?)(?:\s+held\s+(?P<held>.+?))?\s*")
_ENDS_WITH = re.compile(r"\s*(?P<line>\S+)\s+(?P<before>.+?)\s+before\s*")
_SLEEP = re.compile(r"\s*(?P<time>.+?)\s+after\s+(?P<condition>.+?)\s+ends\s*")

_MOST_S = 30 * 86400.0
"""As of any timer (condition_values)."""


@dataclass(frozen=True, slots=True)
class Below:
    """What was read of ``below``: the voltage, and how long the battery has to stay beneath it."""

    voltage_v: float
    held_s: float


@dataclass(frozen=True, slots=True)
class EndsWith:
    """What was read of ``ends-with``: a wire of ours, and how long before the end it is told."""

    line: str
    before_s: float


@dataclass(frozen=True, slots=True)
class Sleep:
    """What was read of ``sleep``: how long after a condition has ended, and where in the text that condition stands."""

    after_s: float
    condition: str
    start: int


def _not_read(value: Any, why: str, write: str) -> Exception:
    return wrong("BLD-100", "feed-not-read", value if isinstance(value, str) else "", why=why, write=write)


def _quantity(text: str, kind: str, whole: str) -> float:
    try:
        return parse(text, kind)
    except UnitError as error:
        code = ("BLD-004", f"{kind}-without-unit") if error.reason == "no-unit" else ("BLD-006", f"{kind}-not-read")
        raise wrong(*code, whole, why=str(error), write=error.write, near=error.near) from None


def _time(text: str, whole: str) -> float:
    time_s = _quantity(text, "time", whole)
    if not 0 < time_s <= _MOST_S:
        raise wrong(
            "BLD-035",
            "time-not-usable",
            whole,
            why="A timer runs for longer than nothing, and at most 30 days.",
            write="Write it like 5 min.",
        )
    return time_s


def _below(value: Any) -> Any:
    if isinstance(value, Below):
        return value
    found = _BELOW.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise _not_read(value, "A voltage belongs here, and how long it stays below.", "Like 11.8 V held 2 min.")
    voltage_v = _quantity(found["voltage"], "voltage", value)
    if voltage_v <= 0:
        raise _not_read(value, "A battery never falls below that.", "Write it like 11.8 V held 2 min.")
    return Below(voltage_v=voltage_v, held_s=_time(found["held"], value) if found["held"] else 0.0)


def _ends_with(value: Any) -> Any:
    if isinstance(value, EndsWith):
        return value
    found = _ENDS_WITH.fullmatch(value) if isinstance(value, str) else None
    write = "Write the wire and how long before the end, like shutdown-line 90 s before."
    if found is None:
        raise _not_read(value, "What is told before this feed ends, and how long before?", write)
    if not re.fullmatch(r"[a-z0-9]+(?:-[a-z0-9]+)*", found["line"], re.ASCII):
        raise _not_read(value, f"{found['line'][:40]} is no plain name of a wire.", write)
    return EndsWith(line=found["line"], before_s=_time(found["before"], value))


def _sleep(value: Any) -> Any:
    if isinstance(value, Sleep):
        return value
    found = _SLEEP.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        why = "When does what hangs on this feed go to sleep?"
        raise _not_read(value, why, "Write it like 5 min after ignition ends.")
    return Sleep(_time(found["time"], value), found["condition"], found.start("condition"))


def _read(reader: Callable[[Any], Any], example: str) -> Any:
    return (BeforeValidator(reader), WithJsonSchema({"type": "string", "examples": [example], "minLength": 1}))


class Feed(Written):
    """A feed: where power comes from, and when it is there."""

    from_: PlaceName = said(
        "the battery, or what else gives power",
        "main-battery",
        "aux-battery",
        "alternator",
        "vehicle.reverse",
        alias="from",
    )
    on_while: ConditionText = said(
        "it is fed while this holds; hot: at all times, straight off the battery",
        "ignition plus 30 min",
        "hot",
        "engine == running",
    )
    below: Annotated[Below, *_read(_below, "11.8 V held 2 min")] | None = said(
        "it is cut off once the battery has stood below this so long", "11.8 V held 2 min", "11.6 V", default=None
    )
    shed: Shed | None = said("when it is shed as the battery runs down: 1 goes first", "1", "never", default=None)
    ends_with: Annotated[EndsWith, *_read(_ends_with, "shutdown-line 90 s before")] | None = said(
        "a wire that is told before the feed ends, and how long before", "shutdown-line 90 s before", default=None
    )
    sleep: Annotated[Sleep, *_read(_sleep, "5 min after ignition ends")] | None = said(
        "what hangs on it sleeps from then on, and draws its standby current", "5 min after ignition ends", default=None
    )
    note: Text = said("for the papers", "behind the second fuse block", default="")


SECTION = Section(
    "feeds",
    "entries",
    Feed,
    "Where does power come from, and when?",
    """\
feeds:
  radios:     {from: aux-battery, on-while: ignition plus 30 min, below: 11.8 V held 2 min, shed: never}
  computer:   {from: aux-battery, on-while: ignition plus 120 min, ends-with: shutdown-line 90 s before}
  outlet:     {from: main-battery, on-while: hot, shed: 1}
  controller: {from: main-battery, on-while: hot, sleep: 5 min after ignition ends}
""",
)
