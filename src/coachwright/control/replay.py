"""What does a build do on a log: what its inputs read, which functions act, what heads show, which promises break?

    log = read_log(Path("drive.log"))
    replayed = replay(model, (log,), feeds_of(model, None))

The frames go through the machine's own step (control.follow). A promise breaks here as it would on the road. Where the
vehicle says an input a second time (a witness), a second machine hears that instead: how long the two disagree tells a
wiring mistake, and a promise that asks for something which truly holds and isn't read is told as blind.

See Also
--------
coachwright.control.logs, coachwright.control.vehicle_data : before this. coachwright.look.replayed : how it is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from heapq import merge
from typing import Any

from coachwright.build.condition import Condition, Constant, Held, Not
from coachwright.build.model import Model, Promise
from coachwright.control.feeds import Feed, Feeds, Heard, Unknown, index_of
from coachwright.control.follow import Follower, NeverRests, Seen
from coachwright.control.logs import Entry, Log, together
from coachwright.control.machine import Instant, Watch, build_machine, outputs_at
from coachwright.control.replay_found import SLACK_MS, LogDoubts, found_in_logs
from coachwright.control.replayed import Change, Place, Replayed, Span, Track
from coachwright.control.run import watches_of
from coachwright.control.sources import Setting
from coachwright.control.statement import Outputs

MOST_GAP_MS = 3_600_000
"""A longer gap between two entries counts as so long: nothing of a build takes longer to come to rest."""
MOST_CHANGES = 200_000
MOST_SPANS = 1_000
_WATCHES_EACH = 3
_NOWHERE = Place("", 0)


def replay(model: Model, logs: Sequence[Log], feeds: Feeds) -> Replayed:
    """Let the logs go through the machine of a build."""
    heard = _present(logs, feeds)
    run = _Run(model, logs, heard)
    run.all()
    return run.replayed()


def _present(logs: Sequence[Log], feeds: Feeds) -> Feeds:
    """Without the feeds that come from codes of the body and that no log holds."""
    ids = {(entry.extended, entry.identifier) for log in logs for entry in log.entries if entry.identifier >= 0}
    index = index_of(feeds.feeds)
    there = {place for extended, identifier in ids for place, _ in index.of_frame(identifier, extended)}
    kept = tuple(feed for place, feed in enumerate(feeds.feeds) if feed.written or place in there)
    gone = tuple(
        (feed.input, f"{feed.said} is in no frame of the log")
        for place, feed in enumerate(feeds.feeds)
        if not (feed.written or place in there)
    )
    return replace(feeds, feeds=kept, not_fed=(*feeds.not_fed, *gone))


def start_of(log: Log, feeds: Feeds) -> int | None:
    """When a log without dates begins after the first of all, where somebody wrote it. [us]"""
    later_ms = dict(feeds.begins_ms).get(log.file)
    return None if later_ms is None else 1000 * later_ms


@dataclass(slots=True)
class _Open:
    """Spans of one promise or input as they go on."""

    what: str
    since_ms: int = -1
    place: Place = _NOWHERE
    spans: list[Span] = field(default_factory=list)

    def tell(self, holds: bool, at_ms: int, place: Place) -> None:
        if holds and self.since_ms < 0:
            self.since_ms, self.place = at_ms, place
        elif not holds and self.since_ms >= 0:
            self.close(at_ms)

    def close(self, at_ms: int) -> None:
        if self.since_ms >= 0 and len(self.spans) < MOST_SPANS:
            self.spans.append(Span(self.what, self.since_ms, at_ms, self.place))
        self.since_ms = -1


class _Tracks:
    """Changes of everything that is shown, as they come."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.changes: dict[tuple[str, str], list[Change]] = {}
        self.shown: dict[str, tuple[object, ...]] = {}
        self.changes_n = 0

    def note(self, kind: str, name: str, value: Any, at_ms: int) -> None:
        row = self.changes.setdefault((kind, name), [])
        if row and row[-1].value == value:
            return
        if row and row[-1].at_ms == at_ms:
            row.pop()
            if row and row[-1].value == value:
                return
        elif self.changes_n >= MOST_CHANGES:
            return
        self.changes_n += 1
        row.append(Change(at_ms, value))

    def note_outputs(self, outputs: Outputs, at_ms: int) -> None:
        levels = dict(outputs.levels)
        acting = set(outputs.active)
        stopped, held_off = dict(outputs.stopped), set(outputs.held_off)
        for function in self.model.functions:
            name = function.name
            if name in acting:
                said = levels.get(name, "acts")
            else:
                said = f"stopped by {stopped[name]}" if name in stopped else "waits" if name in held_off else ""
            self.note("function", name, said, at_ms)
        for head in outputs.heads:
            shown = head.parts, head.owners, head.ambiguous
            if self.shown.get(head.head) != shown:
                self.shown[head.head] = shown
                self.note("head", head.head, replace(head, wanted=()), at_ms)
        tones = {sound.siren: sound.tone for sound in outputs.sounds}
        for siren in {*tones, *(name for kind, name in self.changes if kind == "sound")}:
            self.note("sound", siren, tones.get(siren, ""), at_ms)
        for kind, names in (("run", outputs.runs), ("interrupt", outputs.interrupts), ("message", outputs.messages)):
            for name in {*names, *(name for known, name in self.changes if known == kind)}:
                self.note(kind, name, "on" if name in names else "", at_ms)

    def rows(self) -> tuple[Track, ...]:
        """Every track: inputs and functions as the build lists them, then heads, and what came up."""
        return tuple(Track(kind, name, tuple(changes)) for (kind, name), changes in self.changes.items())


