"""Where does the harness come apart, and which wire is in which way of which connector?"""

import dataclasses

import pytest

from coachwright.power.marks import marks_of
from coachwright.power.pins import Connector, Unplugged, connectors_of, splices_of
from coachwright.power.runs import Runs, laid, lay
from coachwright.power.shelf import Shelf, our_shelf, wire_of_gauge
from coachwright.power.wires import wires_of
from tests.power.nets import EXAMPLES, example


def plugged(everything: Runs, *, shelf: Shelf | None = None, **gauges: str) -> tuple[list[Connector], list[Unplugged]]:
    shelf = shelf or our_shelf()
    sizes = {subject.replace("__", "."): wire_of_gauge(gauge, our_shelf()) for subject, gauge in gauges.items()}
    wires = wires_of(everything.runs, our_shelf(), sizes={name: wire for name, wire in sizes.items() if wire})
    found, lacking = connectors_of(everything.runs, wires, marks_of(everything.runs), shelf)
    return list(found), list(lacking)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wire_over_a_hinge_and_at_a_lamp_has_its_way(name: str) -> None:
    """Law: each conductor is in one way of one connector at each place, or told; pins count from 1 to the last."""
    everything = laid(example(name))
    found, lacking = plugged(everything)
    places: dict[str, list[str]] = {}
    for connector in found:
        assert [pin.number for pin in connector.pins] == list(range(1, connector.part.ways + 1))
        places.setdefault(connector.at, []).extend(pin.run for pin in connector.pins if pin.run)

    for run in everything.runs:
        at = [segment.name for segment in run.segments if segment.hinge] if run.kind != "coax" else []
        at += [run.subject] if run.subject.startswith("lamps.") else []
        for each in at:
            untold = not any((each, run.name) == (one.at, one.run) for one in lacking)
            assert places.get(each, []).count(run.name) == (run.conductors_n if untold else 0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_connectors_are_made_for_their_wires_and_places(name: str) -> None:
    """Law: sealed where it is wet, hotter than the way, and for the wire's size."""
    everything = laid(example(name))
    wires = wires_of(everything.runs, our_shelf())
    ways = {segment.name: segment for run in everything.runs for segment in run.segments}
    found, _ = plugged(everything)

    for connector in found:
        way = ways.get(connector.at)
        assert way is None or (connector.part.sealed >= way.wet and connector.part.temperature > way.ambient_degc)
        for pin in connector.pins:
            wire = wires[pin.run].part if pin.run else None
            assert wire is None or connector.part.least_area <= wire.area <= connector.part.most_area


def test_the_smallest_connector_is_taken_and_cables_stay_together() -> None:
    """Case: a lamp has three wires in four ways; at the tray four conductors of one cable are in one connector."""
    found, lacking = plugged(laid(example("quillback")))
    tray = [connector for connector in found if connector.at == "tray"]
    cable = [sum(pin.run == "controls.command-tray cable" for pin in connector.pins) for connector in tray]

    assert next(each for each in found if each.at == "lamps.visor").part.name == "connector-4"
    assert [connector.part.name for connector in tray] == ["connector-12", "connector-4"]
    assert sorted(cable) == [0, 4]
    assert lacking == []


def test_a_wire_no_connector_takes_is_told() -> None:
    """Case: 10 AWG to a lamp on the hatch; the sealed ones end at 2 mm2."""
    _, lacking = plugged(laid(example("quillback")), **{"lamps__hatch-under__left": "10 AWG"})

    assert {each.at for each in lacking} == {"hatch-loop", "lamps.hatch-under.left"}
    assert lacking[0].why == "No sealed connector on the shelf takes 5.3 mm2 at 70 degC."


def test_without_connectors_everything_is_told() -> None:
    """Case: an empty shelf."""
    empty = dataclasses.replace(our_shelf(), connectors=())
    found, lacking = plugged(laid(example("volunteer-car")), shelf=empty)

    assert found == []
    assert lacking


def test_wires_of_one_channel_are_joined_at_the_controller() -> None:
    """Case: both grille lamps on channel 1: one splice of two wires; channel 2 has one lamp and needs none."""
    everything = lay(
        example("quillback"),
        channels={"lamps.grille": "1", "lamps.push.left": "2", "lamps.tail": "3", "lamps.corner": "3"},
    )
    wires = wires_of(everything.runs, our_shelf())
    splices = {splice.channel: splice for splice in splices_of(everything.runs, wires, our_shelf())}

    assert set(splices) == {"1", "3"}
    assert splices["1"].runs == ("lamps.grille.left supply", "lamps.grille.right supply")
    assert (splices["1"].at, splices["1"].pieces_n) == ("rear-seat", 1)
    assert splices["3"].pieces_n == 3
    assert splices["1"].part is not None
    assert splices["1"].part.name == "splice-sealed"
