"""Opens a build for commands that need it whole: the model, or everything that is wrong with the text."""

from __future__ import annotations

import sys
from pathlib import Path

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.kit.errors import CoachwrightError
from coachwright.look.cells import finding_text
from coachwright.parts.store import load_catalogue


def opened(path: Path) -> Model:
    """The model of the build at `path`.

    Raises
    ------
    CoachwrightError : the text can't be understood; what is wrong is printed to the error stream first.
    """
    loaded = load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts"))
    if loaded.model is not None:
        return loaded.model
    texts = {loaded.document.file: loaded.document.text}
    for finding in loaded.findings:
        print(finding_text(finding, texts=texts), file=sys.stderr)
    raise CoachwrightError(f"{path} has to be mended first.")
