"""How does a driver say a condition, a lamp, what it shows? Short words for the operator card.

What a builder named with one plain comparison is said by that comparison; what takes more keeps its name, between
`NAMED` marks, and is told once, where the card tells its words. Signals that every vehicle has are said as drivers say
them; what the shop named itself is said by its name.

See Also
--------
coachwright.control.operator : who asks.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
)
from coachwright.build.model import Head, Input, Model
from coachwright.build.quantity_text import print_quantity, print_time
from coachwright.control.statement import ColourPart

NAMED = ("\ue000", "\ue001")
"""Stand round a name that the card explains."""

_SUBJECTS = {
    "gear": "the gear",
    "park-brake": "the parking brake",
    "turn-left": "the left turn signal",
    "turn-right": "the right turn signal",
    "hazard": "the hazard flasher",
    "headlamps": "the headlamps",
    "main-beam": "the high beam",
    "door-driver": "the driver's door",
    "door-passenger": "the passenger's door",
    "door-rear-left": "the left rear door",
    "door-rear-right": "the right rear door",
    "belt-driver": "the driver's belt",
    "belt-passenger": "the passenger's belt",
    "key-in": "the key",
    "supply": "the voltage",
    "speed": "your speed",
    "ignition": "the key",
}
_ON_OFF = {
    "brake": ("you do not brake", "you brake"),
    "park-brake": ("the parking brake is off", "the parking brake is set"),
    "key-in": ("the key is out", "the key is in"),
    "belt-driver": ("the driver's belt is open", "the driver's belt is closed"),
    "belt-passenger": ("the passenger's belt is open", "the passenger's belt is closed"),
    "headlamps": ("the headlamps are off", "the headlamps are on"),
}
_TITLES = {
    "brake": "brake",
    "turn-left": "left turn signal",
    "turn-right": "right turn signal",
    "hazard": "hazard flasher",
    "supply": "voltage",
}
_ABOVE, _BELOW = {">": "above", ">=": "at least"}, {"<": "under", "<=": "at most"}
_OPPOSITE = {"==": "!=", "!=": "==", "<": ">=", ">=": "<", ">": "<=", "<=": ">"}


@dataclass(frozen=True, slots=True)
class Noun:
    """What a sentence is about. many : it takes a verb without s."""

    text: str
    many: bool


class Wording:
    """Says things of one build."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.inputs: dict[str, Input] = {item.name: item for item in model.inputs}
        self.words = {word.name: word.condition for word in model.words}
        self.memories = {memory.name: memory for memory in model.memories}
        self.named: set[str] = set()
        """Words and memories that were said by name: they want to be told."""
        self.titles: dict[str, str] = {}
        """Per function: the title under which it is told."""

    # ------------------------------------------------------------------------------------------------ conditions
    def clause(self, condition: Condition) -> str:
        """``the hatch is open``: what can stand behind *while*, *when* or *if*."""
        return self._said(flat(condition, self.words))

    def _said(self, condition: Condition) -> str:
        match condition:
            case And(items):
                return self._and(items)
            case Or(items):
                return self._or(items)
            case Not(item):
                return self._not(item)
            case Held(item, time_ms):
                return f"{_has_been(self._said(item))} for {print_time(time_ms)}"
            case Plus(item, time_ms):
                return f"{self._said(item)}, now or in the last {print_time(time_ms)}"
            case First(item, time_ms):
                return f"{self._said(item)}, for {print_time(time_ms)} at most"
            case _:
                return self._atom(condition)

    def _and(self, items: Sequence[Condition]) -> str:
        """What has an *or* in it comes last, behind *either*."""
        plain = self.in_order(self._said(item) for item in items if not isinstance(item, Or))
        either = sorted(f"either {self._said(item)}" for item in items if isinstance(item, Or))
        if not either:
            return _joined(plain, "and")
        return ", and ".join([_joined(plain, "and"), *either] if plain else either)

    @staticmethod
    def in_order(said: Iterable[str]) -> list[str]:
        """Names first, then by the alphabet: no order of a file."""
        return sorted(said, key=lambda each: (not each.startswith((NAMED[0], f"not {NAMED[0]}")), each))

    def _or(self, items: Sequence[Condition]) -> str:
        said = self.in_order(self._said(item) for item in items)
        if any(isinstance(item, And) for item in items):
            return ", or ".join(said)
        said = _one_predicate(said)
        return (", or " if any(" or " in each for each in said) else " or ").join(said)

    def _not(self, item: Condition) -> str:
        match item:
            case Truth(name) if name in self.words:
                return f"not {self._name(name)}"
            case Truth() | Compare() | OneOf():
                return self._atom(item, holds=False)
            case FunctionState() | HeadStatement() | Event():
                return f"not: {self._atom(item)}"
            case _:
                return f"not so that {self._said(item)}"

    def _atom(self, condition: Condition, *, holds: bool = True) -> str:
        match condition:
            case Constant(value):
                return "always" if value == holds else "never"
            case Truth(name):
                return self._truth(name, holds=holds)
            case Compare(name, operator, value):
                return self._compare(name, operator if holds else _OPPOSITE[operator], value)
            case OneOf(name, values):
                return self._one_of(name, values, holds=holds)
            case Event():
                return self._event(condition)
            case FunctionState(name, state):
                words = "is at work" if state == "active" else "was stopped, and waits until you ask for it again"
                title = self.titles.get(name, plain_name(name))
                return f"the {lower(title)} {words}"
            case HeadStatement():
                return f"{condition.selector} {condition.colour} {condition.manner}"
            case _:
                raise TypeError(f"{condition!r} is no single thing")

    def _truth(self, name: str, *, holds: bool = True) -> str:
        if name in _ON_OFF and name in self.inputs:
            return _ON_OFF[name][holds]
        item = self.inputs.get(name)
        if item is None:
            return self._name(name) if holds else f"not {self._name(name)}"
        if item.kind == "button":
            return f"you {'hold' if holds else 'do not hold'} {plain_name(name)}"
        if item.kind == "on-off" and name not in _SUBJECTS:
            return plain_name(name) if holds else f"not {plain_name(name)}"
        return f"{self._is_or_are(name)} {'on' if holds else 'off'}"

    def _compare(self, name: str, operator: str, value: str | float) -> str:
        item = self.inputs.get(name)
        if item is None:
            if operator == "!=":
                others = tuple(each for each in self.memories[name].values if each != value)
                return self._one_of(name, others, holds=True)
            self.named.add(name)
            return f"{self.subject(name)} is {plain_name(str(value))}"
        if not isinstance(value, str):
            return self._number(item, operator, value)
        if item.values == ("off", "on"):
            return self._truth(name, holds=(value == "on") == (operator == "=="))
        if operator in ("==", "!="):
            return self._is(item, value, holds=operator == "==")
        place = item.values.index(value)
        if operator in (">=", ">"):
            least = item.values[min(place + (operator == ">"), len(item.values) - 1)]
            more = "" if least == item.values[-1] else " or more"
            return f"{self._is_or_are(name)} at {plain_name(least)}{more}"
        most = item.values[max(place - (operator == "<"), 0)]
        less = "" if most == item.values[0] else " or less"
        return f"{self._is_or_are(name)} at {plain_name(most)}{less}"

    def _number(self, item: Input, operator: str, value: float) -> str:
        said = print_quantity(value, item.number_kind)
        words = {**_ABOVE, **_BELOW, "==": "", "!=": "not"}[operator]
        return f"{self._is_or_are(item.name)} {words} {said}".replace("  ", " ")

    def _is(self, item: Input, value: str, *, holds: bool) -> str:
        if not holds and len(item.values) == 2:
            value, holds = next(other for other in item.values if other != value), True
        idle = value in ("off", "none") and value == item.values[0]
        if idle and not holds:
            return f"{self._is_or_are(item.name)} on"
        at = "at " if item.kind in ("slide", "pick-one") and not idle else ""
        if item.name == "gear":
            at = "in "
        if item.name == "ignition":
            at = "at "
        return f"{self._is_or_are(item.name)} {'' if holds else 'not '}{at}{_value(value)}"

    def _one_of(self, name: str, values: Sequence[str | float], *, holds: bool) -> str:
        if name == "ignition" and set(values) == {"run", "crank"}:
            return f"the key is {'on' if holds else 'off'}"
        item = self.inputs.get(name)
        said = [_value(each) if isinstance(each, str) else print_quantity(each, item.number_kind if item else "")
                for each in values]  # fmt: skip
        if item is None:
            self.named.add(name)
        at = "at " if item is not None and item.kind in ("slide", "pick-one") else "in " if name == "gear" else ""
        return f"{self._is_or_are(name)} {'' if holds else 'not '}{at}{_joined(said, 'or')}"

    def _event(self, event: Event) -> str:
        if event.kind == "becomes":
            inside = flat(event.item or Truth(event.name), self.words)
            return self._said(inside)
        if event.kind == "leaves":
            return f"you move {self.subject(event.name)} off {plain_name(event.position)}"
        return f"you {'press' if event.kind == 'pressed' else 'let go of'} {self.subject(event.name)}"

    def _name(self, name: str) -> str:
        self.named.add(name)
        return f"{NAMED[0]}{plain_name(name)}{NAMED[1]}"

    def subject(self, name: str) -> str:
        """``the driver's door``."""
        if name in self.inputs and name in _SUBJECTS:
            return _SUBJECTS[name]
        if name in self.memories:
            return f"{NAMED[0]}{plain_name(name)}{NAMED[1]}"
        if name in self.inputs and self.inputs[name].kind in ("toggle", "button", "rotary-disconnect"):
            return plain_name(name)
        return f"the {plain_name(name)}"

    def _is_or_are(self, name: str) -> str:
        subject = self.subject(name)
        return f"{subject} {'are' if _is_many(subject.removesuffix(NAMED[1])) else 'is'}"

    def title(self, name: str) -> str:
        """How an entry of the card is headed."""
        said = _TITLES.get(name, _SUBJECTS.get(name, plain_name(name)).removeprefix("the "))
        return capital(said if name in self.inputs else plain_name(name))

    # ----------------------------------------------------------------------------------------------------- lamps
    def lamps(self, heads: Iterable[str]) -> Noun:
        """``the front and mirror lamps``, ``the cap bar``, ``part of the visor``: groups, then lamps, then parts."""
        wanted = set(heads)
        groups, lamps, parts = list[str](), list[Noun](), list[Noun]()
        left = set(wanted)
        for name, ids in sorted(self.model.groups, key=lambda each: (-len(each[1]), each[0])):
            if len(ids) > 1 and left.issuperset(ids):
                groups.append(plain_name(name))
                left -= set(ids)
        by_lamp: dict[str, list[Head]] = {}
        for head in self.model.heads:
            by_lamp.setdefault(head.lamp, []).append(head)
        for lamp, own in sorted(by_lamp.items()):
            here = [head for head in own if head.id in left]
            if not here:
                continue
            sides = sorted({head.side for head in own if head.side})
            whole = [side for side in sides if {head.id for head in own if head.side == side} <= left]
            if len(here) == len(own):
                lamps.append(Noun(plain_name(lamp), bool(sides)))
            elif whole and {head.side for head in here} == set(whole):
                lamps += [Noun(f"{side} {plain_name(lamp)}", many=False) for side in whole]
            else:
                parts.append(Noun(f"part of the {plain_name(lamp)}", many=False))
        return _nouns(sorted(groups), lamps, parts)


