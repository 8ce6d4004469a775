"""What does a build do on a live bus, and how long does it take from a frame to a changed output?

Only listens. By default the bus is a virtual one inside this program, fed from a log that is played at its own pace; a
bus of this computer (a virtual one of the system, or a real one) is used only when somebody names it. The clock of the
machine is the clock of the computer, from the first frame.

At most `MOST_PER_S` frames of one second are looked at, and none that has waited longer than `LATE_MS`; the others are
dropped and counted, so that a flooded bus costs answers, never memory or time.

See Also
--------
coachwright.control.follow : what hears. coachwright.control.replay : the same from a log.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from coachwright.build.model import Input, Model
from coachwright.control.feeds import Feeds, Unknown, index_of
from coachwright.control.follow import Follower, Seen
from coachwright.control.logs import Log
from coachwright.control.machine import build_machine, outputs_at
from coachwright.control.run import watches_of
from coachwright.control.statement import HeadState, Outputs
from coachwright.kit.errors import CoachwrightError

if TYPE_CHECKING:
    from can import BusABC, Message

MOST_PER_S = 10_000
"""Frames of one second that are looked at. A bus of 1 Mbit/s with empty frames carries some 20,000."""
LATE_MS = 1_000
QUEUE_N = 20_000
CHANNEL = "coachwright-watch"
INTERFACES = ("virtual", "socketcan", "udp_multicast")
"""Kinds of bus that may be named. Nothing is ever sent on one that isn't ours."""
_MOST_WAIT_S = 0.2


@dataclass(frozen=True, slots=True)
class Answer:
    """One moment in which something changed.

    at_ms : of the machine. response_us : from the arrival of the frame that changed an input to the worked-out outputs,
    debounce and edge hold included; None where no input is read otherwise, so that time alone changed it.
    changes : (what, name, from, to). powered_up : it is the first, and says what isn't at rest, dark or kept.
    """

    at_ms: int
    response_us: int | None
    changes: tuple[tuple[str, str, str, str], ...]
    powered_up: bool = False


@dataclass(slots=True)
class Counts:
    """What a watch has seen.

    dropped_n : frames over the bound. late_n : frames that had waited too long. unsent_n : frames of the log that is
    played which the bus didn't take. responses_us : of each change. why : how it ended.
    """

    frames_n: int = 0
    known_n: int = 0
    dropped_n: int = 0
    late_n: int = 0
    unsent_n: int = 0
    unknown_values_n: int = 0
    responses_us: list[int] = field(default_factory=list)
    why: str = ""

    def note(self, response_us: int) -> None:
        """A response, up to a bounded number of them."""
        if len(self.responses_us) < 100_000:
            self.responses_us.append(response_us)


@contextmanager
def opened_bus(interface: str, channel: str) -> Iterator[BusABC]:
    """A bus to listen on.

    Raises
    ------
    CoachwrightError : there is none of that name, or it can't be opened.
    """
    import can

    if interface not in INTERFACES:
        raise CoachwrightError(
            f"A bus of kind {interface[:40]!r} isn't used here. Write one of {', '.join(INTERFACES)}."
        )
    settings: dict[str, Any] = {"rx_queue_size": QUEUE_N} if interface == "virtual" else {}
    try:
        bus = can.Bus(interface=interface, channel=channel, ignore_config=True, **settings)
    except (can.CanError, OSError, ValueError, ImportError) as error:
        said = " ".join(str(error).split())[:160]
        raise CoachwrightError(f"The bus {interface}:{channel[:40]} can't be opened: {said}") from None
    try:
        yield bus
    finally:
        bus.shutdown()


class Player:
    """Plays a log onto the virtual bus in a thread of its own, at its own pace."""

    def __init__(self, log: Log, channel: str, counts: Counts) -> None:
        self.log, self.channel, self.counts = log, channel, counts
        self.over = threading.Event()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._play, name="player", daemon=True)

    def __enter__(self) -> Player:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join(timeout=5.0)

    def _play(self) -> None:
        import can

        try:
            with can.Bus(interface="virtual", channel=self.channel, ignore_config=True) as bus:
                began_s = time.monotonic()
                for entry in self.log.entries:
                    wait_s = began_s + entry.at_us / 1e6 - time.monotonic()
                    if (wait_s > 0 and self._stop.wait(wait_s)) or self._stop.is_set():
                        return
                    if entry.identifier >= 0:
                        self._send(bus, can.Message(
                            arbitration_id=entry.identifier, is_extended_id=entry.extended, data=entry.data,
                            is_fd=len(entry.data) > 8,
                        ))  # fmt: skip
        finally:
            self.over.set()

    def _send(self, bus: BusABC, message: Message) -> None:
        import can

        try:
            bus.send(message, timeout=0.001)
        except can.CanError:
            self.counts.unsent_n += 1


