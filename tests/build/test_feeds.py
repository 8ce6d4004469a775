"""Feeds: what is read of them, where they come from, what hangs on them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.condition import Compare, Constant, OneOf, Plus
from coachwright.build.fed import draws
from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.finding import Finding
from coachwright.parts.schema import ControllerPart, SpeakerPart
from coachwright.parts.store import Catalogue
from tests.build import small
from tests.build.conftest import Case, check_case, spoken

FED = """\
equipment:
  box: {part: controller, at: floor, feed: box}
  main-siren: {part: siren, at: floor, speakers: [bumper.left, bumper.right], feed: box}
  locker-fan: {part: fan, at: floor, feed: outlet}
  spare: {part: second, at: floor, isolator: {join: engine == running, split: supply < 12.8 V held 2 min}}"""
FEEDS = """\
feeds:
  box: {from: spare, on-while: hot, sleep: 5 min after (ignition or brake) ends, shed: never}
  outlet: {from: main-battery, on-while: ignition plus 30 min, below: 11.8 V held 2 min, shed: 2,
           ends-with: shutdown-line 90 s before, note: behind the seat}"""


def model_of(catalogue: Catalogue, **sections: str) -> Model:
    """The good build with some sections written otherwise."""
    loaded = read_build(small.whole(**sections), catalogue=catalogue)
    assert loaded.model is not None, [f"{each.where[0]} {spoken(each)}" for each in loaded.findings]
    assert [each.severity for each in loaded.findings if each.severity != "note"] == []
    return loaded.model


def test_everything_a_feed_can_say(catalogue: Catalogue) -> None:
    """Case: in SI, conditions read."""
    box, outlet = model_of(catalogue, feeds=FEEDS, equipment=FED).feeds

    assert (box.source, box.source_is, box.on_while, box.hot) == ("spare", "equipment", Constant(True), True)
    assert (box.below_v, box.below_held_s, box.ends_with, box.shed) == (None, 0.0, "", "never")
    assert box.sleep_s == pytest.approx(300.0)
    assert box.sleep_after is not None
    assert (outlet.source_is, outlet.hot, outlet.plus_s) == ("main-battery", False, pytest.approx(1800.0))
    assert outlet.on_while == Plus(OneOf("ignition", ("run", "crank")), 1_800_000)
    assert (outlet.below_v, outlet.below_held_s) == (pytest.approx(11.8), pytest.approx(120.0))
    assert (outlet.ends_with, outlet.ends_before_s, outlet.shed) == ("shutdown-line", pytest.approx(90.0), 2)
    assert (outlet.sleep_after, outlet.note, outlet.path) == (None, "behind the seat", "feeds.outlet")


@given(st.integers(100, 160), st.integers(1, 3600))
def test_below_is_what_is_written(tenths: int, held_s: int) -> None:
    """Law: any voltage of a battery, any time of up to an hour, in seconds or in minutes."""
    text = f"main-battery, on-while: hot, below: {tenths / 10:.1f} V held"
    catalogue = small.small_catalogue()
    in_s, in_min = (
        read_build(small.whole(feeds=f"feeds:\n  a: {{from: {text} {time}}}"), catalogue=catalogue).model
        for time in (f"{held_s} s", f"{held_s / 60:.9f} min")
    )

    assert in_s is not None
    assert in_min is not None
    assert in_s.feeds[0].below_v == pytest.approx(tenths / 10)
    assert in_s.feeds[0].below_held_s == pytest.approx(held_s)
    assert in_min.feeds[0].below_held_s == pytest.approx(held_s, rel=1e-6)


def test_an_isolator_is_two_conditions(catalogue: Catalogue) -> None:
    """Case: of the battery that has it, and of nothing else."""
    found = {item.name: item for item in model_of(catalogue, feeds=FEEDS, equipment=FED).equipment}
    isolator = found["spare"].isolator

    assert isolator is not None
    assert isolator.join == Compare("engine", "==", "running")
    assert isolator.split is not None
    assert found["box"].isolator is None


def test_where_power_can_come_from(catalogue: Catalogue) -> None:
    """Case: the body's battery and alternator, its circuits, batteries of ours, other feeds."""
    feeds = """\
feeds:
  box: {from: main-battery, on-while: hot}
  a: {from: alternator, on-while: engine == running}
  b: {from: vehicle.reverse, on-while: gear == R}
  c: {from: spare, on-while: hot}
  outlet: {from: c, on-while: hot}"""
    equipment = (
        FED + "\n  x: {part: fan, at: floor, feed: a, also: [b]}\n  y: {part: fan, at: floor, feed: vehicle.dome}"
    )
    model = model_of(catalogue, feeds=feeds, equipment=equipment)

    assert [(feed.name, feed.source_is) for feed in model.feeds] == [
        ("box", "main-battery"),
        ("a", "alternator"),
        ("b", "vehicle"),
        ("c", "equipment"),
        ("outlet", "feed"),
    ]


