"""Options and serials: what a choice changes, what can't be chosen, and that every choice loads."""

from __future__ import annotations

import json
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.choices import (
    MOST_CHOICES,
    MOST_PATHS,
    alike_vehicles,
    chosen,
    offer_of,
    optional_names,
    spoken_choices,
)
from coachwright.build.diff import differences
from coachwright.build.edit import BuildEdit, DeleteEntry, InsertEntry, SetValue, edit_text
from coachwright.build.language import SECTIONS
from coachwright.build.load import Loaded, load_alike, read_build
from coachwright.build.model import Model
from coachwright.kit.errors import SerialNotThere
from coachwright.kit.nodes import read_nodes
from tests.build import small
from tests.build.conftest import Case, check_case, spoken
from tests.build.mutations import ENTRY, GENTLE, ROUGH
from tests.build.test_door_fuzz import bounded, check_told, stage_reached

CATALOGUE = small.small_catalogue()
OPTIONS = """\
options:
  second-fan: {base: none, none: {}, fitted: {add: {equipment.fan-two: {part: fan, at: floor}}, price: 240 USD}}
  bar: {base: plain, plain: {}, amber: {set: {lamps.rear-bar.at: roof-front, lamps.bar.at: roof-rear}}}
  power: {base: fan, fan: {}, none: {drop: [equipment.locker-fan]}}
"""
SERIALS = """\
count: 6
serials:
  1: {name: C-1}
  3: {name: C-3, choose: {second-fan: fitted}}
  5: {name: C-5, choose: {second-fan: fitted}, note: north station}
  6: {choose: {power: none, bar: amber}}
"""


def loaded(serial: int | None = None, **sections: str) -> Loaded:
    """The small build with options and serials."""
    text = small.whole(**{"options": OPTIONS, "serials": SERIALS, **sections})
    return read_build(text, catalogue=CATALOGUE, serial=serial)


def model(serial: int | None = None, **sections: str) -> Model:
    """Its model, which has to be there."""
    found = loaded(serial, **sections)
    assert found.model is not None, [spoken(each) for each in found.findings]
    return found.model


def equipment(found: Model) -> list[str]:
    """Names of what is fitted."""
    return [item.name for item in found.equipment]


def test_the_base_holds_where_nothing_is_chosen() -> None:
    """Case: without a choice the build is as it is written, and says what could be chosen."""
    base = model()

    assert equipment(base) == ["box", "main-siren", "locker-fan"]
    assert base.serial == ""
    assert base.choices == (("second-fan", "none"), ("bar", "plain"), ("power", "fan"))
    assert [(option.name, option.base) for option in base.options] == list(base.choices)
    fitted = base.options[0].values[1]
    assert (fitted.name, fitted.added, fitted.price) == ("fitted", ("equipment.fan-two",), "240 USD")


def test_what_an_option_adds_is_there() -> None:
    """Case: vehicle 3 has the second fan, and its mark leads into the option."""
    found = loaded(3)

    assert found.model is not None
    assert equipment(found.model) == ["box", "main-siren", "locker-fan", "fan-two"]
    assert found.model.serial == "3"
    mark = found.document.mark("equipment.fan-two.part")
    assert mark is not None
    assert found.document.text[mark.start : mark.end] == "fan"
    assert found.document.text.splitlines()[mark.line - 1].startswith("  second-fan:")


def test_what_an_option_sets_is_otherwise() -> None:
    """Case: vehicle 6 has its bars the other way round."""
    places = {head.lamp: head.place for head in model(6).heads}

    assert (places["bar"], places["rear-bar"]) == ("roof-rear", "roof-front")


def test_what_an_option_drops_is_gone_with_what_runs_it() -> None:
    """Case: vehicle 6 has no fan, so the function that only runs it isn't in it either; that is told as a note."""
    found = loaded(6)

    assert found.model is not None
    assert "locker-fan" not in equipment(found.model)
    assert "fan-on" not in [function.name for function in found.model.functions]
    notes = [each for each in found.findings if each.code == "BLD-160"]
    assert [(each.severity, each.about) for each in notes] == [("note", "functions.fan-on")]
    assert "locker-fan" in spoken(notes[0])


