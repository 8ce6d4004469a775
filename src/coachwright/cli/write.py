"""Writes files a command has made, each whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from coachwright.kit.errors import CoachwrightError


def write_files(folder: Path, files: Mapping[str, bytes]) -> Iterator[Path]:
    """Write each file into `folder` (made if needed) and name it once it is there.

    Raises
    ------
    CoachwrightError : the folder can't be written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            yield _write(folder / name, content)
    except OSError as error:
        raise CoachwrightError(f"{folder} can't be written to: {error.strerror or error}.") from error


def _write(path: Path, content: bytes) -> Path:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    return path
