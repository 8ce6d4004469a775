"""What voltage do the battery and the worst-off lamp have while everything flashes?

Three seconds of each situation, one step each 10 ms: at the posts of the battery that feeds the lamps, and at the lamp
that gets the least. The lamp's line is heavy while it burns.

See Also
--------
coachwright.power.wired_network : the voltages, over all wires, returns and the metal of the body.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Model
from coachwright.draw.graph import Axis, Field, curve, field_elements, ticks
from coachwright.draw.letters import fitted
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, Point, element, group, line, text
from coachwright.kit.by_digest import by_digest
from coachwright.look.style import INK, PAPER, QUIET
from coachwright.power.duty import engine_runs
from coachwright.power.loads import LAMPS, Load, load_by_subject
from coachwright.power.supply_of import supply_of
from coachwright.power.wired_network import network_of, solved_in, voltages

SHOWN_MS = 3000
_TALL_MM, _MOST_TALL_MM, _WIDE_MM, _GAP_MM = 45.5, 74.0, 120.0, 8.0
_HEAD_MM, _AXIS_MM, _FOOT_MM, _LEGEND_MM, _EDGE_MM = 9.5, 12.0, 8.0, 8.0, 3.0
_LIT_SHARE = 0.5
"""Of its peak current, above which a lamp counts as burning."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SupplyStrip:
    """Voltages of one situation, step by step. lamp : subject of the worst off; battery : that feeds it.

    lamp_v, battery_v, lit : shape (steps,). least_lamp_v : while it burns, over all that was looked at. needs_v : it
    works from there on, 0 where its sheet is silent.
    """

    situation: str
    engine: bool
    lamp: str
    battery: str
    step_ms: int
    lamp_v: Floats
    battery_v: Floats
    lit: NDArray[np.bool_]
    least_lamp_v: float
    least_battery_v: float
    needs_v: float
    browned_out: bool


@by_digest
def supply_strips(model: Model) -> tuple[SupplyStrip, ...]:
    """One of each situation in which a lamp of ours burns, worked out over the network with its wires."""
    found = (_strip(model, each.name) for each in model.situations)
    return tuple(each for each in found if each is not None)


