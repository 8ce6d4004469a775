"""Invented drives for tests of logs: entries by hand, written by the library's own writers, and two that ship.

python -m tests.control.drives        writes the logs of examples/quillback anew
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import can

EXAMPLES = Path(__file__).resolve().parents[2] / "examples" / "quillback" / "drive"
BEGINS_S = 1_794_000_000.0
"""A day in November 2026."""
SUFFIXES = (".log", ".asc", ".blf", ".csv")


@dataclass(frozen=True, slots=True)
class Sent:
    """One frame: when, after the beginning; its identifier (more than 7FF has 29 bits); its bytes."""

    at_ms: float
    identifier: int
    data: bytes


def write_log(path: Path, frames: Iterable[Sent], *, begins_s: float = BEGINS_S) -> Path:
    """The frames as the library's writer of that form writes them."""
    with can.Logger(str(path)) as log:
        for each in frames:
            log(
                can.Message(
                    timestamp=begins_s + each.at_ms / 1000,
                    arbitration_id=each.identifier,
                    is_extended_id=each.identifier > 0x7FF,
                    data=each.data,
                )
            )
    return path


# ---- the drive that ships: a pull-out, a turn, a stop, an arrival. All invented.

BODY, LAMPS, INPUTS, STRANGE = 0x2A0, 0x2A8, 0x6A0, 0x51B
_GEARS = {"P": 0, "R": 1, "N": 2, "D": 3}
_SLIDE = {"off": 0, "low": 1, "mid": 2, "full": 3}


@dataclass
class Vehicle:
    """What is true in the vehicle at one moment."""

    gear: str = "P"
    speed_kmh: float = 0.0
    pedal: bool = False
    park_brake: bool = True
    stalk: int = 0
    lit: bool = False
    slide: str = "off"
    hatch: bool = False
    wail: bool = False

    def body(self) -> bytes:
        """Gear, speed and hatch, as the body says them."""
        speed = round(self.speed_kmh * 100)
        return bytes([_GEARS[self.gear], speed >> 8, speed & 0xFF, int(self.hatch), 1, 0, 0, 0])

    def lamps(self) -> bytes:
        """Pedal, parking brake and turn stalk, as the body says them."""
        return bytes([int(self.pedal) | int(self.park_brake) << 1, self.stalk, 0, 0])

    def inputs(self, *, swapped: bool) -> bytes:
        """What stands at the controller's own terminals: slide, wires of brake, parking brake and turns, button."""
        brake, park = (self.park_brake, self.pedal) if swapped else (self.pedal, self.park_brake)
        wires = int(brake) | int(park) << 1 | int(self.lit and self.stalk == 1) << 2
        wires |= int(self.lit and self.stalk == 2) << 3 | int(self.wail) << 4
        return bytes([_SLIDE[self.slide], wires])


_STORY: tuple[tuple[int, dict[str, object]], ...] = (
    (1_000, {"slide": "full"}),
    (2_000, {"pedal": True}),
    (2_400, {"park_brake": False}),
    (2_800, {"gear": "D"}),
    (3_300, {"pedal": False}),
    (4_200, {"wail": True}),
    (4_500, {"wail": False}),
    (6_000, {"stalk": 1}),
    (8_800, {"stalk": 0}),
    (9_500, {"pedal": True}),
    (12_200, {"gear": "P"}),
    (12_700, {"park_brake": True}),
    (13_200, {"pedal": False, "slide": "mid"}),
    (15_000, {"hatch": True}),
)
_SPEEDS = ((3_500, 0.0), (6_000, 52.0), (9_500, 48.0), (11_800, 0.0))
ENDS_MS = 16_000


def drive(*, swapped: bool = False) -> list[Sent]:
    """The frames of the drive. swapped : the wires of brake and parking brake, at the controller."""
    vehicle, story = Vehicle(), list(_STORY)
    sent: list[Sent] = []
    before = b""
    for at_ms in range(0, ENDS_MS + 1, 10):
        while story and story[0][0] <= at_ms:
            for name, value in story.pop(0)[1].items():
                setattr(vehicle, name, value)
        vehicle.speed_kmh = _speed(at_ms)
        vehicle.lit = bool(vehicle.stalk) and (at_ms - 6_000) % 700 < 350
        now = vehicle.inputs(swapped=swapped)
        if at_ms % 100 == 0:
            sent += [Sent(at_ms, BODY, vehicle.body()), Sent(at_ms + 2, LAMPS, vehicle.lamps())]
        if now != before or at_ms % 200 == 0:
            sent.append(Sent(at_ms + 5, INPUTS, now))
            before = now
        if at_ms % 1_000 == 500:
            sent.append(Sent(at_ms + 7, STRANGE, bytes([at_ms // 1_000])))
    return sent


def _speed(at_ms: int) -> float:
    """Between the points of the drive a straight line. [km/h]"""
    for (begins, low), (ends, high) in pairwise(_SPEEDS):
        if begins <= at_ms < ends:
            return low + (high - low) * (at_ms - begins) / (ends - begins)
    return 0.0


SHIPPED = {"drive.log": False, "drive-swapped-wires.log": True}


def shipped(name: str) -> str:
    """What a shipped log says, as candump writes it."""
    lines = []
    for each in drive(swapped=SHIPPED[name]):
        lines.append(f"({BEGINS_S + each.at_ms / 1000:.6f}) can0 {each.identifier:03X}#{each.data.hex().upper()}\n")
    return "".join(lines)


if __name__ == "__main__":
    EXAMPLES.mkdir(exist_ok=True)
    for file in SHIPPED:
        (EXAMPLES / file).write_text(shipped(file), encoding="utf-8")
