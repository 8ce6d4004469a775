"""Random small builds and stories for laws about control.

`models()` gives builds with every kind of input, word, timer, memory, stop, limit and show; `stories(model)` what
happens to one: changes at the sources, losses, sleep, with times of some milliseconds. Everything is small (times below
25 ms, three heads) so that a slow reference can follow and hypothesis can shrink to something a person reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.model import Input, Model, Show
from tests.control import by_hand

HEADS = ("tail", "bar", "side")
COLOURS = ("red", "amber", "white")
PATTERNS = ("single", "double sides", "steady 100 %", "steady 40 %", "run-left")
TIMES = st.integers(1, 20)
RANKS = ("road", "open", "warn")
EVERY_INPUT: tuple[Any, ...] = (
    by_hand.slide("slide", "off", "low", "full"),
    by_hand.slide("lever", "a", "b", lost="a", asleep="as-is", debounce_ms=3),
    by_hand.pick_one("arrow", "none", "left", "right", start="left"),
    by_hand.pick_one("mode", "one", "two", start="last", lost="two", asleep="as-is"),
    by_hand.toggle("scene", tell_tale="follows"),
    by_hand.toggle("cruise", start="last", lost="hold", asleep="as-is"),
    by_hand.button("ring", lost="hold", debounce_ms=4),
    by_hand.button("key", asleep="as-is"),
    by_hand.disconnect("main"),
    by_hand.on_off("brake", lost="on", debounce_ms=2),
    by_hand.on_off("belt"),
    by_hand.states("gear", "P", "R", "D", lost="P-unless-moving"),
    by_hand.states("hatch", "closed", "open", lost="closed"),
    by_hand.number("speed"),
    by_hand.number("supply", "voltage", rest=13.0),
    by_hand.turn_wires(edge_hold_ms=20, together_ms=5),
)


@dataclass(frozen=True)
class Change:
    """One step of a story: the sources after it, and how long the old ones stood before."""

    elapsed_ms: int
    sources: dict[str, Any]
    lost: frozenset[str]
    asleep: bool


def can_stand(item: Input) -> tuple[Any, ...]:
    """What can stand at a source."""
    match item.kind:
        case "toggle" | "button":
            return ("released", "pressed")
        case "turn-wire":
            return ("low", "high", "low", "high", "flashing")
        case "hazard":
            return ("off",)
        case "number":
            return (0.0, 5.0, 13.0)
        case _:
            return item.values


def at_rest(item: Input) -> Any:
    """What stands at a source when nobody does anything."""
    fingers = {"toggle": "released", "button": "released", "turn-wire": "low"}
    return fingers.get(item.kind, item.rest)


FOCUS: dict[str, tuple[str, ...]] = {
    "anything": (),
    "turns": ("turn-left",),
    "reading": ("lever", "ring", "brake", "gear", "speed", "mode", "arrow"),
    "memory": ("key", "hatch"),
    "hold-offs": ("slide", "arrow", "scene", "key"),
    "heads": ("belt", "hatch", "key"),
    "supply": ("supply", "cruise", "mode", "key"),
}
"""What a random build may be about: the inputs it has, all of them; of `anything` some of all there are."""


def inputs_of(focus: str) -> list[Input]:
    """The inputs of a focus, each kind with its companions (both turn wires come together)."""
    grouped = [[each] if isinstance(each, Input) else list(each) for each in EVERY_INPUT]
    return [item for group in grouped if group[0].name in FOCUS[focus] for item in group]


@st.composite
def stories(draw: st.DrawFn, model: Model, *, most_steps: int = 8, still: bool = False) -> list[Change]:
    """Steps one after the other. `still` : no losses and no sleep."""
    sources = {item.name: at_rest(item) for item in model.inputs}
    movable = [item for item in model.inputs if len(can_stand(item)) > 1]
    lost: set[str] = set()
    asleep = False
    story = []
    times = st.sampled_from([0, 0, 1, 2, 3, 4, 5, 6, 7, 9, 12, 15, 20, 24])
    for _ in range(draw(st.integers(1, most_steps))):
        for _ in range(draw(st.sampled_from([0, 1, 1, 1, 2, 3]))):
            item = draw(st.sampled_from(movable))
            sources[item.name] = draw(st.sampled_from([each for each in can_stand(item) if each != sources[item.name]]))
        if not still and draw(st.integers(0, 7)) == 0:
            lost ^= {draw(st.sampled_from(movable)).name}
        if not still and draw(st.integers(0, 9)) == 0:
            asleep = not asleep
        story.append(Change(draw(times), dict(sources), frozenset(lost), asleep))
    return story


@st.composite
def models(
    draw: st.DrawFn,
    *,
    focus: str = "anything",
    one_per_rank: bool = False,
    most_functions: int = 5,
    most_words: int = 3,
    with_inputs: Sequence[Input] = (),
    sleeps: bool = False,
) -> Model:
    """A random build about one thing (`FOCUS`).

    one_per_rank : functions of few enough to have a rank each first. with_inputs : these and no others.
    sleeps : its controller may sleep, at any time or while something on or off doesn't hold.
    """
    if with_inputs:
        inputs = list(with_inputs)
    elif focus == "anything":
        chosen = draw(st.lists(st.sampled_from(EVERY_INPUT), min_size=2, max_size=6, unique_by=str))
        inputs = [item for each in chosen for item in ([each] if isinstance(each, Input) else each)]
    else:
        inputs = inputs_of(focus)
    memories_n = draw(st.integers(2, 3)) if focus == "memory" else draw(st.integers(0, 2))
    values = {f"m{number}": ("x", "y", "z")[: draw(st.integers(2, 3))] for number in range(memories_n)}
    words: dict[str, Condition] = {}
    for number in range(draw(st.integers(0, most_words))):
        words[f"w{number}"] = draw(conditions(inputs, values, tuple(words)))
    reading = conditions(inputs, values, tuple(words))
    least = {"memory": 1, "heads": 4}.get(focus, 1)
    names = [f"f{number}" for number in range(draw(st.integers(least, 2 if focus == "memory" else most_functions)))]
    ranks = [RANKS[at % len(RANKS)] if one_per_rank else draw(st.sampled_from(RANKS)) for at in range(len(names))]
    functions = [
        draw(_functions(name, rank, inputs=inputs, memories=values, reading=reading))
        for name, rank in zip(names, ranks, strict=True)
    ]
    for each in functions:
        rivals = [other["name"] for other in functions if other is not each]
        if rivals and draw(st.booleans()):
            each["wins_over"] = tuple(draw(st.lists(st.sampled_from(rivals), unique=True, max_size=2)))
    stop_when = (reading, st.just(Truth("key"))) if focus == "hold-offs" else (reading,)
    of_functions = st.builds(FunctionState, st.sampled_from(names), st.sampled_from(["active", "held-off"]))
    late = st.one_of(reading, of_functions, _timed(of_functions), st.builds(Not, _timed(of_functions)))
    return by_hand.build(
        inputs=inputs,
        heads=[by_hand.head(name, together=name != "side") for name in HEADS],
        words=words,
        memories=[draw(_memories(name, values[name], inputs, reading)) for name in values],
        functions=functions,
        stops=draw(st.lists(_stops(names, *stop_when), min_size=focus == "hold-offs", max_size=2)),
        limits=draw(st.lists(_limits(names, reading), max_size=2)),
        messages=[by_hand.message("said"), by_hand.message("late", draw(late))],
        ranks=RANKS,
        least_supply_v=9.0 if focus == "supply" else 0.0,
        awake_while=draw(_awake_while(inputs)) if sleeps else "",
    )


def _awake_while(inputs: list[Input]) -> st.SearchStrategy[Condition]:
    keys: list[Condition] = [Truth(item.name) for item in inputs if item.kind in ("on-off", "button")]
    return st.sampled_from([Constant(value=False), Constant(value=False), *keys])


@st.composite
def _stops(draw: st.DrawFn, names: list[str], *when: st.SearchStrategy[Condition]) -> dict[str, Any]:
    named = draw(st.lists(st.sampled_from([*names, *names, *RANKS]), min_size=1, max_size=3, unique=True))
    resume = draw(st.sampled_from(["self", "ask", "ask"]))
    return by_hand.stop(f"s{draw(st.integers(0, 10**6))}", draw(st.one_of(*when)), *named, resume=resume)


@st.composite
def _limits(draw: st.DrawFn, names: list[str], reading: st.SearchStrategy[Condition]) -> dict[str, Any]:
    of = draw(st.lists(st.sampled_from(RANKS), min_size=1, max_size=2, unique=True))
    but_not = draw(st.lists(st.sampled_from(names), max_size=1))
    share = draw(st.sampled_from([0.25, 0.5]))
    return by_hand.limit(f"l{draw(st.integers(0, 10**6))}", draw(reading), share, *of, but_not=but_not)


def conditions(
    inputs: list[Input], memories: dict[str, tuple[str, ...]], words: tuple[str, ...]
) -> st.SearchStrategy[Condition]:
    """Something that lasts: no event in it."""
    leaves = st.sampled_from(_leaves(inputs, memories, words))
    inner = leaves | _timed(leaves) | st.builds(Not, leaves)
    pair = st.tuples(inner, inner)
    return st.one_of(leaves, inner, st.builds(And, pair), st.builds(Or, pair), _timed(st.builds(And, pair)))


def _timed(inside: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.builds(Held, inside, TIMES), st.builds(First, inside, TIMES), st.builds(Plus, inside, TIMES))


def _leaves(inputs: list[Input], memories: dict[str, tuple[str, ...]], words: tuple[str, ...]) -> list[Condition]:
    found: list[Condition] = [Constant(True), *(Truth(word) for word in words)]
    for item in inputs:
        if item.values == ("off", "on"):
            found.append(Truth(item.name))
        elif item.values:
            found += [Compare(item.name, "==", item.values[-1]), OneOf(item.name, item.values[:2])]
        else:
            found.append(Compare(item.name, "<", 6.0))
        if item.kind == "slide":
            found += [Compare(item.name, ">=", item.values[1]), Compare(item.name, "<", item.values[1])]
    for name, values in memories.items():
        found += [Compare(name, "==", values[0]), Compare(name, "!=", values[1])]
    return found


def _events(inputs: list[Input], reading: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
    fired: list[Condition] = []
    for item in inputs:
        if item.kind in ("toggle", "button"):
            fired += [Event("pressed", item.name), Event("released", item.name)]
        elif item.kind in ("slide", "pick-one", "states"):
            fired += [Event("leaves", item.name, value) for value in item.values[:2]]
    becomes = st.builds(lambda item: Event("becomes", "", item=item), reading)
    return st.sampled_from(fired) | becomes if fired else becomes


@st.composite
def _memories(
    draw: st.DrawFn, name: str, values: tuple[str, ...], inputs: list[Input], reading: st.SearchStrategy[Condition]
) -> dict[str, Any]:
    moves: list[dict[str, Any]] = []
    events = _events(inputs, reading)
    for _ in range(draw(st.integers(1, 5))):
        move: dict[str, Any] = {"on": draw(st.one_of(events, events, reading))}
        if draw(st.booleans()):
            move["if"] = draw(reading)
        if isinstance(move["on"], Event) and draw(st.integers(0, 3)) == 0:
            move["next"] = draw(st.lists(st.sampled_from(values), min_size=1, max_size=3, unique=True))
        else:
            move["to"] = draw(st.sampled_from(values))
        moves.append(move)
    return by_hand.memory(name, *values, moves=moves, start=draw(st.sampled_from(values)))


@st.composite
def _functions(
    draw: st.DrawFn,
    name: str,
    rank: str,
    *,
    inputs: list[Input],
    memories: dict[str, tuple[str, ...]],
    reading: st.SearchStrategy[Condition],
) -> dict[str, Any]:
    levers = [item for item in inputs if item.kind in ("slide", "pick-one")]
    written: dict[str, Any] = {
        "rank": rank,
        "sound": draw(st.sampled_from([{}, {}, {"siren": "wail"}, {"siren": next(iter(memories), "yelp")}])),
        "runs": draw(st.sampled_from([(), (), ("fan",)])),
        "interrupts": draw(st.sampled_from([(), (), (), ("fan",)])),
        "says": draw(st.sampled_from([(), (), ("said",)])),
    }
    if levers and draw(st.booleans()):
        lever = draw(st.sampled_from(levers))
        levels = draw(st.lists(st.sampled_from(lever.values[1:]), min_size=1, unique=True))
        written |= {
            "by": lever.name,
            "levels": {position: [draw(shows())] for position in levels},
            "one_level": draw(st.booleans()),
            "at_most": {levels[0]: draw(reading)} if draw(st.integers(0, 3)) == 0 else {},
            "when": draw(reading) if draw(st.booleans()) else "",
        }
    else:
        written |= {"when": draw(reading), "show": draw(st.lists(shows(), max_size=2))}
    return by_hand.function(name, **written)


@st.composite
def shows(draw: st.DrawFn) -> Show:
    """One show on one to three heads."""
    heads = draw(st.lists(st.sampled_from(HEADS), min_size=1, max_size=3, unique=True))
    if draw(st.integers(0, 5)) == 0:
        return by_hand.show(*heads, dark=True)
    colours = draw(st.lists(st.sampled_from(COLOURS), min_size=1, max_size=2, unique=True))
    said = {colour: draw(st.sampled_from(PATTERNS)) for colour in colours}
    return by_hand.show(*heads, beside=draw(st.booleans()), **said)
