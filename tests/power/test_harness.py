"""The harness of one vehicle: cut list, reels, mass, and the lines a person in the bay reads."""

import dataclasses

import pytest

from coachwright.power import harness_text as text
from coachwright.power.cut import pieces_of
from coachwright.power.harness import Harness, alike_n, harness_of
from tests.power.nets import EXAMPLES, changed, example


@pytest.fixture(scope="module", params=EXAMPLES)
def harness(request: pytest.FixtureRequest) -> Harness:
    return harness_of(example(request.param))


def test_the_cut_list_has_every_conductor_once(harness: Harness) -> None:
    """Law: metres of the list are metres of the runs; only coaxial cables, which come with antennas, are not on it."""
    copper = [run for run in harness.runs if run.kind != "coax"]

    assert len(harness.cuts) == sum(run.conductors_n for run in copper)
    assert harness.metres_m == pytest.approx(sum(run.length_m * run.conductors_n for run in copper))
    assert sum(wire.length_m for wire in harness.cuts) == pytest.approx(harness.metres_m)


def test_no_reel_gives_more_than_it_has_and_each_wire_is_cut(harness: Harness) -> None:
    """Law: of every part, for every vehicle, each wire once."""
    for reels in harness.reels:
        count = len(reels.wires)
        cut_from = [piece for _, piece in pieces_of(reels.cutting)]
        assert sorted([*cut_from, *reels.cutting.too_long]) == list(range(count * reels.vehicles_n))
        for reel in reels.cutting.reels:
            assert sum(reels.wires[piece % count].length_m for piece in reel) <= reels.part.reel + 1e-9


def test_mass_is_metres_times_mass_per_metre(harness: Harness) -> None:
    """Law: jacket and all, as the part says."""
    expected = sum(wire.length_m * wire.part.mass_per_length for wire in harness.cuts)

    assert harness.mass_kg == pytest.approx(expected)
    assert 1.0 < harness.mass_kg < 40.0  # common practice: a fit-out's wire weighs some kilograms


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_build_gives_the_same_lines(name: str) -> None:
    """Law: every line, twice, from a build that remembers nothing."""
    model = changed(example(name))
    faces = (text.cut_lines, text.mark_lines, text.bundle_lines, text.connector_lines, text.ground_lines)
    one, two = ([list(face(harness_of(model))) for face in faces] for _ in range(2))

    assert one == two


def test_reels_are_shared_by_the_vehicles_that_are_alike() -> None:
    """Case: six pickups, two of which have a second radio: four are cut together, and those two together."""
    model = example("quillback")
    fitted = changed(model, choices=next(each.choices for each in model.serials if each.number == 3))

    assert (model.count, alike_n(model), alike_n(fitted)) == (6, 4, 2)
    assert {reels.vehicles_n for reels in harness_of(model).reels} == {4}
    assert {reels.vehicles_n for reels in harness_of(model, vehicles_n=1).reels} == {1}


def test_cutting_for_all_at_once_opens_no_more_reels() -> None:
    """Law: what is left over from one vehicle is there for the next."""
    model = example("service-patrol")
    one = {reels.part.name: len(reels.cutting.reels) for reels in harness_of(model, vehicles_n=1).reels}

    for reels in harness_of(model, vehicles_n=10).reels:
        assert len(reels.cutting.reels) <= 10 * one[reels.part.name]


def test_marks_stay_when_a_lamp_goes() -> None:
    """Case: without the grille lamps, the corner lamps keep the numbers they had."""
    model = example("quillback")
    kept = {run.subject: harness_of(model).marks[run.name][0].number for run in harness_of(model).runs}
    without = changed(model, heads=tuple(head for head in model.heads if head.lamp != "grille"))
    after = harness_of(without, kept_numbers=kept)

    assert after.marks["lamps.corner.left supply"][0].number == kept["lamps.corner.left"] == 103


def test_the_cut_list_reads_as_a_list() -> None:
    """Case: part, length, mark, where from, where to; and how many reels are opened, with the bound beside it."""
    lines = list(text.cut_lines(harness_of(example("quillback"), vehicles_n=6)))

    assert any(line.split() == "5.07 m 101 grille left under-rear-seat to grille.left".split() for line in lines)
    assert any("reels of 30.48 m for 6 vehicles, no plan needs fewer" in line for line in lines)
    assert lines[-1].endswith("without connectors and loom.")


def test_a_reel_plan_that_is_not_proved_says_what_the_bound_is() -> None:
    """Case: the words change with what is known."""
    reels = harness_of(example("volunteer-car")).reels[0]
    unsure = dataclasses.replace(reels, cutting=dataclasses.replace(reels.cutting, bound_n=0))

    assert "no plan needs fewer;" in text.reel_line(reels)
    assert "no plan needs fewer than 0;" in text.reel_line(unsure)


def test_lines_name_holes_grounds_pins_and_what_is_missing() -> None:
    """Case: one line of each face."""
    one = harness_of(example("quillback"))

    assert any(line.startswith("firewall: ") and "hole of 38 mm" in line for line in text.bundle_lines(one))
    assert "  101 grille left return" in list(text.ground_lines(one))
    assert "   1  101 grille left" in list(text.connector_lines(one))
    assert "101 grille left data" in list(text.mark_lines(one))
    assert any(line.startswith("vehicle-lamps.horn: ") for line in text.missed_lines(one))
    assert all(" m left" in line for reels in one.reels for line in text.reel_plan_lines(reels))