def test_serials_say_what_they_chose() -> None:
    """Case: each serial has a value for every option, chosen or not."""
    serials = model().serials

    assert [(each.number, each.name, each.note) for each in serials] == [
        (1, "C-1", ""),
        (3, "C-3", ""),
        (5, "C-5", "north station"),
        (6, "", ""),
    ]
    assert serials[3].choices == (("second-fan", "none"), ("bar", "amber"), ("power", "none"))


def test_vehicles_that_chose_the_same_stand_together() -> None:
    """Law: every vehicle of the job is in one set, and only in one."""
    groups = alike_vehicles(model())

    assert [group.numbers for group in groups] == [(1, 2, 4), (3, 5), (6,)]
    assert groups[1].differs == (("second-fan", "fitted"),)
    assert groups[1].named == ((3, "C-3"), (5, "C-5"))
    assert groups[0].differs == ()


def test_same_choices_same_digest() -> None:
    """Law: vehicles that chose the same are the same; others aren't."""
    assert model(3).digest == model(5).digest
    assert model(1).digest == model().digest
    assert len({model(number).digest for number in (1, 3, 6)}) == 3


def test_a_vehicle_the_job_does_not_build() -> None:
    """Case: number 7 of 6, and number 0, are refused in a sentence."""
    with pytest.raises(SerialNotThere, match="no vehicle number 7"):
        loaded(7)
    with pytest.raises(SerialNotThere):
        loaded(0)


def test_every_set_in_use_is_loaded_at_once(tmp_path: Any) -> None:
    """Law: all at once says the same as one after the other."""
    path = tmp_path / "build.yaml"
    path.write_text(small.whole(options=OPTIONS, serials=SERIALS))

    together = load_alike(path, catalogue=CATALOGUE)

    assert [each.model.serial if each.model else None for each in together] == ["", "3", "6"]
    assert [each.model.digest if each.model else "" for each in together] == [
        model(number).digest for number in (None, 3, 6)
    ]


def test_a_value_nobody_chose_has_to_load_too(case: Case) -> None:
    """BLD-011: told once, at the option's own line, with the choice it holds for.

    options:
      two: {base: none, none: {}, fitted: {add: {equipment.fan-two: {part: fam, at: floor}}}}
    #                                                                      ^^^ BLD-011 Closest: fan
    """
    check_case(case)
    assert case.loaded.model is None
    finding = case.loaded.findings[0]
    assert finding.values["chosen"] == "two fitted"
    assert "That is so with {chosen}" in finding.template


def test_two_that_only_meet_in_a_serial(case: Case) -> None:
    """BLD-158: each by itself is fine; vehicle 2 chose both.

    count: 2
    options:
      a: {base: none, none: {}, low: {set: {lamps.bar.at: roof-rear}}}
      b: {base: none, none: {}, gone: {drop: [lamps.bar, groups.front, functions.scene-on]}}
    #                                         ^^^^^^^^^ BLD-158 a low and b gone change lamps.bar.at and lamps.bar
    serials:
      2: {choose: {a: low, b: gone}}
    """
    check_case(case)


def test_two_of_one_value_that_touch(case: Case) -> None:
    """BLD-158: what is set can't be dropped in the same breath.

    options:
      a: {base: none, none: {}, odd: {set: {lamps.bar.at: roof-rear}, drop: lamps.bar}}
    #                                                                       ^^^^^^^^^ BLD-158 Keep one
    """
    check_case(case)


def test_an_option_nobody_offers(case: Case) -> None:
    """BLD-153: the nearest is named.

    count: 3
    options:
      power: {base: fan, fan: {}, none: {}}
    serials:
      3: {choose: {powr: none}}
    #              ^^^^ BLD-153 Closest: power
    """
    check_case(case)


def test_a_value_nobody_offers(case: Case) -> None:
    """BLD-154: in a serial and as the base.

    count: 3
    options:
      power: {base: fan, fan: {}, none: {}}
      light: {base: sixx, six: {}, eight: {}}
    #               ^^^^ BLD-154 Closest: six
    serials:
      3: {choose: {power: non, light: eight}}
    #                     ^^^ BLD-154 Closest: none
    """
    check_case(case)


