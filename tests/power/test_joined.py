"""What has to be joined to what by wire, and where does power start?"""

import dataclasses

import pytest

from coachwright.build.lock import Lock
from coachwright.build.model import Equipment, Fixed, Model
from coachwright.build.settling import SOLVERS, settle
from coachwright.power import measures
from coachwright.power.allocate import proposed
from coachwright.power.circuits import channels_by_subject, circuits_of
from coachwright.power.joined import channels_of, joined, of_colour
from coachwright.power.route import net_of
from coachwright.power.wanted import Joined, NotJoined
from tests.power.nets import changed, example, with_body
from tests.power.vehicles import BY_CHANNEL, BY_LINE, again, read, text_of
from tests.power.vehicles import example as vehicle

assert measures is not None  # opening the room registers its solvers


def wanted(model: Model) -> dict[str, Joined]:
    wires, _ = joined(model, net_of(model.body))
    return {f"{each.subject} {each.goes}": each for each in wires}


def missed(model: Model) -> dict[str, NotJoined]:
    _, lost = joined(model, net_of(model.body))
    return {each.subject: each for each in lost}


def with_equipment(model: Model, name: str, **changes: object) -> Model:
    items = tuple(dataclasses.replace(each, **changes) if each.name == name else each for each in model.equipment)
    assert any(each.name == name for each in items)
    return changed(model, equipment=items)


def test_what_a_disconnect_breaks_begins_behind_it() -> None:
    """Case: aux battery to disconnect, disconnect to the feeds; the memory it spares comes straight off the battery."""
    wires = wanted(example("quillback"))
    into, out = (
        wires[f"equipment.disconnect {goes}"] for goes in ("from aux battery", "to the feeds at under-rear-seat")
    )

    assert into.end == out.begin
    assert out.end == wires["feeds.controller feed"].begin == wires["equipment.radio-1 supply"].begin
    assert wires["equipment.controller memory"].begin == into.begin
    assert {"equipment.controller", "equipment.radio-1"} <= set(out.carries)


def test_feeds_of_one_source_share_a_main_cable() -> None:
    """Case: four feeds of the volunteer's car leave the battery as one cable through the fire wall."""
    wires = wanted(example("volunteer-car"))
    main = wires["vehicle.main-battery to the feeds at under-passenger-seat"]

    assert main.kind == "main"
    assert all(
        wires[f"feeds.{feed} feed"].begin == main.end for feed in ("controller", "radios", "sockets", "hand-lamp")
    )


def test_a_memory_that_is_always_live_runs_straight_from_the_battery() -> None:
    """Case: the feed keep has one thing on it; its fuse is at the post, and its wire is the radio's own."""
    wires = wanted(example("volunteer-car"))

    assert wires["equipment.radio-1 on keep"].begin == wires["feeds.keep feed"].begin
    assert wires["equipment.radio-1 on keep"].begin.place == "battery-main"


def test_an_inverter_has_its_own_cable_and_a_wire_that_switches_it() -> None:
    """Case: 140 A go through no channel of 10 A; a function runs it, so a thin wire of the controller does."""
    wires = wanted(example("service-patrol"))
    supply, switch = wires["equipment.inverter supply"], wires["equipment.inverter switch"]

    assert supply.begin == wires["feeds.inverter feed"].begin == wires["feeds.inverter feed"].end
    assert switch.begin == wires["lamps.grille.left supply"].begin
    assert (supply.kind, switch.kind) == ("supply", "switch")


def test_a_fan_a_function_runs_hangs_on_the_controller() -> None:
    """Case: it draws less than a channel gives."""
    wires = wanted(example("quillback"))

    assert wires["equipment.locker-fan supply"].begin == wires["lamps.grille.left supply"].begin


def test_a_circuit_of_the_vehicle_is_tapped_at_its_nearest_lamp() -> None:
    """Case: alarm and camera of the pickup hang on the reverse lamps, each on the nearer one."""
    wires = wanted(example("quillback"))

    assert wires["equipment.backing-alarm supply"].begin.place == "tail-lower.right"
    assert wires["equipment.rear-camera supply"].begin.place.startswith("tail-lower")


def test_lamps_of_the_vehicle_we_feed_beside_it_have_a_tap() -> None:
    """Case: high beams and dome are reached in parallel; the horn is too, but the body doesn't say where it is."""
    wires, lost = wanted(example("quillback")), missed(example("quillback"))

    assert {"vehicle-lamps.high-beam.left tap", "vehicle-lamps.dome tap"} <= set(wires)
    assert lost["vehicle-lamps.horn"].by_body


def test_the_lamps_of_a_tray_are_on_the_tray() -> None:
    """Case: the build's tray stands on the bed, where no way leads; the body's own place of that name is taken."""
    end = wanted(example("quillback"))["equipment.tablet supply"].end

    assert end is not None
    assert (end.node, end.place) == ("tray", "command-tray.left")


def test_controls_and_switches_have_wires() -> None:
    """Case: a cable to each place with controls, a wire to each switch the shop fits; the battery switch is neither."""
    wires = wanted(example("quillback"))

    assert {"controls.console.panel cable", "controls.steering-wheel cable", "signals.tray-out switch"} <= set(wires)
    assert wires["controls.console.panel cable"].conductors_n == 4
    assert "controls.driver-seat-base cable" not in wires


def test_two_speakers_have_two_pairs() -> None:
    """Case: from the amplifier to each of them."""
    wires = wanted(example("quillback"))
    pairs = [each for each in wires.values() if each.kind == "speaker" and each.subject == "equipment.main-siren"]

    assert [(each.conductors_n, each.begin.place) for each in pairs] == [(2, "under-rear-seat")] * 2


