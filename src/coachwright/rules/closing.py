"""How is a clause closed: by what a room measures, at the bench, by a photo, or by somebody's signature?

What no room can measure stays open until there is a record of it. A clause never closes because nobody looked.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, get_args

from coachwright.rules.limit import LIMIT_WORDS, Limit, read_expected

ClosedBy = Literal["measure", "bench", "photo", "signature"]
"""measure: a room works it out. bench: somebody reads an instrument. photo: of the thing. signature: of a person."""

WAYS: tuple[ClosedBy, ...] = get_args(ClosedBy)

_OWN_FIELDS: Mapping[str, tuple[str, ...]] = {
    "measure": ("measure", "kind", "with", "applies", "near", "test-voltage", "under-faults", *LIMIT_WORDS),
    "bench": ("step", "kind", "expect", "tolerance"),
    "photo": ("photo-of",),
    "signature": ("signed-by",),
}
"""Fields of a rule that say how its clause is closed."""

_DUE: Mapping[str, tuple[str, ...]] = {
    "measure": ("measure", "kind"),
    "bench": ("step", "kind", "expect"),
    "photo": ("photo-of",),
    "signature": ("signed-by",),
}

_EXACT = frozenset({"word", "yes-no", "count"})
"""Kinds whose reading needs no tolerance."""


class ClosingError(ValueError):
    """A clause that does not say how it is closed. `at` is the field, `write` what to put there."""

    def __init__(self, name: str, why: str, *, at: str = "", write: str = "") -> None:
        super().__init__(why)
        self.name, self.at, self.write = name, at, write


def check_closing(written: Mapping[str, Any]) -> ClosedBy:
    """The way a rule says its clause is closed, once its fields are those of that way.

    Raises
    ------
    ClosingError : a word that is no way, a field that is lacking, or one that belongs to another way.
    """
    said = written.get("closed-by", "measure")
    way = next((each for each in WAYS if each == said), None)
    if way is None:
        raise ClosingError(
            "closing-not-known", f"A clause isn't closed by {str(said)[:40]}.", at="closed-by", write=f"{_listed()}."
        )
    lacking = next((field for field in _DUE[way] if field not in written), "")
    if lacking and way == "measure":
        raise ClosingError("field-missing", f"{lacking} is missing", at=lacking, write=_other_ways(lacking))
    if lacking:
        raise ClosingError(
            "closing-not-whole", f"A clause closed by {way} says {lacking}, and this one doesn't.", write=_EXAMPLES[way]
        )
    own = _OWN_FIELDS[way]
    strange = next((field for field in written if field in _ALL_FIELDS and field not in own), "")
    if strange:
        raise ClosingError(
            "closing-mixed",
            f"{strange} does not belong to a clause that is closed by {way}.",
            at=strange,
            write=f"Leave it out, or write another closed-by. {_EXAMPLES[way]}",
        )
    if way == "bench" and "tolerance" not in written and written.get("kind") not in _EXACT:
        raise ClosingError(
            "closing-not-whole",
            "A number read at the bench needs its tolerance, or nobody can say when it agrees.",
            write="Write tolerance: 0.2 V, or a percentage of what is expected.",
        )
    return way


def closing_limit(way: ClosedBy, written: Mapping[str, Any]) -> Limit:
    """What a record has to hold for a clause that is not closed by a measure.

    Raises
    ------
    LimitError : the expected reading or its tolerance can't be read.
    """
    if way == "bench":
        return read_expected(written["expect"], kind=str(written["kind"]), tolerance=written.get("tolerance"))
    return Limit("must-be", truth=True, written="yes")


def _listed() -> str:
    return f"Write {', '.join(WAYS[:-1])} or {WAYS[-1]}"


def _other_ways(lacking: str) -> str:
    return "A clause no room can measure says closed-by: bench, photo or signature." if lacking == "measure" else ""


_ALL_FIELDS = frozenset(field for fields in _OWN_FIELDS.values() for field in fields)
_EXAMPLES: Mapping[str, str] = {
    "measure": "Write measure, kind and one limit.",
    "bench": "Write step, kind, expect and tolerance.",
    "photo": "Write photo-of: the load label in the door opening.",
    "signature": "Write signed-by: customer, shop, inspector or whoever it is.",
}
