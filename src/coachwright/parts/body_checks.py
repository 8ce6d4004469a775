"""Does a body hold together? Places, panels, panes and signals that name each other; places that can be told apart.

What it says to who builds on it is looked at in parts.body_upfit_checks and parts.body_ways_checks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coachwright.kit.units import UnitError, parse
from coachwright.parts.body import BodyPart, Panel, Place, Signal
from coachwright.parts.body_names import direction_possible, inside, known, known_panel, not_left
from coachwright.parts.body_pieces_checks import pieces_problems
from coachwright.parts.body_upfit_checks import upfit_problems
from coachwright.parts.body_ways_checks import ways_problems
from coachwright.parts.problem import PartProblem

HINGE_BEYOND_M = 0.1
"""A hinge with its arm stands out from the stated outline by up to so much."""

ALIKE_M = 0.02
"""Two places nearer than this that look one way are one place."""


def body_problems(body: BodyPart) -> Iterator[PartProblem]:
    """Everything in a body that can't be so, in the order of the file."""
    for field in ("length", "width", "height", "wheelbase", "front_overhang"):
        if getattr(body, field) <= 0:
            yield PartProblem(
                (field.replace("_", "-"),), "PRT-043", "figure-not-possible", "A vehicle has a size above nothing."
            )
    for name, place in body.places.items():
        yield from _place(body, name, place)
    yield from _places_alike(body)
    for name, panel in body.panels.items():
        yield from _panel(body, name, panel)
    for name, pane in body.glass.items():
        if not 0 < pane.transmittance <= 1:
            yield PartProblem(
                ("glass", name, "transmittance"),
                "PRT-043",
                "figure-not-possible",
                "A pane lets through more than nothing, at most all.",
            )
        yield from known_panel(("glass", name, "panel"), pane.panel, body.panels)
        yield from direction_possible(("glass", name), pane.facing, pane.rise)
    for name, signal in body.signals.items():
        yield from _signal(name, signal)
    for name, lamp in body.lamps.items():
        for number, head in enumerate(lamp.heads, start=1):
            path = ("lamps", name, "heads", str(number), "place")
            yield from known(path, head.place, body.places, "PRT-052", "place")
            if head.place in body.places and body.places[head.place].mirrored != bool(head.side):
                yield PartProblem(
                    path,
                    "PRT-045",
                    "side-not-said",
                    "A lamp at a mirrored place is the left or the right one; at any other it is neither.",
                )
    for number, outline in enumerate(body.outlines, start=1):
        yield from known_panel(("outlines", str(number), "panel"), outline.panel, body.panels)
    yield from pieces_problems(body)
    yield from upfit_problems(body)
    yield from ways_problems(body)


def _place(body: BodyPart, name: str, place: Place) -> Iterator[PartProblem]:
    path = ("places", name)
    if place.mirrored and place.y <= 0:
        yield PartProblem(
            (*path, "y"),
            "PRT-035",
            "mirrored-place-not-left",
            "A mirrored place is written for the left, so it stands left of the centre line.",
            "Give y above 0, or take mirrored away.",
        )
    if place.panel != "body":
        yield from known((*path, "panel"), place.panel, body.panels, "PRT-037", "panel")
        panel = body.panels.get(place.panel)
        if panel is not None and panel.mirrored and not place.mirrored:
            yield PartProblem(
                (*path, "panel"),
                "PRT-045",
                "side-not-said",
                f"{place.panel} is a pair; a place that is no pair can't ride on both of them.",
            )
    if place.glass:
        yield from known((*path, "glass"), place.glass, body.glass, "PRT-036", "pane")
    yield from inside(body, path, (place.x, place.y, place.z))
    yield from direction_possible(path, place.facing, place.rise)
    if not 0 < place.clear <= math.pi + 1e-9:
        why = "A lamp looks out by more than nothing and less than all round."
        yield PartProblem((*path, "clear"), "PRT-079", "direction-not-possible", why, "Write it like 80 deg.")


def _places_alike(body: BodyPart) -> Iterator[PartProblem]:
    """Each place that repeats one before it, once."""
    before: dict[tuple[float, float], list[str]] = {}
    for name, place in body.places.items():
        alike = before.setdefault((place.facing, place.rise), [])
        other = next((each for each in alike if _apart_m(place, body.places[each]) < ALIKE_M), None)
        if other is None:
            alike.append(name)
            continue
        yield PartProblem(
            ("places", name),
            "PRT-040",
            "places-alike",
            f"{name} is the same spot as {other} and looks the same way.",
            "Keep one of them.",
            on_key=True,
        )


def _apart_m(one: Place, other: Place) -> float:
    away_m: float = max(abs(one.x - other.x), abs(one.y - other.y), abs(one.z - other.z))
    return away_m


