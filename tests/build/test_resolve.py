"""What was written becomes what exists: pairs, numbers, defaults, likenesses."""

from __future__ import annotations

import pytest

from coachwright.build.condition import HeadStatement, OneOf
from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.parts.store import Catalogue
from tests.build import small
from tests.build.conftest import spoken


def model_of(catalogue: Catalogue, **sections: str) -> Model:
    """The good build with some sections written otherwise."""
    loaded = read_build(small.whole(**sections), catalogue=catalogue)
    assert loaded.model is not None, [f"{each.where[0]} {spoken(each)}" for each in loaded.findings]
    return loaded.model


ONLY = {"groups": "", "functions": "", "messages": "", "limits": "", "stops": "", "promises": ""}
"""Nothing that names the lamps."""


def test_a_pair_has_a_left_and_a_right(catalogue: Catalogue) -> None:
    """Case: what is written holds for the left; the place is there on both sides."""
    model = model_of(catalogue, lamps="lamps:\n  a: {part: short-red, at: grille, pair: mirrored, aim: 90 deg}", **ONLY)
    left, right = (head for head in model.heads if head.lamp == "a")

    assert (left.id, left.side, left.number) == ("a.left", "left", 0)
    assert (right.id, right.side, right.number) == ("a.right", "right", 0)
    assert left.place == right.place == "grille"
    assert left.aim_rad == right.aim_rad == pytest.approx(1.5707963)
    assert left.colours == ("red", "white")


def test_a_lamp_on_one_side_has_no_pair(catalogue: Catalogue) -> None:
    """Case: it stands on its side under its own name."""
    model = model_of(catalogue, lamps="lamps:\n  a: {part: short-red, at: grille.right}", **ONLY)
    (head,) = (head for head in model.heads if head.lamp == "a")

    assert (head.id, head.side, head.place) == ("a", "right", "grille")


def test_a_bar_that_looks_back_is_counted_from_the_vehicles_left(catalogue: Catalogue) -> None:
    """Case: the part lists heads left to right as seen from behind it, so the last one listed stands leftmost."""
    lamps = "lamps:\n  a: {part: bar-4, at: roof-front}\n  b: {part: bar-4, at: roof-rear}"
    model = model_of(catalogue, lamps=lamps, **ONLY)

    assert [(head.id, head.head_index) for head in model.heads if head.lamp == "a"] == [
        ("a.1", 0),
        ("a.2", 1),
        ("a.3", 2),
        ("a.4", 3),
    ]
    assert [head.head_index for head in model.heads if head.lamp == "b"] == [3, 2, 1, 0]


def test_clocks(catalogue: Catalogue) -> None:
    """Case: the controller's, a sync wire's, and each lamp its own; with the tolerance of who flashes it."""
    lamps = """\
lamps:
  a: {part: bar-4, at: roof-front}
  b: {part: beacon, at: grille, pair: mirrored}
  c: {part: beacon, at: tail, pair: mirrored, sync: roof}"""
    model = model_of(catalogue, lamps=lamps, **ONLY)
    clocks = {head.id: (head.sync_group, head.clock_tolerance_share) for head in model.heads}

    assert clocks["a.1"] == ("controller", pytest.approx(0.001))
    assert clocks["b.left"] == ("own:b.left", pytest.approx(0.02))
    assert clocks["b.right"][0] == "own:b.right"
    assert clocks["c.left"][0] == clocks["c.right"][0] == "sync:roof"


def test_lamps_of_the_vehicle(catalogue: Catalogue) -> None:
    """Case: all are there; of what the build says nothing, the reach is none. Outputs have no heads."""
    model = model_of(catalogue)
    reach = {head.lamp: head.reach for head in model.heads if head.reach != "own"}

    assert reach == {"high-beam": "parallel", "brake-lamps": "none", "dome": "none", "reverse-lamps": "none"}
    assert {output.name: output.reach for output in model.outputs} == {"horn": "series", "engine-run": "none"}


