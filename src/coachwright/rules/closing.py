"""How is a clause closed: by what a room measures, at the bench, by a photo, or by somebody's signature?

What no room can measure stays open until there is a record of it. A clause never closes because nobody looked.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, get_args

from coachwright.rules.limit import LIMIT_WORDS, Limit, read_expected, read_limit

ClosedBy = Literal["measure", "bench", "photo", "signature"]
"""measure: a room works it out. bench: somebody reads an instrument. photo: of the thing. signature: of a person."""

WAYS: tuple[ClosedBy, ...] = get_args(ClosedBy)

_OWN_FIELDS: Mapping[str, tuple[str, ...]] = {
    "measure": ("measure", "kind", "with", "applies", "near", "test-voltage", "under-faults", *LIMIT_WORDS),
    "bench": ("step", "kind", "expect", "tolerance", "near", *LIMIT_WORDS),
    "photo": ("photo-of",),
    "signature": ("signed-by",),
}
"""Fields of a rule that say how its clause is closed."""

_DUE: Mapping[str, tuple[str, ...]] = {
    "measure": ("measure", "kind"),
    "bench": ("step", "kind"),
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
    if way == "bench":
        _check_reading(written)
    return way


def _check_reading(written: Mapping[str, Any]) -> None:
    """A reading has an expected value with its tolerance, or a limit; not both."""
    limits = [word for word in LIMIT_WORDS if word in written]
    if "expect" not in written and not limits:
        why = "A clause closed by bench says what has to be read, and this one doesn't."
        raise ClosingError("closing-not-whole", why, write=_EXAMPLES["bench"])
    stray = next((field for field in ("expect", "tolerance") if limits and field in written), "")
    if stray:
        why = f"{stray} and {limits[0]}: a reading has an expected value or a limit."
        raise ClosingError("closing-mixed", why, at=stray, write="Leave one of them out.")
    if not limits and "tolerance" not in written and written.get("kind") not in _EXACT:
        why = "A number read at the bench needs its tolerance, or nobody can say when it agrees."
        write = "Write tolerance: 0.2 V, or a percentage of what is expected; or a limit such as at-most."
        raise ClosingError("closing-not-whole", why, write=write)


def closing_limit(way: ClosedBy, written: Mapping[str, Any]) -> Limit:
    """What a record has to hold for a clause that is not closed by a measure.

    Raises
    ------
    LimitError : the expected reading, its tolerance or its limit can't be read, or there are two limits.
    """
    kind, near = str(written.get("kind", "")), written.get("near", "")
    limits: dict[str, object] = {word: written[word] for word in LIMIT_WORDS if word in written}
    if limits:
        return read_limit(limits, kind=kind, near=near if isinstance(near, str) else "")
    if way == "bench":
        return read_expected(written["expect"], kind=kind, tolerance=written.get("tolerance"))
    return Limit("must-be", truth=True, written="yes")


def _listed() -> str:
    return f"Write {', '.join(WAYS[:-1])} or {WAYS[-1]}"


def _other_ways(lacking: str) -> str:
    return "A clause no room can measure says closed-by: bench, photo or signature." if lacking == "measure" else ""


_ALL_FIELDS = frozenset(field for fields in _OWN_FIELDS.values() for field in fields)
_EXAMPLES: Mapping[str, str] = {
    "measure": "Write measure, kind and one limit.",
    "bench": "Write step, kind, and expect with tolerance, or a limit.",
    "photo": "Write photo-of: the load label in the door opening.",
    "signature": "Write signed-by: customer, shop, inspector or whoever it is.",
}
