"""Who has a head, what stands beside it, and what limits leave: docs/control.md, "Who has the head"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Show
from coachwright.control.machine import build_machine, power_up, start_inputs, step
from tests.control.by_hand import Told, build, function, head, limit, memory, on_off, show
from tests.control.machines import models, stories
from tests.control.test_machine_against_reference import standing

SWITCHES = ("a", "b", "c", "d")


def wanting(*functions: Mapping[str, Any], on: str = "a b c d", together: bool = False, **more: Any) -> Told:
    """One head `h` and functions that want it while the switch of their name is on."""
    told = Told(
        build(
            inputs=[on_off(name) for name in SWITCHES],
            heads=[head("h", together=together)],
            functions=functions,
            **more,
        )
    )
    return told.now(**dict.fromkeys(on.split(), "on"))


def wants(
    name: str, rank: str, *, wins_over: Sequence[str] = (), beside: bool = False, **colours: str
) -> Mapping[str, Any]:
    """A function that shows these colours on `h` (dark when there are none)."""
    shown: Show = show("h", dark=not colours, beside=beside, **colours)
    return function(name, rank, name, show=shown, wins_over=wins_over)


def outcome(told: Told, name: str) -> tuple[str, str]:
    """What became of a function on `h`, and who took it."""
    return next((each.outcome, each.by) for each in told.outputs.head("h").wanted if each.function == name)


# ---- ranks


def test_the_first_rank_has_the_whole_head() -> None:
    """docs/control.md: brake red on a head that warns red and white: no white beside it."""
    told = wanting(wants("a", "warn", red="single", white="double"), wants("b", "road", red="steady 100 %"))

    assert told.colours("h") == {"red": "b"}
    assert outcome(told, "a") == ("lower-rank", "b")
    assert told.now(b="off").colours("h") == {"red": "a", "white": "a"}


def test_ranks_in_the_file_replace_the_default_whole() -> None:
    """docs/control.md: a job that puts traffic before task."""
    told = wanting(
        wants("a", "task", white="steady"), wants("b", "traffic", amber="run-left"), ranks=["road", "traffic", "task"]
    )

    assert told.owners("h") == ("b",)


def test_a_dark_of_a_higher_rank_keeps_the_head_dark() -> None:
    """docs/control.md: an open hatch takes its lamp, and shows nothing there."""
    told = wanting(wants("a", "warn", red="single"), wants("b", "open"))

    assert (told.owners("h"), told.colours("h")) == (("b",), {})


def test_a_dark_of_a_lower_rank_darkens_nothing() -> None:
    """docs/control.md: `dark` is a want like any other."""
    assert wanting(wants("a", "warn"), wants("b", "task", white="steady")).colours("h") == {"white": "b"}


def test_nobody_wants_it() -> None:
    """docs/control.md: dark, with no owner, and nothing ambiguous about it."""
    told = wanting(wants("a", "warn", red="single"), on="b")

    assert (told.owners("h"), told.colours("h"), told.outputs.head("h").ambiguous) == ((), {}, False)


# ---- within one rank


def test_two_of_one_rank_are_ambiguous() -> None:
    """docs/control.md: nothing decides between them, and nobody has the head; a lower rank doesn't get it either."""
    told = wanting(
        wants("a", "warn", red="single"), wants("b", "warn", amber="single"), wants("c", "ease", red="steady 10 %")
    )

    assert told.outputs.head("h").ambiguous
    assert (told.owners("h"), told.colours("h")) == ((), {})
    assert [outcome(told, name) for name in "abc"] == [("ambiguous", "b"), ("ambiguous", "a"), ("lower-rank", "a, b")]


def test_wins_over_decides_within_a_rank() -> None:
    """docs/control.md: turn wins over brake."""
    told = wanting(wants("a", "road", wins_over=["b"], amber="steady"), wants("b", "road", red="steady"))

    assert told.colours("h") == {"amber": "a"}
    assert outcome(told, "b") == ("beaten", "a")


