"""What does a press do that something remembers? A press moves a memory, and functions act by where it stands.

Told where the hand is: the press, what then acts, what ends it, and what the vehicle does from there by itself.

See Also
--------
coachwright.control.operator_entries : what a control does without a memory between.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coachwright.build.condition import And, Condition, Constant, Event, Or, Truth
from coachwright.build.model import Function, Memory, Move
from coachwright.control.operator_claims import Act, Claim, Expect, expects_of
from coachwright.control.operator_facts import Line, Sentence
from coachwright.control.operator_reading import Circumstance, control_events_in
from coachwright.control.operator_settings import Plain
from coachwright.control.operator_told import Teller
from coachwright.control.operator_words import NAMED, flat, plain_name
from coachwright.control.sources import Setting, SettingNotKnownError
from coachwright.control.tries import names_of


@dataclass(frozen=True, slots=True)
class _Press:
    """One event of one control that moves a memory. values : where to, in the order of a round."""

    event: Event
    memory: Memory
    move: Move
    values: tuple[str, ...]


def pressed_lines(teller: Teller, control: str, functions: Sequence[Function]) -> tuple[Line, ...]:
    """The lines of a control's events. functions : those that need a memory."""
    lines = []
    for press in _presses(teller, control):
        acting = [each for each in functions if _needs(teller, each, press.memory)]
        sentences = _of_press(teller, press, acting)
        if sentences:
            lines.append(Line(_label(press.event), tuple(sentences)))
    return tuple(lines)


def _presses(teller: Teller, control: str) -> Iterator[_Press]:
    for memory in sorted(teller.model.memories, key=lambda each: each.name):
        for move in memory.moves:
            for event in control_events_in(
                And((move.on, move.condition or Constant(value=True))), frozenset({control})
            ):
                values = move.next or (move.to,)
                if event.kind == "pressed" or values != (memory.start,):
                    yield _Press(event, memory, move, values)


def moved_by_hand(teller: Teller, memory: Memory) -> frozenset[str]:
    """Controls whose events move it away from where it starts."""
    controls = frozenset(item.name for item in teller.model.inputs if item.is_control)
    return frozenset(
        event.name
        for move in memory.moves
        if move.next or move.to != memory.start
        for event in control_events_in(And((move.on, move.condition or Constant(value=True))), controls)
    )


def _needs(teller: Teller, function: Function, memory: Memory) -> bool:
    reads = names_of(teller.model, [function.when]) if function.when is not None else frozenset[str]()
    return memory.name in reads


def _label(event: Event) -> str:
    return {"pressed": "Press", "released": "Let go", "leaves": f"Off {plain_name(event.position)}"}[event.kind]


def _of_press(teller: Teller, press: _Press, functions: Sequence[Function]) -> list[Sentence]:
    found: list[Sentence] = []
    for function in sorted(functions, key=lambda each: each.name):
        reached = [value for value in press.values if _acts_at(teller, function, press.memory, value)]
        if reached:
            found += _acting(teller, press, function, reached)
    if not found:
        found += _remembered(teller, press)
    for function in sorted(functions, key=lambda each: each.name):
        found += _by_itself(teller, press, function)
    return found


def _acts_at(teller: Teller, function: Function, memory: Memory, value: str) -> bool:
    return teller.settings.can_be(teller.settings.acting(function).active, teller.settings.at(memory.name, value))


