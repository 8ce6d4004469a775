"""Left and right changed over in the whole build: what is measured changes over too, and nothing else."""

from collections.abc import Iterable

import pytest
from hypothesis import given

from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.proof.rooms import rooms
from tests.laws.builds import Plan, model_of, plans, swapped

QUARTERS = {"left": "right", "right": "left", "B": "D", "D": "B"}
ASKED = (
    ("control.heads-lit", {}),
    ("flash.longest-dark", {}),
    ("flash.seen-rate", {}),
    ("flash.sources", {}),
    ("flash.rate", {}),
    ("flash.on-share", {}),
    ("light.optical-power", {"of": "total"}),
    ("light.optical-power", {"of": "point"}),
    ("light.optical-power", {"of": "point-5-up-down", "counting": "fixed"}),
    ("light.intensity", {"vertical": 0.0, "horizontal": 0.0}),
    ("light.intensity", {"vertical": 0.0872664626, "horizontal": 0.0872664626}),
    ("light.effective-intensity", {"low": 0.0, "high": 0.0872664626}),
    ("light.notice-distance", {"ambient": "day"}),
    ("light.near-light", {"eye": 1.6}),
    ("light.glare-veil", {}),
    ("light.most-toward", {}),
    ("light.crossing-margin", {"ambient": "day", "own": 15.0, "cross": 15.0, "from_cross": 20.0, "from_own": 20.0}),
    ("light.gap", {"least": 20.0}),
    ("light.panel-share", {}),
    ("light.sources-seen", {"least": 10.0}),
    ("light.point-flashes", {"least": 1.0}),
    ("light.zone-colour", {}),
    ("light.one-dead-share", {"of": "total"}),
    ("light.one-dead-share", {"of": "point"}),
    ("light.open-panel-gap", {"least": 20.0}),
    ("light.open-panel-share", {}),
)
FACTS = ("toward", "zone", "level", "colour", "rank", "manner", "owner")


def table(measures: Iterable[Measure], *, mirror: bool) -> dict[tuple[str, ...], list[float]]:
    """All different values by the facts that tell measures apart."""
    found: dict[tuple[str, ...], set[float]] = {}
    for measure in measures:
        facts = {name: measure.facts[name] for name in FACTS if name in measure.facts}
        if mirror:
            facts = {name: QUARTERS.get(value, swapped(value)) for name, value in facts.items()}
        value = measure.value
        assert isinstance(value, float), f"{measure.name} was not measured: {measure.why_not}"
        found.setdefault(tuple(facts.values()), set()).add(float(f"{value:.9g}"))
    return {key: sorted(values) for key, values in found.items()}


def asked(model: Model, name: str, arguments: dict[str, float | str]) -> tuple[Measure, ...]:
    """One window, asked in the situation that is judged; about open panels in the one in which it blocks the road."""
    situation = "standing" if "open-panel" in name else "judged"
    return rooms().windows[name].answer(model, situation=situation, **arguments)


def check_mirror(plan: Plan) -> None:
    """Every window answers for the mirror image what it answers for the vehicle, with left for right."""
    model, image = model_of(plan.text()), model_of(plan.mirrored().text())
    for name, arguments in ASKED:
        here = table(asked(model, name, arguments), mirror=True)
        there = table(asked(image, name, arguments), mirror=False)
        assert here.keys() == there.keys(), name
        for key, value in here.items():
            assert there[key] == pytest.approx(value, rel=1e-8, abs=1e-8), (name, key)


@given(plans())
def test_the_mirror_image_is_measured_alike(plan: Plan) -> None:
    """Law: the body is symmetrical, so a mirrored job has the mirrored light, time and control."""
    check_mirror(plan)


@given(plans())
def test_a_mirror_image_of_the_mirror_image_is_the_build(plan: Plan) -> None:
    """Law: turning twice changes no character; the generator's own mirror is one."""
    assert plan.mirrored().mirrored().text() == plan.text()


@given(plans())
def test_the_mirror_bites(plan: Plan) -> None:
    """Law: a one-sided build has another text in the mirror, so that the law above is no comparison with itself."""
    one_sided = any(lamp.side in ("left", "right") for lamp in plan.lamps)

    assert not one_sided or plan.mirrored().text() != plan.text()
