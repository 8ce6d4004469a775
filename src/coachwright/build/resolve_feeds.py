"""Where does each feed come from, and when is it there?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coachwright.build.circuits import check_circuit, is_of_vehicle
from coachwright.build.condition import Condition, Constant
from coachwright.build.model import Equipment
from coachwright.build.model_fitted import Feed
from coachwright.build.reading import Reading
from coachwright.build.sections.feeds import HOT, Sleep
from coachwright.build.sections.feeds import Feed as Written
from coachwright.build.selectors import ring_in
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import (
    AnyPart,
    BatteryPart,
    BodyPart,
    ChargerPart,
    DisconnectPart,
    InverterPart,
    IsolatorPart,
    RelayPart,
)

MAIN, SECOND, ALTERNATOR = "main-battery", "second-battery", "alternator"
SOURCES = (MAIN, SECOND, ALTERNATOR)
"""Of the body."""


def feeds_of(
    written: WrittenBuild,
    body: BodyPart | None,
    equipment: Mapping[str, Equipment],
    parts: Mapping[str, AnyPart],
    reading: Reading,
) -> tuple[Feed, ...]:
    """Every feed that can be understood. Any other is lost."""
    found: list[Feed] = []
    for name, item in written.items("feeds").items():
        path = ("feeds", name)
        before_n = len(reading.told)
        source_is = _source(
            item.from_, written, body, equipment=equipment, parts=parts, path=(*path, "from"), told=reading.told
        )
        on_while = _on_while(item.on_while, (*path, "on-while"), reading)
        sleep = _sleep(item.sleep, (*path, "sleep"), reading)
        slept = item.sleep is None or sleep is not None
        if source_is is None or on_while is None or not slept or len(reading.told) > before_n:
            written.lost.add("feeds", name)
        else:
            found.append(_feed(name, item, source_is, on_while, sleep))
    _check_rings(written, equipment, parts, reading.told)
    return tuple(found)


def _feed(name: str, item: Written, source_is: Any, on_while: Condition, sleep: Condition | None) -> Feed:
    return Feed(
        name=name,
        source=item.from_,
        source_is=source_is,
        on_while=on_while,
        hot=item.on_while.strip() == HOT,
        below_v=item.below.voltage_v if item.below else None,
        below_held_s=item.below.held_s if item.below else 0.0,
        shed=item.shed,
        ends_with=item.ends_with.line if item.ends_with else "",
        ends_before_s=item.ends_with.before_s if item.ends_with else 0.0,
        sleep_after=sleep,
        sleep_s=item.sleep.after_s if item.sleep else 0.0,
        note=item.note,
        path=f"feeds.{name}",
    )


def _on_while(text: str, path: PathPieces, reading: Reading) -> Condition | None:
    return Constant(True) if text.strip() == HOT else reading.condition(text, path, "feed")


def _sleep(sleep: Sleep | None, path: PathPieces, reading: Reading) -> Condition | None:
    """The condition it sleeps after; marks are moved to where that stands in the line."""
    if sleep is None:
        return None
    before_n = len(reading.told)
    found = reading.condition(sleep.condition, path, "feed")
    for number in range(before_n, len(reading.told)):
        span = reading.told[number].span
        if span is not None:
            moved = (span[0] + sleep.start, span[1] + sleep.start)
            reading.told[number] = replace(reading.told[number], span=moved)
    return found


def _source(
    source: str,
    written: WrittenBuild,
    body: BodyPart | None,
    *,
    equipment: Mapping[str, Equipment],
    parts: Mapping[str, AnyPart],
    path: PathPieces,
    told: list[Trouble],
) -> str | None:
    """What kind of source it is; None, with the trouble told, when it is none."""
    name = path[1]
    if is_of_vehicle(source):
        check_circuit(source, body, path, told)
        return "vehicle"
    if source == SECOND and body is not None and body.second_battery is None:
        batteries = [each.name for each in equipment.values() if isinstance(parts[each.part], BatteryPart)]
        why = "This vehicle arrives with one battery."
        write = f"Write {batteries[0]}." if batteries else f"Write {MAIN}, or order a second one."
        told.append(Trouble(path, "BLD-105", "source-gives-nothing", why, write, source))
        return None
    if source in SOURCES:
        return source
    if source in equipment:
        part = parts[equipment[source].part]
        if _gives(part):
            return "equipment"
        if source not in written.items("feeds") and source not in written.lost.of("feeds"):
            why = f"{source} gives no power: {part.name} is a {part.kind}."
            told.append(Trouble(path, "BLD-105", "source-gives-nothing", why, f"Write {MAIN}, or a battery.", source))
            return None
    if source in written.items("feeds") and source != name:
        return "feed"
    if source in written.lost.of("equipment", "feeds") or written.lost.any_of("equipment", "feeds"):
        return None
    batteries = [each.name for each in equipment.values() if _gives(parts[each.part])]
    feeds = [each for each in written.items("feeds") if each != name]
    seconds = [SECOND] if body is None or body.second_battery is not None else []
    known = (MAIN, ALTERNATOR, *seconds, *batteries, *feeds)
    told.append(not_known(path, "battery or other source", source, known, code="BLD-105", name="source-gives-nothing"))
    return None


def _check_rings(
    written: WrittenBuild, equipment: Mapping[str, Equipment], parts: Mapping[str, AnyPart], told: list[Trouble]
) -> None:
    """Feeds that come from each other, through equipment too, come from nowhere."""
    reads: dict[str, list[str]] = {}
    for name, item in written.items("feeds").items():
        source = item.from_
        if source in equipment and _gives(parts[equipment[source].part]):
            reads[name] = [f"{source} "]
            reads.setdefault(f"{source} ", [equipment[source].feed, *equipment[source].also])
        else:
            reads[name] = [source]
    known = {name: [each for each in sources if each in reads] for name, sources in reads.items()}
    ring = [name for name in ring_in(known) if not name.endswith(" ")]
    if ring:
        why = f"{' and '.join(ring)} feed each other." if len(ring) > 1 else f"{ring[0]} feeds itself."
        path = ("feeds", ring[0], "from")
        told.append(
            Trouble(
                path, "BLD-070", "names-in-a-ring", why, "Begin at a battery.", written.items("feeds")[ring[0]].from_
            )
        )


_GIVING = (BatteryPart, InverterPart, ChargerPart, DisconnectPart, IsolatorPart, RelayPart)


def _gives(part: AnyPart) -> bool:
    """Does power come out of it for others?"""
    return isinstance(part, _GIVING)