def test_defaults_of_controls(catalogue: Catalogue) -> None:
    """Case: hold for slide and pick-one, off for the rest; asleep they read off; a pick-one may say its start."""
    controls = """\
controls:
  slide: {kind: slide, positions: ["off", low, full], at: console.panel}
  arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: left}
  scene: {kind: toggle, at: console.panel, start: last, asleep: as-is, lost: hold}
  wail: {kind: button, at: console.panel, by: foot}
  ring: {kind: button, at: console.panel, from: vehicle.horn-ring}
  main: {kind: rotary-disconnect, at: console.panel}"""
    model = model_of(catalogue, controls=controls)
    found = {
        item.name: (item.start, item.asleep, item.lost, item.rest, item.hand)
        for item in model.inputs
        if item.is_control
    }

    assert found == {
        "slide": ("off", "reads-off", "hold", "off", "hand"),
        "arrow": ("left", "reads-off", "hold", "left", "hand"),
        "scene": ("last", "as-is", "hold", "last", "hand"),
        "wail": ("off", "reads-off", "off", "off", "foot"),
        "ring": ("off", "reads-off", "off", "off", "hand"),
        "main": ("off", "reads-off", "off", "off", "hand"),
    }
    assert model.input("ring").source == "the ring"
    assert "horn-ring" not in {item.name for item in model.inputs}


def test_a_control_may_have_the_name_of_the_signal_it_is_read_from(catalogue: Catalogue) -> None:
    """Case: it takes the signal's place."""
    controls = small.BASE["controls"].replace("  ring: {", "  horn-ring: {")
    memory = "memory:\n  tone: {values: [standby, wail], moves: [{on: pressed horn-ring, to: wail}]}"
    model = model_of(
        catalogue, controls=controls, memory=memory, functions="", messages="", limits="", stops="", promises=""
    )

    assert [item.kind for item in model.inputs if item.name == "horn-ring"] == ["button"]


def test_signals_of_the_body_with_what_the_build_says(catalogue: Catalogue) -> None:
    """Case: lost and times are the build's; a brought signal has the values it is compared with."""
    signals = """\
signals:
  brake: {lost: "on", debounce: 25 ms}
  speed: {lost: 10 mph}
  turn-left: {edge-hold: 700 ms}
  lid: {from: cargo.tray, lost: closed}
  trailer: {from: box.trailer}
  lamp-out: {from: box.outputs, values: [fine, one, many]}
  tray-out: {from: cargo.tray}"""
    model = model_of(catalogue, signals=signals, words="words:\n  parked: gear == P\n  night: trailer == present")
    found = {item.name: item for item in model.inputs}

    assert (found["brake"].lost, found["brake"].debounce_ms) == ("on", 25)
    assert found["speed"].lost == pytest.approx(4.4704)
    assert (found["turn-left"].edge_hold_ms, found["turn-right"].edge_hold_ms) == (700, 900)
    assert (found["lid"].values, found["lid"].rest) == (("closed", "open"), "closed")
    assert (found["trailer"].values, found["trailer"].lost) == (("absent", "present"), "hold")
    assert found["lamp-out"].values == ("fine", "one", "many")
    assert (found["tray-out"].kind, found["tray-out"].values) == ("on-off", ("off", "on"))


def test_ignition_alone_is_run_or_crank(catalogue: Catalogue) -> None:
    """Case: the one many-valued input that may stand bare."""
    model = model_of(catalogue, words="words:\n  parked: gear == P\n  night: ignition")

    assert model.words[1].condition == OneOf("ignition", ("run", "crank"))


def test_likeness_of_situations(catalogue: Catalogue) -> None:
    """Case: settings, memory, length and what it stands for are taken over; what is said again holds."""
    situations = """\
situations:
  three: {like: two, tone: yelp, stands-for: moving}
  one: {slide: low, gear: D, tone: wail, lasts: 2 h, stands-for: calling}
  two: {like: one, gear: R, speed: 10 mph}"""
    model = model_of(catalogue, situations=situations)
    three = model.situation("three")

    assert [each.name for each in model.situations] == ["three", "one", "two"]
    assert dict(three.settings) == {"slide": "low", "gear": "R", "speed": pytest.approx(4.4704)}
    assert dict(three.memory) == {"tone": "yelp"}
    assert (three.lasts_s, three.stands_for) == (7200.0, "moving")


