"""What is wrong with the control of a build over all its settings: things that can clash, and things that never happen.

Every answer is decided over all values of inputs, memories, timers and hold-offs (control.encode). "Never" is certain;
"can" is shown by a story, or said to be without one.

See Also
--------
coachwright.control.before_proof : puts these in one row with what the text alone tells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from coachwright.build.condition import And, Condition, Held, Truth, every_node
from coachwright.build.model import Function, Limit, Memory, Message, Model, Move, Stop
from coachwright.control.ambiguity import Clash, find_clashes
from coachwright.control.circuit import FALSE
from coachwright.control.contested import Contested, Wish, contested_heads, contested_sirens
from coachwright.control.encode import Moment, NotOfOneMomentError
from coachwright.control.found_in_shows import row_of
from coachwright.control.sat import Solver
from coachwright.kit.finding import Finding, Fix


def asked_findings(moment: Moment) -> tuple[tuple[Finding, ...], frozenset[tuple[str, str]]]:
    """Everything found over all settings, and the (memory, value) pairs that no move leads to."""
    model = moment.model
    contested = (*contested_heads(moment), *contested_sirens(moment))
    at_rest = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    moving = Solver(moment.circuit, moment.rules)
    try:
        found = [_clash(clash, model) for clash in find_clashes(moment, at_rest, contested)]
        asking = _Asking(moment, at_rest, moving, contested)
        for findings in (
            asking.wins_over(),
            asking.never_true(),
            asking.never_wins(),
            asking.never_scales(),
            asking.never_lit(),
            asking.memory_values(),
            asking.moves_back(),
            asking.moves_that_meet(),
        ):
            found += findings
        return tuple(found), asking.missing
    finally:
        at_rest.close()
        moving.close()


# ---------------------------------------------------------------------------------------------------------- clashes
def _clash(clash: Clash, model: Model) -> Finding:
    path = next(function.path for function in model.functions if function.name == clash.functions[-1])
    if clash.circle:
        return Finding(
            "CTL-002",
            "wins-over-in-circle",
            "error" if clash.story is not None else "warning",
            "{functions} (rank {rank}) win over each other in a circle: together they leave {heads} to nobody. {story}",
            _said(clash),
            about=f"{path}.wins-over",
            fix=Fix("Take one wins-over out of the circle."),
            story=_story(clash),
        )
    template = {
        "head": "{functions} (rank {rank}) can want {heads} at once, and no word says which of them has it. {story}",
        "siren": "{functions} (rank {rank}) can sound {heads} at once, and no word says which of them does. {story}",
    }[clash.kind]
    if clash.beside:
        template = "{functions} (rank {rank}) can both show beside the winner on {heads}; no word says which. {story}"
    one, other = clash.functions
    return Finding(
        "CTL-001",
        "no-word-between-functions",
        "error" if clash.story is not None else "warning",
        template,
        _said(clash),
        about=path,
        fix=Fix(f"Write wins-over: [{other}] in {one} or the other way round, or keep them apart by when."),
        story=_story(clash),
    )


def _said(clash: Clash) -> Mapping[str, str]:
    if clash.story is not None:
        story = f"Seen with {row_of(clash.setting)}, found over {clash.looked_at}."
        if not clash.setting:
            story = f"Seen with everything at rest, found over {clash.looked_at}."
    else:
        story = (
            f"It would take {row_of(clash.setting)} (over {clash.looked_at}); no story found within {clash.tried_n} "
            "steps: may be out of reach."
        )
    return {
        "functions": " and ".join(clash.functions),
        "rank": clash.rank,
        "heads": row_of(clash.ids),
        "story": story,
    }


def _story(clash: Clash) -> tuple[str, ...]:
    if clash.story is None:
        return ()
    wanted = f"{row_of(clash.shown)}: wanted by {' and by '.join(clash.functions)}"
    return (*clash.story.lines, wanted)


# ------------------------------------------------------------------------------------------------- what never happens
class _Asking:
    """Questions about one moment. at_rest : memory stands; moving : before it does, with events."""

    def __init__(self, moment: Moment, at_rest: Solver, moving: Solver, contested: Sequence[Contested]) -> None:
        self.moment = moment
        self.model = moment.model
        self.circuit = moment.circuit
        self.at_rest = at_rest
        self.moving = moving
        self.contested = contested
        self.owns: dict[str, list[int]] = {}
        for each in contested:
            for name, literal in each.owns:
                self.owns.setdefault(name, []).append(literal)
        self.missing = self._unreached()

    def wins_over(self) -> Iterator[Finding]:
        ranks = {function.name: function.rank for function in self.model.functions}
        for function in self.model.functions:
            of_rank = [name for name in function.wins_over if ranks.get(name) == function.rank]
            never = [name for name in of_rank if not self._meet(function.name, name)]
            if never:
                yield Finding(
                    "CTL-004",
                    "wins-over-never-decides",
                    "warning",
                    "{function} says that it wins over {others}, but they never want one thing differently at once.",
                    {"function": function.name, "others": row_of(never)},
                    about=f"{function.path}.wins-over",
                    fix=Fix(f"Take {row_of(never)} out of wins-over."),
                )

    def _meet(self, one: str, other: str) -> bool:
        both: list[int] = []
        for each in self.contested:
            mine, theirs = ([wish for wish in each.wishes if wish.function == name] for name in (one, other))
            both += [
                self.circuit.all_of((first.wanted, second.wanted))
                for first in mine
                for second in theirs
                if _differ(first, second)
            ]
        return self.at_rest.can_be(self.circuit.any_of(both))

    def never_true(self) -> Iterator[Finding]:
        for what, path, condition, solver in self._conditions():
            try:
                literal = self.moment.condition(condition, events=solver is self.moving)
            except NotOfOneMomentError:
                continue
            if not solver.can_be(literal):
                yield _never_true(what, path)

    def _conditions(self) -> Iterator[tuple[str, str, Condition, Solver]]:
        model = self.model
        for word in model.words:
            yield word.name, word.path, word.condition, self.moving
        for function in model.functions:
            if function.when is not None:
                yield function.name, f"{function.path}.when", function.when, self.at_rest
            for most in function.at_most:
                yield f"at-most {most.level} of {function.name}", most.path, most.condition, self.at_rest
        told: list[Stop | Limit | Message] = [*model.stops, *model.limits, *model.messages]
        for each in told:
            if each.when is not None:
                yield each.name, f"{each.path}.when", each.when, self.at_rest
        for memory in model.memories:
            for number, move in enumerate(memory.moves, start=1):
                yield f"move {number} of {memory.name}", move.path, _on_and_if(move), self.moving

    def never_wins(self) -> Iterator[Finding]:
        for function in self.model.functions:
            owns = self.owns.get(function.name, [])
            active = self.moment.functions[function.name].active
            if not owns or not self.at_rest.can_be(active) or self.at_rest.can_be(self.circuit.any_of(owns)):
                continue
            others = self._who_has_it(function, active)
            yield Finding(
                "CTL-006",
                "function-never-wins",
                "warning",
                "{function} acts but never has anything: {others} always comes first."
                if others
                else "{function} acts but never has anything.",
                {"function": function.name, "others": others},
                about=function.path,
                fix=Fix("Give it an earlier rank or a wins-over, or take it out."),
            )

    def _who_has_it(self, function: Function, active: int) -> str:
        found = self.at_rest.solution(active)
        if found is None:
            return ""
        names: dict[str, None] = {}
        for each in self.contested:
            if any(wish.function == function.name for wish in each.wishes):
                names |= {name: None for name, literal in each.owns if found.holds(literal)[0]}
        return " or ".join(names)

    def never_scales(self) -> Iterator[Finding]:
        for limit, literal in zip(self.model.limits, self.moment.limits, strict=True):
            if not self.at_rest.can_be(literal):
                continue
            owners = [
                own
                for function in self.model.functions
                if function.rank in limit.ranks and function.name not in limit.but_not
                for own in self.owns.get(function.name, ())
            ]
            if not self.at_rest.can_be(literal, self.circuit.any_of(owners)):
                yield Finding(
                    "CTL-005",
                    "limit-never-scales",
                    "warning",
                    "{limit} never makes anything dimmer: whenever it holds, no function of {ranks} has a head.",
                    {"limit": limit.name, "ranks": " or ".join(limit.ranks)},
                    about=limit.path,
                    fix=Fix("Name the ranks it is for in of, or take it out."),
                )

    def never_lit(self) -> Iterator[Finding]:
        lit = {one: each.lit for each in self.contested if each.kind == "head" for one in each.ids}
        answers: dict[int, bool] = {}
        dark: dict[str, list[str]] = {}
        for head in self.model.heads:
            literal = lit.get(head.id, FALSE)
            if literal not in answers:
                answers[literal] = self.at_rest.can_be(literal)
            if head.reach == "own" and not answers[literal]:
                dark.setdefault(head.path, []).append(head.id)
        for path, heads in dark.items():
            yield Finding(
                "CTL-007",
                "head-never-lit",
                "warning",
                "In no setting is {heads} lit." if len(heads) == 1 else "In no setting are {heads} lit.",
                {"heads": row_of(heads)},
                about=path,
                fix=Fix("Let a function show something on it, or leave the lamp out."),
            )

    # ------------------------------------------------------------------------------------------------------ memory
    def _unreached(self) -> frozenset[tuple[str, str]]:
        """(memory, value) pairs that no move leads to, from start on."""
        reached = {(memory.name, memory.start) for memory in self.model.memories}
        grown = True
        while grown:
            grown = False
            excluded = [
                -literal
                for name, choice in self.moment.memories.items()
                for value, literal in zip(choice.values, choice.literals, strict=True)
                if (name, str(value)) not in reached
            ]
            for memory in self.model.memories:
                for move in memory.moves:
                    for value, leads in self._leads(memory, move):
                        if (memory.name, value) not in reached and self.moving.can_be(leads, *excluded):
                            reached.add((memory.name, value))
                            grown = True
        every = {(memory.name, value) for memory in self.model.memories for value in memory.values}
        return frozenset(every - reached)

    def _leads(self, memory: Memory, move: Move) -> list[tuple[str, int]]:
        """Values a move can lead to, each with the literal that it does."""
        acts = self.moment.acts(move, events=True)
        if not move.next:
            return [(move.to, acts)]
        choice = self.moment.memories[memory.name]
        return [
            (_after(move, str(value)), self.circuit.all_of((acts, literal)))
            for value, literal in zip(choice.values, choice.literals, strict=True)
        ]

    def memory_values(self) -> Iterator[Finding]:
        for memory in self.model.memories:
            values = [value for value in memory.values if (memory.name, value) in self.missing]
            if values:
                yield Finding(
                    "CTL-011",
                    "memory-value-never-reached",
                    "warning",
                    "{memory} never stands at {values}: it doesn't start there and no move leads there.",
                    {"memory": memory.name, "values": row_of(values)},
                    about=f"{memory.path}.values",
                    fix=Fix("Add a move that leads there, or take the value out."),
                )

    def moves_back(self) -> Iterator[Finding]:
        for memory in self.model.memories:
            if not memory.ordered:
                continue
            choice = self.moment.memories[memory.name]
            for number, move in enumerate(memory.moves, start=1):
                if self._has_held(move):
                    continue
                back = [
                    (str(value), _after(move, str(value)), literal)
                    for value, literal in zip(choice.values, choice.literals, strict=True)
                    if choice.place(_after(move, str(value))) < choice.place(value)
                ]
                acts = self.moment.acts(move, events=True)
                for value, after, literal in back:
                    if self.moving.can_be(acts, literal):
                        yield _moves_back(memory, number, move, value=value, after=after)
                        break

    def _has_held(self, move: Move) -> bool:
        waiting = [each for each in (move.on, move.condition) if each is not None]
        opened: set[str] = set()
        while waiting:
            for node in every_node(waiting.pop()):
                if isinstance(node, Held):
                    return True
                if isinstance(node, Truth) and node.name in self.moment.words and node.name not in opened:
                    opened.add(node.name)
                    waiting.append(self.moment.words[node.name])
        return False

    def moves_that_meet(self) -> Iterator[Finding]:
        for memory in self.model.memories:
            meeting: dict[int, list[int]] = {}
            for (first, one), (second, other) in combinations(enumerate(memory.moves), 2):
                if self.moving.can_be(self._differ(memory, one, other)):
                    meeting.setdefault(first, []).append(second)
            for first, others in meeting.items():
                yield _moves_meet(memory, first, others)

    def _differ(self, memory: Memory, one: Move, other: Move) -> int:
        """Both act and don't lead to the same value."""
        choice = self.moment.memories[memory.name]
        apart = [
            literal
            for value, literal in zip(choice.values, choice.literals, strict=True)
            if _after(one, str(value)) != _after(other, str(value))
        ]
        acts = [self.moment.acts(move, events=True) for move in (one, other)]
        return self.circuit.all_of((*acts, self.circuit.any_of(apart)))


