"""What is printed on each wire?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.power.marks import Mark, marks_of, numbers_of
from coachwright.power.runs import laid
from tests.power.nets import EXAMPLES, example

SUBJECTS = st.lists(
    st.tuples(st.sampled_from(["lamps", "equipment", "feeds", "controls", "vehicle-lamps"]), st.integers(0, 300)).map(
        lambda pair: f"{pair[0]}.n{pair[1]}"
    ),
    unique=True,
    max_size=60,
)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_two_wires_have_one_mark(name: str) -> None:
    """Law: whoever reads a mark has found one wire; there is one for each conductor."""
    runs = laid(example(name)).runs
    marks = marks_of(runs)
    texts = [mark.text for each in marks.values() for mark in each]

    assert len(texts) == len(set(texts)) == sum(run.conductors_n for run in runs)


@given(SUBJECTS, SUBJECTS)
def test_numbers_that_were_given_out_stay(before: list[str], after: list[str]) -> None:
    """Law: an edit changes no number of what is still there, and nothing new gets a number that was another's."""
    kept = numbers_of(before)
    now = numbers_of(after, kept=kept)

    assert all(now[subject] == kept[subject] for subject in after if subject in kept)
    assert len(set(now.values())) == len(after)
    assert {now[subject] for subject in after if subject not in kept}.isdisjoint(kept.values())


def test_lamps_are_counted_apart_from_equipment() -> None:
    """Case: the first of each kind."""
    found = numbers_of(["lamps.a", "equipment.b", "feeds.c", "controls.d", "vehicle-lamps.e", "lamps.f"])

    assert list(found.values()) == [101, 301, 501, 701, 901, 102]


def test_all_wires_of_a_thing_have_its_number_and_say_what_they_do() -> None:
    """Case: a lamp, a siren with two speakers, a cable of four."""
    marks = marks_of(laid(example("quillback")).runs)

    assert [marks[f"lamps.grille.left {goes}"] for goes in ("supply", "return", "data")] == [
        (Mark(101, "grille left"),),
        (Mark(101, "grille left return"),),
        (Mark(101, "grille left data"),),
    ]
    assert [mark.text for mark in marks["equipment.main-siren speaker bumper-behind.left"]] == [
        "304 main siren speaker bumper behind left, 1 of 2",
        "304 main siren speaker bumper behind left, 2 of 2",
    ]
    assert marks["controls.console.panel cable"][3].words == "console panel, 4 of 4"