def test_wins_over_needs_the_winner_to_be_active() -> None:
    """docs/control.md: a turn that isn't on beats nobody."""
    told = wanting(wants("a", "road", wins_over=["b"], amber="steady"), wants("b", "road", red="steady"), on="b")

    assert told.colours("h") == {"red": "b"}


def test_wins_over_counts_only_on_a_head_both_want() -> None:
    """docs/control.md: a wins over b, but shows on another head."""
    told = Told(
        build(
            inputs=[on_off("x")],
            heads=["h", "other"],
            functions=[
                function("a", "road", "always", show=show("other", amber="steady"), wins_over=["b"]),
                function("b", "road", "always", show=show("h", red="steady")),
            ],
        )
    )

    assert told.owners("h") == ("b",)


def test_a_beaten_function_still_beats() -> None:
    """docs/control.md: a beats b, b beats c: b is out itself, and c is out all the same."""
    told = wanting(
        wants("a", "warn", wins_over=["b"], red="single"),
        wants("b", "warn", wins_over=["c"], amber="single"),
        wants("c", "warn", white="single"),
    )

    assert told.colours("h") == {"red": "a"}
    assert [outcome(told, name) for name in "bc"] == [("beaten", "a"), ("beaten", "b")]


def test_a_circle_of_wins_over_leaves_nobody() -> None:
    """docs/control.md: each beats the next: nobody is left, which is ambiguous."""
    told = wanting(
        wants("a", "warn", wins_over=["b"], red="single"),
        wants("b", "warn", wins_over=["c"], amber="single"),
        wants("c", "warn", wins_over=["a"], white="single"),
    )

    assert told.outputs.head("h").ambiguous
    assert told.owners("h") == ()


def test_wins_over_across_ranks_does_nothing() -> None:
    """docs/control.md: the rank has decided already."""
    told = wanting(wants("a", "warn", wins_over=["b"], red="single"), wants("b", "road", red="steady"))

    assert told.owners("h") == ("b",)


def test_the_very_same_statement_has_several_owners() -> None:
    """docs/control.md: two functions say single red: nothing is ambiguous, both have it."""
    told = wanting(wants("b", "warn", red="single"), wants("a", "warn", red="single"))

    assert (told.owners("h"), told.colours("h")) == (("a", "b"), {"red": "a"})
    assert outcome(told, "b") == ("owns", "")


@pytest.mark.parametrize(
    "other", [{"red": "double"}, {"red": "single sides"}, {"red": "single", "white": "single"}, {}]
)
def test_another_statement_is_ambiguous(other: Mapping[str, str]) -> None:
    """docs/control.md: another pattern, another half of the cycle, a colour more, or dark: not the very same."""
    assert wanting(wants("a", "warn", red="single"), wants("b", "warn", **other)).outputs.head("h").ambiguous


def test_a_run_over_other_heads_is_another_statement() -> None:
    """docs/control.md: run-left over four heads and over two lights this head at different times."""
    told = Told(
        build(
            heads=["h", "i", "j"],
            functions=[
                function("a", "warn", "always", show=show("h", "i", amber="run-left")),
                function("b", "warn", "always", show=show("h", "i", "j", amber="run-left")),
            ],
        )
    )

    assert told.outputs.head("h").ambiguous
    assert told.owners("j") == ("b",)


# ---- beside


def test_beside_adds_the_next_bests_other_colours() -> None:
    """docs/control.md: white of the task, red of the warning beside it, each with its own owner."""
    told = wanting(
        wants("a", "task", beside=True, white="steady"), wants("b", "warn", red="single", white="double"), together=True
    )

    assert told.colours("h") == {"red": "b", "white": "a"}
    assert told.owners("h") == ("a", "b")
    assert outcome(told, "b") == ("beside", "a")


def test_beside_goes_on_only_if_the_next_says_so_too() -> None:
    """docs/control.md: the third colour comes only when the second function says `beside` as well."""
    first, last = wants("a", "task", beside=True, white="steady"), wants("c", "ease", amber="steady")
    stops = wanting(first, wants("b", "warn", red="single"), last, together=True)
    goes_on = wanting(first, wants("b", "warn", beside=True, red="single"), last, together=True)

    assert stops.colours("h") == {"red": "b", "white": "a"}
    assert goes_on.colours("h") == {"red": "b", "amber": "c", "white": "a"}


