"""In which settings of all inputs is the vehicle judged?"""

from __future__ import annotations

from pydantic import ConfigDict

from coachwright.build.sections.base import Line, Name, Section, Written, said
from coachwright.kit.fields import Time


class Situation(Written):
    """A named setting. Every other field is a control, a signal or a memory, and the value it has."""

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, Line]

    like: Name | None = said("another situation whose settings hold unless said otherwise", "on-scene", default=None)
    lasts: Time | None = said("how long the vehicle stands or drives so", "4 h", default=None)
    stands_for: Name | None = said("a word of the packs", "calling", "blocking", "moving", default=None)


SECTION = Section(
    "situations",
    "entries",
    Situation,
    "In which settings of all inputs is the vehicle judged?",
    """\
situations:
  answering: {slide: full, gear: D, speed: 45 mph, stands-for: calling}
  on-scene:  {slide: mid, gear: P, hatch: open, stands-for: blocking, lasts: 4 h}
  on-scene-off: {like: on-scene, engine: "off"}
""",
)
