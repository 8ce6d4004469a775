"""What does this photometric file say, and is it to be believed? LM-63, EULUMDAT and candela tables, by their ending.

See Also
--------
coachwright.parts.ies, coachwright.parts.eulumdat, coachwright.parts.candela_csv : the three layouts.
coachwright.parts.beside : where a part's file may lie.
"""

from __future__ import annotations

from collections.abc import Callable

from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.parts.candela_csv import read_candela_csv
from coachwright.parts.eulumdat import read_eulumdat
from coachwright.parts.ies import read_ies
from coachwright.parts.photometric_file import PhotometricFile
from coachwright.parts.photometric_limits import tolerances
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import Oddity, PhotometryWrong, text_of

READERS: dict[str, Callable[[str], PhotometricFile]] = {
    ".ies": read_ies,
    ".ldt": read_eulumdat,
    ".csv": read_candela_csv,
}
"""By the ending of the name."""


def read_photometric(content: bytes, *, name: str) -> PhotometricFile:
    """Read the bytes of one file; `name` tells the layout by its ending.

    Raises
    ------
    PhotometryWrong : it can't be used; with code, line and column.
    """
    ending = name[name.rfind(".") :].lower() if "." in name else ""
    reader = READERS.get(ending)
    if reader is None:
        raise PhotometryWrong(
            "PRT-082",
            "photometric-layout-not-known",
            f"A file {f'that ends in {ending}' if ending else 'without an ending'} isn't read as photometry.",
            write=f"Name it for its layout: {', '.join(READERS)}.",
        )
    return reader(text_of(content))


def doubts(file: PhotometricFile) -> tuple[Oddity, ...]:
    """Everything odd about a file: what its reader met, and what it declares against the sum of its candela."""
    return (*file.oddities, *_declared(file))


def _declared(file: PhotometricFile) -> tuple[Oddity, ...]:
    declared = file.declared_lm
    if declared is None:
        return ()
    allowed, found = tolerances(), flux_lm(file.table)
    share = found / declared
    stated = 1.0 if file.declared_of == "through the lens" else file.output_share
    why = ""
    if file.declared_of == "lamps" and share > 1.0 + allowed.gain_share:
        why = f"Its candela sum up to {found:,.0f} lm, but its lamps give only {declared:,.0f} lm."
    elif stated is not None and abs(share / stated - 1.0) > allowed.stated_output_share:
        why = f"Its candela sum up to {found:,.0f} lm, but it declares {declared * stated:,.0f} lm through the lens."
    elif stated is None and share < allowed.least_output_share:
        why = f"Its candela sum up to {found:,.0f} lm, {share:.0%} of the {declared:,.0f} lm its lamps give."
    return (Oddity("PRT-099", "lumens-not-as-declared", f"{why} One of the two is wrong."),) if why else ()


def warnings_of(file: PhotometricFile, *, shown: str) -> tuple[Finding, ...]:
    """`doubts` as findings; `shown` is the file's name in marks."""
    return tuple(
        Finding(
            each.code,
            each.name,
            "warning",
            "{why}",
            {"why": each.why},
            where=(Mark(shown, each.line, each.column),),
            fix=Fix("Ask the laboratory, or mend the file."),
        )
        for each in doubts(file)
    )


def refusal_of(wrong: PhotometryWrong, *, shown: str) -> Finding:
    """A file that can't be used, as a finding."""
    return Finding(
        wrong.code,
        wrong.name,
        "error",
        "{why}",
        {"why": wrong.why},
        where=(Mark(shown, wrong.line, wrong.column),),
        fix=Fix(wrong.write) if wrong.write else None,
    )
