"""What can be asked about the lamps road law asks for, where our functions reach them, and what stands in for them?"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Function, Model
from coachwright.control.situations import by_machine, settings_of, tried
from coachwright.control.sources import Setting
from coachwright.control.statement import Outputs
from coachwright.control.tries import (
    ROAD,
    WARN,
    all_shows,
    conditions_of,
    controls_read,
    drives,
    hand_tries,
    has,
    heads_by_id,
    manner_said,
    names_of,
    owned_by,
    reads_through_memory,
)
from coachwright.kit.measure import Measure, facts, measures
from coachwright.place.required import NO_USE, required_lamps, use_of

SIGNS: dict[str, tuple[dict[str, Setting], ...]] = {
    "stop": ({"brake": "on"},),
    "turn": ({"turn-left": "on"}, {"turn-right": "on"}, {"hazard": "on"}),
    "backup": ({"gear": "R"},),
    "headlamp": ({"headlamps": "on"}, {"main-beam": "on"}),
    "tail": ({"headlamps": "on"},),
    "parking": ({"headlamps": "on"},),
    "marker": ({"headlamps": "on"},),
    "clearance": ({"headlamps": "on"},),
    "identification": ({"headlamps": "on"},),
    "plate": ({"headlamps": "on"},),
}
"""What the driver does for which a lamp of this use lights up."""

UNANSWERED = "unanswered"


@measures("control.required-lamp-lit", kind="yes-no", question="word")
def required_lamp_lit(model: Model, *, situation: str, question: str = "") -> tuple[Measure, ...]:
    """Does one of our functions light a required lamp while the driver does nothing that lights it?

    question : of the job's law; the fact `law` is its answer: permitted, forbidden, only-when or unanswered.
    """
    found = []
    for function, lamp, shows_dark, manner in _on_required(model):
        if shows_dark:
            continue
        base = _at_rest(model, situation, use_of(lamp))
        told = next(
            (
                said
                for said, outputs in _tries(model, situation, function, base)
                if any(
                    part.owner == function.name and manner_said(part.show.manner) == manner
                    for state in outputs.heads
                    if heads_by_id(model)[state.head].lamp == lamp
                    for part in state.parts
                )
            ),
            "",
        )
        found.append(
            _about_required(
                model,
                "control.required-lamp-lit",
                situation=situation,
                function=function,
                lamp=lamp,
                manner=manner,
                told=told,
                question=question,
            )
        )
    return tuple(found)


@measures("control.required-lamp-darkened", kind="yes-no")
def required_lamp_darkened(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does one of our functions keep a required lamp dark while the driver does what lights it?"""
    found = []
    for function, lamp, shows_dark, manner in _on_required(model):
        if not shows_dark:
            continue
        told = ""
        for sign in SIGNS.get(use_of(lamp), ({},)):
            if not has(model, *sign):
                continue
            for said, outputs in _tries(model, situation, function, drives(model, **_keys(sign))):
                if any(
                    heads_by_id(model)[state.head].lamp == lamp and function.name in state.owners and not state.parts
                    for state in outputs.heads
                ):
                    told = told or f"{' and '.join(f'{name} {value}' for name, value in sign.items())}, {said}"
        found.append(
            _about_required(
                model,
                "control.required-lamp-darkened",
                situation=situation,
                function=function,
                lamp=lamp,
                manner=manner,
                told=told,
            )
        )
    return tuple(found)


@measures("control.required-lamp-reach", kind="word", per_situation=False)
def required_lamp_reach(model: Model) -> tuple[Measure, ...]:
    """How do we reach each lamp road law asks for: not at all, asking the vehicle, beside its feed, or in its feed?"""
    reaches = {head.lamp: head for head in model.heads if head.reach != "own"}
    return tuple(
        Measure(
            "control.required-lamp-reach",
            reaches[lamp].reach,
            "word",
            about=reaches[lamp].path,
            blame=(f"{reaches[lamp].path}.reach", reaches[lamp].path),
            where=lamp,
            facts=facts(lamp=lamp, use=use_of(lamp)),
        )
        for lamp in required_lamps(model.body)
        if lamp in reaches
    )