def test_a_path_that_is_none(case: Case) -> None:
    """BLD-155: no path, no section, a section that speaks of all vehicles.

    options:
      a: {base: x, x: {add: {Lamps!: {}}}}
    #                        ^^^^^^ BLD-155 no path of a build
      b: {base: x, x: {set: {lampz.bar.at: floor}}}
    #                        ^^^^^^^^^^^^ BLD-155 Closest: lamps
      c: {base: x, x: {drop: [serials.1]}}
    #                         ^^^^^^^^^ BLD-155 speaks of all vehicles
    """
    check_case(case)


def test_adding_what_is_there(case: Case) -> None:
    """BLD-156: then it is set, not added. A list goes on with its next number.

    options:
      a: {base: x, x: {}, y: {add: {lamps.bar: {part: bar-4, at: roof-rear}}}}
    #                               ^^^^^^^^^ BLD-156 under set
      b: {base: x, x: {}, y: {add: {groups.front.7: tail}}}
    #                               ^^^^^^^^^^^^^^ BLD-157 Write groups.front.3
      c: {base: x, x: {}, y: {add: {groups.front.3: tail}}}
    """
    check_case(case)


def test_changing_what_is_not_there(case: Case) -> None:
    """BLD-157: the nearest path is named, at whatever depth the slip is.

    options:
      a: {base: x, x: {}, y: {set: {lamps.baar.at: roof-rear}}}
    #                               ^^^^^^^^^^^^^ BLD-157 Closest: lamps.bar.at
      b: {base: x, x: {}, y: {drop: equipment.loker-fan}}
    #                               ^^^^^^^^^^^^^^^^^^^ BLD-157 Closest: equipment.locker-fan
      c: {base: x, x: {}, y: {set: {lamps.bar.aim: 20 deg}}}
    #                               ^^^^^^^^^^^^^ BLD-157 under add
      d: {base: x, x: {}, y: {add: {lamps.bat.aim: 20 deg}}}
    #                               ^^^^^^^^^^^^^ BLD-157 Closest: lamps.bar
    """
    check_case(case)


def test_numbers_of_serials(case: Case) -> None:
    """BLD-150, BLD-151, BLD-152: no number, beyond the count, a name given twice.

    count: 2
    serials:
      one: {name: C-1}
    # ^^^ BLD-150 counted 1, 2, 3
      007: {name: C-7}
    # ^^^ BLD-150
      1: {name: C-1}
      2: {name: C-1}
    #           ^^^ BLD-152 both called C-1
      3: {name: C-3}
    # ^ BLD-151 no number 3
    """
    check_case(case)


def test_more_choices_than_are_read() -> None:
    """BLD-159: a job of so many values is refused as a whole, not half."""
    values = ", ".join(f"v{number}: {{}}" for number in range(MOST_CHOICES + 1))
    found = loaded(options=f"options:\n  many: {{base: v0, {values}}}", serials="")

    assert [each.code for each in found.findings] == ["BLD-159"]
    assert found.model is None


def test_more_than_is_read_in_one_job() -> None:
    """BLD-159: too many paths, or serials that choose in too many ways; each told once, and soon."""
    paths = ", ".join(f"words.w{number}: brake" for number in range(MOST_PATHS + 1))
    found = loaded(options=f"options:\n  many: {{base: none, none: {{}}, all: {{add: {{{paths}}}}}}}", serials="")
    assert [each.code for each in found.findings] == ["BLD-159"]

    flags = [f"o{number}: {{base: n, n: {{}}, y: {{}}}}" for number in range(9)]
    numbers = range(1, 2 * MOST_CHOICES)
    chosen_by = [f"{n}: {{choose: {{{', '.join(f'o{bit}: y' for bit in range(9) if n >> bit & 1)}}}}}" for n in numbers]
    found = loaded(
        options=f"options: {{{', '.join(flags)}}}", serials=f"count: 400\nserials: {{{', '.join(chosen_by)}}}"
    )
    assert [each.code for each in found.findings] == ["BLD-159"]


