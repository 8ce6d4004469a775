"""Does the fuse hold what its circuit does, and open before its wire is hurt? Time over current, logarithmic.

The field between the two lines of a fuse is where it may open. What the circuit does (bursts of each situation, the
surge at switching on) has to lie left of and under it; what the wires bear, right of and over it.

See Also
--------
coachwright.power.fuse_time : the fuse. coachwright.power.size : what a wire bears. coachwright.power.sizes : circuits.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.draw.graph import (
    Axis,
    Field,
    between,
    clipped_area,
    clipped_line,
    curve,
    field_elements,
    ticks,
)
from coachwright.draw.letters import fitted, lines_of
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, Point, element, group, line, path_of, text
from coachwright.kit.wave import Wave
from coachwright.look.style import ACCENT, INK, PAPER, QUIET, RULE_LINE
from coachwright.parts.wiring import OpeningTime
from coachwright.power.fuse_time import ADIABATIC_S, holds_s, opens_s
from coachwright.power.size import SizedWire, bears_a2_s
from coachwright.power.sizes import Sized, gauge_name, sized, sized_anew

SHORTEST_S, LONGEST_S = 0.001, 10_000.0
_AXIS_MM, _EDGE_MM, _HEAD_MM, _FOOT_MM, _LEGEND_MM, _GAP_MM = 13.0, 3.0, 11.0, 7.5, 10.5, 8.0
_WIDE_MM, _LEAST_TALL_MM, _MOST_TALL_MM = 118.0, 76.0, 118.0
_STEPS_N, _MOST_N = 60, 8
_FIELD = "#dde5eb"


@dataclass(frozen=True, slots=True)
class Burst:
    """A current above the fuse's rating, and for how long at a stretch at the most. [A, s]"""

    current_a: float
    time_s: float


def circuit_names(model: Model) -> tuple[str, ...]:
    """Circuits a curve can be drawn of, in the order of the build."""
    return tuple(each.hung.circuit.name for each in sized(model))


def telling(model: Model) -> tuple[str, ...]:
    """One circuit for each rule that governs a wire or a fuse, the heaviest first: names, in the order of the build."""
    found: dict[tuple[str, str], tuple[float, str]] = {}
    for each in sized_anew(model):
        name, fuse = each.hung.circuit.name, each.sized.fuse
        rules = [("fuse", fuse.governed_by), *(("wire", wire.governed_by) for wire in each.sized.wires)]
        for rule in rules:
            if rule not in found or found[rule][0] < fuse.rating_a:
                found[rule] = (fuse.rating_a, name)
    told: dict[str, int] = {}
    for _, name in found.values():
        told[name] = told.get(name, 0) + 1
    order = circuit_names(model)
    kept = sorted(told, key=lambda name: (-told[name], order.index(name)))[:_MOST_N]
    return tuple(sorted(kept, key=order.index))


