"""Does a piece of equipment hold together? Controllers, sirens, docks, emitters, radios and antennas."""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.parts.equipment import (
    AlarmPart,
    ControllerPart,
    DevicePart,
    DockPart,
    EmitterPart,
    FedPart,
    HousedPart,
    SirenPart,
    SpeakerPart,
)
from coachwright.parts.problem import PartProblem, above_nothing, doubt, not_below_nothing, rising, voltages
from coachwright.parts.radio import AntennaPart, RadioPart
from coachwright.parts.wiring_checks import rerating_problems

_QUARTER_TURN = 1.5707963267948966

Equipment = (
    ControllerPart | SirenPart | SpeakerPart | AlarmPart | DevicePart | DockPart | EmitterPart | RadioPart | AntennaPart
)


def equipment_problems(part: Equipment) -> Iterator[PartProblem]:
    """Everything in a piece of equipment that can't be so, in the order of the file."""
    if isinstance(part, HousedPart):
        yield from _housing(part)
    match part:
        case ControllerPart():
            yield from _controller(part)
        case SirenPart():
            yield from above_nothing(part, "power", "current", "speakers")
        case SpeakerPart():
            yield from above_nothing(part, "power")
        case AlarmPart():
            yield from above_nothing(part, "current")
        case DevicePart():
            yield from not_below_nothing(part, "current")
            yield from fed_problems(part)
        case DockPart():
            yield from above_nothing(part, "current")
            yield from fed_problems(part)
        case EmitterPart():
            yield from _emitter(part)
        case RadioPart():
            yield from _radio(part)
        case AntennaPart():
            yield from above_nothing(part, "band_low", "height")
            yield from not_below_nothing(part, "width", "ground_plane", "cable_length", "hole")
            yield from rising(part, "band_low", "band_high")


def _controller(part: ControllerPart) -> Iterator[PartProblem]:
    """Banks have a size and a current, or there are none."""
    yield from above_nothing(part, "channels", "channel_current", "total_current")
    yield from voltages(part.least_voltage, part.least_voltage, part.most_voltage)
    if part.bank_channels:
        yield from above_nothing(part, "bank_current")
    elif part.bank_current:
        why = "A bank is a number of channels, and none is said."
        yield PartProblem(("bank-current",), "PRT-043", "figure-not-possible", why, "Give bank-channels too.")
    yield from rerating_problems(part.rerating)


def _housing(part: HousedPart) -> Iterator[PartProblem]:
    """All three figures, or none: two sides of a box close nothing."""
    yield from not_below_nothing(part, "width", "height", "depth")
    given = [field for field in ("width", "height", "depth") if getattr(part, field)]
    if 0 < len(given) < 3:
        why = "A housing has a width, a height and a depth."
        yield PartProblem((given[0],), "PRT-105", "piece-not-closed", why, "Give all three, or none.", on_key=True)


def fed_problems(part: FedPart) -> Iterator[PartProblem]:
    """What holds for whatever is fed: its voltages in order where the sheet gives them, nothing drawn below nothing."""
    yield from not_below_nothing(part, "standby")
    yield from above_nothing(part, "test_voltage")
    if part.least_voltage or part.most_voltage:
        most = part.most_voltage or max(part.test_voltage, part.least_voltage)
        yield from voltages(part.least_voltage or part.test_voltage, part.test_voltage, most)


def _emitter(part: EmitterPart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "current", "reach")
    if not 0 < part.half_width <= _QUARTER_TURN:
        why = "An emitter looks ahead: from its axis to its edge it is more than nothing, at most 90 deg."
        yield PartProblem(("half-width",), "PRT-043", "figure-not-possible", why)
    yield from fed_problems(part)


def _radio(part: RadioPart) -> Iterator[PartProblem]:
    yield from above_nothing(part, "band_low", "transmit_power", "current", "receive_current")
    yield from rising(part, "band_low", "band_high")
    yield from fed_problems(part)
    drawn_w = part.current * part.test_voltage
    if 0 < drawn_w < part.transmit_power:
        yield doubt(
            ("current",),
            f"It sends {part.transmit_power:g} W and draws {drawn_w:.0f} W.",
            "Give the current while it sends at full power.",
        )
    if part.receive_current > part.current:
        yield doubt(("receive-current",), "It draws more while it listens than while it sends.")