def _nouns(groups: list[str], lamps: list[Noun], parts: list[Noun]) -> Noun:
    alone = [noun for noun in lamps if not noun.many]
    pairs = [*groups, *(noun.text for noun in lamps if noun.many)]
    said = [f"{_joined(pairs, 'and')}{'' if _is_many(pairs[-1]) else ' lamps'}"] if pairs else []
    singles = [f"{noun.text} lamp" if noun.text.startswith(("left ", "right ")) else noun.text for noun in alone]
    said += [_joined(singles, "and")] if len(singles) > 2 else singles
    text = _joined([f"the {each}" for each in said] + [noun.text for noun in parts], "and")
    return Noun(text, bool(pairs) or len(alone) + len(parts) > 1)


def shown(parts: Sequence[ColourPart], *, many: bool, wording: Wording) -> str:
    """What lamps do, as a verb with its colours: ``flash red and white``."""
    by_manner: dict[str, list[str]] = {}
    for part in sorted(parts, key=lambda each: (each.colour, each.show.signal)):
        by_manner.setdefault(_manner(part, wording), []).append(part.colour)
    s = "" if many else "es"
    said = []
    for manner, colours in sorted(by_manner.items()):
        light = _joined(sorted(set(colours)), "and")
        if manner == "steady":
            said.append(f"shine{s[1:]} steady {light}")
        elif manner.startswith("steady "):
            said.append(f"shine{s[1:]} steady {light} at {manner.removeprefix('steady ')}")
        elif manner.startswith("run "):
            said.append(f"run{s[1:]} {light} {manner.removeprefix('run ')}")
        else:
            said.append(f"flash{s} {light}{manner.removeprefix('flash')}")
    return _joined(said, "and")


