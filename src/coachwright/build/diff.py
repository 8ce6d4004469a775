"""In what do two builds differ, in words and not in lines?

    differences(old, new)        of two Models: two builds, or two vehicles of one
    text_differences(old, new)   of two texts that can't be understood yet: by what is written at each path

Nothing that follows from something else is told twice: a lamp that is turned says so, its heads don't.

See Also
--------
coachwright.build.diff_table : every field, and the words it is told in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, Literal, TypeAlias

from pydantic import BaseModel

from coachwright.build.condition_print import print_condition
from coachwright.build.diff_table import (
    MODEL,
    SECTIONS,
    TABLE,
    Figures,
    How,
    Inner,
    Items,
    NotCompared,
    Pairs,
    Said,
    Section,
    Shown,
)
from coachwright.build.model import ColourShow, Head, Model, Show
from coachwright.build.quantity_text import print_quantity, print_time
from coachwright.kit.nodes import Plain

Change: TypeAlias = Literal["new", "gone", "more", "less", "else", "order"]
"""A thing is new or gone; a list holds more or less; a value is something else; a list is in another order."""

_MIRROR: Mapping[Change, Change] = {"new": "gone", "gone": "new", "more": "less", "less": "more"}
_ALSO_OF_LAMPS = {"part": "part", "place": "at", "aim_rad": "aim_rad", "elevation_rad": "elevation_rad"}
"""Fields of a head that its lamp has too: told of the lamp where it differs there."""


_OF_JOB = frozenset(("count", "packs", "parts_by", "version"))


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs.

    Parameters
    ----------
    section : where it is told.
    about : path of the field within the model; the same for `old` and `new`.
    change : how it differs.
    old, new : as text; "" where there is nothing.
    sentence : what a lead reads.
    """

    section: Section
    about: str
    change: Change
    old: str
    new: str
    sentence: str

    @property
    def mirrored(self) -> tuple[str, Change, str, str]:
        """What the other way round says of it."""
        return self.about, _MIRROR.get(self.change, self.change), self.new, self.old


def differences(old: Model, new: Model) -> tuple[Difference, ...]:
    """Everything in which two models differ, in the order in which a lead thinks; none where they are the same."""
    found: list[Difference] = []
    for field, (section, how) in MODEL.items():
        if field == "heads":
            continue  # what lamps say of them comes first
        compare = _Compare(section, (_kinds(old), _kinds(new)))
        thing = "the job" if field in _OF_JOB else "the vehicle"
        compare.field(how, getattr(old, field), getattr(new, field), thing=thing, about=field)
        found += compare.found
    found += _heads(old, new, found)
    order = list(SECTIONS)
    return tuple(sorted(found, key=lambda each: order.index(each.section)))


def text_differences(old: Plain, new: Plain) -> tuple[Difference, ...]:
    """In what two texts differ, path by path; for texts nobody understands yet."""
    found: list[Difference] = []
    _texts(old, new, (), found)
    return tuple(found)


def _texts(old: Plain, new: Plain, path: tuple[str, ...], found: list[Difference]) -> None:
    if old == new:
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for name in dict.fromkeys((*old, *new)):
            here = (*path, name)
            if name not in old:
                found.append(_text_difference(here, "new", "", _shown(new[name])))
            elif name not in new:
                found.append(_text_difference(here, "gone", _shown(old[name]), ""))
            else:
                _texts(old[name], new[name], here, found)
        return
    found.append(_text_difference(path, "else", _shown(old), _shown(new)))


def _text_difference(path: tuple[str, ...], change: Change, old: str, new: str) -> Difference:
    about = ".".join(path) or "the file"
    said = {"new": f"is new: {new}", "gone": f"is gone; it was {old}"}.get(change, f"says {new} instead of {old}")
    return Difference("paper", about, change, old, new, f"{about} {said}")


def _shown(plain: Plain) -> str:
    if isinstance(plain, dict):
        return "{" + ", ".join(f"{name}: {_shown(value)}" for name, value in plain.items()) + "}"
    if isinstance(plain, list):
        return f"[{', '.join(map(_shown, plain))}]"
    return plain or "nothing"


