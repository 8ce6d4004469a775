"""What came of a log: everything the machine read, did and showed over time, and what it promised and didn't keep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coachwright.control.feeds import Feeds
from coachwright.control.follow import Silence
from coachwright.kit.finding import Finding
from coachwright.kit.mark import Mark


@dataclass(frozen=True, slots=True)
class Place:
    """A place in a log. line : of a binary log the number of the frame; 0 before the first."""

    file: str
    line: int

    def mark(self) -> Mark:
        """As findings say it."""
        return Mark(self.file, max(1, self.line), 1)


@dataclass(frozen=True, slots=True)
class Change:
    """From `at_ms` on it is `value`."""

    at_ms: int
    value: Any


@dataclass(frozen=True, slots=True)
class Track:
    """One thing over time. kind : input, function, head, sound, run, message. changes : the first at power-up."""

    kind: str
    name: str
    changes: tuple[Change, ...]

    def at(self, at_ms: int) -> Any:
        """What it is at a time; None before power-up."""
        found = None
        for change in self.changes:
            if change.at_ms > at_ms:
                break
            found = change.value
        return found


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the log. what : a promise or an input. place : where in the log it begins."""

    what: str
    from_ms: int
    until_ms: int
    place: Place


@dataclass(frozen=True, slots=True)
class Replayed:
    """A log that went through the machine.

    began_ms, ends_ms : power-up and end, after the first thing logged. tracks : inputs, functions, heads, and so on, in
    the order of the build. broken, blind : spans of promises; disagreed : of inputs whose witness says otherwise;
    cannot_be : of what the vehicle itself excludes.
    wires : level of each turn wire over time. witnesses : inputs as their witness says. frames_n, known_n : of all
    logs. unknown : (identifier, how many), most frequent first. steps_n : moments of the machine. feeds : those that
    were listened to.
    """

    began_ms: int
    ends_ms: int
    tracks: tuple[Track, ...]
    wires: tuple[Track, ...]
    broken: tuple[Span, ...]
    blind: tuple[Span, ...]
    disagreed: tuple[Span, ...]
    cannot_be: tuple[Span, ...]
    silences: tuple[Silence, ...]
    never_heard: tuple[str, ...]
    frames_n: int
    known_n: int
    unknown: tuple[tuple[str, int], ...]
    steps_n: int
    feeds: Feeds
    findings: tuple[Finding, ...] = ()
    promises: tuple[str, ...] = ()
    witnesses: tuple[Track, ...] = ()

    def track(self, kind: str, name: str) -> Track:
        """One track.

        Raises
        ------
        KeyError : there is none.
        """
        for each in self.tracks:
            if each.kind == kind and each.name == name:
                return each
        raise KeyError(f"{kind} {name}")
