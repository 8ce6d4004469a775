"""A made-up vehicle's supply with all its wires, as large as one asks."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from coachwright.kit.wave import Wave
from coachwright.power.network import Behaves, Branch, Sink, Source

FEEDS_N, GROUNDS_N = 5, 8
_FEED_SHARE_N, _LAMP_NODES_N = 3, 5
_PLAIN_N = 8  # ground post, battery post, alternator, main fuse, block, both ends of the frame, strap
LAMPS_N = 88


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A network, its loads and what they follow."""

    nodes_n: int
    branches: tuple[Branch, ...]
    sources: tuple[Source, ...]
    sinks: tuple[Sink, ...]
    waves: tuple[Wave, ...]


def vehicle(scale: int, behaves: Behaves) -> Vehicle:
    """Battery and alternator, five feeds with fuse and splice, a channel, a plug and a ground wire for each lamp.

    The frame is tied to the battery at both ends, so currents go home by more than one way. 471 nodes at scale 1.
    """
    draw = Random(417)
    branches: list[Branch] = []
    post, alternator, main_fuse, block, front, rear, strap = range(1, _PLAIN_N)
    next_node = _PLAIN_N

    def wire(a: int, b: int, ohm: float, name: str) -> None:
        branches.append(Branch(a, b, ohm, name))

    wire(alternator, post, 1.2e-3, "alternator cable")
    wire(post, main_fuse, 0.3e-3, "main fuse")
    wire(main_fuse, block, 0.7e-3, "main feed")
    wire(strap, 0, 0.3e-3, "strap")
    wire(front, strap, 0.4e-3, "front of the frame")
    wire(rear, front, 0.8e-3, "frame")
    wire(rear, 0, 2.5e-3, "return cable")
    grounds = []
    for number in range(GROUNDS_N * scale):
        wire(next_node, front if number % 2 else rear, draw.uniform(0.2e-3, 0.8e-3), f"ground point {number}")
        grounds.append(next_node)
        next_node += 1
    ends = []
    for number in range(FEEDS_N * scale):
        fuse, splice, end = range(next_node, next_node + _FEED_SHARE_N)
        wire(block, fuse, draw.uniform(0.5e-3, 1.0e-3), f"fuse {number}")
        wire(fuse, splice, draw.uniform(1.0e-3, 3.0e-3), f"feed {number}")
        wire(splice, end, draw.uniform(0.2e-3, 0.5e-3), f"splice {number}")
        ends.append(end)
        next_node += _FEED_SHARE_N
    sinks, waves = [], []
    groups = _groups()
    for number in range(LAMPS_N * scale):
        channel, plug, plus, minus, joint = range(next_node, next_node + _LAMP_NODES_N)
        wire(ends[number % len(ends)], channel, draw.uniform(8e-3, 15e-3), f"channel {number}")
        wire(channel, plug, draw.uniform(20e-3, 60e-3), f"lamp wire {number}")
        wire(plug, plus, draw.uniform(2e-3, 6e-3), f"plug {number}")
        wire(minus, joint, draw.uniform(2e-3, 6e-3), f"joint {number}")
        wire(joint, grounds[number % len(grounds)], draw.uniform(5e-3, 25e-3), f"ground wire {number}")
        amperes = draw.uniform(0.8, 2.4) / scale
        value = amperes if behaves == "current" else 12.8 * amperes
        sinks.append(Sink(plus, minus, behaves, value, 0.0, f"lamp {number}"))
        waves.append(groups[number % len(groups)])
        next_node += _LAMP_NODES_N
    sources = (Source(post, 0, 12.6, 4.5e-3, "battery"), Source(alternator, 0, 13.9, 12e-3, "alternator"))
    return Vehicle(next_node, tuple(branches), sources, tuple(sinks), tuple(waves))


def _groups() -> list[Wave]:
    """Twelve sync groups: singles to quads, 75 to 150 a minute, some half a cycle behind."""
    found = []
    for number, (cycle_ms, flashes_n) in enumerate(
        [
            (400, 1),
            (400, 2),
            (500, 1),
            (500, 2),
            (500, 3),
            (600, 2),
            (600, 4),
            (800, 1),
            (800, 3),
            (500, 4),
            (400, 1),
            (600, 1),
        ]
    ):
        lit_ms = 5 * (cycle_ms // (20 * flashes_n))
        steps = [(lit_ms, 1.0), (lit_ms, 0.0)] * (flashes_n - 1) + [(lit_ms, 1.0)]
        rest_ms = cycle_ms - sum(length for length, _ in steps)
        found.append(Wave.of([*steps, (rest_ms, 0.0)]).shift((number % 2) * cycle_ms // 2 + 5 * number))
    return found
