"""What is told of supply and wires without a rule that asks for it.

See Also
--------
coachwright.proof.verdict : who asks.
"""

from __future__ import annotations

from dataclasses import replace

from coachwright.build.model import Model
from coachwright.kit.finding import Finding
from coachwright.power.as_settled import settled_harness
from coachwright.power.charge import SHEET_DEGC
from coachwright.power.duty import duty_of, lasting
from coachwright.power.findings_day import findings_day, findings_supply
from coachwright.power.found_loads import findings_channels, findings_feeds, findings_loads
from coachwright.power.found_sizes import findings_sizes
from coachwright.power.harness_findings import findings_harness
from coachwright.power.loads import controllers_of
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import network_findings


def power_findings(model: Model) -> tuple[Finding, ...]:
    """Loads and feeds, channels, harness, wire and fuse, batteries over a day, voltages.

    A build that says nothing yet of where its power comes from is told so once, and nothing of it is worked out: who
    begins with the lamps isn't stopped by wires he hasn't come to.
    """
    if not model.feeds and not controllers_of(model):
        return tuple(replace(each, severity="warning") for each in findings_loads(model) if each.code == "PWR-001")
    supply = supply_of(model)
    temperature_degc = SHEET_DEGC
    days = [duty_of(model, name) for name in lasting(model)]
    return (
        *findings_loads(model),
        *findings_feeds(model),
        *findings_channels(model),
        *findings_harness(model, settled_harness(model)),
        *findings_sizes(model),
        *findings_supply(supply, temperature_degc=temperature_degc),
        *(
            finding
            for duty in days
            if duty.day is not None and supply.supply is not None
            for finding in findings_day(supply.supply, duty.stretches, duty.watches, duty.day)
        ),
        *(finding for situation in model.situations for finding in network_findings(model, situation.name)),
    )
