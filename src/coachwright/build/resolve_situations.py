"""In which settings is the vehicle judged?"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.model import Input, Situation
from coachwright.build.reading import Reading
from coachwright.build.resolve_inputs import number_of
from coachwright.build.sections.situations import Situation as Written
from coachwright.build.selectors import ring_in
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.build.written import WrittenBuild
from coachwright.kit.nodes import PathPieces

_OWN_FIELDS = ("like", "lasts", "stands-for")


def situations_of(
    written: WrittenBuild, inputs: Mapping[str, Input], memories: Mapping[str, tuple[str, ...]], reading: Reading
) -> tuple[Situation, ...]:
    """Every situation that can be understood, with what it takes over from others.

    memories : values of each.
    """
    items = written.items("situations")
    own: dict[str, Situation] = {}
    for name, item in items.items():
        read = _own(name, item, inputs, memories, reading)
        if read is not None:
            own[name] = read
    _check_like(items, written, reading)
    wholes = _wholes(items, own)
    return tuple(whole for name in own if (whole := wholes[name]) is not None)


def _own(
    name: str, item: Written, inputs: Mapping[str, Input], memories: Mapping[str, tuple[str, ...]], reading: Reading
) -> Situation | None:
    settings: list[tuple[str, str | float]] = []
    kept: list[tuple[str, str]] = []
    whole = True
    for key, text in (item.__pydantic_extra__ or {}).items():
        path = ("situations", name, key)
        if key in reading.lost:
            whole = False
        elif key in inputs:
            value = _value(inputs[key], text.strip(), path, reading.told)
            if value is not None:
                settings.append((key, value))
            whole = whole and value is not None
        elif key in memories:
            if text not in memories[key]:
                why = f"{key} never has the value {text[:60]}."
                write = f"Write one of {listed(memories[key])}."
                reading.told.append(Trouble(path, "BLD-032", "value-not-known", why, write, text[:80]))
                whole = False
            kept.append((key, text))
        else:
            whole = False
            if not reading.all_lost:
                known = (*inputs, *memories, *_OWN_FIELDS)
                what = "control, signal or memory"
                reading.told.append(
                    not_known(path, what, key, known, code="BLD-066", name="setting-not-known", on_key=True)
                )
    if not whole:
        return None
    return Situation(name, tuple(settings), tuple(kept), item.stands_for or "", item.lasts or 0.0, f"situations.{name}")


def _value(item: Input, text: str, path: PathPieces, told: list[Trouble]) -> str | float | None:
    if not item.values:
        before_n = len(told)
        value = number_of(item, text, path, told)
        return value if len(told) == before_n else None
    if text in item.values:
        return text
    why = f"{item.name} never has the value {text[:60]}."
    told.append(Trouble(path, "BLD-032", "value-not-known", why, f"Write one of {listed(item.values)}.", text[:80]))
    return None


def _check_like(items: Mapping[str, Written], written: WrittenBuild, reading: Reading) -> None:
    for name, item in items.items():
        if item.like is not None and item.like not in items and item.like not in written.lost.of("situations"):
            path = ("situations", name, "like")
            reading.told.append(
                not_known(path, "situation", item.like, items, code="BLD-067", name="situation-not-known")
            )
    ring = ring_in({name: [item.like] if item.like else [] for name, item in items.items()})
    if ring:
        why = f"{ring[0]} is like itself: {' is like '.join((*ring, ring[0]))}."
        path = ("situations", ring[0], "like")
        also = tuple(("situations", name, "like") for name in ring[1:])
        reading.told.append(
            Trouble(path, "BLD-070", "names-in-a-ring", why, "Write one of them out.", ring[0], also=also)
        )


def _wholes(items: Mapping[str, Written], own: Mapping[str, Situation]) -> dict[str, Situation | None]:
    """Each situation with all it takes over; None where something on the way is lost or leads back."""
    done: dict[str, Situation | None] = {}
    for first in own:
        trail: list[str] = []
        at: str | None = first
        while at is not None and at in own and at not in done:
            done[at] = None  # until it is known; whoever comes back here is in a ring
            trail.append(at)
            at = items[at].like
        above = None if at is None else done.get(at)
        broken = at is not None and above is None
        for name in reversed(trail):
            above = None if broken else own[name] if above is None else _over(above, own[name])
            done[name] = above
    return done


def _over(above: Situation, own: Situation) -> Situation:
    return Situation(
        own.name,
        tuple((dict(above.settings) | dict(own.settings)).items()),
        tuple((dict(above.memory) | dict(own.memory)).items()),
        own.stands_for or above.stands_for,
        own.lasts_s or above.lasts_s,
        own.path,
    )
