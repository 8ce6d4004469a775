"""What a lead may ask about panes, on small builds: film before a lamp, the sun on it, the driver's eye behind it."""

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.light import measures as light
from coachwright.light.glass import tinted_transmittance
from coachwright.light.notice import sight_range_m
from coachwright.light.veil import threshold_lx
from coachwright.parts.store import load_catalogue

DEG = math.radians(1.0)
DAY = {"background": 1e4, "sky": 3e4, "ground": 6e3, "visibility": 1e4, "times": 20.0}
DRIVER = {"age": 65.0, "gap": 0.05, "mirror": 0.8}

BUILD = """
coachwright: 1
job: {{name: One lamp, customer: nobody, number: T-1, revision: A}}
vehicle: {{body: {body}}}
lamps:
  one: {{part: {part}, at: {at}{more}}}
controls:
  slide: {{kind: slide, positions: ["off", full], at: {control}}}
ranks: [road, warn, ease]
functions:
  warning: {{rank: warn, when: slide == full, show: [{{on: one, red: "{red}"}}]}}
{glass}
situations:
  calling: {{slide: full, stands-for: calling}}
"""


def built(
    *,
    body: str = "crew-cab-pickup-with-cap",
    part: str = "bar-6-red-amber-white",
    at: str = "cap-hatch-glass",
    more: str = "",
    red: str = "single",
    glass: str = "",
) -> Model:
    """One lamp on one body, and what is done to its panes."""
    control = "console" if body == "high-roof-van" else "console.panel"
    said = f"glass: {glass}" if glass else ""
    text = BUILD.format(body=body, part=part, at=at, more=more, red=red, glass=said, control=control)
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None, [str(finding) for finding in loaded.findings]
    return loaded.model


def only(found: Iterable[Measure]) -> Measure:
    """The one there is."""
    (measure,) = found
    return measure


# ------------------------------------------------------------------------------------------------------------- print
def test_film_of_35_on_glass_of_42_agrees_with_fresnel() -> None:
    """0.35 times what Fresnel's equations leave of 42 % glass that leans 22.6 deg, for a bar that looks level."""
    # the end heads look 20 deg aside, so they meet the pane at a larger angle than the others
    angle_rad = math.acos(math.cos(22.6 * DEG) * math.cos(20 * DEG))
    share = only(light.glass_share(built(glass="{cap-hatch: {film: glass-film-35}}"), situation="calling"))

    assert share.value == pytest.approx(0.35 * tinted_transmittance(angle_rad, at_normal=0.42), rel=1e-9)
    assert share.facts["film"] == "glass-film-35"
    assert share.blame[0] == "glass.cap-hatch"


def test_clear_film_on_the_windows_of_a_front_door_is_darker_than_70() -> None:
    """86 % on 72 % is 61.9 % (shares multiply), under the 70 % of 49 CFR 393.60(d); the rest stay as they came."""
    found = light.pane_share(built(glass="{front-door: {film: glass-film-clear, side: left}}"), clear=0.7)
    shares = {measure.facts["glass"]: measure.value for measure in found}

    assert shares == {
        "windshield": pytest.approx(0.74),
        "front-door.left": pytest.approx(0.6192),
        "front-door.right": pytest.approx(0.72),
    }
    filmed = next(measure for measure in found if measure.facts["filmed"] == "yes")
    assert (filmed.about, filmed.blame[0]) == ("glass.front-door", "glass.front-door.film")


def test_without_a_pane_in_the_sun_it_is_allards_law() -> None:
    """No sky, no ground: the threshold of the background alone, and Allard's law (IES) for what gets through."""
    dark = {**DAY, "sky": 0.0, "ground": 0.0}
    seen = only(light.noticed_through_glass(built(), situation="calling", **dark))
    assert seen.table is not None
    straight = seen.table.rows[3]

    assert straight[3] == 0.0
    assert seen.value == pytest.approx(
        sight_range_m(float(straight[1] or 0.0), threshold_lx=20 * threshold_lx(1e4), visibility_m=1e4)
    )


def test_steep_glass_of_a_van_throws_a_bar_into_the_mirror_of_its_driver() -> None:
    """Upright glass throws back some 4.6 % (Fresnel: one face, and what is left of the other) at the driver."""
    van = built(body="high-roof-van", part="short-red-white", at="rear-door-glass", more=", pair: mirrored")
    found = light.reflection_at_driver(van, situation="calling", **DRIVER)
    left, right = sorted(found, key=lambda measure: measure.where)

    assert left.table is not None
    assert left.table.rows[0][2] == pytest.approx(0.0426 + 0.0426 * 0.9574**2 * 0.262**2, rel=0.01)
    assert "in the mirror" in left.where
    assert float(left.value or 0.0) > 0.3  # it stands on the driver's own side
    assert float(right.value or 0.0) > 0.0