class _Compare:
    """One way through two values of one kind."""

    def __init__(self, section: Section, kinds: tuple[Mapping[str, str], Mapping[str, str]]) -> None:
        self.section = section
        self.kinds = kinds
        self.found: list[Difference] = []

    def field(
        self, how: How, old: Any, new: Any, *, thing: str, about: str, owner: tuple[Any, Any] = (None, None)
    ) -> None:
        """One field of two things. owner : the things themselves."""
        match how:
            case NotCompared():
                return
            case Said():
                self._said(how, old, new, thing=thing, about=about, owner=owner)
            case Items():
                self._items(how, old, new, thing=thing, about=about)
            case Inner():
                self._inner(how, old, new, thing=thing, about=about)
            case Shown():
                self._shows(old, new, thing=thing, about=about)
            case Pairs():
                self._pairs(how, old, new, thing=thing, about=about)
            case Figures():
                self._figures(old, new, about=about)

    def whole(self, old: Any, new: Any, *, thing: str, about: str) -> None:
        """Two things of one class, field by field."""
        for name, how in TABLE[type(new)].items():
            self.field(
                how, getattr(old, name), getattr(new, name), thing=thing, about=f"{about}.{name}", owner=(old, new)
            )

    def tell(self, about: str, change: Change, old: str, new: str, sentence: str) -> None:
        """Take note of one difference."""
        self.found.append(Difference(self.section, about, change, old, new, sentence))

    def _said(self, how: Said, old: Any, new: Any, *, thing: str, about: str, owner: tuple[Any, Any]) -> None:
        if old == new:
            return
        if isinstance(old, tuple) and isinstance(new, tuple):
            self._list(how, old, new, thing=thing, about=about)
            return
        was, will = (
            _text(value, _kind(how, each), kinds)
            for value, each, kinds in zip((old, new), owner, self.kinds, strict=True)
        )
        if isinstance(new, bool):
            self.tell(about, "else", was, will, f"{thing} is {'now' if new else 'no longer'} {how.label}")
        elif not will:
            self.tell(about, "else", was, "", f"{thing} no longer has {_the(how.label)} {was}")
        elif not was:
            self.tell(about, "else", "", will, f"{thing} now has {_the(how.label)} {will}")
        else:
            phrase = how.phrase or f"has {_the(how.label)} {{new}} instead of {{old}}"
            self.tell(about, "else", was, will, f"{thing} {phrase.format(old=was, new=will)}")

    def _list(self, how: Said, old: tuple[Any, ...], new: tuple[Any, ...], *, thing: str, about: str) -> None:
        was, will = (
            [_text(item, how.kind, kinds) for item in items]
            for items, kinds in zip((old, new), self.kinds, strict=True)
        )
        adds = how.adds or f"now also has {_the(how.label)} {{item}}"
        drops = how.drops or f"no longer has {_the(how.label)} {{item}}"
        more, less = ([item for item in one if item not in other] for one, other in ((will, was), (was, will)))
        for item in more:
            self.tell(f"{about}.{item}", "more", "", item, f"{thing} {adds.format(item=item)}")
        for item in less:
            self.tell(f"{about}.{item}", "less", item, "", f"{thing} {drops.format(item=item)}")
        kept_old, kept_new = ([i for i in one if i in other] for one, other in ((was, will), (will, was)))
        if kept_old != kept_new and (how.ordered or sorted(kept_old) != sorted(kept_new)):
            old_text, new_text = ", ".join(kept_old), ", ".join(kept_new)
            what = how.label or "list"
            self.tell(about, "order", old_text, new_text, f"{thing} has another order of {what}: {new_text}")

    def _items(self, how: Items, old: tuple[Any, ...], new: tuple[Any, ...], *, thing: str, about: str) -> None:
        was, will = ({_key(item, how.key): item for item in items} for items in (old, new))
        lead = "" if about in MODEL else f"{thing} "
        for name, item in will.items():
            called = f"{lead}{how.lead}{name.replace('+', ' ')}"
            if name not in was:
                brief = self._brief(item, how.brief, self.kinds[1])
                self.tell(
                    f"{about}.{name}", "new", "", brief or name, f"{called} is new{f': {brief}' if brief else ''}"
                )
            elif was[name] != item:
                self.whole(was[name], item, thing=called, about=f"{about}.{name}")
        for name, item in was.items():
            if name not in will:
                brief = self._brief(item, how.brief, self.kinds[0])
                called = f"{lead}{how.lead}{name.replace('+', ' ')}"
                self.tell(
                    f"{about}.{name}",
                    "gone",
                    brief or name,
                    "",
                    f"{called} is gone{f'; it was {brief}' if brief else ''}",
                )

    def _inner(self, how: Inner, old: Any, new: Any, *, thing: str, about: str) -> None:
        called = how.label if about in MODEL else f"{thing}: {how.label}"
        if old is None and new is not None:
            brief = f": {new.part}" if hasattr(new, "part") else ""
            self.tell(about, "new", "", _text(new, "", self.kinds[1]), f"{called} is new{brief}")
        elif new is None and old is not None:
            self.tell(about, "gone", _text(old, "", self.kinds[0]), "", f"{called} is gone")
        elif old != new:
            self.whole(old, new, thing=called, about=about)

    def _shows(self, old: tuple[Show, ...], new: tuple[Show, ...], *, thing: str, about: str) -> None:
        was, will = (_by_head(shows, kinds) for shows, kinds in zip((old, new), self.kinds, strict=True))
        alike: dict[tuple[str, str], list[str]] = defaultdict(list)
        for head in sorted({*will, *was}, key=_natural):
            pair = was.get(head, ""), will.get(head, "")
            if pair[0] != pair[1]:
                alike[pair].append(head)
        for (before, after), heads in alike.items():
            on = _listed(heads)
            if not before:
                self.tell(f"{about}.{on}", "more", "", after, f"{thing} now also takes {on} ({after})")
            elif not after:
                self.tell(f"{about}.{on}", "less", before, "", f"{thing} no longer takes {on} (it was {before})")
            else:
                self.tell(f"{about}.{on}", "else", before, after, f"{thing} shows {after} instead of {before} on {on}")
        orders = [tuple(head for show in shows for head in show.heads) for shows in (old, new)]
        if not alike and orders[0] != orders[1]:
            first, second = map(_listed, orders)
            self.tell(
                f"{about}.order", "order", first, second, f"{thing} goes over its heads in another order: {second}"
            )

    def _pairs(self, how: Pairs, old: tuple[Any, ...], new: tuple[Any, ...], *, thing: str, about: str) -> None:
        was, will = dict(old), dict(new)
        for name in dict.fromkeys((*will, *was)):
            if was.get(name) == will.get(name) and (name in was) == (name in will):
                continue
            here = f"{about}.{name}"
            before, after = (
                value if isinstance(value, tuple) else _text(value, kinds.get(name, ""), kinds)
                for value, kinds in zip((was.get(name, ""), will.get(name, "")), self.kinds, strict=True)
            )
            if isinstance(before, tuple) or isinstance(after, tuple):
                holds = Said("head", adds="now also holds {item}", drops="no longer holds {item}", ordered=True)
                if name in was and name in will:
                    self._list(holds, was[name], will[name], thing=f"the {how.label} {name}", about=here)
                elif name in will:
                    self.tell(here, "new", "", _listed(after), f"the {how.label} {name} is new: {_listed(after)}")
                else:
                    self.tell(here, "gone", _listed(before), "", f"the {how.label} {name} is gone")
            elif name not in was:
                self.tell(here, "more", "", after, f"{thing} now has {name} {after}")
            elif name not in will:
                self.tell(here, "less", before, "", f"{thing} no longer has {name} {before}")
            else:
                self.tell(here, "else", before, after, f"{thing} has {name} {after} instead of {before}")

    def _figures(self, old: Any, new: Any, *, about: str) -> None:
        """Parts, by name; or the body, which is one."""
        if not isinstance(old, tuple):
            if old.name != new.name:
                self.tell(about, "else", old.name, new.name, f"the body is {new.name} instead of {old.name}")
                return
            self._figures_of(old, new, thing=f"the body {new.name}", about=about)
            return
        was, will = dict(old), dict(new)
        for name, part in will.items():
            if name not in was:
                self.tell(f"{about}.{name}", "more", "", part.title, f"the part {name} is used now: {part.title}")
            elif was[name] != part:
                self._figures_of(was[name], part, thing=f"the part {name}", about=f"{about}.{name}")
        for name, part in was.items():
            if name not in will:
                self.tell(f"{about}.{name}", "less", part.title, "", f"the part {name} is no longer used: {part.title}")

    def _figures_of(self, old: Any, new: Any, *, thing: str, about: str) -> None:
        was, will = dict(_flat(old, ())), dict(_flat(new, ()))
        for path in dict.fromkeys((*will, *was)):
            before, after = was.get(path, ""), will.get(path, "")
            if before != after:
                said = f"{path} is {after or 'nothing'} instead of {before or 'nothing'}"
                self.tell(f"{about}.{path}", "else", before, after, f"{thing}: {said}")

    def _brief(self, item: Any, names: Iterable[str], kinds: Mapping[str, str]) -> str:
        said: list[str] = []
        words = {"at": "at ", "place": "at ", "feed": "on feed ", "by": "brought by ", "when": "while ", "on": "on "}
        words |= {"source": "from ", "on_while": "while ", "aim_rad": "turned ", "count_n": "times "}
        for name in names:
            value = getattr(item, name)
            how = TABLE[type(item)][name]
            kind = how.kind if isinstance(how, Said) else ""
            if isinstance(how, Pairs):
                said.append(_listed(f"{key} {_text(each, kinds.get(key, ''), kinds)}" for key, each in value))
                continue
            if value in ("", (), None, 0, "shop") or (name == "count_n" and value == 1):
                continue
            texts = (
                [_text(each, kind, kinds) for each in value]
                if isinstance(value, tuple)
                else [_text(value, kind, kinds)]
            )
            said.append(f"{words.get(name, '')}{_listed(texts).replace('.', ' ') if name == 'at' else _listed(texts)}")
        return " ".join(said)


