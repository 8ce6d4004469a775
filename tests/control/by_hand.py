"""Small builds by hand for tests of control (random ones: tests/control/machines.py).

    model = build(
        inputs=[slide("slide", "off", "low", "full"), on_off("brake")],
        heads=["tail"],
        functions=[function("warning", "warn", by="slide", levels={"low": [show("tail", red="single")]})],
    )

Conditions are the text of the language, read by the file door's own reader.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from coachwright.build.condition import Condition, Constant, HeadStatement, around, children
from coachwright.build.condition_text import Place, Scope, read_condition
from coachwright.build.model import (
    COLOURS,
    AtMost,
    ColourShow,
    Equipment,
    Function,
    Head,
    Input,
    Job,
    Level,
    Limit,
    Memory,
    Message,
    Model,
    Move,
    Promise,
    Show,
    Situation,
    Sound,
    Stop,
    VehicleOutput,
    Word,
)
from coachwright.build.model_fitted import Feed
from coachwright.build.pattern_text import read_show
from coachwright.control.machine import (
    build_machine,
    memory_of,
    power_up,
    start_inputs,
    step,
    values_read,
)
from coachwright.control.sources import Fault, change, let_go
from coachwright.parts.schema import BodyPart, ControllerPart

RANKS = ("road", "open", "task", "traffic", "warn", "ease")
Text = str


# ---- inputs


def slide(name: str, *positions: str, kind: Any = "slide", **written: Any) -> Input:
    """A slide; at rest and at start in its first position."""
    return Input(name, kind, positions, "", **{**_control(positions[0], lost="hold"), **written})


def pick_one(name: str, *positions: str, **written: Any) -> Input:
    """A pick-one; at rest and at start in its first position."""
    return slide(name, *positions, kind="pick-one", **written)


def toggle(name: str, **written: Any) -> Input:
    """A toggle that starts off."""
    return Input(name, "toggle", ("off", "on"), "", **{**_control("off", lost="off"), **written})


def button(name: str, **written: Any) -> Input:
    """A button nobody presses."""
    return Input(name, "button", ("off", "on"), "", **{**_control("off", lost="off"), **written})


def disconnect(name: str, **written: Any) -> Input:
    """A rotary disconnect, off at rest."""
    return Input(name, "rotary-disconnect", ("off", "on"), "", **{**_control("off", lost="off"), **written})


def on_off(name: str, **written: Any) -> Input:
    """A vehicle signal that is on or off."""
    return Input(name, "on-off", ("off", "on"), "", **{**_signal("off"), **written})


def states(name: str, *values: str, **written: Any) -> Input:
    """A vehicle signal with states, the first of them at rest."""
    return Input(name, "states", values, "", **{**_signal(values[0]), **written})


def number(name: str, kind: str = "speed", rest: float = 0.0, **written: Any) -> Input:
    """A number, in SI."""
    return Input(name, "number", (), kind, **{**_signal(rest), "high": 100.0, **written})


def turn_wires(*, edge_hold_ms: int = 900, together_ms: int = 60, **written: Any) -> list[Input]:
    """Both turn wires and the hazard that comes of them."""
    fixed = {**_signal("off"), "edge_hold_ms": edge_hold_ms, "together_ms": together_ms, **written}
    wires = [Input(name, "turn-wire", ("off", "on"), "", **fixed) for name in ("turn-left", "turn-right")]
    return [*wires, Input("hazard", "hazard", ("off", "on"), "", **_signal("off"))]


def _control(start: str, *, lost: str) -> dict[str, Any]:
    return {"start": start, "asleep": "reads-off", "lost": lost, "rest": start, "hand": "hand", "path": "controls"}


def _signal(rest: str | float) -> dict[str, Any]:
    return {"start": rest, "asleep": "as-is", "lost": "hold", "rest": rest, "hand": "vehicle", "path": "signals"}


# ---- functions and what they do


def show(*heads: str, dark: bool = False, beside: bool = False, **colours: str) -> Show:
    """A show by its texts: ``show("tail", red="steady 40 %")``."""
    said = []
    for colour, text in colours.items():
        read = read_show(text)
        assert not isinstance(read, tuple), [str(problem) for problem in read]
        assert colour in COLOURS
        said.append(
            ColourShow(colour, read.manner, read.pattern, read.sides, read.share, read.signal, f"show.{colour}")
        )
    return Show(heads, tuple(said), dark, beside, "show", " ".join(heads))


def function(
    name: str,
    rank: str = "warn",
    when: str = "",
    *,
    show: Show | Sequence[Show] = (),
    by: str = "",
    levels: Mapping[str, Sequence[Show]] | None = None,
    one_level: bool = False,
    at_most: Mapping[str, str] | None = None,
    wins_over: Sequence[str] = (),
    sound: Mapping[str, str] | None = None,
    runs: Sequence[str] = (),
    interrupts: Sequence[str] = (),
    says: Sequence[str] = (),
) -> dict[str, Any]:
    """A function as written; `sound` maps a siren to its tone."""
    return {
        "name": name,
        "rank": rank,
        "when": when,
        "shows": (show,) if isinstance(show, Show) else tuple(show),
        "by": by,
        "levels": {position: tuple(shows) for position, shows in (levels or {}).items()},
        "one_level": one_level,
        "at_most": at_most or {},
        "wins_over": tuple(wins_over),
        "sound": sound or {},
        "runs": tuple(runs),
        "interrupts": tuple(interrupts),
        "says": tuple(says),
    }


def memory(name: str, *values: str, moves: Sequence[Mapping[str, Any]], start: str = "") -> dict[str, Any]:
    """A memory as written: moves are ``{"on": ..., "if": ..., "to": ...}`` or with ``"next": [...]``."""
    return {"name": name, "values": values, "start": start or values[0], "moves": moves}


def stop(name: str, when: str | Condition, *stops: str, resume: Any = "self") -> dict[str, Any]:
    """A stop; what it names may be functions or ranks."""
    return {"name": name, "when": when, "stops": stops, "resume": resume}


def limit(name: str, when: str | Condition, share: float, *of: str, but_not: Sequence[str] = ()) -> dict[str, Any]:
    """A limit on these ranks."""
    return {"name": name, "when": when, "share": share, "of": of, "but_not": tuple(but_not)}


def message(name: str, when: str | Condition = "") -> dict[str, Any]:
    """A message."""
    return {"name": name, "when": when}


def promise(name: str, **written: str) -> dict[str, Any]:
    """A promise: when and then (within, in ms), or never (but), or after, until and never."""
    return {"name": name, **written}


def situation(
    name: str, memory: Mapping[str, str] | None = None, stands_for: str = "", **settings: str | float
) -> Situation:
    """A situation; underscores in names stand for hyphens."""
    said = tuple((key.replace("_", "-"), value) for key, value in settings.items())
    return Situation(name, said, tuple((memory or {}).items()), stands_for, 0.0, f"situations.{name}")


def head(name: str, *, together: bool = False) -> Head:
    """A head with every colour. `together` : it can burn several at once."""
    return Head(
        name, name, "", 0, "lamp", 0, "place", 0.0, 0.0, COLOURS, together, "own", "controller", 0.0, f"lamps.{name}"
    )


# ---- the whole build


def build(
    *,
    inputs: Sequence[Input | Sequence[Input]] = (),
    heads: Sequence[str | Head] = (),
    words: Mapping[str, str | Condition] | None = None,
    memories: Sequence[Mapping[str, Any]] = (),
    functions: Sequence[Mapping[str, Any]] = (),
    stops: Sequence[Mapping[str, Any]] = (),
    limits: Sequence[Mapping[str, Any]] = (),
    messages: Sequence[Mapping[str, Any]] = (),
    promises: Sequence[Mapping[str, Any]] = (),
    situations: Sequence[Situation] = (),
    equipment: Sequence[str] = (),
    outputs: Sequence[str] = (),
    ranks: Sequence[str] = RANKS,
    groups: Mapping[str, Sequence[str]] | None = None,
    least_supply_v: float = 0.0,
    awake_while: str | Condition = "",
    sleeps_after_s: float = 0.0,
) -> Model:
    """A model with just these things; every condition is read as text.

    awake_while : the controller's feed says that it sleeps so long after this; without it, it never does.
    """
    all_inputs = tuple(item for each in inputs for item in ((each,) if isinstance(each, Input) else each))
    all_heads = tuple(head(each) if isinstance(each, str) else each for each in heads)
    selectors = {each.id: (each.id,) for each in all_heads} | {name: tuple(ids) for name, ids in (groups or {}).items()}
    selectors |= dict.fromkeys(("all", "any"), tuple(each.id for each in all_heads))
    reader = _Reader(
        _scope(all_inputs, words or {}, memories, functions=functions, equipment=equipment, selectors=selectors),
        selectors,
    )
    controller = ControllerPart.model_construct(kind="controller", name="controller", least_voltage=least_supply_v)
    sleeps = awake_while != ""
    fitted = [*equipment, *(["controller"] if least_supply_v or sleeps else [])]
    feeds = [_feed(reader.read(awake_while, "feed"), sleeps_after_s)] if sleeps else []
    return Model(
        file="build.yaml",
        digest="",
        version=1,
        job=Job("", "", "", "", "", "USD", "", ()),
        count=1,
        body=BodyPart.model_construct(),
        packs=(),
        parts=(("controller", controller),),
        heads=all_heads,
        groups=tuple((name, tuple(ids)) for name, ids in (groups or {}).items()),
        inputs=tuple(
            replace(item, tell_tale_condition=reader.read(item.tell_tale, "tell-tale"))
            if item.tell_tale not in ("", "follows", "picture")
            else item
            for item in all_inputs
        ),
        words=tuple(Word(name, reader.read(text, "word"), f"words.{name}") for name, text in (words or {}).items()),
        memories=tuple(_memory(each, reader) for each in memories),
        ranks=tuple(ranks),
        functions=tuple(_function(each, reader, memories) for each in functions),
        messages=tuple(
            Message(each["name"], reader.maybe(each["when"], "message"), each["name"], "once", 0, "", "messages")
            for each in messages
        ),
        limits=tuple(
            Limit(
                each["name"], reader.read(each["when"], "limit"), each["share"], each["of"], each["but_not"], "limits"
            )
            for each in limits
        ),
        stops=tuple(_stop(each, reader, ranks) for each in stops),
        equipment=tuple(
            Equipment(name, name, "", (), True, True, f"equipment.{name}", feed="hot" if name == "controller" else "")
            for name in fitted
        ),
        feeds=tuple(feeds),
        outputs=tuple(VehicleOutput(name, "series", "vehicle-lamps") for name in outputs),
        situations=tuple(situations),
        promises=tuple(_promise(each, reader) for each in promises),
        waivers=(),
    )


def _feed(awake_while: Condition, sleeps_after_s: float) -> Feed:
    always = Constant(value=True)
    return Feed(
        "hot",
        "main-battery",
        "main-battery",
        always,
        True,
        None,
        0.0,
        None,
        "",
        0.0,
        awake_while,
        sleeps_after_s,
        "",
        "",
    )


class _Reader:
    def __init__(self, scope: Scope, selectors: Mapping[str, tuple[str, ...]]) -> None:
        self.scope = scope
        self.selectors = selectors

    def read(self, text: str | Condition, place: Place) -> Condition:
        if not isinstance(text, str):
            return text  # a random machine's, made as a tree
        condition = read_condition(text, place=place, scope=self.scope)
        assert not isinstance(condition, tuple), f"{text}: {[str(problem) for problem in condition]}"
        return self._filled(condition)

    def maybe(self, text: str | Condition, place: Place) -> Condition | None:
        return self.read(text, place) if text != "" else None

    def _filled(self, condition: Condition) -> Condition:
        """Head statements with the heads of their selector."""
        if isinstance(condition, HeadStatement):
            return replace(condition, heads=self.selectors[condition.selector])
        return around(condition, tuple(self._filled(item) for item in children(condition)))


def _scope(
    inputs: tuple[Input, ...],
    words: Mapping[str, Any],
    memories: Sequence[Mapping[str, Any]],
    *,
    functions: Sequence[Mapping[str, Any]],
    equipment: Sequence[str],
    selectors: Mapping[str, Any],
) -> Scope:
    return Scope(
        inputs={item.name: item.values or item.number_kind for item in inputs},
        memories={each["name"]: tuple(each["values"]) for each in memories},
        words=frozenset(words),
        functions=frozenset(each["name"] for each in functions),
        equipment=frozenset(equipment),
        selectors=frozenset(selectors),
        ordered=frozenset(item.name for item in inputs if item.kind in ("slide", "pick-one")),
        pushed=frozenset(item.name for item in inputs if item.kind in ("toggle", "button")),
    )


def _memory(each: Mapping[str, Any], reader: _Reader) -> Memory:
    moves = tuple(
        Move(
            reader.read(move["on"], "memory-on"),
            reader.maybe(move.get("if", ""), "memory-if"),
            move.get("to", ""),
            tuple(move.get("next", ())),
            "memory",
        )
        for move in each["moves"]
    )
    return Memory(each["name"], tuple(each["values"]), each["start"], False, moves, f"memory.{each['name']}")


def _function(each: Mapping[str, Any], reader: _Reader, memories: Sequence[Mapping[str, Any]]) -> Function:
    tones = {memory["name"] for memory in memories}
    return Function(
        name=each["name"],
        rank=each["rank"],
        when=reader.maybe(each["when"], "function"),
        by=each["by"],
        levels=tuple(Level(position, shows, "levels") for position, shows in each["levels"].items()),
        one_level=each["one_level"],
        at_most=tuple(AtMost(level, reader.read(text, "function"), "at") for level, text in each["at_most"].items()),
        wins_over=each["wins_over"],
        shows=each["shows"],
        sounds=tuple(
            Sound(siren, "" if tone in tones else tone, tone if tone in tones else "", "sound")
            for siren, tone in each["sound"].items()
        ),
        runs=each["runs"],
        interrupts=each["interrupts"],
        says=each["says"],
        path=f"functions.{each['name']}",
    )


def _stop(each: Mapping[str, Any], reader: _Reader, ranks: Sequence[str]) -> Stop:
    named = tuple(name for name in each["stops"] if name not in ranks)
    of_rank = tuple(name for name in each["stops"] if name in ranks)
    return Stop(
        each["name"], reader.read(each["when"], "stop"), named, of_rank, each["resume"], f"stops.{each['name']}"
    )


def _promise(each: Mapping[str, Any], reader: _Reader) -> Promise:
    kind = "then" if "then" in each else "between" if "after" in each else "never"
    return Promise(
        each["name"],
        kind,  # type: ignore[arg-type]
        f"promises.{each['name']}",
        when=reader.maybe(each.get("when", ""), "promise-when"),
        then=reader.maybe(each.get("then", ""), "promise-then"),
        within_ms=each.get("within"),
        never=reader.maybe(each.get("never", ""), "promise-never"),
        but=tuple(each.get("but", ())),
        after=reader.maybe(each.get("after", ""), "promise-after"),
        until=reader.maybe(each.get("until", ""), "promise-until"),
    )


# ---- a story told by hand


class Told:
    """A machine at work: `told = Told(model, gear="D")`, then ``told.after(200, slide="full")`` and look at it.

    Underscores in names stand for hyphens. A toggle is ``pressed`` or ``released``; ``on``, ``off`` name what it keeps.
    """

    def __init__(self, model: Model, **settings: Any) -> None:
        self.machine = build_machine(model)
        self.true, kept = start_inputs(self.machine, _hyphens(settings))
        self.state, self.outputs = power_up(self.machine, self.true, kept=kept)

    def after(
        self, elapsed_ms: int, *, faults: Sequence[Fault] = (), asleep: bool | None = None, **settings: Any
    ) -> Told:
        """Let time pass, then change these sources; those that aren't named stay, fingers on toggles let go."""
        inputs = self.machine.inputs
        released = let_go(inputs, self.true)
        self.state, _ = step(self.machine, self.state, released, elapsed_ms, faults=faults)
        self.true = change(inputs, released, self.state.reading.kept, _hyphens(settings))
        if asleep is not None:
            self.true = replace(self.true, asleep=asleep)
        self.state, self.outputs = step(self.machine, self.state, self.true, 0, faults=faults)
        return self

    def now(self, **settings: Any) -> Told:
        """Change these sources without time passing."""
        return self.after(0, **settings)

    def wait(self, elapsed_ms: int) -> Told:
        """Let time pass, with nothing touched."""
        self.state, self.outputs = step(self.machine, self.state, self.true, elapsed_ms)
        return self

    def reads(self, name: str) -> str | float:
        """What an input reads."""
        return values_read(self.machine, self.state)[name]

    def memory(self, name: str) -> str:
        """Value of a memory."""
        return memory_of(self.machine, self.state)[name]

    def owners(self, head_id: str) -> tuple[str, ...]:
        """Who has a head."""
        return self.outputs.head(head_id).owners

    def colours(self, head_id: str) -> dict[str, str]:
        """Colours a head shows, each with its owner."""
        return {part.colour: part.owner for part in self.outputs.head(head_id).parts}

    def acts(self, name: str) -> bool:
        """Is a function active?"""
        return name in self.outputs.active

    def held_off(self, name: str) -> bool:
        """Would it act but for its hold-off?"""
        return name in self.outputs.held_off


def _hyphens(settings: Mapping[str, Any]) -> dict[str, Any]:
    return {name.replace("_", "-"): value for name, value in settings.items()}
