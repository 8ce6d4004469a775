"""Does a program that was read back do what the machine does, in every setting?

Everything between what inputs read, where memory stands and what timers have left, and who acts and what is put out, is
laid over the same variables as coachwright.control.encode, and a solver is asked for a setting in which the two differ.
Words, timed conditions, moves, stops, hold-offs, functions, limits, heads, sirens, runs, messages and tell-tales are
asked. That time passes, that sources are read and that rounds follow one another is not in here; traces show it.

The program's parts are taken from the text that was read, never from the draft it was printed from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coachwright.build.condition import Event, First, Held, Truth, every_node
from coachwright.build.model import Memory
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.contested import Contested
from coachwright.control.encode import Moment
from coachwright.control.export.contests import share_number
from coachwright.control.export.draft import Task
from coachwright.control.export.program import Step
from coachwright.control.export.symbolic import Lane, NotStraightError, Number
from coachwright.control.export.terms import NoSuchPartError, Program, Ref, part
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown


@dataclass(frozen=True, slots=True)
class Same:
    """What was asked. asked_n : outputs and moves compared. differs : those that aren't the same, with a setting."""

    asked_n: int
    differs: tuple[str, ...] = ()


def prove_same(step: Step, program: Program) -> Same:
    """Compare a program that was read back with the machine of the build it is of."""
    if program.without_words().variables != _without_order(step, program):
        return Same(0, ("its variables are others",))
    comparing = _Comparing(step, program)
    try:
        comparing.at_rest()
        comparing.moves()
    except (NotStraightError, NoSuchPartError) as error:
        return Same(0, (str(error),))
    return comparing.asked()


def _without_order(step: Step, program: Program) -> tuple[object, ...]:
    """The step's variables in the order in which the text has them."""
    known = {each.name: each for each in step.program.without_words().variables}
    if len(known) != len(program.variables):
        return ()
    return tuple(known.get(each.name) for each in program.variables)