CHANGES: dict[str, tuple[str, Any, Any]] = {
    "lamps.bar.at": ("set", "roof-rear", SetValue),
    "groups.front": ("set", ["bar", "tail"], SetValue),
    "functions.warning.levels.low.1.red": ("set", "single sides", SetValue),
    "lamps.rear-bar.elevation": ("add", "5 deg", InsertEntry),
    "equipment.fan-two": ("add", {"part": "fan", "at": "floor"}, InsertEntry),
    "groups.rear.3": ("add", "grille", InsertEntry),
    "functions.scene-on.show.1.on.1": ("drop", "", DeleteEntry),
    "limits.dim": ("drop", "", DeleteEntry),
    "memory.tone.moves.2": ("drop", "", DeleteEntry),
    "waivers": ("drop", "", DeleteEntry),
}


@given(st.sets(st.sampled_from(sorted(CHANGES)), min_size=1))
@settings(max_examples=60)
def test_a_choice_is_as_if_that_had_been_written(paths: set[str]) -> None:
    """Law: the vehicle is the one whose build says so without options; the editor of texts makes that build."""
    value: dict[str, Any] = {"add": {}, "set": {}, "drop": []}
    edits: list[BuildEdit] = []
    for path in sorted(paths):
        word, content, kind = CHANGES[path]
        if word == "drop":
            value["drop"].append(path)
            edits.append(DeleteEntry(path))
        elif kind is SetValue:
            value["set"][path] = content
            edits.append(SetValue(path, content))
        else:
            value["add"][path] = content
            into, _, name = path.rpartition(".")
            edits.append(InsertEntry(into, content, name="" if name.isdecimal() else name))
    options = f"options: {json.dumps({'one': {'base': 'n', 'n': {}, 'y': value}})}"
    serials = "serials: {1: {choose: {one: y}}}"
    by_choice = read_build(small.whole(options=options, serials=serials), catalogue=CATALOGUE, serial=1).model
    by_hand = read_build(edit_text(small.whole(), edits).text, catalogue=CATALOGUE).model

    assert by_choice is not None
    assert by_hand is not None
    told = [
        each for each in differences(by_hand, by_choice) if not each.about.startswith(("options", "choices", "serials"))
    ]
    assert told == []


@given(st.randoms(use_true_random=False), st.integers(1, 3))
@settings(max_examples=100)
def test_a_spoiled_text_with_options_is_still_told(rng: Random, changes_n: int) -> None:
    """Law: whatever is spoiled in a text with options, serials and fixed choices, it ends in findings with places."""
    fixed = "fixed:\n  box: {fuse: 30 A, channel: 2}\n  bar.2: {gauge: 14 AWG}"
    text = small.whole(options=OPTIONS, serials=SERIALS, fixed=fixed)
    for _ in range(changes_n):
        text = rng.choice([*GENTLE, *ROUGH])(text, rng) if ENTRY.search(text) else text

    assert stage_reached(text) in {"text", "fields", "references", "clean", "refused"}


def test_whole_sections_and_fields_of_parts() -> None:
    """Case: an option may set a list, put in a field that wasn't written, and bring a section that isn't there."""
    options = """\
options:
  order: {base: usual, usual: {}, other: {set: {groups.front: [bar, tail]}, add: {lamps.bar.elevation: 5 deg}}}
  packed: {base: no-cargo, no-cargo: {}, some: {add: {fixed.box: {fuse: 30 A}}}}
"""
    serials = "count: 3\nserials:\n  2: {choose: {order: other}}\n  3: {choose: {packed: some}}"
    two, three = model(2, options=options, serials=serials), model(3, options=options, serials=serials)

    assert dict(two.groups)["front"][-2:] == ("tail.left", "tail.right")
    assert two.head("bar.1").elevation_rad == pytest.approx(0.0873, abs=1e-4)
    assert model(options=options, serials=serials).head("bar.1").elevation_rad == 0.0
    assert [(each.subject, each.what, each.value) for each in three.fixed] == [("equipment.box", "fuse", "30 A")]
    assert two.fixed == ()


