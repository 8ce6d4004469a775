"""Which single calculations does the control room offer?"""

from __future__ import annotations

from coachwright.control.obd import NoAnswer, read_answer
from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import NUMBER, TEXT, WORD, InputRefused, Key, Outcome, Part, Result, Value, reckoner


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
