"""Do the rules of a pack fit the windows there are? Names, arguments and unit kinds, before anything is judged."""

from __future__ import annotations

import inspect
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, get_args, get_origin, get_type_hints

from coachwright.kit.measure import Window, WindowEntry
from coachwright.kit.near import nearest
from coachwright.rules.limit import LimitError, read_number
from coachwright.rules.schema import Pack, Rule

WORD_KINDS = frozenset({"word", "path", "place"})


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with a pack that reads well. path : in the pack, list items counted from 1."""

    path: tuple[str, ...]
    code: str
    name: str
    why: str
    write: str = ""


def troubles_of(
    pack: Pack,
    folder: str,
    registry: Mapping[str, WindowEntry],
    missing_rooms: Collection[str],
    reserved: Collection[str],
) -> list[Trouble]:
    """Everything for which the pack can't be used."""
    found: list[Trouble] = []
    if pack.pack != folder:
        why = f"the pack is called {pack.pack} but filed as {folder}"
        found.append(Trouble(("pack",), "RUL-002", "pack-name-differs", why))
    if pack.prefix in reserved:
        found.append(Trouble(("prefix",), "RUL-008", "code-taken", f"{pack.prefix} is the code of other findings"))
    if pack.language != 1:
        why = f"packs are of language 1, this is {pack.language}"
        found.append(Trouble(("language",), "RUL-002", "pack-too-new", why))
    seen: set[str] = set()
    for number, rule in enumerate(pack.rules, 1):
        path = ("rules", str(number))
        found.extend(_code_troubles(pack, rule, path, seen))
        if pack.status == "law" and rule.waivable:
            why = "a rule of law can't be waived by a shop"
            found.append(Trouble(path, "RUL-011", "law-waivable", why, "Write waivable: no."))
        if rule.closed_by == "measure":
            found.extend(_window_troubles(rule, path, registry, missing_rooms))
    return found


def _code_troubles(pack: Pack, rule: Rule, path: tuple[str, ...], seen: set[str]) -> list[Trouble]:
    found = []
    if rule.code.split("-")[0] != pack.prefix:
        why = f"{rule.code} does not begin with {pack.prefix}, the code of the pack"
        found.append(Trouble((*path, "code"), "RUL-008", "code-of-another", why))
    if rule.code in seen:
        found.append(Trouble((*path, "code"), "RUL-008", "code-twice", f"{rule.code} is used twice"))
    seen.add(rule.code)
    return found


def _window_troubles(
    rule: Rule, path: tuple[str, ...], registry: Mapping[str, WindowEntry], missing_rooms: Collection[str]
) -> list[Trouble]:
    entry = registry.get(rule.measure)
    if entry is None:
        if rule.measure.split(".")[0] in missing_rooms:
            return []
        why = f"nothing measures {rule.measure}"
        return [Trouble((*path, "measure"), "RUL-003", "measure-unknown", why, _closest(rule.measure, registry))]
    if entry.kind != rule.kind:
        why = f"{rule.measure} is measured as {entry.kind}, the limit is one of {rule.kind}"
        return [Trouble((*path, "kind"), "RUL-005", "unit-kind-differs", why, f"Write kind: {entry.kind}.")]
    found = []
    if not entry.per_situation and "situation" in rule.with_:
        why = f"{rule.measure} is the same in every situation"
        found.append(Trouble((*path, "with", "situation"), "RUL-004", "argument-unknown", why, "Leave situation out."))
    try:
        arguments_of(rule, entry)
    except LimitError as error:
        name = "argument-missing" if error.at == "with" else "argument-wrong"
        at = ("with",) if error.at == "with" else ("with", error.at)
        found.append(Trouble((*path, *at), "RUL-004", name, str(error).rstrip("."), error.write))
    return found


def arguments_of(rule: Rule, entry: WindowEntry) -> dict[str, float | str]:
    """The arguments to call the window with: SI numbers and words.

    Raises
    ------
    LimitError : one is unknown, missing, or not of its kind.
    """
    given: dict[str, float | str] = {}
    choices = _choices(entry.answer)
    for written, text in rule.with_.items():
        if written == "situation":
            continue
        name = written.replace("-", "_")
        if name not in entry.arguments:
            raise LimitError(f"{rule.measure} takes no {written}", at=written, write=_closest(written, entry.arguments))
        kind = entry.arguments[name]
        if not isinstance(text, str):
            raise LimitError(f"{written} takes one value", at=written)
        if kind not in WORD_KINDS:
            given[name] = read_number(text, kind, at=written)
        elif name in choices and text not in choices[name]:
            raise LimitError(f"{written} can't be {text[:40]}", at=written, write=f"Write {', '.join(choices[name])}.")
        else:
            given[name] = text
    lacking = [name for name in entry.arguments if name not in given and name not in _defaulted(entry.answer)]
    if lacking:
        raise LimitError(f"{rule.measure} needs {', '.join(name.replace('_', '-') for name in lacking)}", at="with")
    return given


@lru_cache(maxsize=512)
def _defaulted(answer: Window) -> frozenset[str]:
    """Arguments a window can do without."""
    parameters = inspect.signature(answer).parameters.items()
    return frozenset(name for name, each in parameters if each.default is not inspect.Parameter.empty)


@lru_cache(maxsize=512)
def _choices(answer: Window) -> dict[str, tuple[str, ...]]:
    """Words an argument is limited to by the window's own signature."""
    try:
        hints: dict[str, Any] = get_type_hints(answer)
    except (NameError, TypeError):
        return {}
    return {name: get_args(hint) for name, hint in hints.items() if get_origin(hint) is Literal}


def _closest(word: str, names: Collection[str]) -> str:
    near = nearest(word, names)
    return f"Closest: {near[0]}." if near else ""
