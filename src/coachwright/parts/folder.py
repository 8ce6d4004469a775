"""Which files in a shop's folder of parts can be read without risk?

The folder is somebody else's: links that lead out of it or back into it, files of monstrous size, pipes and devices are
refused, each with a finding; what is left is text.
"""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from coachwright.kit.fields import NAME
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.parts.read import MOST_CHARACTERS, refused_whole, too_large

MOST_DEPTH = 6
MOST_FILES = 5_000
MOST_FOLDERS = 500
MOST_ENTRIES = 20_000
"""Of all folders together, whatever they are: a shop that keeps its parts among other things has some hundred."""

MOST_FINDINGS = 100
MOST_BYTES = 60_000_000
"""Of all part files together."""

ENDINGS = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class PartFile:
    """A part file's text. name : of the file without its ending. shown : the file as marks show it."""

    name: str
    shown: str
    text: str


def part_files(folder: Path) -> tuple[tuple[PartFile, ...], tuple[Finding, ...]]:
    """All part files in `folder` and below, by their names, and what was refused. Other files are left alone."""
    findings: list[Finding] = []
    paths = _walk(folder, findings)
    files: dict[str, PartFile] = {}
    refused: set[str] = set()
    bytes_n = 0
    for path in paths:
        text = _text(path, findings)
        if text is None:
            continue
        bytes_n += len(text)
        if bytes_n > MOST_BYTES:
            why = f"The part files in {folder} hold more than {MOST_BYTES:,} characters together."
            findings.append(_finding("PRT-014", "folder-too-large", path, why, "Keep only parts there."))
            break
        file = PartFile(path.name.rsplit(".", 1)[0], str(path), text)
        if not NAME.fullmatch(file.name):
            why = f"A part is called what its file is called; {file.name[:60]} is no plain name."
            findings.append(
                _finding("PRT-006", "name-not-file-name", path, why, "Use small letters, digits and hyphens.")
            )
        elif file.name in files:
            why = f"{file.name} is there twice: here and in {files[file.name].shown}."
            findings.append(_finding("PRT-004", "part-twice", path, why, "Keep one of them."))
            refused.add(file.name)
        else:
            files[file.name] = file
    return tuple(file for name, file in files.items() if name not in refused), tuple(findings)


def _walk(folder: Path, findings: list[Finding]) -> list[Path]:
    """Part files in order. Links may make many ways to one folder, so ways are counted and not only files."""
    root = Path(os.path.realpath(folder))
    waiting: list[tuple[Path, int, frozenset[str]]] = [(folder, 0, frozenset({str(root)}))]
    found: list[Path] = []
    folders_n = entries_n = 0
    while waiting:
        here, depth, above = waiting.pop()
        folders_n += 1
        names = _names(here, MOST_ENTRIES - entries_n, findings)
        entries_n += len(names)
        for name in names:
            path = here / name
            real = os.path.realpath(path)
            if path.is_symlink() and not Path(real).is_relative_to(root):
                why = f"{path} is a link that leads out of the folder of parts."
                findings.append(_finding("PRT-002", "link-leads-out", path, why, "Put a copy of the file there."))
            elif os.path.isdir(path):
                if real in above:
                    why = f"{path} is a link back to a folder it lies in."
                    findings.append(_finding("PRT-003", "links-in-a-circle", path, why, "Remove the link."))
                elif depth >= MOST_DEPTH:
                    why = f"Folders lie more than {MOST_DEPTH} deep here."
                    findings.append(_finding("PRT-014", "folder-too-deep", path, why, "Keep parts in a few folders."))
                else:
                    waiting.append((path, depth + 1, above | {real}))
            elif name.endswith(ENDINGS):
                found.append(path)
        much = len(found) > MOST_FILES or folders_n + len(waiting) > MOST_FOLDERS or entries_n >= MOST_ENTRIES
        if much or len(findings) > MOST_FINDINGS:
            del findings[MOST_FINDINGS:]
            why = f"There is too much in {folder}: more files, folders or links than a shop has parts. None is used."
            findings.append(_finding("PRT-014", "folder-too-large", folder, why, "Keep only parts there."))
            return []  # which of them come first differs between machines
    return sorted(found)


def _names(folder: Path, most: int, findings: list[Finding]) -> list[str]:
    """What lies in a folder, by name, at most so much of it."""
    try:
        with os.scandir(folder) as listing:
            return sorted(entry.name for entry in islice(listing, most))
    except OSError as error:
        findings.append(refused_whole(str(folder), f"{folder} can't be listed: {error.strerror}."))
        return []


def _text(path: Path, findings: list[Finding]) -> str | None:
    try:
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)  # a pipe without a writer would be waited for
        with os.fdopen(os.open(path, flags), "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                findings.append(refused_whole(str(path), f"{path} is no ordinary file."))
                return None
            content = stream.read(4 * MOST_CHARACTERS + 1)
        if len(content) > 4 * MOST_CHARACTERS:
            findings.append(too_large(str(path)))
            return None
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        findings.append(refused_whole(str(path), f"{path} isn't text in UTF-8 (byte {error.start + 1})."))
    except OSError as error:
        findings.append(refused_whole(str(path), f"{path} can't be read: {error.strerror}."))
    return None


def _finding(code: str, name: str, path: Path, why: str, write: str) -> Finding:
    return Finding(code, name, "error", "{why}", {"why": why}, where=(Mark(str(path), 1, 1),), fix=Fix(write))
