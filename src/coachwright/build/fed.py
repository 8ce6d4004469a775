"""Does everything that draws hang on a feed, and something on every feed?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from coachwright.build.circuits import check_circuit, is_of_vehicle
from coachwright.build.model import Equipment
from coachwright.build.sections.options import Option, Value
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import (
    AlarmPart,
    AnyPart,
    BodyPart,
    ChargerPart,
    ControllerPart,
    DevicePart,
    DockPart,
    EmitterPart,
    InverterPart,
    RadioPart,
    SirenPart,
)

SHORE = "shore"
"""An outlet of the building the vehicle stands at."""


def draws(part: AnyPart) -> bool:
    """Does it take current from what feeds it?"""
    match part:
        case DevicePart():
            return bool(part.current > 0 or part.standby > 0)
        case ControllerPart() | SirenPart() | AlarmPart() | DockPart() | EmitterPart() | RadioPart():
            return True
        case InverterPart() | ChargerPart():
            return True
        case _:
            return False


def check_fed(
    written: WrittenBuild,
    body: BodyPart | None,
    equipment: Mapping[str, Equipment],
    parts: Mapping[str, AnyPart],
    told: list[Trouble],
) -> None:
    """Tell feeds that are not known, those nothing hangs on, and what draws without one."""
    feeds = frozenset(written.items("feeds"))
    lost = written.lost
    for name, item in written.items("equipment").items():
        path = ("equipment", name)
        if item.feed is not None:
            _check_feed(item.feed, written, body, (*path, "feed"), told)
        for number, feed in enumerate(item.also, start=1):
            place = (*path, "also", str(number))
            if feed not in feeds:
                _unknown_feed(feed, feeds, written, place, told)
            elif feed == item.feed:
                why = f"{name} hangs on {feed} already."
                told.append(Trouble(place, "BLD-019", "item-twice", why, "Leave it away here.", feed))
    if not feeds or lost.any_of("feeds", "equipment") or lost.of("equipment"):
        return
    for name, fitted in equipment.items():
        if not fitted.feed and draws(parts[fitted.part]):
            why = f"{name} draws current, and no feed of it is said."
            write = f"Write feed: and one of {', '.join(sorted(feeds)[:6])}."
            told.append(
                Trouble(
                    ("equipment", name), "BLD-106", "feed-not-said", why, write, name, on_key=True, severity="warning"
                )
            )
    used = {feed for item in written.items("equipment").values() for feed in (item.feed, *item.also)}
    used |= {item.from_ for item in written.items("feeds").values()}
    used |= set(_words(list(written.items("options").values())))
    for name in written.items("feeds"):
        if name in used:
            continue
        why = f"Nothing hangs on {name}."
        write = f"Write feed: {name} where something does, or take it out."
        told.append(
            Trouble(("feeds", name), "BLD-107", "feed-not-used", why, write, name, on_key=True, severity="warning")
        )


def _check_feed(feed: str, written: WrittenBuild, body: BodyPart | None, path: PathPieces, told: list[Trouble]) -> None:
    if is_of_vehicle(feed):
        check_circuit(feed, body, path, told)
    elif feed != SHORE and feed not in written.items("feeds"):
        _unknown_feed(feed, (*written.items("feeds"), SHORE), written, path, told)


def _unknown_feed(
    feed: str, known: Collection[str], written: WrittenBuild, path: PathPieces, told: list[Trouble]
) -> None:
    if feed not in written.lost.of("feeds") and not written.lost.any_of("feeds"):
        told.append(not_known(path, "feed", feed, known, code="BLD-108", name="feed-not-known"))


def _words(content: Any) -> Iterator[str]:
    """Every text in what options hold."""
    waiting = [content]
    while waiting:
        here = waiting.pop()
        if isinstance(here, str):
            yield here
        elif isinstance(here, dict):
            waiting += here.values()
        elif isinstance(here, list | tuple):
            waiting += here
        elif isinstance(here, Option):
            waiting += here.values.values()
        elif isinstance(here, Value):
            waiting += [here.add, here.set_]
