"""Which photometric files does a part name, where may they lie, and what becomes of the part with them?

A file lies in the folder of its part, nowhere else: no path leads out of it, nor does a link. It is read whole before
it is believed, and what it says goes into the part, so that a part with another file is another part.

See Also
--------
coachwright.parts.photometric_read : what the files say. coachwright.parts.store : who asks.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from coachwright.kit.finding import Finding
from coachwright.parts.base import ColourName
from coachwright.parts.body import BodyPart
from coachwright.parts.candela import lumens
from coachwright.parts.lamp import ColourOutput, LampPart, Photometry
from coachwright.parts.photometric_file import PhotometricFile
from coachwright.parts.photometric_grid import Stand, type_a_table
from coachwright.parts.photometric_limits import tolerances
from coachwright.parts.photometric_read import read_photometric, refusal_of, warnings_of
from coachwright.parts.photometric_table import PhotometricTable
from coachwright.parts.photometric_text import MOST_BYTES, PhotometryWrong
from coachwright.parts.problem import PartProblem
from coachwright.parts.schema import AnyPart

MOST_FILES = 40
"""Of one part: every colour of every head of a long bar could have its own."""

MOST_BYTES_TOGETHER = 4 * MOST_BYTES
"""Of one part; and ten times that of a whole folder of parts."""

MOST_BYTES_OF_FOLDER = 10 * MOST_BYTES_TOGETHER


@dataclass(frozen=True, slots=True)
class Beside:
    """A file beside a part. shown : as marks show it. content : None when it can't be had, and then `why`."""

    name: str
    shown: str
    content: bytes | None
    why: str = ""


