"""Which vehicles does a job hold, what did each choose, and what does a choice change in the text?

Options change the text before its fields are read, so that everything behind it is as if that had been written. Paths
are those of the file as it stands, whatever other options do; two that touch one path are told, not ordered.

See Also
--------
coachwright.build.sections.options : before this, how a choice is written.
coachwright.build.changed_text : what it does to the text.
coachwright.build.not_in_it : after this, what falls away with what isn't fitted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from coachwright.build.changed_text import ChangedText, find
from coachwright.build.language import SECTIONS
from coachwright.build.model import Model, Option, OptionValue, Serial
from coachwright.build.problem import closest
from coachwright.build.sections.options import Option as WrittenOption
from coachwright.build.sections.options import Value
from coachwright.build.sections.serials import Serial as WrittenSerial
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.build.written import read_written
from coachwright.kit.nodes import Document, PathPieces, Plain

_Touch: TypeAlias = tuple[PathPieces, PathPieces, bool]
"""Where a change is written, the path it changes, and whether a name says it."""

Choices = tuple[tuple[str, str], ...]
"""(option, value) of every option, in the order of the file."""

MOST_CHOICES = 200
"""Values of all options of a job together; fewer in a text of more than some thousand lines, for each is read whole."""

MOST_PATHS = 2_000
"""Changed by all values together."""

_MOST_CHARACTERS = 40_000_000
"""Read for all choices together."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Everything a job lets its vehicles differ in.

    options, serials : that could be read. count : vehicles of the job. base : what holds where nothing is chosen.
    broken : (option, value) that can't be applied; why is among `troubles`, with all else that is wrong here.
    """

    options: tuple[Option, ...]
    serials: tuple[Serial, ...]
    count: int
    base: Choices
    written: Mapping[tuple[str, str], Value]
    broken: frozenset[tuple[str, str]]
    troubles: tuple[Trouble, ...]

    def of_serial(self, number: int) -> Choices:
        """What vehicle `number` chose."""
        return next((serial.choices for serial in self.serials if serial.number == number), self.base)

    def used(self) -> tuple[Choices, ...]:
        """Every different set of choices the serials make, other than the base."""
        return tuple(dict.fromkeys(each.choices for each in self.serials if each.choices != self.base))

    def every(self) -> tuple[Choices, ...]:
        """The base, what serials use, and each value of each option by itself."""
        singles = [
            tuple((name, value.name if name == option.name else chosen) for name, chosen in self.base)
            for option in self.options
            for value in option.values
        ]
        return tuple(dict.fromkeys((self.base, *self.used(), *singles)))


@dataclass(frozen=True, slots=True)
class AlikeVehicles:
    """Vehicles that chose the same. numbers : of the job, from 1; named : (number, name) of those with a name."""

    choices: Choices
    differs: Choices
    numbers: tuple[int, ...]
    named: tuple[tuple[int, str], ...]


def alike_vehicles(model: Model) -> tuple[AlikeVehicles, ...]:
    """All vehicles of the job, by what they chose: those that chose nothing first, though there may be none of them."""
    base = tuple((option.name, option.base) for option in model.options)
    numbers: dict[Choices, list[int]] = {base: []}
    chose = {serial.number: serial.choices for serial in model.serials}
    for number in range(1, model.count + 1):
        numbers.setdefault(chose.get(number, base), []).append(number)
    names = {serial.number: serial.name for serial in model.serials if serial.name}
    return tuple(
        AlikeVehicles(
            choices,
            tuple(pair for pair, usual in zip(choices, base, strict=True) if pair != usual),
            tuple(found),
            tuple((number, names[number]) for number in found if number in names),
        )
        for choices, found in numbers.items()
    )


def spoken_vehicles(alike: AlikeVehicles, most: int = 12) -> str:
    """``3 (C-3) and 5``; "" where there are none."""
    names = dict(alike.named)
    said = [f"{number} ({names[number]})" if number in names else str(number) for number in alike.numbers]
    if len(said) > most:
        return f"{', '.join(said[:most])} and {len(said) - most} more"
    return f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else "".join(said)


def spoken_choices(choices: Choices, base: Choices) -> str:
    """``second-radio fitted and power none``: what differs from the base; "no option chosen" where nothing does."""
    differs = [f"{option} {value}" for option, value in choices if (option, value) not in base]
    return " and ".join(differs) or "no option chosen"


def offer_of(document: Document) -> Offer:
    """What `document` lets its vehicles differ in. The faults of single fields are told when all sections are read."""
    plain = document.plain if isinstance(document.plain, dict) else {}
    if "options" not in plain and "serials" not in plain:
        return Offer((), (), _count(document), (), {}, frozenset(), ())
    names = ("options", "serials", "count")
    written = read_written(replace(document, plain={name: plain[name] for name in names if name in plain}))
    told: list[Trouble] = []
    options: list[Option] = []
    values: dict[tuple[str, str], Value] = {}
    broken: set[tuple[str, str]] = set()
    for name, item in written.items("options").items():
        option = _option(name, item, told)
        if option is None:
            written.lost.add("options", name)
            continue
        options.append(option)
        for value_name, value in item.values.items():
            values[name, value_name] = value
            if not _applicable(document, ("options", name, value_name), value, told):
                broken.add((name, value_name))
    most = min(MOST_CHOICES, max(10, _MOST_CHARACTERS // (len(document.text) + 1)))
    paths_n = sum(len(value.add) + len(value.set_) + len(value.drop) for value in values.values())
    if len(values) > most or paths_n > MOST_PATHS:
        counts = f"{len(values):,} values and change {paths_n:,} paths"
        why = f"The options have {counts}; {most} and {MOST_PATHS:,} is the most."
        told.append(Trouble(("options",), "BLD-159", "too-many-choices", why, "Make several jobs of it.", on_key=True))
        options, values = [], {}
        written.lost.sections.add("options")
    count = written.one.get("count", 1)
    known_count = None if "count" in written.lost.sections else count
    base = tuple((option.name, option.base) for option in options)
    known = _Known(
        {option.name: tuple(value.name for value in option.values) for option in options},
        base,
        written.lost.of("options"),
        "options" in written.lost.sections,
    )
    serials = tuple(_serial(int(number), item, known, told) for number, item in written.items("serials").items())
    _check_serials(serials, known_count, told)
    sets_n = len({serial.choices for serial in serials})
    if sets_n > most:
        why = f"The serials choose in {sets_n:,} different ways; {most} is the most."
        told.append(Trouble(("serials",), "BLD-159", "too-many-choices", why, "Make several jobs of it.", on_key=True))
        serials = ()
    return Offer(tuple(options), serials, count, base, values, frozenset(broken), tuple(told))


def chosen(document: Document, offer: Offer, choices: Choices) -> tuple[ChangedText | None, tuple[Trouble, ...]]:
    """The text as these choices make it; None where they can't be applied, with why if that wasn't told before."""
    if any(pair in offer.broken for pair in choices):
        return None, ()
    applied = [(("options", *pair), offer.written[pair]) for pair in choices if pair in offer.written]
    troubles = tuple(_touching(applied))
    if troubles:
        return None, troubles
    text = ChangedText(document)
    for path, value in applied:
        for word, content in (("set", value.set_), ("add", value.add)):
            for at, what in content.items():
                text.put(tuple(at.split(".")), what, written_at=(*path, word, at))
    text.drop(tuple(at.split(".")) for _, value in applied for at in value.drop)
    return text, ()


def optional_names(offer: Offer) -> dict[str, frozenset[str]]:
    """By section, what some value of some option adds or drops: what not every vehicle has."""
    found: dict[str, set[str]] = {}
    for value in offer.written.values():
        for path in (*value.add, *value.drop):
            section, _, rest = path.partition(".")
            if rest and "." not in rest:
                found.setdefault(section, set()).add(rest)
            content = value.add.get(path)
            if not rest and isinstance(content, dict):
                found.setdefault(section, set()).update(content)
    return {section: frozenset(names) for section, names in found.items()}


def _count(document: Document) -> int:
    plain = document.plain
    count = plain.get("count", "1") if isinstance(plain, dict) else "1"
    return int(count) if isinstance(count, str) and count.isascii() and count.isdecimal() and len(count) < 6 else 1


def _option(name: str, item: WrittenOption, told: list[Trouble]) -> Option | None:
    path = ("options", name)
    if item.base not in item.values:
        told.append(
            not_known(
                (*path, "base"), f"value of {name}", item.base, item.values, code="BLD-154", name="choice-not-known"
            )
        )
        return None
    values = tuple(
        OptionValue(
            name=value_name,
            added=tuple(value.add),
            set=tuple(value.set_),
            dropped=value.drop,
            price=value.price,
            path=".".join((*path, value_name)),
        )
        for value_name, value in item.values.items()
    )
    return Option(name, item.base, values, ".".join(path))


@dataclass(frozen=True, slots=True)
class _Known:
    """What can be chosen. lost : options that exist and can't be read; all_lost : any could be."""

    values: Mapping[str, tuple[str, ...]]
    base: Choices
    lost: frozenset[str]
    all_lost: bool