@measures("control.hazard-with-ignition-out", kind="yes-no")
@by_machine
def hazard_with_ignition_out(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does every head of ours that shows the hazard signal go on showing it with the ignition out?"""
    if not has(model, "hazard", "ignition"):
        return ()
    turners = frozenset(function.name for function in model.functions if road_use(model, function) == "turn")
    heads = heads_by_id(model)
    rest: dict[str, Setting] = {"gear": "P", "park-brake": "off", "brake": "off", "hazard": "on"}
    here = {name: value for name, value in rest.items() if has(model, name)}
    on = tried(model, situation, {**here, "ignition": "run"})
    out = tried(model, situation, {**here, "ignition": "out", **({"engine": "off"} if has(model, "engine") else {})})
    found: dict[str, Measure] = {}
    for state in on.heads:
        head = heads[state.head]
        if head.reach != "own" or not owned_by(state, turners):
            continue
        value = owned_by(out.head(state.head), turners)
        if head.path in found and found[head.path].value is False:
            continue
        found[head.path] = Measure(
            "control.hazard-with-ignition-out",
            value,
            "yes-no",
            about=head.path,
            blame=(*(each.path for each in model.functions if each.name in turners), head.path),
            where=f"{head.id}, hazard with the ignition out",
            situation=situation,
            facts=facts(lamp=head.lamp, head=head.id),
        )
    return tuple(found.values())


@measures("control.warning-tell-tale", kind="yes-no", per_situation=False)
@by_machine
def warning_tell_tale(model: Model) -> tuple[Measure, ...]:
    """Does each control that switches warning on have a tell-tale?"""
    by_warning: dict[str, list[str]] = {}
    for function in model.functions:
        if function.rank == WARN and next(all_shows(function), None) is not None:
            reads = names_of(model, conditions_of(function)) | ({function.by} if function.by else set())
            for name in sorted(reads & controls_read(model)):
                by_warning.setdefault(name, []).append(function.name)
    return tuple(
        Measure(
            "control.warning-tell-tale",
            bool(item.tell_tale) or item.tell_tale_condition is not None,
            "yes-no",
            about=item.path,
            blame=(f"{item.path}.tell-tale", item.path),
            where=f"{item.name}, for {', '.join(by_warning[item.name][:4])}",
            facts=facts(control=item.name, control_kind=item.kind),
        )
        for item in model.inputs
        if item.name in by_warning
    )


@by_machine
def road_use(model: Model, function: Function) -> str:
    """Which required lamp a function of rank road stands in for: turn, stop, backup, or none of them.

    It is what the driver does that brings the function on: a brake light that yields to the turn is a brake light.
    """
    if function.rank != ROAD or next(all_shows(function), None) is None:
        return NO_USE
    for situation in model.situations:
        for use in ("turn", "stop", "backup"):
            quiet = {**drives(model), **_at_rest(model, situation.name, use)}
            if function.name in tried(model, situation.name, quiet).active:
                continue
            for sign in SIGNS[use]:
                if has(model, *sign) and function.name in tried(model, situation.name, {**quiet, **sign}).active:
                    return use
    return NO_USE


# ------------------------------------------------------------------------------------------------------------ required
def _on_required(model: Model) -> Iterator[tuple[Function, str, bool, str]]:
    """Functions with the required lamps they show on, whether they keep them dark, and the manner."""
    heads, required = heads_by_id(model), set(required_lamps(model.body))
    for function in model.functions:
        wanted = {
            (heads[name].lamp, show.dark, manner)
            for _, show in all_shows(function)
            for name in show.heads
            if heads[name].reach != "own" and heads[name].lamp in required
            for manner in ({manner_said(colour.manner) for colour in show.colours} or {"steady"})
        }
        for lamp, dark, manner in sorted(wanted):
            yield function, lamp, dark, manner


def _at_rest(model: Model, situation: str, use: str) -> dict[str, Setting]:
    """The driver does nothing that lights a lamp of this use."""
    stands = dict(settings_of(model, situation))
    off: dict[str, Setting] = {name: "off" for sign in SIGNS.get(use, ()) for name in sign if name != "gear"}
    if use == "backup" and stands.get("gear") == "R":
        off["gear"] = "N"
    return {name: value for name, value in off.items() if name in stands}


def _tries(model: Model, situation: str, function: Function, base: dict[str, Setting]) -> Iterator[tuple[str, Outputs]]:
    """The situation with `base`, then with each control the function depends on moved alone."""
    yield "as it stands", tried(model, situation, base)
    for moved in hand_tries(model, situation, controls_read(model) & reads_through_memory(model, function)):
        yield moved.said, tried(model, situation, {**base, moved.control: moved.value})


def _keys(settings: dict[str, Setting]) -> dict[str, Setting]:
    return {name.replace("-", "_"): value for name, value in settings.items()}


def _about_required(
    model: Model,
    name: str,
    *,
    situation: str,
    function: Function,
    lamp: str,
    manner: str,
    told: str,
    question: str = "",
) -> Measure:
    reach = next(head.reach for head in model.heads if head.lamp == lamp)
    answer = next((each.answer for each in model.job.law if each.question == question), UNANSWERED)
    return Measure(
        name,
        bool(told),
        "yes-no",
        about=function.path,
        blame=(f"{function.path}.when", function.path),
        where=f"{lamp}, {told or 'at no single control'}",
        situation=situation,
        facts=facts(
            lamp=lamp,
            use=use_of(lamp),
            manner=manner,
            reach=reach,
            owner=function.name,
            rank=function.rank,
            law="only-when" if answer.startswith("only when") else answer,
        ),
    )
