"""A live bus, always the virtual one inside the test: what changes is told, floods are bounded, it ends cleanly."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import can
import pytest

from coachwright.control.feeds import Feeds
from coachwright.control.logs import read_log
from coachwright.control.vehicle_data import feeds_of
from coachwright.control.watch import (
    LATE_MS,
    MOST_PER_S,
    Answer,
    Counts,
    Player,
    Watch,
    opened_bus,
    percentile_us,
)
from coachwright.kit.errors import CoachwrightError
from coachwright.look.watched import answer_json, answer_line, counts_json, counts_lines
from tests.control.drives import Sent, write_log
from tests.control.test_replay import LITTLE, bodied

DATA = (
    'vehicle-data: 1\nsignals:\n  brake: {frame: 100, start: "1.1", bits: 1}\n'
    '  gear: {frame: 100, start: "1.2", bits: 1, values: {P: 0, D: 1}}\n'
)


def feeds(folder: Path) -> Feeds:
    path = folder / "vehicle-data.yaml"
    path.write_text(DATA)
    return feeds_of(bodied(LITTLE), path)


def watching(folder: Path) -> tuple[Watch, list[Answer]]:
    told: list[Answer] = []
    return Watch(bodied(LITTLE), feeds(folder), told.append), told


@contextmanager
def listening(watch: Watch, channel: str, *, for_s: float = 30.0) -> Iterator[tuple[can.BusABC, threading.Event]]:
    """A watch in a thread, and a sender on the same virtual bus; the event ends the watch once its bus is empty."""
    over = threading.Event()
    with opened_bus("virtual", channel) as bus, can.Bus(interface="virtual", channel=channel) as sender:
        thread = threading.Thread(target=watch.listen, args=(bus,), kwargs={"for_s": for_s, "until": over}, daemon=True)
        thread.start()
        yield sender, over
        over.set()
        thread.join(timeout=30.0)
        assert not thread.is_alive()


def frame(data: bytes, identifier: int = 0x100) -> can.Message:
    return can.Message(arbitration_id=identifier, data=data, is_extended_id=False)


def changes(told: list[Answer]) -> list[tuple[str, str]]:
    return [(name, said) for each in told for kind, name, _, said in each.changes if kind != "message"]


def test_what_changes_is_told_with_its_response(tmp_path: Path) -> None:
    """Case: gear D and brake on show red at the tail; each change of an input carries the time since its frame."""
    watch, told = watching(tmp_path)
    with listening(watch, "told") as (sender, _):
        for data in (b"\x00", b"\x02", b"\x02", b"\x03", b"\x02"):
            sender.send(frame(data))
            time.sleep(0.02)

    assert told[0].powered_up
    assert changes(told[1:]) == [
        ("gear", "D"), ("brake", "on"), ("tail", "red steady"), ("brake", "off"), ("tail", "")
    ]  # fmt: skip
    assert all(each.response_us is not None and 0 <= each.response_us < 10_000_000 for each in told[1:])
    assert len(watch.counts.responses_us) == 3


def test_a_broken_promise_is_told_and_its_mending(tmp_path: Path) -> None:
    """Case: braking in P breaks what the little build promises, until the brake is off again."""
    watch, told = watching(tmp_path)
    with listening(watch, "promise") as (sender, _):
        for data in (b"\x00", b"\x01", b"\x00"):
            sender.send(frame(data))
            time.sleep(0.02)

    assert [said for name, said in changes(told) if name == "seen"] == ["broken", "kept"]
    assert "× seen is broken" in answer_line(next(each for each in told if "broken" in str(each.changes)))


def test_a_flood_is_bounded_and_said(tmp_path: Path) -> None:
    """Law: of 25,000 frames sent as fast as they go, no second has more than the bound; every frame is accounted for,
    and the watch goes on afterwards."""
    watch, told = watching(tmp_path)
    sent = 25_000
    with listening(watch, "flood") as (sender, _):
        sender.send(frame(b"\x00"))
        for number in range(sent):
            try:
                sender.send(frame(bytes([number % 4 & 2]), 0x100 if number % 10 == 0 else 0x5A0), timeout=0.5)
            except can.CanError:
                watch.counts.unsent_n += 1
        for _ in range(5):  # news after the flood, over more than a second
            time.sleep(0.4)
            sender.send(frame(b"\x03"))
        time.sleep(0.1)
    counts = watch.counts

    assert counts.frames_n + counts.unsent_n == sent + 6
    assert counts.known_n + counts.dropped_n + counts.late_n <= counts.frames_n
    assert ("brake", "on") in changes(told)
    assert len(watch.follower.heard_at) == 2


def test_more_than_the_bound_of_one_second_is_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: 10,000 frames of one second are looked at and not one more; the next second begins anew."""
    watch, _ = watching(tmp_path)
    now = [1_000.25]
    monkeypatch.setattr("coachwright.control.watch.time.time", lambda: now[0])
    message = frame(b"\x00", 0x5A0)
    message.timestamp = now[0]
    for _ in range(MOST_PER_S + 500):
        watch.take(message)
    assert watch.counts.dropped_n == 500

    now[0] += 1.0
    watch.take(message)
    assert watch.counts.dropped_n == 500


