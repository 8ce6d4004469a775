"""By which wire, message or group is each input of a build heard, and what does a frame say about it?

A file of vehicle data says it; where it is silent, a column of a log of lines that is called like the input, and the
codes the vehicle's body gives under J1939. What a standard has no word for is refused by name.

See Also
--------
coachwright.parts.vehicle_data, coachwright.parts.dbc : the doors. coachwright.control.follow : what hears.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from coachwright.build.model import Input, Model
from coachwright.control.feeds import Feed, Feeds, Meaning
from coachwright.control.j1939 import Group, known_groups
from coachwright.control.obd import known_pids
from coachwright.control.sources import Setting
from coachwright.kit.errors import CoachwrightError, DoorRefused
from coachwright.kit.figures import number_of as figure
from coachwright.kit.figures import table_of, tables_in
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.near import nearest
from coachwright.kit.nodes import Document, Plain
from coachwright.parts.dbc import BusMessage, BusSignal, MessageFile, read_messages
from coachwright.parts.vehicle_data import (
    Origin,
    Range,
    VehicleData,
    range_of,
    read_vehicle_data,
    start_bit,
    unit_line,
)

DATA = "vehicle_data.yaml"
CYCLES_N = 3
"""A message that stays away for so many of its cycles counts as lost. Common practice."""
_OLD_WORDS = {"0": "off", "1": "on", "false": "off", "true": "on", "no": "off", "yes": "on"}
_LEVELS = {"off": "low", "0": "low", "false": "low", "on": "high", "1": "high", "true": "high"}


class VehicleDataRefused(CoachwrightError):
    """A file of vehicle data can't be used. findings : all that is wrong in it; text : of the file, for quoting."""

    def __init__(self, file: str, findings: Sequence[Finding], text: str = "") -> None:
        super().__init__(f"{file} has to be mended first.")
        self.file, self.findings, self.text = file, tuple(findings), text


def feeds_of(model: Model, said: Path | None, columns: Iterable[str] = ()) -> Feeds:
    """The feeds of a build.

    Parameters
    ----------
    said : file of vehicle data, None without one.
    columns : names of columns of the logs of lines.

    Raises
    ------
    VehicleDataRefused : something in the file can't be; all of it is told at once.
    DoorRefused : the file, or a file of messages it names, can't be read at all.
    """
    data, document, messages = _read(said)
    asked = _Asked(model, messages, document)
    feeds, witnesses = {}, []
    for name, fed in (data.signals if data is not None else {}).items():
        item = asked.input_of(name)
        if item is None:
            continue
        feeds[name] = asked.feed(item, fed, ("signals", name))
        if fed.witness is not None:
            witnesses.append(asked.feed(item, fed.witness, ("signals", name, "witness")))
    asked.doubts += [_partly(file) for file in messages if file.left_out]
    if asked.findings:
        raise VehicleDataRefused(
            said.name if said is not None else "", asked.findings, document.text if document else ""
        )
    for column in columns:
        name, unit = _column(column)
        item = next((each for each in model.inputs if each.name == name and name not in feeds), None)
        if item is not None:
            feeds[name] = asked.by_column(item, column, unit)
    for item in model.inputs:
        code = codes_of(model, item).j1939
        if item.name not in feeds and code:
            found = asked.by_group(item, Origin(j1939=code), ())
            if found is not None:
                feeds[item.name] = replace(found, written=False)
    asked.findings.clear()  # of codes of the body that need a word: those inputs are simply not fed
    made = tuple(feed for item in model.inputs if (feed := feeds.get(item.name)) is not None)
    without = tuple((item.name, why_not_fed(model, item)) for item in model.inputs if feeds.get(item.name) is None)
    begins = tuple((file, round(1000 * late)) for file, late in (data.begins if data is not None else {}).items())
    heard = tuple(each for each in witnesses if each is not None)
    return Feeds(made, heard, without, begins, tuple(asked.doubts))


@dataclass(frozen=True, slots=True)
class Codes:
    """Codes of a signal under two standards; "" where the standard has none, as far as the body's file knows."""

    obd: str = ""
    j1939: str = ""


def codes_of(model: Model, item: Input) -> Codes:
    """Under which standards an input is known."""
    signal = model.body.signals.get(item.name)
    if signal is None or item.is_control:
        return Codes()
    return Codes(signal.codes.obd, signal.codes.j1939)


def why_not_fed(model: Model, item: Input) -> str:
    """Why no log feeds an input by itself, standard by standard."""
    if item.is_control:
        return "a control of ours: on no bus of the vehicle. Log it as a line"
    codes = codes_of(model, item)
    diagnostics = f"diagnostics: {codes.obd}, if it is asked for" if codes.obd else "diagnostics have none"
    heavy = f"J1939: {codes.j1939}" if codes.j1939 else "J1939 has none that is public"
    return f"{diagnostics}; {heavy}. Name its wire or its message in vehicle-data.yaml"