def test_a_second_battery_of_the_body() -> None:
    """Case: main-battery is always there, second-battery when the vehicle comes with one."""
    battery = "second-battery: {part: second, at: floor}\n"
    catalogue = small.small_catalogue(**{"small-van": small.PARTS["small-van"] + battery})
    feeds = FEEDS.replace("from: main-battery", "from: second-battery")

    assert model_of(catalogue, feeds=feeds, equipment=FED).feeds[1].source_is == "second-battery"


def test_fields_that_can_not_be_read(case: Case) -> None:
    """BLD-100: each says how it is written; quantities as everywhere.

    feeds:
      a: {from: main-battery, on-while: hot, below: low}
    #                                               ^^^ BLD-006
      b: {from: main-battery, on-while: hot, below: 11.8 held 2 min}
    #                                               ^^^^^^^^^^^^^^^ BLD-004 11.8 V
      c: {from: main-battery, on-while: hot, ends-with: shutdown-line}
    #                                                   ^^^^^^^^^^^^^ BLD-100 shutdown-line 90 s before
      d: {from: main-battery, on-while: hot, sleep: 5 min}
    #                                               ^^^^^ BLD-100 5 min after ignition ends
      e: {from: main-battery, on-while: hot, shed: 0}
    #                                              ^ BLD-026
      f: {from: main-battery, on-while: hot, below: 11.8 V held 40 days}
    #                                               ^^^^^^^^^^^^^^^^^^^ BLD-035
      g: {from: main-battery, on-while: hot, below: 0 V}
    #                                               ^^^ BLD-100
      h: {from: main-battery, on-while: hot, ends-with: The_Line 90 s before}
    #                                                   ^^^^^^^^^^^^^^^^^^^^ BLD-100 plain name
      i: {from: main-battery}
    # 3: BLD-013 on-while
      j: {from: main-battery, on-while: hot, below: [a]}
    #                                               ^^^ BLD-100
    """
    check_case(case)


def test_conditions_of_feeds(case: Case) -> None:
    """BLD-031: marked where the name stands, behind sleep's words too.

    feeds:
      a: {from: main-battery, on-while: ignitoin plus 30 min, shed: never}
    #                                   ^^^^^^^^ BLD-031 Closest: ignition.
      b: {from: main-battery, on-while: hot, sleep: 5 min after ignitoin ends}
    #                                                           ^^^^^^^^ BLD-031 Closest: ignition.
      c: {from: main-battery, on-while: pressed scene}
    #                                   ^^^^^^^^^^^^^ BLD-036
      d: {from: main-battery, on-while: scene-on active}
    #                                   ^^^^^^^^^^^^^^^ BLD-036
    """
    case_errors = replace(case, loaded=replace(case.loaded, findings=errors_of(case)))
    check_case(case_errors)


def errors_of(case: Case) -> tuple[Finding, ...]:
    """Without the warnings on what doesn't hang on anything."""
    return tuple(each for each in case.loaded.findings if each.severity == "error")


def test_sources_that_give_nothing(case: Case) -> None:
    """BLD-105: a radio, a name nobody has, a second battery that isn't there; BLD-057: a circuit nobody has.

    feeds:
      a: {from: two-way, on-while: hot}
    #           ^^^^^^^ BLD-105 gives no power
      b: {from: main-batery, on-while: hot}
    #           ^^^^^^^^^^^ BLD-105 Closest: main-battery.
      c: {from: second-battery, on-while: hot}
    #           ^^^^^^^^^^^^^^ BLD-105 one battery
      d: {from: vehicle.revers, on-while: hot}
    #                   ^^^^^^ BLD-057 Closest: reverse.
      e: {from: vehicle, on-while: hot}
    #           ^^^^^^^ BLD-057
    equipment:
      two-way: {part: two-way, at: floor, feed: a}
      box: {part: controller, at: floor, feed: b, also: [c, d, e]}
      main-siren: {part: siren, at: floor, feed: b}
      locker-fan: {part: fan, at: floor, feed: b}
    """
    check_case(case)


def test_feeds_in_a_ring(case: Case) -> None:
    """BLD-070: they come from nowhere.

    feeds:
      a: {from: b, on-while: hot}
    #           ^ BLD-070 a and b feed each other
      b: {from: a, on-while: hot}
    equipment:
      box: {part: controller, at: floor, feed: a}
      main-siren: {part: siren, at: floor, feed: a}
      locker-fan: {part: fan, at: floor, feed: a}
    """
    check_case(case)


