"""How many of many vehicles pass, where the others fail, and that it is what the far field says."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.cite import Cite
from coachwright.kit.geom import Pose, direction
from coachwright.light import measures as light
from coachwright.light.drawn_vehicles import Vehicles, drawn_vehicles, furthest_turn_rad
from coachwright.light.lit import LEVEL, ROUND, effective_one_dead, effective_round, flashing
from coachwright.light.pass_share import Target, sampled
from coachwright.light.seen import seen_toward
from coachwright.light.shining import BEARINGS_N, heads_of, scene_of
from coachwright.light.spread import Spread
from coachwright.light.sure_measures import pass_share
from coachwright.light.tolerances import Acts, By, Cause, Draw, Tolerances, tolerances
from coachwright.parts.store import load_catalogue
from tests.laws.builds import Plan, model_of, plans

ROOT = Path(__file__).resolve().parents[2]
DEG = math.radians(1.0)


@cache
def example(name: str) -> Model:
    model = load_build(ROOT / "examples" / name / "build.yaml").model
    assert model is not None
    return model


NOTHING = replace(tolerances(), causes=())


def of(*draws: tuple[Acts, By, Spread]) -> Tolerances:
    cause = Cause("only", "the only one", Cite("common practice", status="house"), tuple(Draw(*each) for each in draws))
    return replace(tolerances(), causes=(cause,))


BUILD = """
coachwright: 1
job: {{name: Sure}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
{lamps}
controls:
  slide: {{kind: slide, positions: ["off", full], at: console.panel}}
ranks: [road, warn]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: all, red: "{red}"}}]}}
situations:
  calling: {{slide: full, gear: D, speed: 40 mph, stands-for: calling}}
