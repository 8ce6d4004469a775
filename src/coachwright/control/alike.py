"""Do two builds behave alike? Proved over every setting, or a short story after which they differ.

Both are laid into one circuit over the same inputs, memories and times. What each head shows, each siren sounds and
each output does is then the same in every moment, or there is a moment in which it isn't; that one is headed for on
both machines, act by act, before it is told. Where memories move otherwise one moment proves nothing: then only a story
can be found, and without one it stays undecided. What is only said (messages, tell-tales) isn't compared.

See Also
--------
coachwright.control.encode : one moment. coachwright.build.diff : what was written differently.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count
from typing import Literal

from coachwright.build.condition import (
    Compare,
    Condition,
    Event,
    Or,
    Truth,
    around,
    children,
)
from coachwright.build.model import Model, Word
from coachwright.control.ambiguity import least_away, target_of
from coachwright.control.choices import thresholds_of
from coachwright.control.circuit import FALSE, Circuit
from coachwright.control.cone import Control, control_of, model_of
from coachwright.control.encode import Moment
from coachwright.control.heads import colour_text
from coachwright.control.machine import (
    Machine,
    State,
    build_machine,
    ends_next_ms,
    memory_of,
    power_up,
    start_inputs,
    values_read,
)
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.statement import HeadState, Outputs
from coachwright.control.story import Act, Target, act_out, set_to, waiting
from coachwright.kit.once import once

Ends = Literal["alike", "different", "undecided"]

STEPS_MOST = 3000
"""Acts tried, at most, on both machines."""
_STRAIGHT = 4


@dataclass(frozen=True, slots=True)
class Alike:
    """How two builds compare.

    Parameters
    ----------
    acts : of a difference, what to do from power-up at rest. old, new : what the outputs that differ do then.
    why : of an undecided one.
    left_out : heads, sirens and outputs that only one of them has; they are no part of the comparison.
    """

    ends: Ends
    acts: tuple[str, ...] = ()
    old: tuple[tuple[str, str], ...] = ()
    new: tuple[tuple[str, str], ...] = ()
    why: str = ""
    left_out: tuple[str, ...] = ()


def alike(old: Model, new: Model) -> Alike:
    """Whether `new` behaves as `old` does."""
    return _alike(control_of(old), control_of(new))


@once(max_bytes=4_000_000)
def _alike(old: Control, new: Control) -> Alike:
    one, other = (_without_words(model_of(each)) for each in (old, new))
    one, other = _same_thresholds(one, other)
    left_out = _left_out(one, other)
    differ = _read_otherwise(one, other)
    if differ:
        return Alike("undecided", why=f"{differ} has other values in the two builds", left_out=left_out)
    circuit = Circuit()
    moments = tuple(Moment(model, build_machine(model), circuit) for model in (one, other))
    moved = _moved_otherwise(one, other)
    target = Target()
    if not moved:
        apart = _apart(moments[0], moments[1])
        rules = [rule for moment in moments for rule in (*moment.rules, *moment.rules_at_rest)]
        solver = Solver(circuit, rules)
        try:
            if not solver.can_be(circuit.any_of(apart)):
                return Alike("alike", left_out=left_out)
            solution = least_away(moments[0], solver, [circuit.any_of(apart)])
            target = target_of(moments[0], solution) if solution is not None else target
        finally:
            solver.close()
    found = _Pair(moments, left_out).story(target)
    if found is not None:
        return replace(found, left_out=left_out)
    why = f"{moved} moves otherwise, and" if moved else "a setting in which they would differ was found, but"
    return Alike("undecided", why=f"{why} no story of {STEPS_MOST} acts tried led to a difference", left_out=left_out)


# ------------------------------------------------------------------------------------------------- to one language
def _without_words(model: Model) -> Model:
    """The build with its words written out: one word may mean two things in two builds."""
    words = {word.name: word.condition for word in model.words}

    def out(condition: Condition) -> Condition:
        match condition:
            case Truth(name) if name in words:
                return out(words[name])
            case Event(kind="becomes"):
                return replace(condition, name="", item=out(condition.item or Truth(condition.name)))
            case _:
                return around(condition, tuple(map(out, children(condition))))

    def maybe(condition: Condition | None) -> Condition | None:
        return None if condition is None else out(condition)

    return replace(
        model,
        words=(),
        functions=tuple(
            replace(
                each,
                when=maybe(each.when),
                at_most=tuple(replace(most, condition=out(most.condition)) for most in each.at_most),
            )
            for each in model.functions
        ),
        memories=tuple(
            replace(
                each,
                path="",
                moves=tuple(
                    replace(move, on=out(move.on), condition=maybe(move.condition), path="") for move in each.moves
                ),
            )
            for each in model.memories
        ),
        stops=tuple(replace(each, when=out(each.when)) for each in model.stops),
        limits=tuple(replace(each, when=out(each.when)) for each in model.limits),
        cannot_be=tuple((out(condition), why) for condition, why in model.cannot_be),
        messages=(),
        situations=(),
        promises=(),
        inputs=tuple(replace(each, tell_tale="", tell_tale_condition=None, path="") for each in model.inputs),
    )


def _same_thresholds(one: Model, other: Model) -> tuple[Model, Model]:
    """Both with a word that compares each number with every threshold of either: equal stretches in both."""
    named = {item.name for item in one.inputs} & {item.name for item in other.inputs}
    limits: dict[str, set[float]] = {}
    for model in (one, other):
        for name, numbers in thresholds_of(model).items():
            limits.setdefault(name, set()).update(numbers)
    compares = tuple(
        Compare(name, "<", number)
        for name, numbers in sorted(limits.items())
        if name in named
        for number in sorted(numbers)
    )
    if not compares:
        return one, other
    word = Word("thresholds-of-both", Or((*compares, compares[0])), "")
    return replace(one, words=(word,)), replace(other, words=(word,))


def _left_out(one: Model, other: Model) -> tuple[str, ...]:
    """Outputs that only one of them has."""
    found: list[str] = []
    for names in (
        [{head.id for head in model.heads} for model in (one, other)],
        [_doing(model) for model in (one, other)],
    ):
        found += sorted(names[0] ^ names[1])
    return tuple(found)


def _doing(model: Model) -> set[str]:
    """Everything that can sound, run or be interrupted, used or not."""
    return {each.name for each in model.equipment} | {each.name for each in model.outputs}


def _done(model: Model) -> set[str]:
    """What functions sound, run or interrupt."""
    sirens = {sound.siren for function in model.functions for sound in function.sounds}
    return sirens | {name for function in model.functions for name in (*function.runs, *function.interrupts)}


def _read_otherwise(one: Model, other: Model) -> str:
    """The first input that both have with different values, or that is read in another way."""
    known = {item.name: item for item in other.inputs}
    for item in one.inputs:
        if item.name in known and item != known[item.name]:
            return item.name
    return ""


def _moved_otherwise(one: Model, other: Model) -> str:
    """What keeps a past and isn't the same in both: a memory, or a function that waits to be asked."""
    for kept in (
        [{memory.name: memory for memory in model.memories} for model in (one, other)],
        [_asked(model) for model in (one, other)],
    ):
        for name in sorted(kept[0].keys() | kept[1].keys()):
            if kept[0].get(name) != kept[1].get(name):
                return name
    return ""


