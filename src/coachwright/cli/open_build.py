"""Opens a build for commands that need it whole: the model, or everything that is wrong with the text."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from coachwright.build.load import Loaded, load_alike, load_build
from coachwright.build.model import Model
from coachwright.kit.errors import CoachwrightError
from coachwright.look.cells import finding_text
from coachwright.parts.store import load_catalogue

if TYPE_CHECKING:
    from coachwright.build.lock import Lock


def opened(path: Path, *, serial: int | None = None) -> Model:
    """The model of the build at `path`: of the base, or of one vehicle of the job.

    Raises
    ------
    CoachwrightError : the text can't be understood; what is wrong is printed to the error stream first.
    """
    return _model(load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts"), serial=serial), path)


def opened_alike(path: Path) -> tuple[tuple[Model, ...], Lock]:
    """The base and one vehicle of each different set of choices, and the lock beside the build.

    Raises
    ------
    CoachwrightError : as `opened`.
    """
    every = load_alike(path, catalogue=load_catalogue(shop_folder=path.parent / "parts"))
    return tuple(_model(each, path) for each in every), every[0].lock


def _model(loaded: Loaded, path: Path) -> Model:
    if loaded.model is not None:
        return loaded.model
    texts = {loaded.document.file: loaded.document.text}
    for finding in loaded.findings:
        print(finding_text(finding, texts=texts), file=sys.stderr)
    raise CoachwrightError(f"{path} has to be mended first.")