class _Run:
    """One way through the logs."""

    def __init__(self, model: Model, logs: Sequence[Log], feeds: Feeds) -> None:
        self.model, self.logs, self.feeds = model, tuple(logs), feeds
        self.machine = build_machine(model, watch=_watches(model))
        self.read = Follower(self.machine, feeds.feeds)
        self.index = index_of(feeds.feeds)
        seconds = {feed.input: feed for feed in feeds.witnesses}
        self.true_feeds = tuple(seconds.get(feed.input, feed) for feed in feeds.feeds)
        self.true = Follower(build_machine(model, watch=_asked(model)), self.true_feeds) if seconds else None
        self.true_index = index_of(self.true_feeds)
        self.tracks = _Tracks(model)
        self.wires = _Tracks(model)
        self.seconds = _Tracks(model)
        self.place = _NOWHERE
        self.armed = [False] * len(model.promises)
        self.asked = [False] * len(model.promises)
        self.broken = [_Open(promise.name) for promise in model.promises]
        self.blind = [_Open(promise.name) for promise in model.promises]
        self.disagreed = [_Open(feed.input) for feed in feeds.witnesses]
        names = [item.name for item in self.machine.inputs]
        self.witnessed = [names.index(feed.input) for feed in feeds.witnesses]
        self.doubts = LogDoubts()
        self.unknown: dict[tuple[bool, int], int] = {}
        self.frames_n = self.known_n = self.steps_n = 0
        self.cannot = [_Open(why) for _, why in model.cannot_be]
        self.wrong = [False] * len(model.promises)
        self.values: dict[bool, Sequence[Any]] = {}

    def all(self) -> None:
        later = [start_of(log, self.feeds) for log in self.logs]
        last_us, cut_us = 0, 0
        first_us = None
        try:
            for at_us, number, entry in together(self.logs, tuple(later)):
                first_us = at_us if first_us is None else first_us
                gap_us = at_us - cut_us - last_us
                if gap_us > 1000 * MOST_GAP_MS:
                    cut_us += gap_us - 1000 * MOST_GAP_MS
                self._note_gap(gap_us, number, entry, at_us - first_us - cut_us)
                last_us = at_us - cut_us
                self._entry(self.logs[number], entry, (last_us - first_us + 500) // 1000)
            self._see(self.read.end(), self.true.end() if self.true is not None else ())
        except NeverRests:
            self.doubts.never_rests_ms = self.read.at_ms

    def _note_gap(self, gap_us: int, number: int, entry: Entry, at_us: int) -> None:
        if self.frames_n and gap_us > 1000 * self.doubts.longest_gap_ms:
            self.doubts.longest_gap_ms = gap_us // 1000
            self.doubts.gap_at = (Place(self.logs[number].file, entry.line), max(0, at_us) // 1000)

    def _entry(self, log: Log, entry: Entry, at_ms: int) -> None:
        self.frames_n += 1
        # Time passes under what was heard before: what breaks meanwhile is not this line's doing.
        self._see(self.read.pass_to(at_ms), self.true.pass_to(at_ms) if self.true is not None else ())
        self.place = Place(log.file, entry.line)
        said = tuple(self._said(entry, self.read, self.index, count=True))
        self._see(self.read.hear(said, at_ms), ())
        if self.true is not None:
            self._see((), self.true.hear(tuple(self._said(entry, self.true, self.true_index)), at_ms))

    def _said(
        self, entry: Entry, follower: Follower | None, index: Heard, *, count: bool = False
    ) -> Iterator[tuple[int, Setting | None]]:
        """What an entry says about each input it feeds."""
        if entry.identifier < 0:
            heard = [(place, feed, feed.meaning.of_text(cell)) for place, feed, cell in index.of_row(entry.said)]
        else:
            rows = index.of_frame(entry.identifier, entry.extended)
            if not rows and count and not (self.true is not None and self.true_index.of_frame(*_names(entry))):
                key = (entry.extended, entry.identifier)
                self.unknown[key] = self.unknown.get(key, 0) + 1
            heard = [(place, feed, feed.hear(entry.data)) for place, feed in rows]
        if count and heard:
            self.known_n += 1
        for place, feed, said in heard:
            if isinstance(said, Unknown):
                if count:
                    self.doubts.not_known(feed, said, self.place)
                continue
            yield place, said

    def _see(self, read: Iterable[Seen], true: Iterable[Seen]) -> None:
        """Moments of both machines in the order of time."""
        if self.true is None:
            for seen in read:
                self._moment(seen)
            return
        read, true = list(read), list(true)
        if not read and not true:
            return
        both = merge(((seen.at_ms, 0, seen) for seen in read), ((seen.at_ms, 1, seen) for seen in true), key=_order)
        for _, whose, seen in both:
            if whose:
                self.asked = list(seen.instant.watched)
                for at in self.witnessed:
                    item = self.machine.inputs[at]
                    value = seen.instant.scene[at]
                    self.seconds.note(
                        "witness", item.name, item.values[int(value)] if item.values else value, seen.at_ms
                    )
            else:
                self._moment(seen)
            self.values[bool(whose)] = seen.instant.scene[: len(self.machine.inputs)]
            if len(self.values) == 2:
                self._compare(seen.at_ms)

    def _moment(self, seen: Seen) -> None:
        self.steps_n += 1
        instant, at_ms = seen.instant, seen.at_ms
        for number, promise in enumerate(self.model.promises):
            self.broken[number].tell(self._breaks(number, promise, instant), at_ms, self.place)
        own = len(self.model.promises)
        self.wrong = list(instant.watched[_WATCHES_EACH * own : (_WATCHES_EACH + 1) * own])
        for opened, holds in zip(self.cannot, instant.watched[(_WATCHES_EACH + 1) * own :], strict=True):
            opened.tell(holds, at_ms, self.place)
        for item, value in zip(self.machine.inputs, instant.scene, strict=False):
            self.tracks.note("input", item.name, item.values[int(value)] if item.values else value, at_ms)
        wires = self.machine.sources.wires
        for place in wires.places if wires is not None else ():
            self.wires.note("wire", self.machine.inputs[place].name, instant.state.inputs.values[place], at_ms)
        self.tracks.note_outputs(outputs_at(self.machine, instant), at_ms)

    def _breaks(self, number: int, promise: Promise, instant: Instant) -> bool:
        first = _WATCHES_EACH * number
        broken, after, until = instant.watched[first : first + _WATCHES_EACH]
        if promise.kind != "between":
            return broken
        self.armed[number] = not until and (after or self.armed[number])
        return self.armed[number] and broken

    def _compare(self, at_ms: int) -> None:
        """Where the witnesses say otherwise than what is read, and which promises aren't kept for that."""
        for opened, at in zip(self.disagreed, self.witnessed, strict=True):
            opened.tell(self.values[False][at] != self.values[True][at], at_ms, self.place)
        for number, promise in enumerate(self.model.promises):
            blind = promise.kind == "then" and self.asked[number] and self.wrong[number]
            self.blind[number].tell(blind and self.broken[number].since_ms < 0, at_ms, self.place)

    def replayed(self) -> Replayed:
        """All that was found."""
        ends_ms = self.read.at_ms
        for opened in (*self.broken, *self.blind, *self.disagreed, *self.cannot):
            opened.close(ends_ms)
        slack = {feed.input: _slack_ms(self.model, feed) for feed in self.feeds.witnesses}
        disagreed = [span for each in self.disagreed for span in each.spans if _lasts_ms(span) > slack[span.what]]
        longest_ms = max(slack.values(), default=0)
        blind = [span for each in self.blind for span in each.spans if _lasts_ms(span) > longest_ms]
        unknown = sorted(self.unknown.items(), key=lambda row: (-row[1], row[0]))
        result = Replayed(
            self.read.began_ms, ends_ms, self.tracks.rows(), self.wires.rows(),
            _by_time(span for each in self.broken for span in each.spans), _by_time(blind), _by_time(disagreed),
            _by_time(span for each in self.cannot for span in each.spans),
            (*self.read.silences, *self.read.still_silent()),
            tuple(feed.input for feed, heard in zip(self.read.feeds, self.read.heard_at, strict=True) if heard is None),
            self.frames_n, self.known_n,
            tuple((f"{number:08X}" if extended else f"{number:03X}", count) for (extended, number), count in unknown),
            self.steps_n, self.feeds, witnesses=self.seconds.rows(),
            promises=tuple(promise.name for promise in self.model.promises),
        )  # fmt: skip
        full = self.tracks.changes_n >= MOST_CHANGES
        return replace(
            result, findings=found_in_logs(self.model, self.logs, self.feeds, result, self.doubts, full=full)
        )


def _names(entry: Entry) -> tuple[int, bool]:
    return entry.identifier, entry.extended


def _order(row: tuple[int, int, Seen]) -> tuple[int, int]:
    return row[0], row[1]


def _lasts_ms(span: Span) -> int:
    return span.until_ms - span.from_ms


def _by_time(spans: Iterable[Span]) -> tuple[Span, ...]:
    return tuple(sorted(spans, key=lambda span: (span.from_ms, span.what)))


def _slack_ms(model: Model, feed: Feed) -> int:
    """How long a signal may be read otherwise than its witness says: it is recognised, held and sent late."""
    item = model.input(feed.input)
    return item.recognition_ms + item.debounce_ms + item.edge_hold_ms + max(SLACK_MS, feed.timeout_ms)


_NEVER: Condition = Constant(value=False)


def _watches(model: Model) -> list[Watch]:
    """Three watches for each promise, then for each whether what it promises is not so."""
    watches: list[Watch] = []
    for promise in model.promises:
        three = watches_of(promise)
        watches += [*three, *[Watch(_NEVER, frozenset())] * (_WATCHES_EACH - len(three))]
    for promise in model.promises:
        wrong: Condition = Not(promise.then) if promise.then is not None else _NEVER
        watches.append(Watch(wrong, frozenset(promise.but)))
    return [*watches, *(Watch(condition, frozenset()) for condition, _ in model.cannot_be)]


def _asked(model: Model) -> list[Watch]:
    """For each promise whether what it asks about has held for its time."""
    watches = []
    for promise in model.promises:
        asked = promise.when if promise.kind == "then" and promise.when is not None else _NEVER
        watches.append(Watch(Held(asked, promise.within_ms) if promise.within_ms else asked, frozenset()))
    return watches
