"""Vehicles of one job side by side: one line for each set of choices, in text and for programs.

See Also
--------
coachwright.proof.alike : where the verdicts come from.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coachwright.build.choices import spoken_choices, spoken_vehicles
from coachwright.build.model import Model
from coachwright.kit.finding import Finding
from coachwright.look.report import answer_sentence
from coachwright.look.sarif import sarif
from coachwright.proof.alike import AlikeVerdict, JobVerdict
from coachwright.proof.as_json import as_json

MOST_NAMED = 4


def alike_lines(job: JobVerdict) -> Iterator[str]:
    """Which vehicles the verdict above is on, then one line for each other set of choices."""
    if job.based is None:
        return
    vehicles = spoken_vehicles(job.based)
    which = f"vehicle{'s' if len(job.based.numbers) > 1 else ''} {vehicles}" if vehicles else "none of the vehicles"
    yield f"This is the base, with no option chosen: {which}."
    for other in job.others:
        yield (
            f"Vehicle{'s' if len(other.vehicles.numbers) > 1 else ''} {spoken_vehicles(other.vehicles)}, "
            f"{spoken_choices(other.vehicles.differs, ())}: {_answer(other)}"
        )


def serial_line(model: Model) -> str:
    """Which vehicle a verdict is on; "" for the base."""
    if not model.serial:
        return ""
    name = next((each.name for each in model.serials if str(each.number) == model.serial), "")
    base = tuple((option.name, option.base) for option in model.options)
    called = f" ({name})" if name else ""
    return f"This is vehicle {model.serial}{called} of {model.count}, with {spoken_choices(model.choices, base)}."


def job_json(job: JobVerdict) -> dict[str, Any]:
    """The verdict on the base, and under ``alike`` each other set of choices with its whole verdict."""
    shown = as_json(job.base)
    if job.based is not None:
        shown["base-of"] = list(job.based.numbers)
        shown["alike"] = [
            {
                "vehicles": list(each.vehicles.numbers),
                "names": {str(number): name for number, name in each.vehicles.named},
                "choices": dict(each.vehicles.differs),
                "verdict": as_json(each.verdict),
            }
            for each in job.others
        ]
    return shown


def job_sarif(job: JobVerdict) -> dict[str, Any]:
    """A log with a run for the base, and one for each other set of choices, which its automation id names.

    References
    ----------
    .. [1] SARIF Version 2.1.0, Errata 01: 3.13.4 runs, 3.14.3 automationDetails, 3.17.3 id.
    """
    log = sarif(job.base)
    for other in job.others:
        (run,) = sarif(other.verdict)["runs"]
        vehicles = ",".join(map(str, other.vehicles.numbers))
        log["runs"].append({**run, "automationDetails": {"id": f"vehicles {vehicles}/"}})
    return log


def _answer(other: AlikeVerdict) -> str:
    said = answer_sentence(other.verdict)
    if other.more:
        said = f"{said} More than in the base: {_listed(other.more)}."
    if other.fewer:
        said = f"{said} Not there: {_listed(other.fewer)}."
    return said if other.more or other.fewer else f"{said} The same findings as the base."


def _listed(findings: tuple[Finding, ...]) -> str:
    named = [f"{each.code} {each.about}".rstrip() for each in findings[:MOST_NAMED]]
    more = f" and {len(findings) - MOST_NAMED} more" if len(findings) > MOST_NAMED else ""
    return f"{', '.join(named)}{more}"
