"""What does the machine do while it follows a vehicle: fed with what is heard, with silence, and with time?

Replay and watch both go through here, so a log and a live bus mean the same. Time is whole milliseconds from the first
thing heard. The machine is powered up once every feed has been heard, at the latest after `START_MS`: what a bus takes
to say everything once is no event. A feed that stays silent longer than its timeout is lost (control.signals says what
is read then), and is back with its next message. What is heard again without a change only keeps it from being lost.

See Also
--------
coachwright.control.machine : the step. coachwright.control.vehicle_data : what feeds are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from coachwright.control.feeds import Feed
from coachwright.control.machine import (
    Inputs,
    Instant,
    Machine,
    State,
    changed_inputs,
    ends_next_ms,
    instants,
    power_up,
    start_inputs,
)
from coachwright.control.sources import LOST, Setting, stand

START_MS = 1000
"""Longest wait for what a bus says again and again. Common practice: its slowest groups come once a second."""
MOST_INNER = 100_000
"""Moments between two things heard; more means timers that start one another for ever."""


class NeverRests(Exception):
    """Timed moves start one another, so a stretch of time has more moments than can be followed."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One moment of the machine. at_ms : after the first thing heard."""

    at_ms: int
    instant: Instant


@dataclass(frozen=True, slots=True)
class Silence:
    """A feed that was silent for longer than its timeout. until_ms : None while it still is."""

    input: str
    from_ms: int
    until_ms: int | None


class Follower:
    """A machine that follows a vehicle.

    `hear` and `pass_to` give every moment; `at_ms` is how far it has come, `state` None until it is powered up.
    """

    def __init__(self, machine: Machine, feeds: Sequence[Feed]) -> None:
        self.machine = machine
        self.feeds = tuple(feeds)
        self.state: State | None = None
        self.at_ms = 0
        self.began_ms = 0
        self.said: dict[str, Setting] = {}
        self.heard_at: list[int | None] = [None] * len(self.feeds)
        self.silences: list[Silence] = []
        self._silent: dict[int, int] = {}
        self._awaited = set(range(len(self.feeds)))
        self._state_ms = 0  # how far the state has come; nothing ends between there and `at_ms`
        self._end_ms: float = math.inf
        self._due_ms: float = 0.0  # no feed falls silent before
        kinds = {item.name: item.kind for item in machine.inputs}
        self._toggles = {feed.input for feed in self.feeds if kinds[feed.input] == "toggle"}

    def hear(self, said: Iterable[tuple[int, Setting | None]], at_ms: int) -> Iterator[Seen]:
        """Feeds say something in one moment: (place of the feed, setting).

        None says nothing of the input and is no sign of life either.
        """
        yield from self.pass_to(at_ms)
        changed = False
        for place, setting in said:
            if setting is None:
                continue
            name = self.feeds[place].input
            self.heard_at[place] = self.at_ms
            self._awaited.discard(place)
            if self.feeds[place].timeout_ms:
                self._due_ms = min(self._due_ms, self.at_ms + self.feeds[place].timeout_ms)
            since_ms = self._silent.pop(place, None)
            if since_ms is not None:
                self.silences.append(Silence(name, since_ms, self.at_ms))
            changed = changed or self.said.get(name) != setting
            self.said[name] = setting
        if changed and self.state is not None:
            yield from self._change()

    def pass_to(self, at_ms: int) -> Iterator[Seen]:
        """Let time pass: timers end, feeds fall silent, and after a while the machine is powered up."""
        if at_ms <= self.at_ms:
            return
        if self.state is None:
            if self._awaited and at_ms <= START_MS:
                self.at_ms = at_ms
                return
            if self._awaited:
                self.at_ms = START_MS
            yield from self._power_up()
        while self._due_ms < at_ms:
            due = self._due()
            if due is None or due[0] >= at_ms:
                self._due_ms = math.inf if due is None else due[0]
                break
            yield from self._run_to(max(due[0], self.at_ms))
            yield from self._fall_silent(*due)
        yield from self._run_to(at_ms)

    def end(self) -> Iterator[Seen]:
        """Power up if nothing has yet: nothing more will be heard."""
        if self.state is None:
            yield from self._power_up()

    def still_silent(self) -> tuple[Silence, ...]:
        """Feeds that are silent now."""
        return tuple(Silence(self.feeds[place].input, at_ms, None) for place, at_ms in self._silent.items())

    def next_ms(self) -> float:
        """When something happens by itself, if nothing is heard; infinite when nothing will."""
        if self.state is None:
            return START_MS + 1
        due = self._due()
        return min(self._end_ms, math.inf if due is None else due[0] + 1)

    def _due(self) -> tuple[int, int] | None:
        """The next feed to fall silent: (time, place)."""
        found = [
            (heard_ms + feed.timeout_ms, place)
            for place, (feed, heard_ms) in enumerate(zip(self.feeds, self.heard_at, strict=True))
            if feed.timeout_ms and heard_ms is not None and place not in self._silent
        ]
        return min(found, default=None)

    def _fall_silent(self, due_ms: int, place: int) -> Iterator[Seen]:
        self._silent[place] = due_ms
        self.said[self.feeds[place].input] = LOST
        yield from self._change()

    def _power_up(self) -> Iterator[Seen]:
        for place in sorted(self._awaited):
            feed = self.feeds[place]
            if feed.timeout_ms and feed.written:
                self._silent[place] = 0
                self.said[feed.input] = LOST
        self._awaited.clear()
        inputs, kept = start_inputs(self.machine, self.said)
        self.state, _ = power_up(self.machine, inputs, kept=kept)
        self._state_ms = self.began_ms = self.at_ms
        # A further look at the same moment, in which nothing happens, answers the watches.
        yield from self._step(self.state.inputs)

    def _change(self) -> Iterator[Seen]:
        """Read what stands now; a toggle whose kept value is told is pressed where it has to be, and let go."""
        assert self.state is not None
        yield from self._step(changed_inputs(self.machine, self.state, self.said))
        told: dict[str, Setting] = {name: "released" for name in self._toggles if self.said.get(name) in ("off", "on")}
        if told:
            inputs = stand(self.machine.inputs, self.state.inputs, told)
            if inputs != self.state.inputs:
                yield from self._step(inputs)

    def _run_to(self, at_ms: int) -> Iterator[Seen]:
        """To a time at which nothing is heard: only ends of timers are moments."""
        started_ms = self.at_ms
        for _ in range(MOST_INNER):
            if self._end_ms > at_ms:
                self.at_ms = max(at_ms, started_ms)
                return
            assert self.state is not None
            self.at_ms = int(self._end_ms)
            yield from self._step(self.state.inputs)
        raise NeverRests

    def _step(self, inputs: Inputs) -> Iterator[Seen]:
        """Let the time since the state pass, then read these inputs."""
        assert self.state is not None
        start_ms, elapsed_ms = self._state_ms, self.at_ms - self._state_ms
        for number, instant in enumerate(instants(self.machine, self.state, inputs, elapsed_ms)):
            if number > MOST_INNER:
                raise NeverRests
            self.state = instant.state
            self._state_ms = start_ms + instant.at_ms
            yield Seen(self._state_ms, instant)
        self._state_ms = start_ms + elapsed_ms
        ends_ms = ends_next_ms(self.machine, self.state)
        self._end_ms = self._state_ms + ends_ms if ends_ms else math.inf