def test_beside_needs_a_part_that_burns_both() -> None:
    """docs/control.md: a head that burns one colour at a time shows the winner alone."""
    told = wanting(wants("a", "task", beside=True, white="steady"), wants("b", "warn", red="single"))

    assert told.colours("h") == {"white": "a"}
    assert outcome(told, "b") == ("lower-rank", "a")


def test_nothing_stands_beside_the_road() -> None:
    """docs/control.md: a brake lamp with another colour beside it is no brake lamp."""
    told = wanting(wants("a", "road", beside=True, red="steady"), wants("b", "warn", white="single"), together=True)

    assert told.colours("h") == {"red": "a"}


def test_two_next_bests_of_one_rank_are_ambiguous() -> None:
    """docs/control.md: the winner keeps what it shows; who comes beside it is not decided."""
    told = wanting(
        wants("a", "task", beside=True, white="steady"),
        wants("b", "warn", red="single"),
        wants("c", "warn", amber="single"),
        together=True,
    )

    assert told.outputs.head("h").ambiguous
    assert told.colours("h") == {"white": "a"}
    assert outcome(told, "b") == ("ambiguous", "c")


def test_a_beaten_function_is_no_next_best() -> None:
    """docs/control.md: b beats c, so c doesn't come after b either."""
    told = wanting(
        wants("a", "task", beside=True, white="steady"),
        wants("b", "warn", wins_over=["c"], beside=True, red="single"),
        wants("c", "warn", amber="single"),
        together=True,
    )

    assert told.colours("h") == {"red": "b", "white": "a"}


def test_a_dark_next_best_is_skipped() -> None:
    """docs/control.md: it adds no colour and doesn't end the row."""
    told = wanting(
        wants("a", "open", beside=True, white="steady"),
        wants("b", "task"),
        wants("c", "warn", red="single"),
        together=True,
    )

    assert told.colours("h") == {"red": "c", "white": "a"}


def test_a_dark_winner_has_nothing_beside_it() -> None:
    """docs/control.md: `dark` means that this head must not shine."""
    dark = function("a", "open", "a", show=show("h", dark=True, beside=True))

    assert wanting(dark, wants("b", "warn", red="single"), together=True).colours("h") == {}


def test_a_beaten_dark_is_beaten() -> None:
    """docs/control.md: a wins over the dark of its rank, and the head burns."""
    told = wanting(wants("a", "open", wins_over=["b"], red="single"), wants("b", "open"))

    assert told.colours("h") == {"red": "a"}


# ---- limits


def shares(told: Told) -> dict[str, tuple[float, str]]:
    """Share of full light of each colour on `h`, and the limit it is from."""
    return {part.colour: (round(part.share, 9), part.limited_by) for part in told.outputs.head("h").parts}


def test_15_percent_at_40_percent_is_6_percent() -> None:
    """docs/control.md: a limit scales what its ranks show."""
    told = wanting(wants("a", "ease", red="steady 15 %"), limits=[limit("night", "b", 0.4, "ease")])

    assert shares(told) == {"red": (0.06, "night")}
    assert shares(told.now(b="off")) == {"red": (0.15, "")}


def test_the_smallest_of_several_limits_counts() -> None:
    """docs/control.md: 40 % and 60 % together are 40 %."""
    limits = [limit("night", "b", 0.4, "warn"), limit("low", "c", 0.6, "warn", "traffic")]

    assert shares(wanting(wants("a", "warn", red="steady"), limits=limits)) == {"red": (0.4, "night")}


def test_a_limit_leaves_out_other_ranks_and_named_functions() -> None:
    """docs/control.md: `of` and `not`."""
    limits = [limit("night", "b", 0.4, "warn", but_not=["a"])]

    assert shares(wanting(wants("a", "warn", red="steady"), limits=limits)) == {"red": (1.0, "")}
    assert shares(wanting(wants("a", "task", red="steady"), limits=[limit("night", "b", 0.4, "warn")])) == {
        "red": (1.0, "")
    }


