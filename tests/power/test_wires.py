"""Which wire is each run made of, and what does the shelf have?"""

import dataclasses

import pytest

from coachwright.build.model import Decision, Fixed
from coachwright.kit.errors import DataWrong
from coachwright.power.laying import defaults, laying
from coachwright.power.runs import laid
from coachwright.power.shelf import our_shelf, wire_of_gauge
from coachwright.power.wires import gauges_of, wires_of
from tests.power.nets import EXAMPLES, changed, example


@pytest.mark.parametrize(
    ("gauge", "name"),
    [
        ("14 AWG", "wire-awg-14"),
        ("2/0 AWG", "wire-awg-two-aught"),
        ("2.5 mm2", "wire-metric-2-5"),
        ("13 AWG", None),
        ("3 mm2", None),
        ("0.01 in2", None),
    ],
)
def test_a_gauge_names_a_wire_of_the_shelf(gauge: str, name: str | None) -> None:
    """Case: an AWG number is AWG wire and never SAE; what isn't there is None, and nothing near it is taken."""
    found = wire_of_gauge(gauge, our_shelf())

    assert (found.name if found is not None else None) == name


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_run_is_made_of_something(name: str) -> None:
    """Law: with nothing settled each run has a wire of the shelf, or is a coaxial cable."""
    runs = laid(example(name)).runs
    wires = wires_of(runs, our_shelf())

    assert set(wires) == {run.name for run in runs}
    assert all(wires[run.name].part is not None or run.kind == "coax" for run in runs)
    assert not any(wired.is_settled for wired in wires.values())


def test_the_gauge_of_a_thing_is_that_of_its_feed_and_its_return() -> None:
    """Case: the siren's sheet asks for 10 AWG, so out and back; its speakers and a memory wire stay as they are."""
    model = example("quillback")
    sizes, lacking = gauges_of(model, our_shelf())
    wires = wires_of(laid(model).runs, our_shelf(), sizes=sizes)
    named = {name: wired.part.name for name, wired in wires.items() if wired.part is not None}

    assert lacking == ()
    assert named["equipment.main-siren supply"] == named["equipment.main-siren return"] == "wire-awg-10"
    assert named["equipment.second-siren supply"] == "wire-awg-16"
    assert named["equipment.main-siren speaker bumper-behind.left"] == defaults().wires["speaker"]


def test_a_return_of_several_heads_is_as_thick_as_the_thickest() -> None:
    """Case: one head of a bar is settled at 14 AWG and the lamp at 16: the one wire of both is 14."""
    shelf = our_shelf()
    thick, thin = wire_of_gauge("14 AWG", shelf), wire_of_gauge("16 AWG", shelf)
    assert thick is not None
    assert thin is not None
    wires = wires_of(laid(example("quillback")).runs, shelf, sizes={"lamps.visor.3": thick, "lamps.visor": thin})

    assert wires["lamps.visor return"].part == thick
    assert wires["lamps.visor supply"].is_settled
    assert wires["lamps.visor data"].part != thick


def test_what_the_lead_fixed_stands_over_the_lock() -> None:
    """Case: the lock says 12, the lead 14; a gauge nobody sells is told."""
    model = example("quillback")
    locked = Decision("lamps.grille", "gauge", "12 AWG", "gauges", "0123456789abcdef")
    fixed = Fixed("lamps.grille", "gauge", "14 AWG", "fixed.grille.gauge")
    odd = Fixed("equipment.radio-1", "gauge", "13 AWG", "fixed.radio-1.gauge")
    sizes, lacking = gauges_of(changed(model, decisions=(locked,), fixed=(fixed, odd)), our_shelf())

    assert sizes["lamps.grille"].name == "wire-awg-14"
    assert lacking == (("equipment.radio-1", "13 AWG"),)


def test_a_shelf_without_the_wire_of_the_guess_is_told() -> None:
    """Case: an empty shelf lays nothing."""
    empty = dataclasses.replace(our_shelf(), wires=())

    with pytest.raises(DataWrong, match="the shelf has no wire"):
        wires_of(laid(example("quillback")).runs, empty)


def test_figures_of_laying_are_read_with_their_source() -> None:
    """Case: shares between nothing and more than all, and a cite for each table."""
    by = laying()

    assert 0 < by.slack_share < 0.5
    assert by.avoid.isdisjoint(by.mind)
    assert by.avoid | by.mind == {"airbag", "curtain", "fuel", "hot", "moving"}
    assert all(cite.source for cite in (by.length_cite, by.lay_cite, by.fill_cite, by.keep_out_cite, defaults().cite))
    assert by.fill_cite.status == "draft"