def _asked(model: Model) -> dict[str, Hashable]:
    """Per function that a stop holds off: by which stops, and what it reads."""
    found: dict[str, Hashable] = {}
    for function in model.functions:
        stops = tuple(
            stop.when
            for stop in model.stops
            if stop.resume == "ask" and (function.name in stop.functions or function.rank in stop.ranks)
        )
        if stops:
            found[function.name] = (stops, function.when, function.by)
    return found


# ------------------------------------------------------------------------------------------------------ one moment
def _apart(one: Moment, other: Moment) -> list[int]:
    """Literals: an output that both have isn't the same in both."""
    circuit = one.circuit
    shown = (Shown(one), Shown(other))
    found = []
    for head in sorted({each.id for each in one.model.heads} & {each.id for each in other.model.heads}):
        said = [_burning(each, head) for each in shown]
        found += [
            -circuit.same(*(each.get(key, -1) for each in said)) for key in sorted(said[0].keys() | said[1].keys())
        ]
    left_out = _doing(one.model) ^ _doing(other.model)
    for name in sorted((_done(one.model) | _done(other.model)) - left_out):
        tones = [_sounding(each, name) for each in shown]
        found += _each_apart(circuit, tones)
        found.append(-circuit.same(*(each.equipment_says(name, frozenset()) for each in shown)))
        found.append(-circuit.same(*(each.interrupted(name) for each in shown)))
    return found


def _each_apart(circuit: Circuit, said: Sequence[Mapping[str, int]]) -> list[int]:
    """Literals: one of the two says this and the other doesn't."""
    return [-circuit.same(*(each.get(key, FALSE) for each in said)) for key in sorted(said[0].keys() | said[1].keys())]


def _burning(shown: Shown, head: str) -> dict[str, int]:
    """Per light that a head can show, share included: the literal that it does."""
    contested = shown.heads.get(head)
    if contested is None:
        return {}
    circuit, found = shown.circuit, dict[str, list[int]]()
    for function, show, literal in contested.parts:
        for share, scaled in shown.shares(function, show):
            key = f"{colour_text(show)} at {share:.9f}"
            found.setdefault(key, []).append(circuit.all_of((literal, scaled, -contested.ambiguous)))
    return {key: circuit.any_of(literals) for key, literals in found.items()}


def _sounding(shown: Shown, siren: str) -> dict[str, int]:
    contested = shown.sirens.get(siren)
    if contested is None:
        return {}
    owns, found = dict(contested.owns), dict[str, list[int]]()
    for wish in contested.wishes:
        own = shown.circuit.all_of((owns[wish.function], wish.wanted, -contested.ambiguous))
        for tone, literal in shown.tones(wish):
            found.setdefault(tone, []).append(shown.circuit.all_of((own, literal)))
    return {tone: shown.circuit.any_of(literals) for tone, literals in found.items()}


