"""The door for readings of the bench: cells are read with the units of kit.units.

See Also
--------
coachwright.control.readings_file : the table around them.
"""

from __future__ import annotations

from coachwright.control.readings_file import CellNotRead
from coachwright.kit.units import UnitError, parse


def number_of_cell(text: str, kind: str, unit: str) -> float:
    """A number with its unit, or without in the unit that is due.

    Raises
    ------
    CellNotRead : it is none.
    """
    try:
        return _parsed(text, kind, unit)
    except UnitError as error:
        raise CellNotRead(str(error), write=error.write) from None


def _parsed(text: str, kind: str, unit: str) -> float:
    try:
        return parse(text, kind)
    except UnitError as error:
        if error.reason != "no-unit":
            raise
    return parse(f"{text} {unit}", kind)
