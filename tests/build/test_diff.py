"""What differs between two builds: nothing missed, nothing told twice, and the same from both sides."""

from __future__ import annotations

import itertools
import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from coachwright.build import model as model_file
from coachwright.build import model_fitted
from coachwright.build.condition import Constant, Truth
from coachwright.build.diff import Difference, differences, text_differences
from coachwright.build.diff_table import MODEL, TABLE, Items, NotCompared, Shown
from coachwright.build.load import read_build
from coachwright.build.model import Decision, Equipment, Fixed, Model
from coachwright.build.model_fitted import Bay, CargoItem, Console, Crossing, Feed, Glazing, Isolator, Marking, Trailer
from coachwright.kit.nodes import read_nodes
from tests.build import small
from tests.build.mutations import ENTRY, GENTLE

CATALOGUE = small.small_catalogue()
CHOICES: dict[str, Any] = {
    "options": "options:\n  fan: {base: none, none: {}, two: {add: {equipment.fan-two: {part: fan, at: floor}}}}",
    "serials": "count: 3\nserials:\n  2: {name: C-2, choose: {fan: two}}",
}
LAW = "job: {name: Small van, money: USD, law: {place: here, red-rear: {answer: permitted, paper: letter}}}"


def model(serial: int | None = None, **sections: str) -> Model:
    """The small build, with every section there is."""
    found = read_build(small.whole(**sections), catalogue=CATALOGUE, serial=serial).model
    assert found is not None
    return found


def everything() -> Model:
    """A model in which every class of the Model occurs."""
    on = Truth("brake")
    found = model(job=LAW, **CHOICES)
    fan = next(item for item in found.equipment if item.name == "locker-fan")
    return replace(
        found,
        equipment=(*(each for each in found.equipment if each is not fan), _rich(fan)),
        feeds=(
            Feed("radios", "post", "main-battery", on, False, 11.8, 120.0, 1, "wire", 90.0, on, 300.0, "n", "feeds.r"),
        ),
        console=Console("console-18in", "floor", (Bay("bay-1", "radio-1", False, False, "radio-1", "p"),), "n", "p"),
        cargo=(_cargo(),),
        marking=(Marking("rear", "film", "stripes", 0.1, "a", "b", 0.8, 0.15, 0.5, ("tail",), "shop", "n", "p"),),
        glass=(Glazing("side", "left", "tint", "pane", "shop", "n", "p"),),
        trailers=(Trailer("sign", 80.0, 600.0, "seven-way", False, "n", "p"),),
        crossings=(Crossing("mill-road", 20.0, 15.0, 20.0, 15.0, "both", 0.0, "n", "p"),),
        fixed=(Fixed("equipment.box", "fuse", "30 A", "p"),),
        decisions=(Decision("equipment.box", "channel", "4", "channels", "0123", (), "p"),),
        as_ordered=("tow",),
        packs=("house",),
        removed=("seat",),
    )


def _rich(item: Equipment) -> Equipment:
    isolator = Isolator(Truth("brake"), Truth("scene"))
    return replace(item, feed="radios", also=("keep",), breaks=("box",), spares=("keep",), isolator=isolator)


def _cargo() -> CargoItem:
    return CargoItem(
        "box", "p", 5.0, 2, "floor", "hatch", ("in",), ("a",), "cabin", 0.1, "strap", "shop", True, "n", "p"
    )


EVERYTHING = everything()


def sentences(old: Model, new: Model) -> list[str]:
    """What is told."""
    return [each.sentence for each in differences(old, new)]


def classes_of(kind: type[Any]) -> Iterator[type[Any]]:
    """Every dataclass of the Model's files that a field of `kind` can hold, by the annotations."""
    waiting, seen = [kind], set()
    own = {model_file.__name__, model_fitted.__name__}
    while waiting:
        here = waiting.pop()
        for hint in typing.get_type_hints(here).values():
            for inner in _inside(hint):
                if is_dataclass(inner) and inner.__module__ in own and inner not in seen:
                    seen.add(inner)
                    waiting.append(inner)
                    yield inner


def _inside(hint: Any) -> Iterator[type[Any]]:
    if isinstance(hint, type):
        yield hint
    for inner in typing.get_args(hint):
        yield from _inside(inner)


def test_every_field_of_the_model_is_compared_or_left_out_on_purpose() -> None:
    """Law: whoever adds a field to the Model says in which words it differs, or why nobody wants to know."""
    assert set(MODEL) == {field.name for field in fields(Model)}
    for kind in classes_of(Model):
        assert kind in TABLE, f"{kind.__name__} isn't in build/diff_table.py"
        assert set(TABLE[kind]) == {field.name for field in fields(kind)}, kind.__name__
    assert set(TABLE) == set(classes_of(Model))


def test_what_is_left_out_says_why() -> None:
    """Law: a reason in words, and only for what follows, names or marks."""
    for how in [*(how for _, how in MODEL.values()), *(how for table in TABLE.values() for how in table.values())]:
        if isinstance(how, NotCompared):
            assert len(how.why) > 12


