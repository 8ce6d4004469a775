"""How does a paper become a PDF? Data and pictures go into a template of typst; no file is ever markup.

What people wrote goes in as JSON and is set as text; only our own templates are read as typst. Type comes from a
package by path, the date from the verdict: the same input gives the same bytes on every machine.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from coachwright.kit.errors import CoachwrightError
from coachwright.look import style

_FONT_FILES = ("Regular", "It", "Semibold", "Bold")


class PaperNotMade(CoachwrightError):
    """A paper could not be set. A fault of the program, not of the build."""


def set_paper(template: str, data: Mapping[str, Any], *, day: str) -> bytes:
    """The PDF of one paper.

    Parameters
    ----------
    template : name of a template of ours in this folder, e.g. ``proofbook.typ``.
    data : what it prints: text, lists and tables; pictures as SVG text.
    day : ISO date that stands in the file as its date.

    Raises
    ------
    PaperNotMade : typst refuses the template, or the typeface is missing.
    """
    import typst

    said = json.dumps({**data, "look": _look()}, ensure_ascii=False, allow_nan=False)
    source = _template("paper.typ") + _template(template)
    try:
        made = typst.compile(
            source.encode(),
            format="pdf",
            font_paths=_fonts(),
            sys_inputs={"data": said},
            timestamp=datetime.combine(date.fromisoformat(day), datetime.min.time(), tzinfo=UTC),
        )
    except (typst.TypstError, RuntimeError) as error:
        raise PaperNotMade(f"{template} could not be set: {error}. This is a fault of the program.") from error
    if not isinstance(made, bytes):
        raise PaperNotMade(f"{template} gave no single PDF. This is a fault of the program.")
    return made


@cache
def _fonts() -> Any:
    """The typeface of papers and what typst brings along; none of the machine's own."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(font_folder())])


@cache
def font_folder() -> Path:
    """Where the files of the paper's typeface lie.

    Raises
    ------
    PaperNotMade : the package that carries it is not installed whole.
    """
    import font_source_sans_pro

    folder = Path(font_source_sans_pro.font_directory)
    files = tuple(folder / f"SourceSansPro-{name}.ttf" for name in _FONT_FILES)
    lacking = [path.name for path in files if not path.is_file()]
    if lacking:
        raise PaperNotMade(f"The typeface of the papers is not whole: {', '.join(lacking)} is missing.")
    return folder


def _template(name: str) -> str:
    return resources.files("coachwright.papers").joinpath(name).read_text(encoding="utf-8")


def _look() -> dict[str, Any]:
    """Colours and sizes of look.style, for the templates."""
    return {
        "ink": style.INK,
        "quiet": style.QUIET,
        "rule": style.RULE_LINE,
        "accent": style.ACCENT,
        "size": dict(style.TYPE_PT),
    }
