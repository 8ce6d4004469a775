"""Where a figure comes from, and how sure we are that it stands there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

CiteStatus = Literal["read", "draft", "house", "contract"]
"""read: checked against the printed page; draft: not checked; house: the shop's own word; contract: the customer's."""


@dataclass(frozen=True, slots=True)
class Cite:
    """Source of one figure.

    Parameters
    ----------
    source : title of the standard, law, sheet or custom. Never empty: a figure whose source is unnamed proves nothing.
    edition, clause : as printed there; empty when there is none.
    checked_on : ISO date on which somebody read the page; None keeps the figure draft.
    checked_by : who read it.
    status : see `CiteStatus`. `read` needs `checked_on`.
    """

    source: str
    edition: str = ""
    clause: str = ""
    checked_on: str | None = None
    checked_by: str = ""
    status: CiteStatus = "draft"

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise ValueError("a cite needs the name of its source")
        if self.status == "read" and not self.checked_on:
            raise ValueError(f"{self.source}: a figure counts as read only with the date on which the page was read")

    @property
    def is_draft(self) -> bool:
        return self.status == "draft"

    def __str__(self) -> str:
        return ", ".join(part for part in (self.source, self.edition, self.clause) if part)
