"""Mistakes made on purpose: the closed list catches them, or it is proved that there is nothing to catch."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control import bench_closed
from coachwright.control.bench import Listed
from coachwright.control.bench_asked import Moments, everything_asked
from coachwright.control.bench_closed import Closed, closed_bench
from coachwright.control.bench_find import Finder
from coachwright.control.bench_product import never_apart
from coachwright.control.machine import build_machine
from coachwright.control.mutation_study import Study, looks, tape, wired
from coachwright.control.mutations import KINDS, mutations
from coachwright.control.sources import LOST
from tests.control import by_hand
from tests.control.by_hand import build, function, memory, show

EXAMPLES = Path(__file__).parents[2] / "examples"


def little() -> Model:
    """Two lamps, a lever, two buttons that do the same, a memory, a timer, two that can meet."""
    return build(
        inputs=[
            by_hand.slide("slide", "off", "low", "full"),
            by_hand.button("key"),
            by_hand.button("ring"),
            by_hand.on_off("brake"),
        ],
        heads=["left", "right"],
        memories=[memory("m", "x", "y", moves=[{"on": "pressed key or pressed ring", "next": ["x", "y"]}])],
        functions=[
            function("f", "warn", "slide >= low", show=show("left", red="single")),
            function("g", "warn", "brake held 3 s", wins_over=["f"], show=show("left", "right", amber="double")),
            function("h", "task", "m == y and not brake", show=show("right", white="steady")),
        ],
    )


def example(name: str) -> Model:
    """An example build."""
    model = read_build((EXAMPLES / name / "build.yaml").read_text(encoding="utf-8")).model
    assert model is not None
    return model


@pytest.fixture(scope="module")
def closed() -> Closed:
    """The little build's list, closed."""
    return closed_bench(little())


def test_nothing_stays_open_on_a_little_build(closed: Closed) -> None:
    """Case: every mistake is caught or proved to be none."""
    assert [(fate.mutation.kind, fate.mutation.text) for fate in closed.fates if fate.ends == "undecided"] == []
    assert sum(fate.ends == "caught" for fate in closed.fates) > 30


def test_what_is_caught_is_caught_where_it_says(closed: Closed) -> None:
    """Law: at the step named a wrong build shows something else, and at no step before."""
    moments = Moments(little())
    study = Study(moments)
    marks = tape(moments.machine, [(step.from_power_up, step.acts) for step in closed.listed.steps])
    expected = list(looks(wired(moments), marks))
    for fate in closed.fates:
        assert study.caught_at(marks, expected, fate.mutation) == fate.step
    study.close()


def test_two_buttons_that_do_the_same_may_be_swapped(closed: Closed) -> None:
    """Case by hand: key and ring move the same memory in the same way, so that no list can tell them apart."""
    fate = next(fate for fate in closed.fates if fate.mutation.kind == "inputs swapped")

    assert fate.mutation.text == "key and ring"
    assert fate.ends == "equivalent"


def test_a_list_without_a_step_lets_a_mistake_through(closed: Closed) -> None:
    """Law: no step is there for nothing; without it one thing less is seen, and taken together mistakes get through."""
    moments = Moments(little())
    study = Study(moments)
    wrong = [fate.mutation for fate in closed.fates if fate.ends == "caught"]
    missed = 0
    steps = closed.listed.steps
    for left_out in range(len(steps)):
        rest = [step for number, step in enumerate(steps) if number != left_out]
        marks = tape(moments.machine, [(True, step.acts) for step in rest])
        expected = list(looks(wired(moments), marks))
        missed += sum(not study.caught_at(marks, expected, mutation) for mutation in wrong)
    study.close()
    assert missed


def test_every_kind_is_made(closed: Closed) -> None:
    """Case: both examples together have mistakes of every kind there is."""
    kinds = set()
    for name in ("quillback", "volunteer-car"):
        model = example(name)
        kinds |= {each.kind for each in mutations(model, Moments(model).moment.inputs)}

    assert kinds == set(KINDS)


def test_a_mistake_leaves_the_build_as_it_was() -> None:
    """Law: each is a build of its own that still compiles; the one it was made from is not touched."""
    model = little()
    before = repr(model)
    for each in mutations(model, Moments(model).moment.inputs):
        if each.changed is not None:
            build_machine(each.changed)
            assert each.changed != model
    assert repr(model) == before


def test_a_memory_move_that_changes_nothing_is_proved_harmless() -> None:
    """Case by hand: memory n follows x; a further move `x and not x` never acts, turned to `or` it would.

    m is read by nobody but a function that also needs x, so that where m stands without x can't be seen.
    """
    model = build(
        inputs=[by_hand.on_off("x"), by_hand.on_off("y")],
        heads=["h"],
        memories=[memory("m", "a", "b", moves=[{"on": "x and y", "to": "b"}, {"on": "not x", "to": "a"}])],
        functions=[function("f", "warn", "m == b and x", show=show("h", red="single"))],
    )
    dropped = [
        each
        for each in mutations(model, Moments(model).moment.inputs)
        if each.kind == "condition dropped" and "m == b and x" in each.text
    ]
    proved = [bool(never_apart(model, each)) for each in dropped]

    assert proved == [False, True]  # without m == b it burns at x alone; without x it is the same, as m is a without x


@pytest.mark.slow
def test_a_sample_of_mistakes_of_an_example_is_caught() -> None:
    """Case: every twenty-fifth mistake of an example; none stays open."""
    closed = closed_bench(example("volunteer-car"), every=25)

    assert len(closed.fates) > 15
    assert [fate.mutation.text for fate in closed.fates if fate.ends == "undecided"] == []


@pytest.mark.long
@pytest.mark.parametrize(("name", "open_most"), [("quillback", 1), ("volunteer-car", 0), ("service-patrol", 0)])
def test_every_mistake_of_an_example(name: str, open_most: int) -> None:
    """Case: all of them are caught, or proved to be none, but for one of quillback's.

    Without its condition a move of secure-idle may go round within a moment; two builds side by side aren't asked then.
    """
    closed = closed_bench(example(name))
    listed: Listed = closed.listed

    assert len(listed.steps) < 60
    assert sum(fate.ends == "undecided" for fate in closed.fates) <= open_most
    assert all(count.caught_n for count in closed.counts)


def test_a_wait_is_followed_by_nothing_that_is_plugged_in() -> None:
    """Case: with a source unplugged while a timer runs, the wait to its end is an act too, and has no source."""
    model = build(
        inputs=[by_hand.on_off("key", hand="hand")],
        heads=["front"],
        functions=[function("lit", "task", "key plus 10 s", show=show("front", white="steady"))],
    )
    moments = Moments(model)
    finder, study = Finder(moments, everything_asked(moments)), Study(moments)
    try:
        mutation = study.every(KINDS)[0]
        closer = bench_closed._Closer(finder, study, [mutation], lambda doing, done, of: None)
        pair = bench_closed._Pair(closer.start, closer.together.start(mutation, closer.start), ())
        for place in (1, 0):
            pair = closer._after(mutation, pair, finder.walker.act("key", place))
        begun = list(closer._begun(mutation, pair, ["key"], lost=True))
    finally:
        finder.close()
        study.close()

    assert any(not after.acts[-1].name for after in begun)
    assert any(after.acts[-1].value == LOST for after in begun)
