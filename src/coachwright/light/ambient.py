"""How much light must reach an eye to be noticed by day, in fog and at night?

The figures are data (ambient.yaml), each with its source and status.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, number_of, table_of, tables_in

DATA = "ambient.yaml"

AmbientName = Literal["day", "fog", "night", "lit-night"]


@dataclass(frozen=True, slots=True)
class Ambient:
    """Light and air round a warning.

    noticed_lx : least effective illuminance at the eye that is noticed. [lx]
    visibility_m : meteorological visibility. [m] dark : it is night.
    """

    name: str
    title: str
    noticed_lx: float
    visibility_m: float
    dark: bool
    cite: Cite


def ambient(name: AmbientName) -> Ambient:
    """One of the file, by its name."""
    return ambients()[name]


@cache
def ambients() -> dict[str, Ambient]:
    """All of the file."""
    found = {}
    for name, plain in tables_in("coachwright.light", DATA).items():
        table = table_of(plain, f"{DATA}, {name}")
        noticed_lx, visibility_m = (
            number_of(named(table, key, f"{DATA}, {name}"), f"{DATA}, {name}") for key in ("noticed-lx", "visibility-m")
        )
        if noticed_lx <= 0.0 or visibility_m <= 0.0:
            raise DataWrong(f"{DATA}, {name}: both figures are more than 0.")
        title = named(table, "title", f"{DATA}, {name}")
        dark = named(table, "dark", f"{DATA}, {name}")
        if dark not in ("yes", "no"):
            raise DataWrong(f"{DATA}, {name}: dark is yes or no.")
        cite = cite_of(table, f"{DATA}, {name}")
        found[name] = Ambient(name, title, noticed_lx, visibility_m, dark == "yes", cite)
    return found


def is_so(model: Model, situation: str, name: AmbientName) -> bool:
    """Whether a situation can be in such light: at night the headlamps are on, by day they are not.

    Where the build knows of no headlamps every light can be.
    """
    headlamps = dict(settings_of(model, situation)).get("headlamps")
    return headlamps is None or (headlamps == "on") == ambient(name).dark
