"""Which single calculations does the control room offer?"""

from __future__ import annotations

from coachwright.control import reckoners_bench  # noqa: F401  registers on import
from coachwright.control.j1939 import Frame, FrameRefused, read_frame, read_parts
from coachwright.control.obd import NoAnswer, read_answer
from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    NUMBER,
    TEXT,
    WORD,
    InputRefused,
    Key,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    reckoner,
)


@reckoner(
    room="control",
    name="obd",
    title="What an answer of on-board diagnostics says",
    keys=(Key("frame", (Part(TEXT),), "bytes of the answer, or the whole frame", "41 0C 0E 70"),),
    results=(
        Result("parameter", "", WORD, "what it is of"),
        Result("value", "", NUMBER, "in the unit below"),
        Result("unit", "", WORD, "of the value"),
        Result("supported", "", WORD, "parameters the vehicle says it answers, for a list of them"),
    ),
    formula="value = (A [x 256 + B]) x scale + offset;  lists: one bit for each parameter, the first bit first",
    valid="Service 01. It knows no brake lamp, turn signal, door or hazard flasher, and it answers slowly.",
    sources=(),
    caution="Take signals for warning lights from the maker's upfitter wires, not from this plug.",
)
def obd(*, frame: str) -> Outcome:
    """One answer, read."""
    try:
        answer = read_answer(frame)
    except NoAnswer as why:
        raise InputRefused(f"obd: {why}") from None
    values: dict[str, Value] = {"parameter": answer.parameter}
    if answer.value is None:
        values["supported"] = " ".join(f"{number:02X}" for number in answer.supported)
    else:
        values |= {"value": answer.value, "unit": answer.unit}
    return Outcome(values, sources=(source_of(answer.cite),))


@reckoner(
    room="control",
    name="j1939",
    title="What a frame of a heavy vehicle's bus says",
    keys=(
        Key("frame", (Part(TEXT),), "as loggers write it", "18FEF100#F7002D10FFFFFFFF", optional=True),
        Key("id", (Part(TEXT),), "29-bit identifier, in place of the frame", "18FEF100", optional=True),
        Key("data", (Part(TEXT),), "its bytes, with id", "F7002D10FFFFFFFF", optional=True),
    ),
    results=(
        Result("group", "", NUMBER, "parameter group number"),
        Result("group_name", "", WORD, "what the group is about, where its layout is public"),
        Result("priority", "", NUMBER, "0 goes first, 7 last"),
        Result("source", "", NUMBER, "address of who sent it"),
        Result("destination", "", NUMBER, "address it is sent to; left out for a frame to all"),
        Result("signals", "", NUMBER, "how many signals of the group are known"),
        Result("SIGNAL", "", WORD, "each of them under its own name: its value, and what it means"),
    ),
    formula="id = priority 2^26 + page 2^24 + format 2^16 + specific 2^8 + source;  value = raw x scale + offset",
    valid="Groups whose layout public pages print; of others group and addresses alone. Eight bytes at most.",
    sources=(
        Source("SAE J1939-21, identifier", "as public code repositories take it apart", "second-hand"),
        Source("SAE J1939-71, not available and error", "as a public code repository prints the ranges", "second-hand"),
    ),
    caution="Not available is no value: it must switch nothing on or off. The maker's upfitter guide decides.",
)
def j1939(*, frame: str | None, id: str | None, data: str | None) -> Outcome:  # noqa: A002  the key's own name
    """One frame, taken apart."""
    if (frame is None) == (id is None):
        raise InputRefused("j1939: write frame=18FEF100#F7002D10FFFFFFFF, or id=18FEF100 with data=F7002D10FFFFFFFF.")
    if frame is not None and data is not None:
        raise InputRefused("j1939: data belongs to id; a frame holds its own. Leave data out.")
    try:
        told = read_frame(frame) if frame is not None else read_parts(id or "", data or "")
    except FrameRefused as why:
        raise InputRefused(f"j1939: {why}") from None
    values: dict[str, Value] = {"group": float(told.group), "priority": float(told.priority)}
    values["source"] = float(told.source)
    if told.destination is not None:
        values["destination"] = float(told.destination)
    if told.known is None:
        note = f"The layout of group {told.group} ({told.group:04X}) is not known here: its bytes are not read."
        return Outcome(values, (note,))
    return _with_signals(told, values)


def _with_signals(told: Frame, values: dict[str, Value]) -> Outcome:
    """Each signal as a result of its own: a number, or the word its code means; nothing where there is none."""
    assert told.known is not None
    values |= {"group_name": told.known.title, "signals": float(len(told.readings))}
    units: dict[str, str] = {}
    details: dict[str, dict[str, str]] = {}
    for reading in told.readings:
        signal = reading.signal
        key = signal.name.replace("-", "_")
        worded = not signal.is_number and reading.meaning not in _NO_VALUE
        values[key] = reading.meaning if worded else reading.value
        units[key] = signal.unit
        details[key] = {"suspect parameter": str(signal.suspect)}
        if reading.meaning:
            details[key]["meaning"] = reading.meaning
    notes = (told.known.mind,) if told.known.mind else ()
    return Outcome(values, notes, units=units, details=details, sources=(source_of(told.known.cite),))


_NO_VALUE = frozenset({"not available", "error", "not in this frame"})
