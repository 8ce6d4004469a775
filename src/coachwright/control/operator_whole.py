"""What holds for the whole vehicle: what comes first, what dims, what is said, what happens without key, cable, power.

See Also
--------
coachwright.control.operator : puts it on the card.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from coachwright.build.condition import Condition, FunctionState, Or, every_node
from coachwright.build.model import Function, Input
from coachwright.build.quantity_text import print_quantity, print_time
from coachwright.control.circuit import FALSE
from coachwright.control.operator_claims import Act, Claim, Expect
from coachwright.control.operator_facts import Entry, Line, Sentence
from coachwright.control.operator_reading import control_events_in
from coachwright.control.operator_told import Teller
from coachwright.control.operator_words import flat, joined, lower, plain_name
from coachwright.control.ranks import ROAD
from coachwright.control.sources import LOST, Setting
from coachwright.control.tries import controls_read
from coachwright.parts.schema import ControllerPart


# --------------------------------------------------------------------------------------------------- what comes first
def first_sentences(teller: Teller, titles: Mapping[str, str]) -> Iterator[Sentence]:
    """One sentence for the ranks that can want one lamp, one for each word within a rank. titles : per function."""
    model = teller.model
    pairs = [pair for pair in _pairs(teller) if titles.get(pair[0].name) != titles.get(pair[1].name)]
    claims: dict[tuple[str, str], Claim] = {}
    met: set[str] = set()
    for winner, loser, claim in pairs:
        if winner.rank != loser.rank:
            claims.setdefault((winner.rank, loser.rank), claim)
            met |= {winner.name, loser.name}
    said = []
    for rank in model.ranks:
        of_rank = sorted({titles[each.name] for each in model.functions if each.name in met and each.rank == rank})
        if of_rank:
            said.append(joined([lower(each) for each in of_rank], "or"))
    if len(said) > 1:
        text = f"if two of these want the same lamp, the first has it: {'; then '.join(said)}."
        yield from teller.sentence(text, claims.values())
    before: dict[str, dict[str, list[Claim]]] = {}
    for winner, loser, claim in pairs:
        if winner.rank == loser.rank:
            before.setdefault(titles[loser.name], {}).setdefault(titles[winner.name], []).append(claim)
    for two, ones in sorted(before.items()):
        one = joined([lower(each) for each in sorted(ones)], "or")
        borne_out = [claim for found in ones.values() for claim in found]
        yield from teller.sentence(f"on one lamp {one} comes before {lower(two)}.", borne_out)


def _pairs(teller: Teller) -> list[tuple[Function, Function, Claim]]:
    """Functions that can want one head, the winner first, with where that is so."""
    found = []
    for one, other in combinations(sorted(teller.model.functions, key=lambda each: each.name), 2):
        pair = _winner(teller, one, other)
        if pair is None:
            continue
        winner, loser = pair
        for head in _shared_heads(teller, one, other):
            settings = teller.settings
            wanted = [settings.acting(each).active for each in (winner, loser)]
            wanted += [settings.owns(winner.name, head), -settings.owns(loser.name, head)]  # not side by side
            plain = settings.plain(*wanted) or settings.plain(*wanted, still=False)
            if plain is None:
                continue
            claim = Claim(plain.inputs, (Expect("has", head, winner.name), Expect("acts", loser.name)), plain.memory)
            if teller.true(claim):
                found.append((winner, loser, claim))
                break
    return found


def _winner(teller: Teller, one: Function, other: Function) -> tuple[Function, Function] | None:
    if one.rank != other.rank:
        ranks = teller.model.ranks
        return (one, other) if ranks.index(one.rank) < ranks.index(other.rank) else (other, one)
    if other.name in one.wins_over:
        return one, other
    return (other, one) if one.name in other.wins_over else None


def _shared_heads(teller: Teller, one: Function, other: Function) -> list[str]:
    wanted = [
        {
            head
            for shows in (each.shows, *(level.shows for level in each.levels))
            for show in shows
            for head in show.heads
        }
        for each in (one, other)
    ]
    return sorted(wanted[0] & wanted[1])


# -------------------------------------------------------------------------------------------------------------- dimming
def limit_entries(teller: Teller, titles: Mapping[str, str]) -> Iterator[tuple[str, Sentence]]:
    """Per limit: what it dims, and to how much. The name is of the limit."""
    model, settings = teller.model, teller.settings
    for limit, literal in zip(model.limits, settings.moment.limits, strict=True):
        claims, dimmed = list[Claim](), set[str]()
        for function in sorted(model.functions, key=lambda each: each.name):
            if function.rank == ROAD or function.rank not in limit.ranks or function.name in limit.but_not:
                continue
            claim = _dimmed(teller, function, literal, limit.name)
            if claim is not None:
                claims.append(claim)
                dimmed.add(titles.get(function.name, plain_name(function.name)))
        if claims:
            said = joined([lower(each) for each in sorted(dimmed)], "and")
            share = print_quantity(limit.scale_to_share, "share")
            text = f"while {teller.wording.clause(limit.when)}, the light of {said} goes down to {share}."
            for sentence in teller.sentence(text, claims):
                yield limit.name, sentence


def _dimmed(teller: Teller, function: Function, literal: int, name: str) -> Claim | None:
    settings = teller.settings
    for head in sorted(settings.heads):
        owns = settings.owns(function.name, head)
        if owns == FALSE:
            continue
        plain = settings.plain(literal, settings.acting(function).active, owns)
        if plain is None:
            continue
        claim = Claim(plain.inputs, (Expect("dimmed", head, name),), plain.memory)
        if teller.true(claim):
            return claim
    return None


# ------------------------------------------------------------------------------------------------------------- messages
def message_entries(teller: Teller) -> Iterator[Entry]:
    """What is said, and why."""
    for message in sorted(teller.model.messages, key=lambda each: (each.say, each.name)):
        if message.when is None:
            continue
        claims = list(_message_claims(teller, message.when, message.name))
        if not any(each.what == "says" for claim in claims for each in claim.expects):
            teller.unsaid.append(f"the message {message.name} could not be brought about")
            continue
        said = tuple(teller.sentence(f"{teller.wording.clause(message.when)}.", claims))
        if said:
            yield Entry((message.name,), message.say, "vehicle", "", (Line("", said),))


def _message_claims(teller: Teller, when: Condition, name: str) -> Iterator[Claim]:
    held_off = [node.name for node in every_node(when) if isinstance(node, FunctionState) and node.state == "held-off"]
    for function in held_off:
        if function in teller.waiting:
            claim = teller.waiting[function]
            yield Claim(claim.start, (*claim.expects, Expect("says", name)), claim.memory, claim.acts)
    literal = teller.settings.literal(when)
    if not held_off:
        plain = teller.settings.plain(literal)
        if plain is not None:
            yield Claim(plain.inputs, (Expect("says", name),), plain.memory)
    quiet = teller.settings.plain(-literal)
    if quiet is not None:
        yield Claim(quiet.inputs, (Expect("quiet", name),), quiet.memory)


# ------------------------------------------------------------------------------------------------- key, cable and power
def power_sentences(teller: Teller) -> Iterator[Sentence]:
    """Key off; the panel's cable lost; power lost."""
    used = [item for item in teller.model.inputs if item.is_control and item.name in controls_read(teller.model)]
    used.sort(key=lambda item: item.name)
    if used:
        yield from _asleep(teller, used)
        yield from _lost(teller, used)
        yield from _began(teller, used)


