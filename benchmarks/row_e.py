"""Row E: how long does it take to know every lamp's voltage while all flash, and how a duty day goes?"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from tempfile import mkdtemp

import numpy as np
from numpy.typing import NDArray

from benchmarks.long_supply import Vehicle, vehicle
from benchmarks.rows import Agreement, Bench, Job, Outcome, Row, Trial
from benchmarks.spice import flashing, release, run
from benchmarks.timing import interleaved
from coachwright.parts.schema import BatteryPart, BodyPart
from coachwright.parts.store import load_catalogue
from coachwright.power.alternator import Alternator, alternator_of
from coachwright.power.bus import Supply, Tie
from coachwright.power.charge import Battery, battery_of
from coachwright.power.day import Draw, Stretch, Watch, strip
from coachwright.power.day_lot import Lot, run_lot
from coachwright.power.day_run import run_day
from coachwright.power.network import Behaves, solve
from coachwright.power.states import states_of

Floats = NDArray[np.float64]

UNTIL_MS, STEP_MS = 60_000, 5
MOST_APART_V = 1e-5
FIRST_STEP = 200
"""ngspice begins with all waves dark, so its first second isn't looked at."""
ENERGY_S, LOT_N, LOT_S = 5e-3, 10_000, 5.0


# ----------------------------------------------------------------------------------------------------------- flashing
def every_lamp(made: Vehicle) -> Floats:
    """Voltage across each lamp in each step, shape (steps, lamps). [V]"""
    states = states_of(made.waves, until_ms=UNTIL_MS, step_ms=STEP_MS)
    solved = solve(made.nodes_n, made.branches, made.sources, made.sinks, states.levels)
    return np.asarray(solved.across_v[states.which])


def network(behaves: Behaves) -> Callable[[int], Job]:
    """A row's job: a larger vehicle at larger scale."""

    def job(scale: int) -> Job:
        made = vehicle(scale, behaves)
        text = flashing(made.branches, made.sources, made.sinks, made.waves, until_ms=UNTIL_MS, step_ms=STEP_MS)
        folder = Path(mkdtemp(prefix="coachwright-row-e-"))
        states_n = len(states_of(made.waves, until_ms=UNTIL_MS, step_ms=STEP_MS).levels)
        size = f"{made.nodes_n} nodes, {len(made.sinks)} lamps, {states_n} different pictures of 12,000 steps"
        return Job(lambda: every_lamp(made), lambda: run(text, folder), _apart(made), size)

    return job


def _apart(made: Vehicle) -> Callable[[object, object], Agreement]:
    """In the middle of each step, where ngspice's edges are over."""

    def agree(ours: object, theirs: object) -> Agreement:
        assert isinstance(ours, np.ndarray)
        assert isinstance(theirs, dict)
        middle_s = (np.arange(FIRST_STEP, len(ours)) + 0.5) * STEP_MS / 1000.0
        worst_v = 0.0
        for number, sink in enumerate(made.sinks):
            across_v = theirs[f"v({sink.node})"] - theirs[f"v({sink.back})"]
            found = np.interp(middle_s, theirs["time"], across_v)
            worst_v = max(worst_v, float(np.abs(found - ours[FIRST_STEP:, number]).max()))
        allowed = f"{MOST_APART_V * 1000:g} mV allowed"
        return Agreement(worst_v <= MOST_APART_V, f"at most {worst_v * 1000:.2g} mV apart, {allowed}; by {release()}")

    return agree


# ------------------------------------------------------------------------------------------------------------- energy
def _battery_part(name: str) -> BatteryPart:
    part = load_catalogue().get(name)
    assert isinstance(part, BatteryPart)
    return part


@cache
def _alternator() -> Alternator:
    body = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(body, BodyPart)
    assert body.charging is not None
    return alternator_of(body.charging)


WATCHES = (
    Watch("stage one", "main", 12.2, 120.0, 13.2, 60.0),
    Watch("stage two", "main", 11.8, 120.0, 13.2, 60.0, alarms=True),
    Watch("computer", "second", 12.0, 120.0, 13.2, 60.0),
)


def four_hours(second: bool) -> tuple[Stretch, ...]:
    """Two hours with the engine off, one idling hot, and one off again, on one battery or on two."""
    bus = "second" if second else "main"
    draws = (
        Draw("warning", "main", "current", 9.0, (("stage two", 0.6),)),
        Draw("scene", "main", "power", 60.0, (("stage one", 0.0),)),
        Draw("radios", bus, "current", 3.0),  # type: ignore[arg-type]
        Draw("computer", bus, "power", 48.0, (("computer", 0.0),)),  # type: ignore[arg-type]
    )
    idle = Stretch("idle", 3600.0, (*draws, Draw("base", "main", "current", 32.0)), _alternator().idle_rad_s, 93.0)
    return Stretch("off", 7200.0, draws), idle, Stretch("off again", 3600.0, draws)


