"""Moment after moment as one circuit: what can follow what, whatever a person does and however long it takes.

A frame is one moment of the machine, come to rest. Between two frames inputs change as they like and any time passes,
the supply dips, the controller falls asleep or wakes; memory moves in rounds as in control.rounds; a timed condition
turns true only where it could. Whatever the step does is a row of frames; a few rows of frames are nothing the step
does (how long times are against each other isn't known here). So what no row of frames breaks, no story breaks; what a
row breaks has to be acted out before it is believed.

See Also
--------
coachwright.control.encode : one moment. coachwright.control.heard : what is read. coachwright.control.prove : asks.
coachwright.control.rounds : what is copied.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace

from coachwright.build.condition import Event, Held, Truth
from coachwright.control.choices import bits_of, choose
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.encode import Moment
from coachwright.control.frame import TRUE_READING, Frame, GoneThrough, Pair, Stand
from coachwright.control.heard import Heard
from coachwright.control.lies import Lie
from coachwright.control.promised import Promised

MOST_ROUNDS = 4
"""Rounds that are followed within one moment. After more, memory may stand anywhere."""


@dataclass(frozen=True, slots=True)
class _Timer:
    """A timed condition with a variable of its own. late : of the promise."""

    literal: int
    inside: int
    held: bool
    late: bool


class Unrolled:
    """Frames of one promise over one moment.

    lie : how one source lies, from some frame on. free : inputs that read whatever they like. stuck : inputs that read
    one place from power-up on (all control.heard). in_step : pairs of timers that may count alike; see Pair.
    rests_at_once : no rounds of its memories ever come back or take long (control.comes_to_rest has found that out).
    """

    def __init__(
        self,
        moment: Moment,
        promised: Promised,
        *,
        lie: Lie | None = None,
        free: frozenset[str] = frozenset(),
        stuck: Mapping[str, int] | None = None,
        in_step: Sequence[Pair] = (),
        rests_at_once: bool = False,
    ) -> None:
        self.moment = moment
        self.promised = promised
        self.circuit = Circuit()
        self.heard = Heard(moment, self.circuit, lie=lie, free=free, stuck=dict(stuck or {}))
        self.moves = {
            memory.name: [(move, moment.acts(move, events=True)) for move in memory.moves]
            for memory in moment.model.memories
        }
        self.conditions: dict[Event, int] = {}
        self.events: dict[Event, int] = {}
        self._note_events()
        self.timers = _timers(moment, promised)
        self.in_step = tuple(in_step)
        self.rests_at_once = rests_at_once
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
        values |= {pair.literal: new((number, "in step", pair.literal)) for pair in self.in_step}
        frame = Frame(number, values, memory, {}, {}, {}, FALSE, armed, FALSE)
        self.heard.anywhere(frame)
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
        self.heard.after(before, frame)
        self._note_lying(frame)
        settled = self._rounds(before, frame)
        self._hold_offs(before, frame)
        if self.moment.restless != FALSE:
            frame.values[self.moment.restless] = -settled
        at_rest = dict(frame.values)
        for event, var in self.events.items():
            at_rest[var] = FALSE  # rounds are over
            if event.kind == "becomes":
                frame.values[var] = FALSE
        self._late(before, frame)
        at_rest |= {timer.literal: frame.values[timer.literal] for timer in self.timers if timer.late}
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

    def _note_lying(self, frame: Frame) -> None:
        if self.promised.lying != TRUE:
            frame.values[self.promised.lying] = frame.lying

    def _memory_bits(self, name: str, literals: Sequence[int]) -> dict[int, int]:
        """What the bits of a memory are when one of these is true."""
        found = {}
        for bit, var in enumerate(bits_of(self.moment.circuit, name, len(literals))):
            found[var] = self.circuit.any_of(each for place, each in enumerate(literals) if place >> bit & 1)
        return found

    def _one_of(self, name: Hashable, values_n: int) -> tuple[int, ...]:
        """Literals of which exactly one is true."""
        return choose(self.circuit, str(name), values_n)

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
        events = self.heard.first_events(before, frame, self.events)
        timers = {timer.literal: circuit.all_of((-boot, before.values[timer.literal])) for timer in self.timers}
        ended = self._gone_through(before, frame, Stand(memory, timers, before.was), events)
        if self.rests_at_once:
            ended = replace(ended, settled=TRUE, back=FALSE, on_the_way=FALSE)
        settled, known, on_the_way_again = ended.settled, ended.settled, FALSE
        stands, ways = ended.stands, [(circuit.all_of((ended.settled, -ended.back)), ended.inside)]
        if ended.back != FALSE:  # as before the moment, and gone through once more without its events
            again = self._gone_through(before, frame, Stand(memory, *ended.found_first), None)
            calm = circuit.all_of((ended.back, again.settled, -again.back))
            stays = circuit.all_of((ended.back, again.back))
            ways += [(calm, (ended.inside[0], *again.inside)), (stays, (ended.inside[0], again.inside[0]))]
            second = self._either(again.back, Stand(memory, *again.found_first), again.stands)
            stands = self._either(ended.back, second, stands)
            settled = circuit.any_of((ways[0][0], calm))
            known = circuit.any_of((settled, stays))
            on_the_way_again = circuit.all_of((ended.back, again.on_the_way))
        frame.came_back = ended.back
        frame.restless = circuit.any_of((-known, ended.on_the_way, on_the_way_again))
        self._stand(frame, stands, known)
        frame.values |= events
        for pair in self.in_step:
            alike = [circuit.all_of((way, self._counts_alike(before, frame, pair, inside))) for way, inside in ways]
            frame.values[pair.literal] = circuit.any_of(alike)
            both = circuit.same(*(circuit.variable((frame.number, "timer", timer)) for timer in (pair.one, pair.other)))
            frame.rules.append(circuit.implies(circuit.all_of((-boot, before.values[pair.literal])), both))
        return settled

    def _counts_alike(self, before: Frame, frame: Frame, pair: Pair, all_inside: Sequence[Mapping[int, int]]) -> int:
        """Literal: two timers have exactly as much left after these rounds.

        A timer goes on from before where what it counts stood then and in every round since; whatever begins to count
        within the moment begins with its full time. So two are in step where neither counts, where both began in this
        moment, or where both go on and were in step.
        """
        circuit, boot = self.circuit, frame.boot
        all_of, any_of = circuit.all_of, circuit.any_of
        counting, going_on = [], []
        for timer in (pair.one, pair.other):
            sign = 1 if pair.held else -1
            measured = sign * before.inside.get(timer, before.values[timer])
            counting.append(sign * all_inside[-1][timer])
            going_on.append(all_of((-boot, measured, *(sign * inside[timer] for inside in all_inside))))
        both, neither = all_of(counting), all_of(-each for each in counting)
        begun = all_of((both, *(-each for each in going_on)))
        if not pair.held:  # never counted since the power-up: over, and begun only where it was true in between
            lately = [any_of(inside[timer] for inside in all_inside) for timer in (pair.one, pair.other)]
            begun = all_of((begun, circuit.same(*lately)))
        on = all_of((*going_on, before.values[pair.literal]))
        return any_of((neither, begun, on))

    def _gone_through(self, before: Frame, frame: Frame, start: Stand, events: Mapping[int, int] | None) -> GoneThrough:
        """Rounds from `start`. events : of the first round; None for the second time, without."""
        circuit = self.circuit
        rounds_n = 1 if not any(self.moves.values()) else MOST_ROUNDS
        memory, timers, was = start.memory, start.timers, start.was
        silence = dict.fromkeys(self.events.values(), FALSE)
        passed, back, on_the_way, settled = [memory], FALSE, FALSE, TRUE
        found_first, inside = (timers, was), list[dict[int, int]]()
        for place in range(rounds_n):
            first = place == 0 and events is not None
            values = dict(frame.values)
            for name, literals in memory.items():
                values |= self._memory_bits(name, literals)
            values |= events if place == 0 and events is not None else silence
            inside.append(self._early_timers(before, frame, values, timers, first=first))
            turned, was = self._becomes(values, was, quiet=frame.boot)
            timers = {timer.literal: values[timer.literal] for timer in self._early()}
            if place == 0:
                found_first = (timers, was)
            if rounds_n == 1:
                break
            moved = self._moved(values, memory)
            stays = self._same_memory(moved, memory)
            returns = [circuit.all_of((-stays, self._same_memory(moved, one))) for one in passed]
            on_the_way = circuit.any_of((on_the_way, circuit.all_of((-back, circuit.any_of(returns[1:])))))
            back = circuit.any_of((back, *returns))
            happened = [*turned.values(), *(events.values() if first and events is not None else ())]
            settled = circuit.all_of((stays, *(-each for each in happened)))
            if place + 1 < rounds_n:
                memory = moved
                passed.append(moved)
        return GoneThrough(Stand(memory, timers, was), found_first, settled, back, on_the_way, tuple(inside))

    def _same_memory(self, one: Mapping[str, tuple[int, ...]], other: Mapping[str, tuple[int, ...]]) -> int:
        """Every memory stands alike."""
        return self.circuit.all_of(
            self.circuit.same(here, there) for name in one for here, there in zip(one[name], other[name], strict=True)
        )

    def _either(self, which: int, one: Stand, other: Stand) -> Stand:
        """The one where `which` is true, else the other."""
        circuit = self.circuit

        def chosen(here: int, there: int) -> int:
            return circuit.any_of((circuit.all_of((which, here)), circuit.all_of((-which, there))))

        memory = {
            name: tuple(chosen(here, there) for here, there in zip(literals, other.memory[name], strict=True))
            for name, literals in one.memory.items()
        }
        timers = {timer: chosen(literal, other.timers[timer]) for timer, literal in one.timers.items()}
        return Stand(memory, timers, one.was)

    def _stand(self, frame: Frame, stands: Stand, known: int) -> None:
        """Where memory and timers stand in the end. Where that isn't known they may stand anywhere."""
        circuit = self.circuit
        if known != TRUE:
            memory = {
                name: self._one_of((frame.number, "unsettled", name), len(literals))
                for name, literals in stands.memory.items()
            }
            timers = {
                timer.literal: circuit.variable((frame.number, "unsettled timer", place))
                for place, timer in enumerate(self._early())
            }
            stands = self._either(known, stands, Stand(memory, timers, stands.was))
        frame.memory = stands.memory
        for name, literals in stands.memory.items():
            frame.values |= self._memory_bits(name, literals)
        frame.values |= stands.timers
        # What was measured is read where memory stands in the end.
        values = dict(frame.values) | dict.fromkeys(self.events.values(), FALSE)
        early, conditions = self._early(), list(self.conditions)
        inside = self.moment.circuit.copied([timer.inside for timer in early], circuit, dict(values))
        frame.inside = {timer.literal: literal for timer, literal in zip(early, inside, strict=True)}
        held = self.moment.circuit.copied([self.conditions[each] for each in conditions], circuit, dict(values))
        frame.was = dict(zip(conditions, held, strict=True))

    def _early(self) -> list[_Timer]:
        return [timer for timer in self.timers if not timer.late]

    def _early_timers(
        self, before: Frame, frame: Frame, values: dict[int, int], timers: Mapping[int, int], *, first: bool
    ) -> dict[int, int]:
        """Work out the timers of a round, in the order in which they need each other; gives what they measure."""
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
            names = [item.name for item in self.moment.machine.inputs]
            asks = [frame.boot]
            asks += [self.heard.turned_on(before, frame, names[place]) for place in sorted(asked_by.turned_on)]
            asks += [frame.moved[names[place]] for place in sorted(asked_by.moved)]
            if asked_by.by >= 0:
                asks.append(self.heard.moved_to(frame, names[asked_by.by], asked_by.showing))
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
        frame.rules += self.heard.may_sleep(frame)
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


def _timers(moment: Moment, promised: Promised) -> tuple[_Timer, ...]:
    """Every timed condition with a variable, behind what it needs. Late: also what a message times of functions."""
    variables, late = set(moment.circuit.variables.values()), set(moment.held_off_bits.values())
    found = []
    for timed, literal in moment.timed.items():
        if literal in variables:
            inside = moment.condition(timed.item)
            is_late = not late.isdisjoint(moment.circuit.cone([inside]))
            late |= {literal} if is_late else set()
            found.append(_Timer(literal, inside, isinstance(timed, Held), late=is_late))
    found += [
        _Timer(each.literal, each.inside, isinstance(each.timed, Held), late=True) for each in promised.timers.values()
    ]
    return tuple(found)
