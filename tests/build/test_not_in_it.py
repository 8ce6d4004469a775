"""What falls away with what an option leaves out, and that nothing else does."""

from __future__ import annotations

from coachwright.build.load import Loaded, read_build
from coachwright.build.model import Model
from tests.build import small
from tests.build.conftest import Case, check_case, spoken

CATALOGUE = small.small_catalogue()


def loaded(dropped: str, **sections: str) -> Loaded:
    """The small build, vehicle 1 of which leaves something out."""
    options = f"options:\n  less: {{base: whole, whole: {{}}, part: {{drop: [{dropped}]}}}}"
    serials = "serials:\n  1: {choose: {less: part}}"
    return read_build(small.whole(options=options, serials=serials, **sections), catalogue=CATALOGUE, serial=1)


def model(dropped: str, **sections: str) -> Model:
    """Its model, which has to be there."""
    found = loaded(dropped, **sections)
    assert found.model is not None, [spoken(each) for each in found.findings]
    return found.model


def names(things: tuple[object, ...]) -> list[str]:
    """Their names."""
    return [getattr(thing, "name", "") for thing in things]


def test_a_lamp_that_is_not_fitted_leaves_groups_and_shows() -> None:
    """Case: without the bar on the roof front the group and the show only have the rest."""
    found = model("lamps.bar")

    assert "bar" not in {head.lamp for head in found.heads}
    assert dict(found.groups)["front"] == ("grille.left", "grille.right")
    scene = next(each for each in found.functions if each.name == "scene-on")
    assert {head.split(".")[0] for head in scene.shows[0].heads} == {"rear-bar"}


def test_a_function_left_with_nothing_is_gone_with_all_that_names_it() -> None:
    """Case: no main siren, no siren function; the limit that excused it and the promises about it say less."""
    found = loaded("equipment.main-siren")

    assert found.model is not None
    assert "siren" not in names(found.model.functions)
    assert found.model.limits[0].but_not == ()
    assert names(found.model.promises) == ["brake-seen", "no-red"]
    told = {each.about: spoken(each) for each in found.findings if each.code == "BLD-160"}
    assert set(told) == {"functions.siren", "promises.quiet", "promises.later"}
    assert "main-siren" in told["promises.quiet"]


def test_a_stop_of_nothing_and_a_message_of_nothing_are_gone() -> None:
    """Case: what ends or speaks of a function that isn't there has nothing to do."""
    stops = "stops:\n  low: {when: supply < 12 V held 1 min, stops: [fan-on], resume: self}"
    messages = "messages:\n  airing: {when: fan-on active, say: Airing}"
    controls = small.BASE["controls"].replace("tell-tale: follows", "tell-tale: fan-on active")
    found = model("equipment.locker-fan", stops=stops, messages=messages, controls=controls)

    assert (found.stops, found.messages) == ((), ())
    assert found.input("scene").tell_tale_condition is None


def test_a_group_of_nothing_is_gone_with_the_shows_on_it() -> None:
    """Case: lamp and group are one and the same here, so the show on the group loses its heads."""
    groups = "groups:\n  front: [grille, bar]\n  rear: [tail, rear-bar]\n  roof: [bar]"
    shows = small.BASE["functions"] + "\n  roof-on: {rank: ease, when: scene, show: [{on: roof, red: steady 20 %}]}"
    found = loaded("lamps.bar", groups=groups, functions=shows)

    assert found.model is not None
    assert names(found.model.functions).count("roof-on") == 0
    assert {each.about for each in found.findings if each.code == "BLD-160"} == {
        "groups.roof",
        "functions.roof-on",
        "functions.scene-on",
    }


def test_a_level_left_with_nothing_is_gone() -> None:
    """Case: the level of the front only has what is dropped; the level of the rear stays."""
    found = model("lamps.bar, lamps.grille, groups.front")
    warning = next(each for each in found.functions if each.name == "warning")

    assert [level.position for level in warning.levels] == ["low"]


