"""What does each control do, and what does the vehicle do by itself? The facts of the operator card, from the machine.

A function is told at the control without which it can't act. Everything is in an order of its own: by list, place, kind
and name, never as the file has it. Nothing is said that the machine doesn't bear out.

See Also
--------
coachwright.control.operator_told : one function. coachwright.control.operator_claims : what bears a sentence out.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.model import Function, Input, Model
from coachwright.control.operator_claims import Claim, Expect, Stage
from coachwright.control.operator_entries import idle_claims, lines_of
from coachwright.control.operator_facts import Entry, Facts, Line, Sentence
from coachwright.control.operator_homes import homes_of
from coachwright.control.operator_merged import merged
from coachwright.control.operator_presses import moved_by_hand, pressed_lines
from coachwright.control.operator_reading import Reading
from coachwright.control.operator_settings import Settings
from coachwright.control.operator_told import Teller
from coachwright.control.operator_whole import (
    first_sentences,
    limit_entries,
    message_entries,
    power_sentences,
    word_sentences,
)
from coachwright.control.operator_words import Wording, capital, joined, lower, plain_name
from coachwright.control.tries import controls_read, reads_through_memory

KINDS = ("slide", "pick-one", "toggle", "button", "rotary-disconnect")


def card_facts(model: Model) -> Facts:
    """All that the card of a build says."""
    settings = Settings(model)
    try:
        return _facts(Teller(model, settings, Stage(model), Wording(model), Reading(model)))
    finally:
        settings.close()


def _facts(teller: Teller) -> Facts:
    model = teller.model
    homes = homes_of(model, teller.settings)
    titles = {name: _title_of(teller, home) for name, home in homes.items()}
    for name, home in homes.items():
        if home == "gear":
            values = teller.values(next(each for each in model.functions if each.name == name), home)
            titles[name] = (
                {"P": "Park", "R": "Reverse", "N": "Neutral"}.get(values[0], "Gear") if len(values) == 1 else "Gear"
            )
    teller.wording.titles = titles
    entries = [*_of_inputs(teller, homes), *_of_memories(teller, homes)]
    dims = [
        Entry((name,), "Dimming", "vehicle", "", (Line("", (sentence,)),))
        for name, sentence in limit_entries(teller, titles)
    ]
    dims.sort(key=lambda entry: entry.lines[0].sentences[0].text)
    if dims:
        lines = tuple(line for entry in dims for line in entry.lines)
        entries.append(Entry(tuple(name for entry in dims for name in entry.names), "Dimming", "vehicle", "", lines))
    messages = tuple(message_entries(teller))
    first = tuple(first_sentences(teller, titles))
    power = tuple(power_sentences(teller))
    words = tuple(sorted(word_sentences(teller), key=lambda each: each[0]))
    unsaid = tuple(dict.fromkeys(teller.unsaid))
    return Facts(merged(entries), messages, first, power, words, unsaid)


def _title_of(teller: Teller, home: str) -> str:
    """Of a function told through a memory: the controls that move it."""
    memory = teller.wording.memories.get(home)
    if memory is None:
        return teller.wording.title(home) if home else "what is always on"
    hands = sorted(moved_by_hand(teller, memory))
    return (
        capital(joined([lower(teller.wording.title(name)) for name in hands], "or"))
        if hands
        else teller.wording.title(home)
    )


def _of_inputs(teller: Teller, homes: Mapping[str, str]) -> list[Entry]:
    model = teller.model
    functions = {function.name: function for function in model.functions}
    told: dict[str, list[Function]] = {}
    for name, home in homes.items():
        told.setdefault(home, []).append(functions[name])
    remembered = [functions[name] for name, home in homes.items() if home in teller.wording.memories]
    found = []
    for item in sorted(model.inputs, key=_order):
        if not item.is_control and item.name not in told:
            continue
        lines = (
            *lines_of(teller, item.name, told.get(item.name, ())),
            *(pressed_lines(teller, item.name, remembered) if item.is_control else ()),
        )
        if not lines and item.is_control:
            lines = (_nothing(teller, item, homes),)
        if lines:
            title = teller.wording.title(item.name)
            found.append(Entry((item.name,), title, item.hand, item.at if item.is_control else "", lines))
    if "" in told:
        found.append(Entry(("",), "Always", "vehicle", "", lines_of(teller, "", told[""])))
    return found


def _order(item: Input) -> tuple[object, ...]:
    kind = KINDS.index(item.kind) if item.kind in KINDS else len(KINDS)
    return (not item.is_control, ("hand", "foot", "vehicle").index(item.hand), kind, item.name)


def _nothing(teller: Teller, item: Input, homes: Mapping[str, str]) -> Line:
    """A control that starts nothing: it cuts a feed, it changes what others do, or it does nothing at all."""
    turns = [each for each in teller.model.equipment if each.turned_by == item.name]
    claims = idle_claims(teller, item)
    if turns:
        cut = joined(sorted(plain_name(name) for each in turns for name in each.breaks), "and")
        spared = sorted(plain_name(name.replace(".memory", " memory")) for each in turns for name in each.spares)
        but = f" The {joined(spared, 'and')} stay{'' if len(spared) > 1 else 's'} fed." if spared else ""
        return Line("", (Sentence(f"Off cuts the {cut} from all that hangs on it.{but}", claims),))
    if item.name in controls_read(teller.model):
        return _for_others(teller, item, homes, claims)
    return Line("", (Sentence("Does nothing in this vehicle.", claims),))


def _for_others(teller: Teller, item: Input, homes: Mapping[str, str], claims: tuple[Claim, ...]) -> Line:
    """What works only while it is on; else what it changes."""
    needing: dict[str, list[Claim]] = {}
    needed: set[str] = set()
    for function in teller.model.functions:
        active = teller.settings.acting(function).active
        if function.name not in homes or teller.settings.can_be(active, teller.settings.at_rest(item.name)):
            continue
        needed.add(function.name)
        plain = teller.settings.plain(active) or teller.settings.plain(active, still=False)
        if plain is not None:
            without = Claim(plain.without(item.name), (Expect("idle", function.name),), plain.memory)
            needing.setdefault(_title_of(teller, homes[function.name]), []).append(without)
    free = {_title_of(teller, home) for name, home in homes.items() if name not in needed}
    said = joined([lower(title) for title in sorted(needing.keys() - free)], "and")
    if said:
        every = [*claims, *(claim for found in needing.values() for claim in found)]
        return Line("", tuple(teller.sentence(f"only {_there(teller, item, needed)} do these work: {said}.", every)))
    others = {_title_of(teller, homes[each.name]) for each in teller.model.functions
              if each.name in homes and item.name in reads_through_memory(teller.model, each)}  # fmt: skip
    said = joined([lower(title) for title in sorted(others)], "and")
    text = f"changes what others do: see {said}." if said else "starts nothing by itself."
    return Line("", tuple(teller.sentence(text, claims)))


def _there(teller: Teller, item: Input, needed: set[str]) -> str:
    """``while it is on``, ``at full``: where the functions that need it can act."""
    if item.values == ("off", "on"):
        return "while it is on"
    active = [teller.settings.acting(each).active for each in teller.model.functions if each.name in needed]
    values = [
        plain_name(value)
        for value in item.values
        if any(teller.settings.can_be(each, teller.settings.at(item.name, value)) for each in active)
    ]
    return f"at {joined(values, 'or')}"


def _of_memories(teller: Teller, homes: Mapping[str, str]) -> list[Entry]:
    """Memories that no hand moves."""
    functions = {function.name: function for function in teller.model.functions}
    found = []
    for name, memory in sorted(teller.wording.memories.items()):
        told = [functions[each] for each, home in homes.items() if home == name]
        if told and not moved_by_hand(teller, memory):
            lines = lines_of(teller, name, told)
            if lines:
                teller.wording.named.add(name)
                found.append(Entry((name,), teller.wording.title(name), "vehicle", "", lines))
    return found