def test_a_build_does_not_differ_from_itself() -> None:
    """Law: the same build, read twice, has no difference; nor has one with other comments and spaces."""
    assert differences(model(), model()) == ()
    assert differences(EVERYTHING, everything()) == ()
    assert differences(model(), model(stops=f"{small.BASE['stops']}   # a comment\n")) == ()


class Mutant(typing.NamedTuple):
    """A model with one field otherwise. kind, field : of what; at : path to it in words."""

    kind: type[Any]
    field: str
    at: str
    model: Model


def mutants() -> list[Mutant]:
    """EVERYTHING with each single compared field of each class changed once, at its first place."""
    found: dict[tuple[type[Any], str], Mutant] = {}
    for name, (_, how) in MODEL.items():
        value = getattr(EVERYTHING, name)
        if isinstance(how, NotCompared) or name in ("body", "parts"):
            continue
        if not _holds_things(value):
            found[Model, name] = Mutant(Model, name, name, replace(EVERYTHING, **{name: changed(value)}))
            continue
        for kind, field, at, new in within(value, name):
            found.setdefault((kind, field), Mutant(kind, field, at, replace(EVERYTHING, **{name: new})))
    return list(found.values())


def _holds_things(value: Any) -> bool:
    if isinstance(value, tuple):
        return any(_holds_things(item) for item in value)
    return type(value) in TABLE


def within(value: Any, at: str) -> Iterator[tuple[type[Any], str, str, Any]]:
    """Each compared field in `value` changed, with the whole value as it is then."""
    if isinstance(value, tuple):
        for number, item in enumerate(value):
            for kind, field, path, new in within(item, f"{at}.{number + 1}"):
                yield kind, field, path, (*value[:number], new, *value[number + 1 :])
    elif type(value) in TABLE:
        for name, how in TABLE[type(value)].items():
            inner = getattr(value, name)
            if isinstance(how, NotCompared) or (inner == () and isinstance(how, Shown | Items)):
                continue
            if _holds_things(inner):
                for kind, field, path, new in within(inner, f"{at}.{name}"):
                    yield kind, field, path, replace(value, **{name: new})
            yield type(value), name, f"{at}.{name}", replace(value, **{name: changed(inner)})


