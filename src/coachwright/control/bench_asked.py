"""What has to be seen on the bench? Every situation, every output once, and every condition deciding something.

Each is a literal of one moment: true of the settings in which a person who looks would see it. That a leaf decides
means: turned over alone, something visible would be otherwise, through ranks, wins-over and limits. It is asked for
while the leaf is true and while it is false; of timed conditions also while their time runs.

References
----------
.. [1] RTCA DO-178B, glossary, "modified condition/decision coverage" (memory): each condition is shown to affect the
       outcome independently. Here the outcome is what a person sees.

See Also
--------
coachwright.control.bench_leaves : the leaves. coachwright.control.bench_find : settings for them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.condition import Condition, First, FunctionState, Held, Plus
from coachwright.build.model import Function, Model
from coachwright.control.bench_always import always
from coachwright.control.bench_leaves import Leaf, every_written, leaves, turned_over
from coachwright.control.bench_seen import Eyes, Sight
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.encode import Moment
from coachwright.control.functions import names_through_words
from coachwright.control.machine import build_machine, memory_of, values_read
from coachwright.control.shown import Shown
from coachwright.control.situations import settle

Kind = Literal["situation", "shown", "decides", "level", "mistake"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing that has to be seen.

    about : build path, or what is shown. text : for people. literal : true of the settings that show it.
    """

    kind: Kind
    about: str
    text: str
    literal: int


class Moments:
    """One build's moment with what is seen in it, and beside it the moments of the same build with something changed.

    rules : hold in every moment of every story in which memory stands. calm : no timer runs, nobody waits to be asked.
    timed : literal of each timed condition, in the machine's order.
    """

    def __init__(self, model: Model) -> None:
        self.model = model
        self.machine = build_machine(model)
        self.moment = Moment(model, self.machine)
        self.circuit = self.moment.circuit
        self.timed = tuple(self.moment.condition(timed) for timed in self.machine.timed)
        self.eyes = Eyes(model)
        self.sights = self.eyes.literals(self.moment)
        self.facts = always(self.moment, Shown(self.moment))
        self.rules = [*self.moment.rules, *self.moment.rules_at_rest, *self.facts, -self.moment.restless]
        self.rules += _no_two_turns(self.moment)
        self.rules = [each for each in self.rules if each != TRUE]
        self.calm = self.circuit.all_of(-each for each in self.moment.stir)
        self._asks = _asking(self.moment)

    def beside(self, changed: Model) -> dict[Sight, int]:
        """What is seen in the same moment of the changed build: same inputs, memory and times."""
        other = Moment(changed, build_machine(changed), self.circuit)
        eyes = self.eyes if changed.functions == self.model.functions else self.eyes.of(changed)
        seen = eyes.literals(other)
        waits = self._waits_otherwise(other)
        if not waits:
            return seen
        known: dict[int, int] = {literal: literal for literal in self.circuit.variables.values()}
        known |= waits
        literals = self.circuit.copied(list(seen.values()), self.circuit, known)
        return dict(zip(seen, literals, strict=True))

    def apart(self, seen: Mapping[Sight, int]) -> int:
        """Literal: something is seen otherwise than in the build itself."""
        differ = []
        for sight in dict.fromkeys((*self.sights, *seen)):
            one, other = self.sights.get(sight, FALSE), seen.get(sight, FALSE)
            if one != other:
                differ.append(-self.circuit.same(one, other))
        return self.circuit.any_of(dict.fromkeys(differ))

    def _waits_otherwise(self, other: Moment) -> dict[int, int]:
        """Held-off bits of functions whose stops changed: they wait because of the stop that acts there."""
        found = {}
        now = _asking(other)
        for name, bit in other.held_off_bits.items():
            before, after = self._asks.get(name, FALSE), now.get(name, FALSE)
            if before != after:
                found[bit] = self.circuit.any_of((self.circuit.all_of((bit, -before)), after))
        return found


def _no_two_turns(moment: Moment) -> list[int]:
    """Two wires that keep flashing are a hazard: for a look that lasts, they aren't two turns."""
    on = [moment.inputs[item.name].literals[1] for item in moment.model.inputs if item.kind == "turn-wire"]
    has_hazard = any(item.kind == "hazard" for item in moment.model.inputs)
    return [-moment.circuit.all_of(on)] if has_hazard and len(on) > 1 else []


def _asking(moment: Moment) -> dict[str, int]:
    """Per function: a stop acts after which it has to be asked again."""
    found = {}
    for function in moment.model.functions:
        found[function.name] = moment.circuit.any_of(
            literal
            for stop, literal in zip(moment.model.stops, moment.stops, strict=True)
            if stop.resume == "ask" and (function.name in stop.functions or function.rank in stop.ranks)
        )
    return found


