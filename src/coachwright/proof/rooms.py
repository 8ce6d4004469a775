"""Which rooms measure, and what can they be asked?

One line per room. A room that isn't built yet is missing: what rules ask of it ends as "not measured", never as a pass.
"""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from coachwright.kit.finding import Finding
from coachwright.kit.measure import WINDOWS, WindowEntry

ROOMS = (
    "control",
    "flash",
    "light",
    "power",
    "sound",
    "body",
    "shop",
)


@dataclass(frozen=True, slots=True)
class Rooms:
    """What there is to ask.

    Parameters
    ----------
    windows : every window by measure name.
    missing : rooms without a door to ask at.
    findings : rooms whose door does not open; a fault of the program, told and never hidden.
    """

    windows: Mapping[str, WindowEntry]
    missing: frozenset[str]
    findings: tuple[Finding, ...] = ()


@cache
def rooms() -> Rooms:
    """Opens every room once per process."""
    missing: set[str] = set()
    findings: list[Finding] = []
    for room in ROOMS:
        door = f"coachwright.{room}.measures"
        try:
            importlib.import_module(door)
        except ModuleNotFoundError as error:
            missing.add(room)
            if error.name not in (f"coachwright.{room}", door):
                findings.append(_broken(room, error))
        except Exception as error:
            missing.add(room)
            findings.append(_broken(room, error))
    return Rooms(dict(WINDOWS), frozenset(missing), tuple(findings))


def _broken(room: str, error: Exception) -> Finding:
    return Finding(
        "VER-003",
        "room-does-not-open",
        "error",
        "Nothing can be asked of the room {room}: {error}. This is a fault of the program, not of the build.",
        {"room": room, "error": f"{type(error).__name__}: {error}"},
    )
