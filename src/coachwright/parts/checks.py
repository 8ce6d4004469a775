"""Does a part hold together? What its fields can't say one by one: figures that can be, order that counts.

Checks of a lamp are here; the others stand beside the kinds they check (supply_checks, wiring_checks...).
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.parts.base import PartBase
from coachwright.parts.body import BodyPart
from coachwright.parts.body_checks import body_problems
from coachwright.parts.carried import ConsolePart, ItemPart, LockerPart, MountPart, TrayPart
from coachwright.parts.equipment_checks import equipment_problems
from coachwright.parts.finish import FastenerPart, FilmPart, PanePart
from coachwright.parts.lamp import LampPart
from coachwright.parts.lamp_checks import output_problems
from coachwright.parts.problem import PartProblem, above_nothing, voltages
from coachwright.parts.schema import AnyPart
from coachwright.parts.shelf_checks import (
    carried_problems,
    fastener_problems,
    film_problems,
    labour_problems,
    pane_problems,
)
from coachwright.parts.supply import BatteryPart, ChargerPart, DisconnectPart, InverterPart, IsolatorPart
from coachwright.parts.supply_checks import supply_problems
from coachwright.parts.wiring import BreakerPart, ConnectorPart, FittingPart, FusePart, RelayPart, WirePart
from coachwright.parts.wiring_checks import wiring_problems
from coachwright.parts.work import LabourPart

_STEEPEST = 10.0
"""Light of no lamp goes with a higher power of the voltage."""


def part_problems(part: AnyPart) -> tuple[PartProblem, ...]:
    """Everything that can't be so, in the order of the file."""
    return tuple(_problems(part))


def _problems(part: AnyPart) -> Iterator[PartProblem]:
    yield from _figures(part)
    match part:
        case LampPart():
            yield from _lamp(part)
        case BodyPart():
            yield from body_problems(part)
            for name, lamp in part.lamps.items():
                for number, head in enumerate(lamp.heads, start=1):
                    yield from output_problems(head.colours, ("lamps", name, "heads", str(number), "colours"))
        case BatteryPart() | ChargerPart() | InverterPart() | DisconnectPart() | IsolatorPart():
            yield from supply_problems(part)
        case WirePart() | FusePart() | BreakerPart() | RelayPart() | ConnectorPart() | FittingPart():
            yield from wiring_problems(part)
        case ConsolePart() | TrayPart() | LockerPart() | MountPart() | ItemPart():
            yield from carried_problems(part)
        case FilmPart():
            yield from film_problems(part)
        case PanePart():
            yield from pane_problems(part)
        case FastenerPart():
            yield from fastener_problems(part)
        case LabourPart():
            yield from labour_problems(part)
        case _:
            yield from equipment_problems(part)


def _figures(part: PartBase) -> Iterator[PartProblem]:
    figures = part.figures
    if not figures.source.strip():
        yield PartProblem(
            ("figures", "source"),
            "PRT-041",
            "source-not-named",
            "A figure whose source is unnamed proves nothing.",
            "Name the sheet, the measurement, or say that it is invented.",
        )
    if figures.invented and figures.status == "read":
        yield PartProblem(
            ("figures", "status"),
            "PRT-042",
            "invented-yet-read",
            "Figures that are made up can't have been read on a printed page.",
            "Write house or draft.",
        )
    if part.mass < 0:
        yield PartProblem(("mass",), "PRT-043", "figure-not-possible", "A mass can't be below nothing.")
    if part.pack < 1:
        yield PartProblem(("pack",), "PRT-043", "figure-not-possible", "There is one in it at least.")


def _lamp(part: LampPart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "width", "height", "depth")
    yield from voltages(part.least_voltage, part.test_voltage, part.most_voltage)
    exponent = part.voltage_exponent
    if exponent is not None and not 0 <= exponent <= _STEEPEST:
        why = (
            f"Light that goes with the power {exponent:g} of the voltage is no lamp: a filament's goes with about 3.4."
        )
        yield PartProblem(
            ("voltage-exponent",), "PRT-043", "figure-not-possible", why, "Write 0 for one that holds it."
        )
    yield from output_problems(part.colours, ("colours",))
    for number, head in enumerate(part.heads, start=1):
        if not head.colours:
            yield PartProblem(
                ("heads", str(number)),
                "PRT-050",
                "head-without-colour",
                f"Head {number} has no colour.",
                "Write colours there, or at the lamp for all of its heads.",
            )
        if head.colours != part.colours:
            yield from output_problems(head.colours, ("heads", str(number), "colours"))
        if abs(head.offset) > part.width / 2 + 1e-9 or abs(head.up) > part.height / 2 + 1e-9:
            yield PartProblem(
                ("heads", str(number), "offset"),
                "PRT-044",
                "head-outside-lamp",
                f"Head {number} sits beyond the edge of a lamp {_mm(part.width)} wide and {_mm(part.height)} high.",
                "Count offset and up from the lamp's middle.",
            )
    for number, (head, following) in enumerate(zip(part.heads, part.heads[1:], strict=False), start=2):
        if (following.offset, following.up) == (head.offset, head.up) and (following.turn, following.tilt) == (
            head.turn,
            head.tilt,
        ):
            why = f"Heads {number - 1} and {number} are at one spot and look one way."
        elif (-following.offset, following.up) < (-head.offset, head.up):
            why = f"Head {number} is left of head {number - 1}."
        else:
            continue
        yield PartProblem(
            ("heads", str(number)),
            "PRT-031",
            "heads-out-of-order",
            why,
            "List the heads from left to right, seen from behind the lamp (largest offset first), then low to high.",
        )


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.0f} mm"
