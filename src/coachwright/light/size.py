"""Is a vehicle large or small, as the zone method has it?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, table_of
from coachwright.kit.nodes import read_nodes
from coachwright.light.zones import DATA
from coachwright.place.zones import optical_height_m

Size = Literal["large", "small"]


@dataclass(frozen=True, slots=True)
class Sizes:
    """A vehicle this long, or with an optical centre of ours above that height, is large. [m]"""

    from_length_m: float
    above_m: float
    cite: Cite


@by_digest
def vehicle_size(model: Model) -> Size:
    """Large or small, by its length and by the highest lamp we fit, everything shut."""
    limits = sizes()
    if model.body.length >= limits.from_length_m:
        return "large"
    high = any(head.reach == "own" and optical_height_m(head, model) > limits.above_m for head in model.heads)
    return "large" if high else "small"


@cache
def sizes() -> Sizes:
    """The sizes of the data file."""
    text = resources.files("coachwright.light").joinpath(DATA).read_text(encoding="utf-8")
    said = table_of(table_of(read_nodes(text, file=DATA).plain, DATA).get("sizes", ""), DATA)
    try:
        length_m, above_m = (float(named(said, name, DATA)) for name in ("from-length-m", "above-m"))
    except ValueError as error:
        raise DataWrong(f"{DATA}: sizes are numbers of metres ({error}).") from error
    return Sizes(length_m, above_m, cite_of(said, DATA))