def _kinds(model: Model) -> Mapping[str, str]:
    return {item.name: item.number_kind for item in model.inputs if item.number_kind}


def _kind(how: Said, owner: Any) -> str:
    return getattr(owner, "number_kind", "") if how.kind == "@" else how.kind


def _text(value: Any, kind: str, kinds: Mapping[str, str]) -> str:
    """One value as people write it; "" where there is none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if isinstance(value, int) and kind == "ms":
        return print_time(value)
    if isinstance(value, int | float):
        return print_quantity(value, kind) if kind and kind != "ms" else f"{value:g}"
    if isinstance(value, tuple):
        return _listed([_text(item, kind, kinds) for item in value])
    table = TABLE.get(type(value))
    if table is None:
        return print_condition(value, kinds=kinds)
    return " ".join(_texts_of(value, table, kinds))


def _texts_of(value: Any, table: Mapping[str, How], kinds: Mapping[str, str]) -> Iterator[str]:
    for name, how in table.items():
        inner = getattr(value, name)
        if isinstance(how, NotCompared) or inner in (None, "", (), False) or _goes_without_saying(value, name):
            continue
        label = getattr(how, "label", "")
        text = label if inner is True else _text(inner, getattr(how, "kind", ""), kinds)
        yield f"{label} {text}" if label and inner is not True else text


def _goes_without_saying(value: Any, name: str) -> bool:
    """Of a pattern: that it is one, and that it is shown in full."""
    pattern = isinstance(value, ColourShow) and value.manner == "pattern"
    return pattern and (name == "manner" or (name == "share" and value.share == 1.0))


def _by_head(shows: tuple[Show, ...], kinds: Mapping[str, str]) -> dict[str, str]:
    """What each head is told, in the order of the selectors."""
    told: dict[str, list[str]] = {}
    for show in shows:
        text = " ".join(_texts_of(show, TABLE[Show], kinds))
        for head in show.heads:
            told.setdefault(head, []).append(text)
    return {head: "; ".join(texts) for head, texts in told.items()}


def _key(item: Any, key: str) -> str:
    return "+".join(str(getattr(item, name)) for name in key.split("+"))


def _natural(name: str) -> tuple[tuple[int, str], ...]:
    return tuple((int(piece), "") if piece.isdecimal() else (0, piece) for piece in name.split("."))


def _the(label: str) -> str:
    return label if label.startswith(("the ", "its ", "who ", "what ", "a ")) else f"the {label}"


def _listed(items: Iterable[str]) -> str:
    """``cap-bar.3-6, tail.left``: heads in a row are one stretch."""
    said: list[list[str]] = []
    for item in items:
        lamp, _, number = item.rpartition(".")
        row = said[-1] if said else []
        if row and number.isdecimal() and row[0] == lamp and int(number) == int(row[-1]) + 1:
            row.append(number)
        else:
            said.append([lamp, number] if lamp and number.isdecimal() and number.isascii() else [item])
    return ", ".join(
        row[0] if len(row) == 1 else f"{row[0]}.{row[1]}" if len(row) == 2 else f"{row[0]}.{row[1]}-{row[-1]}"
        for row in said
    )


def _flat(thing: Any, path: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Every figure of a part, with the path at which it stands in its file."""
    if isinstance(thing, BaseModel):
        for name, info in type(thing).model_fields.items():
            kind = _kind_of_field(info.metadata)
            value = getattr(thing, name)
            at = (*path, (info.alias or name).replace("_", "-"))
            if isinstance(value, int | float) and not isinstance(value, bool):
                yield ".".join(at), print_quantity(float(value), kind) if kind else f"{value:g}"
            else:
                yield from _flat(value, at)
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            yield from _flat(getattr(thing, field.name), (*path, field.name.replace("_", "-")))
    elif isinstance(thing, Mapping):
        for name, value in thing.items():
            yield from _flat(value, (*path, str(name)))
    elif isinstance(thing, tuple | list):
        for number, value in enumerate(thing, start=1):
            yield from _flat(value, (*path, str(number)))
    else:
        yield (
            ".".join(path),
            _text(thing, "", {}) if thing is None or isinstance(thing, str | int | float) else str(thing),
        )


