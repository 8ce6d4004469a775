"""What of a duty day does the lead have to know? When the alarm comes, what is shed, whether it still starts.

Findings PWR-042 to PWR-051. All of them rest on a model of batteries and on loads as the parts say; a test on the
vehicle wins. Each is told once, at the situation in which it comes about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.power.alternator import beyond_curve
from coachwright.power.bus import Supply
from coachwright.power.day import Day, Stretch, Watch, restart_lost_s, shed_at
from coachwright.power.supply_of import Described

_MOST_NAMED = 4


def findings_supply(described: Described, *, temperature_degc: float) -> tuple[Finding, ...]:
    """What is missing in the description of a supply before any day can be gone through."""
    supply = described.supply
    if supply is None:
        return (_no_battery(),)
    batteries = [("vehicle.body", supply.main)]
    if supply.second is not None:
        batteries.append((described.second_path or "vehicle.body", supply.second))
    return tuple(
        Finding(
            "PWR-050",
            "no-charge-in-frost",
            "warning",
            "{battery} takes no charge at {temperature}: one of its kind is charged only above 0 degC.",
            {"battery": battery.name, "temperature": Quantity(temperature_degc, "temperature")},
            about=path,
            fix=Fix("Put it where it stays warm, or take one of another kind."),
        )
        for path, battery in batteries
        if not battery.charges
    )


def findings_day(
    supply: Supply, stretches: Sequence[Stretch], watches: Sequence[Watch], day: Day
) -> tuple[Finding, ...]:
    """What a day that was gone through brings up, in the order of its stretches."""
    return (
        *_ended(stretches, day),
        *_alarms(stretches, watches, day),
        *_restart(supply, stretches, watches, day),
        *_with_engine(supply, stretches, watches, day),
    )


def _no_battery() -> Finding:
    return Finding(
        "PWR-049",
        "no-battery-described",
        "note",
        "The body names no battery, so no day can be worked out for it.",
        about="vehicle.body",
        fix=Fix("Say in the body's file which battery it comes with, and what its alternator gives."),
    )


def _ended(stretches: Sequence[Stretch], day: Day) -> Iterator[Finding]:
    for event in day.events:
        if event.what not in ("flat", "collapsed"):
            continue
        stretch = stretches[int(day.stretch[-1])]
        after = Quantity(event.at_s - _begins_s(day, int(day.stretch[-1])), "time")
        if event.what == "flat":
            yield Finding(
                "PWR-042",
                "battery-goes-flat",
                "warning",
                "{battery} is flat after {after} of {situation}.",
                {"battery": event.name, "after": after, "situation": stretch.name},
                about=f"situations.{stretch.name}",
                fix=Fix("Let more be shed sooner, run the engine or plug in, or fit a larger battery."),
            )
        else:
            yield Finding(
                "PWR-043",
                "supply-collapses",
                "warning",
                "After {after} of {situation} no voltage feeds all that is on.",
                {"after": after, "situation": stretch.name},
                about=f"situations.{stretch.name}",
                fix=Fix("Let loads be shed before, or take some of them off this battery."),
            )


def _alarms(stretches: Sequence[Stretch], watches: Sequence[Watch], day: Day) -> Iterator[Finding]:
    told: set[tuple[int, str]] = set()
    alarms = {watch.name for watch in watches if watch.alarms}
    for event in day.events:
        number = _stretch_at(day, event.at_s)
        if event.what != "low" or event.name not in alarms or (number, event.name) in told:
            continue
        told.add((number, event.name))
        stretch = stretches[number]
        shed = shed_at(day, stretch, event.at_s)
        yield Finding(
            "PWR-044",
            "alarm-comes",
            "note",
            "In {situation} the low-voltage alarm ({watch}) comes after {after}; shed by then: {shed}.",
            {
                "situation": stretch.name,
                "watch": event.name,
                "after": Quantity(event.at_s - _begins_s(day, number), "time"),
                "shed": _some(shed) if shed else "nothing",
            },
            about=f"situations.{stretch.name}",
        )


def _restart(supply: Supply, stretches: Sequence[Stretch], watches: Sequence[Watch], day: Day) -> Iterator[Finding]:
    lost_s = restart_lost_s(supply, day)
    if lost_s is None:
        return
    number = _stretch_at(day, lost_s)
    stretch = stretches[number]
    after = Quantity(lost_s - _begins_s(day, number), "time")
    yield Finding(
        "PWR-045",
        "no-start-counted-on",
        "warning",
        "After {after} of {situation} a start of the engine is no longer counted on.",
        {"after": after, "situation": stretch.name},
        about=f"situations.{stretch.name}",
        fix=Fix("Keep loads off the battery that starts, let them be shed sooner, or run the engine."),
    )
    warned_s = [day.first("low", watch.name) for watch in watches if watch.alarms]
    first_s = min((each for each in warned_s if each is not None), default=None)
    if first_s is None or first_s > lost_s:
        yield Finding(
            "PWR-046",
            "alarm-after-the-start-is-lost",
            "warning",
            "In {situation} the start is lost after {after}, and {alarm}.",
            {
                "situation": stretch.name,
                "after": after,
                "alarm": "no alarm comes"
                if first_s is None
                else f"the alarm comes {(first_s - lost_s) / 60.0:.0f} min later",
            },
            about=f"situations.{stretch.name}",
            fix=Fix("Let the alarm look at the battery that starts, at a higher voltage."),
        )


def _with_engine(supply: Supply, stretches: Sequence[Stretch], watches: Sequence[Watch], day: Day) -> Iterator[Finding]:
    alternator = supply.alternator
    if alternator is None:
        return
    for number, stretch in enumerate(stretches):
        if not stretch.engine_rad_s:
            continue
        rows = np.flatnonzero(day.stretch == number)
        if not rows.size:
            continue
        last = int(rows[-1])
        about = f"situations.{stretch.name}"
        given_a = float(day.main_a[last] + day.second_a[last])
        if given_a > 0.05:
            yield Finding(
                "PWR-047",
                "engine-does-not-carry-it",
                "warning",
                "In {situation}, at {heat}, the alternator gives {alternator}, the batteries {batteries} besides.",
                {
                    "situation": stretch.name,
                    "alternator": Quantity(float(day.source_a[last]), "current"),
                    "batteries": Quantity(given_a, "current"),
                    "heat": Quantity(stretch.under_hood_degc, "temperature"),
                },
                about=about,
                margin=Quantity(-given_a, "current"),
                fix=Fix("Raise the idle, shed loads, or order the larger alternator."),
            )
        beyond = beyond_curve(alternator, engine_rad_s=stretch.engine_rad_s, temperature_degc=stretch.under_hood_degc)
        if beyond:
            yield Finding(
                "PWR-048",
                "alternator-beyond-its-curve",
                "note",
                "In {situation} the alternator turns {beyond}; what it gives there is carried on from the curve.",
                {"situation": stretch.name, "beyond": beyond},
                about=about,
                fix=Fix("Take a sheet that goes so far, or measure it on the vehicle."),
            )
        holds_v = alternator.voltage_v(stretch.under_hood_degc)
        for watch in watches:
            if watch.above_v >= holds_v and day.first("low", watch.name) is not None:
                yield Finding(
                    "PWR-051",
                    "shed-does-not-come-back",
                    "warning",
                    "{watch} is over above {above}, and in {situation} the regulator holds {holds}.",
                    {
                        "watch": watch.name,
                        "above": Quantity(watch.above_v, "voltage"),
                        "situation": stretch.name,
                        "holds": Quantity(holds_v, "voltage"),
                    },
                    about=about,
                    fix=Fix("Let it come back at a lower voltage, still above what a rested battery shows."),
                )


def _stretch_at(day: Day, at_s: float) -> int:
    """Number of the stretch that has begun last by then; of two at one moment the one that ends there."""
    return int(day.stretch[max(0, int(np.searchsorted(day.time_s, at_s, side="left")))])


def _begins_s(day: Day, number: int) -> float:
    return float(day.time_s[int(np.flatnonzero(day.stretch == number)[0])])


def _some(names: Sequence[str]) -> str:
    more = len(names) - _MOST_NAMED
    return ", ".join(names[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
