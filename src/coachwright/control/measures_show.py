"""What can be asked about who shows what: arrows, light while travelling, heads by colour and quarter, promises."""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Function, Model, Promise, Show
from coachwright.control.prove import prove
from coachwright.control.situations import by_machine, judged, tried
from coachwright.control.sources import Setting
from coachwright.control.statement import Outputs
from coachwright.control.tries import (
    ARROWS,
    WARN,
    all_shows,
    controls_read,
    drives,
    hand_tries,
    has,
    lit_by,
    manner_said,
    positions,
    ranks_of,
    reads_through_memory,
    toward_of,
)
from coachwright.kit.measure import Measure, facts, measures

QUARTERS = ("front", "right", "rear", "left")


@measures("control.arrow-head-count", kind="count", per_situation=False)
@by_machine
def arrow_head_count(model: Model) -> tuple[Measure, ...]:
    """How many heads does an arrow go over?"""
    return tuple(
        Measure(
            "control.arrow-head-count",
            float(len(show.heads)),
            "count",
            about=show.path,
            blame=(show.path, function.path),
            where=f"{function.name} {position}".strip(),
            facts=facts(owner=function.name, position=position, pattern=pattern),
        )
        for function in model.functions
        for position, show, pattern in _arrows(function)
    )


@measures("control.arrow-while-travelling", kind="yes-no", speed="speed")
@by_machine
def arrow_while_travelling(model: Model, *, situation: str, speed: float) -> tuple[Measure, ...]:
    """Does an arrow run while the vehicle travels?"""
    found = []
    for function in _arrow_functions(model):
        running = [
            position
            for position, outputs in _positions(model, situation, function, drives(model, speed=speed))
            if _runs(outputs, function)
        ]
        found.append(
            Measure(
                "control.arrow-while-travelling",
                bool(running),
                "yes-no",
                about=function.path,
                blame=(f"{function.path}.when", function.path),
                where=f"at {', '.join(running)}" if running else "at no position",
                situation=situation,
                facts=facts(position=running[0] if running else "", owner=function.name),
            )
        )
    return tuple(found)


