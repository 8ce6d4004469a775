"""What does the vehicle do, and when?"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from coachwright.build.sections.base import ConditionText, Line, Name, Names, Section, Selectors, Written, said
from coachwright.kit.fields import YesNo


class Entry(Written):
    """What heads show: colours and what each does, or dark."""

    on: Selectors = said("which heads", "tail.left")
    red: Line | None = said("what red does", "single sides", "steady 100 %", default=None)
    amber: Line | None = said("what amber does", "run-left", "follow turn-left", default=None)
    blue: Line | None = said("what blue does", "double 150 per min other-sides", default=None)
    white: Line | None = said("what white does", "steady 60 %", default=None)
    green: Line | None = said("what green does", "steady", default=None)
    dark: YesNo = said("these heads must not shine", "yes", default=False)
    beside: YesNo = said("the next best may add colours that aren't named here", "yes", default=False)


class Sound(Written):
    """A tone on a siren."""

    on: Name = said("the siren or alarm, under equipment", "main-siren")
    tone: Name = said("a tone it has, or the memory that says which", "wail")


def _one_or_more_entries(value: Any) -> Any:
    return (value,) if isinstance(value, dict) else value


Entries = Annotated[tuple[Entry, ...], BeforeValidator(_one_or_more_entries), Field(min_length=1, max_length=100)]
Sounds = Annotated[tuple[Sound, ...], BeforeValidator(_one_or_more_entries), Field(max_length=20)]


class Function(Written):
    """What a control or a condition makes the vehicle do."""

    rank: Name = said("which kind it is: ranks decide who has a head first", "warn")
    when: ConditionText | None = said("while this holds", "scene and parked", default=None)
    by: Name | None = said("the slide or pick-one whose positions it follows", "slide", default=None)
    levels: dict[Name, Entries] | None = said(
        "what it shows from each position on", {"low": [{"on": "rear", "red": "single sides"}]}, default=None
    )
    one_level: YesNo = said("that position or nothing, in place of the highest reached", "yes", default=False)
    at_most: dict[Name, ConditionText] = said(
        "acts as if the control stood there while this holds", {"low": "parked"}, default={}
    )
    wins_over: Names = said("functions of the same rank that it beats", "brake-shows", default=())
    show: Entries | None = said("what it shows", [{"on": "tail", "red": "steady 40 %"}], default=None)
    sound: Sounds = said("a tone on a siren", {"on": "main-siren", "tone": "wail"}, default=())
    run: Names = said("equipment or an output that it runs", "locker-fan", default=())
    interrupt: Names = said("an output that it interrupts", "horn", default=())
    say: Names = said("a message that it shows", "belts", default=())


SECTION = Section(
    "functions",
    "entries",
    Function,
    "What does the vehicle do, and when?",
    """\
functions:
  warning:
    rank: warn
    by: slide
    at-most: {mid: parked}
    levels:
      low: [{on: rear, red: single sides, amber: single other-sides}]
      mid: [{on: [front, side], red: double sides}]
  scene-on: {rank: task, when: scene and parked, show: [{on: cap-side, white: steady 100 %}]}
  siren: {rank: warn, when: tone != standby, sound: {on: main-siren, tone: tone}}
""",
)
