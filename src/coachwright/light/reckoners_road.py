"""Single calculations: from where on the road must a warning be seen?"""

from __future__ import annotations

from dataclasses import replace

from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    POSITIVE,
    YES_NO,
    Bounds,
    InputRefused,
    Key,
    Outcome,
    Result,
    Source,
    Value,
    choice,
    one,
    reckoner,
)
from coachwright.light import crossing

_TEXAS = Source("Texas DOT, Roadway Design Manual", "4.11.1", "read")
_GREEN_BOOK = Source(
    "AASHTO, A Policy on Geometric Design of Highways and Streets", "table 3-1, grades, metric", "memory"
)
_SYSTEM = replace(
    choice("system", ("metric", "us"), "printed formula; us when the speed is in mph, unless said", default="metric"),
    default_by_unit=("speed", {"mph": "us", "ft/s": "us"}),
)
_CAUTION = "Design figures for most drivers on wet roads; the one ahead may need longer."


def _speed(name: str, about: str) -> Key:
    return one(name, "speed", about, example="35 mph", bounds=NOT_NEGATIVE)


def _units(system: str, *names: str) -> dict[str, str]:
    return dict.fromkeys(names, "ft" if system == "us" else "m")


@reckoner(
    room="light",
    name="stopping-distance",
    title="Distance from seeing a reason to stop until standing",
    keys=(
        _speed("speed", "of the vehicle"),
        one(
            "grade",
            "share",
            "rise per length, downhill negative",
            example="-6 %",
            default="0 %",
            bounds=Bounds("from -30 to 30 %", least=-0.3, most=0.3),
        ),
        _SYSTEM,
    ),
    results=(
        Result("distance", "m", "length", "as worked out; ft in the us system"),
        Result("design_distance", "m", "length", "rounded up to the next 5; ft in the us system"),
        Result("time", "s", "time", "until standing"),
    ),
    formula="metric  0.278 V t + 0.039 V^2 / a   (V in km/h, a = 3.4 m/s2)\n"
    "us      1.47 V t + 1.075 V^2 / a    (V in mph, a = 11.2 ft/s2)\n"
    "t = 2.5 s;  on a grade G the braking part is  V^2 / (254 (a/9.81 + G))  or  V^2 / (30 (a/32.2 + G))",
    valid="Wet road, most drivers, 20 to 130 km/h or 15 to 80 mph as tabulated.",
    sources=(_TEXAS, _GREEN_BOOK),
    caution=_CAUTION,
)
def stopping_distance(*, speed: float, grade: float, system: crossing.System) -> Outcome:
    """Stopping sight distance by the printed formula."""
    try:
        stop = crossing.stopping(speed, grade_share=grade, system=system)
    except ValueError as why:
        raise InputRefused(f"stopping-distance: 'grade={100 * grade:g} %': {why}. Write a gentler grade.") from None
    values: dict[str, Value] = {"distance": stop.distance_m, "design_distance": stop.design_m, "time": stop.time_s}
    return Outcome(values, units=_units(system, "distance", "design_distance"))


@reckoner(
    room="light",
    name="crossing",
    title="Where two vehicles on crossing roads are when the other has to decide",
    keys=(
        _speed("own_speed", "of the warning vehicle"),
        _speed("cross_speed", "of the one that crosses"),
        one(
            "corner_from_cross",
            "length",
            "a building's corner, from the path of the one that crosses",
            example="20 m",
            optional=True,
            bounds=NOT_NEGATIVE,
        ),
        one(
            "corner_from_own",
            "length",
            "the same corner, from the own path",
            example="15 m",
            optional=True,
            bounds=NOT_NEGATIVE,
        ),
    ),
    results=(
        Result("own_distance", "m", "length", "warning vehicle to the crossing"),
        Result("cross_distance", "m", "length", "the other to the crossing: its stopping distance"),
        Result("range", "m", "length", "between them"),
        Result("bearing", "deg", "angle", "of the other, off the own nose"),
        Result("in_sight", "yes/no", YES_NO, "whether they see each other past the corner"),
    ),
    formula="cross = stopping distance (metric) and t of cross_speed;  own = own_speed t\n"
    "range = sqrt(own^2 + cross^2);  bearing = atan(cross / own)\n"
    "in sight if  corner_from_cross / own + corner_from_own / cross >= 1",
    valid="Level roads at a right angle, the warning vehicle at constant speed.",
    sources=(_TEXAS, _GREEN_BOOK),
    caution=_CAUTION,
)
def crossing_paths(
    *, own_speed: float, cross_speed: float, corner_from_cross: float | None, corner_from_own: float | None
) -> Outcome:
    """The moment of decision at a crossing."""
    if (corner_from_cross is None) != (corner_from_own is None):
        raise InputRefused(
            "crossing: a corner has two distances. Write both corner_from_cross and corner_from_own, or neither."
        )
    met = crossing.meeting(
        own_m_s=own_speed,
        cross_m_s=cross_speed,
        corner_from_cross_m=corner_from_cross,
        corner_from_own_m=corner_from_own,
    )
    values: dict[str, Value] = {
        "own_distance": met.own_m,
        "cross_distance": met.cross_m,
        "range": met.range_m,
        "bearing": met.bearing_rad,
    }
    notes = []
    if met.in_sight is None:
        notes.append("No corner was given: whether anything hides them isn't judged.")
    else:
        values["in_sight"] = met.in_sight
        if not met.in_sight:
            notes.append("The corner hides the lamps at this moment: only the siren can carry the warning.")
    return Outcome(values, tuple(notes))


@reckoner(
    room="light",
    name="gap-distance",
    title="Distance along the main road that a gap in its traffic takes",
    keys=(
        _speed("speed", "of the traffic on the main road"),
        one("gap", "time", "the crossing driver needs", example="7.5 s", bare_unit="s", bounds=POSITIVE),
        _SYSTEM,
    ),
    results=(
        Result("distance", "m", "length", "as worked out; ft in the us system"),
        Result("design_distance", "m", "length", "rounded up to the next 5; ft in the us system"),
    ),
    formula="metric  0.278 V t   (V in km/h)\nus      1.47 V t    (V in mph)",
    valid="From a stop: a car turning left 7.5 s, crossing or turning right 6.5 s; single-unit truck 9.5 and 8.5 s; "
    "combination 11.5 and 10.5 s; more for each further lane.",
    sources=(Source("Texas DOT, Roadway Design Manual", "13.5.2", "read"),),
    caution=_CAUTION,
)
def gap_distance(*, speed: float, gap: float, system: crossing.System) -> Outcome:
    """Intersection sight distance along the main road."""
    distance_m, design_m = crossing.gap_m(speed, gap_s=gap, system=system)
    return Outcome(
        {"distance": distance_m, "design_distance": design_m}, units=_units(system, "distance", "design_distance")
    )
