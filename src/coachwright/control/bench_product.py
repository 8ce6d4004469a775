"""Can a mistake of memory ever be seen? Two machines side by side as one build, and a promise that they never differ.

The build is written twice, the second time with the mistake and with names, heads and sirens of its own; both read the
same inputs. What the promise compares is every light, siren and run; it holds where facts that every step keeps say so.

See Also
--------
coachwright.control.unrolled : the step as a circuit. coachwright.control.bench_always : facts that are kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    FunctionState,
    HeadStatement,
    Manner,
    Not,
    Or,
    Truth,
)
from coachwright.build.model import ColourShow, Function, Model, Promise, Show
from coachwright.control.bench_always import candidates, kept_by
from coachwright.control.bench_leaves import renamed
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.lemmas import read_by_moves
from coachwright.control.machine import build_machine
from coachwright.control.mutations import Mutation
from coachwright.control.promised import Promised
from coachwright.control.ranks import ROAD
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.unrolled import Unrolled

TWIN = "-twin"
MOST_FACTS = 4000
SIDE_BY_SIDE = "proved for both builds side by side: no story leads to where they would be seen to differ"


def never_apart(model: Model, mutation: Mutation) -> str:
    """How it was proved that nothing that is seen ever differs; "" when it wasn't."""
    changed = mutation.changed
    if changed is None or changed.ranks != model.ranks or _shown(changed) != _shown(model):
        return ""
    if changed.messages != model.messages:
        return ""
    return SIDE_BY_SIDE if _proved(twins(model, changed), [memory.name for memory in model.memories]) else ""


def _proved(both: Model, memories: Sequence[str]) -> bool:
    """By facts that hold at power-up and that every step keeps: while this holds, both memories stand alike."""
    (promise,) = both.promises
    moment = Moment(both, build_machine(both))
    shown = Shown(moment)
    promised = Promised(moment, shown, promise)
    if promised.broken == FALSE:
        return True
    unrolled = Unrolled(moment, promised)
    left = kept_by(unrolled, _facts(moment, memories), None, unrolled.start())
    before = unrolled.anywhere()
    after = unrolled.after(before)
    while True:
        kept = kept_by(unrolled, left, before, after)
        if kept == left:
            break
        left = kept
    solver = Solver(moment.circuit, [*moment.rules, *moment.rules_at_rest, *left])
    try:
        return not solver.can_be(promised.broken)
    finally:
        solver.close()


def _facts(moment: Moment, memories: Sequence[str]) -> list[int]:
    """Each value of a memory stands in both or in neither: always, or while a word, an input or a function says so."""
    circuit = moment.circuit
    guards = [TRUE]
    for condition in moment.words.values():
        guards += [moment.condition(condition), -moment.condition(condition)]
    guards += [literal for name in read_by_moves(moment, memories) for literal in moment.inputs[name].literals]
    guards += [each.wanting for each in moment.functions.values()]
    found: dict[int, None] = {}
    for name in memories:
        one, other = moment.memories[name], moment.memories[f"{name}{TWIN}"]
        for guard in dict.fromkeys(guards):
            for mine, twin in zip(one.literals, other.literals, strict=True):
                fact = circuit.implies(guard, circuit.same(mine, twin))
                if fact not in (TRUE, FALSE):
                    found[fact] = None
    for one_bit, other_bit in _waiting_pairs(moment):
        found[circuit.same(one_bit, other_bit)] = None
    for each in candidates(moment):
        found.setdefault(each)
    return list(found)[:MOST_FACTS]


def _waiting_pairs(moment: Moment) -> list[tuple[int, int]]:
    bits = moment.held_off_bits
    return [(bit, bits[f"{name}{TWIN}"]) for name, bit in bits.items() if f"{name}{TWIN}" in bits]


def twins(model: Model, other: Model) -> Model:
    """Both as one build with the promise that they never differ."""
    names = {word.name for word in other.words} | {memory.name for memory in other.memories}
    names |= {function.name for function in other.functions}
    names |= {sound.siren for function in other.functions for sound in function.sounds}
    names |= {name for function in other.functions for name in (*function.runs, *function.interrupts)}
    name = {each: f"{each}{TWIN}" for each in names}
    heads = {head.id: f"{head.id}{TWIN}" for head in other.heads}

    def of(condition: Condition | None) -> Condition | None:
        return None if condition is None else renamed(condition, name)

    functions = tuple(_twin(function, name, heads) for function in other.functions)
    base_all = tuple(function.name for function in model.functions)
    twin_all = tuple(function.name for function in functions)
    equipment = tuple(replace(each, name=name[each.name]) for each in other.equipment if each.name in name)
    outputs = tuple(replace(each, name=name[each.name]) for each in other.outputs if each.name in name)
    return replace(
        model,
        digest="",
        heads=(*model.heads, *(replace(head, id=heads[head.id]) for head in other.heads)),
        words=(
            *model.words,
            *(replace(word, name=name[word.name], condition=renamed(word.condition, name)) for word in other.words),
        ),
        memories=(
            *model.memories,
            *(
                replace(
                    memory,
                    name=name[memory.name],
                    moves=tuple(
                        replace(move, on=renamed(move.on, name), condition=of(move.condition)) for move in memory.moves
                    ),
                )
                for memory in other.memories
            ),
        ),
        functions=(*(replace(each, says=()) for each in model.functions), *functions),
        stops=(
            *(replace(stop, functions=_ended(model, stop.functions, stop.ranks), ranks=()) for stop in model.stops),
            *(
                replace(
                    stop,
                    name=f"{stop.name}{TWIN}",
                    when=renamed(stop.when, name),
                    functions=tuple(name[each] for each in _ended(other, stop.functions, stop.ranks)),
                    ranks=(),
                )
                for stop in other.stops
            ),
        ),
        limits=(
            *(replace(limit, but_not=(*limit.but_not, *twin_all)) for limit in model.limits),
            *(
                replace(
                    limit,
                    name=f"{limit.name}{TWIN}",
                    when=renamed(limit.when, name),
                    but_not=(*(name[each] for each in limit.but_not), *base_all),
                )
                for limit in other.limits
            ),
        ),
        equipment=(*model.equipment, *equipment),
        outputs=(*model.outputs, *outputs),
        messages=(),
        situations=(),
        promises=(Promise("never-apart", "never", "promises.never-apart", never=_apart(model, name, heads)),),
    )


