"""How much current flows in each situation, through which feed, and does the idling alternator carry it?

A bar for each situation: mean current by feed, with the root mean square and the peak of all together as marks.

See Also
--------
coachwright.power.loads : the currents. coachwright.power.summed : what they add up to.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace

from coachwright.build.model import Model
from coachwright.draw.bands import SHADES
from coachwright.draw.graph import Axis, Field, field_elements, round_up, ticks
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.listing import GAP_MM, Column, listed, listed_mm, rows_that_fit_n
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, element, line, text
from coachwright.kit.show import show
from coachwright.kit.wave import Wave
from coachwright.look.style import INK, PAPER, QUIET
from coachwright.power.alternator import most_a
from coachwright.power.duty import duty_figures, engine_runs
from coachwright.power.loads import clock_of, currents, loads_of
from coachwright.power.summed import Summed, summed
from coachwright.power.supply_of import supply_of

OWN = "the vehicle itself"
"""What hangs on none of our feeds."""
_ROW_MM, _BAR_MM, _NAME_MM, _NUMBERS_MM, _TOP_MM, _FOOT_MM = 10.5, 4.6, 44.0, 62.0, 9.0, 18.0
_MOST_NAMED = 9
_REST = "other feeds"
_COLUMNS = (
    Column("situation", 0.27), Column("feed", 0.31, bold=True), Column("mean", 0.14, right=True),
    Column("RMS", 0.14, right=True), Column("peak", 0.14, right=True),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SituationLoad:
    """What flows in one situation. whole : of everything; by_feed : of each feed, in the order of the build. [A]"""

    situation: str
    engine: bool
    whole: Summed
    by_feed: tuple[tuple[str, Summed], ...]


def situation_loads(model: Model) -> tuple[SituationLoad, ...]:
    """Every situation, at the test voltage of each load."""
    return tuple(_load_of(model, each.name) for each in model.situations)


def idle_gives(model: Model) -> tuple[float, float] | None:
    """Current of the alternator at idle, hot, and that heat; None where the body doesn't say. [A, degC]"""
    supply = supply_of(model).supply
    if supply is None or supply.alternator is None:
        return None
    idle, hot_degc = supply.alternator.fast_idle_rad_s or supply.alternator.idle_rad_s, duty_figures().idling_degc
    return most_a(supply.alternator, engine_rad_s=idle, temperature_degc=hot_degc), hot_degc


