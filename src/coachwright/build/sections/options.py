"""In what may the vehicles of one job differ?

An option has values; each says what it adds to the build, sets otherwise, or takes out. What is in those paths is read
where it takes effect, so it may be anything the build can say there.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from coachwright.build.sections.base import Line, Name, Section, Written, one_or_more, said
from coachwright.kit.fields import wrong

MOST_PIECES = 12
WHOLE_JOB = frozenset(("coachwright", "count", "options", "serials"))
"""Sections that speak of all vehicles at once: no option touches them."""

_PATH = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.[a-z0-9]+(?:-[a-z0-9]+)*)*", re.ASCII)


def _path(value: Any) -> Any:
    if not isinstance(value, str) or len(value) > 300 or not _PATH.fullmatch(value) or value.count(".") >= MOST_PIECES:
        raise wrong(
            "BLD-155",
            "option-path-not-read",
            str(value),
            why=f"{_shown(value)} is no path of a build.",
            write="Write the section and the name with a dot between them, like equipment.radio-2.",
        )
    section = value.split(".")[0]
    if section in WHOLE_JOB:
        raise wrong(
            "BLD-155",
            "option-path-not-read",
            value,
            why=f"{section} speaks of all vehicles at once, so no option can change it.",
            write="Take the path out.",
        )
    return value


def _shown(value: Any) -> str:
    return " ".join(value.split())[:60] or "Nothing" if isinstance(value, str) else "A list"


Path = Annotated[str, BeforeValidator(_path), WithJsonSchema({"type": "string", "pattern": f"^{_PATH.pattern}$"})]


def _different(values: tuple[str, ...]) -> tuple[str, ...]:
    twice = next((value for index, value in enumerate(values) if value in values[:index]), None)
    if twice is not None:
        raise wrong(
            "BLD-019", "item-twice", twice, why=f"{twice} stands twice in this list.", write="Keep one of the two."
        )
    return values


Paths = Annotated[
    tuple[Path, ...],
    BeforeValidator(one_or_more),
    Field(max_length=500),
    AfterValidator(_different),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
Content = Annotated[Any, WithJsonSchema({"description": "whatever can stand at that path"})]


class Value(Written):
    """One thing that can be chosen, as what it changes in the build. ``{}`` changes nothing."""

    add: dict[Path, Content] = said(
        "what isn't in the build without it, by path",
        {"equipment.radio-2": {"part": "mobile-radio-50", "at": "console.bay-4"}},
        default={},
    )
    set_: dict[Path, Content] = said(
        "what is otherwise then, by path",
        {"lamps.cap-bar.part": "bar-8-red-amber-white"},
        default={},
        alias="set",
    )
    drop: Paths = said("what is left out then, by path", "equipment.inverter", default=())
    price: Line = said("auto: computed from what it changes; or a price in words", "auto", default="auto")


class Option(BaseModel):
    """A question with its answers: `base` holds where a serial chooses nothing."""

    model_config = ConfigDict(frozen=True, extra="allow")
    __pydantic_extra__: dict[Name, Value]

    base: Name = said("the value that holds where a serial says nothing", "none")

    @property
    def values(self) -> dict[str, Value]:
        """Every value, in the order of the file."""
        return self.__pydantic_extra__


SECTION = Section(
    "options",
    "entries",
    Option,
    "In what may the vehicles of this job differ?",
    """\
options:
  second-radio: {base: none, none: {}, fitted: {add: {equipment.radio-2: {part: mobile-radio-50, at: console.bay-4}}}}
  rear-light:   {base: six, six: {}, eight: {set: {lamps.cap-bar.part: bar-8-red-amber-white}, price: auto}}
""",
)