def everything_asked(moments: Moments) -> tuple[Asked, ...]:
    """All that has to be seen, in the order of the file."""
    return (*_situations(moments), *_shown(moments), *_decides(moments), *_levels(moments))


def _situations(moments: Moments) -> list[Asked]:
    """Each situation exactly as it is judged, so that all it shows is seen there."""
    moment, found = moments.moment, []
    for situation in moments.model.situations:
        settled = settle(moments.machine, situation)
        read, stands = values_read(moments.machine, settled.state), memory_of(moments.machine, settled.state)
        literals = [moments.calm]
        for name in relevant_inputs(moments.model):
            choice = moment.inputs[name]
            literals.append(choice.literals[choice.place(read[name])])
        for name, value in stands.items():
            choice = moment.memories[name]
            literals.append(choice.literals[choice.place(value)])
        shown_n = len(moments.eyes.seen(settled.outputs))
        text = f"all that {situation.name} shows ({shown_n} outputs)"
        found.append(Asked("situation", f"situations.{situation.name}", text, moments.circuit.all_of(literals)))
    return found


def _shown(moments: Moments) -> list[Asked]:
    once: dict[Sight, list[int]] = {}
    for sight, literal in moments.sights.items():
        once.setdefault(sight.undimmed, []).append(literal)
    return [
        Asked("shown", f"{sight.kind} {sight.name}", f"{sight.name}: {sight.text}", moments.circuit.any_of(literals))
        for sight, literals in once.items()
    ]


def _decides(moments: Moments) -> list[Asked]:
    found = []
    for written in every_written(moments.model):
        for leaf in leaves(moments.model, written):
            apart = moments.apart(moments.beside(turned_over(moments.model, leaf)))
            found += _of_leaf(moments, leaf, apart)
    return found


def _of_leaf(moments: Moments, leaf: Leaf, apart: int) -> list[Asked]:
    moment, all_of = moments.moment, moments.circuit.all_of
    path, text = leaf.written.path(moments.model), leaf.text(moments.model)
    true = moment.condition(leaf.condition)
    calm = moments.calm if any(isinstance(each, Held | Plus) for each in leaf.within) else TRUE
    cases = [("true", true), ("false", -true)]
    if isinstance(leaf.condition, Held | First | Plus):
        inside = moment.condition(leaf.condition.item)
        runs = all_of((true, -inside)) if isinstance(leaf.condition, Plus) else all_of((inside, -true))
        word = "over" if isinstance(leaf.condition, First) else "running"
        cases = [("true", all_of((true, inside))), ("false", all_of((-true, -inside))), (word, runs)]
    return [
        Asked("decides", path, f"{text} decides while {case}", all_of((apart, literal, calm)))
        for case, literal in cases
    ]


def _levels(moments: Moments) -> list[Asked]:
    """Each level of a function shows something that would be otherwise without it."""
    found = []
    for place, function in enumerate(moments.model.functions):
        for level in function.levels:
            changed = _with_function(moments.model, place, _without_level(function, level.position))
            apart = moments.apart(moments.beside(changed))
            at = moments.moment.inputs[function.by]
            here = at.literals[at.place(level.position)]
            path = f"functions.{function.name}.levels.{level.position}"
            text = f"{function.by} at {level.position} decides in functions.{function.name}"
            found.append(Asked("level", path, text, moments.circuit.all_of((apart, here))))
    return found


def _without_level(function: Function, position: str) -> Function:
    return replace(
        function,
        levels=tuple(level for level in function.levels if level.position != position),
    )


def _with_function(model: Model, place: int, function: Function) -> Model:
    return replace(model, functions=(*model.functions[:place], function, *model.functions[place + 1 :]))


def relevant_inputs(model: Model) -> tuple[str, ...]:
    """Inputs that anything in the build reads, promises aside; the others stay at rest on the bench."""
    read: set[str] = {function.by for function in model.functions if function.by}
    words = {word.name: word.condition for word in model.words}
    said: Sequence[Condition | None] = [written.read(model) for written in every_written(model, moves=True)]
    said = [*said, *(item.tell_tale_condition for item in model.inputs)]
    for condition in said:
        if condition is not None and not isinstance(condition, FunctionState):
            read |= names_through_words(condition, words)
    if read & {"turn-left", "turn-right", "hazard"}:
        read |= {item.name for item in model.inputs if item.kind in ("turn-wire", "hazard")}
    return tuple(item.name for item in model.inputs if item.name in read)