def supply_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """All of them, in columns, on one scale of voltage."""
    shown = supply_strips(model)
    if not shown:
        return ()
    low = math.floor(min(float(each.lamp_v.min()) for each in shown) * 2 - 0.2) / 2
    high = math.ceil(max(float(each.battery_v.max()) for each in shown) * 2 + 0.2) / 2
    across = 2 if width_mm >= 2 * _WIDE_MM + _GAP_MM else 1
    room = height_mm - _LEGEND_MM
    most_n = across * max(1, int(room / _TALL_MM))
    each_n = across * -(-len(shown) // (across * -(-len(shown) // most_n)))
    wide = (width_mm - (across - 1) * _GAP_MM) / across
    made = []
    for number, start in enumerate(range(0, len(shown), each_n), start=1):
        page = shown[start : start + each_n]
        tall = min(_MOST_TALL_MM, room / -(-len(page) // across))
        drawn: list[Element] = []
        for place, strip in enumerate(page):
            row, column = divmod(place, across)
            parts = strip_elements(strip, width_mm=wide, height_mm=tall - 2.0, low_v=low, high_v=high)
            drawn.append(group(*parts, name=f"supply-{strip.situation}", dx_mm=column * (wide + _GAP_MM),
                               dy_mm=row * tall))  # fmt: skip
        drawn += _legend(height_mm - 2.0, width_mm, needs=any(low < each.needs_v < high for each in page))
        name = "supply" if number == 1 else f"supply-{number}"
        made.append(Plate(name, "Supply voltage while it flashes", width_mm, height_mm, tuple(drawn), number=name))
    return tuple(made)


def strip_elements(
    strip: SupplyStrip, *, width_mm: float, height_mm: float, low_v: float, high_v: float
) -> list[Element]:
    """One situation; the upper left corner is the origin."""
    steps_n = min(len(strip.lamp_v), SHOWN_MS // strip.step_ms)
    time = Axis(0.0, SHOWN_MS / 1000, _AXIS_MM, width_mm - _EDGE_MM)
    field = Field(time, Axis(low_v, high_v, height_mm - _FOOT_MM, _HEAD_MM))
    drawn = field_elements(
        field,
        x_said=lambda s: f"{s:g} s" if s else "0",
        x_ticks=ticks(field.x, apart_mm=18.0),
        y_said=lambda v: f"{v:g} V",
        y_ticks=ticks(field.y, apart_mm=5.5),
    )
    needs = strip.needs_v
    if low_v < needs < high_v:
        y = field.y.at(needs)
        drawn.append(line((time.low_mm, y), (time.high_mm, y), ink=INK, width_mm=0.25, dash="0.5 0.9", name="needs"))
    lamp_v, battery_v, lit = strip.lamp_v[:steps_n], strip.battery_v[:steps_n], strip.lit[:steps_n]
    drawn += [
        curve(_stepped(battery_v, strip.step_ms, field), name="battery", width_mm=0.3, dash="1.4 0.7"),
        curve(_stepped(lamp_v, strip.step_ms, field), name="lamp", ink=QUIET, width_mm=0.13),
        *(
            curve(_stepped(lamp_v[begin:end], strip.step_ms, field, begin), name="lamp-lit", width_mm=0.55)
            for begin, end in _runs(lit)
        ),
    ]
    burning = np.where(lit, lamp_v, np.inf)
    if np.isfinite(burning).any():
        at = int(np.argmin(burning))
        x, y = field.at((at + 0.5) * strip.step_ms / 1000, float(lamp_v[at]))
        drawn.append(element("circle", cx=x, cy=y, r=0.9, fill=PAPER, stroke=INK, stroke_width=0.3))
    engine = "engine runs" if strip.engine else "engine off"
    low_now = ", browns out" if strip.browned_out else ""
    said = (
        f"{engine}; {strip.battery} {strip.least_battery_v:.2f} V at least; worst off {_plain(strip.lamp)}, "
        f"{strip.least_lamp_v:.2f} V at least{low_now}"
    )
    name = fitted(strip.situation, width_mm=width_mm, size_pt=8.5, bold=True)
    return [
        text((0.0, 3.6), name, size_pt=8.5, ink=INK, bold=True),
        text((0.0, 7.4), fitted(said, width_mm=width_mm, size_pt=6.8), size_pt=6.8, ink=INK),
        *drawn,
    ]


def _strip(model: Model, situation: str) -> SupplyStrip | None:
    known = load_by_subject(model)
    found = [each for subject, each in voltages(model, situation=situation).items() if _is_ours(known[subject])]
    network, (solved, states) = network_of(model, situation=situation), solved_in(model, situation)
    lit_of = {subject: states.levels[:, place] for place, subject in enumerate(network.subjects)}
    burns = [each for each in found if lit_of[each.subject].max() > known[each.subject].standby_a * 1.001]
    if not burns:
        return None
    worst = min(burns, key=lambda each: (each.least_v / known[each.subject].test_voltage_v, each.subject))
    load = known[worst.subject]
    place = network.subjects.index(worst.subject)
    bus = supply_of(model).bus_of.get(load.feed, "main")
    second = bus == "second" and "plus second" in network.nodes
    plus = network.nodes["plus second" if second else "plus main"]
    minus = network.nodes.get("minus second", 0) if second else 0
    levels = lit_of[worst.subject]
    lit = levels > _LIT_SHARE * levels.max()
    battery_v = solved.voltages_v[:, plus] - solved.voltages_v[:, minus]
    source = next((each.name for each in network.sources if each.node == plus), "battery")
    return SupplyStrip(
        situation, engine_runs(model, situation), worst.subject, source.replace("-", " "), states.step_ms,
        solved.across_v[states.which, place], battery_v[states.which], lit[states.which],
        float(solved.across_v[lit, place].min()), float(battery_v.min()), load.least_voltage_v, worst.browned_out,
    )  # fmt: skip


def _is_ours(load: Load) -> bool:
    return load.subject.startswith(LAMPS) and bool(load.feed)


def _plain(subject: str) -> str:
    return subject.partition(".")[2].replace(".", " ")


def _stepped(values: Floats, step_ms: int, field: Field, first: int = 0) -> list[Point]:
    """Level through each step, upright between two; steps alike in a row are one."""
    points: list[Point] = []
    changes = np.flatnonzero(np.diff(values) != 0.0) + 1
    edges = [0, *changes.tolist(), len(values)]
    for begin, end in pairwise(edges):
        value = float(values[begin])
        points.append(field.at((first + begin) * step_ms / 1000, value))
        points.append(field.at((first + end) * step_ms / 1000, value))
    return points


def _runs(lit: NDArray[np.bool_]) -> Sequence[tuple[int, int]]:
    """Stretches of steps in which it burns: first step, and the one after the last."""
    padded = np.concatenate(([False], lit, [False])).astype(np.int8)
    edges = np.diff(padded)
    return list(zip(np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist(), strict=True))


def _legend(y: float, width_mm: float, *, needs: bool) -> list[Element]:
    drawn: list[Element] = [
        line((0.0, y - 0.8), (8.0, y - 0.8), ink=INK, width_mm=0.3, dash="1.4 0.7"),
        text((9.5, y), "battery, at its posts", size_pt=7.0, ink=INK),
        line((42.0, y - 0.8), (50.0, y - 0.8), ink=INK, width_mm=0.55),
        text((51.5, y), "the lamp while it burns (thin: while dark)", size_pt=7.0, ink=INK),
    ]
    if needs:
        drawn.append(line((108.0, y - 0.8), (116.0, y - 0.8), ink=INK, width_mm=0.25, dash="0.5 0.9"))
        drawn.append(text((117.5, y), "it works from there on", size_pt=7.0, ink=INK))
    note = "Batteries full and rested, or the alternator's voltage at the posts while the engine runs."
    room = width_mm - 152.0
    return [*drawn, text((width_mm, y), fitted(note, width_mm=room, size_pt=6.8), size_pt=6.8, ink=QUIET, anchor="end")]
