"""What came of a log, as text and JSON: one sentence first, then what happened when, then how each promise ended.

See Also
--------
coachwright.control.replay : what is told. coachwright.draw.replayed : the same as strips of time.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from coachwright.build.model import Model
from coachwright.control.feeds import Feeds
from coachwright.control.logs import Log
from coachwright.control.replayed import Replayed, Track
from coachwright.control.statement import HeadState
from coachwright.kit.show import show
from coachwright.look.cells import finding_text, sentence
from coachwright.look.quote import plain

WIDTH = 110
MOST_MOMENTS = 200
MOST_UNKNOWN = 8
_FORMS = {"candump": "candump", "asc": "ASC", "blf": "BLF", "csv": "CSV of frames", "lines": "CSV of lines"}


@dataclass(frozen=True, slots=True)
class Told:
    """What a face needs to tell a replay."""

    model: Model
    logs: tuple[Log, ...]
    replayed: Replayed

    @property
    def feeds(self) -> Feeds:
        return self.replayed.feeds


def replayed_lines(told: Told) -> Iterator[str]:
    """The replay as a person reads it; the sentence that sums up comes last, so that it stays on the screen."""
    for log in told.logs:
        yield from _wrapped(log_line(log))
    yield from _wrapped(_heard_line(told))
    yield ""
    yield from _moments(told)
    yield ""
    for finding in told.replayed.findings:
        yield finding_text(finding, texts={}, width=WIDTH)
        yield ""
    yield from _wrapped(summary_line(told))


def log_line(log: Log) -> str:
    """One log: its form, how much of it there is, and what its times are."""
    if log.absolute:
        begins = datetime.fromtimestamp(log.begins_s, tz=UTC)
        clock = f"from {begins:%Y-%m-%d %H:%M:%S} UTC"
    else:
        clock = f"times from its own beginning at {log.begins_s:.3f} s"
        clock += f", dated {plain(log.dated)} without a zone" if log.dated else ""
    what = "rows" if log.form == "lines" else "frames"
    others = f", {log.others_n:,} remote and error frames left out" if log.others_n else ""
    many = f"{len(log.entries):,} {what} in {log.lasts_us / 1e6:.3f} s{others}"
    return f"{plain(log.file)}: {_FORMS[log.form]}, {many}; {clock}."


def _heard_line(told: Told) -> str:
    replayed = told.replayed
    never = set(replayed.never_heard)
    fed = [f"{feed.input} ({feed.said})" for feed in told.feeds.feeds if feed.input not in never]
    unknown = (
        f" {sum(count for _, count in replayed.unknown):,} frames of {len(replayed.unknown):,} identifiers feed nothing"
    )
    if replayed.unknown:
        most = ", ".join(f"{name} {count:,} times" for name, count in replayed.unknown[:MOST_UNKNOWN])
        unknown += f" ({most}{', ...' if len(replayed.unknown) > MOST_UNKNOWN else ''})."
    else:
        unknown = ""
    seconds = ", ".join(f"{feed.input} ({feed.said})" for feed in told.feeds.witnesses)
    said = f" Compared with: {seconds}." if seconds else ""
    return f"Heard: {', '.join(fed) or 'nothing'}. All other inputs stay at rest.{said}{unknown}"


def _moments(told: Told) -> Iterator[str]:
    """What changed when: inputs first, then what came of it."""
    replayed = told.replayed
    at: dict[int, list[str]] = {}
    numbers = {item.name for item in told.model.inputs if not item.values}
    quiet = {"head", *(("input", name) for name in numbers)}
    moved = {
        change.at_ms
        for track in replayed.tracks
        if not {track.kind, (track.kind, track.name)} & quiet
        for change in track.changes
    }
    for track in replayed.tracks:
        if track.kind == "head":
            continue
        for change in track.changes:
            # A number is told where something comes of it: a speed rises in a hundred steps.
            if change.at_ms > replayed.began_ms and change.at_ms in moved:
                at.setdefault(change.at_ms, []).append(_change_said(told.model, track, change.value))
    for what, spans in (("is broken", replayed.broken), ("is not kept, blind", replayed.blind)):
        for span in spans:
            at.setdefault(span.from_ms, []).append(
                f"× {span.what} {what} for {(span.until_ms - span.from_ms) / 1000:.3f} s"
            )
    yield f"{replayed.began_ms / 1000:10.3f} s  power-up: {_start_said(told)}"
    for number, at_ms in enumerate(sorted(at)):
        if number == MOST_MOMENTS:
            yield f"{'':12}  ... and {len(at) - MOST_MOMENTS:,} further moments; --json and the strips have all of them"
            return
        said = "; ".join(at[at_ms])
        yield from textwrap.wrap(
            plain(said), WIDTH, initial_indent=f"{at_ms / 1000:10.3f} s  ", subsequent_indent=" " * 14,
            break_on_hyphens=False,
        )  # fmt: skip


def _start_said(told: Told) -> str:
    moved = [track for track in told.replayed.tracks if track.kind == "input" and track.changes]
    away = []
    for track in moved:
        value = track.changes[0].value
        rest = told.model.input(track.name).rest
        if value != rest and not (rest == "last" and value == "off"):
            away.append(_change_said(told.model, track, value))
    return ", ".join(away) or "everything at rest"


def _change_said(model: Model, track: Track, value: Any) -> str:
    match track.kind:
        case "input":
            item = model.input(track.name)
            return f"{track.name} {show(float(value), item.number_kind) if not item.values else value}"
        case "function":
            level = value and value not in ("acts", "waits") and " " not in value
            return f"{track.name} {f'acts ({value})' if level else value or 'ends'}"
        case "sound":
            return f"{track.name} sounds {value}" if value else f"{track.name} is silent"
        case "message":
            return f"says {track.name}" if value else f"no longer says {track.name}"
        case "interrupt":
            return f"{track.name} is interrupted" if value else f"{track.name} is interrupted no more"
        case _:
            return f"{track.name} runs" if value else f"{track.name} stops"


def summary_line(told: Told) -> str:
    """How it ended, in one sentence."""
    replayed = told.replayed
    broken = dict.fromkeys(span.what for span in replayed.broken)
    blind = [name for name in dict.fromkeys(span.what for span in replayed.blind) if name not in broken]
    kept = len(replayed.promises) - len(broken) - len(blind)
    said = f"{kept} of {len(replayed.promises)} promises kept on this log"
    if broken:
        said += f"; broken: {', '.join(broken)}"
    if blind:
        said += f"; not kept because an input isn't read: {', '.join(blind)}"
    apart = dict.fromkeys(span.what for span in replayed.disagreed)
    if apart:
        said += f"; read otherwise than their witness says: {', '.join(apart)}"
    return f"{said}. A log shows what it holds; coachwright prove asks every story."


def _wrapped(said: str) -> Iterator[str]:
    yield from textwrap.wrap(plain(said), WIDTH, subsequent_indent="  ", break_on_hyphens=False)


def replayed_json(told: Told) -> dict[str, Any]:
    """The same for programs."""
    replayed = told.replayed
    return {
        "format": 1,
        "logs": [_log_json(log) for log in told.logs],
        "began-ms": replayed.began_ms,
        "ends-ms": replayed.ends_ms,
        "frames": replayed.frames_n,
        "frames-heard": replayed.known_n,
        "unknown-frames": dict(replayed.unknown),
        "feeds": [{"input": feed.input, "from": feed.said, "timeout-ms": feed.timeout_ms} for feed in told.feeds.feeds],
        "not-fed": dict(told.feeds.not_fed),
        "never-heard": list(replayed.never_heard),
        "tracks": [_track_json(track) for track in replayed.tracks],
        "promises": {name: _ends(replayed, name) for name in replayed.promises},
        "broken": [_span_json(span) for span in replayed.broken],
        "blind": [_span_json(span) for span in replayed.blind],
        "disagree": [_span_json(span) for span in replayed.disagreed],
        "silent": [
            {"input": each.input, "from-ms": each.from_ms, "until-ms": each.until_ms} for each in replayed.silences
        ],
        "findings": [
            {"code": each.code, "name": each.name, "severity": each.severity, "about": each.about,
             "said": sentence(each), "where": [f"{mark.file}:{mark.line}" for mark in each.where]}
            for each in replayed.findings
        ],
    }  # fmt: skip


def _ends(replayed: Replayed, name: str) -> str:
    if any(span.what == name for span in replayed.broken):
        return "broken"
    return "blind" if any(span.what == name for span in replayed.blind) else "kept"


def _log_json(log: Log) -> dict[str, Any]:
    return {
        "file": log.file, "form": log.form, "absolute": log.absolute, "begins-s": log.begins_s,
        "entries": len(log.entries), "lasts-ms": log.lasts_us // 1000, "lines-not-read": log.bad_n, "cut": log.cut,
        "time-ran-back": log.disorder_n,
    }  # fmt: skip


def _span_json(span: Any) -> dict[str, Any]:
    return {"what": span.what, "from-ms": span.from_ms, "until-ms": span.until_ms,
            "where": f"{span.place.file}:{span.place.line}"}  # fmt: skip


def _track_json(track: Track) -> dict[str, Any]:
    return {
        "kind": track.kind,
        "name": track.name,
        "changes": [[change.at_ms, _value_json(change.value)] for change in track.changes],
    }


def _value_json(value: Any) -> Any:
    if not isinstance(value, HeadState):
        return value
    return {"shows": shown(value), "by": list(value.owners)}


def shown(state: HeadState) -> str:
    """What a head shows, in words."""
    if state.ambiguous and not state.parts:
        return "not decided"
    return " and ".join(_part_said(part) for part in state.parts) or ("dark" if state.owners else "")


def _part_said(part: Any) -> str:
    item = part.show
    share = "" if part.share >= 1.0 else f" at {100 * part.share:.0f} %"
    if item.manner == "follow":
        return f"{part.colour} following {item.signal}{share}"
    if item.manner == "steady":
        return f"{part.colour} steady{share}"
    return f"{part.colour} flashing{share}"


def feeds_lines(model: Model, feeds: Feeds) -> Sequence[str]:
    """By what each input of a build can be heard; standard by standard where none is named."""
    rows = [f"{'input':16}  heard from"]
    fed = {feed.input: feed for feed in feeds.feeds}
    not_fed = dict(feeds.not_fed)
    for item in model.inputs:
        feed = fed.get(item.name)
        if feed is not None:
            silence = f"lost after {feed.timeout_ms:,} ms of silence" if feed.timeout_ms else "never counted as lost"
            said = f"{feed.said}; {silence}"
        else:
            said = not_fed.get(item.name, "")
        rows += textwrap.wrap(
            plain(said), WIDTH, initial_indent=f"{item.name:16}  ", subsequent_indent=" " * 18, break_on_hyphens=False
        )
    return rows
