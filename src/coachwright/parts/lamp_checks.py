"""Can the light of a lamp be so? Flux, current, beam or file, colour: of lamps and of the lamps a vehicle came with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coachwright.parts.base import ColourName
from coachwright.parts.lamp import Beam, ColourOutput, Photometry
from coachwright.parts.problem import PartProblem

_QUARTER_TURN = 1.5707963267948966
_HALF_TURN = 2 * _QUARTER_TURN


def output_problems(colours: Mapping[ColourName, ColourOutput], path: tuple[str, ...]) -> Iterator[PartProblem]:
    """What can't be so in the light of a head, colour by colour; `path` leads to the colours."""
    for colour, output in colours.items():
        here = (*path, colour)
        for field in ("flux", "current"):
            written = field in output.model_fields_set
            if getattr(output, field) <= 0 and written:
                yield PartProblem(
                    (*here, field), "PRT-043", "figure-not-possible", f"A lamp that burns has a {field} above nothing."
                )
        yield from _light(output, here)
        x, y = output.x, output.y
        if (x or y) and not (x > 0 and y > 0 and x + y <= 1):
            yield PartProblem(
                (*here, "x"),
                "PRT-034",
                "colour-outside-diagram",
                f"x {x:g}, y {y:g} is no light: both are above 0 and together at most 1 (CIE 1931).",
                "Give both from the sheet, or neither.",
            )


def _light(output: ColourOutput, here: tuple[str, ...]) -> Iterator[PartProblem]:
    """Its shape or its file, one of the two."""
    if output.photometry is not None:
        if output.beam is not None:
            yield PartProblem(
                (*here, "beam"),
                "PRT-101",
                "beam-and-photometry",
                "Where light is measured, a beam has nothing to say.",
                "Keep one of the two.",
                on_key=True,
            )
        yield from _standing(output.photometry, (*here, "photometry"))
        return
    if output.beam is None:
        write = "Write beam: and its shape, or photometry: and the file with its candela."
        yield PartProblem(here, "PRT-010", "field-missing", "beam is missing.", write, on_key=True)
    else:
        yield from _beam(output.beam, (*here, "beam"))
    if "flux" not in output.model_fields_set:
        yield PartProblem(
            here, "PRT-010", "field-missing", "flux is missing.", "Write flux: and its value.", on_key=True
        )


def _standing(photometry: Photometry, here: tuple[str, ...]) -> Iterator[PartProblem]:
    for field, other in (("top_plane", "upright"), ("front_plane", "face-down")):
        if getattr(photometry, field) is not None and photometry.stands in {other, None}:
            said = field.replace("_", "-")
            why = (
                f"{said} tells how a lamp stands that was measured {'face down' if other == 'upright' else 'upright'}."
            )
            write = "Write stands: face-down with top-plane, or stands: upright with front-plane."
            yield PartProblem((*here, said), "PRT-102", "orientation-not-due", why, write, on_key=True)


def _beam(beam: Beam, path: tuple[str, ...]) -> Iterator[PartProblem]:
    def no(field: str, why: str, write: str) -> PartProblem:
        return PartProblem((*path, field), "PRT-033", "beam-not-possible", why, write)

    if beam.shape == "cosine":
        if not 0 < beam.power <= 400:
            yield no("power", "The power of a cosine beam lies between 0 and 400.", "1 is a plain diffuse face.")
        return
    if not 0 < beam.half_width <= _HALF_TURN:
        yield no(
            "half-width", "A beam is wider than nothing and at most 180 deg to each side.", "Write it like 30 deg."
        )
    if not 0 < beam.half_height <= _QUARTER_TURN:
        yield no("half-height", "A beam is higher than nothing and at most 90 deg up and down.", "Write it like 8 deg.")
    if beam.shape == "flat" and not 0 < beam.shoulder <= 2 * min(beam.half_width, beam.half_height):
        yield no(
            "shoulder",
            "The shoulder is wider than nothing and fits into the plateau.",
            "Write at most twice the half-height.",
        )
