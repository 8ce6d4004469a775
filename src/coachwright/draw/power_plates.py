"""Which pictures of supply and wires does a job have? One line, harness, cut list, loads, voltage, energy, fuse curves.

Nothing is worked out here: power says what flows and what is chosen, the other files of this room draw.

See Also
--------
coachwright.draw.light_plates : the pictures of light.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from coachwright.build.model import Model
from coachwright.draw.energy_day import energy_plates
from coachwright.draw.fuse_curve import circuit_names, fuse_plates, plain_circuit
from coachwright.draw.harness_sheet import harness_plates
from coachwright.draw.load_bars import load_plates
from coachwright.draw.one_line import one_line_plates
from coachwright.draw.sheet import Plate
from coachwright.draw.supply_strip import supply_plates
from coachwright.kit.errors import CoachwrightError

_MOST_NAMED = 60


class NoCircuit(CoachwrightError):
    """No circuit of the build is called so."""


def power_plates(model: Model, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """All of them; what a job has nothing to show for is left out."""
    drawers: tuple[Callable[..., Iterable[Plate]], ...] = (
        one_line_plates,
        harness_plates,
        load_plates,
        supply_plates,
        energy_plates,
        fuse_plates,
    )
    return tuple(plate for drawer in drawers for plate in drawer(model, width_mm=width_mm, height_mm=height_mm))


def circuit_plates(model: Model, name: str, *, width_mm: float, height_mm: float) -> tuple[Plate, ...]:
    """The fuse curve of one circuit, by its name.

    Raises
    ------
    NoCircuit : none is called so; says which there are.
    """
    names = circuit_names(model)
    short = {plain_circuit(each): each for each in names}
    found = name if name in names else short.get(name)
    if found is None:
        more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
        known = ", ".join(list(short)[:_MOST_NAMED]) or "none: nothing in this build has a fuse"
        raise NoCircuit(f"No circuit is called {name}. There are: {known}{more}.")
    return fuse_plates(model, width_mm=width_mm, height_mm=height_mm, names=(found,))