def _asleep(teller: Teller, used: Sequence[Input]) -> Iterator[Sentence]:
    model = teller.model
    parts = dict(model.parts)
    feeds = {item.feed for item in model.equipment if isinstance(parts.get(item.part), ControllerPart)}
    sleeps = [feed for feed in model.feeds if feed.name in feeds and feed.sleep_after is not None]
    if not sleeps:
        return
    after = print_time(round(sleeps[0].sleep_s * 1000))
    awake = teller.wording.clause(sleeps[0].sleep_after) if sleeps[0].sleep_after is not None else ""
    off = (
        f"{after} after the key is off" if awake == "the key is on" else f"{after} after it is no more so that {awake}"
    )
    stay = [item for item in used if item.asleep == "as-is"]
    claims = []
    for item in used:
        value = _away(item)
        reads = value if item.asleep == "as-is" else item.values[0]
        claims.append(Claim(((item.name, value),), (Expect("reads", item.name, reads),), acts=(Act(asleep=True),)))
        back = (Act(asleep=True), Act(asleep=False))
        claims.append(Claim(((item.name, value),), (Expect("reads", item.name, value),), acts=back))
    but = f" but {joined([f'the {plain_name(item.name)}' for item in stay], 'and')}" if stay else ""
    text = f"{off}, all that you switched on here goes off{but}. It is back as you left it when the key is on."
    yield from teller.sentence(text, claims)


