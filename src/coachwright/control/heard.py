"""What does the controller read in each of a row of frames, and what has a hand done there?

While a source tells the truth and its input isn't read off asleep, a changed reading is the work of a hand, and fires
what that fires. Falling asleep, waking, a loss and a power-up change readings and fire nothing. In one of the frames a
source may begin to lie; then it lies in all that follow.

See Also
--------
coachwright.control.signals : what is copied. coachwright.control.lies : how a source lies.
coachwright.control.unrolled : what comes of what is read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from coachwright.build.condition import Event
from coachwright.control.asleep import reads_off, sleep_of
from coachwright.control.choices import bits_of
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.encode import Moment
from coachwright.control.frame import ASLEEP, Frame
from coachwright.control.lies import AS_IT_WAS, Lie, stands_still

_SURE = ("slide", "pick-one", "toggle", "button", "states", "rotary-disconnect")
"""What fires whenever its reading changes by hand."""


class Heard:
    """Sources of the frames of one circuit.

    lie : how one source lies, from some frame on. free : inputs that read whatever they like in each frame, so that
    every fault of them, and every loss and return, is among what they do. stuck : inputs that read one place in every
    frame, but where they read off asleep.
    """

    def __init__(
        self, moment: Moment, circuit: Circuit, *, lie: Lie | None, free: frozenset[str], stuck: Mapping[str, int]
    ) -> None:
        self.moment = moment
        self.circuit = circuit
        self.lie = lie
        self.free = free
        self.stuck = stuck
        sleep = sleep_of(moment.model)
        self.awake_while = None if sleep is None else moment.condition(sleep.awake_while)
        self.inputs = {item.name: item for item in moment.model.inputs}
        self.asleep = moment.circuit.variable(ASLEEP)

    def anywhere(self, frame: Frame) -> None:
        """Of a frame with nothing before it: asleep or awake, telling the truth or not."""
        self._sleep(frame)
        if self.lie is not None:
            frame.lying = self.circuit.variable((frame.number, "lying"))
            frame.held = self._held_bits(frame.number)
            frame.rules += [*self._reads_held(self.lie, frame), self._holds_what_it_may(self.lie, frame)]

    def after(self, before: Frame, frame: Frame) -> None:
        """Of a frame behind another one: also what has changed, and which levers were moved."""
        self._sleep(frame)
        if self.lie is not None:
            self._lie(self.lie, before, frame)
        frame.changed = self._changes(before, frame)
        frame.moved = self._moves(before, frame)
        self._at_boot(frame)

    def may_sleep(self, frame: Frame) -> list[int]:
        """Rules of a frame in which everything is worked out: it doesn't sleep while something keeps it awake."""
        if self.awake_while is None or frame.asleep == FALSE:
            return []
        (awake,) = self.moment.circuit.copied([self.awake_while], self.circuit, dict(frame.values))
        return [self.circuit.implies(frame.asleep, -awake)]

    def first_events(self, before: Frame, frame: Frame, events: Mapping[Event, int]) -> dict[int, int]:
        """Events of controls in the first round: where a reading changes by hand; none at a power-up."""
        found: dict[int, int] = {}
        for place, (event, var) in enumerate(events.items()):
            if event.kind == "becomes":
                found[var] = FALSE
                continue
            item, free = self.inputs[event.name], self.circuit.variable((frame.number, "event", place))
            happens = [-self._quiet(before, frame, event.name)]
            if event.kind == "leaves":
                there = self.moment.inputs[event.name].place(event.position)
                happens += [frame.changed[event.name], self.literal(before, event.name, there)]
                if event.name in frame.moved:
                    happens.append(frame.moved[event.name])
                    free = TRUE
            elif item.kind == "toggle" and event.kind == "released":
                found[var] = self.circuit.all_of((free, *happens))  # it keeps its value when the finger leaves it
                continue
            else:
                happens.append(frame.changed[event.name])
                if item.kind == "button":
                    happens.append(self.literal(frame, event.name, 1 if event.kind == "pressed" else 0))
            sure = event.name not in self.free and item.kind in _SURE
            found[var] = self.circuit.all_of(happens if sure else (free, *happens))
        return found

    def turned_on(self, before: Frame, frame: Frame, name: str) -> int:
        """A button was pressed, a toggle or disconnect turned on."""
        turned = (frame.changed[name], -self.literal(frame, name, 0), -self._quiet(before, frame, name))
        return self.circuit.all_of(turned)

    def moved_to(self, frame: Frame, name: str, showing: Iterable[int]) -> int:
        """A lever was moved to where a level shows."""
        literals = [self.moment.inputs[name].literals[each] for each in sorted(showing)]
        shows = self.circuit.any_of(self.moment.circuit.copied(literals, self.circuit, dict(frame.values)))
        return self.circuit.all_of((frame.moved.get(name, FALSE), shows))

    def literal(self, frame: Frame, name: str, place: int) -> int:
        """The input reads this place."""
        literal = self.moment.inputs[name].literals[place]
        return self.moment.circuit.copied([literal], self.circuit, dict(frame.values))[0]

    # ------------------------------------------------------------------------------------------ what is read
    def _sleep(self, frame: Frame) -> None:
        """It may sleep, and then what reads off does; that it may is among the rules of the finished frame."""
        off = [name for name, item in self.inputs.items() if reads_off(item)]
        if self.awake_while is not None and off:
            frame.asleep = self.circuit.variable((frame.number, ASLEEP))
        frame.values[self.asleep] = frame.asleep
        frame.rules += [self.circuit.implies(frame.asleep, self.literal(frame, name, 0)) for name in off]
        for name, place in self.stuck.items():
            frame.rules.append(self.circuit.any_of((self._reads_off(frame, name), self.literal(frame, name, place))))

    def _reads_off(self, frame: Frame, name: str) -> int:
        return frame.asleep if reads_off(self.inputs[name]) else FALSE

    def _at_boot(self, frame: Frame) -> None:
        """A power-up: what a finger chose is forgotten, where its `start` isn't `last`."""
        unsure = {*self.free, *self.stuck}
        for item in self.moment.model.inputs:
            if item.kind in ("toggle", "pick-one") and item.start in item.values and item.name not in unsure:
                choice = self.moment.inputs[item.name]
                at_start = self.literal(frame, item.name, choice.place(item.start))
                sees = self.circuit.all_of(
                    (frame.boot, -self._reads_off(frame, item.name), -self._lies(frame, item.name))
                )
                frame.rules.append(self.circuit.implies(sees, at_start))

    # ------------------------------------------------------------------------------------------ a source that lies
    def _lie(self, lie: Lie, before: Frame, frame: Frame) -> None:
        """It begins in one frame or another, and goes on; what the input reads from then on."""
        circuit = self.circuit
        frame.lying = circuit.any_of((before.lying, circuit.variable((frame.number, "begins to lie"))))
        frame.held = self._held_bits(frame.number)
        was = tuple(before.values[var] for var in self._bits(lie.input))
        seen = -self._reads_off(before, lie.input)  # what stood behind a control that read off isn't known here
        self._holds(frame, (frame.boot,), lie.at_boot, (before.lying,), before.held)
        self._holds(frame, (-frame.boot, before.lying), AS_IT_WAS, (), before.held)
        self._holds(frame, (-frame.boot, -before.lying), lie.begins, (seen,), was)
        frame.rules += self._reads_held(lie, frame)

    def _holds(self, frame: Frame, when: Iterable[int], place: int, sure: Iterable[int], was: Sequence[int]) -> None:
        """A rule for what is held while it lies, when all these are true: a place; or what was, where it is sure."""
        if place == AS_IT_WAS:
            when, held = (*when, *sure), was
        else:
            held = tuple(TRUE if place >> bit & 1 else FALSE for bit in range(len(frame.held)))
        if held:
            same = self.circuit.all_of(self._same(frame.held, held))
            frame.rules.append(self.circuit.implies(self.circuit.all_of((frame.lying, *when)), same))

    def _reads_held(self, lie: Lie, frame: Frame) -> list[int]:
        """While the source lies the input reads what is held, or P while the vehicle stands."""
        circuit = self.circuit
        sees = circuit.all_of((frame.lying, -self._reads_off(frame, lie.input)))
        reads = [frame.values[var] for var in self._bits(lie.input)]
        as_held = circuit.all_of(self._same(reads, frame.held))
        if lie.parks < 0:
            return [circuit.implies(sees, as_held)]
        parked = self.literal(frame, lie.input, lie.parks)
        literal = stands_still(self.moment)
        if literal is None:
            return [circuit.implies(sees, circuit.any_of((as_held, parked)))]
        (stands,) = self.moment.circuit.copied([literal], circuit, dict(frame.values))
        either = (circuit.implies(stands, parked), circuit.implies(-stands, as_held))
        return [circuit.implies(sees, circuit.all_of(either))]

    def _holds_what_it_may(self, lie: Lie, frame: Frame) -> int:
        """While the source lies: what is held is among what this fault can bring."""
        if lie.places is None:
            return TRUE
        literals = [self.moment.inputs[lie.input].literals[place] for place in sorted(lie.places)]
        held = frame.values | dict(zip(self._bits(lie.input), frame.held, strict=True))
        holds = self.circuit.any_of(self.moment.circuit.copied(literals, self.circuit, held))
        return self.circuit.implies(frame.lying, holds)

    def _held_bits(self, number: int) -> tuple[int, ...]:
        assert self.lie is not None
        return tuple(self.circuit.variable((number, "held", bit)) for bit in range(len(self._bits(self.lie.input))))

    def _lies(self, frame: Frame, name: str) -> int:
        return frame.lying if self.lie is not None and self.lie.input == name else FALSE

    def _bits(self, name: str) -> list[int]:
        return bits_of(self.moment.circuit, name, len(self.moment.inputs[name].literals))

    # ------------------------------------------------------------------------------------------ what is done
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
                    there = self.literal(frame, item.name, self.moment.inputs[item.name].place(item.start))
                moved = self.circuit.any_of((moved, self.circuit.all_of((new, there))))
            found[item.name] = self.circuit.all_of((moved, -self._quiet(before, frame, item.name)))
        return found

    def _quiet(self, before: Frame, frame: Frame, name: str) -> int:
        """Nothing that its source does is seen: a power-up, or it can't be seen now or couldn't before."""
        quiet = [frame.boot]
        if name not in self.free:
            quiet += [self._reads_off(before, name), self._reads_off(frame, name), self._lies(before, name)]
            if self.lie is not None and self.lie.silent:
                quiet.append(self._lies(frame, name))
        return self.circuit.any_of(quiet)

    def _same(self, one: Sequence[int], other: Sequence[int]) -> list[int]:
        return [self.circuit.same(here, there) for here, there in zip(one, other, strict=True)]
