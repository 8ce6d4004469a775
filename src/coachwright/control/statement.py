"""What the machine puts out in one step: for every head who owns it, what it shows, and why.

Other rooms (flash, light, power, papers) read only this, never functions or conditions.
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.model import Colour, ColourShow


@dataclass(frozen=True, slots=True)
class ColourPart:
    """One colour that a head shows.

    scale_share : smallest limit of its owner (1.0 without one), on top of the show's own share.
    limited_by : name of that limit, "" without one.
    """

    show: ColourShow
    owner: str
    scale_share: float
    limited_by: str

    @property
    def colour(self) -> Colour:
        return self.show.colour

    @property
    def share(self) -> float:
        """Share of the part's full light after limits: 15 % at 40 % is 6 %."""
        return self.show.share * self.scale_share


@dataclass(frozen=True, slots=True)
class Wanted:
    """A function that wanted the head, and what became of it.

    outcome : ``owns``, ``beside``, ``lower-rank``, ``beaten`` (wins-over), ``ambiguous``.
    by : who took it instead.
    """

    function: str
    rank: str
    outcome: str
    by: str


@dataclass(frozen=True, slots=True)
class HeadState:
    """One head in one step. `parts` empty and `owners` given: its owner keeps it dark. `owners` empty: nobody wants it."""

    head: str
    parts: tuple[ColourPart, ...]
    owners: tuple[str, ...]
    ambiguous: bool
    wanted: tuple[Wanted, ...]


@dataclass(frozen=True, slots=True)
class SoundState:
    siren: str
    tone: str
    owner: str
    wanted: tuple[Wanted, ...]


@dataclass(frozen=True, slots=True)
class Outputs:
    """Everything the machine puts out in one step.

    heads, sounds : in the model's order. runs, interrupts : names that run or are interrupted now.
    active : functions that act, after stops and hold-offs; stopped : (function, stop); held_off : functions waiting to be asked again.
    messages : names of messages shown; tell_tales : (control, word) pairs.
    """

    heads: tuple[HeadState, ...]
    sounds: tuple[SoundState, ...]
    runs: tuple[str, ...]
    interrupts: tuple[str, ...]
    active: tuple[str, ...]
    stopped: tuple[tuple[str, str], ...]
    held_off: tuple[str, ...]
    messages: tuple[str, ...]
    tell_tales: tuple[tuple[str, str], ...]