def energy_run(second: bool) -> Callable[[], object]:
    """The day, laid out by the second."""
    battery = battery_of(_battery_part("agm-95"))
    tie = Tie("isolator", "relay", ohm=0.002, split_v=12.8, split_s=120.0)
    supply = Supply(battery, battery, _alternator(), tie) if second else Supply(battery, None, _alternator())
    stretches = four_hours(second)
    return lambda: strip(run_day(supply, stretches, WATCHES), step_s=1.0)


@cache
def lot() -> tuple[list[Battery], Floats]:
    """Ten thousand batteries of all ages, in heat and cold, half of them flooded; and how full each is."""
    draw = Random(95)
    parts = [_battery_part("agm-95"), _battery_part("flooded-70")]
    batteries = [
        battery_of(parts[number % 2], temperature_degc=draw.uniform(-20.0, 30.0), age_years=draw.uniform(0.0, 5.0))
        for number in range(LOT_N)
    ]
    return batteries, np.array([draw.uniform(0.7, 1.0) for _ in batteries])


def many_batteries() -> Lot:
    """All of them through the same four hours."""
    batteries, shares = lot()
    supply = Supply(batteries[0], None, _alternator())
    return run_lot(batteries, four_hours(False), WATCHES, supply=supply, main_share=shares)


def one_by_one(found: Lot) -> tuple[float, float]:
    """How far hundred of the lot are from their own days, event by event: alarm [s], charge at the end."""
    batteries, shares = lot()
    apart_s, apart = 0.0, 0.0
    for number in range(0, LOT_N, LOT_N // 100):
        supply = Supply(batteries[number], None, _alternator())
        day = run_day(supply, four_hours(False), WATCHES, main_share=float(shares[number]))
        apart = max(apart, abs(float(found.shares[-1, number]) - float(day.main_share[-1])))
        for place, watch in enumerate(WATCHES):
            alone_s = day.first("low", watch.name)
            both = alone_s is not None and np.isfinite(found.low_s[place, number])
            if both and alone_s is not None:
                apart_s = max(apart_s, abs(float(found.low_s[place, number]) - alone_s))
    return apart_s, apart


def seconds() -> Outcome:
    """Medians of five rounds; and how far the lot is from its days one by one."""
    contestants = {
        "one battery": energy_run(False),
        "two batteries": energy_run(True),
        "lot": many_batteries,
    }
    timed = interleaved(contestants, rounds_n=5)
    found = timed["lot"].answer
    assert isinstance(found, Lot)
    alarmed_n, flat_n = int(np.isfinite(found.low_s[1]).sum()), int(np.isfinite(found.lost_s).sum())
    apart_s, apart = one_by_one(found)
    lines = [
        f"{name}: four hours by the second in {timed[name].median_s * 1000:.2f} ms ({ENERGY_S * 1000:g} ms asked)"
        for name in ("one battery", "two batteries")
    ]
    lines.append(
        f"{LOT_N:,} batteries in {timed['lot'].median_s:.2f} s ({LOT_S:g} s asked): "
        f"{alarmed_n:,} alarm within the four hours, {flat_n:,} go flat"
    )
    lines.append(
        f"hundred of them one by one, event by event: stages at most {apart_s:.1f} s apart (20 allowed), "
        f"charge at the end at most {apart:.2%} (0.5 % allowed)"
    )
    met = apart_s <= 20.0 and apart <= 5e-3 and timed["lot"].median_s <= LOT_S
    met = met and all(timed[name].median_s <= ENERGY_S for name in ("one battery", "two batteries"))
    return Outcome(met, tuple(lines))


def _threads() -> str:
    return f"{os.cpu_count()} where the matrix library takes them, and 1"


def _row(name: str, what: str, behaves: Behaves, goal_times: float) -> Bench:
    return Bench(
        name,
        f"voltage at every lamp of a vehicle in each 5 ms of a minute of flashing, loads of constant {what}",
        "ngspice -b on the same netlist: a pulse source for each flash, the voltages at both ends of each lamp kept",
        goal_times=goal_times,
        job=network(behaves),
        packages=("numpy",),
        threads=_threads,
        growth_at_most={2: 4.5, 4: 18.0},
    )


ROWS: list[Row] = [
    _row("E-network-current", "current", "current", 50.0),
    _row("E-network-power", "power", "power", 300.0),
    Trial(
        "E-energy-seconds",
        "a duty day of four hours by the second, with watches, shedding and an isolator; and ten thousand batteries",
        "no peer: seconds",
        "5 ms a day; 5 s the lot",
        seconds,
        packages=("numpy",),
    ),
]