# -------------------------------------------------------------------------------------------------- a press that acts
def _acting(teller: Teller, press: _Press, function: Function, values: Sequence[str]) -> Iterator[Sentence]:
    claims, said = [], list[str]()
    for value in values:
        claim = _pressed(teller, press, function, value)
        if claim is None:
            teller.unsaid.append(f"{press.event.name} to {value} could not be acted out")
            return
        seen = teller.stage.seen(claim)
        said += teller.effect(function, seen.outputs)
        claims.append(Claim(claim.start, tuple(expects_of(seen.outputs, function.name)), claim.memory, claim.acts))
    if not said:
        return
    text = said[0] if len(said) == 1 else f"with each press in turn: {_next_said(said)}"
    yield from teller.sentence(f"{text}.", claims)
    found = _circumstances(teller, press, function, values[0])
    if found is None:
        yield Sentence("There is more to it: ask your shop.", tuple(claims))
    else:
        yield from _only_not(teller, press, function, values[0], found)
    yield from _ends(teller, press, function, claims[0])
    yield from _stops(teller, press, function, claims[0])


def _next_said(said: Sequence[str]) -> str:
    """The words they share, then what is each one's own."""
    first = said[0].split()
    shared = 0
    while shared < len(first) - 1 and all(each.split()[: shared + 1] == first[: shared + 1] for each in said):
        shared += 1
    ends = [" ".join(each.split()[shared:]) for each in said]
    return f"{' '.join(first[:shared])} {', then '.join(ends)}".strip()


def _pressed(teller: Teller, press: _Press, function: Function, value: str) -> Claim | None:
    """Pressed from where memory stood before; what it acts at is the rest of the setting."""
    settings, memory = teller.settings, press.memory
    wanted = [settings.acting(function).active, settings.at(memory.name, value)]
    may = _may(teller, press, _before(press, value))
    for more in ([settings.literal(may)], []):
        if not settings.can_be(*wanted, *more):
            continue
        plain = settings.plain(*wanted, *more) or settings.plain(*wanted, *more, still=False)
        if plain is None:
            continue
        claim = _press_claim(teller, press, plain, value, Expect("acts", function.name))
        try:
            if not teller.stage.wrong(claim):
                return claim
        except SettingNotKnownError:
            continue
    return None


def _press_claim(teller: Teller, press: _Press, plain: Plain, value: str, *expects: Expect) -> Claim:
    event, memory = press.event, press.memory
    stands = tuple(each for each in plain.memory if each[0] != memory.name)
    before = _before(press, value)
    if before != memory.start:
        stands = (*stands, (memory.name, before))
    start = plain.without(event.name) if event.kind != "leaves" else plain.inputs
    return Claim(start, expects, stands, _done(teller, event))


def _before(press: _Press, value: str) -> str:
    """Where memory stands before it goes on to `value`."""
    around = press.move.next
    if not around:
        return press.memory.start
    if value == around[0] and press.memory.start not in around:
        return press.memory.start
    return around[around.index(value) - 1]


def _done(teller: Teller, event: Event) -> tuple[Act, ...]:
    item = teller.reading.inputs[event.name]
    if event.kind == "leaves":
        other = next(each for each in item.values if each != event.position)
        return (Act(((event.name, event.position),), 0), Act(((event.name, other),), 0))
    down: Setting = "pressed"
    acts: tuple[Act, ...] = (Act(((event.name, down),), 0),)
    if item.kind == "button":
        acts = (Act(((event.name, "released"),), 0), *acts)
    return acts if event.kind == "pressed" else (*acts, Act(((event.name, "released"),), 0))


def _may(teller: Teller, press: _Press, before: str) -> Condition:
    """What else the move asks for."""
    if press.move.condition is None:
        return Constant(value=True)
    return teller.reading.left(press.move.condition, {press.memory.name: before})


def _circumstances(teller: Teller, press: _Press, function: Function, value: str) -> tuple[Circumstance, ...] | None:
    own = teller.circumstances(function, {press.memory.name: value})
    asked = teller.reading.circumstances(press.move.condition, {press.memory.name: _before(press, value)})
    if own is None or asked is None:
        return None
    words = teller.wording.words
    found: dict[tuple[str, Condition], Circumstance] = {}
    for each in (*own, *asked):
        found.setdefault((each.manner, flat(each.condition, words)), each)
    return tuple(found.values())