def _differ(one: Wish, other: Wish) -> bool:
    return bool(one.tone_memory or other.tone_memory) or one.statement != other.statement


def _on_and_if(move: Move) -> Condition:
    return move.on if move.condition is None else And((move.on, move.condition))


def _after(move: Move, value: str) -> str:
    """Where a move leads from a value."""
    if not move.next:
        return move.to
    return move.next[(move.next.index(value) + 1) % len(move.next)] if value in move.next else move.next[0]


def _never_true(what: str, path: str) -> Finding:
    return Finding(
        "CTL-009",
        "condition-never-true",
        "warning",
        "The condition of {what} can't be true in any setting.",
        {"what": what},
        about=path,
        fix=Fix("Two things in it exclude each other, or the vehicle excludes them; say what it should be true of."),
    )


def _moves_back(memory: Memory, number: int, move: Move, *, value: str, after: str) -> Finding:
    return Finding(
        "CTL-013",
        "back-without-held",
        "warning",
        "Move {number} takes {memory} back from {value} to {after} at once; a value at its edge will let it flutter.",
        {"number": number, "memory": memory.name, "value": value, "after": after},
        about=move.path,
        fix=Fix("Write held and a time behind the condition that takes it back."),
    )


def _moves_meet(memory: Memory, first: int, others: Sequence[int]) -> Finding:
    move = memory.moves[first]
    return Finding(
        "CTL-014",
        "moves-can-meet",
        "note",
        "Move {number} of {memory} ({to}) can meet {others} in one step; {number} stands first and wins.",
        {
            "number": first + 1,
            "memory": memory.name,
            "to": f"to {move.to}" if not move.next else f"next of {', '.join(move.next)}",
            "others": row_of([f"move {place + 1} ({_leads_to(memory.moves[place])})" for place in others]),
        },
        about=move.path,
        fix=Fix("Put the safe move first."),
    )


def _leads_to(move: Move) -> str:
    return f"to {move.to}" if not move.next else "next"