def test_a_limit_never_scales_the_road() -> None:
    """docs/control.md: a brake lamp at 40 % is no brake lamp."""
    assert shares(wanting(wants("a", "road", red="steady"), limits=[limit("n", "b", 0.4, "road")])) == {
        "red": (1.0, "")
    }


def test_each_owner_has_its_own_limits() -> None:
    """docs/control.md: the task at full light, the warning beside it dimmed."""
    told = wanting(
        wants("a", "task", beside=True, white="steady"),
        wants("b", "warn", red="single"),
        limits=[limit("night", "c", 0.4, "warn")],
        together=True,
    )

    assert shares(told) == {"red": (0.4, "night"), "white": (1.0, "")}


def test_of_several_owners_the_brightest_counts() -> None:
    """docs/control.md: two say single red, one of them is dimmed: the head gives what the other one asks for."""
    told = wanting(
        wants("a", "warn", red="single"),
        wants("b", "warn", red="single"),
        limits=[limit("n", "c", 0.4, "warn", but_not=["b"])],
    )

    assert shares(told) == {"red": (1.0, "")}
    assert told.colours("h") == {"red": "b"}


# ---- sirens


def sounding(*functions: Mapping[str, Any], on: str = "a b c d") -> Told:
    """Functions that sound one siren."""
    model = build(inputs=[on_off(name) for name in SWITCHES], functions=functions, equipment=["siren"],
                  memories=[memory("tone", "wail", "yelp", moves=[{"on": "d", "to": "yelp"}])])  # fmt: skip
    return Told(model).now(**dict.fromkeys(on.split(), "on"))


def test_one_function_owns_a_siren() -> None:
    """docs/control.md: the air horn is first in rank, and the wail comes back when it is let go."""
    told = sounding(
        function("a", "warn", "a", sound={"siren": "wail"}), function("b", "task", "b", sound={"siren": "air-horn"})
    )

    assert [(sound.tone, sound.owner) for sound in told.outputs.sounds] == [("air-horn", "b")]
    assert [(sound.tone, sound.owner) for sound in told.now(b="off").outputs.sounds] == [("wail", "a")]


def test_a_tone_may_be_the_name_of_a_memory() -> None:
    """docs/control.md: it sounds the present value."""
    told = sounding(function("a", "warn", "a", sound={"siren": "tone"}), on="a")

    assert told.outputs.sounds[0].tone == "wail"
    assert told.now(d="on").outputs.sounds[0].tone == "yelp"


def test_two_tones_of_one_rank_are_ambiguous_and_the_same_tone_is_not() -> None:
    """docs/control.md: by the same rule as heads."""
    apart = sounding(
        function("a", "warn", "a", sound={"siren": "wail"}), function("b", "warn", "b", sound={"siren": "yelp"})
    )
    agreed = sounding(
        function("a", "warn", "a", sound={"siren": "yelp"}), function("b", "warn", "b", sound={"siren": "tone"})
    )

    assert (apart.outputs.sounds[0].ambiguous, apart.outputs.sounds[0].tone) == (True, "")
    assert agreed.outputs.sounds[0].owners == ("a", "b")


# ---- laws


@given(st.data())
def test_a_loser_shows_nothing(data: st.DataObject) -> None:
    """Law: every colour belongs to an owner, and no owner is said to have lost."""
    model = data.draw(models(focus="heads"))
    machine = build_machine(model)
    state, _ = power_up(machine, start_inputs(machine, {})[0])
    for change in data.draw(stories(model)):
        state, outputs = step(machine, state, standing(model, change), change.elapsed_ms)
        for each in outputs.heads:
            shown = {part.owner for part in each.parts}
            lost = {want.function for want in each.wanted if want.outcome not in ("owns", "beside")}
            assert shown <= set(each.owners)
            assert lost.isdisjoint(each.owners)
            assert {want.function for want in each.wanted} <= set(outputs.active)
