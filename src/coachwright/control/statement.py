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
    """One head in one step.

    `parts` empty and `owners` given: its owner keeps it dark. `owners` empty: nobody wants it, or nobody has it
    (`ambiguous`). `owners` with parts and `ambiguous`: only who shows beside the owner is unclear.
    """

    head: str
    parts: tuple[ColourPart, ...]
    owners: tuple[str, ...]
    ambiguous: bool
    wanted: tuple[Wanted, ...]


@dataclass(frozen=True, slots=True)
class SoundState:
    """One siren that at least one function wants; `tone` and `owners` are empty while nothing decides between them."""

    siren: str
    tone: str
    owners: tuple[str, ...]
    wanted: tuple[Wanted, ...]

    @property
    def owner(self) -> str:
        """The function that sounds it, the first by name if several want the very same tone; "" while it is silent."""
        return self.owners[0] if self.owners else ""

    @property
    def ambiguous(self) -> bool:
        """Is it silent because nothing decides who has it?"""
        return not self.owners


@dataclass(frozen=True, slots=True)
class Outputs:
    """Everything the machine puts out in one step.

    heads : every one, in the model's order; sounds : of sirens that are wanted. runs, interrupts : names that run or
        are interrupted now.
    active : functions that act, after stops and hold-offs, whether or not they get what they want.
    stopped : (function, stop) of those that would act; held_off : those that would act but wait to be asked again.
    levels : (function, position) whose level an active function shows.
    messages : names of messages shown; tell_tales : (control, word) pairs.
    restless : memories whose moves came back to where they had been in this moment, and so were left alone.
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
    levels: tuple[tuple[str, str], ...] = ()
    restless: tuple[str, ...] = ()

    def head(self, head_id: str) -> HeadState:
        """One head by its id."""
        return next(state for state in self.heads if state.head == head_id)