class _Comparing:
    def __init__(self, step: Step, program: Program) -> None:
        self.step = step
        self.program = program
        self.moment = Moment(step.model, step.machine)
        self.shown = Shown(self.moment)
        self.circuit: Circuit = self.moment.circuit
        self.pairs: list[tuple[str, int, int]] = []

    # --------------------------------------------------------------------------------------------------- what is free
    def _lane(self) -> Lane:
        """Everything read and kept as the variables of the moment; nothing is happening."""
        lane = Lane(self.circuit, self.program)
        moment = self.moment
        for name, choice in (*moment.inputs.items(), *moment.memories.items()):
            item = next((each for each in self.step.model.inputs if each.name == name), None)
            numbers = [float(value) for value in choice.values] if item is not None and not item.values else None
            values = numbers if numbers is not None else range(len(choice.values))
            lane.set(self.step.draft.reads[name].name, dict(zip(values, choice.literals, strict=True)))
        for task in (*self.step.draft.tasks, *self.step.draft.late_tasks):
            self._free_timer(lane, task)
        for fact in self.step.facts["inputs"]:
            if fact.get("keeps"):  # only tell-tales show it, which traces compare
                lane.set(fact["keeps"], dict(enumerate(moment.inputs[fact["name"]].literals)))
        for actor in self.step.acts.actors:
            if actor.held is not None:
                bit = moment.held_off_bits.get(actor.function.name, FALSE)
                lane.set(actor.held.name, bit)
        return lane

    def _free_timer(self, lane: Lane, task: Task) -> None:
        """A timer as far as it counts: nothing to count, running, over."""
        if task.kept is None or not task.time_ms:
            return
        condition = task.condition
        if isinstance(condition, First):
            condition = Held(condition.item, condition.time_ms)
        literal = self.moment.condition(condition)
        over: Number = {0: literal, 1: -literal} if task.kind != "plus" else {1: literal, 0: -literal}
        lane.set(task.kept.name, over)

    # ---------------------------------------------------------------------------------------------------- at rest
    def at_rest(self) -> None:
        """Functions and outputs, once memory stands and nothing happens."""
        lane = self._lane()
        lane.set_all(False, (ref.name for ref in self._doings()))
        lane.set("quiet", FALSE)
        self._was(lane, {})
        body = self.program.body
        for name in ("tasks", "functions", "later", "outputs", "limits", "heads", "sirens", "equipment", "messages"):
            lane.run(part(body, name))
        moment, facts = self.moment, self.step.facts
        for actor in self.step.acts.actors:
            acting = moment.functions[actor.function.name]
            self._pair(f"{acting.name} acts", lane.truth(actor.active.name), acting.active)
            level = lane.number(actor.level.name)
            for place, literal in enumerate(acting.variants):
                here = self.circuit.all_of((level.get(place, FALSE), lane.truth(actor.active.name)))
                self._pair(f"level {place} of {acting.name}", here, literal)
        for name, refs, literals in (
            ("stop", facts["stops"], moment.stops),
            ("limit", facts["limits"], moment.limits),
        ):
            for fact, literal in zip(refs, literals, strict=True):
                self._pair(f"{name} {fact['name']}", lane.truth(fact["at"]), literal)
        self._heads(lane)
        self._sirens(lane)
        for kind, says in (("runs", self._runs), ("interrupts", self.shown.interrupted)):
            for fact in facts[kind]:
                self._pair(f"{kind} {fact['name']}", lane.truth(fact["at"]), says(fact["name"]))
        self._messages(lane)

    def _runs(self, name: str) -> int:
        """What runs, sounds aside."""
        machine = self.step.machine
        bits = dict(machine.runs)[name]
        acting = [
            self.moment.functions[function.name].active
            for place, function in enumerate(machine.functions)
            if bits >> place & 1
        ]
        return self.circuit.all_of((self.circuit.any_of(acting), -self.shown.interrupted(name)))

    def _heads(self, lane: Lane) -> None:
        shows = {fact["number"]: fact for fact in self.step.facts["shows"]}
        for fact in self.step.facts["heads"]:
            contested = self.shown.heads.get(fact["name"])
            self._contest(lane, fact, contested)
            parts: dict[tuple[str, str, int], list[int]] = {}
            for function, show, literal in contested.parts if contested is not None else ():
                said = _said(
                    show.colour, show.manner, show.pattern.text if show.pattern else "", show.sides, show.signal
                )
                for share, scaled in self.shown.shares(function, show):
                    burns = (str(show.colour), said, share_number(share))
                    parts.setdefault(burns, []).append(self.circuit.all_of((literal, scaled)))
            brightest = self._brightest(parts)
            mine: dict[tuple[str, str, int], list[int]] = {}
            for each in fact["colours"]:
                shares = lane.number(each["share"])
                for number, literal in lane.number(each["at"]).items():
                    if not number:
                        continue
                    meant = shows.get(int(number))
                    said = "nothing" if meant is None else _said(*_words(meant))
                    for share, scaled in shares.items():
                        mine.setdefault((str(each["colour"]), said, int(share)), []).append(
                            self.circuit.all_of((literal, scaled))
                        )
            for key in sorted(mine.keys() | brightest.keys()):
                here, there = (self.circuit.any_of(found.get(key, ())) for found in (mine, brightest))
                self._pair(f"{fact['name']} {key[1]} at {key[2]}", here, there)

    def _brightest(self, parts: dict[tuple[str, str, int], list[int]]) -> dict[tuple[str, str, int], list[int]]:
        """Of several owners of one statement the brightest counts."""
        found = {}
        for key, literals in parts.items():
            brighter = [
                literal
                for other, theirs in parts.items()
                if other[:2] == key[:2] and other[2] > key[2]
                for literal in theirs
            ]
            found[key] = [self.circuit.all_of((self.circuit.any_of(literals), *(-each for each in brighter)))]
        return found

    def _contest(self, lane: Lane, fact: dict[str, object], contested: Contested | None) -> None:
        undecided = contested.ambiguous if contested is not None else FALSE
        self._pair(f"{fact['name']} undecided", lane.truth(str(fact["undecided"])), undecided)
        owns = dict(contested.owns) if contested is not None else {}
        owners = fact["owners"]
        assert isinstance(owners, list)
        mine = {owner["function"]: lane.truth(owner["at"]) for owner in owners}
        for function in sorted(mine.keys() | owns.keys()):
            name = f"{function} has {fact['name']}"
            self._pair(name, mine.get(function, FALSE), owns.get(function, FALSE))

    def _sirens(self, lane: Lane) -> None:
        for fact in self.step.facts["sirens"]:
            contested = self.shown.sirens[fact["name"]]
            self._contest(lane, fact, contested)
            theirs: dict[str, list[int]] = {}
            owns = dict(contested.owns)
            for wish in contested.wishes:
                for tone, literal in self.shown.tones(wish):
                    theirs.setdefault(tone, []).append(self.circuit.all_of((owns[wish.function], literal)))
            sounds = lane.number(fact["at"])
            for number, tone in enumerate(fact["tones"], 1):
                there = self.circuit.any_of(theirs.get(tone, ()))
                self._pair(f"{fact['name']} sounds {tone}", sounds.get(number, FALSE), there)

    def _messages(self, lane: Lane) -> None:
        moment, model = self.moment, self.step.model
        for fact, message in zip(self.step.facts["messages"], model.messages, strict=True):
            said = [moment.functions[f.name].active for f in model.functions if message.name in f.says]
            if message.when is not None:
                said.append(moment.condition(message.when))
            self._pair(f"{message.name} is said", lane.truth(fact["at"]), self.circuit.any_of(said))
        for fact in self.step.facts["tell-tales"]:
            condition = model.input(fact["control"]).tell_tale_condition
            if condition is not None:
                on = lane.number(fact["at"]).get(1, FALSE)
                self._pair(f"tell-tale of {fact['control']}", on, moment.condition(condition))

    # ------------------------------------------------------------------------------------------------------ moves
    def moves(self) -> None:
        """Where each memory goes in one round, whatever happens in it."""
        if not self.step.model.memories:
            return
        lane = self._lane()
        happening = {ref: self._event(event) for event, ref in self.step.draft.events.items()}
        for ref in self._doings():
            lane.set(ref.name, happening.get(ref, FALSE))
        lane.set("quiet", FALSE)
        becomes = self._becoming()
        self._was(lane, becomes)
        lane.run(part(self.program.body, "tasks"))
        for ref, literal in becomes.items():
            self._pair(f"{ref.name}", lane.truth(ref.name), literal)
        lane.run(part(self.program.body, "moves"))
        for memory in self.step.model.memories:
            goes = lane.number(self.step.next[memory.name].name)
            for place, literal in enumerate(self._goes(memory)):
                self._pair(f"{memory.name} goes to {memory.values[place]}", goes.get(place, FALSE), literal)

    def _becoming(self) -> dict[Ref, int]:
        """Of each ``becomes`` the literal; the same thing may be written in two ways."""
        known = {task.condition: task.at for task in self.step.draft.tasks if task.kind == "becomes"}
        found: dict[Ref, int] = {}
        for memory in self.step.model.memories:
            for move in memory.moves:
                for written in (move.on, move.condition):
                    for node in every_node(written) if written is not None else ():
                        if isinstance(node, Event) and node.kind == "becomes":
                            literal = self._event(node)
                            first = found.setdefault(known[node.item or Truth(node.name)], literal)
                            self.moment.rules.append(self.circuit.same(first, literal))
        return found

    def _event(self, event: Event) -> int:
        return self.moment.condition(event, events=True)

    def _goes(self, memory: Memory) -> list[int]:
        """Per value: it stands there after the round."""
        choice, before = self.moment.memories[memory.name], list[int]()
        goes: list[list[int]] = [[] for _ in memory.values]
        for move in memory.moves:
            acts = self.moment.acts(move, events=True)
            first = self.circuit.all_of((acts, *(-each for each in before)))
            before.append(acts)
            if not move.next:
                goes[memory.values.index(move.to)].append(first)
                continue
            around = [memory.values.index(value) for value in move.next]
            for place, literal in enumerate(choice.literals):
                after = around[(around.index(place) + 1) % len(around)] if place in around else around[0]
                goes[after].append(self.circuit.all_of((first, literal)))
        for place, literal in enumerate(choice.literals):
            goes[place].append(self.circuit.all_of((literal, *(-each for each in before))))
        return [self.circuit.any_of(each) for each in goes]

    def _was(self, lane: Lane, becomes: dict[Ref, int]) -> None:
        """What was true before: the opposite of what becomes true now (it can only, where it is true now)."""
        for task in self.step.draft.tasks:
            if task.kind == "becomes" and task.kept is not None:
                lane.set(task.kept.name, -becomes.get(task.at, FALSE))

    def _doings(self) -> Iterable[Ref]:
        """Every variable that says what was done in this moment."""
        yield from self.step.draft.events.values()
        yield from self.step.doings

    # ------------------------------------------------------------------------------------------------------ answers
    def _pair(self, name: str, mine: int, theirs: int) -> None:
        self.pairs.append((name, mine, theirs))

    def asked(self) -> Same:
        """Is there a setting in which two that should be the same aren't?"""
        apart = [(name, -self.circuit.same(mine, theirs)) for name, mine, theirs in self.pairs]
        open_ = [(name, literal) for name, literal in apart if literal != FALSE]
        solver = Solver(self.circuit, self.moment.rules, self.moment.rules_at_rest)
        try:
            if not open_ or not solver.can_be(self.circuit.any_of(literal for _, literal in open_)):
                return Same(len(self.pairs))
            differs = [name for name, literal in open_ if literal == TRUE or solver.can_be(literal)]
            return Same(len(self.pairs), tuple(differs))
        finally:
            solver.close()


def _said(colour: str, manner: str, pattern: str, sides: str, signal: str) -> str:
    return " ".join(each for each in (colour, manner, pattern, sides, signal) if each)


def _words(show: dict[str, object]) -> tuple[str, str, str, str, str]:
    pattern = show.get("pattern")
    text = str(pattern["text"]) if isinstance(pattern, dict) else ""
    return str(show["colour"]), str(show["manner"]), text, str(show["sides"]), str(show["signal"])
