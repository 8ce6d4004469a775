"""What can be asked about brake, turn and the panel: nothing may hide what the road has to see."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coachwright.build.model import Head, Model
from coachwright.control.situations import by_machine, tried
from coachwright.control.sources import Setting
from coachwright.control.statement import HeadState, Outputs
from coachwright.control.tries import (
    ROAD,
    controls_read,
    drives,
    hand_tries,
    has,
    heads_by_id,
    owned_by,
    positions,
    ranks_of,
    reads_through_memory,
)
from coachwright.kit.measure import Measure, facts, measures

TURNS = ("turn-left", "turn-right", "hazard")
ROAD_SIGNS: dict[str, dict[str, Setting]] = {
    "brake": {"brake": "on"},
    "turn-left": {"turn-left": "on"},
    "turn-right": {"turn-right": "on"},
    "hazard": {"hazard": "on"},
    "reverse": {"gear": "R"},
}


@measures("control.stop-beside-turn", kind="yes-no")
@by_machine
def stop_beside_turn(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does one head show brake and turn at once?"""
    found = []
    for turn, head, brakes, turners, both in _brake_and_turn(model, situation):
        value = owned_by(both, brakes) and owned_by(both, turners) and not brakes & turners
        found.append(_head_measure(model, "control.stop-beside-turn", situation, head, value=value, turn=turn))
    return tuple(found)


