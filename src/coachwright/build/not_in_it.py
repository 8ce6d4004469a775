"""What falls away in a vehicle that doesn't have what an option adds or drops?

A function loses the outputs the vehicle doesn't have; with none left it isn't in that vehicle, nor in the lists that
name it. A promise or message that speaks of it has nothing to say there. All of it is told as notes. A name that no
option adds or drops is not looked at here: where it is missing, that is a fault.

See Also
--------
coachwright.build.choices : before this, which names are optional.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from coachwright.build.changed_text import ChangedText
from coachwright.build.fixed import SPACES
from coachwright.build.trouble import Trouble, listed
from coachwright.kit.nodes import PathPieces, Plain

MOST_LOOKS = 40
"""A function that is gone takes a message with it, which may take another function. What a longer chain would leave to
fall is told as names that are not there."""

_WORD = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_NAMED = ("lamps", "groups", "equipment", "functions", "controls", "words", "memory", "messages", "feeds", "cargo")


def let_fall(text: ChangedText, optional: Mapping[str, frozenset[str]]) -> tuple[Trouble, ...]:
    """Take out of `text` all that speaks of what isn't in it. Gives the notes on what the vehicle doesn't have."""
    sections = text.plain if isinstance(text.plain, dict) else {}
    gone = {name: set(names) - set(_dict(sections.get(name))) for name, names in optional.items()}
    if not any(gone.values()):
        return ()
    looking = _Looking(text, gone)
    for _ in range(MOST_LOOKS):
        if not looking.once():
            break
    return tuple(looking.notes)


class _Looking:
    """What is gone so far, and the notes on it. gone : by section."""

    def __init__(self, text: ChangedText, gone: dict[str, set[str]]) -> None:
        self.text = text
        self.gone = {section: set(gone.get(section, ())) for section in (*_NAMED, *gone)}
        self.notes: list[Trouble] = []
        self.drops: list[PathPieces] = []

    def once(self) -> bool:
        """Look at everything; true when something fell away, for then more may."""
        self.drops = []
        self._empty_groups()
        self._lists(("groups",), self._selector_gone, "groups")
        for name, item in self._items("functions"):
            self._function(name, item)
        for name, _ in self._items("stops"):
            self._lists(("stops", name, "stops"), self._is("functions"), "stops", name)
        for section, key, wanted in _QUIETLY:
            for name, item in self._items(section):
                if key in item:
                    self._list((section, name, key), item[key], self._is(*wanted))
        for section in ("promises", "messages"):
            for name, item in self._items(section):
                self._sentence(section, name, item)
        for name, item in self._items("controls"):
            told_by = item.get("tell-tale", "")
            gone = self.gone["functions"] & set(_WORD.findall(told_by)) if isinstance(told_by, str) else set()
            if gone and gone - self._other_words():
                self.drops.append(("controls", name, "tell-tale"))
        for name, item in self._items("situations"):
            for setting in item:
                if setting in self.gone["controls"] | self.gone["memory"]:
                    self.drops.append(("situations", name, setting))
        for name in _dict(self._section("fixed")):
            if self._is_fixed_gone(name):
                self.drops.append(("fixed", name))
                self._note("fixed", name, "What it fixes isn't in this vehicle.")
        self._bays()
        self.text.drop(self.drops)
        return bool(self.drops)

    def _is_fixed_gone(self, name: str) -> bool:
        """Its subject is gone, and nothing else that is there goes by that name."""
        space, _, rest = name.partition(".")
        spaces = (space,) if space in SPACES and rest else SPACES
        owner = (rest if spaces == (space,) else name).split(".")[0]
        there = any(owner in _dict(self._section(each)) for each in spaces)
        return not there and any(owner in self.gone[each] for each in spaces)

    def _section(self, name: str) -> Plain:
        return self.text.plain.get(name, "") if isinstance(self.text.plain, dict) else ""

    def _items(self, section: str) -> Iterator[tuple[str, dict[str, Any]]]:
        return ((name, item) for name, item in _dict(self._section(section)).items() if isinstance(item, dict))

    def _is(self, *sections: str) -> Callable[[str], bool]:
        names = set().union(*(self.gone[section] for section in sections))
        return lambda word: word.split(".")[0] in names

    def _selector_gone(self, selector: str) -> bool:
        return self._is("lamps", "groups")(selector)

    def _list(self, path: PathPieces, content: Plain, is_gone: Callable[[str], bool]) -> bool:
        """Drop the items that are gone; the whole entry where none is left, which is then told by True."""
        if isinstance(content, str):
            if content and is_gone(content):
                self.drops.append(path)
                return True
            return False
        items = content if isinstance(content, list) else []
        numbers = [number for number, item in enumerate(items, start=1) if isinstance(item, str) and is_gone(item)]
        if numbers and len(numbers) == len(items):
            self.drops.append(path)
            return True
        self.drops += [(*path, str(number)) for number in numbers]
        return False

    def _empty_groups(self) -> None:
        """Groups of which nothing is left are gone, however deep they stand in each other."""
        holders: dict[str, list[str]] = {}
        left_n: dict[str, int] = {}
        for name, content in _dict(self._section("groups")).items():
            items = content if isinstance(content, list) else [content]
            left_n[name] = len(items)
            for word in _words(content):
                holders.setdefault(word.split(".")[0], []).append(name)
        waiting = [*self.gone["lamps"], *self.gone["groups"]]
        while waiting:
            for name in holders.pop(waiting.pop(), ()):
                left_n[name] -= 1
                if not left_n[name]:
                    self.gone["groups"].add(name)
                    waiting.append(name)

    def _lists(self, path: PathPieces, is_gone: Callable[[str], bool], section: str, name: str = "") -> None:
        """The groups, or what one stop ends: an entry of which nothing is left is gone as a whole."""
        if name:
            content = _dict(_dict(self._section(section)).get(name)).get(path[-1], "")
            if self._list(path, content, is_gone):
                self.drops[-1] = (section, name)
                self._note(section, name, "It ends only what this vehicle doesn't have.")
            return
        for each, content in _dict(self._section(section)).items():
            if self._list((section, each), content, is_gone):
                self.gone[section].add(each)
                self._note(section, each, "Nothing that is in it is fitted to this vehicle.")

    def _function(self, name: str, item: dict[str, Any]) -> None:
        before_n = len(self.drops)
        path = ("functions", name)
        lost: list[str] = []
        left = 0
        for key, is_gone in (("run", self._is("equipment")), ("say", self._is("messages")), ("interrupt", _never)):
            if key in item:
                left += not self._list((*path, key), item[key], is_gone)
                lost += [word for word in _words(item[key]) if is_gone(word)]
        if "sound" in item:
            left += self._entries((*path, "sound"), item["sound"], self._is("equipment"), lost)
        if "show" in item:
            left += self._entries((*path, "show"), item["show"], self._selector_gone, lost)
        levels = _dict(item.get("levels"))
        left_levels = sum(
            self._entries((*path, "levels", level), content, self._selector_gone, lost)
            for level, content in levels.items()
        )
        if levels and not left_levels:
            self.drops.append((*path, "levels"))
        left += left_levels
        if len(self.drops) == before_n:
            return
        what = listed(dict.fromkeys(lost))
        if left:
            self._note("functions", name, f"In this vehicle it does nothing on {what}.")
            return
        self.drops[before_n:] = [path]
        self.gone["functions"].add(name)
        self._note("functions", name, f"It acts only on {what}, so it isn't in this vehicle.")

    def _entries(self, path: PathPieces, content: Plain, is_gone: Callable[[str], bool], lost: list[str]) -> bool:
        """Shows or sounds, each with an ``on``; is anything of them left?"""
        items: list[Any] = content if isinstance(content, list) else [content]
        left_n = len(items)
        for number, item in enumerate(items, start=1):
            on = item.get("on", "") if isinstance(item, dict) else ""
            lost += [word for word in _words(on) if is_gone(word)]
            at = (*path, str(number)) if isinstance(content, list) else path
            if self._list((*at, "on"), on, is_gone):
                self.drops[-1] = at
                left_n -= 1
        if items and not left_n:
            self.drops.append(path)
        return bool(left_n)

    def _sentence(self, section: str, name: str, item: dict[str, Any]) -> None:
        """A promise or message whose condition names what is gone says nothing about this vehicle."""
        texts = [text for key, text in item.items() if key in _CONDITIONS and isinstance(text, str)]
        words = {word for text in texts for word in _WORD.findall(text)}
        spaces = ("lamps", "groups", "equipment", "functions") if section == "promises" else ("functions",)
        gone = set().union(*(self.gone[space] for space in spaces)) & words
        gone -= self._other_words() if gone else set()
        if gone:
            self.drops.append((section, name))
            self.gone.setdefault(section, set()).add(name)
            self._note(section, name, f"It speaks of {listed(sorted(gone))}, so it says nothing about this vehicle.")

    def _other_words(self) -> set[str]:
        """Everything a condition could mean by a word besides: names that are there, and values."""
        found: set[str] = set()
        for section in _NAMED:
            found.update(_dict(self._section(section)))
        for section, key in (("controls", "positions"), ("memory", "values")):
            for _, item in self._items(section):
                found.update(_words(item.get(key, "")))
        return found

    def _bays(self) -> None:
        """A bay for what isn't fitted stays blank."""
        console = _dict(self._section("console"))
        bays = console.get("bays")
        for number, bay in enumerate(bays if isinstance(bays, list) else (), start=1):
            words = bay.split() if isinstance(bay, str) else []
            if len(words) == 2 and words[1] in self.gone["equipment"]:
                path = ("console", "bays", str(number))
                self.text.put(path, f"{words[0]} blank", written_at=path)

    def _note(self, section: str, name: str, why: str) -> None:
        self.notes.append(Trouble((section, name), "BLD-160", "not-in-this-vehicle", why, on_key=True, severity="note"))


_CONDITIONS = frozenset(("when", "then", "never", "after", "until"))
_QUIETLY: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("functions", "wins-over", ("functions",)),
    ("limits", "not", ("functions",)),
    ("promises", "but", ("functions",)),
    ("equipment", "also", ("feeds",)),
    ("equipment", "breaks", ("feeds", "equipment")),
    ("equipment", "spares", ("feeds", "equipment")),
)
"""Lists that only say less when something of them isn't there."""


def _never(word: str) -> bool:
    del word
    return False


def _dict(content: Any) -> dict[str, Any]:
    return content if isinstance(content, dict) else {}


def _words(content: Any) -> Iterable[str]:
    items = content if isinstance(content, list) else [content]
    return [item for item in items if isinstance(item, str) and item]
