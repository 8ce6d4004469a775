"""What did a reckoner work out, as text for people and as JSON for programs?"""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass, field
from typing import Any

from coachwright.kit.reckoner import Reckoner, Source, Value

WIDTH = 100
"""Columns of the text."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One result in the unit it is printed in."""

    key: str
    value: Value
    unit: str
    details: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Reckoning:
    """One calculation done.

    Parameters
    ----------
    inputs : (name, as written) of every key; defaults are written out and named in `defaulted`.
    results, notes, sources : see kit.reckoner; `sources` holds those of the reckoner and of this answer.
    """

    reckoner: Reckoner
    inputs: tuple[tuple[str, str], ...]
    results: tuple[Worked, ...]
    notes: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    defaulted: frozenset[str] = field(default_factory=frozenset)

    def value(self, key: str) -> Value:
        """The value of one result, in its printed unit."""
        return next(result.value for result in self.results if result.key == key)

    def as_json(self) -> dict[str, Any]:
        """Name, inputs, results with units, notes and sources: plain dicts, lists, words and finite numbers."""
        return {
            "name": self.reckoner.name,
            "inputs": dict(self.inputs),
            "results": {
                result.key: {"value": _plain(result.value), "unit": result.unit, **dict(result.details)}
                for result in self.results
            },
            "notes": list(self.notes),
            "sources": [
                {"title": source.title, "clause": source.clause, "state": source.state} for source in self.sources
            ],
        }

    def as_text(self) -> str:
        """A page for people."""
        asked = self.reckoner
        width = max(len(name) for name in [*dict(self.inputs), *(result.key for result in self.results), "source"])
        lines = [f"{asked.name} - {asked.title}", ""]
        lines += [*textwrap.indent(asked.formula, "    ").splitlines(), ""]
        for name, text in self.inputs:
            unsaid = "   (default)" if name in self.defaulted else ""
            lines.append(f"  {name:<{width}}  {text}{unsaid}")
        lines.append("")
        for result in self.results:
            bare = result.unit in ("1", "yes/no", "") or _plain(result.value) is None
            shown = figure(result.value) if bare else f"{figure(result.value)} {result.unit}"
            more = "".join(f"   ({name}: {text})" for name, text in result.details)
            lines.append(f"  {result.key:<{width}}  {shown}{more}")
        lines.append("")
        lines += _paragraph("holds", width, asked.valid)
        for note in self.notes:
            lines += _paragraph("note", width, note)
        if asked.caution:
            lines += _paragraph("mind", width, asked.caution)
        for source in self.sources:
            lines += _paragraph("source", width, f"{source} [{source.state}]")
        return "\n".join(lines) + "\n"


def figure(value: Value) -> str:
    """A number with five figures, thousands apart; words as they are."""
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    size = abs(value)
    if size == 0.0:
        return "0"
    if 1e4 <= size < 1e12:
        return f"{value:,.0f}"
    if 1e-4 <= size < 1e4:
        text = f"{value:,.{4 - math.floor(math.log10(size))}f}"
        return text.rstrip("0").rstrip(".")
    mantissa, exponent = f"{value:.4e}".split("e")
    return f"{mantissa.rstrip('0').rstrip('.')}e{int(exponent)}"


def _plain(value: Value) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def _paragraph(label: str, width: int, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=f"  {label:<{width}}  ", subsequent_indent=" " * (width + 4), break_long_words=False
    )
