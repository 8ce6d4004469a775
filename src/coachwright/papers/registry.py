"""Which papers are there? Every maker by the name a lead asks for it with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from coachwright.papers.drawings import drawing_set
from coachwright.papers.operator import operator_card
from coachwright.papers.proofbook import proof_book
from coachwright.papers.seen import what_is_seen

if TYPE_CHECKING:
    from coachwright.proof.verdict import Verdict

PAPERS: Mapping[str, Callable[[Verdict], bytes]] = {
    "proof-book": proof_book,
    "drawings": drawing_set,
    "operator-card": operator_card,
    "what-is-seen": what_is_seen,
}
"""Each is called with a verdict and gives the bytes of a PDF; its file is its name with .pdf."""

ON_LETTER: Mapping[str, Callable[[Verdict], bytes]] = {
    **PAPERS,
    "operator-card": partial(operator_card, size="us-letter"),
}
"""The same, what is made to be carried along on letter paper."""
