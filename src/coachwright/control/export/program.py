"""The step of a build as one plain program, and what each of its variables is.

    step = step_of(model)
    step.program, step.facts

One call is one step, as coachwright.control.machine takes it: the elapsed time passes under the inputs of the step
before, with a moment of its own at each end of a timer; then the new inputs are read. The first call is the power-up.

See Also
--------
coachwright.control.export.sources, turning, settling, acting, contests, shown : one moment, in this order.
coachwright.control.export.proof : that it does what the machine does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coachwright.build.condition import Event, Truth
from coachwright.build.model import Input, Model
from coachwright.control.compiled import SUPPLY, Machine, compile_model
from coachwright.control.export.acting import Acts
from coachwright.control.export.draft import BLANK, Draft
from coachwright.control.export.settling import Settling, task_statements
from coachwright.control.export.shown import Fact, Shown
from coachwright.control.export.sources import (
    Wired,
    clock,
    is_two_way,
    keep_at_start,
    read_all,
    remember,
    take,
    values_read,
    wait_ends,
    wired,
)
from coachwright.control.export.terms import (
    FALSE,
    Block,
    Expr,
    Note,
    Program,
    Reckon,
    Ref,
    Stmt,
    Value,
    While,
    all_of,
    any_of,
    compare,
    opposite,
    put,
    when,
)
from coachwright.control.export.turning import TurnRule


@dataclass(frozen=True, slots=True)
class Step:
    """One step, written out. facts : by kind of thing, what its variables mean.

    draft, acts : what it was made from. doings : variables that say what was done in a moment. next : per memory,
    the variable that says where a round takes it.
    """

    model: Model
    machine: Machine
    program: Program
    facts: dict[str, Any]
    draft: Draft
    acts: Acts
    doings: tuple[Ref, ...]
    next: dict[str, Ref]


def step_of(model: Model) -> Step:
    """The step of this build.

    Raises
    ------
    ValueError : for what the file door refuses.
    """
    return _Making(model).step()


class _Making:
    def __init__(self, model: Model) -> None:
        self.model = model
        self.machine = compile_model(model)
        self.draft = draft = Draft(model)
        self.clock = clock(draft)
        self.inputs = wired(draft, self.machine.sources)
        self.by_name = {each.item.name: each for each in self.inputs}
        hazard_at = self.machine.sources.hazard_at
        hazard = model.inputs[hazard_at].name if hazard_at is not None else ""
        self.turns = TurnRule(draft, self.machine.sources.wires, self.inputs, hazard)
        self.quiet = draft.flag("quiet", says="nothing becomes true at a power-up")
        self.last_moment = draft.flag("last_moment")
        self.left_ms = draft.own("left_of_step_ms")
        self.pass_ms = draft.own("pass_ms")
        for word in model.words:  # as the machine does: also those that nothing reads
            draft.expr(Truth(word.name))
        self.acts = Acts(draft, self.machine)

    def step(self) -> Step:
        draft = self.draft
        self._find_tasks()
        settling = Settling(draft, draft.tasks, self.quiet)
        rest = settling.rest(self._events())
        acting = self.acts.block(self.by_name, settling.asked)
        shown = Shown(draft, self.machine, self.acts, self.by_name)
        outputs = shown.block()
        late = [stmt for task in draft.late_tasks for stmt in task_statements(task, self.quiet, None)]
        moment: Block = (
            Note("[time]"),
            *self._time(),
            Note("[sources]"),
            *take(self.inputs, self.clock, last_moment=self.last_moment),
            *self._power(),
            Note("[reading]"),
            *read_all(self.inputs, self.clock, turns=self.turns.read(self.clock.power)),
            *remember(self.inputs, self.clock),
            *values_read(self.inputs, self.clock, moving=self._moving()),
            *self.turns.values_read(),
            Note("[rounds]"),
            *rest,
            Note("[functions]"),
            *acting,
            Note("[later]"),
            *late,
            Note("[end of moment]"),
        )
        body: Block = (
            put(self.left_ms, self.clock.elapsed_ms),
            put(self.last_moment, False),
            While(opposite(self.last_moment), moment),
            Note("[outputs]"),
            *outputs,
        )
        program = Program(tuple(draft.variables), body)
        facts: dict[str, Any] = {
            "inputs": [self._input_fact(item) for item in self.model.inputs],
            "memories": [
                {
                    "name": each.name,
                    "at": draft.reads[each.name].name,
                    "values": list(each.values),
                    "start": each.start,
                    "restless": settling.restless[each.name].name,
                }
                for each in self.model.memories
            ],
            "ranks": list(self.model.ranks),
            "functions": self._function_facts(),
            "stops": [
                {
                    "name": stop.name,
                    "at": ref.name,
                    "stops": [
                        function.name
                        for place, function in enumerate(self.model.functions)
                        if compiled.functions >> place & 1
                    ],
                    "resume": stop.resume,
                }
                for ref, stop, compiled in zip(self.acts.stops, self.model.stops, self.machine.stops, strict=True)
            ],
            **shown.facts,
        }
        done = (ref for each in self.inputs for ref, _ in each.done)
        doings = (*done, *settling.asked.values())
        return Step(self.model, self.machine, program, facts, draft, self.acts, doings, settling.next)

    def _find_tasks(self) -> None:
        """Every condition is looked at once, so that all words and timers are known before the first is worked out."""
        draft = self.draft
        for function in self.model.functions:
            draft.expr(function.when)
            for most in function.at_most:
                draft.expr(most.condition)
        for when_written in (*(each.when for each in self.model.stops), *(each.when for each in self.model.limits)):
            draft.expr(when_written)
        for memory in self.model.memories:
            for move in memory.moves:
                draft.expr(move.on)
                draft.expr(move.condition)
        for message in self.model.messages:
            draft.expr(message.when, late=True)
        for item in self.model.inputs:
            draft.expr(item.tell_tale_condition, late=True)

    def _events(self) -> dict[Ref, Expr]:
        return {ref: self._happens(event) for event, ref in self.draft.events.items()}

    def _happens(self, event: Event) -> Expr:
        each = self.by_name[event.name]
        if event.kind == "leaves":
            assert each.left is not None
            return compare(each.left, "==", each.item.values.index(event.position))
        found = each.pressed if event.kind == "pressed" else each.released
        assert found is not None
        return found

    def _moving(self) -> Wired | None:
        at = self.machine.sources.moving_at
        return None if at is None else self.by_name[self.model.inputs[at].name]

    # --------------------------------------------------------------------------------------------------------- time
    def _time(self) -> Block:
        """Go to the nearest end of a timer, or to the end of the step."""
        end, left = self.pass_ms, self.left_ms
        watch = self.clock
        timers = [task.kept for task in (*self.draft.tasks, *self.draft.late_tasks) if task.time_ms and task.kept]
        nearest: list[Stmt] = []
        for ms in (*wait_ends(self.inputs), *self.turns.times):
            nearest += self._nearer(ms)
        awake = [stmt for ms in timers for stmt in self._nearer(ms)]
        nearest += when(opposite(watch.last_asleep), *awake) if awake else ()
        counting = [stmt for ms in timers for stmt in when(compare(ms, ">", 0), put(ms, Reckon("-", ms, end)))]
        later: list[Stmt] = list(self.turns.pass_time(end))
        for ms in wait_ends(self.inputs):
            later += when(compare(ms, ">=", 0), put(ms, Reckon("-", ms, end)))
        later += when(opposite(watch.last_asleep), *counting) if counting else ()
        goes = all_of((watch.started, opposite(watch.low)))
        over = any_of((compare(end, "==", 0), compare(end, ">", left)))
        return (
            put(end, 0),
            *(when(goes, *nearest) if nearest else ()),
            *when(over, put(end, left), put(self.last_moment, True)),
            put(left, Reckon("-", left, end)),
            *(when(all_of((goes, compare(end, ">", 0))), *later) if later else ()),
        )

    def _nearer(self, ms: Ref) -> Block:
        end = self.pass_ms
        nearer = all_of((compare(ms, ">", 0), any_of((compare(end, "==", 0), compare(ms, "<", end)))))
        return when(nearer, put(end, ms))

    def _power(self) -> Block:
        """Is this moment a power-up? Then all that is kept begins anew."""
        watch = self.clock
        low: Expr = compare(self._supply(), "<", self.machine.least_supply_v) if self._has_supply() else FALSE
        fresh = opposite(watch.started)
        begins = (
            fresh if not self._has_supply() else any_of((fresh, all_of((self.last_moment, any_of((watch.low, low))))))
        )
        anew: list[Stmt] = [put(each, value) for each, value in self._starts()]
        if self._has_supply():
            anew.append(put(watch.low, low))
        return (
            put(watch.power, begins),
            put(self.quiet, watch.power),
            *keep_at_start(self.inputs, watch),
            *(when(watch.power, *anew) if anew else ()),
        )

    def _has_supply(self) -> bool:
        return self.machine.supply_at is not None

    def _supply(self) -> Ref:
        return self.by_name[SUPPLY].now

    def _starts(self) -> list[tuple[Ref, Value]]:
        draft = self.draft
        found: list[tuple[Ref, Value]] = [
            (draft.reads[each.name], each.values.index(each.start)) for each in self.model.memories
        ]
        for task in (*draft.tasks, *draft.late_tasks):
            if task.kept is not None:
                found.append((task.kept, False if task.kind == "becomes" else BLANK[task.kind]))
        found += [(each.held, False) for each in self.acts.actors if each.held is not None]
        return found

    # -------------------------------------------------------------------------------------------------------- facts
    def _input_fact(self, item: Input) -> Fact:
        wired_here = self.by_name.get(item.name)
        fact: Fact = {
            "name": item.name,
            "kind": item.kind,
            "values": list(item.values),
            "unit-kind": item.number_kind,
            "rest": item.rest,
            "lost": item.lost,
            "read": self.draft.reads[item.name].name,
        }
        if wired_here is not None:
            fact |= {
                "in": wired_here.raw.name,
                "two-way": is_two_way(item),
                "silent": wired_here.lost.name,
                "keeps": wired_here.keeps.name if wired_here.keeps is not None else None,
                "debounce_ms": wired_here.source.debounce_ms,
            }
        return fact

    def _function_facts(self) -> list[Fact]:
        return [
            {
                "name": each.function.name,
                "rank": each.function.rank,
                "wins-over": sorted(each.function.wins_over),
                "acts": each.active.name,
                "level": each.level.name,
                "levels": [variant.position for variant in each.compiled.variants],
                "waits": each.held.name if each.held is not None else None,
            }
            for each in self.acts.actors
        ]