# --------------------------------------------------------------------------------------------------------------- law
def test_the_darker_the_film_the_shorter_the_distance() -> None:
    """Law: and a pane that lets more through makes it longer."""
    panes = (
        "{cap-hatch: {film: glass-film-20}}",
        "{cap-hatch: {film: glass-film-35}}",
        "{cap-hatch: {film: glass-film-clear}}",
        "",
        "{cap-hatch: {pane: cap-hatch-pane-clear}}",
    )
    found = [only(light.noticed_through_glass(built(glass=glass), situation="calling", **DAY)) for glass in panes]
    metres = [float(measure.value or 0.0) for measure in found]

    assert metres == sorted(metres)
    assert metres[0] < metres[-1] / 2


def test_sun_on_the_pane_never_makes_a_lamp_easier_to_notice() -> None:
    """Law: the brighter what is mirrored, the nearer."""
    found = [
        only(light.noticed_through_glass(built(), situation="calling", **{**DAY, "sky": sky})).value
        for sky in (0.0, 1e4, 3e4, 1e6)
    ]

    assert found == sorted(found, key=lambda value: -float(value or 0.0))


def test_film_on_one_of_a_pair_leaves_the_other_alone() -> None:
    """Law: the right pane is as it was."""
    pair = {"part": "short-red-white", "at": "cap-side-glass", "more": ", pair: mirrored"}
    plain = built(**pair)
    one = built(**pair, glass="{cap-side: {film: glass-film-35, side: left}}")
    shares = {
        name: {measure.where.partition(",")[0].split()[0]: measure.value for measure in found}
        for name, found in (
            ("plain", light.noticed_through_glass(plain, situation="calling", **DAY)),
            ("one", light.noticed_through_glass(one, situation="calling", **DAY)),
        )
    }

    assert shares["plain"]["one.left"] == pytest.approx(shares["plain"]["one.right"])
    assert shares["one"]["one.right"] == pytest.approx(shares["plain"]["one.right"])
    assert float(shares["one"]["one.left"] or 0.0) < float(shares["one"]["one.right"] or 0.0)


# -------------------------------------------------------------------------------------------------------------- case
def test_lamps_outside_are_asked_nothing() -> None:
    """Case: no pane, no answer; a lamp that is dark has none either."""
    outside = built(part="short-red-white", at="bumper-front", more=", pair: mirrored")

    assert light.noticed_through_glass(outside, situation="calling", **DAY) == ()
    assert light.reflection_at_driver(outside, situation="calling", **DRIVER) == ()


def test_what_burns_steady_is_mirrored_too() -> None:
    """Case: the manner is told, so that a shop can ask more of one of them."""
    for red, manner in (("single", "flashing"), ("steady 100 %", "steady")):
        found = only(light.reflection_at_driver(built(red=red), situation="calling", **DRIVER))
        assert found.facts["manner"] == manner
        assert found.where == "one mirrored in cap-hatch: away from the driver"


def test_a_body_without_seats_says_why_not() -> None:
    """Case: no value rather than a guess."""
    model = built()
    bare = replace(model, body=model.body.model_copy(update={"seats": {}}), digest="")
    found = only(light.reflection_at_driver(bare, situation="calling", **DRIVER))

    assert found.value is None
    assert "seat" in found.why_not


def test_a_pane_behind_the_driver_answers_only_when_something_is_done_to_it() -> None:
    """Case: by its name, what it came with and what it has now."""
    plain = {measure.facts["glass"] for measure in light.pane_share(built(), clear=0.7)}
    done = light.pane_share(built(glass="{cap-hatch: {pane: cap-hatch-pane-clear, film: glass-film-35}}"), clear=0.7)
    pane = next(measure for measure in done if measure.facts["glass"] == "cap-hatch")

    assert "cap-hatch" not in plain
    assert pane.value == pytest.approx(0.88 * 0.35)
    assert (pane.facts["came"], pane.facts["replaced"], pane.facts["window"]) == ("dark", "yes", "behind-driver")
    assert pane.where == "cap-hatch with glass-film-35 replaced by cap-hatch-pane-clear"
