"""Text of a file nobody has vetted: read whole, or one sentence why not."""

import os
from pathlib import Path

import pytest

from coachwright.kit.errors import DoorRefused
from coachwright.kit.text_file import read_bounded


def test_text_is_read_as_it_stands(tmp_path: Path) -> None:
    """Law: line breaks and signs stay; a file of just the most bytes is still read."""
    path = tmp_path / "a"
    path.write_bytes("é\r\nb".encode())

    assert read_bounded(path, most_bytes=5) == "é\r\nb"


@pytest.mark.parametrize("kind", ["folder", "pipe", "device", "too long", "not text", "unreadable"])
def test_what_is_no_ordinary_text_is_refused_at_once(tmp_path: Path, kind: str) -> None:
    """Case: nothing is waited for, and each is told in one sentence that names the file."""
    path = tmp_path / "a"
    match kind:
        case "folder":
            path.mkdir()
        case "pipe":
            os.mkfifo(path)
        case "device":
            path.symlink_to("/dev/zero")
        case "too long":
            path.write_text("abcdef")
        case "not text":
            path.write_bytes(b"\xff\xfe")
        case _:
            path.symlink_to(path)

    with pytest.raises(DoorRefused, match=str(path)):
        read_bounded(path, most_bytes=5)


def test_nothing_there_is_said_apart(tmp_path: Path) -> None:
    """Case: whoever asks may take a missing file for an empty one."""
    with pytest.raises(FileNotFoundError):
        read_bounded(tmp_path / "a", most_bytes=5)
