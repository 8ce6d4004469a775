"""Opens the file of vehicle data for the commands that listen: the one named, else the one beside the log."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from coachwright.build.model import Model
from coachwright.control.feeds import Feeds
from coachwright.control.vehicle_data import VehicleDataRefused, feeds_of
from coachwright.look.cells import finding_text

FILE = "vehicle-data.yaml"


def feeds_beside(model: Model, said: Path | None, *, beside: Path, columns: Iterable[str] = ()) -> Feeds:
    """The feeds of a build.

    Raises
    ------
    VehicleDataRefused : something in the file can't be; all of it is printed to the error stream first.
    DoorRefused : it can't be read at all.
    """
    found = said if said is not None else beside / FILE
    try:
        return feeds_of(model, found if said is not None or found.is_file() else None, columns)
    except VehicleDataRefused as refused:
        for finding in refused.findings:
            print(finding_text(finding, texts={refused.file: refused.text}), file=sys.stderr)
        raise
