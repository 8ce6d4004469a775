"""Which film goes where on the body?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from typing import Literal

from coachwright.build.model_fitted import By, Marking
from coachwright.build.resolve_lamps import another_kind, part_of
from coachwright.build.sections.marking import Marking as Written
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, FilmPart
from coachwright.parts.store import Catalogue

_INNER_FACES = ("inside", "edge", "edges")
"""Of a panel, behind its name and a hyphen: what one sees of it while it stands open."""


def marking_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, parts: dict[str, AnyPart], told: list[Trouble]
) -> tuple[Marking, ...]:
    """Every marking that can be understood."""
    by: By = written.one.get("parts-by", "shop")
    found: list[Marking] = []
    for name, item in written.items("marking").items():
        path = ("marking", name)
        film = part_of(item.film, "film", catalogue, (*path, "film"), told)
        if film is not None and (not isinstance(film, FilmPart) or film.use != "marking"):
            told.append(another_kind(item.film, film, "a film that marks a body", (*path, "film")))
            film = None
        kind = _kind(item, path, told)
        if body is not None:
            known = faces_of(body)
            _check_faces(item, known, path, told)
        if film is not None and kind is not None:
            parts[film.name] = film
            found.append(_marking(name, item, kind, item.by or by))
    return tuple(found)


def faces_of(body: BodyPart) -> frozenset[str]:
    """What can be marked: faces the body lists, its panels and what they show open, its places, and parts of it.

    A part of it is what two or more of its names begin with, like ``bumper`` of ``bumper-front`` and ``bumper-rear``.
    """
    panels = {f"{panel}-{face}" for panel in body.panels for face in _INNER_FACES}
    names = {*body.surfaces, *body.panels, *body.places}
    begun = Counter(start for name in names for start in {name.rpartition("-")[0], name.partition("-")[0]} - {"", name})
    return frozenset({*names, *panels, *(start for start, names_n in begun.items() if names_n > 1)})


def _check_faces(item: Written, known: Collection[str], path: PathPieces, told: list[Trouble]) -> None:
    said = [((*path, "from"), item.from_), ((*path, "to"), item.to)]
    said += [((*path, "on", str(number)), each) for number, each in enumerate(item.on, start=1)]
    for place, name in said:
        plain = (name or "").removesuffix(".left").removesuffix(".right")
        if name is not None and name not in known and plain not in known:
            told.append(
                not_known(place, "panel or face of this body", name, known, code="BLD-116", name="panel-not-known")
            )


def _kind(item: Written, path: PathPieces, told: list[Trouble]) -> Literal["band", "stripes", "field"] | None:
    """A band runs between two ends, stripes lean, and anything else lies on panels as it is."""
    before_n = len(told)

    def tell(word: str, why: str, write: str) -> None:
        told.append(Trouble((*path, word) if word else path, "BLD-119", "marking-not-whole", why, write, on_key=True))

    if item.band is not None and (item.slope is not None or item.width is not None):
        tell("slope" if item.slope is not None else "width", "A band has no stripes.", "Write them as two markings.")
    if item.band is not None and not item.on and (item.from_ is None or item.to is None):
        tell("band", "A band runs from one end to another.", "Write from: and to:, or on: and the panels.")
    if item.band is None and (item.from_ is not None or item.to is not None):
        tell(
            "from" if item.from_ is not None else "to",
            "from and to belong to a band.",
            "Write band: and how high it is.",
        )
    if item.slope is not None and item.width is None and item.band is None:
        tell("slope", "Stripes have a width.", "Write width:, like width: 6 in.")
    if item.band is None and not item.on:
        tell("", "Nothing says where this goes.", "Write on: and the panels, or band: with from: and to:.")
    for word, value in (("band", item.band), ("width", item.width), ("share", item.share)):
        if value is not None and not (0 < value <= (1 if word == "share" else 10)):
            why = "A share is more than 0 % and at most 100 %." if word == "share" else "A film isn't cut like that."
            told.append(Trouble((*path, word), "BLD-118", "figure-not-possible", why, f"Write it like {_LIKE[word]}."))
    if len(told) > before_n:
        return None
    return "band" if item.band is not None else "stripes" if item.width is not None else "field"


_LIKE = {"band": "6 in", "width": "6 in", "share": "50 %"}


def _marking(name: str, item: Written, kind: Literal["band", "stripes", "field"], by: By) -> Marking:
    return Marking(
        name=name,
        film=item.film,
        kind=kind,
        band_m=item.band or 0.0,
        begin=item.from_ or "",
        end=item.to or "",
        slope_rad=item.slope or 0.0,
        width_m=item.width or 0.0,
        share=item.share,
        on=item.on,
        by=by,
        note=item.note,
        path=f"marking.{name}",
    )