def _manner(part: ColourPart, wording: Wording) -> str:
    show = part.show
    if show.manner == "steady":
        return "steady" if show.share == 1.0 else f"steady {print_quantity(round(show.share, 4), 'share')}"
    if show.manner == "follow":
        return f"flash with {wording.subject(show.signal)}"
    word = show.pattern.word if show.pattern is not None else ""
    ways = {"run-left": "to the left", "run-right": "to the right", "run-split": "from the middle out"}
    return f"run {ways[word]}" if word in ways else "flash"


# ---------------------------------------------------------------------------------------------------------- conditions
def flat(condition: Condition, words: dict[str, Condition]) -> Condition:
    """Simple words opened, nots pushed inward, equal names gathered."""
    return _gathered(_pushed(condition, words, holds=True))


def _pushed(condition: Condition, words: dict[str, Condition], *, holds: bool) -> Condition:
    match condition:
        case Truth(name) if name in words and is_simple(words[name], words):
            return _pushed(words[name], words, holds=holds)
        case Not(item):
            return _pushed(item, words, holds=not holds)
        case And(items) | Or(items):
            inside = tuple(_pushed(item, words, holds=holds) for item in items)
            return And(inside) if isinstance(condition, And) == holds else Or(inside)
        case Constant(value):
            return Constant(value=value == holds)
        case Held(item, time_ms) | First(item, time_ms) | Plus(item, time_ms):
            timed = type(condition)(_pushed(item, words, holds=True), time_ms)
            return timed if holds else Not(timed)
        case _:
            return condition if holds else Not(condition)


