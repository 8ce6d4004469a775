"""What does the vehicle arrive with, as the dealer was told to build it?

Orders bring signals and lamps the body has with them only, and change what they say they set. What is taken out again
(`vehicle.removed`) stays in the body: what goes with it is for the rooms that weigh and seat to say.
"""

from __future__ import annotations

import re
from dataclasses import replace

from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.parts.schema import BodyPart, Sets

_MOST_REMEMBERED = 64
_remembered: dict[tuple[int, tuple[str, ...]], tuple[BodyPart, BodyPart]] = {}


def as_ordered(body: BodyPart, orders: tuple[str, ...]) -> BodyPart:
    """The body as it arrives with these orders; the very same object each time, and `body` where nothing changes."""
    key = (id(body), orders)
    known = _remembered.get(key)
    if known is None or known[0] is not body:
        if len(_remembered) >= _MOST_REMEMBERED:
            _remembered.clear()
        known = _remembered[key] = (body, _made(body, orders))
    return known[1]


def check_orders(written: WrittenBuild, body: BodyPart, told: list[Trouble]) -> None:
    """Tell what was ordered, or is taken out, and this body says nothing of."""
    vehicle = written.one["vehicle"]
    for number, name in enumerate(vehicle.as_ordered, start=1):
        if name not in body.orders:
            path = ("vehicle", "as-ordered", str(number))
            told.append(
                not_known(path, f"order of {body.name}", name, body.orders, code="BLD-103", name="order-not-known")
            )
    for number, name in enumerate(vehicle.removed, start=1):
        if name not in body.removable:
            path = ("vehicle", "removed", str(number))
            what = f"thing that can be taken out of {body.name}"
            told.append(not_known(path, what, name, body.removable, code="BLD-104", name="removable-not-known"))


def name_orders(told: list[Trouble], body: BodyPart, orders: tuple[str, ...]) -> None:
    """Where a name is not known that an order would bring, say which order that is.

    body : as the catalogue has it, with all that could be ordered.
    """
    missing = {name: signal.order for name, signal in body.signals.items() if signal.order not in ("", *orders)}
    missing |= {name: lamp.order for name, lamp in body.lamps.items() if lamp.order not in ("", *orders)}
    if not missing:
        return
    for number, trouble in enumerate(told):
        if trouble.code in _UNKNOWN_NAMES:
            named = _NAMED.search(trouble.why)
            order = missing.get(named[1]) if named is not None else None
            if order is not None:
                write = f"It comes with {order}: add that to vehicle.as-ordered."
                told[number] = replace(trouble, write=write, near="")


_UNKNOWN_NAMES = frozenset("BLD-031 BLD-055 BLD-057 BLD-058".split())
_NAMED = re.compile(r" (?:is|are) (?:named|called) ([a-z0-9-]+)\.")


def _made(body: BodyPart, orders: tuple[str, ...]) -> BodyPart:
    gone = {name for name, signal in body.signals.items() if signal.order and signal.order not in orders}
    changes: dict[str, object] = {}
    if gone:
        changes["signals"] = {name: signal for name, signal in body.signals.items() if name not in gone}
        changes["cannot_be"] = tuple(each for each in body.cannot_be if gone.isdisjoint(_words(each.condition)))
    lamps = {name: lamp for name, lamp in body.lamps.items() if not lamp.order or lamp.order in orders}
    if len(lamps) < len(body.lamps):
        changes["lamps"] = lamps
    if body.hitch is not None and body.hitch.order and body.hitch.order not in orders:
        changes["hitch"] = None
    for name in orders:
        if name in body.orders:
            changes |= _set_by(body.orders[name].sets)
    return body.model_copy(update=changes) if changes else body


def _set_by(sets: Sets) -> dict[str, object]:
    return {field: value for field, value in sets if value is not None}


def _words(condition: str) -> set[str]:
    return set(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)*", condition))