# ----------------------------------------------------------------------------------------------------------- story
class _Pair:
    """Both machines, taken through the same acts."""

    def __init__(self, moments: Sequence[Moment], left_out: Iterable[str]) -> None:
        self.moments = moments
        self.left_out = frozenset(left_out)
        self.machines: tuple[Machine, ...] = tuple(moment.machine for moment in moments)

    def story(self, target: Target) -> Alike | None:
        """Acts after which they differ: those that lead to `target` first, then short ones."""
        states, outputs = self._start()
        if _differ(outputs[0], outputs[1], self.left_out):
            return _told((), outputs[0], outputs[1], self.left_out)
        turn = count()
        waits: list[tuple[int, int, tuple[State, ...], tuple[Act, ...], Act]] = []

        def offer(at: tuple[State, ...], acts: tuple[Act, ...]) -> None:
            far = self._far(at[0], target)
            for act, nearer in self._acts(at, target):
                heappush(waits, (len(acts) + 1 + _STRAIGHT * (far - nearer), next(turn), at, acts, act))

        offer(states, ())
        seen = {states}
        for _ in range(STEPS_MOST):
            if not waits:
                break
            *_, before, acts, act = heappop(waits)
            stepped = [act_out(machine, state, act) for machine, state in zip(self.machines, before, strict=True)]
            after = tuple(state for state, _ in stepped)
            if after in seen:
                continue
            seen.add(after)
            if _differ(stepped[0][1], stepped[1][1], self.left_out):
                return _told((*acts, act), stepped[0][1], stepped[1][1], self.left_out)
            offer(after, (*acts, act))
        return None

    def _start(self) -> tuple[tuple[State, ...], tuple[Outputs, ...]]:
        states, outputs = [], []
        for machine in self.machines:
            inputs, kept = start_inputs(machine, {})
            state, output = power_up(machine, inputs, kept=kept)
            states.append(state)
            outputs.append(output)
        return tuple(states), tuple(outputs)

    def _far(self, state: State, target: Target) -> int:
        read, stands = values_read(self.machines[0], state), memory_of(self.machines[0], state)
        inputs = self.moments[0].inputs
        apart = sum(inputs[name].place(read[name]) != inputs[name].place(value) for name, value in target.settings)
        return apart + sum(stands[name] != value for name, value in target.memory)

    def _acts(self, states: tuple[State, ...], target: Target) -> Iterable[tuple[Act, int]]:
        """Settings of inputs that both have, and waits."""
        read = values_read(self.machines[0], states[0])
        wanted = dict(target.settings)
        both = self.moments[0].inputs.keys() & self.moments[1].inputs.keys()
        for name, choice in self.moments[0].inputs.items():
            if name in both:
                now = choice.place(read[name])
                goal = choice.place(wanted[name]) if name in wanted else None
                for place in range(len(choice.values)):
                    if place != now:
                        yield set_to(choice, place), (place == goal) - (now == goal)
        ends = [ends_next_ms(machine, state) for machine, state in zip(self.machines, states, strict=True)]
        wait_ms = min((each for each in ends if each), default=0)
        if wait_ms:
            yield waiting(wait_ms), 0


def _differ(old: Outputs, new: Outputs, left_out: frozenset[str] = frozenset()) -> bool:
    return any(was != now for was, now in outputs_of_both(old, new, left_out).values())


def outputs_of_both(
    old: Outputs, new: Outputs, left_out: frozenset[str] = frozenset()
) -> Mapping[str, tuple[str, str]]:
    """What every output that both have does, before and now."""
    found: dict[str, tuple[str, str]] = {}
    heads = {each.head: each for each in new.heads}
    for head in old.heads:
        if head.head in heads:
            found[head.head] = (_lit(head), _lit(heads[head.head]))
    sounds: list[dict[str, str]] = [{each.siren: each.tone for each in outputs.sounds} for outputs in (old, new)]
    for name in (sounds[0].keys() | sounds[1].keys()) - left_out:
        found[name] = (sounds[0].get(name, "") or "silent", sounds[1].get(name, "") or "silent")
    for word, names in (("runs", (old.runs, new.runs)), ("is interrupted", (old.interrupts, new.interrupts))):
        for name in {*names[0], *names[1]} - left_out:
            found[f"{name} {word}"] = ("yes" if name in names[0] else "no", "yes" if name in names[1] else "no")
    return found


def _lit(head: HeadState) -> str:
    if head.ambiguous and not head.owners:
        return "nobody's"
    return " and ".join(f"{colour_text(part.show)} at {part.share * 100:.4g} %" for part in head.parts) or "dark"


def _told(acts: tuple[Act, ...], old: Outputs, new: Outputs, left_out: frozenset[str]) -> Alike:
    both = outputs_of_both(old, new, left_out)
    apart = {name: pair for name, pair in sorted(both.items()) if pair[0] != pair[1]}
    return Alike(
        "different",
        tuple(act.text for act in acts),
        tuple((name, was) for name, (was, _) in apart.items()),
        tuple((name, now) for name, (_, now) in apart.items()),
    )
