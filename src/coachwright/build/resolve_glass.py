"""Which panes of the body get a film or are replaced, and do they exist?"""

from __future__ import annotations

from coachwright.build.model_fitted import By, Glazing
from coachwright.build.resolve_lamps import another_kind, part_of
from coachwright.build.sections.glass import Glazing as Written
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AnyPart, BodyPart, FilmPart, PanePart
from coachwright.parts.store import Catalogue


def glass_of(
    written: WrittenBuild, body: BodyPart | None, catalogue: Catalogue, parts: dict[str, AnyPart], told: list[Trouble]
) -> tuple[Glazing, ...]:
    """Every pane something is done to, as far as that can be understood."""
    by: By = written.one.get("parts-by", "shop")
    found: list[Glazing] = []
    for name, item in written.items("glass").items():
        path = ("glass", name)
        before_n = len(told)
        pane = _pane(name, item, body, path, told) if body is not None else ""
        film = _film(item, catalogue, path, told)
        new = _new_pane(item, pane, catalogue, path, told)
        if item.film is None and item.pane is None:
            why, write = f"Nothing is done to {name}.", "Write film: or pane:, or leave it away."
            told.append(Trouble(path, "BLD-185", "glass-not-whole", why, write, on_key=True))
        if len(told) > before_n or not pane:
            continue
        parts.update((part.name, part) for part in (film, new) if part is not None)
        found.append(
            Glazing(
                name=name,
                side=item.side or "",
                film=film.name if film is not None else "",
                part=new.name if new is not None else "",
                by=item.by or by,
                note=item.note,
                path=f"glass.{name}",
            )
        )
    return tuple(found)


def _pane(name: str, item: Written, body: BodyPart, path: PathPieces, told: list[Trouble]) -> str:
    """Name of the body's pane that is meant; "" when there is none."""
    if name in body.glass:
        if item.side is not None and not body.glass[name].mirrored:
            why = f"There is one {name}, neither left nor right."
            told.append(Trouble((*path, "side"), "BLD-186", "pane-without-sides", why, "Leave side away.", item.side))
        return name
    behind = body.places.get(name)
    if behind is not None and behind.glass:
        why, write = f"{name} is a place behind the pane {behind.glass}.", f"Write {behind.glass}."
        told.append(Trouble(path, "BLD-184", "pane-not-known", why, write, name, behind.glass, on_key=True))
    else:
        told.append(
            not_known(path, "pane of this body", name, body.glass, code="BLD-184", name="pane-not-known", on_key=True)
        )
    return ""


def _film(item: Written, catalogue: Catalogue, path: PathPieces, told: list[Trouble]) -> FilmPart | None:
    if item.film is None:
        return None
    film = part_of(item.film, "film", catalogue, (*path, "film"), told)
    if film is None or (isinstance(film, FilmPart) and film.use == "glass"):
        return film
    told.append(another_kind(item.film, film, "a film for glass", (*path, "film")))
    return None


def _new_pane(item: Written, pane: str, catalogue: Catalogue, path: PathPieces, told: list[Trouble]) -> PanePart | None:
    if item.pane is None:
        return None
    part = part_of(item.pane, "pane", catalogue, (*path, "pane"), told)
    if part is None:
        return None
    if not isinstance(part, PanePart):
        told.append(another_kind(item.pane, part, "a pane", (*path, "pane")))
        return None
    if pane and part.fits and pane not in part.fits:
        why = f"{part.name} is cut for {' and '.join(part.fits)}, not for {pane}."
        told.append(Trouble((*path, "pane"), "BLD-187", "pane-does-not-fit", why, "Name a pane that fits.", part.name))
    return part