def test_choosing_reads_nothing_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: an item whose text is the same in all choices is read once; one that differs, once for each."""
    from coachwright.build import written

    calls: list[str] = []
    real = written._validated

    def counting(section: Any, item: Any) -> Any:
        calls.append(section.name)
        return real(section, item)

    def read_n(text: str) -> int:
        written._remembered.clear()
        calls.clear()
        read_build(text, catalogue=CATALOGUE)
        return sum(SECTIONS[name].shape == "entries" for name in calls)

    monkeypatch.setattr(written, "_validated", counting)
    own = 3 + 4  # the options and the serials themselves
    touched = 3  # fan-two, bar and rear-bar as they are in one choice

    assert read_n(small.whole(options=OPTIONS, serials=SERIALS)) == read_n(small.whole()) + own + touched


def test_the_order_of_options_and_of_what_they_change_decides_nothing() -> None:
    """Law: options listed the other way round, and their paths too, make the same vehicles."""
    lines = OPTIONS.splitlines()
    turned = "\n".join([lines[0], *reversed(lines[1:])])
    turned = turned.replace(
        "{lamps.rear-bar.at: roof-front, lamps.bar.at: roof-rear}",
        "{lamps.bar.at: roof-rear, lamps.rear-bar.at: roof-front}",
    )
    for serial in (None, 3, 6):
        assert differences(model(serial), model(serial, options=turned)) == ()


def test_a_choice_is_said_in_words() -> None:
    """Case: only what differs from the base is said."""
    base = (("a", "x"), ("b", "y"))

    assert spoken_choices((("a", "z"), ("b", "y")), base) == "a z"
    assert spoken_choices((("a", "z"), ("b", "n")), base) == "a z and b n"
    assert spoken_choices(base, base) == "no option chosen"


def test_what_no_vehicle_need_have() -> None:
    """Case: names that options add or drop, by section."""
    offer = offer_of(read_nodes(small.whole(options=OPTIONS), file="build.yaml"))

    assert optional_names(offer) == {"equipment": {"fan-two", "locker-fan"}}
    text, troubles = chosen(offer_document := read_nodes(small.whole(options=OPTIONS), file="b"), offer, offer.base)
    assert troubles == ()
    assert text is not None
    assert text.document() is offer_document  # nothing chosen, nothing copied


PATHS = st.sampled_from(
    (
        "lamps.bar lamps.bar.at groups.front.1 groups equipment.locker-fan functions.warning.levels.low.1 "
        "equipment.new lamps.new.one.two words.parked stops.low.stops job.law.x a..b options.a"
    ).split()
)
CONTENTS = st.recursive(
    st.sampled_from(["x", "", "floor", "12 V", "{}", "fan"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["part", "at", "on"]), inner, max_size=3)
    ),
    max_leaves=5,
)
VALUES = st.fixed_dictionaries(
    {},
    optional={
        "add": st.dictionaries(PATHS, CONTENTS, max_size=2) | CONTENTS,
        "set": st.dictionaries(PATHS, CONTENTS, max_size=2),
        "drop": st.lists(PATHS, max_size=3) | PATHS,
        "price": st.sampled_from(["auto", "20 USD", ""]),
    },
)
ALL_OPTIONS = st.dictionaries(
    st.sampled_from(["a", "b", "Bad"]),
    st.fixed_dictionaries({"base": st.sampled_from(["x", "y"])}, optional={"x": VALUES, "y": VALUES, "z": VALUES}),
    max_size=3,
)
ALL_SERIALS = st.dictionaries(
    st.sampled_from(["1", "2", "3", "9", "one", "01"]),
    st.fixed_dictionaries(
        {}, optional={"choose": st.dictionaries(st.sampled_from("abc"), st.sampled_from("xyz")), "name": CONTENTS}
    ),
    max_size=4,
)


@given(ALL_OPTIONS, ALL_SERIALS, st.sampled_from([None, 1, 2]))
@settings(max_examples=150)
def test_whatever_is_offered_and_chosen(options: Any, serials: Any, serial: int | None) -> None:
    """Law: random options and serials give findings with places, or a model; never a traceback."""
    text = small.whole(options=f"count: 3\noptions: {json.dumps(options)}", serials=f"serials: {json.dumps(serials)}")
    with bounded():
        found = read_build(text, catalogue=CATALOGUE, serial=serial)

    check_told(found)
