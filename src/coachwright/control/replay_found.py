"""What should the lead know of a log that went through the machine? A finding for each kind of thing and its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from coachwright.build.model import Model
from coachwright.control.feeds import Feed, Feeds, Unknown
from coachwright.control.logs import Log
from coachwright.control.replayed import Place, Replayed, Span
from coachwright.kit.finding import Finding, FindingValue, Fix, Severity

SLACK_MS = 300
"""How late a witness may be beside its timeout: three cycles of 100 ms. Common practice."""
GAP_MS = 5_000
"""A stretch without any entry that is told. Common practice: a waking vehicle says something every second."""
MOST_TOLD = 20


@dataclass(slots=True)
class LogDoubts:
    """What was odd on the way through the logs."""

    values: dict[tuple[str, str, str], tuple[int, Place]] = field(default_factory=dict)
    longest_gap_ms: int = 0
    gap_at: tuple[Place, int] = (Place("", 0), 0)
    never_rests_ms: int = -1

    def not_known(self, feed: Feed, said: Unknown, place: Place) -> None:
        """A value that stands for none of the input's."""
        key = (feed.input, feed.said, said.said)
        if key in self.values or len(self.values) < MOST_TOLD:
            count, first = self.values.get(key, (0, place))
            self.values[key] = (count + 1, first)


def found_in_logs(
    model: Model, logs: Sequence[Log], feeds: Feeds, result: Replayed, doubts: LogDoubts, *, full: bool
) -> tuple[Finding, ...]:
    """Every finding of a replay: broken promises first, then what says that something is wired or logged wrongly."""
    return (
        *_promises(model, result),
        *_disagreements(result, feeds),
        *_cannot_be(result),
        *feeds.findings,
        *_silences(model, result, feeds),
        *_values(doubts),
        *(found for log in logs for found in _log(log)),
        *_clocks(logs, feeds),
        *_ways(result, doubts, full=full),
    )


def _told(
    code: str, name: str, severity: Severity, template: str, values: dict[str, FindingValue], *, about: str = "",
    place: Place | None = None, fix: str = "",
) -> Finding:  # fmt: skip
    where = (place.mark(),) if place is not None and place.file else ()
    return Finding(code, name, severity, template, values, about, where, fix=Fix(fix) if fix else None)


def _seconds(at_ms: float) -> str:
    return f"{at_ms / 1000:.3f} s"


def _promises(model: Model, result: Replayed) -> Iterator[Finding]:
    for promise in model.promises:
        for what, spans in (("broken", result.broken), ("blind", result.blind)):
            mine = [span for span in spans if span.what == promise.name]
            if not mine:
                continue
            values: dict[str, FindingValue] = {
                "promise": promise.name, "at": _seconds(mine[0].from_ms), "times": _times(mine),
            }  # fmt: skip
            if what == "broken":
                yield _told(
                    "CTL-047", "promise-broken-in-log", "error",
                    "{promise} is broken at {at} of the log ({times}).", values,
                    about=promise.path, place=mine[0].place,
                    fix="Look at the strips of that time; coachwright prove says whether any story breaks it.",
                )  # fmt: skip
            else:
                yield _told(
                    "CTL-048", "promise-blind-in-log", "error",
                    "At {at} what {promise} asks about truly holds and isn't read, and it isn't kept ({times}).",
                    values, about=promise.path, place=mine[0].place,
                    fix="Look at the wire or message of the input that disagrees with its witness.",
                )  # fmt: skip


def _times(spans: Sequence[Span]) -> str:
    longest = max(span.until_ms - span.from_ms for span in spans)
    often = "once" if len(spans) == 1 else f"{len(spans):,} times"
    return f"{often}, for {_seconds(longest)}" if len(spans) == 1 else f"{often}, longest {_seconds(longest)}"


def _disagreements(result: Replayed, feeds: Feeds) -> Iterator[Finding]:
    read = {feed.input: feed.said for feed in feeds.feeds}
    for witness in feeds.witnesses:
        mine = [span for span in result.disagreed if span.what == witness.input]
        if mine:
            yield _told(
                "CTL-049", "sources-disagree", "error",
                "{input} is read from {read}, and {witness} says otherwise at {at} of the log ({times}).",
                {"input": witness.input, "read": read[witness.input], "witness": witness.said,
                 "at": _seconds(mine[0].from_ms), "times": _times(mine)},
                about=f"signals.{witness.input}", place=mine[0].place,
                fix="Look for a swapped or open wire, the wrong polarity, or a wrong entry in the vehicle data.",
            )  # fmt: skip


def _cannot_be(result: Replayed) -> Iterator[Finding]:
    for why in dict.fromkeys(span.what for span in result.cannot_be):
        mine = [span for span in result.cannot_be if span.what == why]
        longest = max(mine, key=lambda span: span.until_ms - span.from_ms)
        if longest.until_ms - longest.from_ms > SLACK_MS:
            yield _told(
                "CTL-050", "log-says-what-cannot-be", "warning",
                "At {at} of the log the inputs say what the vehicle excludes, for {time}: {why}.",
                {"at": _seconds(longest.from_ms), "time": _seconds(longest.until_ms - longest.from_ms), "why": why},
                place=longest.place,
                fix="Look for a swapped wire, or a wrong unit or value in the vehicle data.",
            )  # fmt: skip


