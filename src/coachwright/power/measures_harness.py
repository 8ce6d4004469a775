"""Windows of the harness: has every wire over a hinge its loop, and does any current go home through one?"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Model
from coachwright.kit.measure import Measure, facts, measures
from coachwright.power.harness_findings import open_length_m
from coachwright.power.route import Segment
from coachwright.power.runs import Run, laid


@measures("power.hinge-loop", kind="yes-no", per_situation=False)
def hinge_loop(model: Model) -> tuple[Measure, ...]:
    """Has every wire over a hinge a loop that lasts from shut to open?

    Notes
    -----
    One answer for each thing whose wire crosses one, by the way that is shortest for its hinge. Yes where the body's
    way is as long as its ends come apart, in sixteen steps from shut to open. Which loom is drawn over it is for who
    lays it; a way is written with its hinge so that it is told.
    """
    over: dict[str, dict[str, Segment]] = {}
    for run in laid(model).runs:
        for segment in run.segments:
            if segment.hinge:
                over.setdefault(run.path, {})[segment.name] = segment
    found = []
    for path, ways in over.items():
        spare_m = {name: way.length_m - open_length_m(model.body, way) for name, way in ways.items()}
        worst = min(spare_m, key=lambda name: (spare_m[name], name))
        found.append(
            Measure(
                "power.hinge-loop",
                spare_m[worst] >= 0.0,
                "yes-no",
                about=path,
                blame=(path, "vehicle.body"),
                where=worst,
                facts=facts(panel=ways[worst].hinge),
            )
        )
    return tuple(found)


@measures("power.ground-through-hinge", kind="yes-no", per_situation=False)
def ground_through_hinge(model: Model) -> tuple[Measure, ...]:
    """Does current go home through a hinge, without a wire of its own?

    Notes
    -----
    Asked of everything a panel carries along. No where its return is laid as a wire over the hinge to a ground point of
    the body, yes where it can't be.
    """
    everything = laid(model)
    grounded = {run.subject for run in everything.runs if run.kind == "return" and _panel(model, run) == "body"}
    found: dict[str, Measure] = {}
    for run in _on_panels(everything.runs, model):
        through = run.subject not in grounded
        if run.path in found and not through:
            continue  # the other side of a pair said the same, or worse
        found[run.path] = Measure(
            "power.ground-through-hinge",
            through,
            "yes-no",
            about=run.path,
            blame=(run.path,),
            where=run.to_place,
            facts=facts(panel=_panel(model, run).partition(".")[0]),
        )
    return tuple(found.values())


def _on_panels(runs: tuple[Run, ...], model: Model) -> Iterator[Run]:
    """Supplies that end on something that moves."""
    yield from (run for run in runs if run.kind == "supply" and _panel(model, run) != "body")


def _panel(model: Model, run: Run) -> str:
    return laid(model).net.panels[run.to_joint]
