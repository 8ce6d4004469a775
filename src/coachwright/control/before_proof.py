"""What is wrong with the control of a build that nobody needs a promise to see?

Functions that can want one head with no word between them, stops of what the road needs, lamps that never burn,
conditions that can't be true, situations that can't be: findings CTL-001 to CTL-029.

See Also
--------
coachwright.control.found_as_written, coachwright.control.found_by_asking, coachwright.control.found_in_situations
"""

from __future__ import annotations

from coachwright.build.model import Model
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.found_as_written import rank_findings, written_findings
from coachwright.control.found_by_asking import asked_findings
from coachwright.control.found_in_situations import situation_findings
from coachwright.control.machine import build_machine
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.once import once


def before_proof(model: Model) -> tuple[Finding, ...]:
    """Everything found, by code; remembered until control itself is changed."""
    return _before_proof(control_of(model))


@once(max_bytes=8_000_000)
def _before_proof(control: Control) -> tuple[Finding, ...]:
    model = model_of(control)
    found = list(rank_findings(model))
    if any(each.about != "ranks" for each in found):
        return tuple(found)
    found += written_findings(model)
    try:
        machine = build_machine(model)
    except ValueError as error:
        found.append(_not_understood(str(error)))
        return tuple(found)
    moment = Moment(model, machine)
    asked, unreached = asked_findings(moment)
    found += asked
    found += situation_findings(moment, unreached)
    return tuple(sorted(found, key=lambda each: (each.code, each.about, sorted(map(str, each.values.items())))))


def _not_understood(why: str) -> Finding:
    return Finding(
        "CTL-028",
        "control-not-understood",
        "error",
        "The control of this build can't be put together: {why}.",
        {"why": why},
        fix=Fix("Mend what the file door says about conditions and words first."),
    )
