"""Does what is carried, stuck on, bolted or done hold together? Consoles, lockers, films, fasteners, labour."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coachwright.parts.body_pieces_checks import gear_problems
from coachwright.parts.carried import ConsolePart, ItemPart, LockerPart, MountPart, SizedPart, TrayPart
from coachwright.parts.finish import FastenerPart, FilmPart, PanePart
from coachwright.parts.problem import PartProblem, above_nothing, doubt, not_below_nothing
from coachwright.parts.work import LabourPart

_THREAD = re.compile(
    r"M[0-9]{1,2}(?:\.[0-9])?(?:x[0-9](?:\.[0-9]{1,2})?)?"
    r"|#[0-9]{1,2}(?:-[0-9]{2})?"
    r"|[0-9]/[0-9]{1,2}(?:-[0-9]{2})?"
    r"|[0-9]{1,2}(?:\.[0-9]{1,2})? mm"
)
_ROUNDING_M = 1e-3


def carried_problems(part: ConsolePart | TrayPart | LockerPart | MountPart | ItemPart) -> Iterator[PartProblem]:
    """Everything in what is carried that can't be so, or is worth a second look, in the order of the file."""
    yield from above_nothing(part, "length", "width", "height")
    match part:
        case ConsolePart():
            yield from _console(part)
        case TrayPart():
            yield from above_nothing(part, "load", "travel")
        case LockerPart():
            yield from above_nothing(part, "volume", "load")
            yield from _volume(part, part.volume)
        case MountPart():
            yield from above_nothing(part, "load")
            yield from not_below_nothing(part, "restraint")
            for name, piece in part.pieces.items():
                yield from gear_problems(("pieces", name), piece)
        case ItemPart():
            yield from not_below_nothing(part, "volume")
            yield from _volume(part, part.volume)


def film_problems(part: FilmPart) -> Iterator[PartProblem]:
    """Everything in a film that can't be so."""
    yield from above_nothing(part, "width", "roll")
    yield from not_below_nothing(part, "stripe")
    if part.use == "marking" and not part.colours:
        yield _missing("colours", "A film that marks has a colour.", "Write colours: [red, white].")
    if part.use == "glass" and part.transmittance is None:
        yield _missing("transmittance", "A film on glass lets through a share of the light.", "Write it like 35 %.")
    if part.use == "marking" and part.transmittance is not None:
        why = "Only a film on glass lets light through."
        yield PartProblem(("transmittance",), "PRT-058", "figure-not-due", why, "Take it away.", on_key=True)
    if part.transmittance is not None and not 0 < part.transmittance <= 1:
        why = "A film lets through more than nothing, at most all."
        yield PartProblem(("transmittance",), "PRT-043", "figure-not-possible", why)


def pane_problems(part: PanePart) -> Iterator[PartProblem]:
    """Everything in a pane that can't be so."""
    yield from above_nothing(part, "thickness", "width", "height")
    if not 1.0 < part.index < 4.0:
        yield PartProblem(("index",), "PRT-043", "figure-not-possible", "Glass bends light 1.3 to 2 times.")
        return
    most = 2.0 * part.index / (part.index**2 + 1.0)  # both faces, straight on, all bounces: Fresnel
    if not 0.0 < part.transmittance <= most + 0.005:
        why = f"A pane lets through more than nothing, and clear glass of index {part.index:g} {100 * most:.1f} %."
        yield PartProblem(("transmittance",), "PRT-043", "figure-not-possible", why)
    elif part.marked in ("AS-1", "AS-2") and part.transmittance < 0.70:
        yield doubt(
            ("marked",),
            f"It is marked {part.marked} and lets {100 * part.transmittance:.0f} % through.",
            "Glass so marked lets 70 % through at least (ANSI/SAE Z26.1). Look at the etching again.",
        )


def fastener_problems(part: FastenerPart) -> Iterator[PartProblem]:
    """Everything in a fastener that can't be so."""
    yield from not_below_nothing(part, "length", "grip", "torque", "proof", "shear")
    if not _THREAD.fullmatch(part.thread):
        why = f"{part.thread[:20]} is no thread."
        yield PartProblem(("thread",), "PRT-059", "size-not-read", why, "Write it like M6, 1/4-20, #10-24 or 4.8 mm.")
    if part.what in ("bolt", "nut") and not part.strength_class:
        yield _missing("strength-class", "A bolt or nut is stamped with its class.", "Write it like 8.8 or grade 5.")


def labour_problems(part: LabourPart) -> Iterator[PartProblem]:
    """Everything in an operation that can't be so."""
    yield from above_nothing(part, "hours", "people")
    if not 0.5 <= part.learning <= 1:
        why = "The second piece takes at least half the time of the first, and no longer than it."
        yield PartProblem(("learning",), "PRT-043", "figure-not-possible", why, "Write a share like 90 %.")


def _console(part: ConsolePart) -> Iterator[PartProblem]:
    for name, bay in part.bays.items():
        for field in ("length", "depth"):
            if getattr(bay, field) <= 0:
                why = f"A bay has a {field} above nothing."
                yield PartProblem(("bays", name, field), "PRT-043", "figure-not-possible", why)
    taken_m = sum(bay.length for bay in part.bays.values())
    if taken_m > part.face + _ROUNDING_M or part.face > part.length + _ROUNDING_M:
        yield doubt(
            ("face",),
            f"Its bays take {taken_m * 1000:.0f} mm of a face {part.face * 1000:.0f} mm long, "
            f"the console is {part.length * 1000:.0f} mm long.",
            "Measure the openings again; the bays fit into the face, the face into the console.",
        )


def _volume(part: SizedPart, volume_m3: float) -> Iterator[PartProblem]:
    outside_m3 = part.length * part.width * part.height
    if volume_m3 > outside_m3 > 0:
        yield doubt(
            ("volume",),
            f"It holds {volume_m3 * 1000:.0f} L and is {outside_m3 * 1000:.0f} L from the outside.",
            "Give the volume inside.",
        )


def _missing(field: str, why: str, write: str) -> PartProblem:
    return PartProblem((field,), "PRT-058", "figure-not-given", why, write, on_key=True)