def test_a_charger_goes_to_the_nearest_battery_it_does_not_draw_from() -> None:
    """Case: the shore charger under the hood charges the main battery beside it, not the one under the rear seat."""
    end = wanted(example("quillback"))["equipment.shore-charger to main battery"].end

    assert end is not None
    assert end.place == "battery-main"


def test_several_of_one_thing_on_a_pair_of_places_stand_on_both_sides() -> None:
    """Case: two lamps that charge, one in each wall of the bed."""
    model = with_equipment(example("volunteer-car"), "lamp-charger", at="cargo-side", count=2)
    wires = wanted(model)

    assert {"equipment.lamp-charger.left supply", "equipment.lamp-charger.right supply"} <= set(wires)
    assert wires["equipment.lamp-charger.left supply"].carries == ("equipment.lamp-charger",)


def test_without_a_controller_no_lamp_is_fed_and_each_is_told() -> None:
    """Case: nothing is guessed."""
    model = example("volunteer-car")
    without = changed(model, equipment=tuple(each for each in model.equipment if each.name != "controller"))

    assert missed(without)["lamps.grille.left"].why == "There is no controller to feed it."
    assert not any(each.subject.startswith("lamps.") for each in wanted(without).values())


def test_of_two_controllers_the_nearer_one_feeds_a_lamp() -> None:
    """Case: a second one in the tail takes the tail lamps, and the front stays."""
    model = example("quillback")
    second = Equipment("second", "controller-24", "bed-right", (), sounds=False, runs=False, path="equipment.second")
    both = wanted(changed(model, equipment=(*model.equipment, second)))

    assert both["lamps.tail.right supply"].begin.place == "bed-right"
    assert both["lamps.grille.left supply"].begin.place == "under-rear-seat"


def test_a_body_that_says_no_battery_is_told() -> None:
    """Case: feeds have no source then; each says so, and is no fault of the build."""
    lost = missed(with_body(example("volunteer-car"), battery=None))

    assert lost["feeds.radios"].by_body
    assert lost["feeds.radios"].why == "The body doesn't say where the main battery stands."
    assert lost["equipment.usb-front"].why == "Its feed sockets is laid nowhere."
    assert all(each.by_body for each in lost.values())


def test_feeds_in_a_ring_are_told_once_each() -> None:
    """Case: two feeds that feed each other begin nowhere."""
    model = example("volunteer-car")
    ring = {"radios": "sockets", "sockets": "radios"}
    feeds = tuple(
        dataclasses.replace(each, source=ring[each.name], source_is="feed") if each.name in ring else each
        for each in model.feeds
    )
    lost = missed(changed(model, feeds=feeds))

    assert lost["feeds.radios"].why == "radios is fed by itself, through sockets."
    assert lost["feeds.sockets"].why == "sockets is fed by itself, through radios."


def test_a_feed_of_a_feed_begins_at_its_block() -> None:
    """Case: sockets behind radios start where those do."""
    model = example("volunteer-car")
    feeds = tuple(
        dataclasses.replace(each, source="radios", source_is="feed") if each.name == "sockets" else each
        for each in model.feeds
    )
    wires = wanted(changed(model, feeds=feeds))

    assert wires["feeds.sockets feed"].begin == wires["feeds.radios feed"].end
    assert "equipment.usb-front" in wires["feeds.radios feed"].carries


@pytest.mark.parametrize("at", ["nowhere", "bed"])
def test_a_place_without_a_joint_is_told_with_its_name(at: str) -> None:
    """Case: a place the body doesn't have, and one no way leads to."""
    lost = missed(with_equipment(example("quillback"), "locker-fan", at=at))["equipment.locker-fan"]

    assert lost.place == at
    assert not lost.by_body
    assert at in lost.why


def test_a_data_line_goes_only_where_a_controller_tells_over_one() -> None:
    """Case: one that tells by channel has none, and a head of two colours has a wire for each of them."""
    by_line, by_channel = vehicle("volunteer-car"), vehicle("volunteer-car", (BY_LINE, BY_CHANNEL))
    plain = circuits_of(by_channel)
    told = [run for run in circuits_of(by_line).laid.runs if run.kind == "data"]
    wires = [run for run in plain.laid.runs if run.subject == "lamps.grille.left" and run.kind == "supply"]
    numbers = {
        what: number
        for (subject, what), number in proposed(by_channel).channel_of.items()
        if subject == "lamps.grille.left"
    }

    assert len(told) > 10
    assert not [run for run in plain.laid.runs if run.kind == "data"]
    assert sorted(int(run.channel) for run in wires) == sorted({numbers["channel-red"], numbers["channel-white"]})
    assert all(run.carries == ("lamps.grille.left",) for run in wires)


def test_the_lock_of_a_controller_told_by_channel_says_a_channel_for_each_colour() -> None:
    """Case: settled, read back, and the channels are those that were proposed; one fixed for a lamp goes before."""
    text = text_of("volunteer-car", (BY_LINE, BY_CHANNEL))
    lock = again(settle([read(text)], Lock("build.lock.yaml"), SOLVERS))
    model = read(text, lock=lock)
    fixed = changed(model, fixed=(*model.fixed, Fixed("lamps.grille", "channel", "47", "fixed.grille.channel")))

    assert channels_of(model) == channels_by_subject(model)
    assert channels_of(model)[of_colour("lamps.grille.left", "white")].isdecimal()
    assert channels_of(fixed)["lamps.grille"] == "47"
    assert of_colour("lamps.grille.left", "white") not in channels_of(fixed)
    assert settle([model], lock, SOLVERS).changes == ()