def _column(column: str) -> tuple[str, str]:
    """Name and unit of a column: ``speed km/h``, ``speed [km/h]``."""
    name, _, unit = column.partition(" ")
    return name, unit.strip(" []()")


def _read(said: Path | None) -> tuple[VehicleData | None, Document | None, tuple[MessageFile, ...]]:
    if said is None:
        return None, None, ()
    read = read_vehicle_data(said)
    if read.said is None:
        told = [
            *read.document.findings,
            *(_finding(read.document, each.path, each.why, each.write, each.on_key) for each in read.troubles),
        ]
        raise VehicleDataRefused(said.name, told, read.document.text)
    return read.said, read.document, tuple(read_messages(said.parent / name) for name in read.said.messages)


def _finding(document: Document, path: tuple[str, ...], why: str, write: str = "", on_key: bool = False) -> Finding:
    return Finding(
        "CTL-052",
        "vehicle-data-not-usable",
        "error",
        "{why}",
        {"why": why},
        about=".".join(path),
        where=(_mark(document, path, on_key=on_key),),
        fix=Fix(write) if write else None,
    )


def _partly(file: MessageFile) -> Finding:
    return Finding(
        "CTL-056",
        "messages-partly-read",
        "warning",
        "Of {file} not all is read ({count}): {first}",
        {"file": file.file, "count": len(file.left_out), "first": file.left_out[0]},
        where=(Mark(file.file, 1, 1),),
        fix=Fix("Look whether the signals that are used are among those read, and press what moves them."),
    )


def _mark(document: Document | None, path: tuple[str, ...], *, on_key: bool) -> Mark:
    if document is None:
        return Mark("", 1, 1)
    return document.mark(path, key=on_key and bool(path)) or document.nearest_mark(path) or Mark(document.file, 1, 1)