def load_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """Bars of all situations, then the same by feed in figures."""
    rows = situation_loads(model)
    if not rows:
        return ()
    gives = idle_gives(model)
    most_amp = round_up(max([1.05 * row.whole.peak_a for row in rows] + ([1.05 * gives[0]] if gives else [])), least=5)
    most_n = max(1, int((height_mm - _TOP_MM - _FOOT_MM) / _ROW_MM))
    sheets_n = -(-len(rows) // most_n)
    each_n = -(-len(rows) // sheets_n)
    pages = [rows[start : start + each_n] for start in range(0, len(rows), each_n)]
    made = [
        _bars(page, _feeds(rows), gives, most_amp=most_amp, width_mm=width_mm, height_mm=height_mm, number=number)
        for number, page in enumerate(pages, start=1)
    ]
    figures = _figures(rows)
    blocks_n = _blocks_n(width_mm)
    used = _TOP_MM + _ROW_MM * len(rows) + _FOOT_MM
    if len(made) == 1 and used + listed_mm(-(-len(figures) // blocks_n)) <= height_mm:
        below = listed(figures, _COLUMNS, (0.0, used), width_mm=width_mm, blocks_n=blocks_n)
        return (replace(made[0], elements=(*made[0].elements, *below)),)
    return (*made, *_listed(figures, width_mm=width_mm, height_mm=height_mm))


def _load_of(model: Model, situation: str) -> SituationLoad:
    feed_of = {load.subject: load.feed or OWN for load in loads_of(model)}
    drawn = currents(model, situation=situation)
    names = [*(feed.name for feed in model.feeds), *dict.fromkeys(feed_of.values())]
    parts = (
        (name, _sum(model, [(subject, wave) for subject, wave in drawn.items() if feed_of.get(subject) == name]))
        for name in dict.fromkeys(names)
    )
    by_feed = tuple((name, part) for name, part in parts if part.peak_a > 0)
    return SituationLoad(situation, engine_runs(model, situation), _sum(model, drawn.items()), by_feed)


def _sum(model: Model, drawn: Iterable[tuple[str, Wave]]) -> Summed:
    by_clock: dict[Hashable, list[Wave]] = {}
    for subject, wave in drawn:
        by_clock.setdefault(clock_of(model, subject), []).append(wave)
    return summed(by_clock)


def _feeds(rows: Sequence[SituationLoad]) -> tuple[str, ...]:
    """Feeds that carry anything, those that carry most first; beyond what can be told apart they go together."""
    most: dict[str, float] = {}
    for row in rows:
        for name, part in row.by_feed:
            most[name] = max(most.get(name, 0.0), part.mean_a)
    ordered = sorted(most, key=lambda name: (-most[name], name))
    return tuple(ordered) if len(ordered) <= _MOST_NAMED else (*ordered[: _MOST_NAMED - 1], _REST)


def _bars(
    rows: Sequence[SituationLoad], feeds: tuple[str, ...], gives: tuple[float, float] | None, *, most_amp: float,
    width_mm: float, height_mm: float, number: int,
) -> Plate:  # fmt: skip
    foot = _TOP_MM + _ROW_MM * len(rows)
    field = Field(Axis(0.0, most_amp, _NAME_MM, width_mm - _NUMBERS_MM), Axis(0.0, 1.0, foot, _TOP_MM))
    drawn = field_elements(
        field, x_said=lambda amp: f"{amp:g} A" if amp else "0", x_ticks=ticks(field.x, apart_mm=16.0)
    )
    right = width_mm - _NUMBERS_MM
    for place, head in enumerate(("mean", "RMS", "peak")):
        x = right + (place + 1) * _NUMBERS_MM / 3 - 1.0
        drawn.append(text((x, _TOP_MM - 2.4), head, size_pt=6.5, ink=QUIET, anchor="end"))
    for place, row in enumerate(rows):
        drawn += _row(row, feeds, field, _TOP_MM + place * _ROW_MM, gives)
    if gives is not None:
        drawn += _alternator(rows, field, gives)
    drawn += _legend(feeds, (0.0, foot + 7.5), width_mm)
    name = "loads" if number == 1 else f"loads-{number}"
    return Plate(name, "Current by situation and feed", width_mm, height_mm, tuple(drawn), number=name)


def _row(
    row: SituationLoad, feeds: tuple[str, ...], field: Field, top: float, gives: tuple[float, float] | None
) -> list[Element]:
    bar = top + (_ROW_MM - _BAR_MM) / 2
    engine = "engine runs" if row.engine else "engine off: batteries alone"
    name = fitted(row.situation, width_mm=_NAME_MM - 2.0, size_pt=7.5, bold=True)
    drawn: list[Element] = [
        text((0.0, top + 5.0), name, size_pt=7.5, ink=INK, bold=True),
        text((0.0, top + 8.0), engine, size_pt=6.3, ink=QUIET),
    ]
    begin_a = 0.0
    for place, feed in enumerate(feeds):
        mean_a = sum(part.mean_a for each, part in row.by_feed if each == feed or (feed == _REST and each not in feeds))
        if mean_a <= 0:
            continue
        x, end = field.x.at(begin_a), field.x.at(begin_a + mean_a)
        drawn.append(
            element(
                "rect", class_="mean", x=x, y=bar, width=end - x, height=_BAR_MM, fill=_shade(place), stroke=INK,
                stroke_width=0.13,
            )
        )  # fmt: skip
        label = str(place + 1)
        if end - x > text_width_mm(label, size_pt=6.5, bold=True) + 0.8:
            ink = PAPER if _is_dark(place) else INK
            where = ((x + end) / 2, bar + 3.1)
            drawn.append(text(where, label, size_pt=6.5, ink=ink, anchor="middle", bold=True))
        begin_a += mean_a
    middle, rms, peak = bar + _BAR_MM / 2, field.x.at(row.whole.rms_a), field.x.at(row.whole.peak_a)
    drawn += [
        line((field.x.at(begin_a), middle), (peak, middle), ink=INK, width_mm=0.18),
        line((rms, bar - 0.9), (rms, bar + _BAR_MM + 0.9), ink=INK, width_mm=0.5, name=f"rms-{row.situation}"),
        line((peak, bar + 0.6), (peak, bar + _BAR_MM - 0.6), ink=INK, width_mm=0.18, name=f"peak-{row.situation}"),
    ]
    over = row.engine and gives is not None and row.whole.mean_a > gives[0]
    for place, value in enumerate((row.whole.mean_a, row.whole.rms_a, row.whole.peak_a)):
        x = field.x.high_mm + (place + 1) * _NUMBERS_MM / 3 - 1.0
        bold = place == 0
        said = show(value, "current") + (" !" if over and bold else "")
        drawn.append(text((x, bar + 3.2), said, size_pt=7.5, ink=INK, anchor="end", bold=bold))
    return drawn


def _alternator(rows: Sequence[SituationLoad], field: Field, gives: tuple[float, float]) -> list[Element]:
    """Its line stands only where the engine turns it."""
    x = field.x.at(gives[0])
    drawn: list[Element] = []
    for place, row in enumerate(rows):
        if row.engine:
            top = _TOP_MM + place * _ROW_MM
            drawn.append(line((x, top), (x, top + _ROW_MM), ink=INK, width_mm=0.4, dash="1.6 0.9", name="idle"))
    if drawn:
        said = f"alternator at idle, {gives[1]:.0f} degC under the hood: {gives[0]:.0f} A"
        wide = text_width_mm(said, size_pt=7.0)
        left = min(max(x - wide / 2, field.x.low_mm), field.x.high_mm - wide)
        drawn.append(text((left, _TOP_MM - 2.4), said, size_pt=7.0, ink=INK))
    return drawn


def _legend(feeds: tuple[str, ...], at: tuple[float, float], width_mm: float) -> list[Element]:
    x, y = at
    drawn: list[Element] = []
    for place, feed in enumerate(feeds):
        said = fitted(feed, width_mm=40.0, size_pt=7.0)
        wide = text_width_mm(said, size_pt=7.0) + 9.5
        if x + wide > width_mm:
            x, y = at[0], y + 4.4
        drawn.append(element("rect", x=x, y=y - 2.6, width=4.6, height=3.2, fill=_shade(place), stroke=INK,
                             stroke_width=0.13))  # fmt: skip
        ink = PAPER if _is_dark(place) else INK
        drawn.append(text((x + 2.3, y - 0.2), str(place + 1), size_pt=6.5, ink=ink, anchor="middle", bold=True))
        drawn.append(text((x + 5.8, y), said, size_pt=7.0, ink=INK))
        x += wide
    note = (
        "Field: mean, which alternator and batteries give. Heavy stroke: RMS, which heats wires. Thin line: peak, "
        "which drops voltage. At the test voltage of each load's sheet; inrush left out."
    )
    drawn.append(text((at[0], y + 4.6), fitted(note, width_mm=width_mm, size_pt=6.8), size_pt=6.8, ink=QUIET))
    return drawn


def _shade(place: int) -> str:
    return SHADES[(place * 3 + 1) % len(SHADES)]


def _is_dark(place: int) -> bool:
    return (place * 3 + 1) % len(SHADES) > 6


def _figures(rows: Sequence[SituationLoad]) -> list[tuple[str, ...]]:
    lines: list[tuple[str, ...]] = []
    for row in rows:
        for feed, part in (*row.by_feed, ("all together", row.whole)):
            values = (part.mean_a, part.rms_a, part.peak_a)
            lines.append((row.situation, feed, *(show(value, "current") for value in values)))
    return lines


def _blocks_n(width_mm: float) -> int:
    return max(1, int((width_mm + GAP_MM) / (110.0 + GAP_MM)))


def _listed(lines: Sequence[tuple[str, ...]], *, width_mm: float, height_mm: float) -> list[Plate]:
    blocks_n = _blocks_n(width_mm)
    fit_n = rows_that_fit_n(height_mm) * blocks_n
    made = []
    for number, start in enumerate(range(0, len(lines), fit_n), start=1):
        name = f"loads-by-feed-{number}" if number > 1 else "loads-by-feed"
        drawn = listed(lines[start : start + fit_n], _COLUMNS, (0.0, 0.0), width_mm=width_mm, blocks_n=blocks_n)
        made.append(Plate(name, "Current by feed, in figures", width_mm, height_mm, tuple(drawn), number=name))
    return made
