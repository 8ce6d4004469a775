"""What has every part, whatever its kind?"""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, WithJsonSchema

from coachwright.kit.cite import CiteStatus
from coachwright.kit.fields import Count, Mass, Name, Text, YesNo, wrong

ColourName = Literal["red", "amber", "blue", "white", "green"]

_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})")


def _hyphens(name: str) -> str:
    return name.replace("_", "-")


class Frozen(BaseModel):
    """Base of everything in a part file. Field names are written with hyphens in files; unknown ones are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, alias_generator=_hyphens)


def _number(value: Any) -> Any:
    if isinstance(value, float | int) and not isinstance(value, bool):
        return float(value)
    if isinstance(value, str) and _NUMBER.fullmatch(value):
        return float(value)
    raise wrong(
        "PRT-021",
        "number-not-read",
        str(value),
        why="A plain number belongs here.",
        write="Write it in digits, like 1.52.",
    )


Number = Annotated[
    float, BeforeValidator(_number), WithJsonSchema({"type": "string", "pattern": f"^{_NUMBER.pattern}$"})
]
"""A ratio without a unit."""


def _iso_date(value: Any) -> Any:
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            date.fromisoformat(value)
        except ValueError:
            pass
        else:
            return value
    raise wrong(
        "PRT-022",
        "date-not-read",
        str(value),
        why="A day of the calendar belongs here.",
        write="Write it like 2026-11-25.",
    )


IsoDate = Annotated[str, BeforeValidator(_iso_date), WithJsonSchema({"type": "string", "format": "date"})]


class Source(Frozen):
    """Where a part's figures come from; there is no number without one.

    source : title of the sheet, its maker's drawing, a measurement, or the words that say nobody stands behind it.
    clause : page or table. date : of the sheet, or the day on which somebody measured or made the figures up.
    status : ``read`` needs a sheet that exists.
    invented : made up for demonstration; printed wherever the part is used.
    """

    source: Text
    clause: Text = ""
    date: IsoDate
    status: CiteStatus = "draft"
    invented: YesNo = False


_MONEY = re.compile(r"(?:0|[1-9][0-9]{0,8})(?:\.[0-9]{2})? [A-Z]{3}")


def _money(value: Any) -> Any:
    if isinstance(value, str) and _MONEY.fullmatch(value):
        return value
    raise wrong(
        "PRT-053",
        "money-not-read",
        str(value),
        why="A sum of money and its currency belong here.",
        write="Write it like 185 USD or 12.50 USD.",
    )


Money = Annotated[str, BeforeValidator(_money), WithJsonSchema({"type": "string", "pattern": f"^{_MONEY.pattern}$"})]
"""A sum in one currency, as text: ``185 USD``, ``12.50 USD``. Who reckons with it makes it a Decimal."""


class PartBase(Frozen):
    """What every part has. `replaces: yes` lets a shop's part take the place of one of ours with the same name.

    mass, price : of one `sold_by`: a piece, a box of `pack` pieces, a whole reel or roll, an hour of one person. [kg]
    """

    name: Name
    title: Text
    figures: Source
    mass: Mass = 0.0
    price: Money = ""
    sold_by: Literal["piece", "box", "reel", "roll", "hour"] = "piece"
    pack: Count = 1
    note: Text = ""
    replaces: YesNo = False
