"""The harness in lines that somebody in the bay reads: what to cut, what to print, what goes through which hole.

Plain text, one thing a line; papers give it their look.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from coachwright.power.cutlist import Reels
from coachwright.power.harness import Harness

_MM = 1000.0


def cut_lines(harness: Harness) -> Iterator[str]:
    """The cut list: each part with its wires by number, then what it takes of reels."""
    for reels in harness.reels:
        count = len(reels.wires)
        yield f"{reels.part.title}: {_wires(count)}, {reels.metres_m:.2f} m, {reels.mass_kg:.2f} kg a vehicle"
        for wire in reels.wires:
            yield f"  {wire.length_m:6.2f} m  {wire.mark.text:44}  {wire.from_place} to {wire.to_place}"
        yield f"  {reel_line(reels)}"
    yield f"All wire of one vehicle: {harness.metres_m:.1f} m, {harness.mass_kg:.2f} kg, without connectors and loom."


def reel_line(reels: Reels) -> str:
    """How many reels are opened, how few any plan needs, what is left on them."""
    cutting, count = reels.cutting, len(reels.cutting.reels)
    alike = f"{reels.vehicles_n} vehicles" if reels.vehicles_n > 1 else "one vehicle"
    best = "no plan needs fewer" if cutting.is_proved else f"no plan needs fewer than {cutting.bound_n}"
    opened = "1 reel" if count == 1 else f"{count} reels"
    left = f"{cutting.waste_m:.1f} m left on them ({_share(cutting.waste_m, count * reels.part.reel)})"
    long = f"; {len(cutting.too_long)} longer than a reel" if cutting.too_long else ""
    return f"{opened} of {reels.part.reel:.2f} m for {alike}, {best}; {left}{long}."


def reel_plan_lines(reels: Reels) -> Iterator[str]:
    """What is cut from each reel, in order."""
    for number, reel in enumerate(reels.cutting.reels, start=1):
        taken = [reels.wires[piece % len(reels.wires)] for piece in reel]
        left_m = reels.part.reel - sum(wire.length_m for wire in taken)
        times = Counter(f"{wire.mark.text} {wire.length_m:.2f} m" for wire in taken)
        pieces = ", ".join(f"{each_n} x {piece}" if each_n > 1 else piece for piece, each_n in times.items())
        yield f"reel {number}: {pieces}; {left_m:.2f} m left"


def mark_lines(harness: Harness) -> Iterator[str]:
    """Every print once, by number."""
    prints = {mark for marks in harness.marks.values() for mark in marks}
    yield from (mark.text for mark in sorted(prints, key=lambda each: (each.number, each.words)))


def bundle_lines(harness: Harness) -> Iterator[str]:
    """Every way with what lies in it."""
    for bundle in harness.bundles:
        where = bundle.segment
        hole = ""
        if bundle.fill_share is not None and bundle.most_share is not None:
            fill = f"{bundle.fill_share * 100:.0f} % filled, {bundle.most_share * 100:.0f} % may be"
            hole = f"; hole of {where.bore_m * _MM:.0f} mm, {fill}"
        yield (
            f"{where.name}: {_wires(bundle.conductors_n)}, {bundle.warm_n} of them with current, "
            f"{bundle.diameter_m * _MM:.1f} mm thick, {where.length_m:.2f} m, {where.ambient_degc:.0f} degC"
            f"{', wet' if where.wet else ''}{f', over the hinge of {where.hinge}' if where.hinge else ''}{hole}"
        )


def connector_lines(harness: Harness) -> Iterator[str]:
    """Every connector with its pins."""
    for connector in harness.connectors:
        yield f"{connector.at}: {connector.part.title}"
        for pin in connector.pins:
            yield f"  {pin.number:2d}  {pin.mark.text if pin.mark is not None else 'free'}"
    for splice in harness.splices:
        yield f"channel {splice.channel} at {splice.at}: {splice.pieces_n + 1} wires joined"


def ground_lines(harness: Harness) -> Iterator[str]:
    """Every ground point with what returns there."""
    for each in harness.grounds:
        carries = f", carries {each.point.most_a:.0f} A" if each.point.most_a else ""
        yield f"{each.point.node} ({each.point.what}){carries}: {_wires(len(each.runs))}"
        yield from (f"  {mark.text}" for name in each.runs for mark in harness.marks[name])


def missed_lines(harness: Harness) -> Iterator[str]:
    """What isn't laid, and why."""
    yield from (f"{each.subject}: {each.why}" for each in harness.missed)


def _wires(count: int) -> str:
    return "1 wire" if count == 1 else f"{count} wires"


def _share(part: float, whole: float) -> str:
    return f"{part / whole * 100:.0f} %" if whole > 0 else "0 %"
