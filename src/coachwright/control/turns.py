"""Is the driver turning left, turning right, or is it the hazard flasher, given the edges of the two turn wires?

A wire turns from an edge of it until its edge hold after the last one: stuck high or low it is no turn. An edge of each
wire, the same way, within `together_ms` of one another is the hazard flasher, and then neither is a turn. Whether an
edge stayed alone is known one millisecond after that time: until then nothing changes for the other wire, so a
flasher whose wires follow each other by some milliseconds doesn't flicker between hazard and turn. Then a lone edge
ends the other wire's edge hold, unless that one had an edge of its own in the meantime.

`FLASHING` stands for a wire that flashes on and on. Two such wires flash together. Beside one, the edges of the other
are alone.
"""

from __future__ import annotations

from dataclasses import dataclass

FLASHING = 2
"""Level of a wire that flashes on and on (0 is low, 1 is high)."""
ON_AND_ON = -1
"""Edge hold of such a wire: it doesn't end."""


@dataclass(frozen=True, slots=True)
class TurnWires:
    """The two wires (or the only one): their places among the inputs and their edge holds."""

    places: tuple[int, ...]
    edge_hold_ms: tuple[int, ...]
    together_ms: int


@dataclass(frozen=True, slots=True)
class TurnWire:
    """What is remembered of one wire.

    hold_ms : left of its edge hold; 0 when it is over, `ON_AND_ON` while it flashes on and on.
    up_ms, down_ms : until its last edge up (down) counts as alone; 0 when none is waiting for a partner. Of a wire that
    flashes on and on `up_ms` stands for all its edges.
    """

    hold_ms: int = 0
    up_ms: int = 0
    down_ms: int = 0

    @property
    def waits(self) -> bool:
        """Has it an edge that may still find its partner?"""
        return self.up_ms > 0 or self.down_ms > 0


@dataclass(frozen=True, slots=True)
class Turns:
    """Both wires, and whether they are the hazard flasher."""

    wires: tuple[TurnWire, ...] = ()
    hazard: bool = False


NO_TURN = Turns()
_STILL = TurnWire()


def read_turns(
    wires: TurnWires, before: Turns | None, flashing: tuple[bool, ...], edges: tuple[bool | None, ...]
) -> Turns:
    """What is known after the edges of this moment.

    Parameters
    ----------
    before : None at power-up; then wires that flash do so already, and no edge is seen.
    flashing : per wire, does it flash on and on from now?
    edges : per wire, True for up, False for down, None for no edge.
    """
    if before is None:
        started = [TurnWire(ON_AND_ON) if flashes else _STILL for flashes in flashing]
        return _tidy(started, hazard=len(flashing) == 2 and all(flashing))
    now = [
        _after_edge(wire, flashes, edge, hold_ms, wires.together_ms + 1)
        for wire, flashes, edge, hold_ms in zip(before.wires, flashing, edges, wires.edge_hold_ms, strict=True)
    ]
    hazard = before.hazard
    if len(now) == 2 and edges != (None, None) and _flash_together(now, flashing):
        hazard = True
        now = [TurnWire(wire.hold_ms) for wire in now]
    return _tidy(now, hazard=hazard, wait_ms=wires.together_ms + 1)


def pass_turns(turns: Turns, elapsed_ms: int) -> Turns:
    """`elapsed_ms` later, without an edge. Never longer than `turns_end_ms`."""
    if all(wire.hold_ms <= 0 and not wire.waits for wire in turns.wires):
        return turns
    now = [_later(wire, elapsed_ms) for wire in turns.wires]
    alone = [_ends(wire.up_ms, elapsed_ms) or _ends(wire.down_ms, elapsed_ms) for wire in turns.wires]
    hazard = turns.hazard and not any(alone)
    if len(now) == 2:
        for one, other in ((0, 1), (1, 0)):
            own_edge = now[other].waits or alone[other]
            if alone[one] and now[other].hold_ms > 0 and (now[one].hold_ms == ON_AND_ON or not own_edge):
                now[other] = _STILL
    return _tidy(now, hazard=hazard)


def turns_end_ms(turns: Turns) -> int:
    """Time to the nearest end of an edge hold or of a wait; 0 when nothing runs."""
    running = [ms for wire in turns.wires for ms in (wire.hold_ms, wire.up_ms, wire.down_ms) if ms > 0]
    return min(running, default=0)


def _later(wire: TurnWire, elapsed_ms: int) -> TurnWire:
    hold_ms = wire.hold_ms - elapsed_ms if wire.hold_ms > 0 else wire.hold_ms
    return TurnWire(hold_ms, max(0, wire.up_ms - elapsed_ms), max(0, wire.down_ms - elapsed_ms))


def _ends(left_ms: int, elapsed_ms: int) -> bool:
    return 0 < left_ms <= elapsed_ms


def _after_edge(wire: TurnWire, flashes: bool, edge: bool | None, hold_ms: int, alone_in_ms: int) -> TurnWire:
    if flashes:
        return TurnWire(ON_AND_ON, wire.up_ms if wire.hold_ms == ON_AND_ON else 0)
    on_and_on = wire.hold_ms == ON_AND_ON
    if edge is None:  # lost while it flashed: its last edge was now, and no further one can be seen
        return TurnWire(hold_ms) if on_and_on else wire
    up_ms, down_ms = (0, 0) if on_and_on else (wire.up_ms, wire.down_ms)
    return TurnWire(hold_ms, alone_in_ms if edge else up_ms, down_ms if edge else alone_in_ms)


def _flash_together(now: list[TurnWire], flashing: tuple[bool, ...]) -> bool:
    """Is this moment's edge the partner of another one, the same way?"""
    one, other = now
    if flashing[0] or flashing[1]:
        return flashing[0] and flashing[1]
    return (one.up_ms > 0 and other.up_ms > 0) or (one.down_ms > 0 and other.down_ms > 0)


def _tidy(now: list[TurnWire], *, hazard: bool, wait_ms: int = 0) -> Turns:
    """Hazard ends with both holds. Beside a wire that flashes on and on the edges of the other one are alone from now.

    wait_ms : until it counts as alone, where that begins now.
    """
    hazard = hazard and any(wire.hold_ms for wire in now)
    if len(now) == 2:
        for one, other in ((0, 1), (1, 0)):
            if now[one].hold_ms == ON_AND_ON:
                beside = now[other].hold_ms > 0 or (hazard and now[other].hold_ms != ON_AND_ON)
                now[one] = TurnWire(ON_AND_ON, (now[one].up_ms or wait_ms) if beside else 0)
    return Turns(tuple(now), hazard)
