"""What does a log say, and when? Frames of a bus, or named lines, on one clock that never runs back.

Read are candump (``.log``), ASC, BLF and CSV. A CSV file is either frames as loggers write them, or named lines: a
first column ``time s`` (``ms``, ``us``) and a column per line or signal. Bad lines are counted and passed over; a file
that breaks off is used up to there. Nothing is executed, and size and number of entries are bounded.

Time is whole microseconds from the log's own beginning. Where it runs back by less than a second (frames of two buses
that were written out of order) the frame counts as heard at the time before; where by more, the clock was set, and the
log goes on from where it was.

See Also
--------
coachwright.control.vehicle_data : what the frames and lines mean. coachwright.control.replay : what comes of them.
"""

from __future__ import annotations

import io
import logging
import math
import os
import re
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from coachwright.control.logs_binary import soundness
from coachwright.kit.errors import DoorRefused

if TYPE_CHECKING:
    from can import Message

Form = Literal["candump", "asc", "blf", "csv", "lines"]

MOST_BYTES = 200_000_000
MOST_ENTRIES = 2_000_000
MOST_BAD_LINES = 10_000
MOST_COLUMNS = 400
MOST_CELL = 80
MOST_LINE = 4_000
MOST_FRAME_BYTES = 64
OUT_OF_ORDER_US = 1_000_000
"""Up to here time that runs back is disorder, beyond it a clock that was set. Common practice."""
_SINCE_1970_S = 1e8
"""A time beyond is a date (1973 or later), one below counts from some beginning."""
_LATEST_S = 1e11
_FORMS: dict[str, Form] = {".log": "candump", ".asc": "asc", ".blf": "blf", ".csv": "csv"}
_PARTS_US = {"s": 1e6, "ms": 1e3, "us": 1.0}
_TIME_HEAD = re.compile(r"time\s*[\[(]?\s*(s|ms|us)\s*[\])]?", re.IGNORECASE)
_ASC_RELATIVE = re.compile(r"\s*base\s+(hex|dec)\s+timestamps\s+relative", re.IGNORECASE)
_ASC_HEAD = re.compile(r"\s*(date|base)\s", re.IGNORECASE)
_LEADING_TIME = re.compile(r"\s*(\d{1,12}\.\d{1,12})\s")


@dataclass(frozen=True, slots=True)
class Entry:
    """One frame, or one row of named lines, as the log has it.

    at_us : after the log's beginning. line : of the file, from 1; of a binary log the number of the frame.
    identifier : of the frame, without marks; -1 for a row. said : (line name, text) of a row.
    """

    at_us: int
    line: int
    identifier: int = -1
    extended: bool = False
    data: bytes = b""
    said: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Disorder:
    """The log's clock ran back. kind : ``back`` (out of order), ``set`` (the clock was set). by_us : by how much."""

    kind: Literal["back", "set"]
    line: int
    at_us: int
    by_us: int


@dataclass(frozen=True, slots=True)
class Log:
    """A log that was read.

    absolute : its times are dates; `begins_s` then is its beginning in seconds since 1970, else by its own clock.
    dated : what its head says about its beginning, in the log's own words.
    bad_n, first_bad : lines that can't be read, and the first of them (0: none). others_n : remote and error frames.
    cut : why it was read only in part, "" for all of it. disorder : where its clock ran back; disorder_n : how often.
    """

    file: str
    form: Form
    absolute: bool
    begins_s: float
    entries: tuple[Entry, ...]
    names: tuple[str, ...] = ()
    dated: str = ""
    bad_n: int = 0
    first_bad: int = 0
    others_n: int = 0
    cut: str = ""
    disorder: tuple[Disorder, ...] = ()
    disorder_n: int = 0

    @property
    def lasts_us(self) -> int:
        """From its first entry to its last."""
        return self.entries[-1].at_us if self.entries else 0


def read_log(path: Path) -> Log:
    """Read one log; its form follows from the end of its name.

    Raises
    ------
    DoorRefused : it isn't there, too large, of an unknown form, or nothing in it can be read.
    """
    form = _FORMS.get(path.suffix.lower())
    if form is None:
        known = ", ".join(_FORMS)
        packed = " Unpack it first." if path.suffix.lower() in (".gz", ".zip", ".bz2", ".xz") else ""
        raise DoorRefused(f"{path} is of no form that is read. Names end in {known}.{packed}")
    content = _content(path)
    if form == "blf":
        return _ordered(path.name, "blf", _binary(path, content))
    text = content.decode("utf-8-sig", errors="replace")
    if "\x00" in text:
        raise DoorRefused(f"{path} isn't a text file (it holds NUL bytes).")
    if form == "csv" and not text.lstrip().lower().startswith("timestamp,"):
        return _ordered(path.name, "lines", _rows(path, text))
    return _ordered(path.name, form, _frames(text, form))


def _content(path: Path) -> bytes:
    try:
        with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)), "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                raise DoorRefused(f"{path} is no ordinary file.")
            content = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise DoorRefused(f"{path} can't be read: {error.strerror or error}.") from None
    if len(content) > MOST_BYTES:
        raise DoorRefused(f"{path} is longer than {MOST_BYTES:,} bytes. Cut the part out that matters.")
    return content