def _twin(function: Function, name: Mapping[str, str], heads: Mapping[str, str]) -> Function:
    def shows(written: Iterable[Show]) -> tuple[Show, ...]:
        return tuple(replace(show, heads=tuple(heads[head] for head in show.heads)) for show in written)

    return replace(
        function,
        name=name[function.name],
        when=None if function.when is None else renamed(function.when, name),
        at_most=tuple(replace(each, condition=renamed(each.condition, name)) for each in function.at_most),
        wins_over=tuple(name.get(each, each) for each in function.wins_over),
        shows=shows(function.shows),
        levels=tuple(replace(level, shows=shows(level.shows)) for level in function.levels),
        sounds=tuple(
            replace(
                sound,
                siren=name[sound.siren],
                tone_memory=name[sound.tone_memory] if sound.tone_memory else "",
            )
            for sound in function.sounds
        ),
        runs=tuple(name[each] for each in function.runs),
        interrupts=tuple(name[each] for each in function.interrupts),
        says=(),
    )


def _ended(model: Model, functions: Iterable[str], ranks: Iterable[str]) -> tuple[str, ...]:
    """Functions that a stop ends, one by one."""
    named, of_rank = set(functions), set(ranks)
    return tuple(
        each.name for each in model.functions if each.rank != ROAD and (each.name in named or each.rank in of_rank)
    )


def _apart(model: Model, name: Mapping[str, str], heads: Mapping[str, str]) -> Condition:
    """Something is seen of one and not of the other. Of tones: the memories that name them differ while it sounds."""
    found: list[Condition] = []
    said = dict.fromkeys(_statements(model))
    for statement in said:
        head = statement.heads[0]
        found.append(_either(statement, replace(statement, selector=heads[head], heads=(heads[head],))))
    for function in model.functions:
        for sound in function.sounds:
            found.append(_either(Truth(sound.siren), Truth(name[sound.siren])))
            memory = next((each for each in model.memories if each.name == sound.tone_memory), None)
            for value in memory.values if memory is not None else ():
                one, other = Compare(sound.tone_memory, "==", value), Compare(name[sound.tone_memory], "==", value)
                found.append(And((FunctionState(function.name, "active"), one, Not(other))))
        found += [_either(Truth(each), Truth(name[each])) for each in function.runs]
        if function.interrupts:
            found.append(_either(FunctionState(function.name, "active"), FunctionState(name[function.name], "active")))
        if function.says:
            found.append(_either(FunctionState(function.name, "active"), FunctionState(name[function.name], "active")))
    said_when = [message.when for message in model.messages]
    said_when += [item.tell_tale_condition for item in model.inputs]
    found += [_either(each, renamed(each, name)) for each in said_when if each is not None]
    unique = tuple(dict.fromkeys(found))
    return unique[0] if len(unique) == 1 else Or(unique)


def _either(one: Condition, other: Condition) -> Condition:
    return Or((And((one, Not(other))), And((Not(one), other))))


def _statements(model: Model) -> Iterable[HeadStatement]:
    shares = {1.0, *(limit.scale_to_share for limit in model.limits)}
    for function in model.functions:
        for show in (*function.shows, *(show for level in function.levels for show in level.shows)):
            for head in show.heads:
                for colour in show.colours:
                    for share in sorted(shares):
                        yield _statement(head, colour, colour.share * share)


def _statement(head: str, colour: ColourShow, share: float) -> HeadStatement:
    manner: Manner = "steady" if colour.manner == "steady" else "pattern" if colour.pattern is not None else "flashing"
    pattern = colour.pattern.text if colour.pattern is not None else ""
    return HeadStatement(head, colour.colour, manner, pattern=pattern, at_least_share=share, heads=(head,))


def _shown(model: Model) -> tuple[Function, ...]:
    """What functions show and do, whenever they do it."""
    return tuple(replace(each, when=None, at_most=()) for each in model.functions)
