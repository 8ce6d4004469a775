"""What was measured on the bench and how each reading ended, as text and JSON.

See Also
--------
coachwright.control.readings : how they are judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coachwright.build.model import Model
from coachwright.control.readings import JudgedReading, JudgedReadings
from coachwright.kit.counted import counted
from coachwright.look.bench_measured import WIDTH, number, rounded, wrapped
from coachwright.look.cautions import ESTIMATE
from coachwright.look.cells import finding_text
from coachwright.proof.as_json import finding_json

_WORDS = {
    "pass": "pass",
    "draft": "(holds a draft)",
    "not sure": "NOT SURE",
    "fail": "FAIL",
    "open": "open",
    "not read": "not read",
}


def readings_lines(model: Model, judged: JudgedReadings, texts: Mapping[str, str]) -> Iterator[str]:
    """The readings as a person reads them. texts : of the file of readings, by its name, to quote from."""
    title = f"Readings: {model.job.name or model.file}" + (f", serial {model.serial}" if model.serial else "")
    yield title
    yield "=" * len(title)
    width = max((len(each.field.name) for each in judged.fields), default=0)
    for each in judged.fields:
        yield f"  {each.field.name:<{width}}  {_measured(each):<28}{_WORDS[each.state]}"
        if each.open_why and each.reading is not None:
            yield from wrapped(f"{each.open_why}.", "      ")
    yield ""
    for finding in judged.findings:
        yield finding_text(finding, texts=texts, width=WIDTH)
        yield ""
    yield from wrapped(summary(judged))
    yield from wrapped(ESTIMATE)


def _measured(each: JudgedReading) -> str:
    if each.value is None or each.off_by is None:
        return ""
    return f"{number(each.value)} {each.unit} +- {number(each.off_by)}"


def summary(judged: JudgedReadings) -> str:
    """How many ended how, in one sentence; what wasn't read counts as not known."""
    drafts = judged.count("draft")
    ended = [
        f"{counted(judged.count('pass'), 'reading')} {'passes' if judged.count('pass') == 1 else 'pass'}",
        *([f"{drafts} {'holds' if drafts == 1 else 'hold'} a limit whose page nobody has read"] if drafts else []),
        f"{judged.count('fail')} {'fails' if judged.count('fail') == 1 else 'fail'}",
        f"{judged.count('not sure')} nobody can be sure of",
        f"{judged.count('open')} with nothing to hold them against, or read so that nothing can be said",
    ]
    missing = judged.count("not read")
    left = f" {counted(missing, 'field')} {'was' if missing == 1 else 'were'} not read." if missing else ""
    answer = "Every limit was read and holds." if judged.all_hold else "Not every limit was read and holds."
    return f"{answer} {'; '.join(ended)}.{left}"


def readings_json(model: Model, judged: JudgedReadings) -> dict[str, Any]:
    """The same as data."""
    return {
        "job": model.job.name,
        "serial": model.serial,
        "all-hold": judged.all_hold,
        "fields": [
            {
                "name": each.field.name,
                "state": each.state,
                "measured": rounded(each.value),
                "off-by": rounded(each.off_by),
                "unit": each.unit,
                "read": rounded(each.reading.value if each.reading else None),
                "dark": rounded(each.reading.dark if each.reading else None),
                "note": each.reading.note if each.reading else "",
                "open": each.open_why,
            }
            for each in judged.fields
        ],
        "findings": [finding_json(each) for each in judged.findings],
    }