"""


def built(*places: str, red: str = "lit 200 ms, dark 300 ms") -> Model:
    lamps = "\n".join(f"  l{number}: {{part: short-red-white, at: {at}}}" for number, at in enumerate(places))
    text = BUILD.format(lamps=lamps, red=red).replace(
        "on: all", f"on: [{', '.join(f'l{n}' for n in range(len(places)))}]"
    )
    loaded = read_build(text, catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return loaded.model


# ------------------------------------------------------------------------------------------------------------- print
def test_one_lamp_passes_as_often_as_it_is_alive() -> None:
    """Binomial: one lamp that is dead in 3 of 10 vehicles lights its zone in 70 %, within five standard deviations."""
    many_n = 4_000
    target = Target("calling", "total", low=1.0, zone="A", upper_above_m=1.5)
    found = sampled(
        built("grille.left"), [target], of(("dead", "head", Spread("chance", likely=0.3))), vehicles_n=many_n, seed=1
    )

    assert found.share([0]) == pytest.approx(0.7, abs=5 * math.sqrt(0.21 / many_n))


def test_one_of_two_lamps_is_alive_but_in_the_square_of_the_chance() -> None:
    """Binomial: two lamps of one direction, each dead in 3 of 10: both are in 9 %."""
    many_n = 4_000
    target = Target("calling", "total", low=1.0, zone="A", upper_above_m=1.5)
    found = sampled(
        built("grille.left", "grille.right"),
        [target],
        of(("dead", "head", Spread("chance", likely=0.3))),
        vehicles_n=many_n,
        seed=1,
    )

    assert found.share([0]) == pytest.approx(0.91, abs=5 * math.sqrt(0.09 * 0.91 / many_n))


def test_dirt_that_is_even_passes_its_share() -> None:
    """Uniform light from 0.5 to 1 against nine tenths of the zone as drawn: a fifth of the vehicles has more."""
    model, many_n = built("grille.left"), 4_000
    whole = next(
        each
        for each in light.optical_power(model, situation="calling")
        if each.facts["zone"] == "A" and each.facts["level"] == "both"
    )
    assert isinstance(whole.value, float)
    target = Target("calling", "total", low=0.9 * whole.value, zone="A", upper_above_m=1.5)
    found = sampled(
        model, [target], of(("light", "vehicle", Spread("uniform", 0.5, 0.0, 1.0))), vehicles_n=many_n, seed=1
    )

    assert found.share([0]) == pytest.approx(0.2, abs=5 * math.sqrt(0.16 / many_n))
    assert found.weakest([0])[0].share == pytest.approx(1 - found.share([0]))


# ------------------------------------------------------------------------------------ law: it is the far field's answer
TARGETS = [
    *(
        Target("calling", asked, low=low, zone=zone, level=level, lower_from_m=0.4572, upper_above_m=1.5748)
        for asked, low in (("total", 1e6), ("point", 9e3), ("point-5-up-down", 3.5e3))
        for zone in ("A", "B", "C", "D")
        for level in ("both", "upper", "lower")
    ),
    *(
        Target("calling", asked, high=high, least_cd=least)
        for asked in ("gap", "one-dead-gap")
        for high in (0.0, 0.5)
        for least in (20.0, 100.0, 700.0)
    ),
]


def as_verdict(model: Model, target: Target) -> bool:
    """Whether the window's own answer is within the target's limits."""
    if target.asked in ("gap", "one-dead-gap"):
        ask = light.gap if target.asked == "gap" else light.one_dead_gap
        found = [float(each.value or 0.0) for each in ask(model, situation=target.situation, least=target.least_cd)]
        return all(target.passes(np.array(found)))
    (value,) = [
        float(each.value or 0.0)
        for each in light.optical_power(
            model,
            situation=target.situation,
            of=target.asked,
            counting=target.counting,
            lower_from=target.lower_from_m,
            upper_above=target.upper_above_m,
        )
        if (each.facts["zone"], each.facts["level"]) == (target.zone, target.level)
    ]
    return bool(target.passes(np.array([value]))[0])


@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_without_tolerances_the_share_is_the_verdict(name: str) -> None:
    """Law: with nothing to differ every vehicle is the drawing: the share is 0 or 1, as the windows answer."""
    model = example(name)
    targets = [
        replace(target, situation=situation.name)
        for situation in model.situations
        if situation.stands_for in ("calling", "blocking")
        for target in TARGETS
    ]
    found = sampled(model, targets, NOTHING, vehicles_n=3, seed=1)
    for number, target in enumerate(targets):
        assert found.share([number]) == float(as_verdict(model, target)), target


@settings(max_examples=15)
@given(plans(), st.floats(3.0, 6.5))
def test_without_tolerances_the_share_is_the_verdict_of_any_build(plan: Plan, exponent: float) -> None:
    """Law: the same on builds made by lot, at limits anywhere."""
    model = model_of(plan.text())
    targets = [
        replace(
            target, situation="judged", low=10**exponent if target.low > 0 else target.low, least_cd=target.least_cd
        )
        for target in TARGETS
    ]
    found = sampled(model, targets, NOTHING, vehicles_n=2, seed=1)
    for number, target in enumerate(targets):
        if target.asked in ("gap", "one-dead-gap") and not flashing(model, "judged").glows:
            continue  # the windows have nothing to say of no light
        assert found.share([number]) == float(as_verdict(model, target)), target


@pytest.mark.parametrize(("name", "situation"), [("quillback", "on-scene"), ("service-patrol", "blocking-doors")])
@pytest.mark.parametrize(("aside_deg", "rise_deg"), [(0.0, 0.0), (3.0, -1.5), (-2.0, 2.0)])
def test_a_turned_head_shines_as_the_far_field_of_that_head(
    name: str, situation: str, aside_deg: float, rise_deg: float
) -> None:
    """Law: heads turned by the kernel send what light.seen says of emitters turned by geometry, shadows kept."""
    model = example(name)
    heads = heads_of(model, [situation], turn_rad=10 * DEG)
    scene = scene_of(model, situation, heads)
    shape = (1, len(model.heads))
    turned = heads.turned(
        Vehicles(np.ones(shape), np.full(shape, aside_deg * DEG), np.full(shape, rise_deg * DEG)), 0, 1
    )
    reach = heads.reach
    for glow, number in zip(scene.glows, scene.emitter_of, strict=True):
        pose = Pose((0.0, 0.0, 0.0), glow.emitter.forward, glow.emitter.up)
        ahead = direction(bearing_rad=aside_deg * DEG, elevation_rad=rise_deg * DEG)
        top = direction(bearing_rad=aside_deg * DEG, elevation_rad=rise_deg * DEG + math.pi / 2)
        other = replace(glow.emitter, forward=pose.to_world(ahead), up=pose.to_world(top))
        expected = seen_toward([replace(glow.source, emitter=other)], ROUND)[0]
        flat = np.concatenate([expected[LEVEL], expected[LEVEL - 1, ::2], expected[LEVEL + 1, ::2]])
        found = np.zeros_like(flat)
        for run in range(reach.run_begins[number], reach.run_begins[number + 1]):
            first, begin, end = reach.run_place[run], reach.run_flat[run], reach.run_flat[run + 1]
            found[first : first + end - begin] = turned[0, begin:end]
        assert found == pytest.approx(flat, rel=1e-6, abs=1e-6), glow.head.id


@pytest.mark.parametrize("situation", ["on-scene", "lane-closed", "answering-night"])
def test_levels_reached_are_those_of_effective_intensity(situation: str) -> None:
    """Law: whether a level is reached, alive and with each lamp dead, is what the candela say, at any level."""
    model = example("quillback")
    heads = heads_of(model, [situation], turn_rad=0.0)
    scene = scene_of(model, situation, heads)
    burning = scene.lit(np.ones((1, len(model.heads))), None, heads)
    alive_cd, dead_cd = effective_round(model, situation)[LEVEL], effective_one_dead(model, situation)[1].min(axis=0)
    assert burning.levels_cd(0, "both", one_dead=False)[0] == pytest.approx(alive_cd, rel=1e-9)
    assert burning.levels_cd(0, "both", one_dead=True).min(axis=0) == pytest.approx(dead_cd, rel=1e-9)
    rows = scene.rows("both")
    for least_cd in (1.0, *np.quantile(dead_cd, [0.05, 0.3, 0.6, 0.95]) * 1.001):
        assert (burning.seen(rows, least_cd, one_dead=False)[0] == (alive_cd >= least_cd)).all()
        assert (burning.seen(rows, least_cd, one_dead=True)[0] == (dead_cd >= least_cd)).all()


# -------------------------------------------------------------------------------------------------- law: drawing by lot
def in_each(model: Model) -> list[Target]:
    return [
        replace(target, situation=situation.name)
        for situation in model.situations
        if situation.stands_for == "blocking"
        for target in TARGETS[:12:3] + TARGETS[-4:]
    ]


def test_threads_change_nothing_and_a_seed_says_all() -> None:
    """Law: the same seed gives the same vehicles and answers, on one thread or five; another seed gives others."""
    model, known = example("volunteer-car"), tolerances()
    targets = in_each(model)
    one, five = (sampled(model, targets, known, vehicles_n=350, seed=4, causes_n=150, threads_n=n) for n in (1, 5))
    other = sampled(model, targets, known, vehicles_n=350, seed=5)

    assert (one.passes == five.passes).all()
    assert one.weak == five.weak
    assert all((one.without[cause] == five.without[cause]).all() for cause in one.without)
    assert not (one.passes == other.passes).all()


def test_the_few_are_the_first_of_the_many() -> None:
    """Law: more vehicles change none of those drawn before, whatever the blocks are."""
    model, known = example("volunteer-car"), tolerances()
    few, many = (sampled(model, in_each(model), known, vehicles_n=n, seed=4) for n in (130, 260))

    assert (few.passes == many.passes[:, :130]).all()


def test_leaving_nothing_away_is_the_run_itself() -> None:
    """Law: a cause that draws nothing but ones changes no vehicle, so leaving it away gives the same."""
    model = example("volunteer-car")
    known = tolerances()
    none = Cause(
        "none",
        "nothing at all",
        Cite("common practice", status="house"),
        (Draw("light", "head", Spread("uniform", 1.0, 0.0, 1.0)),),
    )
    found = sampled(
        model, in_each(model), replace(known, causes=(*known.causes, none)), vehicles_n=200, seed=4, causes_n=200
    )

    assert (found.without["none"] == found.passes).all()


@settings(max_examples=12)
@given(
    st.lists(
        st.sampled_from(
            ["grille.left", "fender-side.right", "tail-inner.left", "cap-front.right", "mirror-under.left"]
        ),
        min_size=1,
        max_size=4,
        unique=True,
    ),
    st.integers(0, 1000),
)
def test_a_lamp_more_is_never_worse(places: list[str], seed: int) -> None:
    """Law: vehicles keep their draws when a lamp is added at the end, and light adds: each that passed still passes."""
    targets = [replace(target, low=target.low / 40 if target.low > 0 else target.low) for target in TARGETS]
    few, many = (
        sampled(built(*each, red="single"), targets, tolerances(), vehicles_n=120, seed=seed)
        for each in (places, [*places, "bumper-rear.right"])
    )

    assert (few.passes <= many.passes).all()


def test_brighter_parts_are_never_worse() -> None:
    """Law: with every head a little brighter each vehicle that passed still passes."""
    model, known = example("volunteer-car"), tolerances()
    brighter = Cause(
        "more",
        "more light",
        Cite("common practice", status="house"),
        (Draw("light", "vehicle", Spread("uniform", 1.2, 0.0, 1.2)),),
    )
    targets = in_each(model)
    before = sampled(model, targets, known, vehicles_n=300, seed=1)
    after = sampled(model, targets, replace(known, causes=(*known.causes, brighter)), vehicles_n=300, seed=1)

    assert (before.passes <= after.passes).all()
    assert after.passes.sum() > before.passes.sum()


@settings(max_examples=8)
@given(plans())
def test_the_mirror_image_passes_as_often(plan: Plan) -> None:
    """Law: the mirrored vehicle passes as often, as far as a draw of 600 can tell (five standard deviations)."""
    model, image = model_of(plan.text()), model_of(plan.mirrored().text())
    swap = {"A": "A", "B": "D", "C": "C", "D": "B"}
    targets = [
        replace(target, situation="judged", low=target.low / 10 if target.low > 0 else target.low) for target in TARGETS
    ]
    mirrored = [replace(target, zone=swap.get(target.zone, "")) for target in targets]
    here = sampled(model, targets, tolerances(), vehicles_n=600, seed=1)
    there = sampled(image, mirrored, tolerances(), vehicles_n=600, seed=1)  # type: ignore[arg-type]
    for number in range(len(targets)):
        one, other = here.share([number]), there.share([number])
        middle = (one + other) / 2
        assert abs(one - other) <= 5 * math.sqrt(2 * middle * (1 - middle) / 600) + 0.005, targets[number]


# -------------------------------------------------------------------------------------------------------------- case
def test_progress_tells_how_many_vehicles_are_done() -> None:
    """Case: in order, up to all of them; somebody who breaks off in between gets away."""
    told: list[tuple[str, int, int]] = []
    model = built("grille.left")
    sampled(model, TARGETS[:2], tolerances(), vehicles_n=250, seed=1, progress=lambda *said: told.append(said))
    assert [done for _, done, _ in told] == [100, 200, 250]

    def break_off(doing: str, done: int, of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        sampled(model, TARGETS[:2], tolerances(), vehicles_n=2_000, seed=1, progress=break_off)


def test_a_job_that_shows_nothing_passes_nothing() -> None:
    """Case: no light: no point is reached, and nothing breaks."""
    model = example("quillback")
    targets = [replace(target, situation="patrolling") for target in TARGETS]
    found = sampled(model, targets, tolerances(), vehicles_n=20, seed=1)

    assert not found.passes.any()


def test_the_window_answers_with_the_weakest_bearing() -> None:
    """Case: a share, the bearing at which most fail, and the seed they were drawn with."""
    (found,) = pass_share(example("volunteer-car"), situation="on-scene-night", least=60.0)

    assert isinstance(found.value, float)
    assert 0.0 < found.value < 1.0
    assert "most fail at bearing" in found.where
    assert "seed 1" in found.where
    assert pass_share(example("quillback"), situation="patrolling", least=20.0) == ()


def test_runs_cover_what_a_turned_beam_can_reach() -> None:
    """Law: a head that reaches no direction as drawn but does when turned is there, and levels come first."""
    model = example("quillback")
    known = tolerances()
    few = heads_of(model, ["on-scene"], turn_rad=0.0)
    many = heads_of(model, ["on-scene"], turn_rad=furthest_turn_rad(known))
    vehicles = drawn_vehicles(model, known, 5, seed=1)

    assert len(many.share) >= len(few.share)
    assert (many.turned(vehicles, 0, 5) >= 0.0).all()
    assert (many.reach.run_place < 2 * BEARINGS_N).all()
