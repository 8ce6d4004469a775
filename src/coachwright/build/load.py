"""Reads a build: what does the file say, and what is wrong with it, at which line?

Stages: the text itself, the fields of each section, references between them, cross-checks. A stage tells all that is
wrong at once, and whatever is clean goes on to the next.

See Also
--------
coachwright.kit.nodes, coachwright.build.written, coachwright.build.resolve : the stages.
coachwright.build.model : what comes out.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from coachwright.build.marks import finding_of
from coachwright.build.model import Model
from coachwright.build.resolve import resolve
from coachwright.build.written import read_written
from coachwright.kit.errors import DoorRefused
from coachwright.kit.finding import Finding
from coachwright.kit.nodes import MAX_CHARACTERS, Document, read_nodes
from coachwright.parts.store import Catalogue, load_catalogue

MOST_FINDINGS = 500
"""More at once help nobody; the last one then says how many are left."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A build that was read.

    Parameters
    ----------
    model : what exists; None when anything in the file stands in the way.
    document : the text with its marks.
    findings : of the door, in the order of the file; those of the shop's catalogue first.
    """

    model: Model | None
    document: Document
    findings: tuple[Finding, ...]


def load_build(path: Path, *, catalogue: Catalogue | None = None) -> Loaded:
    """Read the build at `path`.

    Parameters
    ----------
    catalogue : parts it may name; ours and those in the folder ``parts`` beside it when left out.

    Raises
    ------
    DoorRefused : it can't be read at all: not there, too large, no text.
    """
    if catalogue is None:
        catalogue = load_catalogue(shop_folder=path.parent / "parts")
    return read_build(read_text(path), file=str(path), catalogue=catalogue)


def read_build(text: str, *, file: str = "build.yaml", catalogue: Catalogue | None = None) -> Loaded:
    """Read the text of a build; `file` is its name as marks show it.

    Raises
    ------
    DoorRefused : it is too large, or no text.
    """
    if catalogue is None:
        catalogue = load_catalogue()
    document = read_nodes(text, file=file)
    written = read_written(document)
    model, troubles = resolve(written, document, catalogue)
    found = [*document.findings, *(finding_of(each, document) for each in (*written.troubles, *troubles))]
    found.sort(key=Finding.sort_key)
    return Loaded(model, document, (*catalogue.findings, *_bounded(found, file)))


def read_text(path: Path) -> str:
    """The text of a file, with its byte order mark if it has one.

    Raises
    ------
    DoorRefused : it isn't there, too large, or not written in UTF-8.
    """
    try:
        with path.open("rb") as file:
            data = file.read(4 * MAX_CHARACTERS + 1)
    except FileNotFoundError:
        raise DoorRefused(f"{path} isn't there.") from None
    except IsADirectoryError:
        raise DoorRefused(f"{path} is a folder. Name the build file in it.") from None
    except OSError as error:
        raise DoorRefused(f"{path} can't be read: {error.strerror or error}.") from None
    if len(data) > 4 * MAX_CHARACTERS:
        raise DoorRefused(f"{path} is larger than {MAX_CHARACTERS:,} characters. A build is a few thousand lines.")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise DoorRefused(f"{path} is written in UTF-16. Save it as UTF-8.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DoorRefused(
            f"{path}:{line}: the byte {data[error.start]:#04x} isn't UTF-8. Save the file as UTF-8 text."
        ) from None


def _bounded(findings: list[Finding], file: str) -> list[Finding]:
    if len(findings) <= MOST_FINDINGS:
        return findings
    left_n = len(findings) - MOST_FINDINGS
    more = Finding(
        "BLD-096",
        "more-findings",
        "error",
        "{why}",
        {"why": f"{left_n:,} more findings of {file} are not shown."},
        where=findings[MOST_FINDINGS].where,
    )
    return [*findings[:MOST_FINDINGS], more]
