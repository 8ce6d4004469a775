"""A build and one promise of it as a model for spin, written from docs/control.md and not from the prover's circuit.

Covered
-------
Inputs : slides, pick-ones, toggles, buttons, disconnects, states and on/off signals without debounce, numbers (each
    stretch between thresholds and each threshold is a case). Every step may change any of them to anything the body
    doesn't exclude (`cannot_be`); a story begins with a power-up under any of them, `last` being either value.
Conditions : all of them; `held`, `first` and `plus` each with a clock in whole milliseconds, the unit in which the
    machine itself counts, so that the order of their ends is exact. A clock goes no further than its own time.
Memories : rounds, moves `to` and `next`, presses, releases, `leaves`, `becomes`, rounds that come back.
Functions : `when`, levels, `one-level`, `at-most`, `wins-over`, `beside`, stops with `self` and `ask`, limits, sounds
    (a memory's too), runs, interrupts. Promises : all three kinds, `within`, `but`.

Not covered (`outside` says which, and such a build isn't drawn): debounce, turn wires and hazard; a supply that can
fall under what the controller needs; `cannot_be` that reads a toggle, a pick-one, a memory or a time. Sources that are
lost, stuck or asleep are never drawn here: stories without faults have none.

How time is walked
------------------
A step is the language's own: some time passes under the old inputs, with a moment at each millisecond, then any inputs
change. With `longest_ms` = 1 a longer wait is a row of steps: every state is reached, whatever the times. To count
steps `longest_ms` has to be long enough for the waits that a shortest story needs; and no finger rests on a toggle as
the power comes, since no story is told so (to press it one step later comes to the same).

See Also
--------
tests.control.promela_shown : heads and equipment. tests.control.spin : runs it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sized

from coachwright.build.condition import First, HeadStatement, Held, Plus
from coachwright.build.model import Input, Model, Promise
from coachwright.parts.schema import ControllerPart
from tests.control.promela_acting import Acting
from tests.control.promela_conditions import KEEPS, Timed, all_of, any_of, every_node

KINDS = ("slide", "pick-one", "toggle", "button", "rotary-disconnect", "states", "on-off", "number")
FINGERS = ("toggle", "button")
MOST_MEMORY_STATES = 64


def outside(model: Model, promise: Promise) -> str:
    """What of a build is outside of what is translated; "" when all of it is inside."""
    for item in model.inputs:
        if item.kind not in KINDS:
            return item.kind
        if item.debounce_ms and item.values:
            return "debounce"
    parts = [part for _, part in model.parts if isinstance(part, ControllerPart)]
    if any(item.name == "supply" for item in model.inputs) and any(part.least_voltage for part in parts):
        return "supply"
    still = {item.name for item in model.inputs if item.kind not in KEEPS}
    for condition, _ in model.cannot_be:
        for node in every_node(condition):
            if isinstance(node, Held | First | Plus) or getattr(node, "name", next(iter(still), "")) not in still:
                return "cannot-be"
    states = 1
    for memory in model.memories:
        states *= len(memory.values)
    if states > MOST_MEMORY_STATES:
        return "memories"
    said = [each for each in (promise.when, promise.then, promise.never, promise.after, promise.until) if each]
    if any(isinstance(node, HeadStatement) and not node.heads for each in said for node in every_node(each)):
        return "no heads"
    return ""


def translate(model: Model, promise: Promise, *, longest_ms: int) -> str:
    """The text that spin reads. Its assertion fails in a moment in which the promise is broken."""
    return Translation(model, promise).text(longest_ms)


def most_states(model: Model, promise: Promise) -> int:
    """No more states than this can be reached: of sources, kept values, memories, clocks and hold-offs together."""
    translation, most = Translation(model, promise), 1
    for item in model.inputs:
        most *= len(translation.levels(item)) * (len(item.values) if item.kind in KEEPS else 1)
    for memory in model.memories:
        most *= len(memory.values)
    for timed in (*translation.clocks, *translation.late_clocks):
        most *= timed.time_ms + 1
    for function in model.functions:
        most *= 2 if translation._ends(function, ask=True) else 1
    return most


class Translation(Acting):
    """One build and one promise, on the way to text."""

    def text(self, longest_ms: int) -> str:
        """All of it."""
        waits = longest_ms if self.clocks or self.late_clocks else 0
        return "\n".join(
            [*self._declared(), *self._work_out(), *self._rounds(), *self._moment(), *self._read(), *self._story(waits)]
        )

    def _declared(self) -> Iterator[str]:
        numbers = [f"s{i}" for i in range(len(self.inputs))] + [f"n{i}" for i in range(len(self.inputs))]
        numbers += [f"k{i}" for i, item in enumerate(self.model.inputs) if item.kind in KEEPS]
        numbers += [f"m{i}" for i in range(len(self.memories))]
        clocks = [f"c{i}" for i in range(len(self.clocks))] + [f"lc{i}" for i in range(len(self.late_clocks))]
        bits = [f"b{i}" for i in range(len(self.turns))] + [f"lb{i}" for i in range(len(self.late_turns))]
        bits += [f"h{i}" for i in range(len(self.functions))]
        yield from (f"byte {name};" for name in numbers)
        yield from (f"short {name};" for name in clocks)
        yield from (f"bool {name};" for name in bits)
        yield "bool armed; short wait;"
        for kind, names in self._scratch():
            yield from (f"{kind} {name};" for name in names)
        yield f"bit passed[{self._code_n()}];"
        yield "inline forget() {"
        yield "  " + " ".join(f"{name} = 0;" for _, names in self._scratch() for name in names)
        yield f"  pos = 0; do :: pos < {self._code_n()} -> passed[pos] = 0; pos++ :: else -> break od; pos = 0"
        yield "}"

    def _scratch(self) -> list[tuple[str, list[str]]]:
        """What is needed within a step only, and 0 between two steps, so that it makes no state of its own."""

        def row(letters: str, things: Sized) -> list[str]:
            return [f"{letter}{i}" for letter in letters.split() for i in range(len(things))]

        inputs, memories, functions = self.inputs, self.memories, self.functions
        bits = [*row("p r g", inputs), *row("d", self.model.limits), *row("a", memories), *row("t yb qb", self.turns)]
        bits += [*row("lt", self.late_turns), "first", "happened", "quiet", "back"]
        bytes_ = [*row("l", inputs), *row("v x", functions), *row("w z", memories), "pos"]
        return [("bit", bits), ("byte", bytes_), ("short", row("yc qc", self.clocks))]

    def _code_n(self) -> int:
        size = 1
        for memory in self.model.memories:
            size *= len(memory.values)
        return size

    def _code(self, letter: str) -> str:
        said = "0"
        for place, memory in enumerate(self.model.memories):
            said = f"({said} * {len(memory.values)} + {letter}{place})"
        return said

    def _counts(self, timed: Timed, clock: str) -> str:
        """The clock once it is known whether what it measures is true."""
        inside = self.says(timed.item)
        if isinstance(timed, Plus):
            over = timed.time_ms + 1
            return f"{clock} = ({inside} -> {over} : ({clock} == {over} -> {timed.time_ms} : {clock}));"
        return f"{clock} = ({inside} -> ({clock} == 0 -> 1 : {clock}) : 0);"

    def _work_out(self) -> Iterator[str]:
        """Words are read where they stand; timed conditions in the order they need each other; then what turned."""
        yield "inline work_out() {"
        for place, timed in enumerate(self.clocks):
            yield f"  {self._counts(timed, f'c{place}')}"
        for place, item in enumerate(self.turns):
            yield f"  t{place} = ({self.says(item)} && !b{place} && !quiet);"
        for place, item in enumerate(self.turns):
            yield f"  b{place} = {self.says(item)};"
        events = [f"{letter}{i}" for letter in "prl" for i in range(len(self.inputs))]
        yield f"  happened = {any_of([*(f't{i}' for i in range(len(self.turns))), f'(first && {any_of(events)})'])}"
        yield "}"

    def _rounds(self) -> Iterator[str]:
        """Moves from the old state until memory stands; `back` is set when it comes back to where it was."""
        yield "inline go_round() {"
        yield f"  pos = 0; do :: pos < {self._code_n()} -> passed[pos] = 0; pos++ :: else -> break od;"
        yield f"  passed[{self._code('m')}] = 1; back = 0;"
        yield "  do :: true ->"
        for place, memory in enumerate(self.model.memories):
            yield f"    w{place} = {self._moved(memory)};"
        moved = any_of(f"(w{place} != m{place})" for place in range(len(self.memories)))
        yield f"    if :: !{moved} && !happened -> break"
        yield f"       :: {moved} && passed[{self._code('w')}] -> back = 1; break"
        yield "       :: else -> first = 0;"
        yield from (f"         m{place} = w{place};" for place in range(len(self.memories)))
        yield f"         passed[{self._code('m')}] = 1; work_out()"
        yield "    fi"
        yield "  od"
        yield "}"

    def _kept(self, to: str, back: bool) -> Iterator[str]:
        pairs = [(f"c{i}", f"{to}c{i}") for i in range(len(self.clocks))]
        pairs += [(f"b{i}", f"{to}b{i}") for i in range(len(self.turns))]
        yield "  " + " ".join(f"{one} = {other};" if back else f"{other} = {one};" for one, other in pairs)

    def _moment(self) -> Iterator[str]:
        start = " ".join(f"z{place} = m{place};" for place in range(len(self.memories)))
        restore = " ".join(f"m{place} = z{place};" for place in range(len(self.memories)))
        yield "inline moment() {"
        yield f"  first = 1; {start} work_out();"
        yield from (f"  a{place} = {self._asked(memory)};" for place, memory in enumerate(self.model.memories))
        yield from self._kept("y", back=False)
        yield "  go_round();"
        yield "  if :: back ->"
        yield from self._kept("y", back=True)
        yield f"  {restore} first = 0; work_out();"
        yield from self._kept("q", back=False)
        yield "  happened = 0; go_round();"
        yield "  if :: back ->"
        yield from self._kept("q", back=True)
        yield f"  {restore} skip :: else fi"
        yield "  :: else fi;"
        yield "  first = 1;"
        for function in self.model.functions:
            yield from (f"  {line}" for line in self._function(function))
        yield from (f"  d{place} = {self.says(limit.when)};" for place, limit in enumerate(self.model.limits))
        yield from self._promise()
        yield "}"

    def _promise(self) -> Iterator[str]:
        self.late = True
        for place, timed in enumerate(self.late_clocks):
            yield f"  {self._counts(timed, f'lc{place}')}"
        for place, item in enumerate(self.late_turns):
            said = self.says(item)
            yield f"  lt{place} = ({said} && !lb{place} && !quiet); lb{place} = {said};"
        if self.promise.after is not None and self.promise.until is not None:
            yield f"  armed = (!{self.says(self.promise.until)} && ({self.says(self.promise.after)} || armed));"
        else:
            yield "  armed = 1;"
        yield f"  assert(!(armed && {self.says(self.broken)}))"
        self.late = False

    def _read(self) -> Iterator[str]:
        """What the new levels do: presses, releases, positions left, hands on levers; then they stand."""
        yield "inline read_new() {"
        for i, item in enumerate(self.model.inputs):
            if item.kind in FINGERS:
                yield f"  p{i} = (s{i} == 0 && n{i} == 1); r{i} = (s{i} == 1 && n{i} == 0);"
            if item.kind == "toggle":
                yield f"  k{i} = (p{i} -> 1 - k{i} : k{i});"
            elif item.kind == "pick-one":
                yield f"  g{i} = (n{i} != s{i}); l{i} = ((g{i} && k{i} != n{i}) -> k{i} + 1 : 0);"
                yield f"  k{i} = (g{i} -> n{i} : k{i});"
            elif item.kind not in ("button", "number"):
                yield f"  g{i} = (n{i} != s{i}); l{i} = (g{i} -> s{i} + 1 : 0);"
            yield f"  s{i} = n{i}; n{i} = 0;"
        yield "}"

    def _ticked(self) -> Iterator[str]:
        timed = [(each, f"c{place}") for place, each in enumerate(self.clocks)]
        timed += [(each, f"lc{place}") for place, each in enumerate(self.late_clocks)]
        for each, clock in timed:
            running, later = f"({clock} >= 1 && {clock} <= {each.time_ms})", "-" if isinstance(each, Plus) else "+"
            yield f"{clock} = ({running} -> {clock} {later} 1 : {clock});"

    def _chosen(self, *, no_finger: bool = False) -> Iterator[str]:
        """Anything that can stand at every source. no_finger : but none on a toggle."""
        for place, item in enumerate(self.model.inputs):
            levels = [0] if no_finger and item.kind == "toggle" else self.levels(item)
            yield f"  if {' '.join(f':: n{place} = {level}' for level in levels)} fi;"

    def _believable(self) -> str:
        self.source = "n"
        said = all_of(f"!{self.says(condition)}" for condition, _ in self.model.cannot_be)
        self.source = "s"
        return said

    def _story(self, longest_ms: int) -> Iterator[str]:
        stays = " ".join(f"n{place} = s{place};" for place in range(len(self.inputs)))
        levels = " ".join(f"{self._named(item)}=%d" for item in self.model.inputs)
        stood = ", ".join(self.reads(item.name) for item in self.model.inputs)
        yield "active proctype story() {"
        yield "  atomic {"
        yield from self._chosen(no_finger=longest_ms != 1)
        for place, item in enumerate(self.model.inputs):
            if item.kind in KEEPS:
                starts = range(len(item.values)) if item.start == "last" else [item.values.index(str(item.start))]
                yield f"  if {' '.join(f':: k{place} = {start}' for start in starts)} fi;"
        yield f"  if :: {self._believable()} :: else -> goto nowhere fi;"
        yield "  d_step {"
        for place, memory in enumerate(self.model.memories):
            yield f"    m{place} = {memory.values.index(memory.start)};"
        yield "    " + " ".join(f"s{place} = n{place}; n{place} = 0;" for place in range(len(self.inputs)))
        yield f'    printf("STEP power-up {levels}\\n", {stood});'
        yield "    quiet = 1; moment(); forget()"
        yield "  } };"
        yield "  do :: atomic {"
        if longest_ms == 1:
            yield f"  if :: wait = 1; {stays}"
            yield "     :: wait = 0;"
            yield from self._chosen()
            yield "  fi;"
        else:
            yield f"  if {' '.join(f':: wait = {wait}' for wait in range(longest_ms + 1))} fi;"
            yield from self._chosen()
        yield f"  if :: {self._believable()} :: else -> {stays} skip fi;"
        yield "  d_step {"
        yield '    printf("STEP %d ms\\n", wait);'
        yield "    do :: wait > 0 -> wait--;"
        yield from (f"      {line}" for line in self._ticked())
        yield "      moment()"
        yield "    :: else -> break od;"
        yield "    read_new();"
        yield f'    printf("READ {levels}\\n", {stood});'
        yield "    moment(); forget()"
        yield "  } } od;"
        yield "nowhere: skip"
        yield "}"

    @staticmethod
    def _named(item: Input) -> str:
        return item.name.replace("%", "")