def test_promises_know_their_heads(catalogue: Catalogue) -> None:
    """Case: then means every head, never at least one; any is any head of all."""
    promises = """\
promises:
  a: {when: brake, then: tail only red steady at least 90 %, within: 100 ms}
  b: {never: tail dark}
  c: {never: any red flashing}
  d: {after: becomes parked, until: pressed wail, never: main-siren}"""
    model = model_of(catalogue, promises=promises)
    a, b, c, d = model.promises

    assert (a.kind, a.within_ms) == ("then", 100)
    assert isinstance(a.then, HeadStatement)
    assert (a.then.heads, a.then.every) == (("tail.left", "tail.right"), True)
    assert isinstance(b.never, HeadStatement)
    assert (b.never.heads, b.never.every) == (("tail.left", "tail.right"), False)
    assert isinstance(c.never, HeadStatement)
    assert "bar.1" in c.never.heads
    assert not c.never.every
    assert d.kind == "between"
    assert a.text == "when brake, then tail only red steady at least 90 % within 100 ms"


def test_functions_as_they_are_understood(catalogue: Catalogue) -> None:
    """Case: levels in the order of the positions; one item stands for a list of one; a tone may be a memory."""
    model = model_of(catalogue)
    functions = {function.name: function for function in model.functions}
    warning, turn, siren = functions["warning"], functions["turn-shows"], functions["siren"]

    assert [level.position for level in warning.levels] == ["low", "full"]
    assert [each.level for each in warning.at_most] == ["low"]
    assert turn.shows[0].heads == ("tail.left",)
    assert (turn.shows[0].colours[0].manner, turn.shows[0].colours[0].signal) == ("follow", "turn-left")
    assert (siren.sounds[0].tone, siren.sounds[0].tone_memory) == ("", "tone")
    assert functions["arrow-run"].one_level
    assert functions["scene-on"].shows[0].heads == ("bar.2", "bar.3", "rear-bar.1", "rear-bar.4")


def test_what_is_left_away(catalogue: Catalogue) -> None:
    """Case: the ranks of the language, one vehicle, no packs; the first value of a memory is its start."""
    model = model_of(catalogue)

    assert model.ranks == ("road", "open", "task", "traffic", "warn", "ease")
    assert model.count == 1
    assert model.packs == ()
    assert model.memories[0].start == "standby"
    assert len(model.cannot_be) == 1


def test_the_parts_of_a_job(catalogue: Catalogue) -> None:
    """Case: each that is used, once, by name."""
    names = [name for name, _ in model_of(catalogue).parts]

    assert names == sorted({"small-van", "short-red", "short-red-amber", "bar-4", "controller", "siren", "fan"})


def test_the_job(catalogue: Catalogue) -> None:
    """Case: answers of the law keep their words."""
    job = """\
job:
  name: A
  due: 2027-03-15
  tax: {exempt: yes, paper: on file}
  law: {place: here, a-b: {answer: only when not night, paper: letter}, c: {answer: forbidden}}"""
    found = model_of(catalogue, job=job).job

    assert (found.name, found.due, found.money, found.tax_exempt) == ("A", "2027-03-15", "USD", True)
    assert [(each.question, each.answer, each.paper, each.path) for each in found.law] == [
        ("a-b", "only when not night", "letter", "job.law.a-b"),
        ("c", "forbidden", "", "job.law.c"),
    ]


def test_equipment(catalogue: Catalogue) -> None:
    """Case: what sounds, what runs, who brings it, what it hangs on."""
    feeds = "feeds:\n  box: {from: main-battery, on-while: hot}\n  keep: {from: main-battery, on-while: hot}"
    equipment = """\
equipment:
  box: {part: controller, at: floor, feed: box}
  main-siren: {part: siren, at: floor, speakers: bumper.left, by: customer, also: [keep], antenna: roof-front}
  locker-fan: {part: fan, at: floor, count: 2, feed: box, shed: 1}"""
    found = {item.name: item for item in model_of(catalogue, feeds=feeds, equipment=equipment).equipment}

    assert (found["main-siren"].sounds, found["main-siren"].runs, found["main-siren"].by) == (True, False, "customer")
    assert found["main-siren"].speakers == ("bumper.left",)
    assert (found["locker-fan"].sounds, found["locker-fan"].runs, found["locker-fan"].count) == (False, True, 2)
    assert not found["box"].runs
    assert (found["main-siren"].also, found["main-siren"].antenna) == (("keep",), "roof-front")
    assert (found["locker-fan"].feed, found["locker-fan"].shed, found["box"].shed) == ("box", 1, None)
