"""One thing the lead should know, with its place, its reason and its mend."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from coachwright.kit.cite import Cite
from coachwright.kit.mark import Mark

Severity = Literal["error", "warning", "note"]
"""error stops delivery; warning is to be read; note is only told."""

FixKind = Literal["safe", "ask", "show-only"]


@dataclass(frozen=True, slots=True)
class Edit:
    """Put `text` in the place of what stands at build path `path`, or delete it when text is None.

    path : dotted, or its pieces where a name has a dot in it. on_key : `text` is a new name for the entry.
    """

    path: str | tuple[str, ...]
    text: str | None
    on_key: bool = False


@dataclass(frozen=True, slots=True)
class Fix:
    """A sentence that says what to write and, where it could be computed, the edits that do it."""

    sentence: str
    edits: tuple[Edit, ...] = ()
    kind: FixKind = "show-only"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number that still knows its unit kind; the face prints it."""

    value: float
    kind: str
    unit: str = ""


FindingValue = str | int | float | Quantity


@dataclass(frozen=True, slots=True)
class Finding:
    """Something found, in words a template and values; the face formats it.

    Parameters
    ----------
    code : who says so + number (``BLD-004``); never reused.
    name : the wrong thing in two to four words (``angle-without-unit``).
    template : sentence with ``{name}`` fields filled from `values` by look.cells; no blame, no exclamation mark.
    about : build path (parents follow from it); empty when it is about the whole file.
    where : marks, most fixable first.
    value, limit, margin : of the rule that failed, where there is one.
    story : lines a person can act out, for findings of control.
    """

    code: str
    name: str
    severity: Severity
    template: str
    values: Mapping[str, FindingValue] = field(default_factory=dict)
    about: str = ""
    where: tuple[Mark, ...] = ()
    value: Quantity | None = None
    limit: Quantity | None = None
    margin: Quantity | None = None
    cite: Cite | None = None
    fix: Fix | None = None
    story: tuple[str, ...] = ()

    def at(self, *marks: Mark) -> Finding:
        return replace(self, where=marks)

    @property
    def parents(self) -> tuple[str, ...]:
        """Build paths above `about`, nearest first."""
        pieces = self.about.split(".")
        return tuple(".".join(pieces[:count]) for count in range(len(pieces) - 1, 0, -1))

    def sort_key(self) -> tuple[object, ...]:
        first = self.where[0] if self.where else Mark("~", 10**9, 0)
        return (first, self.code, self.about, self.template)
