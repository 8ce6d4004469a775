"""A lamp more never makes anything dimmer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.proof.rooms import rooms
from tests.laws.builds import (
    ACROSS_PLACES,
    BARS,
    LAMPS,
    PAIRED_PLACES,
    SIDES,
    Entry,
    Lamp,
    Plan,
    entries,
    entry_of,
    lamps,
    model_of,
    settings_by_lot,
)

ROUND_RATES = (
    "single",
    "double",
    "single 150 per min",
    "double 100 per min",
    "lit 60 ms, dark 40 ms, times 2, every 500 ms",
)
"""Cycles of 400, 500 and 600 ms come round together every 6 s. Cycles that hardly ever do are judged each by itself,
the cautious way, and there a new cycle may take away what two could be counted on to give together."""

ASKED = (
    ("light.optical-power", {"of": "total"}),
    ("light.optical-power", {"of": "point"}),
    ("light.optical-power", {"of": "point-5-up-down"}),
    ("light.optical-power", {"of": "total", "counting": "fixed"}),
    ("light.intensity", {"vertical": 0.0, "horizontal": 0.0}),
    ("light.intensity", {"vertical": -0.0872664626, "horizontal": 0.1745329252}),
    ("light.effective-intensity", {"low": 0.0, "high": 0.0872664626}),
    ("light.notice-distance", {"ambient": "day"}),
    ("light.near-light", {"eye": 1.1}),
    ("light.glare-veil", {}),
    ("light.most-toward", {}),
    ("light.crossing-margin", {"ambient": "day", "own": 15.0, "cross": 15.0, "late": 1.0}),
    ("light.sources-seen", {"least": 10.0}),
    ("light.sources-seen", {"least": 10.0, "counting": "heads"}),
    ("light.point-flashes", {"least": 1.0}),
    ("control.heads-lit", {}),
    ("flash.sources", {}),
)
TELLING = ("toward", "zone", "level", "colour", "rank", "manner")


@st.composite
def with_one_more(draw: st.DrawFn) -> tuple[Plan, Plan]:
    """A build, and the same with one lamp more that flashes in the warning."""
    fitted = draw(lamps(most=4))
    free = [place for place in (*PAIRED_PLACES, *ACROSS_PLACES) if place not in {lamp.at for lamp in fitted}]
    place = draw(st.sampled_from(free))
    across = place in ACROSS_PLACES
    part = draw(st.sampled_from(sorted(BARS if across else LAMPS)))
    side = "across" if across else draw(st.sampled_from(("pair", "left", "right")))
    more = Lamp("lamp-more", part, place, side, 0 if across else draw(st.sampled_from((-45, 0, 30))), 0)
    plan = Plan(
        lamps=fitted,
        low=tuple(draw(_flash(lamp)) for lamp in fitted),
        full=draw(entries(fitted, runs=False, steady=False).map(_round)),
        extra=(),
        alley="",
        turn="",
        settings=draw(settings_by_lot()),
    )
    added = draw(_flash(more))
    return plan, Plan(
        lamps=(*plan.lamps, more),
        low=(*plan.low, added),
        full=plan.full,
        extra=plan.extra,
        alley=plan.alley,
        turn=plan.turn,
        settings=plan.settings,
    )


def _flash(lamp: Lamp) -> st.SearchStrategy[Entry]:
    shows = st.sampled_from([f"{rate}{side}" for rate in ROUND_RATES for side in SIDES])
    return st.builds(
        lambda entry, show: Entry(entry.lamp, entry.pick, tuple((colour, show) for colour, _ in entry.shows)),
        entry_of(lamp, runs=False, steady=False),
        shows,
    )


def _round(found: tuple[Entry, ...]) -> tuple[Entry, ...]:
    """The same heads and colours, at a rate that comes round with the others."""
    return tuple(
        Entry(entry.lamp, entry.pick, tuple((colour, "double sides") for colour, _ in entry.shows)) for entry in found
    )


def table(model: Model, name: str, arguments: dict[str, float | str]) -> dict[tuple[str, ...], float]:
    """Values by what tells them apart."""
    found: tuple[Measure, ...] = rooms().windows[name].answer(model, situation="judged", **arguments)
    values = {}
    for measure in found:
        assert isinstance(measure.value, float)
        key = tuple(measure.facts.get(fact, "") for fact in TELLING)
        values[key] = min(measure.value, values.get(key, measure.value))
    return values


@given(with_one_more())
def test_nothing_dims_when_a_lamp_is_added(plans: tuple[Plan, Plan]) -> None:
    """Law: light adds; no zone, point, quarter, bearing or count falls because a lamp was added to the warning."""
    before, after = (model_of(plan.text()) for plan in plans)
    for name, arguments in ASKED:
        had, has = table(before, name, arguments), table(after, name, arguments)
        assert had.keys() <= has.keys(), name
        for key, value in had.items():
            assert has[key] >= value * (1 - 1e-9) - 1e-9, (name, key, value, has[key])


def test_light_does_add_up() -> None:
    """Case: the law above is no comparison of nothings: a second pair of grille lamps doubles what the front gets."""
    one = Lamp("lamp-a", "short-red-white", "grille", "pair", 0, 0)
    two = Lamp("lamp-b", "short-red-white", "bumper-front", "pair", 0, 0)
    shown = (("red", "double sides"),)
    few = Plan((one,), (Entry("lamp-a", "", shown),), (), (), "", "", (("level", "low"),))
    many = Plan(
        (one, two), (Entry("lamp-a", "", shown), Entry("lamp-b", "", shown)), (), (), "", "", (("level", "low"),)
    )
    name, arguments = "light.optical-power", {"of": "total"}
    had, has = (table(model_of(plan.text()), name, arguments) for plan in (few, many))
    front = next(key for key in had if key[1] == "A" and key[2] == "both")

    assert had[front] > 0
    assert has[front] == pytest.approx(2 * had[front], rel=1e-9)