class Watch:
    """A build that listens to a bus.

    tell : called with every moment in which something changed.
    """

    def __init__(self, model: Model, feeds: Feeds, tell: Callable[[Answer], None]) -> None:
        self.model, self.tell = model, tell
        self.machine = build_machine(model, watch=[watch for each in model.promises for watch in watches_of(each)])
        self.follower = Follower(self.machine, feeds.feeds)
        self.index = index_of(feeds.feeds)
        self.counts = Counts()
        self.shown: dict[tuple[str, str], str] = {}
        self.armed = [False] * len(model.promises)
        self._began_s: float | None = None
        self._second, self._in_second_n = -1, 0
        self._changed_s = 0.0

    def listen(
        self,
        bus: BusABC,
        *,
        for_s: float | None = None,
        until: threading.Event | None = None,
        stop: threading.Event | None = None,
    ) -> Counts:
        """Listen until the time is over, `until` is set and the bus is empty, or `stop` is set.

        Notes
        -----
        A user's Ctrl-C should set `stop`: as an exception it may fall into a lock or a callback of the bus, where it is
        lost.
        """
        ends_s = time.time() + for_s if for_s is not None else None
        while True:
            now_s = time.time()
            if stop is not None and stop.is_set():
                self.counts.why = "stopped"
                break
            if ends_s is not None and now_s >= ends_s:
                self.counts.why = "the time is over"
                break
            waiting_s = self._wait_s(now_s, ends_s)
            message = bus.recv(timeout=waiting_s)
            if message is not None:
                self.take(message)
            elif until is not None and until.is_set():
                self.counts.why = "the log is over"
                break
            self._let_time_pass()
        return self.counts

    def take(self, message: Message) -> None:
        """One frame as the bus gives it."""
        counts = self.counts
        counts.frames_n += 1
        now_s = time.time()
        second = int(now_s)
        if second != self._second:
            self._second, self._in_second_n = second, 0
        self._in_second_n += 1
        if self._in_second_n > MOST_PER_S:
            counts.dropped_n += 1
            return
        if message.is_error_frame or message.is_remote_frame:
            return
        rows = self.index.of_frame(message.arbitration_id, bool(message.is_extended_id))
        if not rows:
            return
        arrived_s = message.timestamp or now_s
        if now_s - arrived_s > LATE_MS / 1000:
            counts.late_n += 1
            return
        counts.known_n += 1
        data = bytes(message.data or b"")
        heard = [(place, feed.hear(data)) for place, feed in rows]
        counts.unknown_values_n += sum(isinstance(said, Unknown) for _, said in heard)
        said = [(place, setting) for place, setting in heard if not isinstance(setting, Unknown)]
        if self._began_s is None:
            self._began_s = arrived_s
        at_ms = max(self.follower.at_ms, round(1000 * (arrived_s - self._began_s)))
        self._see(self.follower.pass_to(at_ms))
        before = dict(self.follower.said)
        seen = list(self.follower.hear(said, at_ms))
        if before != self.follower.said:
            self._changed_s = arrived_s
        self._see(seen)

    def _let_time_pass(self) -> None:
        if self._began_s is not None:
            at_ms = int(1000 * (time.time() - self._began_s))
            if at_ms >= self.follower.next_ms():
                self._see(self.follower.pass_to(at_ms))

    def _wait_s(self, now_s: float, ends_s: float | None) -> float:
        wait_s = _MOST_WAIT_S
        if self._began_s is not None:
            wait_s = min(wait_s, self._began_s + self.follower.next_ms() / 1000 - now_s)
        if ends_s is not None:
            wait_s = min(wait_s, ends_s - now_s)
        return max(0.0, wait_s)

    def _see(self, moments: Iterable[Seen]) -> None:
        for seen in moments:
            first = not self.shown
            changes = self._changes(seen, outputs_at(self.machine, seen.instant))
            if not changes and not first:
                continue
            response_us = None
            if not first and any(kind == "input" for kind, *_ in changes):
                response_us = max(0, round(1e6 * (time.time() - self._changed_s)))
                self.counts.note(response_us)
            self.tell(Answer(seen.at_ms, response_us, changes, first))

    def _changes(self, seen: Seen, outputs: Outputs) -> tuple[tuple[str, str, str, str], ...]:
        before, now = self.shown or self._quiet(), dict(self._said(seen, outputs))
        self.shown = now
        found = [(*key, before.get(key, ""), said) for key, said in now.items() if before.get(key, "") != said]
        gone = [(*key, was, "") for key, was in before.items() if was and key not in now]
        return (*found, *gone)

    def _quiet(self) -> dict[tuple[str, str], str]:
        """Everything at rest, dark and kept."""
        rest = {("input", item.name): _rest(item) for item in self.machine.inputs if item.values}
        return {**rest, **{("promise", promise.name): "kept" for promise in self.model.promises}}

    def _said(self, seen: Seen, outputs: Outputs) -> Iterator[tuple[tuple[str, str], str]]:
        for item, value in zip(self.machine.inputs, seen.instant.scene, strict=False):
            if item.values:
                yield ("input", item.name), item.values[int(value)]
        for head in outputs.heads:
            yield ("head", head.head), head_said(head)
        for sound in outputs.sounds:
            yield ("sound", sound.siren), sound.tone
        for kind, names in (("run", outputs.runs), ("interrupt", outputs.interrupts), ("message", outputs.messages)):
            for name in names:
                yield (kind, name), "on"
        place = 0
        for number, promise in enumerate(self.model.promises):
            broken = seen.instant.watched[place]
            if promise.kind == "between":
                _, after, until = seen.instant.watched[place : place + 3]
                self.armed[number] = not until and (after or self.armed[number])
                broken = broken and self.armed[number]
                place += 2
            place += 1
            yield ("promise", promise.name), "broken" if broken else "kept"


def _rest(item: Input) -> str:
    return item.values[0] if item.rest == "last" else str(item.rest)


def head_said(state: HeadState) -> str:
    """What a head shows, in words."""
    if state.ambiguous and not state.parts:
        return "not decided"
    said = []
    for part in state.parts:
        show = part.show
        manner = {"steady": "steady", "follow": f"following {show.signal}"}.get(show.manner, "flashing")
        said.append(f"{part.colour} {manner}" + ("" if part.share >= 1.0 else f" at {100 * part.share:.0f} %"))
    return " and ".join(said) or ("dark" if state.owners else "")


def percentile_us(responses_us: Sequence[int], share: float) -> int:
    """The response below which this share of all lies; 0 without any. [us]"""
    ordered = sorted(responses_us)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else 0