def fuse_plates(
    model: Model, *, width_mm: float, height_mm: float, names: Sequence[str] | None = None
) -> tuple[Plate, ...]:
    """Curves of circuits, in columns; of the most telling where none is named.

    Raises
    ------
    KeyError : no circuit has such a name.
    """
    known = {each.hung.circuit.name: each for each in sized(model)}
    anew = {each.hung.circuit.name: each for each in sized_anew(model)}
    shown = [known[name] for name in (telling(model) if names is None else names)]
    if not shown:
        return ()
    across = 2 if width_mm >= 2 * _WIDE_MM + _GAP_MM and len(shown) > 1 else 1
    room = height_mm - _LEGEND_MM
    most_n = across * max(1, int(room / _LEAST_TALL_MM))
    each_n = -(-len(shown) // -(-len(shown) // most_n))
    wide = (width_mm - (across - 1) * _GAP_MM) / across
    made = []
    for number, start in enumerate(range(0, len(shown), each_n), start=1):
        page = shown[start : start + each_n]
        tall = min(_MOST_TALL_MM, room / -(-len(page) // across))
        drawn: list[Element] = []
        for place, circuit in enumerate(page):
            row, column = divmod(place, across)
            name = circuit.hung.circuit.name
            parts = curve_elements(circuit, anew[name], width_mm=wide, height_mm=tall - 2.0)
            drawn.append(group(*parts, dx_mm=column * (wide + _GAP_MM), dy_mm=row * tall))
        drawn += _legend(height_mm - 6.5, width_mm)
        name = "fuse-curves" if number == 1 else f"fuse-curves-{number}"
        title = "Fuse against current and wire"
        made.append(Plate(name, title, width_mm, height_mm, tuple(drawn), number=name))
    return tuple(made)


def curve_elements(circuit: Sized, anew: Sized, *, width_mm: float, height_mm: float) -> list[Element]:
    """One circuit; the upper left corner is the origin. anew : the same, with the rules that govern it."""
    fuse, needs = circuit.sized.fuse, circuit.sized.circuit
    field = _field(circuit, width_mm, height_mm)
    wire = _weakest(circuit.sized.wires)
    curves, holds_a, opens_a = fuse.part.curve, fuse.carries_a, fuse.rating_a
    left = [field.beyond(share * holds_a, holds_s(curves, share)) for share in _shares(curves)]
    opens = [(share, opens_s(curves, share)) for share in _shares(curves)]
    right = [field.beyond(share * opens_a, time_s) for share, time_s in opens if math.isfinite(time_s)]
    drawn = field_elements(
        field, x_said=_amps, x_ticks=ticks(field.x, apart_mm=0), y_said=_seconds, y_ticks=ticks(field.y, apart_mm=0)
    )
    drawn = [*_finer(field), *drawn[1:]]
    drawn[1:1] = _between_lines(left, right, field)
    drawn += [curve(run, name="holds", width_mm=0.45) for run in clipped_line(left, field)]
    drawn += [curve(run, name="opens", width_mm=0.45, dash="2 0.8") for run in clipped_line(right, field)]
    drawn += _wire(wire, field)
    drawn += _doing(circuit, field)
    most = field.x.at(needs.short_a)
    drawn.append(
        line((most, field.y.low_mm), (most, field.y.high_mm), ink=INK, width_mm=0.2, dash="0.5 0.8", name="short")
    )
    rules = [each.governed_by for each in anew.sized.wires]
    gauges = dict.fromkeys(
        f"{gauge_name(each.wire)} ({_rule(rule)})" for each, rule in zip(circuit.sized.wires, rules, strict=True)
    )
    said = f"{fuse.part.title}: {fuse.rating_a:g} A ({_rule(anew.sized.fuse.governed_by)}); wire {', '.join(gauges)}"
    return [
        text((0.0, 3.6), fitted(circuit_said(circuit), width_mm=width_mm, size_pt=8.5, bold=True), size_pt=8.5, ink=INK,
             bold=True),
        text((0.0, 7.6), fitted(said, width_mm=width_mm, size_pt=6.8), size_pt=6.8, ink=INK),
        *drawn,
    ]  # fmt: skip


def circuit_said(circuit: Sized) -> str:
    """``channel 3``, ``radio-1 supply``: what a circuit is called on paper."""
    return plain_circuit(circuit.hung.circuit.name)


def plain_circuit(name: str) -> str:
    """``radio-1 supply``, ``high-beam left tap``: the name without the section of the file it comes from."""
    for section in ("equipment.", "feeds.", "vehicle-lamps.", "vehicle."):
        name = name.removeprefix(section)
    return name.replace(".", " ")


def bursts(waves: Iterable[Wave], *, carries_a: float) -> tuple[Burst, ...]:
    """Each current above what a fuse carries for good, with its longest stretch, of all situations."""
    longest: dict[float, float] = {}
    for wave in waves:
        for level_a in set(wave.values):
            if level_a <= carries_a:
                continue
            spans = [(end - start) / 1000 for start, end in wave.lit_spans(above=level_a * (1 - 1e-9))]
            longest[level_a] = max(longest.get(level_a, 0.0), *spans) if spans else LONGEST_S
    return tuple(Burst(level_a, longest[level_a]) for level_a in sorted(longest))


def _field(circuit: Sized, width_mm: float, height_mm: float) -> Field:
    needs, fuse = circuit.sized.circuit, circuit.sized.fuse
    least = min([0.3 * fuse.carries_a, *(wave.rms() for wave in needs.waves if wave.rms() > 0)])
    low = max(least, 0.05) / 1.5
    bears_a = math.sqrt(bears_a2_s(_weakest(circuit.sized.wires).wire) / ADIABATIC_S)
    high = max(1.3 * needs.short_a, 16 * fuse.rating_a, 3 * bears_a)
    return Field(
        Axis(low, high, _AXIS_MM, width_mm - _EDGE_MM, log=True),
        Axis(SHORTEST_S, LONGEST_S, height_mm - _FOOT_MM, _HEAD_MM, log=True),
    )


def _shares(curve_of_sheet: Sequence[OpeningTime]) -> tuple[float, ...]:
    """Of a fuse's rating: the points of its sheet, and up to where no short comes."""
    between_points = (1.0001 * 10.0 ** (3.2 * place / _STEPS_N) for place in range(_STEPS_N + 1))
    return tuple(sorted({*between_points, *(each.share for each in curve_of_sheet if each.share > 1.0)}))


def _between_lines(left: Sequence[Point], right: Sequence[Point], field: Field) -> list[Element]:
    """Where it may open: from what it holds at least to what opens it at most."""
    if not right:
        return []
    top = field.y.high_mm - 1.0
    outline = [(left[0][0], top), *left, *reversed(right), (right[0][0], top)]
    area = clipped_area(outline, field)
    return [element("path", class_="may-open", d=path_of(area, closed=True), fill=_FIELD)] if area else []


def _finer(field: Field) -> list[Element]:
    """The lines of logarithmic paper between those that have numbers."""
    foot, top = field.y.low_mm, field.y.high_mm
    level = (field.y.at(value) for value in between(field.y))
    upright = (field.x.at(value) for value in between(field.x))
    ends = [((x, top), (x, foot)) for x in upright] + [((field.x.low_mm, y), (field.x.high_mm, y)) for y in level]
    return [line(one, other, ink=RULE_LINE, width_mm=0.05) for one, other in ends]


def _weakest(wires: Sequence[SizedWire]) -> SizedWire:
    return min(wires, key=lambda each: (bears_a2_s(each.wire), each.carries_a))


def _wire(wire: SizedWire, field: Field) -> list[Element]:
    """What it bears in a short, as long as the heat stays in the copper; what it carries for good."""
    bears = bears_a2_s(wire.wire)
    carries = field.x.at(wire.carries_a)
    top = field.y.at(ADIABATIC_S)
    drawn = [line((carries, top), (carries, field.y.high_mm), ink=ACCENT, width_mm=0.9, name="carries")]
    if bears > 0:
        ends = [field.beyond(math.sqrt(bears / time_s), time_s) for time_s in (ADIABATIC_S, SHORTEST_S)]
        drawn += [curve(run, name="bears", ink=ACCENT, width_mm=0.9) for run in clipped_line(ends, field)]
    return drawn


def _doing(circuit: Sized, field: Field) -> Iterator[Element]:
    needs, fuse = circuit.sized.circuit, circuit.sized.fuse
    heat_a = max((wave.rms() for wave in needs.waves), default=0.0)
    if heat_a >= field.x.low:
        x = field.x.at(heat_a)
        foot = field.y.high_mm
        yield element("path", class_="heat", d=path_of([(x, foot + 0.3), (x - 1.3, foot + 3.3), (x + 1.3, foot + 3.3)],
                                                       closed=True), fill=INK)  # fmt: skip
    for each in bursts(needs.waves, carries_a=fuse.carries_a):
        x, y = field.at(each.current_a, each.time_s)
        yield element("circle", class_="burst", cx=x, cy=y, r=1.0, fill=PAPER, stroke=INK, stroke_width=0.35)
    if needs.surge_s > 0 and needs.surge_a >= field.x.low:
        x, y = field.at(needs.surge_a, needs.surge_s)
        yield element("rect", class_="surge", x=x - 1.0, y=y - 1.0, width=2.0, height=2.0, fill=INK)


def _rule(name: str) -> str:
    return "its loads ask no more" if name == "smallest" else name


def _amps(amp: float) -> str:
    return f"{amp:g} A" if amp < 1000 else f"{amp / 1000:g} kA"


def _seconds(time_s: float) -> str:
    return f"{1000 * time_s:g} ms" if time_s < 1 else f"{time_s:,g} s" if time_s < 10_000 else "10,000 s"


def _legend(y: float, width_mm: float) -> list[Element]:
    """Signs in one line, what they are worth in the next."""
    drawn: list[Element] = []
    x = 0.0
    for sign, said in _SIGNS:
        drawn.append(sign((x, y - 0.9)))
        kept = fitted(said, width_mm=width_mm / len(_SIGNS) - 8.0, size_pt=6.8)
        drawn.append(text((x + 7.0, y), kept, size_pt=6.8, ink=INK))
        x += width_mm / len(_SIGNS)
    note = (
        "Left line: the fuse holds at least so long, in the heat of its place; right line: it has opened by then. "
        "Of the wire: upright what it carries for good, slanted what it bears in a short of up to 5 s. "
        "Dotted: the most a short can draw."
    )
    said_lines = lines_of(note, width_mm=width_mm, size_pt=6.8, most_n=2)
    return [
        *drawn,
        *(text((0.0, y + 3.2 + 2.9 * place), each, size_pt=6.8, ink=QUIET) for place, each in enumerate(said_lines)),
    ]


def _field_sign(at: Point) -> Element:
    x, y = at
    return element("rect", x=x, y=y - 1.2, width=5.5, height=2.4, fill=_FIELD, stroke=INK, stroke_width=0.3)


def _wire_sign(at: Point) -> Element:
    return line(at, (at[0] + 5.5, at[1]), ink=ACCENT, width_mm=0.9)


def _burst_sign(at: Point) -> Element:
    return element("circle", cx=at[0] + 3.0, cy=at[1], r=1.0, fill=PAPER, stroke=INK, stroke_width=0.35)


def _surge_sign(at: Point) -> Element:
    return element("rect", x=at[0] + 2.0, y=at[1] - 1.0, width=2.0, height=2.0, fill=INK)


def _heat_sign(at: Point) -> Element:
    x, y = at
    return element(
        "path", d=path_of([(x + 3.0, y - 1.5), (x + 1.7, y + 1.3), (x + 4.3, y + 1.3)], closed=True), fill=INK
    )


_SIGNS: tuple[tuple[Callable[[Point], Element], str], ...] = (
    (_field_sign, "the fuse may open"),
    (_wire_sign, "its weakest wire bears"),
    (_burst_sign, "a burst, its longest"),
    (_surge_sign, "surge at switching on"),
    (_heat_sign, "what heats it (RMS)"),
)
