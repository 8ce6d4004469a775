"""Does a battery, or what charges, parts and transforms it, hold together?"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.parts.equipment_checks import fed_problems
from coachwright.parts.problem import PartProblem, above_nothing, doubt, not_below_nothing, rising
from coachwright.parts.supply import BatteryPart, ChargerPart, DisconnectPart, InverterPart, IsolatorPart

RESERVE_CURRENT_A = 25.0
"""At which reserve is counted, down to 10.5 V and 27 degC. [1]"""

RESERVE_LEAST_SHARE, RESERVE_MOST_SHARE = 0.45, 1.0
"""Charge of the reserve against the 20 h capacity: the faster it is drawn, the less a lead battery gives. [2]"""

CRANKING_DROP_V = 12.6 - 7.2
"""What a battery loses at most under its cranking current, cold. [3]"""

INVERTER_SHARE = 0.12
"""How far power, efficiency and current of an inverter may part before somebody looks again. Common practice."""

# References
# ----------
# [1] Reserve capacity as a chassis maker's service page defines it: minutes at 25 A, 80 degF, to 10.5 V.
# [2] Common practice: 20 h capacity is about 0.6 A h for each minute of reserve, so reserve gives 0.69 of it.
# [3] Cranking current: for 30 s at 0 degF, not below 7.2 V (as a service page defines it).


def supply_problems(
    part: BatteryPart | ChargerPart | InverterPart | DisconnectPart | IsolatorPart,
) -> Iterator[PartProblem]:
    """Everything in a part of the supply that can't be so, or is worth a second look, in the order of the file."""
    match part:
        case BatteryPart():
            yield from _battery(part)
        case ChargerPart():
            yield from above_nothing(part, "current", "stages", "input_voltage", "input_current")
            yield from fed_problems(part)
            if part.current * part.test_voltage > part.input_voltage * part.input_current:
                yield doubt(
                    ("input-current",),
                    f"It gives {part.current * part.test_voltage:.0f} W and takes "
                    f"{part.input_voltage * part.input_current:.0f} W.",
                    "Give the input at full output.",
                )
        case InverterPart():
            yield from _inverter(part)
        case DisconnectPart():
            yield from above_nothing(part, "current", "poles")
            yield from _cranks(part)
        case IsolatorPart():
            yield from above_nothing(part, "current")
            yield from not_below_nothing(part, "drop", "join", "split")
            yield from _cranks(part)
            if part.join or part.split:
                yield from rising(part, "split", "join")


def _battery(part: BatteryPart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "capacity", "resistance", "length", "width", "height")
    yield from not_below_nothing(part, "reserve", "cranking", "most_charge")
    rest = part.open_voltage
    if not 0 < rest.empty < rest.full:
        why = f"At rest it has {rest.full:g} V full and {rest.empty:g} V empty."
        yield PartProblem(("open-voltage",), "PRT-056", "figures-out-of-order", why, "Full is above empty.")
    share = part.reserve * RESERVE_CURRENT_A / part.capacity if min(part.reserve, part.capacity) > 0 else 0.0
    if share and not RESERVE_LEAST_SHARE <= share <= RESERVE_MOST_SHARE:
        yield doubt(
            ("reserve",),
            f"{part.reserve / 60:.0f} min at 25 A are {part.reserve * RESERVE_CURRENT_A / 3600:.0f} Ah, "
            f"the capacity is {part.capacity / 3600:.0f} Ah.",
            "Give the 20 h capacity and the minutes at 25 A; they are most often 60 to 80 % of it.",
        )
    if part.cranking > 0 and part.resistance > CRANKING_DROP_V / part.cranking:
        yield doubt(
            ("resistance",),
            f"With {part.resistance * 1000:g} mohm it could not give {part.cranking:g} A and stay above 7.2 V.",
            "Give the resistance of a full battery at 25 degC.",
        )


def _inverter(part: InverterPart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "power", "current", "output_voltage", "output_rate")
    yield from not_below_nothing(part, "idle")
    yield from fed_problems(part)
    if not 0 < part.efficiency < 1:
        why = "It gives more than nothing and less than it takes."
        yield PartProblem(("efficiency",), "PRT-043", "figure-not-possible", why, "Write a share like 88 %.")
        return
    if min(part.test_voltage, part.current) <= 0:
        return
    needed_a = part.power / (part.efficiency * part.test_voltage)
    if abs(needed_a / part.current - 1) > INVERTER_SHARE:
        yield doubt(
            ("current",),
            f"For {part.power:g} W at {part.efficiency:.0%} it needs {needed_a:.0f} A at {part.test_voltage:g} V; "
            f"{part.current:g} A stands here.",
            "Say at which voltage the current was taken: test-voltage.",
        )


def _cranks(part: DisconnectPart | IsolatorPart) -> Iterator[PartProblem]:
    yield from not_below_nothing(part, "cranking", "standby")
    if 0 < part.cranking < part.current:
        yield doubt(("cranking",), "It carries less for 30 s than for good.", "Leave cranking away if no starter may.")