def content_of(path: Path, *, within: Path | None = None) -> bytes:
    """The bytes of an ordinary file of bounded size.

    Parameters
    ----------
    within : the folder it may not lead out of, through links either; None where the lead named the path.

    Raises
    ------
    PhotometryWrong : it isn't there, leads out, is no ordinary file, or is too large.
    """
    try:
        real = Path(os.path.realpath(path))
        if within is not None and not real.is_relative_to(os.path.realpath(within)):
            raise _not_beside("It is a link that leads out of the folder of parts.")
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)  # a pipe without a writer would be waited for
        with os.fdopen(os.open(real, flags), "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                raise _not_beside("It is no ordinary file.")
            content = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "no such name"
        raise _not_beside(f"It can't be read: {why.lower()}.") from None
    if len(content) > MOST_BYTES:
        why = f"It is longer than {MOST_BYTES:,} bytes."
        raise PhotometryWrong("PRT-080", "photometry-too-large", why, write="Measure at fewer angles.")
    return content


def _not_beside(why: str) -> PhotometryWrong:
    write = "Put the file into the folder of the part and write its bare name."
    return PhotometryWrong("PRT-100", "photometry-not-beside", why, write=write)


def files_named(part: AnyPart) -> tuple[str, ...]:
    """Names of the photometric files of a part, each once, in the order of the part."""
    named = (output.photometry.file for output in _outputs(part) if output.photometry is not None)
    return tuple(dict.fromkeys(named))


def files_beside(
    names: Iterable[str], folder: Path, *, within: Path, shown: str = "", most_bytes: int = MOST_BYTES_TOGETHER
) -> tuple[Beside, ...]:
    """Read the named files of `folder`.

    within : the whole folder of parts. shown : what marks call the folder; as it is when empty.
    most_bytes : how many are read together; the file that goes beyond them is the last.
    """
    found, together = [], 0
    for number, name in enumerate(names):
        path = folder / name
        label = f"{shown}/{name}" if shown else str(path)
        try:
            if number >= MOST_FILES or together > min(most_bytes, MOST_BYTES_TOGETHER):
                raise _not_beside(f"More than {MOST_FILES} files of one part, or too large ones together, aren't read.")
            content = content_of(path, within=within)
        except PhotometryWrong as wrong:
            found.append(Beside(name, label, None, wrong.why))
        else:
            together += len(content)
            found.append(Beside(name, label, content))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Measured:
    """A part with the light of its files. problems : at places of the part; findings : at places of the files."""

    part: AnyPart
    problems: tuple[PartProblem, ...]
    findings: tuple[Finding, ...]


def measured(part: AnyPart, beside: Iterable[Beside]) -> Measured:
    """Put the light of its files into a part. With an error among the answers the part can't be used."""
    files, findings = _read({each.name: each for each in beside})
    problems: list[PartProblem] = []

    def lit(colours: Mapping[ColourName, ColourOutput], path: tuple[str, ...]) -> dict[ColourName, ColourOutput]:
        return {colour: _lit(output, (*path, colour), files, problems) for colour, output in colours.items()}

    if isinstance(part, LampPart):
        own = lit(part.colours, ("colours",))
        heads = tuple(
            head.model_copy(
                update={
                    "colours": own
                    if head.colours == part.colours
                    else lit(head.colours, ("heads", str(number), "colours"))
                }
            )
            for number, head in enumerate(part.heads, start=1)
        )
        part = part.model_copy(update={"colours": own, "heads": heads})
    elif isinstance(part, BodyPart):
        lamps = {
            name: lamp.model_copy(
                update={
                    "heads": tuple(
                        head.model_copy(
                            update={"colours": lit(head.colours, ("lamps", name, "heads", str(number), "colours"))}
                        )
                        for number, head in enumerate(lamp.heads, start=1)
                    )
                }
            )
            for name, lamp in part.lamps.items()
        }
        part = part.model_copy(update={"lamps": lamps})
    return Measured(part, tuple(dict.fromkeys(problems)), findings)


def _outputs(part: AnyPart) -> Iterator[ColourOutput]:
    if isinstance(part, LampPart):
        yield from part.colours.values()
        for head in part.heads:
            yield from head.colours.values()
    elif isinstance(part, BodyPart):
        for lamp in part.lamps.values():
            for spot in lamp.heads:
                yield from spot.colours.values()


def _read(beside: Mapping[str, Beside]) -> tuple[dict[str, PhotometricFile | str], tuple[Finding, ...]]:
    """By name, what a file says, or in a sentence why it says nothing; and what is wrong in the files."""
    files: dict[str, PhotometricFile | str] = {}
    findings: list[Finding] = []
    for name, each in beside.items():
        if each.content is None:
            files[name] = each.why
            continue
        try:
            file = read_photometric(each.content, name=name)
        except PhotometryWrong as wrong:
            findings.append(refusal_of(wrong, shown=each.shown))
            files[name] = ""
        else:
            files[name] = file
            findings += warnings_of(file, shown=each.shown)
    return files, tuple(findings)


def _lit(
    output: ColourOutput,
    path: tuple[str, ...],
    files: Mapping[str, PhotometricFile | str],
    problems: list[PartProblem],
) -> ColourOutput:
    said = output.photometry
    if said is None:
        return output
    here = (*path, "photometry")
    file = files.get(said.file, "It isn't there.")
    if isinstance(file, str):
        if file:  # what is wrong within the file is told at the file
            write = "Put the file into the folder of the part and write its bare name."
            problems.append(PartProblem(here, "PRT-100", "photometry-not-beside", f"{said.file}: {file}", write))
        return output
    found = len(problems)
    problems += _standing(said, file.table, here)
    if len(problems) > found:
        return output
    plane = said.front_plane if said.stands == "upright" else said.top_plane
    table = type_a_table(file.table, Stand(upright=said.stands == "upright", plane_rad=plane or 0.0))
    flux = lumens(table)
    allowed = tolerances().part_flux_share
    if output.flux > 0 and abs(flux / output.flux - 1.0) > allowed:
        why = f"The sheet says {output.flux:,.0f} lm, the candela of {said.file} sum up to {flux:,.0f} lm."
        write = "See which of the two is this colour of this head; the file is used."
        problems.append(PartProblem((*path, "flux"), "PRT-104", "flux-not-as-measured", why, write, severity="warning"))
    return output.model_copy(update={"measured": table, "flux": flux})


def _standing(said: Photometry, table: PhotometricTable, here: tuple[str, ...]) -> Iterator[PartProblem]:
    """How the lamp stood has to be said where the file can't say it, and only there."""
    if table.goniometer != "C":
        if said.stands is not None:
            why = f"{said.file} is of type {table.goniometer}, measured about the direction in which the lamp looks."
            yield PartProblem(here, "PRT-102", "orientation-not-due", why, "Leave stands and the plane away.")
        return
    if said.stands is None:
        why = f"{said.file} is of type C, and it isn't said how the lamp stood while it was measured."
        write = "Write {file: ..., stands: face-down} if it looked straight down, stands: upright if as on the vehicle."
        yield PartProblem(here, "PRT-103", "standing-not-said", why, write)
        return
    plane, word = (said.front_plane, "front-plane") if said.stands == "upright" else (said.top_plane, "top-plane")
    if plane is None and not _rotational(table):
        what = "it looks" if said.stands == "upright" else "its top lies"
        why = f"{said.file} differs from plane to plane, and it isn't said in which of them {what}."
        write = f"Write {word}: and the C angle from the report, like {word}: 90 deg."
        yield PartProblem(here, "PRT-103", "standing-not-said", why, write)


def _rotational(table: PhotometricTable) -> bool:
    spread = table.candela_cd.max(axis=1) - table.candela_cd.min(axis=1)
    return bool(spread.max() <= 1e-6 * table.peak_cd)