def test_what_hangs_on_what(case: Case) -> None:
    """BLD-106, BLD-107, BLD-108: no feed said, a feed nothing hangs on, a feed nobody has; of `also` too.

    feeds:
      box: {from: main-battery, on-while: hot}
      outlet: {from: main-battery, on-while: hot}
    # 3: BLD-107 Nothing hangs on outlet
    equipment:
      box: {part: controller, at: floor, feed: bx}
    #                                          ^^ BLD-108 Closest: box.
      main-siren: {part: siren, at: floor}
    # 3: BLD-106 draws current
      locker-fan: {part: fan, at: floor, feed: vehicle.revers, also: [box, boks]}
    #                                                  ^^^^^^ BLD-057 Closest: reverse.
    #                                                                      ^^^^ BLD-108 Closest: box.
      two-way: {part: two-way, at: floor, feed: box, also: [box]}
    #                                                       ^^^ BLD-019 already
      charger: {part: cut-off, at: floor, feed: shore}
    """
    check_case(case)


def test_a_feed_that_an_option_uses_is_used(catalogue: Catalogue) -> None:
    """Case: what is fitted to one vehicle only needs its feed in the build."""
    feeds = FEEDS + "\n  more: {from: main-battery, on-while: hot}"
    options = (
        "options:\n  fan: {base: none, none: {}, fitted: {add: {equipment.f: {part: fan, at: floor, feed: more}}}}"
    )

    assert len(model_of(catalogue, feeds=feeds, equipment=FED, options=options).feeds) == 3


def test_without_feeds_nothing_is_asked(catalogue: Catalogue) -> None:
    """Case: a build that says nothing of power yet."""
    assert model_of(catalogue).feeds == ()


def test_names_of_feeds(case: Case) -> None:
    """BLD-092: words the language needs; a feed may be called as its equipment is.

    feeds:
      shore: {from: main-battery, on-while: hot}
    # 3: BLD-092
      box: {from: main-battery, on-while: hot}
    words:
      hot: speed > 5 mph
    # 3: BLD-092
      parked: gear == P
      night: headlamps
    equipment:
      box: {part: controller, at: floor, feed: box}
      main-siren: {part: siren, at: floor, feed: shore}
      locker-fan: {part: fan, at: floor, feed: box}
    """
    check_case(case)


def test_what_a_disconnect_breaks_and_spares(case: Case) -> None:
    """BLD-113: feeds, equipment, memory wires.

    feeds:
      box: {from: spare, on-while: hot}
    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: none}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel}
      key: {kind: rotary-disconnect, at: floor}
    equipment:
      box: {part: controller, at: floor, feed: box}
      main-siren: {part: siren, at: floor, feed: box}
      locker-fan: {part: fan, at: floor, feed: box}
      spare: {part: second, at: floor}
      good: {part: cut-off, at: floor, turned-by: key, breaks: [spare, box], spares: [box, locker-fan.memory]}
      bad: {part: cut-off, at: floor, breaks: [spar], spares: [bx, box.light]}
    #                                          ^^^^ BLD-113 Closest: spare.
    #                                                          ^^ BLD-113 Closest: box.
    #                                                              ^^^^^^^^^ BLD-113
    """
    check_case(case)


def test_words_of_another_part(case: Case) -> None:
    """BLD-109: a siren is no disconnect, a fan no battery; a lead throws itself out of the shore only.

    feeds:
      box: {from: main-battery, on-while: hot}
    equipment:
      box: {part: controller, at: floor, feed: box, eject: yes}
    #                                               ^^^^^ BLD-109 feed: shore
      main-siren: {part: siren, at: floor, feed: box, breaks: [box], spares: [box]}
    #                                                 ^^^^^^ BLD-109 disconnect
    #                                                                ^^^^^^ BLD-109
      locker-fan: {part: fan, at: floor, feed: box, isolator: {join: brake}}
    #                                               ^^^^^^^^ BLD-109 battery
      two-way: {part: two-way, at: floor, feed: box, antenna: rof-front}
    #                                                         ^^^^^^^^^ BLD-052 Closest: roof-front.
    """
    check_case(case)


def test_what_draws(catalogue: Catalogue) -> None:
    """Case: a controller does, a speaker is driven."""
    controller = catalogue.get("controller")

    assert isinstance(controller, ControllerPart)
    assert draws(controller)
    assert not draws(SpeakerPart.model_construct())


def test_a_model_changes_with_what_feeds_say(catalogue: Catalogue) -> None:
    """Law: what matters to power is in the digest."""
    texts = [FEEDS, FEEDS.replace("11.8", "11.7"), FEEDS.replace("90 s", "80 s"), FEEDS.replace("5 min", "6 min")]

    assert len({model_of(catalogue, feeds=text, equipment=FED).digest for text in texts}) == 4
