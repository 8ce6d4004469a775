"""Promises looked at in situations (docs/control.md, "Promises"): what is broken in one, the proof breaks as well."""

from __future__ import annotations

from typing import Any

from coachwright.control.prove import prove
from tests.control.by_hand import build, function, on_off, promise, show, situation, slide, states
from tests.control.promises_in_situations import broken_in, broken_promises

DRIVES = situation("drives", slide="full", gear="D")
STANDS = situation("stands", slide="full", gear="P")


def broken(*situations: Any, functions: Any = (), **said: Any) -> tuple[str, ...]:
    """Situations in which one promise is broken."""
    model = build(
        inputs=[slide("slide", "off", "full"), states("gear", "P", "D"), on_off("brake")],
        heads=["tail", "bar"],
        functions=[
            function("warning", "warn", "slide == full", show=show("tail", "bar", red="single")),
            function("brake-shows", "road", "brake and gear == D", show=show("tail", red="steady")),
            function("siren", "warn", "slide == full", sound={"main-siren": "wail"}),
            *functions,
        ],
        equipment=["main-siren"],
        situations=situations or (DRIVES, STANDS),
        promises=[promise("p", **said)],
    )
    found = broken_in(model, model.promises[0])
    proof = prove(model, model.promises[0])
    assert proof.state == "broken" if found else proof.state in ("proved", "broken")  # some state no situation names
    return found


def test_a_then_is_broken_where_its_when_holds_and_it_does_not() -> None:
    """docs/control.md: brake in D shows steady red; in P the promise asks for nothing."""
    brakes = situation("brakes", slide="full", gear="D", brake="on")

    assert broken(brakes, when="brake", then="tail only red steady") == ()
    assert broken(brakes, when="brake", then="tail dark") == ("brakes",)
    assert broken(DRIVES, STANDS, when="brake", then="tail dark") == ()


def test_a_never_is_broken_where_it_holds() -> None:
    """docs/control.md: no siren in Park."""
    assert broken(never="main-siren and gear == P") == ("stands",)


def test_but_excuses_while_that_function_owns_the_output() -> None:
    """docs/control.md: the horn may sound in Park; the siren may not."""
    horn = function("horn", "task", "always", sound={"main-siren": "air-horn"})

    assert broken(functions=[horn], never="main-siren and gear == P", but=["horn"]) == ()
    assert broken(functions=[horn], never="main-siren and gear == P", but=["siren"]) == ("stands",)


def test_red_is_true_through_the_dark_steps_of_a_pattern() -> None:
    """docs/control.md: judged on statements, not on the instant."""
    assert broken(when="slide == full", then="bar red flashing") == ()
    assert broken(never="bar dark") == ()


def test_a_promise_is_looked_at_once_all_has_stood() -> None:
    """docs/control.md: `within` has passed, and `held` has had its time."""
    assert broken(never="slide == full held 10 s") == ("drives", "stands")
    assert broken(never="first 10 s of (slide == full)") == ()


def test_between_two_events_nothing_is_broken_at_rest() -> None:
    """docs/control.md: no event happens in a situation."""
    assert broken(after="becomes (gear == P)", until="becomes (gear == D)", never="main-siren") == ()


def test_every_promise_is_named_once() -> None:
    """docs/control.md: each with its situations, none left out."""
    model = build(
        inputs=[on_off("brake")],
        situations=[situation("one", brake="on"), situation("two")],
        promises=[
            promise("a", never="brake"),
            promise("b", never="not brake"),
            promise("c", never="brake and not brake"),
        ],
    )

    assert broken_promises(model) == {"a": ("one",), "b": ("two",), "c": ()}