def test_frames_that_waited_too_long_are_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: what is older than a second is no news of a live bus."""
    watch, _ = watching(tmp_path)
    monkeypatch.setattr("coachwright.control.watch.time.time", lambda: 2_000.0)
    for late_ms in (LATE_MS + 1, LATE_MS - 1):
        message = frame(b"\x01")
        message.timestamp = 2_000.0 - late_ms / 1000
        watch.take(message)

    assert (watch.counts.late_n, watch.counts.known_n) == (1, 1)


def test_frames_out_of_order_never_take_time_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: an earlier stamp behind a later one counts as now."""
    watch, told = watching(tmp_path)
    monkeypatch.setattr("coachwright.control.watch.time.time", lambda: 2_000.5)
    for at_s, data in ((2_000.0, b"\x00"), (2_000.4, b"\x02"), (2_000.1, b"\x03"), (2_000.45, b"\x02")):
        message = frame(data)
        message.timestamp = at_s
        watch.take(message)

    times = [each.at_ms for each in told]
    assert times == sorted(times)
    assert ("tail", "red steady") in changes(told)


def test_odd_frames_are_no_error(tmp_path: Path) -> None:
    """Case: remote, error, empty and long frames on the bus."""
    watch, _ = watching(tmp_path)
    with listening(watch, "odd") as (sender, _):
        sender.send(can.Message(arbitration_id=0x100, is_remote_frame=True, is_extended_id=False))
        sender.send(can.Message(is_error_frame=True))
        sender.send(frame(b""))
        sender.send(can.Message(arbitration_id=0x100, data=bytes(64), is_fd=True, is_extended_id=False))
        time.sleep(0.05)

    assert watch.counts.frames_n == 4


def test_a_log_is_played_at_its_own_pace(tmp_path: Path) -> None:
    """Case: frames 150 ms apart arrive so; the watch ends with the log."""
    path = write_log(
        tmp_path / "a.log", [Sent(0, 0x100, b"\x00"), Sent(150, 0x100, b"\x02"), Sent(300, 0x100, b"\x03")]
    )
    watch, told = watching(tmp_path)
    with opened_bus("virtual", "played") as bus, Player(read_log(path), "played", watch.counts) as player:
        watch.listen(bus, for_s=30.0, until=player.over)
    times = [each.at_ms for each in told]

    assert watch.counts.why == "the log is over"
    assert changes(told)[-2:] == [("brake", "on"), ("tail", "red steady")]
    assert times[-1] >= 290


def test_silence_of_a_live_bus_is_a_loss(tmp_path: Path) -> None:
    """Case: a feed with a timeout falls silent while nothing at all is sent: the watch wakes by itself."""
    path = tmp_path / "vehicle-data.yaml"
    path.write_text('vehicle-data: 1\nsignals:\n  brake: {frame: 100, start: "1.1", bits: 1, timeout: 50 ms}\n')
    told: list[Answer] = []
    watch = Watch(bodied(LITTLE), feeds_of(bodied(LITTLE), path), told.append)
    with listening(watch, "silence") as (sender, _):
        sender.send(frame(b"\x00"))
        time.sleep(0.02)
        sender.send(frame(b"\x00"))
        time.sleep(0.4)

    assert ("brake", "on") in changes(told)


def test_it_ends_when_its_time_is_over(tmp_path: Path) -> None:
    """Law: --for is kept though the bus is silent."""
    watch, told = watching(tmp_path)
    with opened_bus("virtual", "short") as bus:
        counts = watch.listen(bus, for_s=0.05)

    assert (counts.why, counts.frames_n, told) == ("the time is over", 0, [])


def test_it_ends_when_it_is_asked_to_whatever_lies_on_the_bus(tmp_path: Path) -> None:
    """Law: who asks it to stop waits for no more than the frame in hand."""
    watch, told = watching(tmp_path)
    stop = threading.Event()
    with opened_bus("virtual", "stop") as bus, can.Bus(interface="virtual", channel="stop") as sender:
        sender.send(frame(bytes([0b10, 0])))
        stop.set()

        counts = watch.listen(bus, stop=stop)

    assert counts.why == "stopped"
    assert not told
    assert counts.frames_n == 0


@pytest.mark.parametrize("interface", ["pcan", "vector", "serial", "../x", ""])
def test_only_kinds_of_bus_that_are_listed_are_opened(interface: str) -> None:
    """Law: no driver is loaded by a name somebody typed."""
    with pytest.raises(CoachwrightError, match=r"isn't used here"), opened_bus(interface, "x"):
        pass


def test_a_bus_that_is_not_there_gets_a_sentence() -> None:
    """Case: a system without such a bus."""
    with pytest.raises(CoachwrightError, match="can't be opened"), opened_bus("socketcan", "no-such-bus"):
        pass


def test_the_end_says_how_fast_and_what_was_dropped() -> None:
    """Case: counts as lines and as JSON say the same."""
    counts = Counts(
        frames_n=20_000, known_n=9_000, dropped_n=7, late_n=3, unsent_n=2, unknown_values_n=1, why="stopped"
    )
    counts.responses_us += [1_000, 2_000, 9_000]
    said = "\n".join(counts_lines(counts))

    assert "20,000 frames" in said
    assert "half within 2.0 ms" in said
    assert "longest 9.0 ms" in said
    assert "7 frames dropped" in said
    assert counts_json(counts)["response-us"] == {"changes": 3, "half": 2_000, "99-of-100": 9_000, "longest": 9_000}
    assert answer_json(Answer(5, None, (("input", "brake", "off", "on"),)))["changes"][0]["is"] == "on"


def test_shares_of_responses_by_hand() -> None:
    """Print: of 1, 2, 3, 4 half lie below 3 and all below the last (nearest rank, a plain count)."""
    assert [percentile_us([4, 1, 3, 2], share) for share in (0.0, 0.5, 0.99, 1.0)] == [1, 3, 4, 4]
    assert percentile_us([], 0.5) == 0
