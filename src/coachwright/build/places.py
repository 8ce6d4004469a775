"""Is there a place of this name on the body, or on something of ours: its console, its cargo, its equipment?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.build.sections.console import bay_name
from coachwright.build.selectors import ring_in
from coachwright.build.trouble import Trouble, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import Place
from coachwright.parts.standing import Side

CONSOLE = "console"
_SIDES: Mapping[str, Side] = {"left": "left", "right": "right"}


@dataclass(frozen=True, slots=True)
class Ours:
    """What of the build itself things are fitted at.

    bays : of its console; None where it has none. names : its cargo and its equipment.
    """

    bays: tuple[str, ...] | None
    names: frozenset[str]
    console_lost: bool = False

    def without(self, name: str) -> Ours:
        """The same, for something that can't be fitted at itself."""
        return Ours(self.bays, self.names - {name}, self.console_lost)


def find_place(
    text: str, places: Mapping[str, Place], path: PathPieces, told: list[Trouble]
) -> tuple[Place, Side] | None:
    """The place, with the side that is written behind it; None, with the trouble told, when there is none."""
    if text in places:
        return places[text], ""
    name, _, last = text.rpartition(".")
    if last not in _SIDES or name not in places:
        known = name if last in _SIDES else text
        told.append(not_known(path, "place on this body", known, places, code="BLD-052", name="place-not-on-body"))
        return None
    if not places[name].mirrored:
        why = f"{name} is there once, not on both sides."
        told.append(Trouble(path, "BLD-054", "pair-not-possible", why, f"Write {name}.", text))
        return None
    return places[name], _SIDES[last]


def places_of_ours(written: WrittenBuild) -> Ours:
    """Things of the build at which others are fitted."""
    console = written.one.get(CONSOLE)
    lost = written.lost
    names = (*written.items("cargo"), *written.items("equipment"), *lost.of("cargo", "equipment"))
    bays = None if console is None else tuple(bay_name(bay) for bay in console.bays)
    return Ours(bays, frozenset(names), lost.any_of(CONSOLE))


def check_fitted(text: str, places: Mapping[str, Place], path: PathPieces, told: list[Trouble], *, ours: Ours) -> None:
    """Tell it where something is fitted at no place of the body, and at nothing of ours."""
    owner, _, rest = text.partition(".")
    if owner == CONSOLE and (ours.bays is not None or ours.console_lost):
        if rest and ours.bays is not None and rest not in ours.bays and not _on_console(text, places):
            known = (*ours.bays, *(name.partition(".")[2] for name in places if _on_console(name, places)))
            at = (len(owner) + 1, len(text))
            told.append(
                not_known(path, "bay of the console", rest, known, code="BLD-102", name="bay-not-known", span=at)
            )
    elif text not in places and owner not in ours.names:
        find_place(text, places, path, told)


def check_side(
    text: str, places: Mapping[str, Place], path: PathPieces, told: list[Trouble], *, count_n: int, ours: Ours
) -> None:
    """Warn where one thing stands at a place that is there on both sides. An even number stands on both alike."""
    if text in places and places[text].mirrored and count_n % 2 and text not in ours.names:
        why = f"{text} is on both sides, and one is written."
        write = f"Write {text}.left or {text}.right."
        told.append(Trouble(path, "BLD-053", "side-not-said", why, write, text, severity="warning"))


def _on_console(name: str, places: Collection[str]) -> bool:
    """A place the body has on any console, which is no bay of it: its panel, its side."""
    return name in places and name.startswith(f"{CONSOLE}.") and not name.startswith(f"{CONSOLE}.bay")


def check_rings(written: WrittenBuild, told: list[Trouble]) -> None:
    """Tell it where cargo and equipment are fitted at each other."""
    stands = {
        name: (section, item.at.partition(".")[0])
        for section in ("equipment", "cargo")
        for name, item in written.items(section).items()
    }
    ring = ring_in({name: [at] for name, (_, at) in stands.items() if at in stands and at != name})
    if ring:
        why = f"{' and '.join(ring)} stand at each other."
        path = (stands[ring[0]][0], ring[0], "at")
        write = "Name a place on the body in one of them."
        told.append(Trouble(path, "BLD-070", "names-in-a-ring", why, write, stands[ring[0]][1]))


def body_place(model: Model, at: str) -> str:
    """The place on the body where something ends up that is fitted at `at`: through cargo, equipment and console.

    The build's own word goes before the body's: a locker the build puts at ``bed-front`` is there, whatever place of
    its name the body has. Gives `at` itself where it is a place of the body (with its side, where one is written).
    """
    holders = {item.name: item.at for item in model.equipment} | {item.name: item.at for item in model.cargo}
    seen: set[str] = set()
    while True:
        owner = at.partition(".")[0]
        if owner in holders and owner not in seen:
            seen.add(owner)
            at = holders[owner]
        elif owner == CONSOLE and model.console is not None and at not in model.body.places:
            at = model.console.at
        else:
            return at
