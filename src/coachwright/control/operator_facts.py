"""The shape of what an operator card says: entries with lines, lines with sentences, sentences with claims."""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.control.operator_claims import Claim


@dataclass(frozen=True, slots=True)
class Sentence:
    """Something the card says, and what bears it out. Names that the card explains stand in marks (operator_words)."""

    text: str
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """What one value does. label : the value as a driver reads it, "" for a control that is on or off."""

    label: str
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """Some controls that do alike, a signal or a memory.

    hand : ``hand``, ``foot`` or ``vehicle``. place : build place of a control, "" for what the vehicle brings.
    """

    names: tuple[str, ...]
    title: str
    hand: str
    place: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """All that a card says.

    first : what comes before what. power : key off, cable lost, power lost. words : names the card explains.
    unsaid : what could not be said, because the machine doesn't bear it out or no few words hold it.
    """

    entries: tuple[Entry, ...]
    messages: tuple[Entry, ...]
    first: tuple[Sentence, ...]
    power: tuple[Sentence, ...]
    words: tuple[tuple[str, Sentence], ...]
    unsaid: tuple[str, ...]

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        """Every sentence on it."""
        lines = [line for entry in (*self.entries, *self.messages) for line in entry.lines]
        said = [sentence for line in lines for sentence in line.sentences]
        return (*said, *self.first, *self.power, *(sentence for _, sentence in self.words))