def _serial(number: int, item: WrittenSerial, known: _Known, told: list[Trouble]) -> Serial:
    path = ("serials", str(number))
    values = known.values
    for name, value in item.choose.items():
        at = (*path, "choose", name)
        if name not in values:
            if name not in known.lost and not known.all_lost:
                told.append(not_known(at, "option", name, values, code="BLD-153", name="option-not-known", on_key=True))
        elif value not in values[name]:
            told.append(not_known(at, f"value of {name}", value, values[name], code="BLD-154", name="choice-not-known"))
    choices = tuple(
        (name, item.choose[name] if item.choose.get(name) in values[name] else usual) for name, usual in known.base
    )
    return Serial(number, item.name or "", choices, ".".join(path), item.note)


def _check_serials(serials: Iterable[Serial], count: int | None, told: list[Trouble]) -> None:
    names: dict[str, Serial] = {}
    for serial in serials:
        path = ("serials", str(serial.number))
        if count is not None and serial.number > count:
            why = f"The job builds {count:,} vehicle{'s' if count > 1 else ''}, so there is no number {serial.number}."
            write = "Take it out, or write the count of vehicles."
            told.append(
                Trouble(
                    path,
                    "BLD-151",
                    "serial-beyond-count",
                    why,
                    write,
                    str(serial.number),
                    on_key=True,
                    also=(("count",),),
                )
            )
        other = names.setdefault(serial.name, serial) if serial.name else serial
        if other is not serial:
            why = f"Vehicles {other.number} and {serial.number} are both called {serial.name[:60]}."
            told.append(
                Trouble(
                    (*path, "name"),
                    "BLD-152",
                    "serial-name-twice",
                    why,
                    "Give one of them another name.",
                    serial.name[:80],
                    also=(("serials", str(other.number), "name"),),
                )
            )


