"""When may the controller sleep? Where a feed of a controller says what it sleeps after; else never.

    controller: {from: main-battery, on-while: hot, sleep: 5 min after ignition ends}

While `ignition` holds it is awake. Once that has ended for five minutes it may sleep; what wakes it before the ignition
does isn't said, so it may wake at any time.

See Also
--------
coachwright.control.signals : what is read asleep. coachwright.control.unrolled, coachwright.control.acted : who asks.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.condition import And, Condition
from coachwright.build.model import Input, Model
from coachwright.build.model_fitted import Feed
from coachwright.parts.schema import ControllerPart


@dataclass(frozen=True, slots=True)
class Sleep:
    """awake_while : while it holds the controller is awake. after_ms : so long after its end it may sleep."""

    awake_while: Condition
    after_ms: int


def sleep_of(model: Model) -> Sleep | None:
    """When the controllers of a build may sleep; None when they never do."""
    feeds = sleeping_feeds(model)
    if not feeds:
        return None
    conditions = tuple(feed.sleep_after for feed in feeds if feed.sleep_after is not None)
    awake_while = conditions[0] if len(conditions) == 1 else And(conditions)
    return Sleep(awake_while, round(min(feed.sleep_s for feed in feeds) * 1000))


def sleeping_feeds(model: Model) -> tuple[Feed, ...]:
    """The feeds on which a controller hangs and after whose condition it sleeps."""
    controllers = {name for name, part in model.parts if isinstance(part, ControllerPart)}
    on = {feed for each in model.equipment if each.part in controllers for feed in (each.feed, *each.also)}
    return tuple(feed for feed in model.feeds if feed.name in on and feed.sleep_after is not None)


def reads_off(item: Input) -> bool:
    """Does it read its first value asleep, whatever stands at its source?"""
    return item.is_control and item.asleep != "as-is"
