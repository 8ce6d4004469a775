"""Which parts are there: ours, then the shop's own beside the build?

One file holds one part and is named for it: ``short-red-white.yaml``. Only parts that are asked for are read, and each
text is read once per process. A shop's files are read at once, so that what is wrong in them is told before anybody
relies on them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from hashlib import blake2b
from pathlib import Path
from types import MappingProxyType

from coachwright.kit.errors import DataWrong
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.parts.beside import MOST_BYTES_OF_FOLDER, Beside, files_beside, files_named
from coachwright.parts.folder import PartFile, part_files
from coachwright.parts.read import PartRead, read_part
from coachwright.parts.schema import AnyPart

OURS = Path(__file__).parent / "data"
"""Where the parts that come with coachwright lie."""

_KIND = re.compile(r"^kind:[ \t]*([a-z-]+)", re.MULTILINE)

_PHOTOMETRY = "photometry"
"""A part without this word names no photometric file."""

_read = lru_cache(maxsize=1024)(read_part)


@dataclass(frozen=True, slots=True)
class Entry:
    """One part file whose text is at hand. ours : it came with coachwright. beside : photometric files it names."""

    name: str
    file: str
    text: str
    ours: bool
    beside: tuple[Beside, ...] = ()

    def read(self) -> PartRead:
        if not self.beside:
            return _read(self.text, file=self.file)
        return _read(self.text, file=self.file, beside=self.beside)

    @property
    def kind(self) -> str:
        """What the file says it is, without reading it whole."""
        found = _KIND.search(self.text)
        return found[1] if found else ""


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Every part a build can name.

    Parameters
    ----------
    entries : by name. A shop's file that can't be used is not among them, nor is what it meant to replace.
    findings : what is wrong in the shop's folder.
    digest : of all texts; the same catalogue has the same digest on every machine.
    """

    entries: Mapping[str, Entry]
    findings: tuple[Finding, ...] = ()
    digest: str = field(default="")

    def get(self, name: str) -> AnyPart | None:
        """The part of this name, None when there is none.

        Raises
        ------
        DataWrong : one of our own files is wrong; the text names file, line and column.
        """
        entry = self.entries.get(name)
        if entry is None:
            return None
        read = entry.read()
        if read.part is None:
            first = read.findings[0]
            where = first.where[0] if first.where else entry.file
            raise DataWrong(f"{where}: {first.values.get('why', first.name)}")
        if read.part.name != name:
            raise DataWrong(f"{entry.file}: the part calls itself {read.part.name}")
        return read.part

    def of_kind(self, kind: str) -> tuple[AnyPart, ...]:
        """All parts of one kind (``lamp``, ``body``...), by name."""
        found = (self.get(name) for name in self.names() if self.entries[name].kind == kind)
        return tuple(part for part in found if part is not None)

    def names(self) -> tuple[str, ...]:
        """By the alphabet."""
        return tuple(sorted(self.entries))


def load_catalogue(*, shop_folder: Path | None = None) -> Catalogue:
    """Our parts, and over them those of a shop.

    Parameters
    ----------
    shop_folder : the folder ``parts`` beside the build; None, or one that isn't there, when the shop has none.
    """
    ours = _ours()
    if shop_folder is None or not shop_folder.is_dir():
        return _catalogue(ours, ())
    files, findings = part_files(shop_folder)
    entries = dict(ours)
    told = list(findings)
    left_bytes = MOST_BYTES_OF_FOLDER
    for file in files:
        entry = _entry(file, ours=False, within=shop_folder, most_bytes=left_bytes)
        left_bytes -= sum(len(each.content or b"") for each in entry.beside)
        troubles = _troubles(entry, ours)
        told.extend(troubles or entry.read().findings)
        if troubles:
            entries.pop(file.name, None)
        else:
            entries[file.name] = entry
    return _catalogue(entries, tuple(sorted(told, key=Finding.sort_key)))


def _troubles(entry: Entry, ours: Mapping[str, Entry]) -> tuple[Finding, ...]:
    read = entry.read()
    if read.part is None:
        return read.findings
    part = read.part
    if part.name != entry.name:
        why = f"The file is called {entry.name}, the part in it {part.name}."
        return (_finding(entry, "name", "PRT-006", "name-not-file-name", why=why, write="Give both the same name."),)
    if entry.name in ours and not part.replaces:
        why = f"coachwright comes with a part called {entry.name} too; which one is meant isn't said."
        write = "Add replaces: yes to take the place of it, or give this part another name."
        return (_finding(entry, "name", "PRT-005", "replaces-not-said", why=why, write=write),)
    if part.replaces and entry.name not in ours:
        why = f"It says it replaces a part, but coachwright comes with none called {entry.name}."
        write = "Take replaces away, or mend the name."
        return (_finding(entry, "replaces", "PRT-015", "replaces-nothing", why=why, write=write),)
    return ()


def _finding(entry: Entry, field_name: str, code: str, name: str, *, why: str, write: str) -> Finding:
    where = re.search(rf"^{field_name}:", entry.text, re.MULTILINE)
    start = where.start() if where else 0
    mark = Mark(entry.file, entry.text.count("\n", 0, start) + 1, 1, start, where.end() if where else 0)
    return Finding(code, name, "error", "{why}", {"why": why}, about=field_name, where=(mark,), fix=Fix(write))


def _catalogue(entries: Mapping[str, Entry], findings: tuple[Finding, ...]) -> Catalogue:
    content = blake2b(digest_size=16)
    for name in sorted(entries):
        content.update(f"{name}\0{entries[name].text}\0".encode())
        for each in entries[name].beside:
            content.update(f"{each.name}\0".encode() + blake2b(each.content or b"").digest())
    return Catalogue(MappingProxyType(dict(entries)), findings, content.hexdigest())


@cache
def _ours() -> Mapping[str, Entry]:
    files: list[PartFile] = [
        PartFile(path.stem, f"parts/data/{path.name}", path.read_text(encoding="utf-8"))
        for path in sorted(OURS.glob("*.yaml"))
    ]
    return MappingProxyType({file.name: _entry(file, ours=True, within=OURS) for file in files})


def _entry(file: PartFile, *, ours: bool, within: Path, most_bytes: int = MOST_BYTES_OF_FOLDER) -> Entry:
    """A part file with the photometric files it names; only a part that names some is read for that."""
    if _PHOTOMETRY not in file.text:
        return Entry(file.name, file.shown, file.text, ours)
    part = _read(file.text, file=file.shown).part
    names = files_named(part) if part is not None else ()
    folder = OURS if ours else Path(file.shown).parent
    beside = files_beside(names, folder, within=within, shown=str(Path(file.shown).parent), most_bytes=most_bytes)
    return Entry(file.name, file.shown, file.text, ours, beside)