def is_simple(condition: Condition, words: dict[str, Condition]) -> bool:
    """Is it one comparison, perhaps with a time? Then a driver needs no name for it."""
    match condition:
        case Held(item, _):
            return not isinstance(item, Held) and is_simple(item, words)
        case Truth(name):
            return name not in words or is_simple(words[name], words)
        case Compare() | OneOf():
            return True
        case Not(item):
            return is_simple(item, words) and not isinstance(item, Held)
        case _:
            return False


def _gathered(condition: Condition) -> Condition:
    """``stage == one or stage == two`` is ``stage in (one, two)``."""
    if isinstance(condition, And):
        return And(tuple(_gathered(item) for item in condition.items))
    if not isinstance(condition, Or):
        return condition
    values: dict[str, list[str | float]] = {}
    others: list[Condition] = []
    for item in condition.items:
        if isinstance(item, Compare) and item.operator == "==":
            values.setdefault(item.name, []).append(item.value)
        else:
            others.append(_gathered(item))
    found: list[Condition] = [
        Compare(name, "==", same[0]) if len(same) == 1 else OneOf(name, tuple(same)) for name, same in values.items()
    ]
    found += others
    return found[0] if len(found) == 1 else Or(tuple(found))


# ---------------------------------------------------------------------------------------------------------- letters
def plain_name(name: str) -> str:
    """``cap-bar`` as a person says it."""
    return name.replace("-", " ")


def capital(said: str) -> str:
    """With a capital letter, also behind a mark."""
    place = next((at for at, letter in enumerate(said) if letter.isalnum()), 0)
    return said[:place] + said[place : place + 1].upper() + said[place + 1 :]


def lower(said: str) -> str:
    """With a small letter, inside a sentence."""
    return said[:1].lower() + said[1:]


def joined(said: Sequence[str], word: str = "and") -> str:
    """``a, b and c``."""
    return _joined(said, word)


def _joined(said: Sequence[str], word: str) -> str:
    if len(said) < 2:
        return "".join(said)
    return f"{', '.join(said[:-1])} {word} {said[-1]}"


def _one_predicate(said: Sequence[str]) -> list[str]:
    """``the hatch or the tailgate is open`` for clauses that say the same of several things."""
    subjects: dict[str, list[str]] = {}
    for each in said:
        subject, verb, end = each.partition(" is ")
        subjects.setdefault(f"{verb}{end}", []).append(subject)
    return [each for end, of in subjects.items() for each in ([f"{_joined(of, 'or')}{end}"] if end else of)]


def _has_been(said: str) -> str:
    for now, since in ((" is ", " has been "), (" are ", " have been ")):
        if now in said:
            return said.replace(now, since, 1)
    return said


def _value(value: str) -> str:
    return {"P": "Park", "R": "Reverse", "N": "Neutral", "D": "Drive"}.get(value, plain_name(value))


def _is_many(said: str) -> bool:
    """Does it take a verb without s? By its last letter."""
    return said.endswith("s") and not said.endswith(("ss", "us"))