def _kind_of_field(metadata: Iterable[Any]) -> str:
    """Unit kind a field of a part file is read with; its schema says it."""
    for each in metadata:
        said = getattr(each, "json_schema", None) or {}
        words = str(said.get("description", "")).split()
        if words[:3] == ["a", "quantity", "of"]:
            return words[3]
    return ""


def _heads(old: Model, new: Model, found: Iterable[Difference]) -> list[Difference]:
    """In what heads differ beyond what their lamps say. Heads of one lamp that say the same are one sentence."""
    told = {each.about for each in found}
    was, will = ({head.id: head for head in model.heads} for model in (old, new))
    alike: dict[tuple[str, ...], list[tuple[str, Difference]]] = defaultdict(list)
    for name in dict.fromkeys((*will, *was)):
        lamp = min(heads[name].lamp for heads in (was, will) if name in heads)
        compare = _Compare("seen", ({}, {}))
        both = [({name: heads[name]} if name in heads else {}) for heads in (was, will)]
        compare.field(MODEL["heads"][1], *(tuple(each.values()) for each in both), thing="the vehicle", about="heads")
        for each in compare.found:
            field = each.about.removeprefix(f"heads.{name}").removeprefix(".")
            if not _lamp_says(lamp, field, told):
                alike[lamp, field, each.change, each.old, each.new].append((name, each))
    return [
        _one_of_heads(lamp, field, heads, (*was.values(), *will.values())) for (lamp, field, *_), heads in alike.items()
    ]


def _lamp_says(lamp: str, field: str, told: set[str]) -> bool:
    path = f"lamps.{lamp}"
    if path in told or f"{path}.part" in told:  # new, gone, or of another part: all else follows
        return True
    if not field:
        return f"{path}.paired" in told
    return f"{path}.{_ALSO_OF_LAMPS.get(field, '')}" in told


def _one_of_heads(lamp: str, field: str, alike: list[tuple[str, Difference]], every: Iterable[Head]) -> Difference:
    names = [name for name, _ in alike]
    name, first = alike[0]
    whole = set(names) == {head.id for head in every if head.lamp == lamp}
    thing = lamp if whole else _listed(names)
    about = ".".join(("heads", lamp if whole else "+".join(sorted(names)), *([field] if field else [])))
    return replace(first, about=about, sentence=thing + first.sentence.removeprefix(name))


__all__ = ["Change", "Difference", "differences", "text_differences"]
