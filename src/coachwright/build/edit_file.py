"""Puts new bytes in the place of a file's old ones in one step: the file holds the old or the new, and never less."""

from __future__ import annotations

import os
import stat
import tempfile
from contextlib import suppress
from pathlib import Path

from coachwright.kit.errors import EditRefused


def replace_file(path: Path, *, old: bytes, new: bytes) -> None:
    """Write `new` beside the file, make sure it is on the disk, and rename it over the file.

    path : a real file, no link. old : what it held when the new bytes were made; anything else there refuses the edit.
    Permissions stay. Where that is possible, so does the owner.

    Raises
    ------
    EditRefused : the file has changed, or can't be written. It is then as it was.
    """
    try:
        if not os.access(path, os.W_OK):
            raise EditRefused(f"{path} is write-protected.")
        _replace(path, old, new)
    except OSError as error:
        raise EditRefused(f"{path} can't be written: {error.strerror or error}.") from error


def create_file(path: Path, *, new: bytes) -> None:
    """Write a file that isn't there yet, whole or not at all.

    Raises
    ------
    EditRefused : by now there is one, or it can't be written.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".new", dir=path.parent)
        beside = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(new)
                file.flush()
                os.fchmod(file.fileno(), 0o644)
                os.fsync(file.fileno())
            os.link(beside, path)  # unlike a rename, it never takes the place of a file that came in between
        finally:
            beside.unlink(missing_ok=True)
        _sync_folder(path.parent)
    except FileExistsError as error:
        raise EditRefused(f"{path} is there by now. Look at it, then repeat.") from error
    except OSError as error:
        raise EditRefused(f"{path} can't be written: {error.strerror or error}.") from error


def _replace(path: Path, old: bytes, new: bytes) -> None:
    before = path.stat()
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".new", dir=path.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(new)
            file.flush()
            if (os.geteuid(), os.getegid()) != (before.st_uid, before.st_gid) and os.geteuid() == 0:
                os.fchown(file.fileno(), before.st_uid, before.st_gid)
            os.fchmod(file.fileno(), stat.S_IMODE(before.st_mode))
            os.fsync(file.fileno())
        if path.read_bytes() != old:
            raise EditRefused(f"{path} has changed while it was edited. Look at it again, then repeat the edit.")
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """The new name is on the disk too."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):  # network drives can't; the new bytes are in place all the same
            os.fsync(handle)
    finally:
        os.close(handle)