def _only_not(
    teller: Teller, press: _Press, function: Function, value: str, found: Sequence[Circumstance]
) -> Iterator[Sentence]:
    settings = teller.settings
    for manner, opening in (("only", "Only while"), ("not", "Not while")):
        same = [each for each in found if each.manner == manner]
        claims = []
        for each in same:
            others = [settings.literal(one.whole) for one in found if one is not each]
            start = settings.at(press.memory.name, _before(press, value))
            plain = settings.plain(start, -settings.literal(each.whole), *others) or settings.plain(
                start, -settings.literal(each.whole)
            )
            if plain is not None:
                claims.append(_press_claim(teller, press, plain, value, Expect("idle", function.name)))
        if same:
            together = And if manner == "only" else Or
            said = teller.wording.clause(together(tuple(each.condition for each in same)))
            yield from teller.sentence(f"{opening} {said}.", claims)
    for each in found:
        if each.manner == "at-most":
            yield from teller.circumstance_sentences(function, {press.memory.name: value}, [each], Claim((), ()))


def _ends(teller: Teller, press: _Press, function: Function, claim: Claim) -> Iterator[Sentence]:
    """``Ends when you park or the slide leaves full; press again.``"""
    said, claims = list[str](), list[Claim]()
    for move in press.memory.moves:
        ends = move.next or (move.to,)
        if any(_acts_at(teller, function, press.memory, value) for value in ends) or len(ends) != 1:
            continue
        over = _over(teller, move, claim, function)
        if over is not None:
            clause = teller.wording.clause(move.on)
            said.append(clause if move.condition is None else f"{clause} and {teller.wording.clause(move.condition)}")
            claims.append(over)
    if not said:
        return
    pressed = [
        Claim(each.start, (Expect("acts", function.name),), each.memory, (*each.acts, *_done(teller, press.event)))
        for each in claims
    ]
    text = f"ends when {', or when '.join(teller.wording.in_order(set(said)))}"
    if all(teller.true(each) for each in pressed):
        again = "press again" if press.event.kind == "pressed" else "do it again"
        yield from teller.sentence(f"{text}; then {again}.", [*claims, *pressed])
    else:
        yield from teller.sentence(f"{text}.", claims)


def _stops(teller: Teller, press: _Press, function: Function, claim: Claim) -> Iterator[Sentence]:
    """``Off while ...``; ``Stops when ...; then press again``."""
    for stop in teller.stops_of(function):
        said = teller.wording.clause(stop.when)
        if stop.resume == "self":
            acting = teller.settings.acting(function)
            plain = teller.settings.plain(acting.wanting, teller.settings.literal(stop.when))
            if plain is not None:
                stopped = Claim(plain.inputs, (Expect("stopped", function.name),), plain.memory)
                yield from teller.sentence(f"off while {said}.", [stopped])
            continue
        there, back = teller.there_and_back(claim.start, stop.when)
        if not there.settings:
            continue
        idle = Claim(claim.start, (Expect("idle", function.name),), claim.memory, (*claim.acts, there))
        waits = Claim(claim.start, (Expect("waits", function.name),), claim.memory, (*idle.acts, back))
        again = Claim(
            claim.start, (Expect("acts", function.name),), claim.memory, (*waits.acts, *_done(teller, press.event))
        )
        if teller.true(waits):
            teller.waiting.setdefault(function.name, waits)
            yield from teller.sentence(f"stops when {said}; then press again.", [idle, waits, again])
        else:
            yield from teller.sentence(f"stops when {said}.", [idle])