def _lost(teller: Teller, used: Sequence[Input]) -> Iterator[Sentence]:
    hold, off, other, claims = list[str](), list[str](), list[str](), list[Claim]()
    for item in used:
        value = _away(item)
        reads: Setting = value if item.lost == "hold" else item.lost
        group = hold if item.lost == "hold" else off if item.lost == item.values[0] else other
        group.append(plain_name(item.name) + (f" reads {plain_name(str(item.lost))}" if group is other else ""))
        act = Act(((item.name, LOST),))
        claims.append(Claim(((item.name, value),), (Expect("reads", item.name, reads),), acts=(act,)))
    pieces = []
    if hold:
        pieces.append(
            f"{joined(hold)} {'stay' if len(hold) > 1 else 'stays'} as you left {'them' if len(hold) > 1 else 'it'}"
        )
    if off:
        pieces.append("all else here goes off" if hold or other else "all that you switched on here goes off")
    pieces += other
    yield from teller.sentence(f"if the cable of the panel fails, {joined(pieces)}.", claims)


def _began(teller: Teller, used: Sequence[Input]) -> Iterator[Sentence]:
    kept = [item for item in used if item.kind in ("toggle", "pick-one")]
    last = [item for item in kept if item.start == "last"]
    machine = teller.stage.machine
    if not kept or machine.supply_at is None or machine.least_supply_v <= 0.5:
        return
    supply = machine.inputs[machine.supply_at]
    dip = (Act(((supply.name, machine.least_supply_v - 0.5),)), Act(((supply.name, supply.rest),)))
    claims = []
    for item in kept:
        value = _away(item)
        reads: Setting = value if item.start == "last" else item.start
        claims.append(Claim(((item.name, value),), (Expect("reads", item.name, reads),), acts=dip))
    others = [item for item in kept if item not in last]
    back = "come back as you left them" if len(last) > 1 else "comes back as you left it"
    pieces = [f"{joined([plain_name(item.name) for item in last])} {back}"] if last else []
    starts = {str(item.start) for item in others}
    if others:
        begin = "off" if starts <= {item.values[0] for item in others} else "where they start"
        pieces.append(f"{'the other switches begin' if last else 'every switch begins'} {begin}")
    yield from teller.sentence(f"after a loss of power, {joined(pieces)}.", claims)


def _away(item: Input) -> str:
    """A value that isn't its first, and not what it reads when it is lost."""
    return next(
        (value for value in item.values if value not in (item.values[0], item.lost, item.start)), item.values[-1]
    )


# ---------------------------------------------------------------------------------------------------------------- words
def word_sentences(teller: Teller) -> Iterator[tuple[str, Sentence]]:
    """Names that were used, each with what it means. Telling one may use others."""
    told: set[str] = set()
    while True:
        left = sorted(teller.wording.named - told)
        if not left:
            return
        for name in left:
            told.add(name)
            if name in teller.wording.words:
                yield from _word(teller, name)
            elif name in teller.wording.memories:
                yield from _memory(teller, name)


def _word(teller: Teller, name: str) -> Iterator[tuple[str, Sentence]]:
    condition = teller.wording.words[name]
    settings = teller.settings
    literal = settings.literal(condition)
    claims = []
    flatted = flat(condition, teller.wording.words)
    ways = flatted.items if isinstance(flatted, Or) else (flatted,)
    for way in ways:
        plain = settings.plain(settings.literal(way), literal)
        if plain is not None:
            claims.append(Claim(plain.inputs, (Expect("holds", name),), plain.memory))
    plain = settings.plain(-literal)
    if plain is not None:
        claims.append(Claim(plain.inputs, (Expect("fails", name),), plain.memory))
    for sentence in teller.sentence(f"{teller.wording.clause(condition)}.", claims):
        yield name, sentence


def _memory(teller: Teller, name: str) -> Iterator[tuple[str, Sentence]]:
    """Where it goes by what the vehicle does; presses are told at their controls."""
    memory = teller.wording.memories[name]
    said, claims = list[str](), list[Claim]()
    controls = frozenset(item.name for item in teller.model.inputs if item.is_control)
    for value in memory.values:
        for move in memory.moves:
            if move.next or move.to != value or control_events_in(move.on, controls):
                continue
            also = f" and {teller.wording.clause(move.condition)}" if move.condition is not None else ""
            said.append(f"{plain_name(value)} when {teller.wording.clause(move.on)}{also}")
            claim = _move_claim(teller, memory.name, value, move.on)
            if claim is not None:
                claims.append(claim)
    if said:
        for sentence in teller.sentence(f"it goes to {'; to '.join(said)}.", claims):
            yield name, sentence


def _move_claim(teller: Teller, name: str, value: str, on: Condition) -> Claim | None:
    """With what the move asks for standing, memory ends at its value."""
    plain = teller.settings.plain(teller.settings.at(name, value), teller.settings.literal(on))
    if plain is None:
        return None
    return Claim(plain.inputs, (Expect("at", name, value),), plain.memory)
