"""Which of the vehicle's own lamps does road law ask for, and what is each of them for?

A body names its lamps freely; what one is for is read from the words of its name. A name with none of these words is
for nothing in particular, and no rule about a use concerns it.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.parts.schema import BodyPart

USES: Mapping[str, tuple[str, ...]] = {
    "identification": ("identification",),
    "clearance": ("clearance",),
    "marker": ("marker",),
    "plate": ("plate",),
    "backup": ("reverse", "reversing", "backup"),
    "stop": ("brake", "stop"),
    "turn": ("turn", "hazard", "indicator"),
    "fog": ("fog",),
    "headlamp": ("headlamp", "beam"),
    "parking": ("parking", "position"),
    "tail": ("tail",),
}
"""What a lamp is for, and the words of a name that say so, one or many; the first that fits holds (``brake-and-tail``
is a stop)."""

NO_USE = "other"


def use_of(lamp: str) -> str:
    """What a lamp of this name is for, as road law divides them; `NO_USE` where the name doesn't say."""
    words = {word.removesuffix("s") for word in lamp.split("-")}
    return next((use for use, said in USES.items() if words & set(said)), NO_USE)


def required_lamps(body: BodyPart) -> tuple[str, ...]:
    """Lamps with light that road law asks for, in the order of the body."""
    return tuple(name for name, lamp in body.lamps.items() if lamp.required and lamp.heads)
