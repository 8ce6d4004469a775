"""What does the vehicle do at one setting, who does it, and who wanted to and may not?

    ask(model, "slide=full brake=on")          ask(model, "answering brake=on")

A name alone is a situation to begin from, or an on/off input that is on; then inputs and memories by name=value. What
isn't named is at rest, as in a situation: set as at power-up, standing until no timer runs, without hold-offs. What
is ``lost`` falls silent after that. The answer is the machine's own: nothing here decides anything.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from coachwright.build.model import ColourShow, Input, Model, Situation
from coachwright.build.pattern_text import print_pattern
from coachwright.build.quantity_text import print_quantity
from coachwright.control.machine import memory_of
from coachwright.control.situations import Settled, after, machine_of, rest_inputs, settle
from coachwright.control.sources import LOST, Setting
from coachwright.control.statement import ColourPart, HeadState, Wanted
from coachwright.control.to_know import to_know
from coachwright.control.tries import all_conditions, names_of
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.near import nearest

MOST_CHARACTERS = 2000
WIDTH = 110
_SETTING = re.compile(r"([a-z0-9]+(?:-[a-z0-9]+)*)\s*=\s*")
ReadNumber = Callable[[str, str], float]
"""Reads a quantity of a kind; a door hands its own in, for rooms know no units."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the vehicle does. settings : as asked; at_rest : inputs that weren't named, with the value taken."""

    model: Model
    situation: Situation
    settled: Settled
    at_rest: tuple[tuple[str, Setting], ...]

    def as_text(self) -> str:
        """In sentences, the answer first."""
        return "\n".join(
            textwrap.fill(line, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
            if number
            else line
            for number, line in enumerate(_lines(self))
        )

    def as_json(self) -> dict[str, Any]:
        """In plain names, lists and words; numbers are SI."""
        outputs = self.settled.outputs
        return {
            "to-know": list(to_know(self.model, self.situation, self.settled)),
            "asked": {**dict(self.situation.settings), **dict(self.situation.memory)},
            "at-rest": dict(self.at_rest),
            "memory": memory_of(machine_of(self.model), self.settled.state),
            "heads": [_head_json(state) for state in outputs.heads],
            "sounds": [
                {
                    "siren": each.siren,
                    "tone": each.tone,
                    "owner": each.owner,
                    "wanted": [_wanted_json(w) for w in each.wanted],
                }
                for each in outputs.sounds
            ],
            "runs": list(outputs.runs),
            "interrupts": list(outputs.interrupts),
            "active": list(outputs.active),
            "stopped": [{"function": name, "by": stop} for name, stop in outputs.stopped],
            "held-off": list(outputs.held_off),
            "messages": list(outputs.messages),
            "tell-tales": dict(outputs.tell_tales),
        }


def ask(model: Model, text: str, *, read_number: ReadNumber) -> Answer:
    """Ask one setting.

    Parameters
    ----------
    text : ``name=value`` pairs, numbers with their unit; before them, if wanted, the name of a situation.
    read_number : reads ``45 mph`` as a ``speed``; raises ValueError with what to write.

    Raises
    ------
    CoachwrightError : everything in `text` that doesn't exist, with the nearest names.
    """
    situation = asked_situation(model, text, read_number=read_number)
    named = {name for name, _ in situation.settings}
    rest = {name: value for name, value in rest_inputs(model).items() if name not in named}
    return Answer(model, situation, _settled(model, situation), tuple(rest.items()))


def _settled(model: Model, situation: Situation) -> Settled:
    """At rest with every source alive, then with those that are lost."""
    machine = machine_of(model)
    alive = tuple((name, value) for name, value in situation.settings if value != LOST)
    found = settle(machine, replace(situation, settings=alive))
    if len(alive) == len(situation.settings):
        return found
    silent = after(machine, found.state, {name: LOST for name, value in situation.settings if value == LOST})
    return replace(silent, lost_memory=found.lost_memory)


def asked_situation(model: Model, text: str, *, read_number: ReadNumber) -> Situation:
    """`text` as a situation of its own; raises as `ask`."""
    if len(text) > MOST_CHARACTERS:
        raise CoachwrightError(f"A question of {len(text):,} characters; {MOST_CHARACTERS:,} is the most.")
    bare, pairs = _cut(text, _bare_names(model))
    problems: list[str] = []
    start = _begin(model, [name for name in bare if name not in _switches(model)], problems)
    pairs = [*((name, "on") for name in bare if name in _switches(model)), *pairs]
    named = [name for name, _ in pairs]
    twice = {name for name in named if named.count(name) > 1}
    settings, memory = dict(start.settings), dict(start.memory)
    lost: dict[str, Setting] = {}
    inputs = {item.name: item for item in model.inputs}
    memories = {each.name: each for each in model.memories}
    for name in sorted(twice):
        said = " and ".join(value for other, value in pairs if other == name)
        problems.append(f"{name} is set more than once: {said}. Keep one of them.")
    for name, value in pairs:
        if name in inputs:
            found = _value(inputs[name], value, read_number, problems)
            if found == LOST:
                lost[name] = LOST
            elif found is not None:
                settings[name] = found
        elif name in memories:
            if value in memories[name].values:
                memory[name] = value
            else:
                problems.append(_no_value(name, value, memories[name].values))
        else:
            near = nearest(name, [*inputs, *memories])
            problems.append(f"Nothing that can be set is called {name}.{f' Closest: {near[0]}.' if near else ''}")
    if problems:
        raise CoachwrightError(" ".join(problems))
    as_set = (*settings.items(), *lost.items())  # what is lost keeps the value it had before
    return Situation("asked", as_set, tuple(memory.items()), start.stands_for, 0.0, "")


def _cut(text: str, bare_names: frozenset[str]) -> tuple[list[str], list[tuple[str, str]]]:
    """Words that stand alone, and the pairs. A value ends where a name that can stand alone begins."""
    places = list(_SETTING.finditer(text))
    ends = [*(place.start() for place in places[1:]), len(text)][: len(places)]
    before = text[: places[0].start()] if places else text
    bare = [word.strip(",;") for word in before.split()]
    pairs = []
    for place, end in zip(places, ends, strict=True):
        words = [word.strip(",;") for word in text[place.end() : end].split()]
        while len(words) > 1 and words[-1] in bare_names:
            bare.append(words.pop())
        pairs.append((place[1], " ".join(words)))
    return [word for word in bare if word], pairs


def _switches(model: Model) -> frozenset[str]:
    return frozenset(item.name for item in model.inputs if item.values == ("off", "on"))


def _bare_names(model: Model) -> frozenset[str]:
    return _switches(model) | {situation.name for situation in model.situations}


def _begin(model: Model, names: list[str], problems: list[str]) -> Situation:
    """The situation to begin from; everything at rest without one."""
    known = {each.name: each for each in model.situations}
    for name in names:
        if name not in known:
            near = nearest(name, [*known, *_switches(model)])
            hint = f"Closest: {near[0]}." if near else 'Write it like "slide=full brake=on".'
            problems.append(f"{name[:60]} is no situation of this build. {hint}")
    begin = [name for name in names if name in known]
    if len(begin) > 1:
        problems.append(f"{' and '.join(begin)} can't both be where it begins; keep one of them.")
    return known[begin[0]] if begin else Situation("asked", (), (), "", 0.0, "")


def _value(item: Input, text: str, read_number: ReadNumber, problems: list[str]) -> Setting | None:
    if item.kind == "number":
        if text == LOST:
            return text
        try:
            number = read_number(text, item.number_kind)
        except ValueError as error:
            write = getattr(error, "write", "")
            problems.append(f"{item.name}: {error}{f' {write}' if write else ''}")
            return None
        if item.low <= number <= item.high or item.low == item.high:
            return number
        least, most = (_said(each, item.number_kind) for each in (item.low, item.high))
        problems.append(f"{item.name} goes from {least} to {most}; {text[:40]} is outside.")
        return None
    extra = {
        "toggle": ("pressed", "released"),
        "button": ("pressed", "released"),
        "turn-wire": ("flashing", "low", "high"),
    }
    if text in (*item.values, LOST, *extra.get(item.kind, ())):
        return text
    problems.append(_no_value(item.name, text, item.values))
    return None


def _no_value(name: str, text: str, values: Iterable[str]) -> str:
    known = tuple(values)
    near = nearest(text, known)
    return (
        f"{name} is never {text[:40] or 'nothing'}; it is {', '.join(known)}.{f' Closest: {near[0]}.' if near else ''}"
    )


# ---------------------------------------------------------------------------------------------------------- sentences
def _lines(answer: Answer) -> Iterator[str]:
    outputs, model = answer.settled.outputs, answer.model
    kinds = {item.name: item.number_kind for item in model.inputs}
    said = [f"{name} {_said(value, kinds.get(name, ''))}" for name, value in answer.situation.settings]
    said += [f"{name} {value}" for name, value in answer.situation.memory]
    yield f"At {', '.join(said) if said else 'rest'}:"
    yield ""
    for heads, sentence in _by_sentence(outputs.heads, {function.name: function.rank for function in model.functions}):
        yield f"{', '.join(_named(heads))} {sentence if len(heads) == 1 else _plural(sentence)}"
    reached = {head.id for head in model.heads if head.reach != "none"}
    dark = [s.head for s in outputs.heads if not s.owners and not s.ambiguous and s.head in reached]
    if dark:
        yield f"Dark, nobody wants them: {', '.join(_named(dark))}."
    yield from _other_lines(answer)
    yield from to_know(model, answer.situation, answer.settled)
    read = _read_by(model)
    told = ", ".join(f"{name} {_said(value, kinds.get(name, ''))}" for name, value in answer.at_rest if name in read)
    yield ""
    yield f"At rest: {told or 'everything else'}."


def _other_lines(answer: Answer) -> Iterator[str]:
    outputs = answer.settled.outputs
    for sound in outputs.sounds:
        if sound.owner:
            yield f"{sound.siren} sounds {sound.tone}: {sound.owner}.{_also(sound.wanted)}"
        else:
            yield f"{sound.siren} is silent: nothing decides between {', '.join(w.function for w in sound.wanted)}."
    for what, names in (("Runs", outputs.runs), ("Interrupted", outputs.interrupts), ("Says", outputs.messages)):
        if names:
            yield f"{what}: {', '.join(names)}."
    for name, stop in outputs.stopped:
        yield f"{name} would act, but {stop} stops it."
    if outputs.held_off:
        yield f"Waiting to be asked again: {', '.join(outputs.held_off)}."
    lit = [f"{control} {word}" for control, word in outputs.tell_tales if word not in ("off", "none")]
    if lit:
        yield f"Tell-tales: {', '.join(lit)}."
    memory = memory_of(machine_of(answer.model), answer.settled.state)
    if memory:
        yield f"Remembers: {', '.join(f'{name} {value}' for name, value in memory.items())}."


def _by_sentence(states: Iterable[HeadState], ranks: Mapping[str, str]) -> Iterator[tuple[list[str], str]]:
    """Heads that do the same for the same reason, together, in the order of the build."""
    found: dict[str, list[str]] = {}
    for state in states:
        if state.owners or state.ambiguous:
            found.setdefault(_sentence(state, ranks), []).append(state.head)
    for sentence, heads in found.items():
        yield heads, sentence


def _sentence(state: HeadState, ranks: Mapping[str, str]) -> str:
    if state.ambiguous and not state.owners:
        rivals = [want.function for want in state.wanted if want.outcome == "ambiguous"]
        return f"stays dark: nothing decides between {' and '.join(rivals)}."
    owners = " and ".join(f"{name} ({ranks.get(name, '')})" for name in state.owners)
    if not state.parts:
        return f"is kept dark: {owners}.{_also(state.wanted)}"
    burning = ", ".join(_burns(part) for part in state.parts)
    limits = sorted({part.limited_by for part in state.parts if part.limited_by})
    dimmed = f" Dimmed by {', '.join(limits)}." if limits else ""
    return f"burns {burning}: {owners}.{dimmed}{_also(state.wanted)}"


def _burns(part: ColourPart) -> str:
    share = "" if part.share == 1.0 else f" at {print_quantity(round(part.share, 4), 'share')}"
    return f"{_manner(part.show)}{share}"


def _manner(show: ColourShow) -> str:
    if show.manner == "steady":
        return f"steady {show.colour}"
    if show.manner == "follow" or show.pattern is None:
        return f"{show.colour} with {show.signal}"
    sides = f" {show.sides}" if show.sides in ("sides", "other-sides") else ""
    return f"{show.colour} {print_pattern(show.pattern)}{sides}"


def _also(wanted: Iterable[Wanted]) -> str:
    lost = [want for want in wanted if want.outcome not in ("owns", "beside")]
    if not lost:
        return ""
    said = [
        f"{want.function} ({want.rank}{f', beaten by {want.by}' if want.outcome == 'beaten' else ''})" for want in lost
    ]
    return f" Also wanted by {', '.join(said)}."


def _said(value: Setting, kind: str) -> str:
    return print_quantity(value, kind) if isinstance(value, float) else str(value)


def _read_by(model: Model) -> frozenset[str]:
    """Inputs that anything in the build reads; the others needn't be told."""
    return names_of(model, all_conditions(model)) | {function.by for function in model.functions if function.by}


def _plural(sentence: str) -> str:
    for one, many in (("burns ", "burn "), ("stays ", "stay "), ("is kept ", "are kept ")):
        if sentence.startswith(one):
            return many + sentence.removeprefix(one)
    return sentence


def _named(heads: Iterable[str]) -> list[str]:
    """Runs of numbers as visor.1-3, and both of a pair as one: grille (both)."""
    names = _runs_of(heads)
    both = {name.removesuffix(".left") for name in names if name.endswith(".left")}
    both &= {name.removesuffix(".right") for name in names if name.endswith(".right")}
    found = dict.fromkeys(
        f"{name.rpartition('.')[0]} (both)"
        if name.rpartition(".")[0] in both and name.endswith((".left", ".right"))
        else name
        for name in names
    )
    return list(found)


def _runs_of(heads: Iterable[str]) -> list[str]:
    """visor.1, visor.2, visor.3 -> visor.1-3; the rest as they are."""
    found: list[tuple[str, int, int]] = []
    for head in heads:
        lamp, _, number = head.rpartition(".")
        if number.isdecimal() and found and found[-1][0] == lamp and found[-1][2] == int(number) - 1:
            found[-1] = (lamp, found[-1][1], int(number))
        elif number.isdecimal():
            found.append((lamp, int(number), int(number)))
        else:
            found.append((head, 0, -1))
    return [
        name if last < 0 else f"{name}.{first}" if first == last else f"{name}.{first}-{last}"
        for name, first, last in found
    ]


def _head_json(state: HeadState) -> dict[str, Any]:
    return {
        "head": state.head,
        "shows": [
            {
                "colour": part.colour,
                "manner": part.show.manner,
                "text": _manner(part.show),
                "share": part.share,
                "owner": part.owner,
                "limited-by": part.limited_by,
            }
            for part in state.parts
        ],
        "owners": list(state.owners),
        "ambiguous": state.ambiguous,
        "wanted": [_wanted_json(want) for want in state.wanted],
    }


def _wanted_json(want: Wanted) -> dict[str, str]:
    return {"function": want.function, "rank": want.rank, "outcome": want.outcome, "by": want.by}