def _silences(model: Model, result: Replayed, feeds: Feeds) -> Iterator[Finding]:
    timeouts = {feed.input: feed.timeout_ms for feed in feeds.feeds}
    for name in result.never_heard:
        if timeouts.get(name) is None:
            continue
        reads = f"it counts as lost ({model.input(name).lost})" if timeouts[name] else "it stays at rest"
        yield _told(
            "CTL-046", "signal-never-heard", "warning", "{input} is never heard in the log; {reads}.",
            {"input": name, "reads": reads}, about=f"signals.{name}",
            fix="Look whether its message or line is in the log under another name.",
        )  # fmt: skip
    for name in dict.fromkeys(each.input for each in result.silences if each.input not in result.never_heard):
        mine = [each for each in result.silences if each.input == name]
        longest = max((each.until_ms or result.ends_ms) - each.from_ms for each in mine)
        yield _told(
            "CTL-044", "signal-fell-silent", "warning",
            "{input} is silent for longer than its {timeout} ({times} in the log, first at {at}, longest {longest}); "
            "then it reads as lost: {lost}.",
            {"input": name, "timeout": _seconds(timeouts[name]), "times": f"{len(mine):,} times",
             "at": _seconds(mine[0].from_ms), "longest": _seconds(longest), "lost": str(model.input(name).lost)},
            about=f"signals.{name}",
        )  # fmt: skip


def _values(doubts: LogDoubts) -> Iterator[Finding]:
    for (name, said, value), (count, place) in doubts.values.items():
        yield _told(
            "CTL-045", "value-not-known", "warning", "{said} says {value}, no value of {input} ({count} times).",
            {"said": said, "value": value, "input": name, "count": f"{count:,}"},
            about=f"signals.{name}", place=place, fix="Write values: in the vehicle data, with the number of each.",
        )  # fmt: skip


def _log(log: Log) -> Iterator[Finding]:
    if log.bad_n:
        yield _told(
            "CTL-040", "log-line-not-read", "warning", "{count} lines of {file} can't be read and are passed over.",
            {"count": f"{log.bad_n:,}", "file": log.file}, place=Place(log.file, log.first_bad),
        )  # fmt: skip
    if log.cut:
        yield _told(
            "CTL-043", "log-breaks-off", "warning", "{file} is used up to {at} only: {why}.",
            {"file": log.file, "at": _seconds(log.lasts_us / 1000), "why": log.cut},
            place=Place(log.file, log.entries[-1].line),
        )  # fmt: skip
    if log.disorder_n:
        first = log.disorder[0]
        worst = max(each.by_us for each in log.disorder)
        what = "was set back" if any(each.kind == "set" for each in log.disorder) else "runs back"
        yield _told(
            "CTL-041", "log-time-runs-back", "warning",
            "The clock of {file} {what} {count} times, by up to {worst}; the log goes on from where it was.",
            {"file": log.file, "what": what, "count": f"{log.disorder_n:,}", "worst": _seconds(worst / 1000)},
            place=Place(log.file, first.line),
        )  # fmt: skip


def _clocks(logs: Sequence[Log], feeds: Feeds) -> Iterator[Finding]:
    begins = dict(feeds.begins_ms)
    loose = [log.file for log in logs if not log.absolute and log.file not in begins]
    if len(logs) > 1 and loose:
        yield _told(
            "CTL-053", "clocks-not-comparable", "warning",
            "{files} has no date, so it is taken to begin with the first of all logs.", {"files": ", ".join(loose)},
            fix=f"Write how much later it begins: begins: {{{loose[0]}: 1.25 s}} in the vehicle data.",
        )  # fmt: skip


def _ways(result: Replayed, doubts: LogDoubts, *, full: bool) -> Iterator[Finding]:
    if doubts.longest_gap_ms > GAP_MS:
        place, at_ms = doubts.gap_at
        yield _told(
            "CTL-042", "log-has-gap", "warning", "Nothing is logged for {time} before {at} of the log.",
            {"time": _seconds(doubts.longest_gap_ms), "at": _seconds(at_ms)}, place=place,
        )  # fmt: skip
    if doubts.never_rests_ms >= 0 or full:
        at_ms = doubts.never_rests_ms if doubts.never_rests_ms >= 0 else result.ends_ms
        why = (
            "timed moves of the build start one another for ever" if doubts.never_rests_ms >= 0 else "too much changes"
        )
        yield _told(
            "CTL-055", "replay-ends-early", "error", "The strips and tracks end at {at} of the log: {why}.",
            {"at": _seconds(at_ms), "why": why},
        )  # fmt: skip
