"""How do the batteries fare over the hours: charge, voltage, alarm, what is shed and comes back, is a start left?

The duty day, situation after situation, and each situation that lasts by itself, from full batteries.

See Also
--------
coachwright.power.duty : the days. coachwright.power.findings_day : what of them the lead has to know.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from coachwright.build.model import Model
from coachwright.draw.graph import Axis, Field, curve, field_elements, hours_said, ticks
from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, Point, element, group, line, text
from coachwright.look.style import INK, PAPER, QUIET, STATES
from coachwright.power.bus import Supply
from coachwright.power.day import Day, Event, Floats, Stretch, restart_lost_s, shed_at
from coachwright.power.duty import Duty, duty_day, duty_of, lasting
from coachwright.power.restart import restart

NO_BATTERY = (
    "The body's file names no battery, so no day can be worked out: say which battery the vehicle comes with, and what "
    "its alternator gives."
)
_STEPS_S = (300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 28800.0, 86400.0)
_AXIS_MM, _EDGE_MM, _TITLE_MM, _NAMES_MM, _MARKS_MM, _BETWEEN_MM, _FOOT_MM = 14.0, 25.0, 6.0, 4.6, 4.6, 3.0, 5.5
_LINE_MM, _WORD_PT, _MOST_EVENTS_N = 3.2, 6.6, 6
_WIDE_MM, _GAP_MM, _LEAST_TALL_MM, _MOST_TALL_MM, _LEGEND_MM = 120.0, 8.0, 76.0, 112.0, 7.0
_TOLD = ("low", "recovered", "joined", "parted", "flat", "collapsed")


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that is marked on a day: everything that happens at one moment. number : on the paper."""

    number: int
    at_s: float
    said: str
    alarms: bool


def energy_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """The duty day on a sheet, situations by themselves in columns on others."""
    names = lasting(model)
    if not names:
        return ()
    whole = duty_day(model)
    if whole.day is None:
        said = lines_of(NO_BATTERY, width_mm=width_mm, size_pt=9.0, most_n=3)
        words = tuple(text((0.0, 8.0 + 5.0 * place), each, size_pt=9.0, ink=INK) for place, each in enumerate(said))
        return (Plate("energy-day", "Energy over the duty day", width_mm, height_mm, words, number="energy-day"),)
    made = []
    if len(names) > 1:
        drawn = day_elements(whole, "The duty day", width_mm=width_mm, height_mm=height_mm - _LEGEND_MM)
        drawn += _legend(height_mm - 1.5, width_mm, whole)
        made.append(
            Plate("energy-day", "Energy over the duty day", width_mm, height_mm, tuple(drawn), number="energy-day")
        )
    return (*made, *_by_themselves(model, names, width_mm=width_mm, height_mm=height_mm))