@measures("control.turn-kept-under-brake", kind="yes-no")
@by_machine
def turn_kept_under_brake(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does every head that shows the turn go on showing it under the brake?"""
    found = []
    for turn, head, _, turners, both in _brake_and_turn(model, situation):
        alone = tried(model, situation, drives(model, brake="off", **_only(turn))).head(head.id)
        if owned_by(alone, turners):
            value = owned_by(both, turners)
            found.append(_head_measure(model, "control.turn-kept-under-brake", situation, head, value=value, turn=turn))
    return tuple(found)


@measures("control.warning-beside-brake", kind="yes-no")
@by_machine
def warning_beside_brake(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does one head show the brake and another flashing colour at once, at any position of a slide?"""
    if not has(model, "brake"):
        return ()
    ranks = ranks_of(model)
    brakes = _functions_of(model, situation, "brake")
    worst: dict[str, tuple[bool, str]] = {}
    for said, outputs in _at_each_position(model, situation, drives(model, brake="on")):
        for state in outputs.heads:
            if owned_by(state, brakes):
                beside = any(ranks[part.owner] != ROAD and part.show.manner != "steady" for part in state.parts)
                if beside or state.head not in worst:
                    worst[state.head] = (beside, said)
    heads = heads_by_id(model)
    return tuple(
        _head_measure(model, "control.warning-beside-brake", situation, heads[name], value=value, turn="", where=said)
        for name, (value, said) in worst.items()
    )


@measures("control.road-light-taken-by-panel", kind="yes-no")
@by_machine
def road_light_taken_by_panel(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does moving one hand control take a head from brake, turn, hazard or reverse?"""
    ranks = ranks_of(model)
    reads = frozenset().union(*(reads_through_memory(model, each) for each in model.functions if each.rank == ROAD))
    worst: dict[tuple[str, str], tuple[bool, str]] = {}
    for road, settings in ROAD_SIGNS.items():
        if not has(model, *settings):
            continue
        base = tried(model, situation, drives(model, **_keys(settings)))
        lit = {state.head for state in base.heads if any(ranks[part.owner] == ROAD for part in state.parts)}
        if not lit:
            continue
        for control in controls_read(model):
            worst.setdefault((control, road), (False, ""))
        for moved in hand_tries(model, situation, controls_read(model) & reads):
            outputs = tried(model, situation, {**drives(model, **_keys(settings)), moved.control: moved.value})
            taken = [
                state.head
                for state in outputs.heads
                if state.head in lit and not any(ranks[part.owner] == ROAD for part in state.parts)
            ]
            if taken:
                worst[moved.control, road] = (True, f"{moved.said} takes {', '.join(taken[:4])}")
    return tuple(
        Measure(
            "control.road-light-taken-by-panel",
            value,
            "yes-no",
            about=f"controls.{control}",
            blame=(
                *(
                    each.path
                    for each in model.functions
                    if each.rank == ROAD and control in reads_through_memory(model, each)
                ),
                f"controls.{control}",
            ),
            where=said or f"{road} keeps its heads",
            situation=situation,
            facts=facts(control=control, road=road),
        )
        for (control, road), (value, said) in sorted(worst.items())
    )


@measures("control.high-beam-flash-with-headlamps", kind="yes-no")
@by_machine
def high_beam_flash_with_headlamps(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does a lamp of the vehicle itself go on flashing with the headlamps on?"""
    if not has(model, "headlamps"):
        return ()
    heads = heads_by_id(model)
    found = []
    for function in model.functions:
        own = sorted(
            {
                heads[name].lamp
                for show in (*function.shows, *(each for level in function.levels for each in level.shows))
                if any(colour.manner == "pattern" for colour in show.colours)
                for name in show.heads
                if heads[name].reach != "own"
            }
        )
        if not own:
            continue
        value, where = False, "headlamps on"
        tries = [
            {},
            *(
                {each.control: each.value}
                for each in hand_tries(model, situation, controls_read(model) & reads_through_memory(model, function))
            ),
        ]
        for moved in tries:
            outputs = tried(model, situation, {"headlamps": "on", **moved})
            if any(
                part.owner == function.name and heads[state.head].reach != "own"
                for state in outputs.heads
                for part in state.parts
            ):
                value = True
                where = "headlamps on" + "".join(f", {name} {setting}" for name, setting in moved.items())
                break
        found.append(
            Measure(
                "control.high-beam-flash-with-headlamps",
                value,
                "yes-no",
                about=function.path,
                blame=(f"{function.path}.when", function.path),
                where=where,
                situation=situation,
                facts=facts(
                    lamp=own[0],
                    owner=function.name,
                    reach=next(head.reach for head in model.heads if head.lamp == own[0]),
                ),
            )
        )
    return tuple(found)


# ------------------------------------------------------------------------------------------------------ brake and turn
def _brake_and_turn(
    model: Model, situation: str
) -> Iterator[tuple[str, Head, frozenset[str], frozenset[str], HeadState]]:
    """For each turn: heads that show brake or turn, who shows each, and what they do under both."""
    if not has(model, "brake"):
        return
    heads = heads_by_id(model)
    brakes = _functions_of(model, situation, "brake")
    for turn in TURNS:
        if not has(model, turn):
            continue
        turners = _functions_of(model, situation, turn)
        both = tried(model, situation, drives(model, brake="on", **_only(turn)))
        alone = {
            state.head
            for settings in ({"brake": "on"}, {"brake": "off", turn: "on"})
            for state in tried(model, situation, drives(model, **_keys(settings))).heads
            if owned_by(state, brakes | turners)
        }
        for state in both.heads:
            if state.head in alone:
                yield turn, heads[state.head], brakes, turners, state


def _functions_of(model: Model, situation: str, sign: str) -> frozenset[str]:
    """Functions of rank road that this sign brings on in the situation."""
    ranks = ranks_of(model)
    without: dict[str, Setting] = {name: "off" for name in ROAD_SIGNS[sign] if name != "gear"}
    off = tried(model, situation, drives(model, **_keys(without)))
    on = tried(model, situation, drives(model, **_keys(ROAD_SIGNS[sign])))
    return frozenset(name for name in set(on.active) - set(off.active) if ranks[name] == ROAD)


def _at_each_position(model: Model, situation: str, base: dict[str, Setting]) -> Iterator[tuple[str, Outputs]]:
    yield "as it stands", tried(model, situation, base)
    for item in model.inputs:
        if item.name in controls_read(model):
            for position in positions(item):
                yield f"{item.name} {position}", tried(model, situation, {**base, item.name: position})


def _only(turn: str) -> dict[str, Setting]:
    return {turn.replace("-", "_"): "on"}


def _keys(settings: Mapping[str, Setting]) -> dict[str, Setting]:
    return {name.replace("-", "_"): value for name, value in settings.items()}


def _head_measure(
    model: Model, name: str, situation: str, head: Head, *, value: bool, turn: str, where: str = ""
) -> Measure:
    shown = [each.path for each in model.functions if each.rank == ROAD]
    return Measure(
        name,
        value,
        "yes-no",
        about=head.path,
        blame=(*shown, head.path),
        where=f"{head.id}{f', {where}' if where else ''}{f', brake and {turn}' if turn else ''}",
        situation=situation,
        facts=facts(lamp=head.lamp, head=head.id, turn=turn, reach=head.reach),
    )
