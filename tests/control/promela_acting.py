"""Functions, hold-offs and moves of memories as assignments for spin.

See Also
--------
tests.control.promela : what is covered, and the machine around it.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.condition import Event
from coachwright.build.model import Function, Memory, Move
from tests.control.promela_conditions import Conditions, all_of, any_of, every_node
from tests.control.promela_shown import variants


class Acting(Conditions):
    """What functions do and where memories go."""

    # ----------------------------------------------------------------------------------------------------- functions

    def _asks(self, function: Function) -> str:
        """A press, a flip to on, a move: of what the function reads itself, through words, or by a move it makes."""
        read: set[str] = {function.by} if function.by else set()
        waiting = [function.when] if function.when is not None else []
        while waiting:
            for node in every_node(waiting.pop()):
                name = getattr(node, "name", "")
                if name in self.words and name not in read:
                    waiting.append(self.words[name])
                read.add(name)
        asks = [f"a{self.memories[name]}" for name in sorted(read & set(self.memories))]
        for name in sorted(read & set(self.inputs)):
            place = self.inputs[name]
            kind = self.model.inputs[place].kind
            if kind == "button":
                asks.append(f"p{place}")
            elif kind == "toggle":
                asks.append(f"(p{place} && k{place} == 1)")
            elif kind == "rotary-disconnect":
                asks.append(f"(g{place} && s{place} != 0)")
            elif kind in ("slide", "pick-one") and name != function.by:
                asks.append(f"g{place}")
            elif kind in ("slide", "pick-one"):
                _, at = variants(self.model, function)
                shows = any_of(f"({self.reads(name)} == {here})" for here, variant in enumerate(at) if variant)
                asks.append(f"(g{place} && {shows})")
        return any_of(asks)

    def _function(self, function: Function) -> Iterator[str]:
        at = self.functions[function.name]
        acts = self.says(function.when) if function.when is not None else "1"
        _, positions = variants(self.model, function)
        if function.by:
            names = next(item.values for item in self.model.inputs if item.name == function.by)
            yield f"pos = {self.reads(function.by)};"
            for most in function.at_most:
                level = names.index(most.level)
                yield f"pos = ((pos > {level} && {self.says(most.condition)}) -> {level} : pos);"
            shown = str(positions[-1])
            for here in range(len(positions) - 2, -1, -1):
                shown = f"(pos == {here} -> {positions[here]} : {shown})"
            yield f"v{at} = ({acts} -> {shown} : 0);"
        else:
            yield f"v{at} = {acts};"
        ask = self._ends(function, ask=True)
        if ask:
            yield f"h{at} = ({any_of(ask)} -> 1 : (h{at} && !{self._asks(function)}));"
        yield f"x{at} = (({self._stopped(function)} || h{at}) -> 0 : v{at});"

    # --------------------------------------------------------------------------------------------------------- moves

    def _acts(self, move: Move) -> str:
        return all_of([self.says(move.on), *([self.says(move.condition)] if move.condition is not None else [])])

    def _moved(self, memory: Memory) -> str:
        """Where a memory stands after a round: the first move that holds acts."""
        here = f"m{self.memories[memory.name]}"
        said = here
        for move in reversed(memory.moves):
            if move.next:
                around = [memory.values.index(value) for value in move.next]
                to = str(around[0])
                for place, value in enumerate(around):
                    to = f"({here} == {value} -> {around[(place + 1) % len(around)]} : {to})"
            else:
                to = str(memory.values.index(move.to))
            said = f"({self._acts(move)} -> {to} : {said})"
        return said

    def _asked(self, memory: Memory) -> str:
        """An event of a control makes the move act that acts."""
        said = "0"
        for move in reversed(memory.moves):
            named = [move.on, *([move.condition] if move.condition is not None else [])]
            events = [
                self.says(node)
                for each in named
                for node in every_node(each)
                if isinstance(node, Event) and node.kind != "becomes"
                and self.model.inputs[self.inputs[node.name]].is_control
            ]  # fmt: skip
            said = f"({self._acts(move)} -> {any_of(events)} : {said})"
        return said
