"""Text of a file nobody has vetted: bounded, an ordinary file, in UTF-8; or one clear sentence why not."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from coachwright.kit.errors import DoorRefused


def read_bounded(path: Path, *, most_bytes: int) -> str:
    """All of the text at `path`.

    Raises
    ------
    FileNotFoundError : there is nothing.
    DoorRefused : as `bytes_of`, or it isn't in UTF-8.
    """
    try:
        return bytes_of(path, most_bytes=most_bytes).decode("utf-8")
    except UnicodeDecodeError as error:
        raise DoorRefused(f"{path} isn't text in UTF-8 (byte {error.start + 1}).") from None


def bytes_of(path: Path, *, most_bytes: int, if_longer: str = "") -> bytes:
    """All of the bytes at `path`.

    A pipe or a device is never waited for: what isn't an ordinary file is refused before anything is read.

    Parameters
    ----------
    if_longer : what to do about a file that is too long, as a sentence.

    Raises
    ------
    FileNotFoundError : there is nothing.
    DoorRefused : it is no ordinary file, larger than `most_bytes`, or not readable.
    """
    try:
        with os.fdopen(os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)), "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                raise DoorRefused(f"{path} is no ordinary file.")
            content = stream.read(most_bytes + 1)
    except FileNotFoundError:
        raise
    except OSError as error:
        raise DoorRefused(f"{path} can't be read: {error.strerror or error}.") from None
    if len(content) > most_bytes:
        raise DoorRefused(f"{path} is longer than {most_bytes:,} bytes. {if_longer}".rstrip())
    return content