@dataclass(slots=True)
class _Gathered:
    """What has been read so far, times in seconds as the file has them."""

    found: list[tuple[float, Entry]] = field(default_factory=list)
    names: tuple[str, ...] = ()
    dated: str = ""
    bad_n: int = 0
    first_bad: int = 0
    others_n: int = 0
    cut: str = ""

    def bad(self, line: int) -> None:
        self.bad_n += 1
        self.first_bad = self.first_bad or line

    @property
    def is_full(self) -> bool:
        if len(self.found) >= MOST_ENTRIES:
            self.cut = f"it has more than {MOST_ENTRIES:,} entries"
        elif self.bad_n >= MOST_BAD_LINES:
            self.cut = f"{MOST_BAD_LINES:,} lines of it can't be read"
        return bool(self.cut)

    def take(self, message: Message, at_s: float, line: int) -> None:
        """One frame of the library's reader."""
        if message.is_error_frame or message.is_remote_frame:
            self.others_n += 1
            return
        data = bytes(message.data or b"")
        most = 0x1FFFFFFF if message.is_extended_id else 0x7FF
        told = 0 <= message.arbitration_id <= most and len(data) <= MOST_FRAME_BYTES
        if not told or not (math.isfinite(at_s) and 0 <= at_s < _LATEST_S):
            self.bad(line)
            return
        self.found.append((at_s, Entry(0, line, message.arbitration_id, bool(message.is_extended_id), data)))


# ---- text


class _Lines(io.TextIOBase):
    """The lines of a text, counted as they are taken; what a reader has to see again can be put back before them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = io.StringIO(text)
        self.number = 0
        self.again: list[str] = []
        self.sums = False
        self.clock_s = 0.0

    def __iter__(self) -> _Lines:  # type: ignore[override]  # text, as every reader of text is
        return self

    def __next__(self) -> str:  # type: ignore[override]
        if self.again:
            return self.again.pop(0)
        line = next(self.text)
        self.number += 1
        if len(line) > MOST_LINE:
            return "?\n"
        if self.sums:
            found = _LEADING_TIME.match(line)
            self.clock_s += float(found[1]) if found is not None else 0.0
        return line


def _frames(text: str, form: Form) -> _Gathered:
    """Frames of a text form by the library's readers, which are begun anew behind a line they stumble over."""
    import can

    readers: dict[str, Any] = {"candump": can.CanutilsLogReader, "asc": can.ASCReader, "csv": can.CSVReader}
    gathered, lines = _Gathered(), _Lines(text)
    head = _head(text, form)
    gathered.dated = next((line.strip()[5:].strip() for line in head if line.lower().lstrip().startswith("date ")), "")
    lines.sums = any(_ASC_RELATIVE.match(line) for line in head)
    stumbled = False
    while not gathered.is_full:
        if stumbled:
            lines.again = list(head)
        before = lines.number
        try:
            for message in _quiet(readers[form](lines)):
                gathered.take(message, lines.clock_s if lines.sums else message.timestamp, lines.number)
                if gathered.is_full:
                    break
            else:
                break
        except Exception:  # the library raises many kinds; each means that this line can't be read
            gathered.bad(lines.number)
            lines.again, stumbled = [], True
            if lines.number == before:
                break
    return gathered


def _quiet(reader: Iterable[Message]) -> Iterator[Message]:
    """The frames of a reader, without what it would write to the terminal about each odd line of a file."""
    said = logging.getLogger("can")
    level = said.level
    said.setLevel(logging.CRITICAL + 1)
    try:
        yield from reader
    finally:
        said.setLevel(level)


def _head(text: str, form: Form) -> tuple[str, ...]:
    """What a reader has to be told again when it begins anew in the middle."""
    first = text[: 40 * MOST_LINE].splitlines(keepends=True)[:20]
    if form == "csv":
        return tuple(first[:1])
    if form == "asc":  # the reader takes the line behind the head for the end of it
        return (*(line for line in first if _ASC_HEAD.match(line)), "no internal events logged\n")
    return ()


