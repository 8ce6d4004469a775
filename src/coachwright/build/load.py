"""Reads a build: what does the file say, and what is wrong with it, at which line?

Stages: the text itself, what options change in it, the fields of each section, references between them, cross-checks. A
stage tells all that is wrong at once, and whatever is clean goes on to the next. Every value of every option has to
load, and so does every set of choices the serials make.

See Also
--------
coachwright.kit.nodes, coachwright.build.written, coachwright.build.resolve : the stages.
coachwright.build.model : what comes out.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from coachwright.build.choices import Choices, chosen, offer_of, optional_names, spoken_choices
from coachwright.build.lock import Lock, lock_path, read_lock
from coachwright.build.marks import finding_of
from coachwright.build.model import Model
from coachwright.build.not_in_it import let_fall
from coachwright.build.resolve import resolve
from coachwright.build.trouble import Trouble
from coachwright.build.written import read_written
from coachwright.kit.digest import digest
from coachwright.kit.errors import DoorRefused, SerialNotThere
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
    document : the text with its marks, as the choices of this vehicle make it.
    findings : of the door, in the order of the file; those of the shop's catalogue first.
    lock : what solvers chose, for all vehicles of the job; `model` has what holds for this one.
    """

    model: Model | None
    document: Document
    findings: tuple[Finding, ...]
    lock: Lock = field(default=Lock(""))


def load_build(path: Path, *, catalogue: Catalogue | None = None, serial: int | None = None) -> Loaded:
    """Read the build at `path`, and the lock beside it.

    Parameters
    ----------
    catalogue : parts it may name; ours and those in the folder ``parts`` beside it when left out.
    serial : number of the vehicle that is meant; None for the base, with no option chosen.

    Raises
    ------
    DoorRefused : it can't be read at all: not there, too large, no text.
    SerialNotThere : the job has no vehicle of that number.
    """
    return _reading_of(path, catalogue).loaded(serial)


def load_alike(path: Path, *, catalogue: Catalogue | None = None) -> tuple[Loaded, ...]:
    """Read the build at `path` once: the base, then one vehicle of each different set of choices that serials use.

    Raises
    ------
    DoorRefused : as `load_build`.
    """
    reading = _reading_of(path, catalogue)
    offer = reading.offer
    first: dict[Choices, int] = {}
    for serial in offer.serials:
        if 1 <= serial.number <= offer.count:  # one beyond is told where it is written, and there is nothing to judge
            first.setdefault(serial.choices, serial.number)
    numbers = [first[choices] for choices in offer.used() if choices in first]
    return tuple(reading.loaded(number) for number in (None, *numbers))


def read_build(
    text: str,
    *,
    file: str = "build.yaml",
    catalogue: Catalogue | None = None,
    serial: int | None = None,
    lock: Lock | None = None,
) -> Loaded:
    """Read the text of a build; `file` is its name as marks show it, `lock` what solvers chose for it.

    Raises
    ------
    DoorRefused : it is too large, or no text.
    SerialNotThere : the job has no vehicle of that number.
    """
    return _Reading(text, file, catalogue or load_catalogue(), lock or Lock("")).loaded(serial)


def _reading_of(path: Path, catalogue: Catalogue | None) -> _Reading:
    if catalogue is None:
        catalogue = load_catalogue(shop_folder=path.parent / "parts")
    return _Reading(read_text(path), str(path), catalogue, read_lock(lock_path(path)))


@dataclass(frozen=True, slots=True)
class _Vehicle:
    """The build as one set of choices makes it."""

    document: Document
    model: Model | None
    troubles: tuple[Trouble, ...]


class _Reading:
    """One text, and every set of choices that can be made in it."""

    def __init__(self, text: str, file: str, catalogue: Catalogue, lock: Lock) -> None:
        self.file = file
        self.catalogue = catalogue
        self.lock = lock
        self.document = read_nodes(text, file=file)
        self.offer = offer_of(self.document)
        # where the text itself is wrong, the same would be wrong in every choice
        every = self.offer.every() if not self.document.findings else (self.offer.base,)
        self.vehicles = {choices: self._vehicle(choices) for choices in every}

    def loaded(self, serial: int | None) -> Loaded:
        """The base, or one vehicle of the job."""
        offer = self.offer
        if serial is not None and not 1 <= serial <= offer.count:
            raise SerialNotThere(f"{self.file} builds {offer.count:,}; there is no vehicle number {serial}.")
        choices = offer.base if serial is None else offer.of_serial(serial)
        vehicle = self.vehicles.get(choices) or self._vehicle(choices)
        found = [*self.document.findings, *(finding_of(each, self.document) for each in offer.troubles)]
        found += [finding_of(each, vehicle.document) for each in vehicle.troubles]
        found += self._of_others(choices, found)
        model = vehicle.model
        if model is not None:
            model = self._with_choices(model, choices, serial)
        found += self.lock.findings
        found.sort(key=Finding.sort_key)
        if any(finding.severity == "error" for finding in found):
            model = None
        findings = (*self.catalogue.findings, *_bounded(found, self.file))
        return Loaded(model, vehicle.document, findings, self.lock)

    def _vehicle(self, choices: Choices) -> _Vehicle:
        text, troubles = chosen(self.document, self.offer, choices)
        if text is None:
            # what it would be can't be said, but what is wrong in the rest of the file still can
            written = read_written(self.document)
            return _Vehicle(self.document, None, (*written.troubles, *troubles))
        fallen = let_fall(text, optional_names(self.offer))
        document = text.document()
        written = read_written(document)
        model, told = resolve(written, document, self.catalogue)
        return _Vehicle(document, model, (*written.troubles, *fallen, *told))

    def _of_others(self, choices: Choices, found: list[Finding]) -> list[Finding]:
        """What is wrong only where something else is chosen, told once and for which choice it holds."""
        told = {_same(finding) for finding in found}
        more: list[Finding] = []
        for other, vehicle in self.vehicles.items():
            if other == choices:
                continue
            holds = spoken_choices(other, self.offer.base)
            for trouble in vehicle.troubles:
                if trouble.severity == "note":
                    continue
                finding = finding_of(trouble, vehicle.document)
                if _same(finding) not in told:
                    told.add(_same(finding))
                    values = {**finding.values, "chosen": holds}
                    more.append(replace(finding, template="{why} That is so with {chosen}.", values=values))
            if len(more) > MOST_FINDINGS:
                break
        return more

    def _with_choices(self, model: Model, choices: Choices, serial: int | None) -> Model:
        offer = self.offer
        decisions = self.lock.for_choices(choices, offer.base, fixed=model.fixed)
        return replace(
            model,
            digest=digest((model.digest, decisions)) if decisions else model.digest,
            serial="" if serial is None else str(serial),
            choices=choices,
            serials=offer.serials,
            options=offer.options,
            decisions=decisions,
        )


def _same(finding: Finding) -> tuple[object, ...]:
    return (finding.code, finding.where[:1], finding.values.get("why"))


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