def _applicable(document: Document, path: PathPieces, value: Value, told: list[Trouble]) -> bool:
    """Does everything this value sets and drops exist, and nothing it adds?"""
    before_n = len(told)
    told.extend(_touching([(path, value)]))
    for where, pieces, on_key in _touched(path, value):
        if pieces[0] not in SECTIONS:
            _no_section(where, pieces, told, on_key=on_key)
    if len(told) > before_n:
        return False
    for at in value.add:
        _check_add(document, (*path, "add", at), tuple(at.split(".")), told)
    for at in value.set_:
        _check_there(document, (*path, "set", at), tuple(at.split(".")), "set", told)
    for number, at in enumerate(value.drop, start=1):
        _check_there(document, (*path, "drop", str(number)), tuple(at.split(".")), "drop", told)
    return len(told) == before_n


def _check_add(document: Document, where: PathPieces, at: PathPieces, told: list[Trouble]) -> None:
    plain = document.plain
    if _is_lost(document, at):
        return
    if find(plain, at) is not None:
        why = f"{'.'.join(at)} is in the build already, so it can't be added."
        write = "Write it under set if it is otherwise then."
        found = document.written_at(at)
        told.append(
            Trouble(where, "BLD-156", "option-adds-existing", why, write, ".".join(at), on_key=True, also=(found,))
        )
        return
    above = find(plain, at[:-1]) if len(at) > 1 else plain
    if above is None and len(at) > 2:
        _not_there(document, where, at[:-1], "add", told)
    elif isinstance(above, list) or (isinstance(above, str) and above):
        next_n = len(above) + 1 if isinstance(above, list) else 2
        if at[-1] != str(next_n):
            why = f"{'.'.join(at[:-1])} is a list of {next_n - 1}."
            write = f"Write {'.'.join((*at[:-1], str(next_n)))}, the next of it."
            told.append(Trouble(where, "BLD-157", "option-path-not-there", why, write, ".".join(at), on_key=True))