def test_what_only_an_option_brings_is_missing_in_the_base_without_a_fault() -> None:
    """Case: a function of the base may run what only an option adds; in the base it isn't there."""
    options = "options:\n  air: {base: none, none: {}, fitted: {add: {equipment.pump: {part: fan, at: floor}}}}"
    functions = small.BASE["functions"] + "\n  pump-on: {rank: ease, when: scene, run: pump}"
    text = small.whole(options=options, functions=functions, serials="serials:\n  1: {choose: {air: fitted}}")
    base, fitted = (read_build(text, catalogue=CATALOGUE, serial=serial).model for serial in (None, 1))

    assert base is not None
    assert fitted is not None
    assert "pump-on" not in names(base.functions)
    assert "pump-on" in names(fitted.functions)


def test_a_name_no_option_knows_is_still_a_fault(case: Case) -> None:
    """BLD-062: only what an option adds or drops may be missing.

    options:
      less: {base: whole, whole: {}, part: {drop: [equipment.locker-fan]}}
    functions:
      fan-on: {rank: ease, when: scene, run: [locker-fan, loker-fan]}
    #                                                     ^^^^^^^^^ BLD-062 Closest: locker-fan
    stops: {}
    messages: {}
    promises: {}
    limits: {}
    """
    check_case(case)


def test_a_word_that_means_something_else_keeps_its_promise() -> None:
    """Case: a lamp called like a value is dropped; the promise speaks of the value and stays."""
    lamps = small.BASE["lamps"] + "\n  wail: {part: short-red, at: grille, pair: mirrored}"
    found = model("lamps.wail", lamps=lamps)

    assert "later" in names(found.promises)


def test_notes_are_only_told_of_the_vehicle_asked_for(case: Case) -> None:
    """BLD-160: the base has everything, so nothing is told of it.

    options:
      less: {base: whole, whole: {}, part: {drop: [equipment.locker-fan]}}
    """
    check_case(case)
    assert case.loaded.model is not None


def test_what_is_fixed_goes_with_its_subject_only() -> None:
    """Case: a fuse fixed for the siren that is left out is gone and told; one of another space's equal name stays."""
    fixed = "fixed:\n  equipment.bar: {fuse: 5 A}\n  main-siren: {fuse: 30 A}"
    equipment = f"{small.BASE['equipment']}\n  bar: {{part: fan, at: floor}}"
    found = loaded("lamps.bar, equipment.main-siren", fixed=fixed, equipment=equipment)

    assert found.model is not None, [spoken(each) for each in found.findings]
    assert [each.subject for each in found.model.fixed] == ["equipment.bar"]
    assert "fixed.main-siren" in {each.about for each in found.findings if each.code == "BLD-160"}


def test_groups_in_groups_fall_in_any_order() -> None:
    """Law: a chain of a thousand groups that stand in each other backward is gone with its lamp, and at once."""
    chain = "".join(f"  g{number}: g{number - 1}\n" for number in range(1000, 0, -1))
    found = model("lamps.bar", groups=f"{small.BASE['groups']}\n{chain}  g0: bar")

    assert [name for name, _ in found.groups if name.startswith("g")] == []


def test_a_chain_longer_than_anybody_writes_is_told_not_followed() -> None:
    """Case: functions and messages that hang on each other a hundred deep end as names that are not there."""
    functions = "".join(
        f"  f{number}: {{rank: task, when: gear == P, say: m{number}}}\n" for number in range(100, 0, -1)
    )
    messages = "".join(f"  m{number}: {{when: f{number - 1} active, say: Word}}\n" for number in range(100, 0, -1))
    functions += "  f0: {rank: task, when: gear == P, run: locker-fan}"
    found = loaded(
        "equipment.locker-fan",
        functions=f"{small.BASE['functions']}\n{functions}",
        messages=f"messages:\n{messages}",
    )

    told = [each.code for each in found.findings if each.severity == "error"]
    assert told
    assert len(told) < 5
