"""Which papers are there? Every maker by the name a lead asks for it with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from coachwright.papers.drawings import drawing_set
from coachwright.papers.operator import operator_card
from coachwright.papers.proofbook import proof_book

if TYPE_CHECKING:
    from coachwright.proof.verdict import Verdict

PAPERS: Mapping[str, Callable[[Verdict], bytes]] = {
    "proof-book": proof_book,
    "drawings": drawing_set,
    "operator-card": operator_card,
}
"""Each is called with a verdict and gives the bytes of a PDF; its file is its name with .pdf."""