class _Asked:
    """Puts origins and inputs together, gathering what can't be."""

    def __init__(self, model: Model, messages: tuple[MessageFile, ...], document: Document | None) -> None:
        self.model, self.messages, self.document = model, messages, document
        self.findings: list[Finding] = []
        self.doubts: list[Finding] = []

    def input_of(self, name: str) -> Input | None:
        """The input of a name; told when there is none."""
        found = next((item for item in self.model.inputs if item.name == name), None)
        if found is None:
            near = nearest(name, [item.name for item in self.model.inputs], most=1)
            write = f"Closest: {near[0]}." if near else "coachwright replay BUILD lists the inputs of a build."
            self._tell(("signals", name), f"The build reads no input {name[:60]}.", write, on_key=True)
        return found

    def feed(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        """The feed of one origin; None, and told, when it can't be."""
        match origin.kinds[0]:
            case "wire":
                return self._by_wire(item, origin, path)
            case "dbc":
                return self._by_message(item, origin, path)
            case "j1939":
                return self.by_group(item, origin, path)
            case "obd":
                return self._by_answer(item, origin, path)
            case _:
                return self._by_frame(item, origin, path)

    def by_column(self, item: Input, column: str, unit: str) -> Feed | None:
        """A column that is called like the input."""
        meaning = self._meaning(item, Origin(wire=column, unit=unit), (), words={})
        if meaning is None and not item.values:
            self.doubts.append(
                Finding(
                    "CTL-054",
                    "column-without-unit",
                    "warning",
                    "Column {column} is a number without a unit that is known, so it isn't read.",
                    {"column": column},
                    about=f"signals.{item.name}",
                    fix=Fix(f"Call it {item.name} with its unit, like {item.name} km/h."),
                )
            )
        return None if meaning is None else Feed(item.name, f"line {column}", 0, meaning, wire=column)

    def _by_wire(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        meaning = self._meaning(item, origin, path, words={})
        if meaning is None:
            return None
        return Feed(item.name, f"line {origin.wire}", self._timeout_ms(origin, 0), meaning, wire=origin.wire)

    def _by_message(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        at = (*path, "dbc")
        if not self.messages:
            self._tell(at, "No file of messages is named.", "Write messages: and the file, beside this one.")
            return None
        message_name, _, signal_name = origin.dbc.rpartition(".")
        message, signal, whys = None, None, []
        for file in self.messages:
            try:
                message, signal = file.find(message_name, signal_name)
                break
            except DoorRefused as refused:
                whys.append(str(refused))
        if message is None or signal is None:
            self._tell(at, whys[0], "")
            return None
        meaning = self._meaning(item, origin, path, words=dict(signal.codes), unit=signal.unit, signal=signal)
        if meaning is None:
            return None
        said = f"{message.name}.{signal.name}"
        return Feed(
            item.name, said, self._timeout_ms(origin, message.cycle_ms), meaning,
            frame=(message.extended, message.identifier), bits=signal, chooser=_chooser(message, signal),
        )  # fmt: skip

    def _by_frame(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        first = start_bit(origin.start)
        bits = BusSignal(
            origin.frame,
            first,
            origin.bits,
            origin.order == "little",
            origin.signed,
            scale=origin.scale,
            offset=origin.offset,
        )
        meaning = self._meaning(item, origin, path, words={})
        if meaning is None:
            return None
        said = f"{origin.frame.upper()} bits {origin.start}({origin.bits})"
        frame = (len(origin.frame) > 3, int(origin.frame, 16))
        return Feed(item.name, said, self._timeout_ms(origin, 0), meaning, frame=frame, bits=bits)

    def by_group(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        """A parameter of a group of heavy vehicles."""
        at = (*path, "j1939")
        _, group_number, _, suspect = origin.j1939.split(" ")
        group = known_groups().get(int(group_number))
        found = next((each for each in group.signals if each.suspect == int(suspect)), None) if group else None
        if group is None or found is None:
            write = "Write frame, start and bits from the maker's guide, or the file of messages it gives."
            self._tell(at, f"Where {origin.j1939} stands in its frame isn't public here.", write)
            return None
        words = {} if found.is_number else dict(found.codes)
        origin = (
            origin if origin.values else origin.model_copy(update={"values": _known_values(item, suspect, "values")})
        )
        meaning = self._meaning(item, origin, path, words=words, unit=found.unit)
        if meaning is None:
            return None
        return Feed(
            item.name, origin.j1939, self._timeout_ms(origin, cycle_ms(group)), meaning,
            bits=BusSignal(found.name, found.first_bit, found.bits, scale=found.scale, offset=found.offset),
            group=group.number, sender=int(origin.sender, 16) if origin.sender else -1, group_signal=found,
        )  # fmt: skip

    def _by_answer(self, item: Input, origin: Origin, path: tuple[str, ...]) -> Feed | None:
        at = (*path, "obd")
        service, _, number = origin.obd.partition(" ")
        pid = known_pids().get(int(number, 16)) if service == "01" else None
        lacking = set(_texts(_data()["diagnostics-have-none"]))
        if item.is_control or item.name in lacking or item.name.split("-")[0] in ("door", "belt", "turn"):
            self._none(at, item)
            return None
        if pid is None:
            known = ", ".join(f"01 {each:02X}" for each in known_pids())
            self._tell(at, f"Parameter {origin.obd} isn't known here.", f"Known are {known}.")
            return None
        origin = (
            origin
            if origin.values
            else origin.model_copy(update={"values": _known_values(item, number, "diagnostics")})
        )
        meaning = self._meaning(item, origin, path, words={}, unit=pid.unit)
        if meaning is None:
            return None
        return Feed(
            item.name,
            f"diagnostics {origin.obd}",
            self._timeout_ms(origin, 0),
            meaning,
            answer=int(number, 16),
            pid=pid,
        )

    def _none(self, at: tuple[str, ...], item: Input) -> None:
        self.findings.append(
            Finding(
                "CTL-051",
                "standard-has-none",
                "error",
                "On-board diagnostics have no {name}: service 01 knows no brake, turn signal, hazard flasher, door, "
                "belt or gear lever, and none of our controls.",
                {"name": item.name},
                about=".".join(at),
                where=(_mark(self.document, at, on_key=False),),
                fix=Fix("Read it by wire, or by the maker's own messages (dbc, or frame with its bits)."),
            )
        )

    def _meaning(
        self,
        item: Input,
        origin: Origin,
        path: tuple[str, ...],
        *,
        words: Mapping[int, str],
        unit: str = "",
        signal: BusSignal | None = None,
    ) -> Meaning | None:
        """What the numbers or words of an origin are for this input."""
        if not item.values:
            return self._line(item, origin, path, unit)
        settings = settings_known(item)
        if origin.values:
            rows = []
            for value, texts in origin.values.items():
                if value not in settings:
                    near = nearest(value, settings, most=1)
                    write = f"Closest: {near[0]}." if near else f"It has {', '.join(settings)}."
                    self._tell((*path, "values", value), f"{item.name} is never {value[:40]}.", write, on_key=True)
                    return None
                rows.append(_value_row(value, texts, words))
            return Meaning(tuple(rows))
        return self._by_words(item, origin, path, words, one_bit=signal is None or signal.bits <= 2)

    def _by_words(
        self, item: Input, origin: Origin, path: tuple[str, ...], words: Mapping[int, str], *, one_bit: bool
    ) -> Meaning | None:
        """Without `values` a word stands for itself, and 0 and 1 for off and on."""
        said = {word.lower(): raw for raw, word in words.items()}
        rows: list[tuple[Setting, tuple[Range, ...], tuple[str, ...]]] = []
        for value in settings_known(item):
            raw = said.get(value.lower())
            rows.append((value, ((raw, raw),) if raw is not None else (), (value.lower(),)))
        if item.kind == "turn-wire":
            rows = [row for row in rows if row[0] in ("low", "high", "flashing")]
            rows += [(to, (), (word,)) for word, to in _LEVELS.items()]
        elif item.values == ("off", "on"):
            rows += [(to, (), (word,)) for word, to in _OLD_WORDS.items()]
        two = {"turn-wire": ("low", "high")}.get(item.kind, ("off", "on"))
        plain = item.kind == "turn-wire" or item.values == ("off", "on")
        if one_bit and plain and not any(row[1] for row in rows):
            rows += [(two[0], ((0.0, 0.0),), ()), (two[1], ((1.0, 1.0),), ())]
        if not origin.wire and not any(row[1] for row in rows):
            write = f"Write values: and a number for each of {', '.join(item.values)}."
            self._tell(path, f"Which numbers mean which value of {item.name} isn't known.", write, on_key=True)
            return None
        return Meaning(tuple(rows))

    def _line(self, item: Input, origin: Origin, path: tuple[str, ...], unit: str) -> Meaning | None:
        """A number: its unit as written, else as its origin says."""
        line = unit_line(origin.unit or unit, item.number_kind) if origin.unit or unit else None
        if line is None:
            told = origin.unit or unit or "no unit"
            write = f"Write unit: and one of {item.number_kind}, like {_EXAMPLES.get(item.number_kind, 'V')}."
            self._tell(path, f"{item.name} is a {item.number_kind}; its origin says {told[:40]}.", write, on_key=True)
            return None
        return Meaning(line=line)

    def _timeout_ms(self, origin: Origin, cycle: int) -> int:
        return round(1000 * origin.timeout) if origin.timeout is not None else CYCLES_N * cycle

    def _tell(self, path: tuple[str, ...], why: str, write: str, *, on_key: bool = False) -> None:
        if self.document is not None and path:
            self.findings.append(_finding(self.document, path, why, write, on_key))


_EXAMPLES = {"speed": "km/h", "voltage": "V", "temperature": "degC"}


def settings_known(item: Input) -> tuple[str, ...]:
    """Every word an input can be set to by what is heard."""
    if item.kind == "turn-wire":
        return ("low", "high", "flashing")
    if item.kind == "toggle":
        return ("off", "on", "released", "pressed")
    if item.kind == "button":
        return ("off", "on", "released", "pressed")
    return item.values


def _value_row(
    value: str, texts: Sequence[str], words: Mapping[int, str]
) -> tuple[Setting, tuple[Range, ...], tuple[str, ...]]:
    by_word = {word.lower(): float(raw) for raw, word in words.items()}
    ranges, plain = [], []
    for text in texts:
        for piece in re.split(r",\s*", text):
            found = range_of(piece)
            if found is not None:
                ranges.append(found)
            elif piece.lower() in by_word:
                raw = by_word[piece.lower()]
                ranges.append((raw, raw))
            plain.append(piece.lower())
    return value, tuple(ranges), tuple(plain)


def _chooser(message: BusMessage, signal: BusSignal) -> BusSignal | None:
    return message.signal(signal.chooser) if signal.chooser else None


def cycle_ms(group: Group) -> int:
    """How often a group is sent; 0 where that isn't known. [ms]"""
    for rows in table_of(_data()["cycles"], DATA).values():
        found = table_of(rows, DATA).get(str(group.number))
        if found is not None:
            return int(figure(found, DATA))
    return 0


def _known_values(item: Input, number: str, table: str) -> dict[str, tuple[str, ...]]:
    """Values of an input under a standard's parameter, by its name, else by its kind."""
    rows = table_of(_data()[table], DATA).get(number)
    if rows is None:
        return {}
    by_name = table_of(rows, DATA)
    found = by_name.get(item.name, by_name.get(item.kind))
    if found is None:
        return {}
    return {value: _texts(said) for value, said in table_of(found, DATA).items()}


def _texts(plain: Plain) -> tuple[str, ...]:
    return tuple(str(each) for each in plain) if isinstance(plain, list) else (str(plain),)


@cache
def _data() -> dict[str, Plain]:
    return tables_in("coachwright.control", DATA)
