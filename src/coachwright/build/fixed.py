"""What did the lead fix, and does it name something that exists?

A subject is a piece of equipment, a feed, or a lamp, one side of it or one head. Where one name is two of these the
section in front says which: ``equipment.main-siren``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from coachwright.build.model import Fixed, Head
from coachwright.build.sections.fixed import Fixed as Written
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces

SPACES = ("equipment", "feeds", "lamps")


def fixed_of(written: WrittenBuild, heads: Mapping[str, tuple[Head, ...]], told: list[Trouble]) -> tuple[Fixed, ...]:
    """Every choice of the lead's that names something. heads : of each lamp, as far as they are understood."""
    known = subjects_of(written.items("equipment"), written.items("feeds"), heads)
    lost = written.lost
    lost_names = lost.of(*SPACES) | frozenset(name for name in written.items("lamps") if name not in heads)
    unsure = lost.any_of(*SPACES)
    found: dict[tuple[str, str], Fixed] = {}
    for name, item in written.items("fixed").items():
        path = ("fixed", name)
        pieces = name.split(".")
        if pieces[0] in lost_names or (pieces[0] in SPACES and pieces[1:2] and pieces[1] in lost_names) or unsure:
            continue
        subject = _subject(name, path, known, told)
        if subject is None:
            continue
        for what, value in _choices(item):
            choice = Fixed(subject, what, value, ".".join((*path, what)))
            other = found.setdefault((subject, what), choice)
            if other is not choice:
                why = f"The {what} of {subject} is fixed twice."
                told.append(Trouble((*path, what), "BLD-169", "fixed-twice", why, "Keep one of the two.", value))
    return tuple(found.values())


def subjects_of(
    equipment: Iterable[str], feeds: Iterable[str], heads: Mapping[str, tuple[Head, ...]]
) -> dict[str, tuple[str, ...]]:
    """By space, every name that can be fixed or decided about: of our own lamps also each side and each head."""
    ours = {name: found for name, found in heads.items() if found and found[0].reach == "own"}
    sides = {f"{name}.{head.side}" for name, found in ours.items() for head in found if head.side}
    lamps = {*ours, *sides, *(head.id for found in ours.values() for head in found)}
    return {"equipment": tuple(equipment), "feeds": tuple(feeds), "lamps": tuple(sorted(lamps))}


def _choices(item: Written) -> Iterator[tuple[str, str]]:
    if item.gauge is not None:
        yield "gauge", item.gauge
    if item.fuse is not None:
        yield "fuse", f"{item.fuse:g} A"
    if item.channel is not None:
        yield "channel", str(item.channel)


def _subject(name: str, path: PathPieces, known: Mapping[str, tuple[str, ...]], told: list[Trouble]) -> str | None:
    space, _, rest = name.partition(".")
    if space in SPACES and rest in known[space]:
        return name
    spaces = [space for space in SPACES if name in known[space]]
    if len(spaces) > 1:
        ways = [f"{space}.{name}" for space in spaces]
        why = f"{name} is both {' and '.join(ways)}."
        told.append(
            Trouble(path, "BLD-168", "fixed-name-doubtful", why, f"Write {listed(ways)}.", name[:80], on_key=True)
        )
        return None
    if spaces:
        return f"{spaces[0]}.{name}"
    names = [*known["equipment"], *known["feeds"], *known["lamps"]]
    names += [f"{space}.{each}" for space in SPACES for each in known[space]] if space in SPACES else []
    told.append(
        not_known(path, "equipment, feed or lamp", name, names, code="BLD-164", name="fixed-not-known", on_key=True)
    )
    return None
