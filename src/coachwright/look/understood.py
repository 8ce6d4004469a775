"""What a build was understood to be, as plain names, lists and words: for `coachwright show` and its JSON."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coachwright.build.choices import alike_vehicles, spoken_choices, spoken_vehicles
from coachwright.build.condition_print import print_condition
from coachwright.build.model import ColourShow, Function, Head, Input, Memory, Model, Show, Situation
from coachwright.build.pattern_text import print_pattern
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.geom import bearing_and_elevation
from coachwright.kit.near import nearest
from coachwright.kit.show import show
from coachwright.look.cells import value_text
from coachwright.place.poses import head_pose


def whole_job(model: Model) -> dict[str, Any]:
    """The job in a page: what there is, by kind, and how many heads each lamp has."""
    lamps: dict[str, int] = {}
    for head in model.heads:
        if head.reach == "own":
            lamps[head.lamp] = lamps.get(head.lamp, 0) + 1
    controls = [item for item in model.inputs if item.is_control]
    return {
        "job": f"{model.job.name} for {model.job.customer}",
        "number": f"{model.job.number} revision {model.job.revision}",
        "vehicles": model.count,
        **_choices(model),
        "body": model.body.title,
        "packs": list(model.packs),
        "heads": f"{sum(lamps.values())} of ours, {sum(head.reach != 'own' for head in model.heads)} of the vehicle",
        "lamps": [f"{name} ({count})" if count > 1 else name for name, count in lamps.items()],
        "by hand": [item.name for item in controls if item.hand == "hand"],
        **({"by foot": feet} if (feet := [item.name for item in controls if item.hand == "foot"]) else {}),
        "the vehicle says": [item.name for item in model.inputs if not item.is_control],
        "functions": {
            rank: names
            for rank in model.ranks
            if (names := [each.name for each in model.functions if each.rank == rank])
        },
        "situations": [each.name for each in model.situations],
        "promises": [each.name for each in model.promises],
        "digest of the build": model.digest,
    }


def _choices(model: Model) -> dict[str, Any]:
    """Which vehicle this is, what it chose, and which vehicles of the job chose the same."""
    if not model.options and not model.serials:
        return {}
    shown: dict[str, Any] = {}
    if model.serial:
        name = next((each.name for each in model.serials if str(each.number) == model.serial), "")
        shown["this vehicle"] = f"{model.serial} ({name})" if name else model.serial
    if model.options:
        shown["options"] = [f"{option} {value}" for option, value in model.choices]
    groups = alike_vehicles(model)
    if model.options:
        shown["alike"] = {spoken_choices(group.differs, ()): spoken_vehicles(group) or "none" for group in groups}
    return shown


def one_thing(model: Model, name: str) -> dict[str, Any]:
    """Everything called `name`: heads of a lamp or group, a function, a situation, a word, a memory, an input.

    Raises
    ------
    CoachwrightError : nothing is called so; names the nearest.
    """
    found: dict[str, Any] = {}
    heads = [head for head in model.heads if name in (head.id, head.lamp) or head.id.startswith(f"{name}.")]
    heads = heads or [model.head(head) for group, ids in model.groups if group == name for head in ids]
    if heads:
        found["heads"] = [_head(model, head) for head in heads]
    finders: tuple[tuple[str, tuple[Any, ...], Callable[..., dict[str, Any]]], ...] = (
        ("function", model.functions, _function),
        ("situation", model.situations, _situation),
        ("memory", model.memories, _memory),
        ("input", model.inputs, _input),
    )
    for kind, items, of in finders:
        for item in items:
            if name in (item.name, item.path):
                found[kind] = of(model, item)
    for word in model.words:
        if name in (word.name, word.path):
            found["word"] = {"name": word.name, "means": _said(model, word.condition)}
    if not found:
        raise CoachwrightError(_nothing_called(model, name))
    return found


def _nothing_called(model: Model, name: str) -> str:
    known = (
        {head.id for head in model.heads} | {head.lamp for head in model.heads} | {group for group, _ in model.groups}
    )
    for items in (model.functions, model.situations, model.memories, model.inputs, model.words):
        known |= {item.name for item in items}
    near = nearest(name, sorted(known))
    looked = "No lamp, head, group, function, situation, word, memory or input of this build"
    return f"{looked} is called {name[:60]!r}.{f' Closest: {near[0]}.' if near else ''}"


def _head(model: Model, head: Head) -> dict[str, Any]:
    pose = head_pose(head, model.body, model.part(head.part) if head.reach == "own" else model.body)
    bearing, elevation = bearing_and_elevation(pose.forward)
    return {
        "head": head.id,
        "part": head.part,
        "at": f"{head.place}{f' ({head.side})' if head.side else ''}",
        "stands": ", ".join(
            f"{axis} {show(value, 'length', system='metric')}"
            for axis, value in zip("xyz", pose.position_m, strict=True)
        ),
        "looks to": f"bearing {show(bearing, 'angle')}, elevation {show(elevation, 'angle')}",
        "colours": list(head.colours),
        "reach": head.reach,
        "clock": head.sync_group,
        "written at": head.path,
    }


def _function(model: Model, function: Function) -> dict[str, Any]:
    shown: dict[str, Any] = {"name": function.name, "rank": function.rank}
    if function.when is not None:
        shown["when"] = _said(model, function.when)
    if function.by:
        shown["by"] = function.by
    for level in function.levels:
        shown[f"at {level.position}"] = [_show(each) for each in level.shows]
    for limit in function.at_most:
        shown[f"at most {limit.level}"] = _said(model, limit.condition)
    if function.wins_over:
        shown["wins over"] = list(function.wins_over)
    if function.shows:
        shown["shows"] = [_show(each) for each in function.shows]
    if function.sounds:
        shown["sounds"] = [f"{each.tone or each.tone_memory} on {each.siren}" for each in function.sounds]
    for what, names in (("runs", function.runs), ("interrupts", function.interrupts), ("says", function.says)):
        if names:
            shown[what] = list(names)
    return shown


def _show(each: Show) -> str:
    what = "dark" if each.dark else ", ".join(f"{colour.colour} {_colour(colour)}" for colour in each.colours)
    return f"{' '.join(each.heads)}: {what}{' (others may add colours)' if each.beside else ''}"


def _colour(colour: ColourShow) -> str:
    if colour.manner == "steady":
        return f"steady {show(colour.share, 'share')}"
    if colour.manner == "follow" or colour.pattern is None:
        return f"follows {colour.signal}"
    sides = f" {colour.sides}" if colour.sides not in ("", "together") else ""
    return f"{print_pattern(colour.pattern)}{sides}"


def _situation(model: Model, situation: Situation) -> dict[str, Any]:
    kinds = {item.name: item.number_kind for item in model.inputs}
    shown: dict[str, Any] = {"name": situation.name}
    if situation.stands_for:
        shown["stands for"] = situation.stands_for
    shown["set"] = [f"{name} {value_text(value, kinds.get(name, ''))}" for name, value in situation.settings]
    if situation.memory:
        shown["memory"] = [f"{name} {value}" for name, value in situation.memory]
    if situation.lasts_s:
        shown["lasts"] = show(situation.lasts_s, "time")
    return shown


def _memory(model: Model, memory: Memory) -> dict[str, Any]:
    moves = []
    for move in memory.moves:
        only = f", if {_said(model, move.condition)}" if move.condition is not None else ""
        goes = f"to {move.to}" if move.to else f"to the next of {', '.join(move.next)}"
        moves.append(f"on {_said(model, move.on)}{only}: {goes}")
    return {"name": memory.name, "values": list(memory.values), "start": memory.start, "moves": moves}


def _input(model: Model, item: Input) -> dict[str, Any]:
    del model
    values = (
        list(item.values) or f"{value_text(item.low, item.number_kind)} to {value_text(item.high, item.number_kind)}"
    )
    return {
        "name": item.name,
        "kind": item.kind,
        "values": values,
        "at rest": value_text(item.rest, item.number_kind),
        "asleep": item.asleep,
        "lost": value_text(item.lost, item.number_kind),
        "source": item.source or item.at,
    }


def _said(model: Model, condition: Any) -> str:
    return print_condition(condition, kinds={item.name: item.number_kind for item in model.inputs if item.number_kind})
