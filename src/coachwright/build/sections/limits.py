"""When is light dimmed?"""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator

from coachwright.build.sections.base import ConditionText, Names, Section, Written, said
from coachwright.kit.fields import Share, wrong


def _dims(value: float) -> float:
    if 0 < value < 1:
        return value
    raise wrong(
        "BLD-025",
        "share-not-possible",
        f"{value:.0%}",
        why="A limit leaves more than 0 % and less than 100 %.",
        write="Write it like 40 %; to end a function write a stop.",
    )


class Limit(Written):
    """Scales what functions of some ranks show."""

    when: ConditionText = said("while this holds", "night")
    scale_to: Annotated[Share, AfterValidator(_dims)] = said("what is left of the light", "40 %")
    of: Names = said("of which ranks, never road", "warn", min_length=1)
    not_: Names = said("functions it leaves alone", "scene-on", default=(), alias="not")


SECTION = Section(
    "limits",
    "entries",
    Limit,
    "When is light dimmed?",
    """\
limits:
  night-dim: {when: night, scale-to: 40 %, of: [warn, ease, traffic]}
""",
)
