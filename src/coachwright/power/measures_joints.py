"""Windows of what joins a harness to itself and to the vehicle: connector ways, spares, the vehicle's own circuits.

Where a body doesn't say what is asked (the fuse of a factory circuit, whether a module watches a lamp) the answer is
that it isn't known, with why; the vehicle maker's guide says it.
"""

from __future__ import annotations

from coachwright.build.circuits import is_of_vehicle
from coachwright.build.model import Model
from coachwright.kit.measure import Measure, facts, measures
from coachwright.parts.schema import FusePart
from coachwright.power.as_settled import settled_harness
from coachwright.power.drawn import drawn_in
from coachwright.power.measures_sizes import laid_wires, subjects_through
from coachwright.power.sizes import sized


@measures("power.terminal-share", kind="share")
def terminal_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of what it is made for does each connector way carry?

    Notes
    -----
    Effective current at the lowest supply over the connector's own figure, which is for all its ways loaded. One answer
    for each thing, by its worst way. Ring terminals and lugs are as large as their wire.
    """
    harness = settled_harness(model)
    flows = {
        laid.run.name: drawn_in(model, subjects_through(model, laid), situation).rms_a for laid in laid_wires(model)
    }
    paths = {run.name: run.path for run in harness.runs}
    worst: dict[str, tuple[float, str, str]] = {}
    for connector in harness.connectors:
        for pin in connector.pins:
            if pin.run in flows and connector.part.current > 0:
                share = flows[pin.run] / connector.part.current
                row = (share, f"{connector.at}, {connector.part.title}", connector.part.name)
                path = paths[pin.run]
                worst[path] = max(worst.get(path, row), row)
    return tuple(
        Measure(
            "power.terminal-share",
            share,
            "share",
            about=path,
            blame=(path,),
            where=where,
            situation=situation,
            facts=facts(terminal=name),
        )
        for path, (share, where, name) in worst.items()
    )


@measures("power.spare-fuses-share", kind="share", per_situation=False)
def spare_fuses_share(model: Model) -> tuple[Measure, ...]:
    """How many spare fuses of each kind ride along, over those in place?"""
    in_place: dict[str, int] = {}
    for each in sized(model):
        in_place[each.sized.fuse.part.name] = in_place.get(each.sized.fuse.part.name, 0) + 1
    parts = dict(model.parts)
    spare: dict[str, int] = {}
    for item in model.cargo:
        if isinstance(parts.get(item.part), FusePart):
            spare[item.part] = spare.get(item.part, 0) + item.count_n
    return tuple(
        Measure(
            "power.spare-fuses-share",
            spare.get(name, 0) / count,
            "share",
            about="cargo",
            blame=("cargo",),
            where=f"{name}: {spare.get(name, 0)} for {count} in place",
            facts=facts(size=name),
        )
        for name, count in sorted(in_place.items())
    )


@measures("power.host-circuit-share", kind="share")
def host_circuit_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How much of its fuse does a factory circuit take that something was added to?"""
    return tuple(
        Measure(
            "power.host-circuit-share",
            None,
            "share",
            about=item.path,
            blame=(item.path, "vehicle.body"),
            where=item.feed,
            situation=situation,
            facts=facts(space="cabin"),
            why_not=f"the body says neither how large the fuse of {item.feed} is nor what hangs on it; ask the maker",
        )
        for item in model.equipment
        if item.feed and is_of_vehicle(item.feed)
    )


@measures("power.watched-circuit-tapped", kind="yes-no", per_situation=False)
def watched_circuit_tapped(model: Model) -> tuple[Measure, ...]:
    """Is a lamp circuit tapped that the body module watches?

    Notes
    -----
    Asked of lamps the vehicle came with that the build feeds beside it or interrupts. A message on a bus taps nothing.
    """
    reached = dict.fromkeys((head.lamp, head.path) for head in model.heads if head.reach in ("parallel", "series"))
    return tuple(
        Measure(
            "power.watched-circuit-tapped",
            None,
            "yes-no",
            about=path,
            blame=(path, "vehicle.body"),
            where=lamp,
            facts=facts(lamp=lamp),
            why_not=f"the body doesn't say whether its module watches {lamp}; ask the maker",
        )
        for lamp, path in reached
    )
