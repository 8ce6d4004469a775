"""Single calculations: how much light does a photometric file hold, and is it to be believed?"""

from __future__ import annotations

from pathlib import Path

from coachwright.kit.reckoner import FILE, TEXT, InputRefused, Outcome, Result, Source, Value, one, reckoner
from coachwright.parts.beside import content_of
from coachwright.parts.photometric_file import PhotometricFile
from coachwright.parts.photometric_grid import type_a_table
from coachwright.parts.photometric_read import doubts, read_photometric
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import PhotometryWrong, printable
from coachwright.parts.photometry import height_at, width_at

_HALF, _TENTH = 0.5, 0.1


@reckoner(
    room="light",
    name="photometry",
    title="Light in a photometric file: LM-63 (.ies), EULUMDAT (.ldt) or candela table (.csv)",
    keys=(one("file", FILE, "name of the file, from the folder you stand in", example="corner-lamp.ies"),),
    results=(
        Result("layout", "", TEXT, "edition of the layout"),
        Result("goniometer", "", TEXT, "type A, B or C"),
        Result("lumens", "lm", "luminous-flux", "what its candela sum up to"),
        Result("declared_lumens", "lm", "luminous-flux", "lamps times lumens as written; none where absolute"),
        Result("output_ratio", "%", "share", "lumens against those declared"),
        Result("peak", "cd", "luminous-intensity", "largest candela"),
        Result("nadir", "cd", "luminous-intensity", "toward gamma 0 (type C), or H = V = 0 (types A and B)"),
        Result("beam_width", "deg", "angle", "in plan through the peak, to half of it"),
        Result("beam_height", "deg", "angle", "up and down through the peak, to half of it"),
        Result("field_width", "deg", "angle", "in plan, to a tenth of the peak"),
        Result("field_height", "deg", "angle", "up and down, to a tenth of the peak"),
        Result("warnings", "", TEXT, "what is odd about the file; each is told in a note"),
    ),
    formula="lumens = integral of I over solid angle, I bilinear between the angles of the file, exact in each cell\n"
    "candela = value x multiplier x ballast factors (LM-63);  value x factor x lumens / 1000 (EULUMDAT)",
    valid="Between its angles a file says nothing: on 5 deg steps a beam of 30 deg comes out within 1 %. Widths are "
    "type A angles; type C is taken face down with its plane C 0 up.",
    sources=(
        Source("ANSI/IESNA LM-63-02", "clause 3.0; the layout of its numbers from memory", "second-hand"),
        Source("A. W. Stockmar, EULUMDAT/2, CIBSE National Lighting Conference 1998", "pp. 353-362", "second-hand"),
    ),
    caution="A file is as good as its laboratory. Which light a vehicle may show, local law decides.",
)
def photometry(*, file: str) -> Outcome:
    """Read one file and sum it up."""
    try:
        read = read_photometric(content_of(Path(file)), name=file)
    except PhotometryWrong as wrong:
        line = f"{wrong.line}:{wrong.column}: " if (wrong.line, wrong.column) != (1, 1) else ""
        write = "Name a file that is there." if wrong.code == "PRT-100" else wrong.write
        raise InputRefused(f"photometry: 'file={printable(file, 80)}': {line}{wrong.why} {write}".rstrip()) from None
    odd = doubts(read)
    notes = tuple(f"{each.name}, line {each.line}: {each.why}" for each in odd)
    return Outcome({**_figures(read), "warnings": ", ".join(dict.fromkeys(each.name for each in odd)) or None}, notes)


def _figures(read: PhotometricFile) -> dict[str, Value]:
    lumens, seen = flux_lm(read.table), type_a_table(read.table)
    declared = read.declared_lm
    return {
        "layout": read.layout,
        "goniometer": f"type {read.table.goniometer}",
        "lumens": lumens,
        "declared_lumens": declared,
        "output_ratio": lumens / declared if declared else None,
        "peak": read.table.peak_cd,
        "nadir": read.table.axis_cd,
        "beam_width": width_at(seen, _HALF),
        "beam_height": height_at(seen, _HALF),
        "field_width": width_at(seen, _TENTH),
        "field_height": height_at(seen, _TENTH),
    }
