"""flash.waves and flash.measures on whole builds: text in, waves and measures out."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.flash.measures import (
    beside_brake_distance,
    drift,
    longest_dark,
    on_share,
    overlap,
    pulses_in_a_second,
    rate,
    seen_rate,
    sources,
)
from coachwright.flash.waves import HeadWave, waves
from coachwright.kit.measure import Measure
from coachwright.kit.wave import overlap_share
from coachwright.parts.schema import LampPart
from coachwright.parts.store import load_catalogue

BUILD = """\
coachwright: 1
job: {{name: test, customer: test}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps:
  grille: {{part: short-red-white, at: grille, pair: mirrored}}
  tail: {{part: short-red-amber-white, at: tail-inner, pair: mirrored}}
  bar: {{part: bar-6-red-amber-white, at: cap-roof-rear}}
controls:
  slide: {{kind: slide, positions: ["off", low, full], at: console.panel}}
functions:
  warning: {{rank: warn, by: slide, levels: {{low: [{{on: {on}, {shows}}}]}}}}
  brake-shows: {{rank: road, when: brake, show: [{{on: tail, red: steady 100 %}}]}}
  turn-shows:
    {{rank: road, when: turn-left, wins-over: [brake-shows], show: [{{on: tail.left, amber: follow turn-left}}]}}
limits:
  night: {{when: headlamps, scale-to: 40 %, of: [warn]}}
situations:
  day: {{slide: low, gear: D}}
  night: {{slide: low, gear: D, headlamps: "on"}}
  turning: {{slide: low, gear: D, turn-left: "on"}}
  dark: {{gear: D}}
"""
CATALOGUE = load_catalogue()


def build(shows: str = "red: double sides, white: single other-sides", on: str = "grille") -> Model:
    """A small vehicle whose warning shows this."""
    loaded = read_build(BUILD.format(on=on, shows=shows), file="build.yaml", catalogue=CATALOGUE)
    assert loaded.model is not None, loaded.findings
    return loaded.model


def wave_of(model: Model, head: str, situation: str = "day") -> HeadWave:
    """One head in one situation."""
    return next(wave for wave in waves(model, situation=situation) if wave.head == head)


def only(measures: tuple[Measure, ...], **facts: str) -> Measure:
    """The one measure with these facts."""
    (found,) = [each for each in measures if facts.items() <= dict(each.facts).items()]
    return found


# ---- case
def test_left_and_right_of_a_sided_show_take_turns() -> None:
    """`sides` puts the left head in the first half and the right one in the second."""
    model = build("red: double sides")
    left, right = wave_of(model, "grille.left"), wave_of(model, "grille.right")

    assert overlap_share(left.light(), right.light()) == 0.0
    assert left.parts[0].wave.shift(250) == right.parts[0].wave


def test_two_colours_of_a_head_share_the_cycle() -> None:
    """`sides` for one colour and `other-sides` for the other never burn at once."""
    parts = wave_of(build(), "grille.left").parts

    assert [part.colour for part in parts] == ["red", "white"]
    assert overlap_share(parts[0].wave, parts[1].wave) == 0.0
    assert all(measure.value == 0.0 for measure in overlap(build(), situation="day"))


def test_colours_written_into_the_same_half_overlap() -> None:
    """What would light a head in two colours at once is measured."""
    model = build("red: double sides, white: double sides")

    measure = overlap(model, situation="day")[0]
    assert measure.value == pytest.approx(wave_of(model, "grille.left").parts[0].wave.on_share())


def test_a_limit_dims_light_and_current_alike() -> None:
    """40 % of the light takes 40 % of the current."""
    day, night = wave_of(build(), "grille.left"), wave_of(build(), "grille.left", "night")

    assert night.light().peak() == pytest.approx(0.4 * day.light().peak())
    assert night.current_a.mean() == pytest.approx(0.4 * day.current_a.mean())


def test_current_is_the_part_s_own_while_lit() -> None:
    """At full light a head draws what its sheet says."""
    model = build("red: steady 100 %")
    part = model.part("short-red-white")
    assert isinstance(part, LampPart)

    assert wave_of(model, "grille.left").current_a.mean() == pytest.approx(part.heads[0].colours["red"].current)


def test_a_followed_wire_flashes_while_the_stalk_is_at_work() -> None:
    """`follow turn-left` copies the wire, marked as such, and isn't a pattern of ours."""
    (part,) = wave_of(build(), "tail.left", "turning").parts

    assert part.follows
    assert part.colour == "amber"
    assert not part.wave.is_constant
    assert only(rate(build(), situation="turning"), owner="turn-shows").facts["manner"] == "follow"


def test_nothing_lit_is_nothing_measured() -> None:
    """A dark vehicle has no rate and no dark moment."""
    model = build()

    assert rate(model, situation="dark") == ()
    assert longest_dark(model, situation="dark") == ()
    assert sources(model, situation="dark") == ()


def test_the_longest_dark_is_between_both_sides() -> None:
    """Singles of 100 ms that begin half a cycle apart leave 150 ms dark."""
    model = build("red: 'lit 100 ms, dark 400 ms sides'")

    assert only(longest_dark(model, situation="day"), toward="front").value == pytest.approx(0.150)


def test_one_observer_sees_both_heads_of_a_pair() -> None:
    """Two singles of two a second, in turn, are four a second to the eye."""
    model = build("red: single 120 per min sides")

    assert only(seen_rate(model, situation="day"), toward="front").value == pytest.approx(4.0)
    assert only(sources(model, situation="day"), toward="front").value == 2


@pytest.mark.parametrize(
    ("shown", "expected_hz"),
    [
        ("red: double 120 per min sides", 4.0),
        ("red: double 120 per min together", 2.0),
        ("red: quad 60 per min sides", 2.0),
    ],
)
def test_a_train_of_pulses_is_one_flash_to_the_observer(shown: str, expected_hz: float) -> None:
    """A flash is one pulse or a train of pulses (SAE J595-2021 as quoted by tnlab.org); heads together are one."""
    assert only(seen_rate(build(shown), situation="day"), toward="front").value == pytest.approx(expected_hz)


def test_lamps_that_flash_together_can_be_counted_each() -> None:
    """Two lamps of two a second are four where every source counts (flashes at a measuring point, memory)."""
    found = seen_rate(build("red: double 120 per min together"), situation="day", counting="each")

    assert only(found, toward="front").value == pytest.approx(4.0)


def test_pulses_of_a_double_are_counted_singly() -> None:
    """Two pulses, two cycles a second."""
    worst = pulses_in_a_second(build("red: double 120 per min sides"), situation="day")[0]

    assert worst.value == 4


def test_a_flashing_head_beside_the_brake_has_a_distance() -> None:
    """The bar on the cap roof flashes some 0.7 m above the tail lamps, and the nearest of its heads is named."""
    measures = beside_brake_distance(build("red: double sides", on="bar"), situation="day")
    tail = next(measure for measure in measures if measure.facts["lamp"] == "tail")

    assert 0.5 < float(tail.value or 0.0) < 1.2
    assert tail.facts["other"].startswith("bar.")


def test_lamps_on_the_controller_s_clock_don_t_drift() -> None:
    """One clock, nothing to measure."""
    assert drift(build(), situation="day", after=60.0) == ()


def test_a_lamp_with_its_own_clock_drifts_by_its_tolerance() -> None:
    """2 % off for a minute is 1.2 s, and the controller's own error on top."""
    model = build("red: double", on="[grille, tail]")
    heads = tuple(
        replace(head, sync_group="own:tail", clock_tolerance_share=0.02) if head.lamp == "tail" else head
        for head in model.heads
    )
    model = replace(model, heads=heads, digest="")

    (measure,) = [each for each in drift(model, situation="day", after=60.0) if each.facts["lamp"] == "tail"]
    assert measure.value == pytest.approx(1.2)


# ---- law
@given(st.sampled_from(["single", "double", "triple", "quad"]), st.integers(40, 300))
def test_rate_is_the_cycle_s_whatever_the_train(word: str, per_minute: int) -> None:
    """Law: a train of pulses counts once."""
    model = build(f"red: {word} {per_minute} per min sides")

    measure = only(rate(model, situation="day"), owner="warning")
    assert measure.value == pytest.approx(1000 / round(60_000 / per_minute))
    assert float(only(on_share(model, situation="day"), owner="warning").value or math.nan) <= 0.4


@given(st.integers(1, 100))
def test_light_never_exceeds_the_share_that_is_written(share: int) -> None:
    """Law: steady N % is N %."""
    assert wave_of(build(f"red: steady {share} %"), "grille.left").light().peak() == pytest.approx(share / 100)
