"""Moment after moment as one circuit: what can follow what, whatever a person does and however long it takes.

A frame is one moment of the machine, come to rest. Between two frames inputs change as they like and any time passes,
the supply dips, the controller falls asleep or wakes; memory moves in rounds as in control.rounds; a timed condition
turns true only where it could. Whatever the step does is a row of frames; a few rows of frames are nothing the step
does (how long times are against each other isn't known here). So what no row of frames breaks, no story breaks; what a
row breaks has to be acted out before it is believed.

While a source tells the truth and its input isn't read off asleep, a changed reading is the work of a hand, and fires
what that fires. In one of the frames a source may begin to lie; then it lies in all that follow (control.lies).

See Also
--------
coachwright.control.encode : one moment. coachwright.control.prove : asks. coachwright.control.rounds : what is copied.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from coachwright.build.condition import Event, Held, Truth
from coachwright.control.asleep import reads_off, sleep_of
from coachwright.control.choices import bits_of, choose
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.encode import Moment
from coachwright.control.lies import AS_IT_WAS, Lie, stands_still
from coachwright.control.promised import Promised

TRUE_READING = "true"
"""Begins the name of a variable that says how an input truly stands, whatever the machine reads."""

MOST_ROUNDS = 4
"""Rounds that are followed within one moment. After more, memory may stand anywhere."""
_SURE = ("slide", "pick-one", "toggle", "button", "states", "rotary-disconnect")
"""What fires whenever its reading changes by hand."""


@dataclass(slots=True)
class Frame:
    """One moment. All literals are of the unrolled circuit.

    Parameters
    ----------
    values : of every variable of the moment's circuit, at the end.
    memory : per memory, one literal per value. was : per `becomes` of a memory, whether its condition held.
    inside : per timer, whether what it measures held. broken : the promise is. rules : what holds here.
    boot : true when the frame is a power-up. changed : per input, true when it reads another value than before.
    moved : per slide and pick-one, true when a hand moved it (a reading can change without).
    asleep : the controller sleeps. lying : a source has begun to lie; held : bits of the place its input reads then.
    """

    number: int
    values: dict[int, int]
    memory: Mapping[str, tuple[int, ...]]
    was: Mapping[Event, int]
    inside: Mapping[int, int]
    late_was: Mapping[int, int]
    broken: int
    armed: int
    boot: int
    changed: Mapping[str, int] = field(default_factory=dict)
    moved: Mapping[str, int] = field(default_factory=dict)
    rules: list[int] = field(default_factory=list)
    asleep: int = FALSE
    lying: int = TRUE
    held: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class _Timer:
    """A timed condition with a variable of its own. late : of the promise."""

    literal: int
    inside: int
    held: bool
    late: bool


class Unrolled:
    """Frames of one promise over one moment.

    lie : how one source lies, from some frame on. free : inputs that read whatever they like in each frame, so that
    every fault of them, and every loss and return, is among what they do.
    """

    def __init__(
        self, moment: Moment, promised: Promised, *, lie: Lie | None = None, free: frozenset[str] = frozenset()
    ) -> None:
        self.moment = moment
        self.promised = promised
        self.circuit = Circuit()
        self.lie = lie
        self.free = free
        sleep = sleep_of(moment.model)
        self.awake_while = None if sleep is None else moment.condition(sleep.awake_while)
        self.kinds = {item.name: item for item in moment.model.inputs}
        self.moves = {
            memory.name: [(move, moment.acts(move, events=True)) for move in memory.moves]
            for memory in moment.model.memories
        }
        self.conditions: dict[Event, int] = {}
        self.events: dict[Event, int] = {}
        self._note_events()
        self.timers = _timers(moment, promised)
        self._frames_n = 0

    def _note_events(self) -> None:
        """Every event that a move or the promise names; reading one can bring others along."""
        while True:
            known = self.moment.circuit.variables
            new = [each for each in known if isinstance(each, Event) and each not in self.events]
            if not new:
                return
            for event in new:
                self.events[event] = self.moment.circuit.variable(event)
                if event.kind == "becomes":
                    item = event.item or Truth(event.name)
                    self.conditions[event] = self.moment.condition(item, events=True)

    # ------------------------------------------------------------------------------------------------------ frames
    def start(self) -> Frame:
        """A power-up: memory at its start, no event, no timer over, nobody held off but by a stop."""
        blank = self._blank()
        return self._next(blank, boot=TRUE)

    def anywhere(self) -> Frame:
        """Any moment at all that obeys the rules, reached or not."""
        number = self._count()
        new = self.circuit.variable
        values = self._inputs(number)
        memory = {}
        for choice in self.moment.memories.values():
            memory[choice.name] = self._one_of((number, "memory", choice.name), len(choice.literals))
            values |= self._memory_bits(choice.name, memory[choice.name])
        for place, timer in enumerate(self.timers):
            values[timer.literal] = new((number, "timer", place))
        for name, bit in self.moment.held_off_bits.items():
            values[bit] = new((number, "held off", name))
        if self.moment.restless != FALSE:
            values[self.moment.restless] = new((number, "restless"))
        armed = TRUE if self.promised.armed == TRUE else new((number, "armed"))
        if self.promised.armed != TRUE:
            values[self.promised.armed] = armed
        values |= {var: new((number, "event", event)) for event, var in self.events.items()}
        values |= {turn.literal: new((number, "turn", turn.literal)) for turn in self.promised.turns.values()}
        frame = Frame(number, values, memory, {}, {}, {}, FALSE, armed, FALSE)
        self._sleep(frame)
        if self.lie is not None:
            frame.lying = new((number, "lying"))
            frame.held = self._held_bits(number)
            frame.rules += self._reads_held(frame)
        self._note_lying(frame)
        quiet = dict(values) | dict.fromkeys(self.events.values(), FALSE)
        self._finish(frame, at_rest=quiet)
        return frame

    def after(self, before: Frame) -> Frame:
        """The moment after `before`: a while later, a power-up included."""
        return self._next(before, boot=self.circuit.variable((self._frames_n, "boot")))

    def _count(self) -> int:
        self._frames_n += 1
        return self._frames_n - 1

    def _blank(self) -> Frame:
        """What stands before the first power-up: nothing that matters."""
        values: dict[int, int] = dict.fromkeys(self.moment.circuit.variables.values(), FALSE)
        memory = {
            choice.name: tuple(TRUE if place == choice.rest else FALSE for place in range(len(choice.literals)))
            for choice in self.moment.memories.values()
        }
        return Frame(
            -1,
            values,
            memory,
            dict.fromkeys(self.conditions, FALSE),
            {timer.literal: FALSE for timer in self.timers},
            {turn.literal: FALSE for turn in self.promised.turns.values()},
            FALSE,
            FALSE,
            FALSE,
            lying=FALSE,
        )

    def _next(self, before: Frame, *, boot: int) -> Frame:
        number = self._count()
        frame = Frame(number, self._inputs(number), {}, {}, {}, {}, FALSE, FALSE, boot)
        self._sleep(frame)
        self._lie(before, frame)
        frame.changed = self._changes(before, frame)
        frame.moved = self._moves(before, frame)
        settled = self._rounds(before, frame)
        self._hold_offs(before, frame)
        self._at_boot(frame)
        if self.moment.restless != FALSE:
            frame.values[self.moment.restless] = -settled
        at_rest = dict(frame.values)
        for event, var in self.events.items():
            at_rest[var] = FALSE  # rounds are over
            if event.kind == "becomes":
                frame.values[var] = FALSE
        self._late(before, frame)
        self._finish(frame, at_rest=at_rest)
        return frame

    # ------------------------------------------------------------------------------------------------------ inputs
    def _inputs(self, number: int) -> dict[int, int]:
        values: dict[int, int] = {}
        for name, choice in self.moment.inputs.items():
            for bit, var in enumerate(bits_of(self.moment.circuit, name, len(choice.literals))):
                values[var] = self.circuit.variable((number, name, bit))
        for named, var in self.moment.circuit.variables.items():
            if isinstance(named, tuple) and named[0] == TRUE_READING:
                values[var] = self.circuit.variable((number, *named))
        return values

    def _at_boot(self, frame: Frame) -> None:
        """A power-up: what a finger chose is forgotten, where its `start` isn't `last`."""
        for item in self.moment.model.inputs:
            if item.kind in ("toggle", "pick-one") and item.start in item.values and item.name not in self.free:
                choice = self.moment.inputs[item.name]
                at_start = self._literal(frame, item.name, choice.place(item.start))
                sees = self.circuit.all_of(
                    (frame.boot, -self._reads_off(frame, item.name), -self._lies(frame, item.name))
                )
                frame.rules.append(self.circuit.implies(sees, at_start))

    def _literal(self, frame: Frame, name: str, place: int) -> int:
        """The input reads this place."""
        literal = self.moment.inputs[name].literals[place]
        return self.moment.circuit.copied([literal], self.circuit, dict(frame.values))[0]

    # ------------------------------------------------------------------------------------------------------- sleep
    def _sleep(self, frame: Frame) -> None:
        """It may sleep, and then what reads off does; that it may is among the rules of the finished frame."""
        off = [name for name, item in self.kinds.items() if reads_off(item)]
        if self.awake_while is None or not off:
            return
        frame.asleep = self.circuit.variable((frame.number, "asleep"))
        frame.rules += [self.circuit.implies(frame.asleep, self._literal(frame, name, 0)) for name in off]

    def _reads_off(self, frame: Frame, name: str) -> int:
        return frame.asleep if reads_off(self.kinds[name]) else FALSE

    # -------------------------------------------------------------------------------------------- a source that lies
    def _lies(self, frame: Frame, name: str) -> int:
        return frame.lying if self.lie is not None and self.lie.input == name else FALSE

    def _lie(self, before: Frame, frame: Frame) -> None:
        """It begins in one frame or another, and goes on; what the input reads from then on."""
        lie, circuit = self.lie, self.circuit
        if lie is not None:
            frame.lying = circuit.any_of((before.lying, circuit.variable((frame.number, "begins to lie"))))
            frame.held = held = self._held_bits(frame.number)
            goes_on = circuit.all_of((before.lying, frame.lying))
            begins = circuit.all_of((frame.lying, -before.lying))
            awake = -self._reads_off(before, lie.input)
            was = tuple(before.values[var] for var in self._bits(lie.input))
            kept = before.held or held
            for when, place, instead in (
                (circuit.all_of((frame.boot, begins)), lie.at_boot, held),
                (circuit.all_of((frame.boot, goes_on)), lie.at_boot, kept),
                (circuit.all_of((-frame.boot, goes_on)), AS_IT_WAS, kept),
                (circuit.all_of((-frame.boot, begins)), lie.begins, was),
            ):
                if place != AS_IT_WAS:
                    frame.rules.append(circuit.implies(when, circuit.all_of(self._same(held, _as_bits(place, held)))))
                elif instead is was:
                    frame.rules.append(
                        circuit.implies(circuit.all_of((when, awake)), circuit.all_of(self._same(held, was)))
                    )
                else:
                    frame.rules.append(circuit.implies(when, circuit.all_of(self._same(held, instead))))
            frame.rules += self._reads_held(frame)
        self._note_lying(frame)

    def _note_lying(self, frame: Frame) -> None:
        if self.promised.lying != TRUE:
            frame.values[self.promised.lying] = frame.lying

    def _bits(self, name: str) -> list[int]:
        return bits_of(self.moment.circuit, name, len(self.moment.inputs[name].literals))

    def _held_bits(self, number: int) -> tuple[int, ...]:
        assert self.lie is not None
        return tuple(self.circuit.variable((number, "held", bit)) for bit in range(len(self._bits(self.lie.input))))

    def _same(self, one: Sequence[int], other: Sequence[int]) -> list[int]:
        return [self.circuit.same(here, there) for here, there in zip(one, other, strict=True)]

    def _reads_held(self, frame: Frame) -> list[int]:
        """While the source lies the input reads what is held, or P while the vehicle stands."""
        lie, circuit = self.lie, self.circuit
        assert lie is not None
        sees = circuit.all_of((frame.lying, -self._reads_off(frame, lie.input)))
        reads = [frame.values[var] for var in self._bits(lie.input)]
        as_held = circuit.all_of(self._same(reads, frame.held))
        if lie.parks < 0:
            return [circuit.implies(sees, as_held)]
        parked = self._literal(frame, lie.input, lie.parks)
        literal = stands_still(self.moment)
        if literal is None:
            return [circuit.implies(sees, circuit.any_of((as_held, parked)))]
        (stands,) = self.moment.circuit.copied([literal], circuit, dict(frame.values))
        either = (circuit.implies(stands, parked), circuit.implies(-stands, as_held))
        return [circuit.implies(sees, circuit.all_of(either))]

    def _quiet(self, before: Frame, frame: Frame, name: str) -> int:
        """Nothing that its source does is seen: a power-up, or it can't be seen now or couldn't before."""
        quiet = [frame.boot]
        if name not in self.free:
            quiet += [self._reads_off(before, name), self._reads_off(frame, name), self._lies(before, name)]
            if self.lie is not None and self.lie.silent:
                quiet.append(self._lies(frame, name))
        return self.circuit.any_of(quiet)

    def _memory_bits(self, name: str, literals: Sequence[int]) -> dict[int, int]:
        """What the bits of a memory are when one of these is true."""
        found = {}
        for bit, var in enumerate(bits_of(self.moment.circuit, name, len(literals))):
            found[var] = self.circuit.any_of(each for place, each in enumerate(literals) if place >> bit & 1)
        return found

    def _one_of(self, name: Hashable, values_n: int) -> tuple[int, ...]:
        """Literals of which exactly one is true."""
        return choose(self.circuit, str(name), values_n)

    def _changes(self, before: Frame, frame: Frame) -> dict[str, int]:
        """Whether another value is read. The last one may stand under several numbers, so bits alone don't say it."""
        found = {}
        for name, choice in self.moment.inputs.items():
            was, now = (
                self.moment.circuit.copied(list(choice.literals), self.circuit, dict(each.values))
                for each in (before, frame)
            )
            found[name] = -self.circuit.all_of(self._same(was, now))
        return found

    def _moves(self, before: Frame, frame: Frame) -> dict[str, int]:
        """A hand on a lever changes what it reads, but where a pick-one is set to what it was powered up with."""
        found = {}
        for item in self.moment.model.inputs:
            if item.kind not in ("slide", "pick-one"):
                continue
            changed, new = frame.changed[item.name], self.circuit.variable((frame.number, "moved", item.name))
            moved = self.circuit.all_of((changed, new)) if item.name in self.free else changed
            if item.kind == "pick-one":
                there = TRUE
                if item.start in item.values:
                    there = self._literal(frame, item.name, self.moment.inputs[item.name].place(item.start))
                moved = self.circuit.any_of((moved, self.circuit.all_of((new, there))))
            found[item.name] = self.circuit.all_of((moved, -self._quiet(before, frame, item.name)))
        return found

    # ------------------------------------------------------------------------------------------------------ rounds
    def _rounds(self, before: Frame, frame: Frame) -> int:
        """Memory and timers of the moment; gives the literal: it came to rest within the rounds followed."""
        circuit, boot = self.circuit, frame.boot
        memory: dict[str, tuple[int, ...]] = {}
        for choice in self.moment.memories.values():
            memory[choice.name] = tuple(
                circuit.any_of((circuit.all_of((boot, TRUE if place == choice.rest else FALSE)),
                                circuit.all_of((-boot, literal))))
                for place, literal in enumerate(before.memory[choice.name])
            )  # fmt: skip
        events = self._first_events(before, frame)
        timers = {timer.literal: circuit.all_of((-boot, before.values[timer.literal])) for timer in self.timers}
        was = dict(before.was.items())
        rounds_n = 1 if not any(self.moves.values()) else MOST_ROUNDS
        settled = TRUE
        for place in range(rounds_n):
            values = dict(frame.values)
            for name, literals in memory.items():
                values |= self._memory_bits(name, literals)
            values |= events if place == 0 else dict.fromkeys(self.events.values(), FALSE)
            inside = self._early_timers(before, frame, values, timers, first=place == 0)
            turned, now = self._becomes(values, was, quiet=boot if place == 0 else FALSE)
            moved = self._moved(values, memory)
            stays = [
                circuit.same(one, other)
                for name in memory
                for one, other in zip(memory[name], moved[name], strict=True)
            ]
            happened = [*turned.values(), *(events.values() if place == 0 else ())]
            settled = circuit.all_of((*stays, *(-each for each in happened))) if rounds_n > 1 else TRUE
            timers, was = {timer.literal: values[timer.literal] for timer in self._early()}, now
            if place + 1 < rounds_n:
                memory = moved
            else:
                frame.values |= {var: value for var, value in values.items() if var not in events}
                frame.inside, frame.was = inside, now
                settled = self._freed(frame, memory, settled)
        frame.values |= events
        return settled

    def _freed(self, frame: Frame, memory: Mapping[str, tuple[int, ...]], settled: int) -> int:
        """Where memory hasn't come to rest it may stand anywhere, and so may what is timed by it."""
        if settled == TRUE:
            frame.memory = memory
            return TRUE
        circuit = self.circuit
        stands: dict[str, tuple[int, ...]] = {}
        for name, literals in memory.items():
            free = self._one_of((frame.number, "unsettled", name), len(literals))
            stands[name] = tuple(
                circuit.any_of((circuit.all_of((settled, one)), circuit.all_of((-settled, other))))
                for one, other in zip(literals, free, strict=True)
            )
            frame.values |= self._memory_bits(name, stands[name])
        for place, timer in enumerate(self._early()):
            free_timer = circuit.variable((frame.number, "unsettled timer", place))
            known = circuit.all_of((settled, frame.values[timer.literal]))
            frame.values[timer.literal] = circuit.any_of((known, circuit.all_of((-settled, free_timer))))
        frame.memory = stands
        # What was measured is read anew, since memory may stand elsewhere.
        values = dict(frame.values) | dict.fromkeys(self.events.values(), FALSE)
        early = self._early()
        again = self.moment.circuit.copied([timer.inside for timer in early], circuit, dict(values))
        frame.inside = {timer.literal: literal for timer, literal in zip(early, again, strict=True)}
        conditions = list(self.conditions)
        held = self.moment.circuit.copied([self.conditions[each] for each in conditions], circuit, dict(values))
        frame.was = dict(zip(conditions, held, strict=True))
        return settled

    def _first_events(self, before: Frame, frame: Frame) -> dict[int, int]:
        """Events of controls in the first round: where a reading changes by hand; none at a power-up."""
        found: dict[int, int] = {}
        for place, (event, var) in enumerate(self.events.items()):
            if event.kind == "becomes":
                found[var] = FALSE
                continue
            item, free = self.kinds[event.name], self.circuit.variable((frame.number, "event", place))
            happens = [-self._quiet(before, frame, event.name)]
            if event.kind == "leaves":
                there = self.moment.inputs[event.name].place(event.position)
                happens += [frame.changed[event.name], self._literal(before, event.name, there)]
                if event.name in frame.moved:
                    happens.append(frame.moved[event.name])
                    free = TRUE
            elif item.kind == "toggle" and event.kind == "released":
                found[var] = self.circuit.all_of((free, *happens))  # it keeps its value when the finger leaves it
                continue
            else:
                happens.append(frame.changed[event.name])
                if item.kind == "button":
                    happens.append(self._literal(frame, event.name, 1 if event.kind == "pressed" else 0))
            sure = event.name not in self.free and item.kind in _SURE
            found[var] = self.circuit.all_of(happens if sure else (free, *happens))
        return found

    def _early(self) -> list[_Timer]:
        return [timer for timer in self.timers if not timer.late]

    def _early_timers(
        self, before: Frame, frame: Frame, values: dict[int, int], timers: Mapping[int, int], *, first: bool
    ) -> dict[int, int]:
        """Work out the timers of a round, in the order in which they need each other."""
        inside = {}
        for timer in self._early():
            (truth,) = self.moment.circuit.copied([timer.inside], self.circuit, dict(values))
            inside[timer.literal] = truth
            if first:
                values[timer.literal] = self._timer(before, frame, timer, truth)
            elif timer.held:
                values[timer.literal] = self.circuit.all_of((timers[timer.literal], truth))
            else:
                values[timer.literal] = self.circuit.any_of((timers[timer.literal], truth))
        return inside

    def _timer(self, before: Frame, frame: Frame, timer: _Timer, truth: int) -> int:
        """A timed condition after a while: it may have come over only where it was running."""
        circuit, boot = self.circuit, frame.boot
        new = circuit.variable((frame.number, "timer", timer.literal))
        was, measured = before.values[timer.literal], before.inside.get(timer.literal, before.values[timer.literal])
        if timer.held:
            could = circuit.all_of((-boot, measured))
            sure = circuit.all_of((-boot, was))
            return circuit.all_of((truth, circuit.any_of((sure, circuit.all_of((could, new))))))
        could = circuit.all_of((-boot, was))
        sure = circuit.all_of((-boot, measured))
        return circuit.any_of((truth, sure, circuit.all_of((could, new))))

    def _becomes(
        self, values: dict[int, int], was: Mapping[Event, int], *, quiet: int
    ) -> tuple[dict[Event, int], dict[Event, int]]:
        turned, now = {}, {}
        for event, condition in self.conditions.items():
            (truth,) = self.moment.circuit.copied([condition], self.circuit, dict(values))
            now[event] = truth
            turned[event] = self.circuit.all_of((truth, -was.get(event, FALSE), -quiet))
            values[self.events[event]] = turned[event]
        return turned, now

    def _moved(self, values: Mapping[int, int], memory: Mapping[str, tuple[int, ...]]) -> dict[str, tuple[int, ...]]:
        """Every memory after the round: of the moves that hold the first acts."""
        found = {}
        for name, moves in self.moves.items():
            choice, old = self.moment.memories[name], memory[name]
            new: list[list[int]] = [[] for _ in old]
            nobody = TRUE
            holds = self.moment.circuit.copied([acts for _, acts in moves], self.circuit, dict(values))
            for (move, _), literal in zip(moves, holds, strict=True):
                acts = self.circuit.all_of((nobody, literal))
                if move.next:
                    around = [choice.place(value) for value in move.next]
                    for place, here in enumerate(old):
                        target = around[(around.index(place) + 1) % len(around)] if place in around else around[0]
                        new[target].append(self.circuit.all_of((acts, here)))
                else:
                    new[choice.place(move.to)].append(acts)
                nobody = self.circuit.all_of((nobody, -literal))
            for place, here in enumerate(old):
                new[place].append(self.circuit.all_of((nobody, here)))
            found[name] = tuple(self.circuit.any_of(each) for each in new)
        return found

    # --------------------------------------------------------------------------------------------------- functions
    def _hold_offs(self, before: Frame, frame: Frame) -> None:
        """Held off from a stop's start until asked: a button pressed, a toggle turned on, a lever moved."""
        circuit = self.circuit
        for name, bit in self.moment.held_off_bits.items():
            asked_by = next(each.asked_by for each in self.moment.machine.functions if each.name == name)
            asks = [frame.boot, *(self._turned_on(before, frame, place) for place in sorted(asked_by.turned_on))]
            asks += [frame.moved[self.moment.machine.inputs[place].name] for place in sorted(asked_by.moved)]
            if asked_by.by >= 0:
                asks.append(self._moved_to(frame, asked_by.by, asked_by.showing))
            if asked_by.memories:
                asks.append(TRUE)
            can_ask = circuit.any_of(asks)
            kept = circuit.all_of((before.values[bit], -can_ask))
            new = circuit.variable((frame.number, "held off", name))
            frame.values[bit] = circuit.any_of((kept, new))
            # It begins only with a stop; the rules at rest say that a stop begins it.
            acting = self.moment.functions[name]
            (stopped,) = self.moment.circuit.copied([acting.stopped], circuit, dict(frame.values))
            begins = circuit.any_of((stopped, circuit.all_of((before.values[bit], -frame.boot))))
            frame.rules.append(circuit.implies(frame.values[bit], begins))

    def _turned_on(self, before: Frame, frame: Frame, place: int) -> int:
        name = self.moment.machine.inputs[place].name
        turned = (frame.changed[name], -self._literal(frame, name, 0), -self._quiet(before, frame, name))
        return self.circuit.all_of(turned)

    def _moved_to(self, frame: Frame, place: int, showing: Iterable[int]) -> int:
        """A lever was moved to where a level shows."""
        name = self.moment.machine.inputs[place].name
        literals = [self.moment.inputs[name].literals[each] for each in sorted(showing)]
        shows = self.circuit.any_of(self.moment.circuit.copied(literals, self.circuit, dict(frame.values)))
        return self.circuit.all_of((frame.moved.get(name, FALSE), shows))

    # ------------------------------------------------------------------------------------------------------ promise
    def _late(self, before: Frame, frame: Frame) -> None:
        """What the promise itself remembers: turns, timers, whether it is armed."""
        circuit, source = self.circuit, self.moment.circuit
        late_was = {}
        for turn in self.promised.turns.values():
            (truth,) = source.copied([turn.inside], circuit, dict(frame.values))
            late_was[turn.literal] = truth
            frame.values[turn.literal] = circuit.all_of(
                (truth, -before.late_was.get(turn.literal, before.values[turn.literal]), -frame.boot)
            )
        inside = dict(frame.inside)
        for timer in self.timers:
            if timer.late:
                (truth,) = source.copied([timer.inside], circuit, dict(frame.values))
                inside[timer.literal] = truth
                frame.values[timer.literal] = self._timer(before, frame, timer, truth)
        frame.inside, frame.late_was = inside, late_was
        if self.promised.armed != TRUE:
            after, until = source.copied([self.promised.after, self.promised.until], circuit, dict(frame.values))
            frame.armed = circuit.all_of((-until, circuit.any_of((after, before.armed))))
            frame.values[self.promised.armed] = frame.armed
        else:
            frame.armed = TRUE

    def _finish(self, frame: Frame, *, at_rest: dict[int, int]) -> None:
        source, moment = self.moment.circuit, self.moment
        rules = [*moment.rules, *moment.rules_at_rest]
        frame.rules += source.copied(rules, self.circuit, dict(at_rest))
        frame.rules += source.copied(moment.rules, self.circuit, dict(frame.values))
        if self.awake_while is not None and frame.asleep != FALSE:
            (awake,) = source.copied([self.awake_while], self.circuit, dict(frame.values))
            frame.rules.append(self.circuit.implies(frame.asleep, -awake))
        (frame.broken,) = source.copied([self.promised.broken], self.circuit, dict(frame.values))
        if not frame.inside:  # anywhere: what its timers measure and its conditions say is read from it
            early = list(self.timers)
            literals = source.copied([timer.inside for timer in early], self.circuit, dict(frame.values))
            frame.inside = {timer.literal: each for timer, each in zip(early, literals, strict=True)}
            names = list(self.conditions)
            said = source.copied([self.conditions[each] for each in names], self.circuit, dict(at_rest))
            frame.was = dict(zip(names, said, strict=True))
            turns = list(self.promised.turns.values())
            late = source.copied([turn.inside for turn in turns], self.circuit, dict(frame.values))
            frame.late_was = {turn.literal: each for turn, each in zip(turns, late, strict=True)}


def _as_bits(place: int, like: Sequence[int]) -> tuple[int, ...]:
    return tuple(TRUE if place >> bit & 1 else FALSE for bit in range(len(like)))


def _timers(moment: Moment, promised: Promised) -> tuple[_Timer, ...]:
    """Every timed condition with a variable, each behind what it needs."""
    found = [
        _Timer(literal, moment.condition(timed.item), isinstance(timed, Held), late=False)
        for timed, literal in moment.timed.items()
        if literal in set(moment.circuit.variables.values())
    ]
    found += [
        _Timer(late.literal, late.inside, isinstance(late.timed, Held), late=True) for late in promised.timers.values()
    ]
    return tuple(found)


def all_rules(frames: Iterable[Frame]) -> list[int]:
    """What holds in a row of frames."""
    return [rule for frame in frames for rule in frame.rules]
