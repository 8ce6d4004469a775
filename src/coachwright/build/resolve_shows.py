"""What does each entry of a function show on which heads?"""

from __future__ import annotations

from collections.abc import Sequence

from coachwright.build.around import Around
from coachwright.build.model import COLOURS, ColourShow, Head, Show
from coachwright.build.pattern_text import RUN_WORDS
from coachwright.build.reading import Reading
from coachwright.build.sections.functions import Entry
from coachwright.build.sections.ranks import ROAD
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.kit.nodes import PathPieces

_FOLLOWED = ("on-off", "turn-wire", "hazard")
_FEWEST_IN_A_RUN = 4


def shows_of(
    entries: Sequence[Entry], rank: str, around: Around, reading: Reading, path: PathPieces
) -> tuple[Show, ...] | None:
    """What a list of entries shows; None when something in it is lost or wrong."""
    found: list[Show] = []
    named: dict[str, str] = {}
    whole = True
    for number, entry in enumerate(entries, start=1):
        place = (*path, str(number))
        heads = reading.selectors.heads_of(entry.on, (*place, "on"), reading.told)
        colours = _colours(entry, heads, around, reading, place)
        if not entry.dark and all(getattr(entry, colour) is None for colour in COLOURS):
            why = "Nothing is said of what these heads show."
            write = "Write a colour and what it does, like red: single sides; or dark: yes."
            reading.told.append(Trouble(place, "BLD-083", "entry-shows-nothing", why, write))
        if heads is None or colours is None:
            whole = False
            continue
        _twice(heads, named, entry, (*place, "on"), reading.told)
        _reached(heads, entry, (*place, "on"), reading.told)
        _check_beside(heads, entry, rank, (*place, "beside"), reading.told)
        selector = ", ".join(entry.on)
        found.append(
            Show(tuple(head.id for head in heads), colours, entry.dark, entry.beside, ".".join(place), selector)
        )
    return tuple(found) if whole else None


def _colours(
    entry: Entry, heads: tuple[Head, ...] | None, around: Around, reading: Reading, path: PathPieces
) -> tuple[ColourShow, ...] | None:
    found: list[ColourShow] = []
    whole = True
    for colour in COLOURS:
        text = getattr(entry, colour)
        if text is None:
            continue
        place = (*path, colour)
        show = reading.show(text, place)
        if show is None:
            whole = False
            continue
        if show.manner == "follow" and not _can_follow(show.signal, text, around, place, reading.told):
            whole = False
        if show.pattern is not None and show.pattern.word in RUN_WORDS and heads is not None:
            _check_run(show.pattern.word, heads, place, reading.told)
        found.append(
            ColourShow(colour, show.manner, show.pattern, show.sides, show.share, show.signal, ".".join(place))
        )
    return tuple(found) if whole else None


def _can_follow(signal: str, text: str, around: Around, path: PathPieces, told: list[Trouble]) -> bool:
    item = around.inputs.get(signal)
    if item is not None and item.kind in _FOLLOWED:
        return True
    if item is None and around.is_lost(signal, "signals", "vehicle"):
        return False
    start = text.rfind(signal)
    known = [each.name for each in around.inputs.values() if each.kind in _FOLLOWED]
    told.append(
        not_known(
            path,
            "signal that can be followed",
            signal,
            known,
            code="BLD-058",
            name="signal-not-known",
            span=(start, start + len(signal)),
        )
    )
    return False


def _check_run(word: str, heads: tuple[Head, ...], path: PathPieces, told: list[Trouble]) -> None:
    if len(heads) < _FEWEST_IN_A_RUN:
        why = f"{word} runs over at least {_FEWEST_IN_A_RUN} heads, and these are {len(heads)}."
        told.append(Trouble(path, "BLD-084", "run-too-short", why, "Name more heads, or show a pattern without a run."))


def _twice(heads: tuple[Head, ...], named: dict[str, str], entry: Entry, path: PathPieces, told: list[Trouble]) -> None:
    selector = ", ".join(entry.on)
    again = [head.id for head in heads if head.id in named]
    if again:
        why = f"{listed(again, most=4)}: named by {named[again[0]]} before, and a show is all that a head does."
        told.append(Trouble(path, "BLD-085", "head-in-two-entries", why, "Name each head once.", selector))
    named.update({head.id: selector for head in heads})


def _check_beside(heads: tuple[Head, ...], entry: Entry, rank: str, path: PathPieces, told: list[Trouble]) -> None:
    """Nothing shines beside brake, turn, hazard and reverse, nor where a head burns one colour at a time."""
    if not entry.beside:
        return
    alone = next((head for head in heads if not head.burns_together), None)
    if rank == ROAD:
        why = "Beside brake, turn, hazard and reverse nothing else shines."
    elif entry.dark:
        why = "Beside heads that must not shine nothing shines."
    elif alone is not None:
        why = f"{alone.id} burns one colour at a time."
    else:
        return
    told.append(Trouble(path, "BLD-097", "beside-not-possible", why, "Leave beside away."))


def _reached(heads: tuple[Head, ...], entry: Entry, path: PathPieces, told: list[Trouble]) -> None:
    """A lamp of the vehicle does only what its reach allows."""
    lit = any(getattr(entry, colour) is not None for colour in COLOURS)
    for lamp, reach in {head.lamp: head.reach for head in heads}.items():
        if reach == "none":
            why = f"{lamp} isn't reached: the vehicle alone has it."
            write = f"Say under vehicle-lamps how it is reached, or leave {lamp} away."
        elif reach == "series" and lit:
            why = f"{lamp} is reached in series: its light can be taken away, never added."
            write = "Write dark: yes, or reach it in parallel."
        else:
            continue
        told.append(Trouble(path, "BLD-086", "reach-can-not", why, write, lamp))