def _over(teller: Teller, move: Move, claim: Claim, function: Function) -> Claim | None:
    """It happens and is over: the function doesn't come back by itself."""
    event = move.on
    start = dict(claim.start)
    inputs = teller.reading.inputs
    if isinstance(event, Event) and event.kind == "leaves":
        here = start.get(event.name, inputs[event.name].rest)
        if here != event.position:
            return None
        other = inputs[event.name].values[0]
        acts = (Act(((event.name, other),)), Act(((event.name, here),)))
    elif isinstance(event, Event) and event.kind != "becomes":
        acts = (Act(((event.name, "pressed"),)), Act(((event.name, "released"),)))
    else:
        inside: Condition = event
        if isinstance(event, Event):
            inside = event.item or Truth(event.name)
        acts = teller.there_and_back(claim.start, inside)
        if not acts[0].settings:
            return None
    over = Claim(claim.start, (Expect("idle", function.name),), claim.memory, (*claim.acts, *acts))
    return over if teller.true(over) else None


# ----------------------------------------------------------------------------------------- a press that only remembers
def _remembered(teller: Teller, press: _Press) -> Iterator[Sentence]:
    """``Sets secure idle to armed.``"""
    settings, memory = teller.settings, press.memory
    for value in press.values:
        before = _before(press, value)
        may = _may(teller, press, before)
        plain = settings.plain(settings.literal(may), settings.at(memory.name, before))
        if plain is None:
            teller.unsaid.append(f"{press.event.name} to {value} could not be acted out")
            continue
        claim = _press_claim(teller, press, plain, value, Expect("at", memory.name, value))
        name = f"{NAMED[0]}{plain_name(memory.name)}{NAMED[1]}"
        yield from teller.sentence(f"{name} goes to {plain_name(value)}.", [claim])
        found = teller.reading.circumstances(press.move.condition, {memory.name: before}) or ()
        for manner, opening in (("only", "Only while"), ("not", "Not while")):
            same = [each for each in found if each.manner == manner]
            claims = []
            for each in same:
                other = settings.plain(-settings.literal(each.whole), settings.at(memory.name, before))
                if other is not None:
                    claims.append(_press_claim(teller, press, other, value, Expect("at", memory.name, before)))
            if same:
                together = And if manner == "only" else Or
                said = teller.wording.clause(together(tuple(each.condition for each in same)))
                yield from teller.sentence(f"{opening} {said}.", claims)


def _by_itself(teller: Teller, press: _Press, function: Function) -> Iterator[Sentence]:
    """From where the press led, the vehicle goes on to where the function acts: ``then, when you brake, ...``"""
    settings, memory = teller.settings, press.memory
    for move in memory.moves:
        if control_events_in(And((move.on, move.condition or Constant(value=True))), frozenset(teller.reading.inputs)):
            continue
        for value in press.values:
            if move.next or move.to in press.values or not _acts_at(teller, function, memory, move.to):
                continue
            whole = And((move.on, move.condition)) if move.condition is not None else move.on
            left = teller.reading.left(whole, {memory.name: value})
            wanted = (settings.acting(function).active, settings.at(memory.name, move.to))
            if left == Constant(value=False) or not settings.can_be(*wanted, settings.literal(left)):
                continue
            plain = settings.plain(*wanted, settings.literal(left), still=False)
            if plain is None:
                continue
            moved = tuple((name, there) for name, there in plain.inputs if name in names_of(teller.model, [move.on]))
            stands = (*(each for each in plain.memory if each[0] != memory.name), (memory.name, value))
            start = plain.without(*(name for name, _ in moved))
            claim = Claim(start, (Expect("acts", function.name),), stands, (Act(moved, 0),))
            if not teller.true(claim):
                continue
            seen = teller.stage.seen(claim)
            said = "; ".join(teller.effect(function, seen.outputs))
            cuts = tuple(Expect("cut", name) for name in function.interrupts)
            runs = tuple(Expect("runs", name) for name in function.runs)
            expects = (*expects_of(seen.outputs, function.name), *cuts, *runs)
            full = Claim(start, expects, stands, claim.acts)
            yield from teller.sentence(f"then, when {teller.wording.clause(left)}: {said}.", [full])
            found = teller.circumstances(function, {memory.name: move.to}) or ()
            yield from teller.circumstance_sentences(function, {memory.name: move.to}, found, full)