@measures("control.arrow-against-turn", kind="yes-no")
@by_machine
def arrow_against_turn(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does an arrow point against the turn signal?"""
    found = []
    for function in _arrow_functions(model):
        for turn, against in (("turn-right", "run-left"), ("turn-left", "run-right")):
            if not has(model, turn):
                continue
            running = [
                position
                for position, outputs in _positions(model, situation, function, {turn: "on"})
                if against in _patterns(outputs, function)
            ]
            found.append(
                Measure(
                    "control.arrow-against-turn",
                    bool(running),
                    "yes-no",
                    about=function.path,
                    blame=(f"{function.path}.when", function.path),
                    where=f"{against} with {turn}",
                    situation=situation,
                    facts=facts(position=running[0] if running else "", turn=turn, owner=function.name),
                )
            )
    return tuple(found)


@measures("control.arrow-torn-by-brake", kind="count")
@by_machine
def arrow_torn_by_brake(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How many heads of a running arrow are taken by another function when the brake is pressed?"""
    if not has(model, "brake"):
        return ()
    found = []
    for function in _arrow_functions(model):
        for position, outputs in _positions(model, situation, function, {"brake": "off"}):
            running = {state.head for state in outputs.heads if any(p.owner == function.name for p in state.parts)}
            if not running or not _runs(outputs, function):
                continue
            change: dict[str, Setting] = {"brake": "on", **({function.by: position} if function.by else {})}
            braked = tried(model, situation, change)
            torn = sorted(
                state.head
                for state in braked.heads
                if state.head in running and any(part.owner != function.name for part in state.parts)
            )
            found.append(
                Measure(
                    "control.arrow-torn-by-brake",
                    float(len(torn)),
                    "count",
                    about=function.path,
                    blame=(function.path,),
                    where=f"{', '.join(torn[:4]) or 'no head'} at {position}",
                    situation=situation,
                    facts=facts(position=position, owner=function.name),
                )
            )
    return tuple(found)


@measures("control.lit-while-travelling", kind="yes-no", speed="speed")
def lit_while_travelling(model: Model, *, situation: str, speed: float) -> tuple[Measure, ...]:
    """Can this function light this colour toward there while the vehicle travels?"""
    toward = toward_of(model, situation)
    base = drives(model, speed=speed)
    found: dict[tuple[str, str, str, str], str] = {}
    outputs_of: list[tuple[str, Outputs]] = [("as it stands", tried(model, situation, base))]
    outputs_of += [
        (moved.said, tried(model, situation, {**base, moved.control: moved.value}))
        for moved in hand_tries(model, situation)
    ]
    for said, outputs in outputs_of:
        for state in outputs.heads:
            for part in state.parts:
                key = (part.owner, part.colour, manner_said(part.show.manner), toward[state.head])
                found.setdefault(key, said)
    result = []
    for function in model.functions:
        if function.rank == "road":
            continue
        can = {
            (colour.colour, manner_said(colour.manner), toward[head])
            for _, show in all_shows(function)
            for colour in show.colours
            for head in show.heads
        }
        for colour, manner, quarter in sorted(can):
            told = found.get((function.name, colour, manner, quarter))
            result.append(
                Measure(
                    "control.lit-while-travelling",
                    told is not None,
                    "yes-no",
                    about=function.path,
                    blame=(f"{function.path}.when", function.path),
                    where=told or "at no single control",
                    situation=situation,
                    facts=facts(owner=function.name, rank=function.rank, colour=colour, manner=manner, toward=quarter),
                )
            )
    return tuple(result)


@measures("control.ease-beside-warning", kind="yes-no")
@by_machine
def ease_beside_warning(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does a function of rank ease win a head while warning lights one, at any position of a slide?"""
    ranks = ranks_of(model)
    eases = [function for function in model.functions if function.rank == "ease" and list(all_shows(function))]
    if not eases:
        return ()
    tries: list[tuple[str, Outputs]] = [("as it stands", judged(model, situation))]
    for item in model.inputs:
        if item.kind == "slide" and item.name in controls_read(model):
            tries += [(f"{item.name} {each}", tried(model, situation, {item.name: each})) for each in positions(item)]
    found = []
    for function in eases:
        told = next(
            (
                said
                for said, outputs in tries
                if lit_by(outputs, ranks, WARN)
                and any(part.owner == function.name for state in outputs.heads for part in state.parts)
            ),
            "",
        )
        found.append(
            Measure(
                "control.ease-beside-warning",
                bool(told),
                "yes-no",
                about=function.path,
                blame=(f"{function.path}.when", function.path),
                where=told or "at no position",
                situation=situation,
                facts=facts(owner=function.name),
            )
        )
    return tuple(found)


@measures("control.heads-lit", kind="count")
def heads_lit(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How many of our heads burn in this colour, rank and manner toward each quarter?"""
    toward, ranks = toward_of(model, situation), ranks_of(model)
    own = {head.id: head for head in model.heads if head.reach == "own"}
    rows: dict[tuple[str, str, str, str], list[str]] = {}
    blame: dict[tuple[str, str, str, str], set[str]] = {}
    lit_by: dict[tuple[str, str, str, str], dict[str, None]] = {}
    for function in model.functions:
        for _, show in all_shows(function):
            for colour in show.colours:
                for quarter in QUARTERS:
                    key = (colour.colour, function.rank, manner_said(colour.manner), quarter)
                    rows.setdefault(key, [])
                    blame.setdefault(key, set()).add(function.path)
    for state in judged(model, situation).heads:
        for part in state.parts:
            key = (part.colour, ranks[part.owner], manner_said(part.show.manner), toward[state.head])
            if state.head in own and key in rows:
                rows[key].append(state.head)
                lit_by.setdefault(key, {})[part.show.path] = None
    path = model.situation(situation).path
    return tuple(
        Measure(
            "control.heads-lit",
            float(len(heads)),
            "count",
            about=path,
            blame=(*(lit_by.get(key) or sorted(blame[key])), path),
            where=", ".join(heads[:4]) or f"no {key[0]} toward the {key[3]}",
            situation=situation,
            facts=facts(colour=key[0], rank=key[1], manner=key[2], toward=key[3]),
        )
        for key, heads in sorted(rows.items())
    )


@measures("control.situations-lit", kind="count", per_situation=False)
@by_machine
def situations_lit(model: Model) -> tuple[Measure, ...]:
    """In how many situations does each head we fit burn at all?"""
    counts = {head.id: 0 for head in model.heads if head.reach == "own"}
    for situation in model.situations:
        for state in judged(model, situation.name).heads:
            if state.head in counts and state.parts:
                counts[state.head] += 1
    return tuple(
        Measure(
            "control.situations-lit",
            float(counts[head.id]),
            "count",
            about=head.path,
            blame=(head.path,),
            where=head.id,
            facts=facts(lamp=head.lamp, head=head.id),
        )
        for head in model.heads
        if head.reach == "own"
    )


@measures("control.promise", kind="word", per_situation=False)
@by_machine
def promise(model: Model) -> tuple[Measure, ...]:
    """Does each promise hold in every state the vehicle can get into?"""
    return tuple(_promise(model, each) for each in model.promises)


def _promise(model: Model, promise: Promise) -> Measure:
    proof = prove(model, promise)
    told = f"broken by: {'; '.join(proof.story.lines)}" if proof.story is not None else ""
    return Measure(
        "control.promise",
        proof.state,
        "word",
        about=promise.path,
        blame=(promise.path,),
        where=told,
        facts=facts(promise=promise.name),
    )


# ---------------------------------------------------------------------------------------------------------- arrows
def _arrows(function: Function) -> Iterator[tuple[str, Show, str]]:
    for position, show in all_shows(function):
        for colour in show.colours:
            if colour.pattern is not None and colour.pattern.word in ARROWS:
                yield position, show, colour.pattern.word


def _arrow_functions(model: Model) -> list[Function]:
    return [function for function in model.functions if next(_arrows(function), None) is not None]


def _positions(
    model: Model, situation: str, function: Function, base: dict[str, Setting]
) -> Iterator[tuple[str, Outputs]]:
    """The situation with `base`, at each position of the function's control, or with each control it reads."""
    if function.by:
        for position in next(positions(item) for item in model.inputs if item.name == function.by):
            yield position, tried(model, situation, {**base, function.by: position})
        return
    yield "as it stands", tried(model, situation, base)
    for moved in hand_tries(model, situation, controls_read(model) & reads_through_memory(model, function)):
        yield moved.said, tried(model, situation, {**base, moved.control: moved.value})


def _patterns(outputs: Outputs, function: Function) -> set[str]:
    return {
        part.show.pattern.word
        for state in outputs.heads
        for part in state.parts
        if part.owner == function.name and part.show.pattern is not None
    }


def _runs(outputs: Outputs, function: Function) -> bool:
    return bool(_patterns(outputs, function) & set(ARROWS))