def _by_themselves(model: Model, names: Sequence[str], *, width_mm: float, height_mm: float) -> list[Plate]:
    across = 2 if width_mm >= 2 * _WIDE_MM + _GAP_MM else 1
    wide = (width_mm - (across - 1) * _GAP_MM) / across
    room = height_mm - _LEGEND_MM
    most_n = across * max(1, int(room / _LEAST_TALL_MM))
    each_n = across * -(-len(names) // (across * -(-len(names) // most_n)))
    made = []
    for number, start in enumerate(range(0, len(names), each_n), start=1):
        page = names[start : start + each_n]
        tall = min(_MOST_TALL_MM, room / -(-len(page) // across))
        drawn: list[Element] = []
        for place, name in enumerate(page):
            row, column = divmod(place, across)
            parts = day_elements(duty_of(model, name), name, width_mm=wide, height_mm=tall - 2.0)
            drawn.append(group(*parts, name=f"energy-{name}", dx_mm=column * (wide + _GAP_MM), dy_mm=row * tall))
        drawn += _legend(height_mm - 1.5, width_mm, duty_of(model, page[0]))
        name = "energy" if number == 1 else f"energy-{number}"
        title = "Energy, each situation from full batteries"
        made.append(Plate(name, title, width_mm, height_mm, tuple(drawn), number=name))
    return made


def marks_of(duty: Duty) -> tuple[Mark, ...]:
    """What happens on a day, moment by moment; a tie that is joined or parted as a stretch begins goes with it."""
    day = duty.day
    if day is None:
        return ()
    alarms = {watch.name for watch in duty.watches if watch.alarms}
    by_time: dict[float, list[Event]] = {}
    for event in day.events:
        if event.what in _TOLD and event.at_s > 0:
            by_time.setdefault(event.at_s, []).append(event)
    supply = duty.described.supply
    lost_s = restart_lost_s(supply, day) if supply is not None else None
    if lost_s is not None:
        by_time.setdefault(lost_s, [])
    found = []
    for number, at_s in enumerate(sorted(by_time), start=1):
        events = by_time[at_s]
        said = [*_said(duty, day, events, alarms, at_s)]
        if at_s == lost_s:
            said.append("a start of the engine is no longer counted on")
        rings = any(event.what == "low" and event.name in alarms for event in events)
        found.append(Mark(number, at_s, "; ".join(said), rings))
    return tuple(found)


def day_elements(duty: Duty, title: str, *, width_mm: float, height_mm: float) -> list[Element]:
    """Charge over voltage over what happens; the upper left corner is the origin."""
    day, supply = duty.day, duty.described.supply
    assert day is not None
    assert supply is not None  # a day has one
    marks = marks_of(duty)
    words = [*_event_lines(marks, width_mm)]
    alone = len(duty.stretches) == 1
    title = f"{title}: {_running(duty.stretches[0])}" if alone else title
    names = 0.0 if alone else _NAMES_MM
    charts = height_mm - _TITLE_MM - names - _MARKS_MM - _BETWEEN_MM - 2 * _FOOT_MM - _LINE_MM * len(words)
    time = Axis(0.0, max(float(day.time_s[-1]), 1.0), _AXIS_MM, width_mm - _EDGE_MM)
    top = _TITLE_MM + names + _MARKS_MM
    middle, foot = top + 0.55 * charts, top + charts + _BETWEEN_MM
    low, high = _volts(day, duty)
    charge = Field(time, Axis(0.0, 100.0, middle, top))
    volts = Field(time, Axis(low, high, foot, middle + _BETWEEN_MM))
    at = ticks(time, apart_mm=15.0, steps=_STEPS_S)
    drawn = [
        text((0.0, 3.6), fitted(title, width_mm=width_mm, size_pt=8.5, bold=True), size_pt=8.5, ink=INK, bold=True),
        *field_elements(charge, x_ticks=at, y_ticks=(0.0, 20.0, 40.0, 60.0, 80.0, 100.0), y_said=lambda v: f"{v:g} %"),
        *field_elements(
            volts, x_ticks=at, x_said=hours_said, y_ticks=ticks(volts.y, apart_mm=5.0), y_said=lambda v: f"{v:g} V"
        ),
        *(() if alone else _stretches(duty, time, _TITLE_MM, foot)),
        *_marks(marks, time, _TITLE_MM + names, foot),
        *_start(supply, charge),
        *_curves(duty, charge, volts),
    ]
    y = foot + _FOOT_MM + 0.4
    drawn += [
        text((0.0, y + _LINE_MM * (place + 1)), said, size_pt=_WORD_PT, ink=INK) for place, said in enumerate(words)
    ]
    return drawn


def _said(duty: Duty, day: Day, events: Iterable[Event], alarms: set[str], at_s: float) -> Iterable[str]:
    listed = list(events)
    begun = [each for each in day.events if each.what == "begins" and each.at_s <= at_s]
    stretch = duty.stretches[max(0, len(begun) - 1)]
    low = [each.name for each in listed if each.what == "low"]
    for name in low:
        yield f"low-voltage alarm ({_plain(name)})" if name in alarms else f"{_plain(name)} cut"
    if low:
        before = set(shed_at(day, stretch, math.nextafter(at_s, 0.0)))
        shed = [_plain(each) for each in shed_at(day, stretch, at_s) if each not in before]
        if shed:
            yield f"shed: {', '.join(shed)}"
    back = [_plain(each.name) for each in listed if each.what == "recovered"]
    if back:
        yield f"come back: {', '.join(back)}"
    for each in listed:
        if each.what in ("joined", "parted"):
            yield f"batteries {each.what}"
        elif each.what == "flat":
            yield f"{_plain(each.name)} is flat; the day ends"
        elif each.what == "collapsed":
            yield "no voltage feeds all that is on; the day ends"


def _plain(name: str) -> str:
    words = name.removeprefix("feeds.").removeprefix("lamps.").removeprefix("equipment.").removeprefix("memory.")
    return words.replace(".", " ")


def _event_lines(marks: Sequence[Mark], width_mm: float) -> Iterable[str]:
    shown = marks[:_MOST_EVENTS_N] if len(marks) > _MOST_EVENTS_N + 1 else marks
    for mark in shown:
        yield fitted(f"({mark.number}) {hours_said(mark.at_s)}: {mark.said}", width_mm=width_mm, size_pt=_WORD_PT)
    if len(shown) < len(marks):
        yield f"and {len(marks) - len(shown)} more"
    if not marks:
        yield "No alarm, nothing shed; a start is left to the end."


def _volts(day: Day, duty: Duty) -> tuple[float, float]:
    supply = duty.described.supply
    values = [day.main_v] + ([day.second_v] if supply is not None and supply.second is not None else [])
    low, high = min(float(each.min()) for each in values), max(float(each.max()) for each in values)
    return math.floor(2 * low - 0.3) / 2, math.ceil(2 * high + 0.3) / 2


def _stretches(duty: Duty, time: Axis, top: float, foot: float) -> list[Element]:
    """Where each situation begins, its name over it, and whether the engine runs."""
    day = duty.day
    assert day is not None
    begins = [each.at_s for each in day.events if each.what == "begins"]
    ends = [*begins[1:], float(day.time_s[-1])]
    drawn: list[Element] = []
    for stretch, begin, end in zip(duty.stretches, begins, ends, strict=False):
        x, room = time.at(begin), time.at(end) - time.at(begin)
        if begin > 0:
            drawn.append(line((x, top), (x, foot), ink=QUIET, width_mm=0.25))
        kept = fitted(f"{stretch.name}: {_running(stretch)}", width_mm=room - 2.0, size_pt=6.8, bold=True)
        if text_width_mm(kept, size_pt=6.8, bold=True) <= room:
            drawn.append(text((x + 1.0, top + 3.2), kept, size_pt=6.8, ink=INK, bold=True))
    return drawn


def _running(stretch: Stretch) -> str:
    return f"engine {'runs' if stretch.engine_rad_s else 'off'}{', shore power' if stretch.shore else ''}"


def _marks(marks: Sequence[Mark], time: Axis, top: float, foot: float) -> list[Element]:
    drawn: list[Element] = []
    right = -math.inf
    for mark in marks:
        x = time.at(mark.at_s)
        ink = STATES["near"].ink if mark.alarms else INK
        name = f"mark-{mark.number}"
        drawn.append(line((x, top + 4.0), (x, foot), ink=ink, width_mm=0.22, dash="0.7 0.7", name=name))
        said = f"{mark.number} !" if mark.alarms else str(mark.number)
        wide = text_width_mm(said, size_pt=6.5, bold=True)
        left = max(x - wide / 2, right + 0.7)
        right = left + wide
        drawn.append(element("rect", x=left - 0.3, y=top + 1.2, width=wide + 0.6, height=2.5, fill=PAPER))
        drawn.append(text((left, top + 3.2), said, size_pt=6.5, ink=ink, bold=True))
    return drawn


def _start(supply: Supply, charge: Field) -> list[Element]:
    """The charge below which a start is no longer counted on."""
    least = restart(supply.main, 1.0).least_share
    if not 0.0 < least < 1.0:
        return []
    y = charge.y.at(100 * least)
    return [line((charge.x.low_mm, y), (charge.x.high_mm, y), ink=INK, width_mm=0.3, dash="0.5 0.9", name="start")]


def _curves(duty: Duty, charge: Field, volts: Field) -> list[Element]:
    day, supply = duty.day, duty.described.supply
    assert day is not None
    assert supply is not None
    drawn: list[Element] = []
    second = [] if supply.second is None else [(supply.second.name, day.second_share, day.second_v, "1.6 0.8")]
    rows = [(supply.main.name, day.main_share, day.main_v, None), *second]
    ends: list[tuple[float, str, Field]] = []
    for name, share, volt, dash in rows:
        which = "main" if dash is None else "second"
        drawn.append(curve(_points(day, 100 * share, charge), name=f"charge {which}", width_mm=0.45, dash=dash))
        drawn.append(curve(_points(day, volt, volts), name=f"volts {which}", width_mm=0.45, dash=dash))
        ends.append(
            (100 * float(share[-1]), f"{_plain(name).replace('-', ' ')} {100 * float(share[-1]):.0f} %", charge)
        )
        ends.append((float(volt[-1]), f"{float(volt[-1]):.2f} V", volts))
    for field in (charge, volts):
        drawn += _ends([(field.y.at(value), said) for value, said, where in ends if where is field], field)
    return drawn


def _ends(labels: Sequence[tuple[float, str]], field: Field) -> list[Element]:
    """What stands at the right end of each line, no two on one another."""
    drawn: list[Element] = []
    before = -math.inf
    for y, said in sorted(labels):
        place = min(max(y + 0.8, before + 2.9), field.y.low_mm + 1.2)
        before = place
        kept = fitted(said, width_mm=_EDGE_MM - 1.5, size_pt=6.5)
        drawn.append(text((field.x.high_mm + 1.2, place), kept, size_pt=6.5, ink=INK))
    return drawn


def _points(day: Day, values: Floats, field: Field) -> list[Point]:
    """Between the day's moments all is straight as far as paper shows; what can't be told apart is one point."""
    kept: list[Point] = []
    for time_s, value in zip(np.asarray(day.time_s).tolist(), np.asarray(values).tolist(), strict=True):
        point = field.at(time_s, value)
        if not kept or math.dist(point, kept[-1]) > 1e-3:
            kept.append(point)
    return kept if len(kept) > 1 else [*kept, (field.x.high_mm, kept[0][1])]


def _legend(y: float, width_mm: float, duty: Duty) -> list[Element]:
    supply = duty.described.supply
    assert supply is not None
    x = 0.0
    drawn: list[Element] = []
    rows: list[tuple[str, str | None, float]] = [(supply.main.name.replace("-", " "), None, 0.45)]
    if supply.second is not None:
        rows.append((supply.second.name.replace("-", " "), "1.6 0.8", 0.45))
    rows.append(("below: no start counted on", "0.5 0.9", 0.3))
    for said, dash, thick in rows:
        kept = fitted(said, width_mm=45.0, size_pt=7.0)
        drawn.append(line((x, y - 0.8), (x + 8.0, y - 0.8), ink=INK, width_mm=thick, dash=dash))
        drawn.append(text((x + 9.5, y), kept, size_pt=7.0, ink=INK))
        x += 9.5 + text_width_mm(kept, size_pt=7.0) + 5.0
    drawn.append(text((x, y), "!", size_pt=7.0, ink=STATES["near"].ink, bold=True))
    drawn.append(text((x + 2.0, y), "alarm", size_pt=7.0, ink=INK))
    note = "A model of batteries, 25 degC and new; a test on the vehicle wins."
    room = width_mm - x - 14.0
    drawn.append(text((width_mm, y), fitted(note, width_mm=room, size_pt=6.8), size_pt=6.8, ink=QUIET, anchor="end"))
    return drawn
