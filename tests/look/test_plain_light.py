"""What is seen from where, in words anybody reads."""

from functools import cache
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.look.plain_light import crossing_sentences, sentences_of, told, way
from tests.papers.reading_grade import grade_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/build.yaml"))
BY_NAME = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
MOST_GRADE = 8.0
"""Common practice of plain-language guides."""


@cache
def example(path: Path) -> Model:
    model = load_build(path).model
    assert model is not None
    return model


@BY_NAME
def test_anybody_reads_it(path: Path) -> None:
    """Law: eight years of school at most; every situation is told once, no unit or name of the code in it."""
    found = told(example(path))
    text = " ".join(sentence for each in found for sentence in each.sentences)

    assert grade_of(text) <= MOST_GRADE
    assert all(word not in text for word in (" cd", "deg", "share", "effective"))
    names = " and ".join(each.title for each in found).lower().replace(", ", " and ").split(" and ")
    assert len(names) == len(example(path).situations)


@pytest.mark.parametrize(
    ("length_m", "said"),
    [(427.9, "420 m (1,300 ft)"), (89.5, "89 m (290 ft)"), (7.3, "7 m (22 ft)"), (1700.0, "more than a mile")],
)
def test_distances_are_rounded_down(length_m: float, said: str) -> None:
    """By hand: two digits, never more than was found; 420 m are 1,377 ft."""
    assert way(length_m) == said


def test_what_is_dark_and_what_is_hidden_is_said() -> None:
    """Case: the van rolls with light to the rear only; its open doors hide their quarter lamps."""
    van = example(next(path for path in EXAMPLES if path.parent.name == "service-patrol"))

    assert "From some spots ahead, to the left or to the right it is not seen." in " ".join(
        sentences_of(van, "rolling")
    )
    assert sentences_of(van, "blocking-doors")[-1].startswith("The rear door left and rear door right hide up to 18 %")
    assert sentences_of(van, "working")[-1] == "Work light gives the ground 91 lux on the right and 91 lux on the left."


def test_crossings_in_words() -> None:
    """Case: in time, too late, hidden."""

    def answer(value: float, hidden: str) -> Measure:
        return Measure("light.crossing-margin", value, "time", about="x", facts={"hidden": hidden})

    said = crossing_sentences(
        [answer(5.4, "no"), answer(0.3, "no"), answer(-1.0, "no"), answer(-3.0, "yes")], ["A", "B", "C", "D"]
    )

    assert said[0] == "At A the other driver can see the warning in time to stop, with 5 s to spare."
    assert said[1].endswith("with no time to spare.")
    assert said[2] == "At C the other driver sees the warning too late to stop. Come slowly."
    assert "No lamp can help there." in said[3]