def _panel(body: BodyPart, name: str, panel: Panel) -> Iterator[PartProblem]:
    path = ("panels", name)
    for field, signal_name in (("signal", panel.signal), ("signal-right", panel.signal_right)):
        if field == "signal-right" and not panel.mirrored:
            if signal_name:
                yield PartProblem(
                    (*path, field), "PRT-045", "side-not-said", "Only a mirrored panel has a signal of its right one."
                )
            continue
        yield from known((*path, field), signal_name, body.signals, "PRT-038", "signal")
        signal = body.signals.get(signal_name)
        if signal is not None and panel.open_value not in values_of(signal):
            yield PartProblem(
                (*path, "open-value"),
                "PRT-039",
                "value-not-known",
                f"{signal_name} never reads {panel.open_value}.",
                f"It can be {' or '.join(values_of(signal))}." if values_of(signal) else "It has no named values.",
            )
    slides = bool(panel.slide_x or panel.slide_z)
    turns = panel.axis != "none"
    if slides == turns or (turns and not panel.travel):
        yield PartProblem(
            path,
            "PRT-047",
            "panel-does-not-move",
            "A panel either turns about its hinge or slides.",
            "Give axis and travel, or slide-x or slide-z.",
            on_key=True,
        )
    elif turns:
        yield from _hinge(body, path, panel)


def _hinge(body: BodyPart, path: tuple[str, ...], panel: Panel) -> Iterator[PartProblem]:
    """Only where the hinge line is counts, not where along it the point was taken."""
    limits_m = {
        "x": (body.front_overhang - body.length - HINGE_BEYOND_M, body.front_overhang + HINGE_BEYOND_M),
        "y": (-body.width / 2 - HINGE_BEYOND_M, body.width / 2 + HINGE_BEYOND_M),
        "z": (0.0, body.height + HINGE_BEYOND_M),
    }
    for axis, (low_m, high_m) in limits_m.items():
        at_m = getattr(panel, f"hinge_{axis}")
        if axis != panel.axis and not low_m <= at_m <= high_m:
            why = f"The hinge line lies beside the vehicle, at {axis} {at_m * 1000:.0f} mm."
            yield PartProblem((*path, f"hinge-{axis}"), "PRT-078", "hinge-not-on-body", why, "Measure it again.")
    if panel.mirrored and panel.hinge_y <= 0:
        yield not_left((*path, "hinge-y"))


def _signal(name: str, signal: Signal) -> Iterator[PartProblem]:
    path = ("signals", name)
    if signal.kind == "states" and len(signal.values) < 2:
        yield PartProblem(
            (*path, "values"),
            "PRT-048",
            "values-missing",
            "A signal with states has at least two of them.",
            "List them in order.",
        )
    if signal.kind != "states" and signal.values:
        yield PartProblem(
            (*path, "values"),
            "PRT-048",
            "values-not-due",
            f"The values of an {signal.kind} signal are known.",
            "Leave them out.",
        )
    if signal.kind == "number":
        yield from _number_signal(path, signal)
        return
    read = values_of(signal)
    if signal.rest not in read:
        yield from known((*path, "rest"), signal.rest, read, "PRT-039", "value")
    allowed = (*read, "hold", "P-unless-moving") if "P" in read else (*read, "hold")
    if signal.lost not in allowed:
        yield from known((*path, "lost"), signal.lost, allowed, "PRT-039", "value")
    if signal.recognition and signal.recognition < signal.debounce:
        yield PartProblem(
            (*path, "recognition"),
            "PRT-049",
            "times-out-of-order",
            "Nothing is recognised before its debounce time is over.",
            "Give the longer time.",
        )


def _number_signal(path: tuple[str, ...], signal: Signal) -> Iterator[PartProblem]:
    values: dict[str, float] = {}
    for field, text in (("low", signal.low), ("high", signal.high), ("rest", signal.rest), ("lost", signal.lost)):
        if field == "lost" and text == "hold":
            continue
        try:
            values[field] = parse(text, signal.unit_kind)
        except (UnitError, KeyError, ValueError) as error:
            yield PartProblem(
                (*path, field),
                "PRT-051",
                "range-not-read",
                str(error),
                "Give low, high and rest with their unit, and unit-kind.",
            )
            return
    if not values["low"] <= values["rest"] <= values["high"] or values["low"] == values["high"]:
        yield PartProblem((*path, "rest"), "PRT-051", "range-not-possible", "The rest lies between low and high.")


def values_of(signal: Signal) -> tuple[str, ...]:
    """What a signal can read, in order; nothing for a number."""
    if signal.kind == "states":
        return signal.values
    return () if signal.kind == "number" else ("off", "on")