def _rows(path: Path, text: str) -> _Gathered:
    """Rows of named lines: a time, then a cell for each line; an empty cell says nothing new."""
    lines = text.splitlines()
    head_at = next((place for place, line in enumerate(lines) if line.strip() and not line.startswith("#")), None)
    if head_at is None:
        raise DoorRefused(f"{path} is empty.")
    head = lines[head_at][: 100 * MOST_COLUMNS]
    apart = next((sign for sign in (";", "\t") if sign in head), ",")
    names = [name.strip() for name in head.split(apart)]
    told = _TIME_HEAD.fullmatch(names[0])
    if told is None:
        raise DoorRefused(
            f"{path}:{head_at + 1}: the first column is called {names[0][:40]!r}. Of a log of lines it is the time "
            "with its unit: time s, time ms or time us. A log of frames begins with timestamp,arbitration_id."
        )
    if len(names) > MOST_COLUMNS or len(set(names)) < len(names) or not all(names):
        raise DoorRefused(f"{path}:{head_at + 1}: columns have names of their own, {MOST_COLUMNS} at most.")
    scale_s = _PARTS_US[told[1].lower()] / 1e6
    gathered = _Gathered(names=tuple(names[1:]))
    for number, line in enumerate(lines[head_at + 1 :], start=head_at + 2):
        if gathered.is_full:
            break
        if not line.strip() or line.startswith("#"):
            continue
        row = _row(line, apart, len(names), scale_s) if len(line) <= MOST_LINE * 4 else None
        if row is None:
            gathered.bad(number)
            continue
        at_s, cells = row
        said = tuple((name, cell) for name, cell in zip(names[1:], cells, strict=True) if cell)
        gathered.found.append((at_s, Entry(0, number, said=said)))
    return gathered


def _row(line: str, apart: str, cells_n: int, scale_s: float) -> tuple[float, list[str]] | None:
    cells = [cell.strip() for cell in line.split(apart)]
    if len(cells) != cells_n or any(len(cell) > MOST_CELL for cell in cells):
        return None
    if apart != ",":
        cells = [cell.replace(",", ".") if re.fullmatch(r"[+-]?\d+,\d+", cell) else cell for cell in cells]
    if not re.fullmatch(r"\d{1,18}(\.\d{1,12})?", cells[0]):
        return None
    at_s = float(cells[0]) * scale_s
    return (at_s, cells[1:]) if at_s < _LATEST_S else None


# ---- binary


def _binary(path: Path, content: bytes) -> _Gathered:
    import can

    sound = soundness(content)
    if not sound.sound_n:
        raise DoorRefused(f"{path} can't be read: {sound.why}.")
    gathered = _Gathered(cut=sound.why)
    number = 0
    try:
        for number, message in enumerate(_quiet(can.BLFReader(io.BytesIO(content[: sound.sound_n]))), start=1):
            gathered.take(message, message.timestamp, number)
            if len(gathered.found) >= MOST_ENTRIES:
                gathered.cut = f"it has more than {MOST_ENTRIES:,} entries"
                break
    except Exception as error:  # the library raises many kinds; the log is used up to here
        said = " ".join(str(error).split())[:100] or type(error).__name__
        gathered.cut = gathered.cut or f"behind frame {number} its reader stops ({said})"
    return gathered


# ---- the clock


def _ordered(file: str, form: Form, gathered: _Gathered) -> Log:
    """The entries on a clock of whole microseconds that begins with the first of them and never runs back."""
    if not gathered.found:
        bad = (
            f" {gathered.bad_n:,} lines can't be read, the first is line {gathered.first_bad}."
            if gathered.bad_n
            else ""
        )
        raise DoorRefused(f"{file} holds no frame that can be read.{bad}")
    begins_us = round(gathered.found[0][0] * 1e6)
    last_us, set_by_us, disorder_n = 0, 0, 0
    entries: list[Entry] = []
    disorder: list[Disorder] = []
    for at_s, entry in gathered.found:
        at_us = round(at_s * 1e6) - begins_us + set_by_us
        if at_us < last_us:
            by_us = last_us - at_us
            kind: Literal["back", "set"] = "back" if by_us <= OUT_OF_ORDER_US else "set"
            disorder_n += 1
            if len(disorder) < 20:
                disorder.append(Disorder(kind, entry.line, last_us, by_us))
            if kind == "set":
                set_by_us += by_us
            at_us = last_us
        last_us = at_us
        entries.append(Entry(at_us, entry.line, entry.identifier, entry.extended, entry.data, entry.said))
    begins_s = gathered.found[0][0]
    return Log(
        file, form, begins_s > _SINCE_1970_S, begins_s, tuple(entries), gathered.names, gathered.dated[:80],
        gathered.bad_n, gathered.first_bad, gathered.others_n, gathered.cut, tuple(disorder), disorder_n,
    )  # fmt: skip


def together(logs: tuple[Log, ...], later_us: tuple[int | None, ...]) -> Iterator[tuple[int, int, Entry]]:
    """All entries of several logs in the order of time: (time from the first beginning, place of the log, entry).

    Logs with dates are laid by their dates. One without begins with the first of all, unless `later_us` says by how
    much later. [us]
    """
    import heapq

    first_s = min((log.begins_s for log in logs if log.absolute), default=0.0)
    starts = []
    for log, later in zip(logs, later_us, strict=True):
        if later is not None:
            starts.append(later)
        else:
            starts.append(round((log.begins_s - first_s) * 1e6) if log.absolute else 0)
    rows = [_laid(log, start, place) for place, (log, start) in enumerate(zip(logs, starts, strict=True))]
    yield from heapq.merge(*rows, key=lambda row: (row[0], row[1]))


def _laid(log: Log, start_us: int, place: int) -> Iterator[tuple[int, int, Entry]]:
    for entry in log.entries:
        yield start_us + entry.at_us, place, entry
