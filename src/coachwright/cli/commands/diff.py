"""Say in words what differs: two builds, or two vehicles of one build.

diff OLD NEW compares two builds; diff BUILD --serial 1 --with 3 two vehicles of one. What they do is proved alike, or
a short story tells them apart. What can't be understood yet is compared as it is written. Ends with 0 when nothing
differs, 1 when something does, 2 when a file can't be read.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json
from coachwright.kit.counted import counted
from coachwright.kit.errors import CoachwrightError

if TYPE_CHECKING:
    from coachwright.build.diff import Difference
    from coachwright.control.alike import Alike

MOST_FIGURES = 4
"""Of the body that are told one by one: an order of the vehicle changes many at once."""

app = command_app("diff", __doc__)


@app.default
def run(
    old: Path,
    new: Path | None = None,
    *,
    serial: int | None = None,
    with_: Annotated[int | None, Parameter(name="--with")] = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Compare two builds.

    Parameters
    ----------
    old : a build file, or the folder it lies in.
    new : the other one; the same build when left out.
    serial : number of the vehicle of the first build; its base without it.
    with_ : number of the vehicle of the other build. Without it the same as --serial where two builds are compared.
    as_json : print JSON.
    """
    if new is None and serial is None and with_ is None:
        raise CoachwrightError("Name a second build, or two vehicles: diff BUILD --serial 1 --with 3.")
    first = existing_build(old)
    second = existing_build(new) if new is not None else first
    other = with_ if with_ is not None or new is None else serial
    found, behaviour = _compared((first, serial), (second, other))
    if as_json:
        from coachwright.look.behaviour import behaviour_json

        print_json(
            {
                "understood": behaviour is not None,
                "differences": [_json(each) for each in found],
                "behaviour": behaviour_json(behaviour) if behaviour is not None else None,
            }
        )
    else:
        for line in _lines(found, behaviour=behaviour):
            print(line)
    return 1 if found else 0


def _compared(*sides: tuple[Path, int | None]) -> tuple[tuple[Difference, ...], Alike | None]:
    from coachwright.build.diff import differences, text_differences
    from coachwright.build.load import load_build
    from coachwright.parts.store import load_catalogue

    old, new = (
        load_build(path, catalogue=load_catalogue(shop_folder=path.parent / "parts"), serial=serial)
        for path, serial in sides
    )
    if old.model is not None and new.model is not None:
        from coachwright.control.alike import alike

        return differences(old.model, new.model), alike(old.model, new.model)
    for each, (path, _) in zip((old, new), sides, strict=True):
        if each.model is None:
            errors_n = sum(finding.severity == "error" for finding in each.findings)
            print(f"{path} can't be understood yet: {errors_n} to mend (coachwright check).", file=sys.stderr)
    return text_differences(old.document.plain, new.document.plain), None


def _lines(found: tuple[Difference, ...], *, behaviour: Alike | None) -> list[str]:
    from coachwright.build.diff_table import SECTIONS
    from coachwright.look.quote import plain

    if not found:
        return ["Nothing differs."]
    if behaviour is None:
        return ["As it is written:", *(f"  {plain(each.sentence)}." for each in found)]
    lines: list[str] = []
    for section, title in SECTIONS.items():
        told = [each for each in found if each.section == section]
        if told:
            figures = [each for each in told if each.about.startswith("body.")]
            lines += [title, *(f"  {plain(_begun(each.sentence))}." for each in figures[:MOST_FIGURES])]
            if len(figures) > MOST_FIGURES:
                lines.append(f"  And {len(figures) - MOST_FIGURES} more figures of the body (--json has them all).")
            lines += [f"  {plain(_begun(each.sentence))}." for each in told if each not in figures]
            lines.append("")
    from coachwright.look.behaviour import behaviour_lines

    lines += [*behaviour_lines(behaviour), ""]
    count = counted(len(found), "difference")
    return [*lines, f"{count}."]


def _begun(sentence: str) -> str:
    """Names keep their small letters; words of ours begin large."""
    return sentence[0].upper() + sentence[1:] if sentence.startswith(("the ", "vehicle ")) else sentence


def _json(each: Difference) -> dict[str, Any]:
    return {
        "section": each.section,
        "about": each.about,
        "change": each.change,
        "old": each.old,
        "new": each.new,
        "sentence": each.sentence,
    }