def changed(value: Any) -> Any:
    """Something else of the same kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        return f"{value}-else"
    if isinstance(value, int | float):
        return value + 1
    if value is None:
        return Constant(False)
    if isinstance(value, tuple):
        return value[:-1] if value else ("else",)
    return Constant(True) if value != Constant(True) else Constant(False)


MUTANTS = mutants()


def test_every_class_is_mutated() -> None:
    """Law: the law below speaks of every class and of every compared field there is."""
    wanted = {
        (kind, name) for kind, table in TABLE.items() for name, how in table.items() if not isinstance(how, NotCompared)
    }

    assert wanted - {(mutant.kind, mutant.field) for mutant in MUTANTS} == set()


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: f"{mutant.kind.__name__}.{mutant.field}")
def test_every_single_field_that_changes_is_told(mutant: Mutant) -> None:
    """Law: one field changed, and the difference is told, in a sentence, from both sides."""
    there, back = differences(EVERYTHING, mutant.model), differences(mutant.model, EVERYTHING)

    assert there, mutant.at
    assert {each.mirrored for each in there} == {(each.about, each.change, each.old, each.new) for each in back}
    assert len({each.about for each in there}) == len(there)
    for each in (*there, *back):
        assert each.sentence.strip()
        assert "{" not in each.sentence
        assert "None" not in each.sentence
        assert "(name=" not in each.sentence
        assert each.old != each.new


@pytest.mark.parametrize("name", [name for name, (_, how) in MODEL.items() if not isinstance(how, NotCompared)])
def test_every_list_of_the_model_is_told_when_it_is_emptied(name: str) -> None:
    """Law: nothing disappears silently."""
    value = getattr(EVERYTHING, name)
    if name in ("body", "job", "count", "version", "parts_by"):
        return
    nothing: Any = () if isinstance(value, tuple) else None
    changes: dict[str, Any] = {name: nothing}
    empty = replace(EVERYTHING, **changes)

    assert differences(EVERYTHING, empty), name


def test_two_spoiled_builds_from_both_sides() -> None:
    """Law: whatever two builds say, both sides tell the same; and a build read again differs in nothing."""
    read = [read_build(spoiled(seed), catalogue=CATALOGUE).model for seed in range(250)]
    models = [each for each in read if each is not None]
    assert len(models) > 20
    differing_n = 0
    for old, new in itertools.pairwise([model(), *models]):
        there, back = differences(old, new), differences(new, old)
        differing_n += bool(there)

        assert {each.mirrored for each in there} == {(each.about, each.change, each.old, each.new) for each in back}
        assert len({(each.about, each.change, each.old, each.new) for each in there}) == len(there)
        assert differences(old, old) == ()
    assert differing_n > 15


def spoiled(seed: int) -> str:
    """A good build with a few gentle changes: names, numbers, entries that are moved, copied or left away."""
    rng = Random(seed)
    text = small.whole()
    for _ in range(rng.choice([1, 2, 3])):
        text = rng.choice(GENTLE)(text, rng) if ENTRY.search(text) else text
    return text


def test_in_the_words_of_a_lead() -> None:
    """Case: the sentences a lead would say."""
    functions = small.BASE["functions"].replace("show: [{on: tail, red", "show: [{on: [tail, bar.2-4], red")
    controls = small.BASE["controls"].replace('["off", low, full]', '["off", low, mid, full]')
    lamps = small.BASE["lamps"].replace("roof-front}", "roof-front, aim: 10 deg}")
    equipment = small.BASE["equipment"] + "\n  fan-two: {part: fan, at: floor, by: customer}"
    new = model(functions=functions, controls=controls, lamps=lamps, equipment=equipment)

    assert sentences(model(), new) == [
        "bar is turned 10 deg instead of 0 deg",
        "slide has a new position mid",
        "brake-shows now also takes bar.2-4 (red steady 100 %)",
        "fan-two is new: fan at floor brought by customer",
    ]
    assert sentences(new, model()) == [
        "bar is turned 0 deg instead of 10 deg",
        "slide no longer has the position mid",
        "brake-shows no longer takes bar.2-4 (it was red steady 100 %)",
        "fan-two is gone; it was fan at floor brought by customer",
    ]


def test_a_lamp_speaks_for_its_heads() -> None:
    """Case: a lamp of another part, at another place, or gone is told once, whatever it does to its heads."""
    other = model(lamps=small.BASE["lamps"].replace("side: {part: bar-4", "side: {part: short-red"))
    seen = [each.sentence for each in differences(model(), other) if each.section == "seen"]

    assert seen == ["side is short-red instead of bar-4"]


def test_two_vehicles_of_one_job() -> None:
    """Case: what the choices of two serials come to, and which choices they were."""
    assert sentences(model(1, **CHOICES), model(2, **CHOICES)) == [
        "fan-two is new: fan at floor",
        "the vehicle has fan two instead of none",
    ]


def test_figures_of_parts_are_told_with_their_units() -> None:
    """Case: another figure in the catalogue is a difference of the vehicle."""
    parts = {"fan": small.PARTS["fan"].replace("current: 3 A", "current: 4 A")}
    other = read_build(small.whole(), catalogue=small.small_catalogue(**parts)).model
    assert other is not None

    assert sentences(model(), other) == ["the part fan: current is 4 A instead of 3 A"]


def test_sections_come_as_a_lead_thinks() -> None:
    """Law: seen, obeys, fed, carried, paper."""
    order = list(dict.fromkeys(each.section for each in differences(model(), EVERYTHING)))

    assert order == [each for each in ("seen", "obeys", "fed", "carried", "paper") if each in order]
    assert len(order) >= 4


def test_texts_nobody_understands_are_compared_as_they_are_written() -> None:
    """Case: by path, with what was written."""
    old, new = (
        read_nodes(text, file="b").plain
        for text in (
            "lamps: {a: {part: x, at: y}, b: {}}\nranks: [one]\n",
            "lamps: {a: {part: z, at: y}}\nwords: {w: v}\n",
        )
    )
    told = text_differences(old, new)

    assert [each.sentence for each in told] == [
        "lamps.a.part says z instead of x",
        "lamps.b is gone; it was {}",
        "ranks is gone; it was [one]",
        "words is new: {w: v}",
    ]


PLAINS = st.recursive(
    st.sampled_from(["a", "b", ""]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("xyz"), inner, max_size=3),
    max_leaves=8,
)


@given(PLAINS, PLAINS)
def test_two_texts_from_both_sides(old: Any, new: Any) -> None:
    """Law: equal texts have no difference, others have one, and both sides tell the same."""
    there, back = text_differences(old, new), text_differences(new, old)

    assert (there == ()) == (old == new)
    assert {each.mirrored for each in there} == {(each.about, each.change, each.old, each.new) for each in back}


def test_the_example_with_everything_differs_from_a_bare_one() -> None:
    """Case: two whole jobs; every difference is a sentence of one line."""
    example = Path(__file__).resolve().parents[2] / "examples" / "quillback" / "build.yaml"
    full = read_build(example.read_text()).model
    bare = read_build("coachwright: 1\njob: {name: a}\nvehicle: {body: crew-cab-pickup-with-cap}\n", file="b").model
    assert full is not None
    assert bare is not None
    told: tuple[Difference, ...] = differences(bare, full)

    assert len(told) > 60
    assert all("\n" not in each.sentence and len(each.sentence) < 600 for each in told)
    assert not any(isinstance(each.old, BaseModel) for each in told)
