"""Which entries say the same of several controls? They become one, so that a driver reads it once.

Two of a left and a right that differ in nothing but the side; several at one place that differ in the last words of
what they do (the tones of a siren). Nothing is left out by it: every sentence keeps what bears it out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from coachwright.control.operator_claims import Claim
from coachwright.control.operator_facts import Entry, Line, Sentence
from coachwright.control.operator_words import capital, joined, lower

_SIDES = re.compile(r"\b(left|right)\b")
_OF_SIDE = (
    (
        r"\b[Tt]he (?:left|right) ([^.,]*?) lamp and the (?:left|right) ([^.,]*?) lamp\b",
        r"the \1 and \2 lamps on that side",
    ),
    (r"\b[Tt]he (?:left|right) ([^.,]*?) lamp\b", r"the \1 lamp on that side"),
    (r"\b[Tt]he (?:left|right) turn signal\b", "that turn signal"),
    (r"\b(?:left|right)\b", "that side"),
)
_OTHER = {"left": "right", "right": "left"}


def merged(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """The entries, those that say the same as one, at the place of the first."""
    return tuple(_ended_alike(_mirrored(list(entries))))


def _mirrored(entries: list[Entry]) -> list[Entry]:
    found: list[Entry] = []
    for entry in entries:
        at = next((place for place, other in enumerate(found) if _is_mirror(other, entry)), None)
        if at is None:
            found.append(entry)
        else:
            found[at] = _both(found[at], entry)
    return found


def _is_mirror(one: Entry, other: Entry) -> bool:
    if (one.hand, one.place) != (other.hand, other.place) or len(one.names) != 1 or one.title == other.title:
        return False
    return _swapped(one.title) == other.title and [_texts(line, swap=True) for line in one.lines] == [
        _texts(line) for line in other.lines
    ]


def _swapped(text: str) -> str:
    return capital(_SIDES.sub(lambda found: _OTHER[found[0]], lower(text)))


def _texts(line: Line, *, swap: bool = False) -> tuple[str, ...]:
    texts = (line.label, *(sentence.text for sentence in line.sentences))
    return tuple(
        sorted(_SIDES.sub(lambda found: _OTHER[found[0]], text.lower()) if swap else text.lower() for text in texts)
    )


def _both(one: Entry, other: Entry) -> Entry:
    lines = []
    for line, twin in zip(one.lines, other.lines, strict=True):
        claims = [claim for sentence in twin.sentences for claim in sentence.claims]
        sentences = [Sentence(_of_side(each.text), each.claims) for each in line.sentences]
        sentences[0] = Sentence(sentences[0].text, (*sentences[0].claims, *claims))
        lines.append(Line(line.label, tuple(sentences)))
    return Entry((*one.names, *other.names), f"{one.title}, {lower(other.title)}", one.hand, one.place, tuple(lines))


def _of_side(text: str) -> str:
    """``the mirror lamp on that side`` for ``the left mirror lamp``."""
    for pattern, said in _OF_SIDE:
        text = re.sub(pattern, said, text)
    return capital(text)


def _ended_alike(entries: list[Entry]) -> list[Entry]:
    groups: dict[object, list[Entry]] = {}
    for entry in entries:
        groups.setdefault(_key(entry), []).append(entry)
    return [same[0] if len(same) == 1 else _all_of(same) for same in groups.values()]


def _key(entry: Entry) -> object:
    """Equal for entries of one line that differ in the last word of their first sentence."""
    if len(entry.lines) != 1 or not entry.place:
        return entry.names
    line = entry.lines[0]
    first = line.sentences[0].text.rpartition(" ")[0]
    rest = tuple(sentence.text for sentence in line.sentences[1:])
    return (entry.hand, entry.place, line.label, first, rest)


def _all_of(same: Sequence[Entry]) -> Entry:
    line = same[0].lines[0]
    first = line.sentences[0].text.rpartition(" ")[0]
    ends = [entry.lines[0].sentences[0].text.rpartition(" ")[2].removesuffix(".") for entry in same]
    said = [Sentence(f"{first} {joined(ends, 'or')}.", _claims(entry.lines[0].sentences[0] for entry in same))]
    for place, sentence in enumerate(line.sentences[1:], start=1):
        said.append(Sentence(sentence.text, _claims(entry.lines[0].sentences[place] for entry in same)))
    names = tuple(name for entry in same for name in entry.names)
    title = ", ".join([same[0].title, *(lower(entry.title) for entry in same[1:])])
    return Entry(names, title, same[0].hand, same[0].place, (Line(line.label, tuple(said)),))


def _claims(sentences: Iterable[Sentence]) -> tuple[Claim, ...]:
    return tuple(dict.fromkeys(claim for sentence in sentences for claim in sentence.claims))
