"""Which heads does a selector name?

    tail      tail.left     visor.3      visor.3-6    visor.ends    side-high.left.2     front     front.left     all

What the language leaves to this page:

- Numbers and ``ends`` count the heads of one lamp (on each side of a pair). A group takes ``.left`` and ``.right``.
- ``.left`` and ``.right`` are the sides of a pair, or of a lamp fitted on one side. A lamp that goes across the
  vehicle has none: its heads have numbers.
- ``all`` is every head we fit, and every head of the vehicle that we reach.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from coachwright.build.model import Head
from coachwright.build.trouble import Trouble, not_known
from coachwright.kit.nodes import PathPieces

_SELECTOR = re.compile(
    r"(?P<name>[a-z0-9-]+)(?:\.(?P<side>left|right))?(?:\.(?P<pick>ends|[0-9]{1,3}(?:-[0-9]{1,3})?))?", re.ASCII
)

Span = tuple[int, int] | None


@dataclass(slots=True)
class Selectors:
    """What can be selected.

    Parameters
    ----------
    lamps : heads of each lamp, ours and the vehicle's, in order.
    groups : heads of each group, in the order of its list.
    lost : lamps and groups that exist and could not be understood. all_lost : any unknown name may be one of those.
    unsaid : lamps of the vehicle that the build says nothing of.
    """

    lamps: Mapping[str, tuple[Head, ...]]
    groups: dict[str, tuple[Head, ...]]
    lost: frozenset[str]
    all_lost: bool
    unsaid: frozenset[str] = frozenset()
    _known: dict[str, tuple[Head, ...]] = field(default_factory=dict)

    def names(self) -> frozenset[str]:
        """Every name a selector can begin with."""
        return frozenset((*self.lamps, *self.groups, *self.lost))

    def everything(self) -> tuple[Head, ...]:
        """Heads of ``all``, by their id: those we fit, and those of the vehicle that we reach."""
        heads = (head for heads in self.lamps.values() for head in heads if head.reach != "none")
        return tuple(sorted(heads, key=lambda head: head.id))

    def heads_of(self, selectors: Sequence[str], path: PathPieces, told: list[Trouble]) -> tuple[Head, ...] | None:
        """Heads of a list of selectors in its order, each once; None when one of them is lost or wrong."""
        found: dict[str, Head] = {}
        whole = True
        for number, selector in enumerate(selectors, start=1):
            heads = self.heads(selector, (*path, str(number)), told)
            if heads is None:
                whole = False
                continue
            fresh = {head.id: head for head in heads if head.id not in found}
            if not fresh and heads:
                why = f"{selector} names nothing that isn't named before it."
                told.append(
                    Trouble(
                        (*path, str(number)),
                        "BLD-019",
                        "item-twice",
                        why,
                        "Leave it away.",
                        selector,
                        severity="warning",
                    )
                )
            found |= fresh
        return tuple(found.values()) if whole else None

    def heads(
        self, selector: str, path: PathPieces, told: list[Trouble], *, span: Span = None
    ) -> tuple[Head, ...] | None:
        """Heads of one selector; None, with the trouble told, when it names none."""
        if selector in ("all", "any"):
            return None if self.all_lost or self.lost else self.everything()
        known = self._known.get(selector)
        if known is None:
            found = self._find(selector, path, span)
            if found is None:
                return None
            if isinstance(found, Trouble):
                told.append(found)
                return None
            known = self._known[selector] = found
        return known

    def _find(self, selector: str, path: PathPieces, span: Span) -> tuple[Head, ...] | Trouble | None:
        parts = _SELECTOR.fullmatch(selector)
        if parts is None:
            why = f"{selector} doesn't name heads."
            return Trouble(path, "BLD-017", "selector-not-read", why, "Write a lamp or a group.", selector, span=span)
        name, side, pick = parts["name"], parts["side"], parts["pick"]
        if name in self.lost:
            return None
        if name not in self.lamps and name not in self.groups:
            return None if self.all_lost else self._unknown(name, path, selector, span)
        is_group = name in self.groups
        heads = self.groups[name] if is_group else self.lamps[name]
        if side:
            heads = tuple(head for head in heads if head.side == side)
            if not heads:
                return self._no_side(name, side, path, span)
        if not pick:
            return heads
        if is_group:
            why = f"{name} is a group; numbers and ends count the heads of one lamp."
            return _no_such_head(path, selector, why, f"Write {name}, or a lamp of it with the number.", span)
        return _picked(name, heads, pick, path, selector=selector, span=span)

    def _unknown(self, name: str, path: PathPieces, selector: str, span: Span) -> Trouble:
        at = (span[0], span[0] + len(name)) if span is not None else (0, len(name))
        if name in self.unsaid:
            why = f"{name} is a lamp the vehicle came with, and the build doesn't say how it is reached."
            write = f"Add it under vehicle-lamps, like {name}: {{reach: parallel}}."
            return Trouble(path, "BLD-055", "selector-not-known", why, write, selector, span=at)
        return not_known(
            path, "lamp or group", name, self.names() | {"all"}, code="BLD-055", name="selector-not-known", span=at
        )

    def _no_side(self, name: str, side: str, path: PathPieces, span: Span) -> Trouble:
        if name in self.groups:
            why, write = f"No lamp of {name} stands on the {side} as one of a pair.", f"Write {name}."
        elif any(head.number for head in self.lamps[name]):
            most = max(head.number for head in self.lamps[name])
            why, write = (
                f"{name} goes across the vehicle.",
                f"Write its heads by number, like {name}.1 to {name}.{most}.",
            )
        else:
            why, write = f"{name} is no pair.", f"Write {name}, or make it a pair: pair: mirrored."
        return _no_such_head(path, f"{name}.{side}", why, write, span)


def groups_of(
    written: Mapping[str, tuple[str, ...]], selectors: Selectors, told: list[Trouble]
) -> dict[str, tuple[Head, ...]]:
    """Heads of each group. A group may name groups; one that leads back to itself is told."""
    groups = written.keys() - selectors.lamps.keys()
    reads = {name: {_name_of(item) for item in items} & groups for name, items in written.items()}
    read_by: dict[str, list[str]] = {}
    for name, others in reads.items():
        for other in others:
            read_by.setdefault(other, []).append(name)
    left_n = {name: len(others) for name, others in reads.items()}
    ready = [name for name, left in left_n.items() if not left]
    for name in ready:  # grows while it is walked
        heads = selectors.heads_of(written[name], ("groups", name), told)
        if heads is not None:
            selectors.groups[name] = heads
        else:
            selectors.lost |= {name}
        for other in read_by.get(name, ()):
            left_n[other] -= 1
            if not left_n[other]:
                ready.append(other)
    ring = ring_in({name: reads[name] for name, left in left_n.items() if left})
    if ring:
        why = f"The groups {' and '.join(ring)} name each other." if len(ring) > 1 else f"{ring[0]} names itself."
        write = "Name lamps in one of them."
        path = ("groups", ring[0])
        told.append(Trouble(path, "BLD-070", "names-in-a-ring", why, write, ring[0], on_key=True))
        selectors.lost = selectors.lost | {name for name, left in left_n.items() if left}
    return selectors.groups


def ring_in(reads: Mapping[str, Iterable[str]]) -> tuple[str, ...]:
    """Names that read each other in a ring, from the first by the alphabet; () when there is none."""
    state: dict[str, int] = {}
    for first in sorted(reads):
        trail: list[tuple[str, list[str]]] = []
        if first not in state:
            state[first] = 1
            trail.append((first, sorted(set(reads[first]), reverse=True)))
        while trail:
            name, rest = trail[-1]
            if not rest:
                state[name] = 2
                trail.pop()
                continue
            other = rest.pop()
            if state.get(other) == 1:
                ring = [each for each, _ in trail]
                ring = ring[ring.index(other) :]
                at = ring.index(min(ring))
                return tuple(ring[at:] + ring[:at])
            if other in reads and other not in state:
                state[other] = 1
                trail.append((other, sorted(set(reads[other]), reverse=True)))
    return ()


def _name_of(selector: str) -> str:
    return selector.partition(".")[0]


def _picked(
    name: str, heads: tuple[Head, ...], pick: str, path: PathPieces, *, selector: str, span: Span
) -> tuple[Head, ...] | Trouble:
    most = max(head.number for head in heads)
    if most == 0:
        each = " on each side" if len({head.side for head in heads}) > 1 else ""
        return _no_such_head(path, selector, f"{name} has one head{each}.", f"Write {name}.", span)
    if pick == "ends":
        last = {side: max(head.number for head in heads if head.side == side) for side in {head.side for head in heads}}
        return tuple(head for head in heads if head.number in (1, last[head.side]))
    first, _, final = pick.partition("-")
    low, high = int(first), int(final or first)
    if low < 1 or high > most or low > high:
        why = f"{name} has heads 1 to {most}."
        return _no_such_head(path, selector, why, f"Write numbers from 1 to {most}, the smaller first.", span)
    return tuple(head for head in heads if low <= head.number <= high)


def _no_such_head(path: PathPieces, selector: str, why: str, write: str, span: Span) -> Trouble:
    return Trouble(path, "BLD-056", "no-such-head", why, write, selector, span=span)