def _check_there(document: Document, where: PathPieces, at: PathPieces, word: str, told: list[Trouble]) -> None:
    if find(document.plain, at) is None and not _is_lost(document, at):
        _not_there(document, where, at, word, told)


def _not_there(document: Document, where: PathPieces, at: PathPieces, word: str, told: list[Trouble]) -> None:
    there = next(
        (end for end in range(len(at) - 1, -1, -1) if not end or find(document.plain, at[:end]) is not None), 0
    )
    holder = find(document.plain, at[:there]) if there else document.plain
    names = list(_names(holder))
    near = closest(at[there], names)
    missing = ".".join(at[: there + 1])
    why = f"{missing} isn't in the build."
    whole = ".".join((*at[:there], near, *at[there + 1 :])) if near else ""
    if near:
        write = f"Closest: {whole}."
    elif word == "set" and isinstance(holder, dict):
        write = "Write it under add if only this choice brings it."
    else:
        inside = ".".join(at[:there])
        write = f"In {inside} there are {listed(names)}." if names and inside else "Take it out."
    on_key = word != "drop"
    told.append(Trouble(where, "BLD-157", "option-path-not-there", why, write, ".".join(at)[:80], whole, on_key=on_key))


def _names(holder: Plain | None) -> Iterator[str]:
    if isinstance(holder, dict):
        yield from holder
    elif isinstance(holder, list):
        yield from map(str, range(1, len(holder) + 1))


def _is_lost(document: Document, at: PathPieces) -> bool:
    """Something there could not be read at all, so nobody knows."""
    return any(at[: len(lost)] == lost or lost[: len(at)] == at for lost in document.left_out)


def _touched(path: PathPieces, value: Value) -> Iterator[_Touch]:
    """Each path a value changes: where that is written, the path, and whether a name says it."""
    for word, content in (("add", value.add), ("set", value.set_)):
        yield from (((*path, word, at), tuple(at.split(".")), True) for at in content)
    yield from (((*path, "drop", str(n)), tuple(at.split(".")), False) for n, at in enumerate(value.drop, start=1))


def _no_section(where: PathPieces, at: PathPieces, told: list[Trouble], *, on_key: bool) -> None:
    near = closest(at[0], SECTIONS)
    whole = ".".join((near, *at[1:])) if near else ""
    write = f"Closest: {whole}." if near else "Begin with a section, like equipment.radio-2."
    why = f"No section is called {at[0][:60]}."
    read = ".".join(at)
    told.append(Trouble(where, "BLD-155", "option-path-not-read", why, write, read, whole, on_key=on_key))


def _touching(applied: Iterable[tuple[PathPieces, Value]]) -> Iterator[Trouble]:
    """Two of these that are at one path, or one beneath the other; each told where the later is written."""
    order = [each for path, value in applied for each in _touched(path, value)]
    written_n = {where: number for number, (where, _, _) in enumerate(order)}
    above: list[_Touch] = []
    for each in sorted(order, key=lambda each: (each[1], written_n[each[0]])):
        while above and above[-1][1] != each[1][: len(above[-1][1])]:
            above.pop()
        if above:
            first, second = sorted((above[-1], each), key=lambda touch: written_n[touch[0]])
            yield _touch_trouble(first, second)
        above.append(each)


def _touch_trouble(one: _Touch, other: _Touch) -> Trouble:
    (first, at, _), (second, also, on_key) = one, other
    both = first[:3] != second[:3]
    what = f"{' '.join(first[1:3])} and {' '.join(second[1:3])}" if both else "Two entries"
    same = f"both change {'.'.join(also)}" if at == also else f"change {'.'.join(at)} and {'.'.join(also)}"
    why = f"{what} {same}; which of them holds isn't said."
    write = "Let one of them do both, or choose only one of them." if both else "Keep one of the two."
    return Trouble(second, "BLD-158", "options-touch", why, write, ".".join(also)[:80], on_key=on_key, also=(first,))
