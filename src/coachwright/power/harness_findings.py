"""What is wrong with a harness: wires that can't be laid, holes that are too small, ways a wire should not take?

Findings PWR-020 to PWR-031. Each names the place and, where it is about a way, the way as the body calls it.

See Also
--------
coachwright.power.harness : what is looked at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coachwright.build.model import Model
from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.kit.geom import Pose, Vector
from coachwright.parts.body_ways import panel_of, spot_m
from coachwright.parts.body_words import side_and_name
from coachwright.parts.schema import BodyPart
from coachwright.place.panels import carried
from coachwright.power.harness import Harness, harness_of
from coachwright.power.laying import laying
from coachwright.power.route import Segment
from coachwright.power.runs import Run

BODY = "vehicle.body"
_STEPS_N = 16
_GUIDE = "The vehicle maker's guide for body builders says where wire may run."


def findings_harness(model: Model, harness: Harness | None = None) -> tuple[Finding, ...]:
    """Everything, wires first, then ways by name, then what the shelf lacks."""
    harness = harness_of(model) if harness is None else harness
    return (
        *_missed(harness),
        *_long(model, harness),
        *_hot(harness),
        *_through(model, harness),
        *_holes(harness),
        *_loops(model, harness),
        *_shelf(model, harness),
    )


def open_length_m(body: BodyPart, segment: Segment) -> float:
    """How far apart the ends of a way over a hinge come between shut and open. [m]"""
    return max(
        math.dist(_carried(body, segment.start, share), _carried(body, segment.end, share))
        for share in (step / _STEPS_N for step in range(_STEPS_N + 1))
    )


# ---- wires


def _missed(harness: Harness) -> Iterator[Finding]:
    for each in harness.missed:
        values: dict[str, str | int | float | Quantity] = {"subject": each.subject, "why": each.why}
        if each.by_body:
            fix = Fix("Find it on the vehicle, and add its wire to the list by hand.")
            template = "The wire of {subject} isn't laid. {why}"
            yield Finding("PWR-021", "end-not-said", "note", template, values, about=each.path, fix=fix)
        else:
            values["place"] = each.place
            fix = Fix("Take a place a way leads to, or add the joint and the way to the body.")
            template = "{subject} at {place} gets no wire. {why}"
            yield Finding("PWR-020", "wire-not-laid", "error", template, values, about=each.path, fix=fix)


def _long(model: Model, harness: Harness) -> Iterator[Finding]:
    body = model.body
    most_m = laying().absurd_share * (body.length + body.width + body.height)
    for run in harness.runs:
        if run.length_m <= most_m:
            continue
        ways = ", ".join(segment.name for segment in run.segments)
        value, limit = Quantity(run.length_m, "length"), Quantity(most_m, "length")
        yield Finding(
            "PWR-024",
            "wire-absurdly-long",
            "warning",
            "The wire {run} from {begin} to {end} is {length} long; no wire in this vehicle needs more than {most}. "
            "It follows {ways}.",
            {
                "run": run.name,
                "begin": run.from_place,
                "end": run.to_place,
                "length": value,
                "most": limit,
                "ways": ways,
            },
            about=run.path,
            value=value,
            limit=limit,
            margin=Quantity(most_m - run.length_m, "length"),
            cite=laying().length_cite,
            fix=Fix("Look at the lengths of these ways in the body; one of them may have a slip of the decimal point."),
        )


def _hot(harness: Harness) -> Iterator[Finding]:
    for run in harness.runs:
        part = harness.wires[run.name].part
        hot = max(run.segments, key=lambda segment: segment.ambient_degc, default=None)
        if part is None or hot is None or hot.ambient_degc < part.insulation:
            continue
        yield Finding(
            "PWR-031",
            "way-hotter-than-jacket",
            "error",
            "The wire {run} is led along {way}, where it gets {ambient:.0f} degC; its jacket bears {jacket:.0f} degC.",
            {"run": run.name, "way": hot.name, "ambient": hot.ambient_degc, "jacket": part.insulation},
            about=run.path,
            fix=Fix("Take a wire with a hotter insulation, or a place that is reached another way."),
        )


# ---- ways


def _through(model: Model, harness: Harness) -> Iterator[Finding]:
    for bundle in harness.bundles:
        for box, metres in bundle.segment.through:
            keep_out = model.body.keep_outs[box]
            avoid = keep_out.kind in laying().avoid
            values: dict[str, str | int | float | Quantity] = {
                "way": bundle.segment.name,
                "wires": _told(harness, bundle.runs),
                "length": Quantity(metres, "length"),
                "box": box,
                "what": keep_out.what or keep_out.kind,
            }
            template = "{wires} along {way} for {length} through {box}: {what}."
            fix = Fix(f"{_GUIDE} Take another place for what hangs on it, or write a way that goes round.")
            if avoid:
                why = f"Nothing else leads there. {template}"
                yield Finding("PWR-022", "way-through-keep-out", "warning", why, values, about=BODY, fix=fix)
            else:
                fix = Fix(f"{_GUIDE} Lay it in a loom, clipped away from tank, neck and lines.")
                yield Finding("PWR-023", "wire-beside-fuel", "note", template, values, about=BODY, fix=fix)


def _holes(harness: Harness) -> Iterator[Finding]:
    for bundle in harness.bundles:
        if bundle.fill_share is None or bundle.most_share is None:
            continue
        where = bundle.segment
        bore, thick = Quantity(where.bore_m, "length"), Quantity(bundle.diameter_m, "length")
        values: dict[str, str | int | float | Quantity] = {
            "way": where.name,
            "wires": bundle.conductors_n,
            "thick": thick,
            "bore": bore,
            "told": _told(harness, bundle.runs),
        }
        if not bundle.goes_through:
            yield Finding(
                "PWR-025",
                "hole-too-small",
                "error",
                "{wires} wires along {way} are {thick} thick together, and its hole is {bore} wide. {told}.",
                values,
                about=BODY,
                value=thick,
                limit=bore,
                margin=Quantity(where.bore_m - bundle.diameter_m, "length"),
                cite=laying().lay_cite,
                fix=Fix("Lead some of them another way, or take thinner wire where current and drop allow it."),
            )
        elif bundle.fill_share > bundle.most_share:
            fill, most = Quantity(bundle.fill_share, "share"), Quantity(bundle.most_share, "share")
            yield Finding(
                "PWR-026",
                "hole-over-full",
                "warning",
                "{wires} wires along {way} fill {fill} of a hole of {bore}; {most} leaves room to draw them. {told}.",
                {**values, "fill": fill, "most": most},
                about=BODY,
                value=fill,
                limit=most,
                margin=Quantity(bundle.most_share - bundle.fill_share, "share"),
                cite=laying().fill_cite,
                fix=Fix("Lead some of them another way. The figure was made for conduit; try it with the real bundle."),
            )


def _loops(model: Model, harness: Harness) -> Iterator[Finding]:
    for bundle in harness.bundles:
        segment = bundle.segment
        if not segment.hinge:
            continue
        apart_m = open_length_m(model.body, segment)
        if segment.length_m >= apart_m:
            continue
        value, limit = Quantity(segment.length_m, "length"), Quantity(apart_m, "length")
        yield Finding(
            "PWR-027",
            "loop-too-short",
            "warning",
            "The way {way} over the hinge of {panel} is {length} long, and its ends stand {apart} apart with it open.",
            {"way": segment.name, "panel": segment.hinge, "length": value, "apart": limit},
            about=BODY,
            value=value,
            limit=limit,
            margin=Quantity(segment.length_m - apart_m, "length"),
            fix=Fix("Write length: with the loop in it, as measured along the wire with the panel open."),
        )


# ---- shelf


def _shelf(model: Model, harness: Harness) -> Iterator[Finding]:
    told: set[tuple[str, str]] = set()
    for each in harness.unplugged:
        if (each.at, each.why) in told:
            continue
        told.add((each.at, each.why))
        fix = Fix(
            "Put a connector for it on the shelf, or lead the wire on without one and tell who takes the panel off."
        )
        values = {"run": each.run, "at": each.at, "why": each.why}
        template = "The wire {run} can't be plugged at {at}. {why}"
        yield Finding("PWR-028", "no-connector-fits", "warning", template, values, about=each.path, fix=fix)
    paths = {(fixed.subject, fixed.value): fixed.path for fixed in model.fixed if fixed.what == "gauge"}
    for subject, gauge in harness.lacking_gauges:
        about = paths.get((subject, gauge), subject)
        fix = Fix("Put the wire on the shelf, or write a gauge that is there.")
        template = "No wire of {gauge} is on the shelf for {subject}."
        values = {"subject": subject, "gauge": gauge}
        yield Finding("PWR-029", "wire-not-on-shelf", "warning", template, values, about=about, fix=fix)
    runs = {run.name: run for run in harness.runs}
    for reels in harness.reels:
        for piece in sorted({number % len(reels.wires) for number in reels.cutting.too_long}):
            yield _longer_than_reel(runs[reels.wires[piece].run], reels.part.title, reels.part.reel)


def _longer_than_reel(run: Run, title: str, reel_m: float) -> Finding:
    value, limit = Quantity(run.length_m, "length"), Quantity(reel_m, "length")
    return Finding(
        "PWR-030",
        "wire-longer-than-reel",
        "warning",
        "The wire {run} is {length} long, and a reel of {title} holds {reel}.",
        {"run": run.name, "length": value, "title": title, "reel": limit},
        about=run.path,
        value=value,
        limit=limit,
        fix=Fix("Order a longer reel. A splice under way is the place where it will fail."),
    )


def _told(harness: Harness, names: tuple[str, ...]) -> str:
    """What lies there, by whom it belongs to: three of them, and how many more."""
    subjects = list(dict.fromkeys(run.subject for run in harness.runs if run.name in names))
    more = f" and {len(subjects) - 3} more" if len(subjects) > 3 else ""
    return f"{', '.join(subjects[:3])}{more}"


def _carried(body: BodyPart, node: str, share: float) -> Vector:
    panel = panel_of(body, node)
    pose = Pose.facing(spot_m(body, node), bearing_rad=0.0)
    if panel == "body":
        return pose.position_m
    return carried(pose, body, panel, side_and_name(node)[1], share=share).position_m
