"""How does a log look, put through the machine? Strips of time: inputs, functions, heads, sounds, promises.

Time runs to the right, to scale, from the first thing logged. An input is a line with its value in words, a number a
little curve; a function is a bar while it acts; a head is hatched in its colours, as high as its share of full light.
Flashes too short for the scale are one low band with a dashed edge. A promise is a line, and a marked field where it is
broken.

See Also
--------
coachwright.flash.replayed : when heads burn. coachwright.draw.strips : the same for one situation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.control.replayed import Replayed, Span, Track
from coachwright.draw.letters import fitted, text_width_mm
from coachwright.draw.sheet import Plate
from coachwright.draw.svg import Element, element, hatch_fill, line, text
from coachwright.flash.replayed import Lit, LitHead, lit_heads, spans_of
from coachwright.kit.show import show
from coachwright.look.style import ACCENT, INK, LIGHTS, QUIET, RULE_LINE, STATES

WIDTH_MM, MOST_HEIGHT_MM = 269.0, 172.0
ROW_MM, HEADING_MM, AXIS_MM, TITLE_MM = 4.6, 5.6, 7.0, 9.0
_NAME_MM, _EDGE_MM, _LANE_MM = 40.0, 4.0, 3.4
_STEPS_S = (0.05, 0.1, 0.2, 0.25, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600, 7200)
_LEAST_PULSE_MM = 0.35
_MOST_PULSES, _MOST_SHAPES = 400, 2_000
_SIZE_PT = 7.0
CLOSE_UP_MS = (1_500, 2_500)
"""Before and after the moment that is looked at."""
MOST_CLOSE_UPS = 6
NOTE = (
    "Computed from the log, not measured on the lamps. Low bands with a dashed edge flash; their pulses are too short "
    "for this scale. Where the flashing clock stood when the log began isn't known: it is drawn from 0 s."
)
"""Stands under every picture."""
_KINDS = (("function", "Functions"), ("head", "Heads"), ("sound", "Sounds"), ("run", "Runs"), ("message", "Messages"))


@dataclass(frozen=True, slots=True)
class _Scale:
    from_ms: int
    until_ms: int
    width_mm: float

    @property
    def mm_per_ms(self) -> float:
        return (self.width_mm - _NAME_MM - _EDGE_MM) / max(1, self.until_ms - self.from_ms)

    def x(self, at_ms: float) -> float:
        return _NAME_MM + (min(max(at_ms, self.from_ms), self.until_ms) - self.from_ms) * self.mm_per_ms

    def clipped(self, begins: int, ends: int) -> bool:
        """Is none of it to be seen?"""
        return ends < self.from_ms or begins > self.until_ms


@dataclass(frozen=True, slots=True)
class _Row:
    """One row to draw. height : of it. draw : its elements, given its upper edge."""

    height_mm: float
    draw: Callable[[float], list[Element]]


def replay_plates(model: Model, replayed: Replayed, *, title: str) -> tuple[Plate, ...]:
    """The whole log, on as many pictures as it takes."""
    scale = _Scale(0, max(1000, replayed.ends_ms), WIDTH_MM)
    return _plates(_rows(model, replayed, scale), scale, title=title, name="replay")


def close_ups(model: Model, replayed: Replayed, *, title: str) -> tuple[Plate, ...]:
    """What is to be looked at from near: where a promise breaks, or an input disagrees with its witness."""
    plates: list[Plate] = []
    seen: set[str] = set()
    for span in sorted((*replayed.broken, *replayed.blind, *replayed.disagreed), key=lambda each: each.from_ms):
        if span.what in seen or len(seen) == MOST_CLOSE_UPS:
            continue
        seen.add(span.what)
        before_ms, after_ms = CLOSE_UP_MS
        begins = max(0, span.from_ms - before_ms)
        scale = _Scale(begins, begins + before_ms + after_ms, WIDTH_MM)
        said = f"{title}: {span.what} at {span.from_ms / 1000:.3f} s"
        plates += _plates(_rows(model, replayed, scale), scale, title=said, name=f"close-up-{len(seen)}-{span.what}")
    return tuple(plates)


def _rows(model: Model, replayed: Replayed, scale: _Scale) -> list[_Row]:
    """Every row, headings with them; what never changes and is never on is left out."""
    rows = [_promises(replayed, scale)] if replayed.promises else []
    tracks = replayed.tracks
    seconds = {track.name: track for track in replayed.witnesses}
    inputs: list[Track] = []
    for track in tracks:
        second = seconds.get(track.name) if track.kind == "input" else None
        if track.kind == "input" and (_moves(track, scale) or (second is not None and _moves(second, scale))):
            inputs += [track] if second is None else [track, second]
    found = [*_headed("Promises", rows)]
    found += _headed("Inputs", [_input(track, model, scale) for track in inputs])
    for kind, heading in _KINDS:
        if kind == "head":
            lit = lit_heads(model, replayed, from_ms=scale.from_ms, until_ms=scale.until_ms)
            found += _headed(heading, [_head(each, scale) for each in lit])
            continue
        of_kind = [track for track in tracks if track.kind == kind and _is_on(track, scale)]
        found += _headed(heading, [_bar(track, scale) for track in of_kind])
    return found


def _headed(heading: str, rows: Sequence[_Row]) -> list[_Row]:
    def draw(top: float) -> list[Element]:
        return [text((0.0, top + 4.0), heading, size_pt=8.5, ink=ACCENT, bold=True)]

    return [_Row(HEADING_MM, draw), *rows] if rows else []


def _moves(track: Track, scale: _Scale) -> bool:
    return len(list(spans_of(track, from_ms=scale.from_ms, until_ms=scale.until_ms))) > 1


def _is_on(track: Track, scale: _Scale) -> bool:
    return any(value for *_, value in spans_of(track, from_ms=scale.from_ms, until_ms=scale.until_ms))


def _plates(rows: Sequence[_Row], scale: _Scale, *, title: str, name: str) -> tuple[Plate, ...]:
    pages: list[list[_Row]] = []
    left_mm = 0.0
    for row in rows:
        if row.height_mm > left_mm:
            pages.append([])
            left_mm = MOST_HEIGHT_MM - TITLE_MM - AXIS_MM - 2.0
        pages[-1].append(row)
        left_mm -= row.height_mm
    many = len(pages)
    return tuple(
        _plate(page, scale, title=title if many == 1 else f"{title}, {number} of {many}", name=f"{name}-{number}")
        for number, page in enumerate(pages, start=1)
    )


def _plate(rows: Sequence[_Row], scale: _Scale, *, title: str, name: str) -> Plate:
    foot = TITLE_MM + AXIS_MM + sum(row.height_mm for row in rows)
    kept = fitted(title, width_mm=scale.width_mm, size_pt=11.0, bold=True)
    drawn: list[Element] = [text((0.0, 5.0), kept, size_pt=11.0, ink=ACCENT, bold=True), *_axis(scale, foot)]
    y = TITLE_MM + AXIS_MM
    for row in rows:
        shapes = row.draw(y)
        drawn += shapes[:_MOST_SHAPES]
        if len(shapes) > _MOST_SHAPES:
            drawn.append(text((scale.width_mm, y + 3.0), "more than can be drawn", size_pt=6.0, ink=INK, anchor="end"))
        y += row.height_mm
    drawn.append(text((0.0, foot + 3.4), NOTE, size_pt=6.0, ink=QUIET))
    return Plate(name, title, scale.width_mm, foot + 5.0, tuple(drawn))


def _axis(scale: _Scale, foot: float) -> list[Element]:
    mm_per_s = 1000 * scale.mm_per_ms
    step_s = next((each for each in _STEPS_S if each * mm_per_s >= 14.0), _STEPS_S[-1])
    drawn = []
    number = -(-scale.from_ms // (1000 * step_s))
    while number * step_s * 1000 <= scale.until_ms + 0.5:
        at_s = number * step_s
        x = scale.x(1000 * at_s)
        drawn.append(line((x, TITLE_MM + AXIS_MM - 2.2), (x, foot), ink=RULE_LINE, width_mm=0.12))
        said = f"{at_s:,.2f}".rstrip("0").rstrip(".") if step_s < 1 else f"{at_s:,.0f}"
        drawn.append(text((x, TITLE_MM + AXIS_MM - 3.2), f"{said} s", size_pt=6.5, ink=QUIET, anchor="middle"))
        number += 1
    y = TITLE_MM + AXIS_MM - 1.0
    drawn.append(line((scale.x(scale.from_ms), y), (scale.x(scale.until_ms), y), ink=INK, width_mm=0.16))
    return drawn


def _name(said: str, top: float, *, quiet: bool = False) -> Element:
    kept = fitted(said, width_mm=_NAME_MM - 3.5, size_pt=_SIZE_PT, bold=not quiet)
    at = (2.0 if quiet else 0.0, top + 3.3)
    return text(at, kept, size_pt=_SIZE_PT, ink=QUIET if quiet else INK, bold=not quiet)


def _input(track: Track, model: Model, scale: _Scale) -> _Row:
    item = model.input(track.name)

    def draw(top: float) -> list[Element]:
        said = track.name if track.kind == "input" else "as its witness says"
        drawn = [_name(said, top, quiet=track.kind != "input")]
        spans = list(spans_of(track, from_ms=scale.from_ms, until_ms=scale.until_ms))
        values = [float(value) for *_, value in spans if isinstance(value, int | float)]
        low, high = (min(values), max(values)) if values else (0.0, 1.0)
        before: float | None = None
        for begins, ends, value in spans:
            if item.values:
                place = item.values.index(str(value)) / max(1, len(item.values) - 1)
                said = str(value)
            else:
                place = (float(str(value)) - low) / (high - low or 1.0)
                said = show(float(str(value)), item.number_kind)
            y = top + ROW_MM - 0.7 - place * (_LANE_MM - 0.4)
            if before is not None and before != y:
                drawn.append(line((scale.x(begins), before), (scale.x(begins), y), ink=INK, width_mm=0.2))
            drawn.append(line((scale.x(begins), y), (scale.x(ends), y), ink=INK, width_mm=0.25))
            before = y
            wide = text_width_mm(said, size_pt=6.0)
            if wide + 1.0 < scale.x(ends) - scale.x(begins):
                below = place > 0.5
                at = (scale.x(begins) + 0.7, y + 2.2 if below else y - 0.5)
                drawn.append(text(at, said, size_pt=6.0, ink=QUIET))
        return drawn

    return _Row(ROW_MM + 0.6, draw)


def _bar(track: Track, scale: _Scale) -> _Row:
    def draw(top: float) -> list[Element]:
        drawn = [_name(track.name, top)]
        for begins, ends, value in spans_of(track, from_ms=scale.from_ms, until_ms=scale.until_ms):
            if not value:
                continue
            said = "" if value in ("acts", "on") else str(value)
            halted = said.startswith("stopped") or said == "waits"
            x, wide = scale.x(begins), scale.x(ends) - scale.x(begins)
            drawn.append(
                element(
                    "rect", x=x, y=top + 0.8, width=max(0.2, wide), height=_LANE_MM - 0.6,
                    fill="none" if halted else STATES["open"].wash, stroke=QUIET if halted else STATES["open"].ink,
                    stroke_width=0.15, stroke_dasharray="0.8 0.6" if halted else None,
                )
            )  # fmt: skip
            if said and text_width_mm(said, size_pt=6.0) + 1.2 < wide:
                drawn.append(text((x + 0.7, top + 2.9), said, size_pt=6.0, ink=INK))
        return drawn

    return _Row(ROW_MM, draw)


def _head(each: LitHead, scale: _Scale) -> _Row:
    def draw(top: float) -> list[Element]:
        floor = top + ROW_MM - 0.7
        drawn = [_name(each.head, top)]
        for lit in each.lit:
            drawn += _burning(lit, floor, scale)
        for begins, ends in each.undecided:
            x = scale.x(begins)
            drawn.append(
                element(
                    "rect", x=x, y=top + 0.6, width=max(0.2, scale.x(ends) - x), height=_LANE_MM - 0.4, fill="none",
                    stroke=STATES["fail"].ink, stroke_width=0.2, stroke_dasharray="0.8 0.6",
                )
            )  # fmt: skip
            drawn.append(text((x + 0.6, top + 2.9), "nothing decides", size_pt=6.0, ink=STATES["fail"].ink))
        drawn.append(line((scale.x(scale.from_ms), floor), (scale.x(scale.until_ms), floor), ink=QUIET, width_mm=0.1))
        return drawn

    return _Row(ROW_MM, draw)


def _burning(lit: Lit, floor: float, scale: _Scale) -> list[Element]:
    full = (_LANE_MM - 0.3) * min(1.0, lit.share)
    # The longest: the first and last pulse of a stretch may be cut.
    longest_mm = max((end - start for start, end in lit.pulses), default=0) * scale.mm_per_ms
    short = longest_mm < _LEAST_PULSE_MM or len(lit.pulses) > _MOST_PULSES
    if lit.steady:
        return [_lit_field(lit, (lit.from_ms, lit.until_ms), scale, floor=floor, height=full)]
    if not short:
        return [_lit_field(lit, pulse, scale, floor=floor, height=full) for pulse in lit.pulses]
    if not lit.pulses:
        return []
    x, ends = scale.x(lit.from_ms), scale.x(lit.until_ms)
    height = 0.6 * full
    return [
        _lit_field(lit, (lit.from_ms, lit.until_ms), scale, floor=floor, height=height, edge=False),
        line((x, floor - height), (ends, floor - height), ink=LIGHTS[lit.colour].ink, width_mm=0.25, dash="0.7 0.5"),
    ]


def _lit_field(
    lit: Lit, span_ms: tuple[int, int], scale: _Scale, *, floor: float, height: float, edge: bool = True
) -> Element:
    x, ends = scale.x(span_ms[0]), span_ms[1]
    return element(
        "rect", class_=f"lit {lit.colour}", x=x, y=floor - max(0.6, height), width=max(0.15, scale.x(ends) - x),
        height=max(0.6, height), fill=hatch_fill(lit.colour), stroke=LIGHTS[lit.colour].ink if edge else None,
        stroke_width=0.12 if edge else None,
    )  # fmt: skip


def _promises(replayed: Replayed, scale: _Scale) -> _Row:
    """All promises in one row each, put together so that they stay on one picture."""
    each_mm = ROW_MM - 0.4

    def draw(top: float) -> list[Element]:
        drawn: list[Element] = []
        for number, name in enumerate(replayed.promises):
            y = top + number * each_mm
            broken = [span for span in replayed.broken if span.what == name]
            blind = [span for span in replayed.blind if span.what == name]
            drawn.append(_name(name, y))
            middle = y + 2.2
            ink = STATES["fail" if broken else "open" if blind else "pass"].ink
            begins = scale.x(max(replayed.began_ms, scale.from_ms))
            drawn.append(line((begins, middle), (scale.x(replayed.ends_ms), middle), ink=ink, width_mm=0.25))
            drawn += _fields(broken, "broken", y, scale)
            drawn += _fields(blind, "blind", y, scale)
        return drawn

    return _Row(each_mm * len(replayed.promises) + 0.6, draw)


def _fields(spans: Iterable[Span], word: str, top: float, scale: _Scale) -> list[Element]:
    look = STATES["fail"]
    drawn: list[Element] = []
    for span in spans:
        if scale.clipped(span.from_ms, span.until_ms):
            continue
        x = scale.x(span.from_ms)
        wide = max(0.4, scale.x(span.until_ms) - x)
        drawn.append(
            element(
                "rect", class_=word, x=x, y=top + 0.5, width=wide, height=_LANE_MM, fill=look.wash, stroke=look.ink,
                stroke_width=0.25, stroke_dasharray="0.8 0.6" if word == "blind" else None,
            )
        )  # fmt: skip
        said = f"{look.sign} {word}"
        inside = text_width_mm(said, size_pt=6.5, bold=True) + 1.4 < wide
        at = (x + 0.7 if inside else x + wide + 0.6, top + 2.9)
        drawn.append(text(at, said, size_pt=6.5, ink=look.ink, bold=True))
    return drawn
