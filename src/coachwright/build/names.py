"""Is every name its own? Names are unique within each space, and no word of the language."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coachwright.build.condition_words import RESERVED_WORDS
from coachwright.build.trouble import Trouble
from coachwright.build.written import WrittenBuild
from coachwright.parts.schema import BodyPart

_READ = ("controls", "signals", "words", "memory")
_NAMED = (*_READ, "functions", "equipment", "lamps", "groups", "feeds", "cargo")
_SITUATION_WORDS = frozenset(("like", "lasts", "stands-for"))
_SELECTOR_WORDS = frozenset(("all", "any"))
_OWN_WORDS = {
    "feeds": frozenset(("shore", "vehicle", "main-battery", "second-battery", "alternator")),
    "equipment": frozenset(
        ("console", "cargo", "trailer", "vehicle", "shore", "main-battery", "second-battery", "alternator")
    ),
    "cargo": frozenset(("console", "cargo", "vehicle")),
}
"""What other words of the language could mean there."""


def check_names(written: WrittenBuild, body: BodyPart | None, ranks: Iterable[str], told: list[Trouble]) -> None:
    """Tell every name that stands for two things, or that the language needs itself."""
    for section in _NAMED:
        words = _SITUATION_WORDS if section in ("controls", "signals", "memory") else _SELECTOR_WORDS
        taken = _OWN_WORDS[section] if section in ("feeds", "cargo") else RESERVED_WORDS | words
        taken |= _OWN_WORDS.get(section, frozenset())
        taken |= {"hot"} if section in _READ and written.items("feeds") else frozenset()
        for name in written.items(section):
            if name in taken:
                why = f"{name} is a word of the language and can't be a name."
                told.append(
                    Trouble(
                        (section, name), "BLD-092", "name-is-a-word", why, "Give it another name.", name, on_key=True
                    )
                )
    read_as = {name for name, item in written.items("controls").items() if item.from_ == f"vehicle.{name}"}
    signals = [name for name in (body.signals if body is not None else ()) if name not in read_as]
    own_lamps = body.lamps if body is not None else {}
    heads = [name for name, lamp in own_lamps.items() if lamp.heads]
    outputs = [name for name, lamp in own_lamps.items() if not lamp.heads]
    _unique("what conditions read", _spaces(written, *_READ), {"the vehicle's signals": signals}, told)
    _unique("what selectors name", _spaces(written, "lamps", "groups"), {"the vehicle's lamps": heads}, told)
    _unique("what runs", _spaces(written, "equipment"), {"the vehicle's outputs": outputs}, told)
    _unique("what things are fitted at", _spaces(written, "equipment", "cargo"), {}, told)
    _unique("what a stop ends", _spaces(written, "functions"), {"the ranks": tuple(ranks)}, told)


def _spaces(written: WrittenBuild, *sections: str) -> dict[str, Iterable[str]]:
    return {section: (*written.items(section), *sorted(written.lost.of(section))) for section in sections}


def _unique(
    space: str, sections: Mapping[str, Iterable[str]], others: Mapping[str, Iterable[str]], told: list[Trouble]
) -> None:
    first: dict[str, str] = {}
    for where, names in others.items():
        for name in names:
            first[name] = where
    for section, names in sections.items():
        for name in names:
            if name not in first or first[name] == section:
                first.setdefault(name, section)
            elif not (section == "signals" and first[name] == "the vehicle's signals"):
                why = f"{name} is a name among {first[name]} already, and {space} needs names of its own."
                told.append(
                    Trouble(
                        (section, name),
                        "BLD-093",
                        "name-taken",
                        why,
                        "Give one of them another name.",
                        name,
                        on_key=True,
                    )
                )
