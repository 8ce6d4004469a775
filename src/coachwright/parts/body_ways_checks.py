"""Do the ways for wire of a body hang together? Every lamp and device is reached, and no hinge is crossed unnamed."""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.parts.body import BodyPart, Place
from coachwright.parts.body_names import inside, known, known_panel, not_left
from coachwright.parts.body_upfit import Joint, Way
from coachwright.parts.body_ways import drawn_length_m, node_of, nodes, panel_of, reached_from, segments
from coachwright.parts.body_words import side_and_name
from coachwright.parts.problem import PartProblem
from coachwright.parts.standing import Side

_AMBIENT_DEGC = (20.0, 300.0)
"""The hottest air along a way: no vehicle stays below the first, no wire is laid above the second."""
_SLACK_SHARE = 0.02
_NO_WIRE = frozenset({"cargo", "console"})


def ways_problems(body: BodyPart) -> Iterator[PartProblem]:
    """Everything in joints and ways that can't be so, in the order of the file."""
    for name, joint in body.joints.items():
        path = ("joints", name)
        if joint.mirrored and joint.y <= 0:
            yield not_left((*path, "y"))
        yield from known_panel((*path, "panel"), joint.panel, body.panels)
        if joint.panel in body.panels and body.panels[joint.panel].mirrored and not joint.mirrored:
            why = f"{joint.panel} is a pair; a joint that is no pair can't ride on both of them."
            yield PartProblem((*path, "panel"), "PRT-045", "side-not-said", why)
        yield from inside(body, path, (joint.x, joint.y, joint.z))
        if joint.ground < 0:
            why = "A stud carries no less than nothing."
            yield PartProblem((*path, "ground"), "PRT-043", "figure-not-possible", why)
        elif joint.ground and joint.panel != "body":
            why = f"{joint.panel} moves, and current that goes home through its hinge eats the hinge."
            write = "Take ground away here, and lead the return over the hinge to a joint of the body."
            yield PartProblem((*path, "ground"), "PRT-058", "figure-not-due", why, write, on_key=True)
    told = False
    for name, way in body.ways.items():
        for problem in _way(body, name, way):
            told = True
            yield problem
    for name, place in body.places.items():
        if place.joint:
            found = list(_spot(body, ("places", name, "joint"), place.joint, mirrored=place.mirrored))
            told = told or bool(found)
            yield from found
    if body.ways and not told:
        yield from _net(body)


def _way(body: BodyPart, name: str, way: Way) -> Iterator[PartProblem]:
    path = ("ways", name)
    ends = (("from", way.start), ("to", way.end))
    faults = [each for field, spot in ends for each in _spot(body, (*path, field), spot, mirrored=way.mirrored)]
    yield from faults
    low, high = _AMBIENT_DEGC
    if not low <= way.ambient <= high:
        why = f"The hottest air along a way is {low:g} to {high:g} degC."
        yield PartProblem((*path, "ambient"), "PRT-073", "ambient-not-possible", why, "Write it like 60 degC.")
    if way.bore < 0 or way.length < 0:
        field = "bore" if way.bore < 0 else "length"
        yield PartProblem((*path, field), "PRT-043", "figure-not-possible", "A way has no size below nothing.")
    if way.hinge:
        yield from known((*path, "hinge"), way.hinge, body.panels, "PRT-037", "panel")
    if faults:
        return
    side: Side = "left" if way.mirrored else ""
    start, end = node_of(body, way.start, side), node_of(body, way.end, side)
    if start is None or end is None:
        return
    if start == end:
        why = "It ends where it begins."
        yield PartProblem((*path, "to"), "PRT-068", "way-goes-nowhere", why, "Name two joints.")
        return
    drawn_m = drawn_length_m(body, way, start=start, end=end, side=side)
    if way.length and way.length < drawn_m * (1 - _SLACK_SHARE):
        why = f"It is {way.length * 1000:.0f} mm long, and its ends are {drawn_m * 1000:.0f} mm apart as drawn."
        yield PartProblem((*path, "length"), "PRT-072", "way-too-short", why, "Measure along the wire.")
    yield from _hinge(body, path, way, start, end)


def _hinge(body: BodyPart, path: tuple[str, ...], way: Way, start: str, end: str) -> Iterator[PartProblem]:
    crossed = {panel_of(body, start), panel_of(body, end)} - {"body"}
    same = panel_of(body, start) == panel_of(body, end)
    if not same and way.hinge not in crossed:
        why = f"It goes from {start} to {end}, over the hinge of {' and '.join(sorted(crossed))}, and doesn't say so."
        write = f"Write hinge: {min(crossed)}. Wire over a hinge wants a loop and a loom that bend."
        yield PartProblem(path, "PRT-071", "hinge-not-named", why, write, on_key=True)
    if same and way.hinge:
        why = f"Both ends ride on {panel_of(body, start)}, so no hinge is crossed."
        yield PartProblem((*path, "hinge"), "PRT-071", "hinge-not-crossed", why, "Take hinge away.")


def _spot(body: BodyPart, path: tuple[str, ...], spot: str, *, mirrored: bool) -> Iterator[PartProblem]:
    name, said = side_and_name(spot)
    names: dict[str, Place | Joint] = {**body.places, **body.joints}
    if name not in names:
        yield from known(path, name, names, "PRT-067", "joint")
    elif said and not names[name].mirrored:
        yield PartProblem(path, "PRT-045", "side-not-said", f"{name} is there once.", f"Write {name}.")
    elif not said and names[name].mirrored and not mirrored:
        why = f"{name} is there on both sides."
        yield PartProblem(path, "PRT-045", "side-not-said", why, f"Write {name}.left or {name}.right.")


def _net(body: BodyPart) -> Iterator[PartProblem]:
    ends = nodes(body)
    first = segments(body)[0].start
    source = first
    if body.battery is not None and body.battery.at in body.places:
        source = _node(body, body.battery.at) or first
    together = reached_from(body, source)
    for each in segments(body):
        if each.start not in together:
            why = f"Nothing leads from {source} to {each.start}."
            write = "Add the way between, or take this one out."
            yield PartProblem(("ways", each.name.split(".")[0]), "PRT-069", "ways-not-joined", why, write, on_key=True)
    for name, place in body.places.items():
        yield from _reached(body, name, place, ends, together)


def _node(body: BodyPart, name: str) -> str | None:
    place = body.places[name]
    return node_of(body, place.joint or name, "left" if place.mirrored else "")


def _reached(
    body: BodyPart, name: str, place: Place, ends: frozenset[str], together: frozenset[str]
) -> Iterator[PartProblem]:
    if _NO_WIRE.issuperset(place.holds):
        return
    node = _node(body, name)
    if node is None or node not in ends or node not in together:
        why = "No way for wire leads here."
        write = "Write joint: and the joint its wire leaves the ways at."
        yield PartProblem(("places", name), "PRT-070", "place-not-reached", why, write, on_key=True)
        return
    panel = panel_of(body, node)
    if panel != place.panel:
        crossed = place.panel if place.panel != "body" else panel
        why = f"{name} rides on {place.panel} and its joint on {panel}, so its wire crosses the hinge of {crossed}."
        write = "Lead a way over the hinge to a joint on the panel, and take that one."
        yield PartProblem(("places", name, "joint"), "PRT-071", "hinge-not-named", why, write)
