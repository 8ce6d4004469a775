"""What does one function do for who moves a control, and when not? Sentences, each with the claims that bear it out.

What a function does is read from the machine's outputs at the plainest setting in which it acts; the circumstances
come from its condition with the control standing there. Then both are put to the machine: the solver is asked for a
setting that the circumstances don't cover, and every claim is acted out. What isn't borne out isn't said.

See Also
--------
coachwright.control.operator : makes the card. coachwright.control.operator_claims : acts claims out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coachwright.build.condition import And, Condition, Or
from coachwright.build.model import Function, Model, Stop
from coachwright.build.quantity_text import print_time
from coachwright.control.circuit import FALSE
from coachwright.control.operator_claims import Act, Claim, Expect, Seen, Stage, expects_of, light_of
from coachwright.control.operator_facts import Sentence
from coachwright.control.operator_reading import Circumstance, Reading
from coachwright.control.operator_settings import Plain, Settings
from coachwright.control.operator_words import Wording, capital, plain_name, shown
from coachwright.control.ranks import ROAD
from coachwright.control.sources import Setting, SettingNotKnownError
from coachwright.control.statement import ColourPart, Outputs
from coachwright.control.tries import conditions_of, names_of

_COUNTS = ("single", "double", "triple", "quad")


@dataclass(frozen=True, slots=True)
class Done:
    """What a function does at one position. claim : at which setting. seen : what the machine puts out there."""

    value: str
    claim: Claim
    seen: Seen
    plain: Plain


@dataclass(slots=True)
class Teller:
    """Tells functions of one build. unsaid : what could not be said, in words for the lead."""

    model: Model
    settings: Settings
    stage: Stage
    wording: Wording
    reading: Reading
    unsaid: list[str] = field(default_factory=list)
    waiting: dict[str, Claim] = field(default_factory=dict)
    """Per function that a stop can leave waiting: where it waits to be asked again."""

    # ----------------------------------------------------------------------------------------- what can be borne out
    def true(self, claim: Claim) -> bool:
        """Does the machine bear it out?"""
        try:
            return not self.stage.wrong(claim)
        except SettingNotKnownError:
            return False

    def sentence(self, text: str, claims: Iterable[Claim]) -> Iterator[Sentence]:
        """The sentence, if there is a claim for it and the machine bears out all of them."""
        kept = tuple(claims)
        if kept and all(self.true(claim) for claim in kept):
            yield Sentence(capital(text), kept)
        else:
            self.unsaid.append(f"not borne out by the machine: {text}")

    # ------------------------------------------------------------------------------------------------- one function
    def done(self, function: Function, home: str, value: str) -> Done | None:
        """It acts with its control at this value: at which setting, and what comes of it."""
        wanted = self._wanted(function, home, value)
        if wanted is None:
            return None
        for plain in self._plains(function, wanted):
            for claim in self._ways(function, plain, home, value):
                try:
                    seen = self.stage.seen(claim)
                except SettingNotKnownError:
                    continue
                if function.name in seen.outputs.active:
                    expects = (*expects_of(seen.outputs, function.name), *_others(function, seen.outputs))
                    return Done(value, Claim(claim.start, expects, claim.memory, claim.acts), seen, plain)
        return None

    def _wanted(self, function: Function, home: str, value: str) -> list[int] | None:
        acting = self.settings.acting(function)
        wanted = [acting.active]
        if home:
            wanted.append(self.settings.at(home, value))
        if function.by == home and home:
            variant = self._variant(function, value)
            if variant is None:
                return None
            wanted.append(acting.variants[variant])
        return wanted if self.settings.can_be(*wanted) else None

    def _variant(self, function: Function, value: str) -> int | None:
        place = self.model.functions.index(function)
        compiled = self.settings.moment.machine.functions[place]
        variant = compiled.variant_at[self.model.input(function.by).values.index(value)]
        return variant if variant >= 0 else None

    def _plains(self, function: Function, wanted: Sequence[int]) -> Iterator[Plain]:
        """Settings to try: first one in which it has all the heads it can have at once."""
        owned: list[int] = []
        for head in sorted(self.settings.heads):
            literal = self.settings.owns(function.name, head)
            if literal != FALSE and self.settings.can_be(*wanted, *owned, literal):
                owned.append(literal)
        for also, still in ((owned, True), (owned, False), ([], True), ([], False)):
            plain = self.settings.plain(*wanted, *also, still=still)
            if plain is not None:
                yield plain

    def _ways(self, function: Function, plain: Plain, home: str, value: str) -> Iterator[Claim]:
        """Ways to get there: it stands so from the start; the control is moved last; something was so before."""
        nothing: tuple[Expect, ...] = ()
        yield Claim(plain.inputs, nothing, plain.memory)
        if home in self.reading.inputs:
            move = Act(((home, value),), 0)
            yield Claim(plain.without(home), nothing, plain.memory, (move,))
        yield Claim(plain.inputs, nothing, plain.memory, (Act((), 0),))
        read = names_of(self.model, conditions_of(function)) & self.reading.inputs.keys()
        now = dict(plain.inputs)
        for name in sorted(read):
            item = self.reading.inputs[name]
            here = now.get(name, item.rest)
            for other in item.values:
                if other != here and here in item.values:
                    acts = (Act(((name, other),), 0), Act(((name, here),), 0))
                    yield Claim(plain.inputs, nothing, plain.memory, acts)

    def values(self, function: Function, home: str) -> tuple[str, ...]:
        """Values of its control at which it can act, in the order of the control."""
        choice = self.settings.moment.choice(home)
        acting = self.settings.acting(function)
        found = []
        for value, literal in zip(choice.values, choice.literals, strict=True):
            if isinstance(value, str) and self.settings.can_be(acting.active, literal):
                found.append(value)
        return tuple(found)

    # --------------------------------------------------------------------------------------------------- circumstances
    def circumstances(self, function: Function, stands: Mapping[str, str]) -> tuple[Circumstance, ...] | None:
        """What else has to hold with the control there; None when that isn't all, by the solver."""
        found = self.reading.circumstances(function.when, stands)
        if found is None:
            return None
        here = [self.settings.at(name, value) for name, value in stands.items()]
        wanting = self.settings.acting(function).wanting
        told = self.settings.moment.circuit.all_of(self.settings.literal(each.whole) for each in found)
        if self.settings.can_be(*here, told, -wanting) or self.settings.can_be(*here, wanting, -told):
            return None
        return found

    def circumstance_sentences(
        self, function: Function, stands: Mapping[str, str], found: Sequence[Circumstance], done: Claim
    ) -> Iterator[Sentence]:
        """``Only while ...``, ``Not while ...``, ``For at most 20 s``."""
        for manner, opening in (("only", "Only while"), ("not", "Not while")):
            same = [each for each in found if each.manner == manner]
            if same:
                together = And if manner == "only" else Or
                said = self.wording.clause(together(tuple(each.condition for each in same)))
                claims = [claim for each in same for claim in self._broken(function, stands, each, found)]
                yield from self.sentence(f"{opening} {said}.", claims)
        for each in found:
            if each.manner in ("only", "not"):
                continue
            time = print_time(each.time_ms)
            text = {"at-most": f"for {time} at most.", "after": f"only after {time}."}.get(each.manner, "")
            if each.manner == "since":
                was = self.wording.clause(each.condition).replace(" is ", " was ", 1)
                text = f"for {time} after {was}."
                yield from self.sentence(text, self._since(function, done, each))
            else:
                timed = self._since(function, done, each) if done.acts else self._timed(function, stands, each)
                yield from self.sentence(text, timed)

    def _broken(
        self, function: Function, stands: Mapping[str, str], one: Circumstance, found: Sequence[Circumstance]
    ) -> Iterator[Claim]:
        """With this circumstance alone not so, it doesn't act."""
        acting = self.settings.acting(function)
        wanted = [self.settings.at(name, value) for name, value in stands.items()]
        wanted += [-self.settings.literal(one.whole), -acting.stopped]
        others = [self.settings.literal(each.whole) for each in found if each is not one]
        plain = self.settings.plain(*wanted, *others) or self.settings.plain(*wanted)
        if plain is not None:
            yield self._moved_last(plain, stands, Expect("idle", function.name))

    def _timed(self, function: Function, stands: Mapping[str, str], one: Circumstance) -> Iterator[Claim]:
        """It changes when the time is over, and not before."""
        before, after = ("acts", "idle") if one.manner == "at-most" else ("idle", "acts")
        wanted = [self.settings.at(name, value) for name, value in stands.items()]
        plain = self.settings.plain(*wanted, self.settings.acting(function).active, still=False)
        if plain is None:
            return
        for what, wait_ms in ((before, one.time_ms - 1), (after, one.time_ms)):
            moved = tuple((name, value) for name, value in stands.items() if name in self.reading.inputs)
            yield Claim(
                plain.without(*stands),
                (Expect(what, function.name),),  # type: ignore[arg-type]
                plain.memory,
                (Act(moved, wait_ms),),
            )

    def _since(self, function: Function, done: Claim, one: Circumstance) -> Iterator[Claim]:
        """It acts to the end of the time, and no longer."""
        *before, last = done.acts or (Act(),)
        for what, wait_ms in (("acts", one.time_ms - 1), ("idle", one.time_ms)):
            acts = (*before, Act(last.settings, wait_ms))
            yield Claim(done.start, (Expect(what, function.name),), done.memory, acts)  # type: ignore[arg-type]

    def _moved_last(self, plain: Plain, stands: Mapping[str, str], *expects: Expect) -> Claim:
        moved = tuple((name, value) for name, value in stands.items() if name in self.reading.inputs)
        start = plain.without(*(name for name, _ in moved))
        return Claim(start, expects, plain.memory, (Act(moved, 0),) if moved else ())

    # ------------------------------------------------------------------------------------------------------------ stops
    def stops_of(self, function: Function) -> tuple[Stop, ...]:
        """Stops that end it, by name."""
        if function.rank == ROAD:
            return ()
        ended = (stop for stop in self.model.stops if function.name in stop.functions or function.rank in stop.ranks)
        return tuple(sorted(ended, key=lambda stop: (stop.resume, stop.name)))

    def stop_sentences(
        self, function: Function, stands: Mapping[str, str], done: Done, again: str
    ) -> Iterator[Sentence]:
        """``Off while ...``; ``Stops when ...; then press it again``. again : what a hand then does."""
        for stop in self.stops_of(function):
            said = self.wording.clause(stop.when)
            here = [self.settings.at(name, value) for name, value in stands.items()]
            acting = self.settings.acting(function)
            plain = self._stopped_at(here, acting.wanting, stop)
            if plain is None:
                if stop.resume == "ask":
                    yield from self._parted(function, stands, stop, done, f"stops when {said}; then {again}.")
                continue
            stopped = self._moved_last(plain, stands, Expect("stopped", function.name))
            if not self.true(stopped):
                stopped = Claim(plain.inputs, stopped.expects, plain.memory, done.claim.acts)
            if stop.resume == "self":
                yield from self.sentence(f"off while {said}.", [stopped])
                continue
            waits = self.waits(function, stands, stop, done)
            asked = [self._asked(waits[0], stands, function)] if waits and stands else []
            text = f"stops when {said}; then {again}."
            yield from self.sentence(text, [stopped, *waits, *asked])

    def waits(self, function: Function, stands: Mapping[str, str], stop: Stop, done: Done) -> tuple[Claim, ...]:
        """Stopped, and the stop over: it waits to be asked again."""
        here = [self.settings.at(name, value) for name, value in stands.items()]
        acting = self.settings.acting(function)
        plain = self._stopped_at(here, acting.wanting, stop)
        if plain is None:
            return ()
        stopped = self._moved_last(plain, stands)
        changed = self._back(plain, done.plain, stands)
        for wait_ms in (0, None):
            acts = (*stopped.acts, Act(changed, wait_ms))
            claim = Claim(stopped.start, (Expect("waits", function.name),), plain.memory, acts)
            if self.true(claim):
                self.waiting.setdefault(function.name, claim)
                return (claim,)
        return ()

    def _parted(
        self, function: Function, stands: Mapping[str, str], stop: Stop, done: Done, text: str
    ) -> Iterator[Sentence]:
        """A stop at which it doesn't want to act anyway: afterwards it still has to be asked for."""
        there, back = self.there_and_back(done.claim.start, stop.when)
        acts = (*done.claim.acts, there, back)
        waits = Claim(done.claim.start, (Expect("waits", function.name),), done.claim.memory, acts)
        if not there.settings or not self.true(waits):
            return
        self.waiting.setdefault(function.name, waits)
        yield from self.sentence(text, [waits, *([self._asked(waits, stands, function)] if stands else [])])

    def there_and_back(self, start: Sequence[tuple[str, Setting]], condition: Condition) -> tuple[Act, Act]:
        """What changes from `start` to where the condition holds, and back again. Nothing where that can't be told."""
        before, inputs = dict(start), self.reading.inputs
        read = names_of(self.model, [condition])
        kept = [self.settings.at(name, value) for name, value in start if name not in read]
        literal = self.settings.literal(condition)
        plain = self.settings.plain(literal, *kept) or self.settings.plain(literal)
        if plain is None:
            return Act(), Act()
        now = dict(plain.inputs)
        changed = [(name, value) for name, value in now.items() if before.get(name, inputs[name].rest) != value]
        changed += [(name, inputs[name].rest) for name in before if name in read and name not in now]
        return Act(tuple(changed)), Act(tuple((name, before.get(name, inputs[name].rest)) for name, _ in changed))

    def _stopped_at(self, here: Sequence[int], wanting: int, stop: Stop) -> Plain | None:
        """Where it would act but for this stop; with no other stop there, if that can be."""
        others = [-literal for other, literal in zip(self.model.stops, self.settings.moment.stops, strict=True)
                  if other is not stop]  # fmt: skip
        wanted = (*here, wanting, self.settings.literal(stop.when))
        for more, still in ((others, True), ([], True), (others, False), ([], False)):
            plain = self.settings.plain(*wanted, *more, still=still)
            if plain is not None:
                return plain
        return None

    def _back(self, plain: Plain, to: Plain, stands: Mapping[str, str]) -> tuple[tuple[str, Setting], ...]:
        """Everything but the control as where it acted."""
        wanted = dict(to.inputs)
        changed: list[tuple[str, Setting]] = []
        for name, value in plain.inputs:
            if name not in stands and wanted.get(name, self.reading.inputs[name].rest) != value:
                rest = self.reading.inputs[name].rest
                changed.append((name, wanted.get(name, rest)))
        changed += [(name, value) for name, value in to.inputs if name not in stands and name not in dict(plain.inputs)]
        return tuple(changed)

    def _asked(self, waits: Claim, stands: Mapping[str, str], function: Function) -> Claim:
        """Off and on again: it acts."""
        off = tuple((name, self._first(name)) for name in stands)
        on = tuple(stands.items())
        acts = (*waits.acts, Act(off, 0), Act((), 0), Act(on, 0))
        return Claim(waits.start, (Expect("acts", function.name),), waits.memory, acts)

    def _first(self, name: str) -> Setting:
        return self.reading.inputs[name].values[0]

    # -------------------------------------------------------------------------------------------------- what is done
    def effect(self, function: Function, outputs: Outputs, before: Outputs | None = None) -> tuple[str, ...]:
        """Clauses of what it does. before : outputs at the level beneath; only what comes on top of it is told then."""
        said = list(self._light(function, outputs, before))
        for sound in outputs.sounds:
            if function.name in sound.owners:
                said.append(f"the {plain_name(sound.siren)} sounds {plain_name(sound.tone)}")
        said += [f"the {plain_name(name)} runs" for name in outputs.runs if name in function.runs]
        said += [f"the {plain_name(name)} is cut off" for name in outputs.interrupts if name in function.interrupts]
        words = {message.name: message.say for message in self.model.messages}
        said += [f"you read “{words[name]}”" for name in outputs.messages if name in function.says]
        return tuple(said)

    def _light(self, function: Function, outputs: Outputs, before: Outputs | None) -> Iterator[str]:
        now, dark = _owned(function, outputs)
        below = _owned(function, before)[0] if before is not None else {}
        if below and all(set(_said(parts)) <= set(_said(now.get(head, ()))) for head, parts in below.items()):
            new = {head: [part for part in parts if light_of(part) not in _said(below.get(head, ()))]
                   for head, parts in now.items()}  # fmt: skip
            yield from self._groups({head: parts for head, parts in new.items() if parts}, set(below))
            if not any(new.values()):
                yield from self._rhythm(now, below)
        else:
            yield from self._groups(now, set())
        if dark:
            noun = self.wording.lamps(dark)
            yield f"{noun.text} stay{'' if noun.many else 's'} dark"

    def _rhythm(
        self, now: Mapping[str, Sequence[ColourPart]], below: Mapping[str, Sequence[ColourPart]]
    ) -> Iterator[str]:
        """Lamps that flash the same colours otherwise: told where it is all that changes."""
        changed: dict[str, list[str]] = {}
        for head, parts in now.items():
            new = {part.show.pattern.word for part in parts if part.show.pattern is not None}
            old = {part.show.pattern for part in below.get(head, ())}
            if any(part.show.pattern not in old for part in parts):
                word = next(iter(new)) if len(new) == 1 else ""
                flashes = f"{word} flashes" if word in _COUNTS else "another rhythm"
                changed.setdefault(flashes, []).append(head)
        for flashes, heads in sorted(changed.items()):
            noun = self.wording.lamps(heads)
            yield f"{noun.text} change{'' if noun.many else 's'} to {flashes}"

    def _groups(self, lit: Mapping[str, Sequence[ColourPart]], below: set[str]) -> Iterator[str]:
        alike: dict[tuple[object, ...], list[str]] = {}
        for head, parts in lit.items():
            alike.setdefault((tuple(_said(parts)), head in below), []).append(head)
        for (_, also), heads in sorted(alike.items(), key=lambda each: (-len(each[1]), str(each[0]))):
            noun = self.wording.lamps(heads)
            verb = shown(lit[heads[0]], many=noun.many, wording=self.wording)
            yield f"{noun.text} {'also ' if also else ''}{verb}"


def _owned(function: Function, outputs: Outputs | None) -> tuple[dict[str, list[ColourPart]], list[str]]:
    """Lights it has, by head, and heads it keeps dark."""
    lit: dict[str, list[ColourPart]] = {}
    dark = []
    for state in outputs.heads if outputs is not None else ():
        if function.name not in state.owners:
            continue
        own = [part for part in state.parts if part.owner == function.name or part.owner in state.owners]
        own = [part for part in own if part.owner == function.name] or own
        if own:
            lit[state.head] = own
        elif not state.parts:
            dark.append(state.head)
    return lit, dark


def _said(parts: Iterable[ColourPart]) -> list[str]:
    return sorted(light_of(part) for part in parts)


def _others(function: Function, outputs: Outputs) -> Iterator[Expect]:
    yield from (Expect("runs", name) for name in outputs.runs if name in function.runs)
    yield from (Expect("cut", name) for name in outputs.interrupts if name in function.interrupts)
    yield from (Expect("says", name) for name in outputs.messages if name in function.says)
