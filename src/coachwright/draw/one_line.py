"""From which source, over which fuses and wires, does every lamp and device get its current? One line for each circuit.

Left to right: battery, disconnect, block, feed, then each channel and device with what hangs on it. Whatever hangs
together stands together, so that no line crosses another.

See Also
--------
coachwright.power.circuits : what hangs behind each fuse. coachwright.power.sizes : fuse, wire, and what governs them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coachwright.build.model import Model
from coachwright.draw.caution_lines import caution_elements, caution_mm
from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.draw.sheet import Plate
from coachwright.draw.supply_tree import Branch, supply_tree
from coachwright.draw.svg import Element, element, line, text
from coachwright.look.style import ACCENT, INK, PAPER, QUIET
from coachwright.power.sizes import Sized, gauge_name

ROW_MM, _MOST_ROW_MM = 11.6, 16.0
_TOP_MM, _NOTE_MM, _LINE_MM, _SIZE_PT, _ABOVE_MM, _UNDER_MM = 6.0, 2.8, 2.5, 6.3, 3.9, 3.2
_WEIGHTS = {"source": 54.0, "break": 50.0, "block": 46.0, "feed": 64.0, "wire": 68.0, "load": 110.0}
_HEADS = {
    "source": "source", "break": "disconnect", "block": "block", "feed": "feed", "wire": "fuse and wire",
    "load": "channel or device, and what hangs on it",
}  # fmt: skip
_OF_FUSES = (
    "Over a line: fuse, gauge, length to cut. Under it what governs. Fuse: heat, hours, bursts, surge, whatever asked "
    "for no smaller one; selective, it outlasts those behind it; smallest, nothing asks for more."
)
_OF_WIRES = (
    "Wire: ampacity, drop, fuse, short, gauge, the rule that turned the next thinner one down; thinnest, none did. "
    "Fixed: by the lead. Currents at the lowest supply. Every load has its own return to a ground point (harness)."
)
_LEGEND = (_OF_FUSES, _OF_WIRES)


def one_line_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """The diagram, over as many sheets as it takes."""
    roots = supply_tree(model)
    rows_n = sum(root.ends for root in roots)
    if not rows_n:
        return ()
    room = height_mm - _TOP_MM - _foot_mm(width_mm)
    most_n = max(1, int(room / ROW_MM))
    each_n = -(-rows_n // -(-rows_n // most_n))
    columns = _columns(roots, width_mm)
    made = []
    for number, start in enumerate(range(0, rows_n, each_n), start=1):
        row_mm = min(_MOST_ROW_MM, room / each_n)
        sheet = _Sheet(columns, row_mm, start, start + each_n)
        elements = [*_heads(columns), *sheet.drawn(roots), *_legend(width_mm, height_mm)]
        name = "one-line" if number == 1 else f"one-line-{number}"
        made.append(Plate(name, "One-line diagram of supply", width_mm, height_mm, tuple(elements), number=name))
    return tuple(made)


# -------------------------------------------------------------------------------------------------------------- paper
def _columns(roots: Sequence[Branch], width_mm: float) -> Mapping[str, tuple[float, float]]:
    """Where each column that is used begins and ends. [mm]"""
    kinds = {"source", "wire", "load"}
    waiting = list(roots)
    while waiting:
        branch = waiting.pop()
        kinds.add(branch.kind)
        waiting += branch.behind
    whole = sum(weight for kind, weight in _WEIGHTS.items() if kind in kinds)
    found, x = {}, 0.2
    for kind, weight in _WEIGHTS.items():
        if kind in kinds:
            wide = weight * (width_mm - 0.4) / whole
            found[kind] = (x, x + wide)
            x += wide
    return found


@dataclass(slots=True)
class _Sheet:
    """Rows `begin` to `end` of the whole diagram, drawn on one sheet."""

    columns: Mapping[str, tuple[float, float]]
    row_mm: float
    begin: int
    end: int
    made: list[Element] = field(default_factory=list)

    def drawn(self, roots: Sequence[Branch]) -> list[Element]:
        row = 0
        batteries: list[tuple[float, float]] = []
        for root in roots:
            if row < self.end and row + root.ends > self.begin:
                box = self._root(root, row)
                batteries += [box] if root.battery else []
            row += root.ends
        if len(batteries) == 2:
            self._tie(batteries[0][1], batteries[1][0])
        return self.made

    def _tie(self, high: float, low: float) -> None:
        """What joins two batteries."""
        x = self.columns["source"][0] + 6.0
        middle = (high + low) / 2
        self.made += [
            line((x, high), (x, low), ink=INK, width_mm=0.35),
            line((x, middle - 0.8), (x, middle + 0.8), ink=PAPER, width_mm=0.9),
            line((x, middle + 0.8), (x + 0.9, middle - 0.8), ink=INK, width_mm=0.35, name="tie"),
        ]

    def _y(self, row: int) -> float:
        return _TOP_MM + (row - self.begin) * self.row_mm + _ABOVE_MM

    def _root(self, root: Branch, row: int) -> tuple[float, float]:
        """Its box and all behind it: top and foot of the box."""
        left, right = self.columns["source"]
        first, last = max(row, self.begin), min(row + root.ends, self.end) - 1
        y, wide = self._y(first), right - left - 9.0
        most_n = int(((last - first + 1) * self.row_mm - 4.6) / _LINE_MM)
        begun = row < self.begin
        lines = [(fitted(root.name, width_mm=wide - 3.0, size_pt=_SIZE_PT, bold=True), True)]
        for words in ("continued",) if begun else root.said:
            lines += [(each, False) for each in lines_of(words, width_mm=wide - 3.0, size_pt=_SIZE_PT, most_n=2)]
        lines = lines[: max(1, most_n)]
        top, high = y - 3.2, max(ROW_MM - 2.2, _LINE_MM * len(lines) + 2.2)
        self.made.append(
            element("rect", class_="source", x=left, y=top, width=wide, height=high, fill=PAPER, stroke=INK,
                    stroke_width=0.35)
        )  # fmt: skip
        for place, (words, bold) in enumerate(lines):
            at = (left + 1.5, y - 0.5 + _LINE_MM * place)
            self.made.append(text(at, words, size_pt=_SIZE_PT, ink=INK if bold else QUIET, bold=bold))
        x = left + wide + 5.0
        self.made.append(line((left + wide, y), (x, y), ink=INK, width_mm=0.35))
        self._behind(root, row, x)
        return top, top + high

    def _behind(self, branch: Branch, row: int, x: float) -> None:
        """What hangs on a place: a bar over the rows it feeds, and a line from it to each."""
        ys = []
        for each in branch.behind:
            if row < self.end and row + each.ends > self.begin:
                ys.append(self._y(max(row, self.begin)))
                self._line(each, row, x)
            row += each.ends
        if len(ys) > 1 or (ys and branch.kind != "source"):
            low, high = (ys[0], ys[-1]) if len(ys) > 1 else (ys[0] - 1.6, ys[0] + 1.6)
            wide = 0.9 if branch.kind != "source" else 0.35
            self.made.append(line((x, low - 0.45), (x, high + 0.45), ink=ACCENT, width_mm=wide))

    def _line(self, branch: Branch, row: int, from_x: float) -> None:
        y = self._y(max(row, self.begin))
        left, right = self.columns["wire" if branch.kind == "load" else branch.kind]
        begun = row < self.begin
        start, end = max(left, from_x) + 1.6, right - (0.0 if branch.kind == "load" else 2.0)
        self.made.append(line((from_x, y), (end, y), ink=INK, width_mm=0.35))
        at = start
        if branch.fused and branch.circuit is not None:
            at = self._fuse(branch.circuit, (start, y))
        if not begun:
            over = fitted(_wire_said(branch), width_mm=end - at - 1.5, size_pt=_SIZE_PT)
            self.made.append(text((at + 0.8, y - 0.9), over, size_pt=_SIZE_PT, ink=INK))
            under = [_governs(branch)] if branch.fused else [_governs(branch, fuse=False)]
        else:
            under = []
        room = end - start
        for place, words in enumerate(under):
            kept = fitted(words, width_mm=room, size_pt=_SIZE_PT)
            if kept:
                self.made.append(text((start, y + _UNDER_MM + _LINE_MM * place), kept, size_pt=_SIZE_PT, ink=QUIET))
        if branch.kind == "load":
            self._load(branch, (end, y))
            return
        named = [branch.name, *(("continued",) if begun else branch.said)]
        if branch.kind == "break":
            self._switch((end - 5.0, y))
        for place, words in enumerate(named, start=len(under)):
            kept = fitted(words, width_mm=room - 1.0, size_pt=_SIZE_PT, bold=place == len(under))
            spot = (start, y + _UNDER_MM + _LINE_MM * place)
            bold = place == len(under)
            self.made.append(text(spot, kept, size_pt=_SIZE_PT, ink=INK if bold else QUIET, bold=bold))
        self._behind(branch, row, end)

    def _fuse(self, circuit: Sized, at: tuple[float, float]) -> float:
        x, y = at
        self.made.append(
            element("rect", class_="fuse", x=x, y=y - 1.0, width=5.0, height=2.0, fill=PAPER, stroke=INK,
                    stroke_width=0.3)
        )  # fmt: skip
        self.made.append(line((x, y), (x + 5.0, y), ink=INK, width_mm=0.2))
        said = f"{circuit.sized.fuse.rating_a:g} A"
        self.made.append(text((x, y - 1.6), said, size_pt=_SIZE_PT, ink=INK, bold=True))
        return x + max(5.0, text_width_mm(said, size_pt=_SIZE_PT, bold=True) + 0.8)

    def _switch(self, at: tuple[float, float]) -> None:
        """A contact that opens."""
        x, y = at
        self.made += [
            line((x - 1.5, y), (x + 1.5, y), ink=PAPER, width_mm=0.9),
            line((x - 1.5, y), (x + 1.3, y - 1.6), ink=INK, width_mm=0.35),
            *(
                element("circle", cx=x + dx, cy=y, r=0.5, fill=PAPER, stroke=INK, stroke_width=0.25)
                for dx in (-1.5, 1.5)
            ),
        ]

    def _load(self, branch: Branch, at: tuple[float, float]) -> None:
        x, y = at
        right = self.columns["load"][1]
        wide, top = right - x, y - 3.2
        self.made.append(
            element("rect", class_="load", x=x, y=top, width=wide, height=ROW_MM - 1.4, fill=PAPER, stroke=QUIET,
                    stroke_width=0.2)
        )  # fmt: skip
        assert branch.circuit is not None  # every load hangs behind a fuse
        figures = branch.said[-1] if branch.said and branch.said[-1].startswith("RMS ") else ""
        room = wide - 3.0
        after = text_width_mm(figures, size_pt=_SIZE_PT)
        name = fitted(branch.name, width_mm=room - after - 2.0, size_pt=_SIZE_PT, bold=True)
        self.made.append(text((x + 1.5, top + 2.6), name, size_pt=_SIZE_PT, ink=INK, bold=True))
        if figures:
            self.made.append(text((right - 1.5, top + 2.6), figures, size_pt=_SIZE_PT, ink=INK, anchor="end"))
        lines: list[str] = []
        said = [each for each in branch.said if each and each is not figures]
        for words in said:
            lines += lines_of(words, width_mm=room, size_pt=_SIZE_PT, most_n=2 if len(said) == 1 else 1)
        for place, words in enumerate(lines[:2], start=1):
            spot = (x + 1.5, top + 2.6 + place * (_LINE_MM + 0.15))
            self.made.append(text(spot, words, size_pt=_SIZE_PT, ink=QUIET))


def _wire_said(branch: Branch) -> str:
    """``3 x 16 AWG, 18 AWG, 4.61–7.10 m``."""
    gauges: dict[str, int] = {}
    for _, wired in branch.runs:
        name = gauge_name(wired.part) if wired.part is not None else "its own cable"
        gauges[name] = gauges.get(name, 0) + 1
    said = ", ".join(f"{count} x {name}" if count > 1 else name for name, count in gauges.items())
    lengths = sorted(run.length_m for run, _ in branch.runs)
    far = f"{lengths[0]:.2f} m" if lengths[0] == lengths[-1] else f"{lengths[0]:.2f}–{lengths[-1]:.2f} m"
    return f"{said}, {far}"


def _governs(branch: Branch, *, fuse: bool = True) -> str:
    """What governs fuse and wires; a wire that is cut thicker than the rules ask says so."""
    anew = branch.anew
    assert anew is not None  # every line but those of sources has a circuit
    rules: dict[str, None] = {}
    for run, wired in branch.runs:
        needs = anew.wire_of(run.name)
        thicker = wired.part is not None and wired.part.area > 1.001 * needs.wire.area
        rules["thicker than asked" if thicker else needs.governed_by] = None
    said = f"wire: {', '.join(rules)}"
    return f"fuse: {anew.sized.fuse.governed_by}; {said}" if fuse else said


def _heads(columns: Mapping[str, tuple[float, float]]) -> Iterator[Element]:
    for kind, (left, right) in columns.items():
        kept = fitted(_HEADS[kind], width_mm=right - left - 2.0, size_pt=7.0)
        yield text((left + (0.0 if kind in ("source", "load") else 1.6), 2.8), kept, size_pt=7.0, ink=QUIET)
    end = max(right for _, right in columns.values())
    yield line((0.0, 4.0), (end, 4.0), ink=INK, width_mm=0.16)


def _legend(width_mm: float, height_mm: float) -> Iterator[Element]:
    lines = [each for words in _LEGEND for each in lines_of(words, width_mm=width_mm, size_pt=_SIZE_PT, most_n=2)]
    top = height_mm - _foot_mm(width_mm) + 2.6
    for place, words in enumerate(lines):
        yield text((0.0, top + _NOTE_MM * place), words, size_pt=_SIZE_PT, ink=QUIET)
    yield from caution_elements("battery", (0.0, top + _NOTE_MM * len(lines) + 0.6), width_mm=width_mm)


def _foot_mm(width_mm: float) -> float:
    """What stands under the diagram takes. [mm]"""
    lines = sum(len(lines_of(words, width_mm=width_mm, size_pt=_SIZE_PT, most_n=2)) for words in _LEGEND)
    return 2.0 + _NOTE_MM * lines + caution_mm("battery", width_mm=width_mm)
