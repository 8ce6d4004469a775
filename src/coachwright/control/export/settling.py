"""How words, timers and memory come to rest within one moment, written out as statements.

The same as coachwright.control.rounds does, as one loop: each turn of it works out the tasks, then moves every memory.
Three passes: 0 the rounds as they come; 1, where they came back to a memory state passed before, once more without
events; 2, where that goes round too, the tasks as they were, and memory stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import prod

from coachwright.build.model import Memory, Move
from coachwright.control.export.draft import Draft, Task
from coachwright.control.export.terms import (
    Block,
    Const,
    Expr,
    If,
    Item,
    Note,
    Put,
    Reckon,
    Ref,
    Stmt,
    While,
    all_of,
    any_of,
    compare,
    opposite,
    put,
    when,
)
from coachwright.control.functions import control_events
from coachwright.control.rounds import MOST_ROUNDS

_MOST_CODE = 2_000_000_000
"""A memory state is kept as whole numbers below this: they fit 32 bits with a sign."""


def task_statements(task: Task, quiet: Ref, happened: Ref | None) -> Block:
    """Work out one task."""
    match task.kind:
        case "word":
            return (put(task.at, task.of),)
        case "becomes":
            assert task.kept is not None
            turned = all_of((task.of, opposite(task.kept), opposite(quiet)))
            noted = () if happened is None else when(task.at, put(happened, True))
            return (put(task.at, turned), put(task.kept, task.of), *noted)
        case "held" | "first" | "plus":
            return _timer_statements(task)


def _timer_statements(task: Task) -> Block:
    left = task.kept
    assert left is not None
    counts = task.of if task.kind != "plus" else opposite(task.of)
    begins = when(compare(left, "==", -1), put(left, task.time_ms))
    over = {
        "held": compare(left, "==", 0),
        "first": compare(left, ">", 0),
        "plus": opposite(compare(left, "==", 0)),
    }[task.kind]
    return (*when(counts, *begins, otherwise=(put(left, -1),)), put(task.at, over))


class Settling:
    """The rounds of one machine. Per memory:

    next : where the round takes it. asked : an event of a control made a move act there. restless : its moves never
    came to rest.
    """

    def __init__(self, draft: Draft, tasks: Sequence[Task], quiet: Ref) -> None:
        self.draft = draft
        self.tasks = tasks
        self.quiet = quiet
        memories = draft.model.memories
        self.happened = draft.flag("happened", says="something became true in this round, or was done")
        self.asked = {each.name: draft.flag("asked", each.name) for each in memories}
        self.restless = {
            each.name: draft.output("restless", each.name, kind="bool", says=f"moves of {each.name} go round for ever")
            for each in memories
        }
        self.next = {each.name: draft.own("next", each.name) for each in memories}
        self._before = {each.name: draft.own("before", each.name) for each in memories}
        self._varied = {each.name: draft.flag("varied", each.name) for each in memories}
        self._saved = {
            each.kept.name: draft.own("saved", each.kept.name, kind="bool" if each.kind == "becomes" else "int")
            for each in tasks
            if each.kept is not None
        }

    def tasks_block(self) -> Block:
        """Words, timers and what becomes true, once."""
        found: list[Stmt] = [put(self.happened, False)]
        for task in self.tasks:
            found += task_statements(task, self.quiet, self.happened)
        return tuple(found)

    def rest(self, events: dict[Ref, Expr]) -> Block:
        """Everything until memory stands. events : truth of each press, release and leave in the first round."""
        memories = self.draft.model.memories
        begin = [put(ref, truth) for ref, truth in events.items()]
        if not memories:
            return (*begin, Note("[tasks]"), *self.tasks_block(), Note("[tasks end]"))
        turning = self.draft.flag("turning")
        fresh = self.draft.flag("fresh", says="the first round of a pass")
        which = self.draft.own("pass_now", says="0 as it comes, 1 without events, 2 as it was")
        begin += [put(self._before[each.name], self.draft.reads[each.name]) for each in memories]
        begin += [put(ref, False) for each in memories for ref in (self.asked[each.name], self.restless[each.name])]
        moves = [stmt for each in memories for stmt in self._moves(each)]
        last = compare(which, "==", 2)
        turn = (
            Note("[tasks]"),
            *self.tasks_block(),
            Note("[moves]"),
            *moves,
            Note("[rounds]"),
            *when(fresh, *self._begin_pass(which, list(events)), put(fresh, False)),
            *when(last, put(turning, False), otherwise=self._go_on(turning, fresh, which, list(events))),
        )
        return (*begin, put(turning, True), put(fresh, True), put(which, 0), While(turning, turn))

    # ------------------------------------------------------------------------------------------------------ moves
    def _moves(self, memory: Memory) -> Block:
        """Where a memory goes: of the moves that hold, the first acts."""
        now, following = self.draft.reads[memory.name], self.next[memory.name]
        branches = []
        for move in memory.moves:
            acts = self._acts(move)
            branches.append((acts, self._goes(memory, move, now, following)))
        if not branches:
            return (put(following, now),)
        return (put(following, now), If(tuple(branches)))

    def _acts(self, move: Move) -> Expr:
        return all_of((self.draft.expr(move.on), self.draft.expr(move.condition)))

    def _goes(self, memory: Memory, move: Move, now: Ref, following: Ref) -> Block:
        if not move.next:
            return (put(following, memory.values.index(move.to)),)
        around = [memory.values.index(value) for value in move.next]
        steps = [
            (compare(now, "==", place), (put(following, around[(at + 1) % len(around)]),))
            for at, place in enumerate(around)
        ]
        return (If(tuple(steps), (put(following, around[0]),)),)

    def _asks(self, memory: Memory) -> Block:
        """Did an event of a control make the acting move act?"""
        controls = {item.name for item in self.draft.model.inputs if item.is_control}
        branches = []
        for move in memory.moves:
            own = [self.draft.event(each) for each in control_events(move) if each.name in controls]
            asks = when(any_of(own), put(self.asked[memory.name], True))
            branches.append((self._acts(move), asks))
        while branches and not branches[-1][1]:
            branches.pop()
        return (If(tuple(branches)),) if branches else ()

    # ------------------------------------------------------------------------------------------------------ passes
    def _begin_pass(self, which: Ref, events: Sequence[Ref]) -> Block:
        memories = self.draft.model.memories
        happened = any_of((self.happened, *events))
        first: list[Stmt] = [put(self.happened, happened)] if events else []
        first += [stmt for each in memories for stmt in self._asks(each)]
        kept = [put(self._saved[name], Ref(name)) for name in self._saved]
        codes = [Put(row, Const(0), code) for row, code in self._codes(self.draft.reads)]
        return (
            *when(compare(which, "==", 0), *first, otherwise=(put(self.happened, False),)),
            *kept,
            *(put(self._varied[each.name], False) for each in memories),
            *codes,
            put(self._passed_n, 1),
        )

    def _go_on(self, turning: Ref, fresh: Ref, which: Ref, events: Sequence[Ref]) -> Block:
        memories, reads = self.draft.model.memories, self.draft.reads
        stands = all_of(compare(self.next[each.name], "==", reads[each.name]) for each in memories)
        back = self.draft.flag("back", says="memory was there before in this moment")
        at = self.draft.own("look_at")
        here = all_of(compare(Item(row, at), "==", code) for row, code in self._codes(self.next))
        look = (
            put(back, compare(self._passed_n, ">=", self._rows_n)),
            put(at, 0),
            While(
                all_of((opposite(back), compare(at, "<", self._passed_n))),
                (*when(here, put(back, True)), put(at, Reckon("+", at, Const(1)))),
            ),
        )
        note: list[Stmt] = [Put(row, self._passed_n, code) for row, code in self._codes(self.next)]
        for each in memories:
            varied, following, before = self._varied[each.name], self.next[each.name], self._before[each.name]
            note += when(opposite(compare(following, "==", before)), put(varied, True))
            note.append(put(reads[each.name], following))
        note.append(put(self._passed_n, Reckon("+", self._passed_n, Const(1))))
        silent = [put(event, False) for event in events]
        undo = [put(Ref(name), saved) for name, saved in self._saved.items()]
        undo += [put(reads[each.name], self._before[each.name]) for each in memories]
        told = [put(self.restless[each.name], self._varied[each.name]) for each in memories]
        again = when(compare(which, "==", 0), *told, put(fresh, True))
        moved = (*look, *when(opposite(back), *note))
        return when(
            all_of((stands, opposite(self.happened))),
            put(turning, False),
            otherwise=(
                put(back, False),
                *when(opposite(stands), *moved),
                *when(back, *undo, *again, put(which, Reckon("+", which, Const(1)))),
                *silent,
            ),
        )

    def _codes(self, reads: dict[str, Ref]) -> list[tuple[str, Expr]]:
        """A memory state as few whole numbers, each with the row it is remembered in."""
        if not hasattr(self, "_rows"):
            self._make_rows()
        found = []
        for row, group in self._rows:
            code: Expr | None = None
            for memory in group:
                now = reads[memory.name]
                shifted = None if code is None else Reckon("*", code, Const(len(memory.values)))
                code = now if shifted is None else Reckon("+", shifted, now)
            assert code is not None
            found.append((row, code))
        return found

    def _make_rows(self) -> None:
        memories = self.draft.model.memories
        self._rows_n = min(MOST_ROUNDS, prod(len(each.values) for each in memories))
        self._passed_n = self.draft.own("passed_n", says="memory states passed in this moment")
        groups: list[list[Memory]] = [[]]
        for each in memories:
            if prod(len(one.values) for one in (*groups[-1], each)) > _MOST_CODE:
                groups.append([])
            groups[-1].append(each)
        self._rows = []
        for group in groups:
            row = self.draft.variable("passed", kind="int", role="own", start=0, size=self._rows_n)
            self._rows.append((row.name, group))
