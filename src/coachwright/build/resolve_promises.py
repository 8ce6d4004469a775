"""What must hold in every state the vehicle can reach, and which findings are let stand?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.around import Around
from coachwright.build.condition import Condition
from coachwright.build.condition_scope import Place
from coachwright.build.model import Promise, Waiver
from coachwright.build.quantity_text import print_time
from coachwright.build.reading import Reading
from coachwright.build.sections.promises import Promise as Written
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild

_PLACES: Mapping[str, Place] = {
    "when": "promise-when",
    "then": "promise-then",
    "never": "promise-never",
    "after": "promise-after",
    "until": "promise-until",
}


def promises_of(written: WrittenBuild, around: Around, reading: Reading) -> tuple[Promise, ...]:
    """Every promise that can be understood."""
    found: list[Promise] = []
    for name, item in written.items("promises").items():
        promise = _promise(name, item, around, reading)
        if promise is not None:
            found.append(promise)
    return tuple(found)


def _promise(name: str, item: Written, around: Around, reading: Reading) -> Promise | None:
    path = ("promises", name)
    before_n = len(reading.told)
    read: dict[str, Condition | None] = {}
    for word, place in _PLACES.items():
        text = getattr(item, word)
        if text is not None:
            read[word] = reading.condition(text, (*path, word), place)
    for number, each in enumerate(item.but, start=1):
        if each not in around.functions and not around.is_lost(each, "functions"):
            reading.told.append(
                not_known(
                    (*path, "but", str(number)),
                    "function",
                    each,
                    around.functions,
                    code="BLD-064",
                    name="function-not-known",
                )
            )
    within_ms = _within_ms(item, path, reading)
    errors = [each for each in reading.told[before_n:] if each.severity == "error"]
    if errors or any(condition is None for condition in read.values()):
        return None
    return Promise(
        name=name,
        kind="then" if item.then is not None else "between" if item.after is not None else "never",
        path=".".join(path),
        when=read.get("when"),
        then=read.get("then"),
        within_ms=within_ms,
        never=read.get("never"),
        but=item.but,
        after=read.get("after"),
        until=read.get("until"),
        text=_text(item),
    )


def _within_ms(item: Written, path: tuple[str, str], reading: Reading) -> int | None:
    """The time in whole milliseconds. Whether what `when` reads is known within it, control looks at."""
    if item.within is None or item.when is None:
        return None
    within_ms: int = round(1000 * item.within)
    if item.within <= 0 or abs(1000 * item.within - within_ms) > 1e-6:
        why = "A time here is whole milliseconds, and longer than nothing."
        write = f"Write {max(1, within_ms)} ms."
        reading.told.append(Trouble((*path, "within"), "BLD-035", "time-not-usable", why, write))
        return max(1, within_ms)
    return within_ms


def _text(item: Written) -> str:
    """The promise in one line."""
    if item.then is not None:
        within = f" within {print_time(round(1000 * item.within))}" if item.within else ""
        return f"when {item.when}, then {item.then}{within}"
    but = f", but {', '.join(item.but)}" if item.but else ""
    if item.after is not None:
        return f"after {item.after}, until {item.until}, never {item.never}{but}"
    return f"never {item.never}{but}"


def waivers_of(written: WrittenBuild) -> tuple[Waiver, ...]:
    """Who lets which finding stand."""
    return tuple(
        Waiver(item.code, item.about, item.by, item.why, item.until, f"waivers.{name}")
        for name, item in written.items("waivers").items()
    )
