"""What variables does each input have, and how are its sources read, written out as statements?

The same as coachwright.control.signals does; sources are what stands outside (a finger, a wire's level, a lever).
"""

from __future__ import annotations

from dataclasses import dataclass

from coachwright.build.model import Input
from coachwright.control.export.draft import Draft
from coachwright.control.export.plain import remark
from coachwright.control.export.terms import (
    Block,
    Expr,
    If,
    Note,
    Ref,
    Role,
    Set,
    Stmt,
    Type,
    all_of,
    any_of,
    compare,
    opposite,
    put,
    when,
)
from coachwright.control.signals import Source, Sources
from coachwright.control.turns import FLASHING

NOT_WAITING = -1
NOT_LEFT = -1
NO_EDGE, DOWN, UP = -1, 0, 1


@dataclass(frozen=True, slots=True)
class Wired:
    """The variables of one input. raw, lost : from outside. now, now_lost : as they count in this moment.

    last, last_lost : of the moment before. wait_ms, wait_for : a level that hasn't stood long enough (None: read at
    once). keeps : of a toggle or pick-one. pressed, released, left, turned_on, moved, edge : what was done.
    """

    item: Input
    source: Source
    raw: Ref
    lost: Ref
    now: Ref
    now_lost: Ref
    last: Ref
    last_lost: Ref
    seen: Ref
    read: Ref
    wait_ms: Ref | None = None
    wait_for: Ref | None = None
    keeps: Ref | None = None
    pressed: Ref | None = None
    released: Ref | None = None
    left: Ref | None = None
    turned_on: Ref | None = None
    moved: Ref | None = None
    edge: Ref | None = None

    @property
    def done(self) -> tuple[tuple[Ref, bool | int], ...]:
        """What was done, with what says that nothing was."""
        flags = [each for each in (self.pressed, self.released, self.turned_on, self.moved) if each is not None]
        found: list[tuple[Ref, bool | int]] = [(each, False) for each in flags]
        if self.left is not None:
            found.append((self.left, NOT_LEFT))
        if self.edge is not None:
            found.append((self.edge, NO_EDGE))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Clock:
    """What goes around all inputs. power : this moment is a power-up."""

    elapsed_ms: Ref
    asleep: Ref
    now_asleep: Ref
    last_asleep: Ref
    started: Ref
    low: Ref
    power: Ref


def clock(draft: Draft) -> Clock:
    """Its variables."""
    return Clock(
        draft.variable(
            "elapsed_ms", kind="int", role="input", start=0, says="ms since the step before, under its inputs"
        ),
        draft.variable("asleep", kind="bool", role="input", start=False, says="the controller sleeps"),
        draft.flag("now_asleep"),
        draft.kept("last_asleep", start=False),
        draft.kept("started", start=False, says="false before the first step, which is the power-up"),
        draft.kept("low", start=False, says="the supply is under what the controller needs"),
        draft.flag("power_up"),
    )


def wired(draft: Draft, sources: Sources) -> tuple[Wired, ...]:
    """The variables of every input; a hazard that comes of two turn wires has no source of its own."""
    return tuple(
        _wired(draft, item, source)
        for place, (item, source) in enumerate(zip(draft.model.inputs, sources.all, strict=True))
        if place != sources.hazard_at
    )


def is_two_way(item: Input) -> bool:
    """Is its source on or off and nothing else?"""
    return item.values == ("off", "on") and item.kind != "turn-wire"


def _wired(draft: Draft, item: Input, source: Source) -> Wired:
    name, kind = item.name, item.kind
    type_: Type = "int" if item.values else "real"
    raw_type: Type = "bool" if is_two_way(item) else type_
    zero: int | float = 0 if item.values else 0.0

    def flag(word: str, *kinds: str) -> Ref | None:
        return draft.flag(word, name) if kind in kinds else None

    steady = not source.debounce_ms
    kept = None
    if source.keeps:
        role: Role = "retained" if source.starts_last else "kept"
        kept = draft.variable("keeps", name, kind="int", role=role, start=source.start, says=f"kept value of {name}")
    return Wired(
        item,
        source,
        draft.variable("in", name, kind=raw_type, role="input", start=_nothing(raw_type), says=_source_said(item)),
        draft.variable("lost", name, kind="bool", role="input", start=False, says=f"the source of {name} is silent"),
        draft.own("now", name, kind=type_),
        draft.flag("now_lost", name),
        draft.kept("last", name, start=zero),
        draft.kept("last_lost", name, start=False),
        draft.kept("seen", name, start=zero),
        draft.reads[name],
        None if steady else draft.kept("wait", name, "ms", start=NOT_WAITING),
        None if steady else draft.kept("wait_for", name, start=0),
        kept,
        flag("pressed", "toggle", "button"),
        flag("released", "toggle", "button"),
        draft.own("left", name) if kind in ("pick-one", "slide", "rotary-disconnect", "states") else None,
        flag("turned_on", "toggle", "button", "rotary-disconnect"),
        flag("moved", "pick-one", "slide"),
        draft.own("edge", name) if kind == "turn-wire" else None,
    )


def _nothing(kind: Type) -> bool | int | float:
    return {"bool": False, "int": 0, "real": 0.0}[kind]


def _source_said(item: Input) -> str:
    if item.kind in ("toggle", "button"):
        return f"{item.name}: {item.kind}, true while it is pressed"
    if item.kind == "turn-wire":
        return f"{item.name}: level of its wire, 0 low, 1 high, 2 stands for a wire that flashes on and on (at a bench)"
    if is_two_way(item):
        return f"{item.name}: true while it is on"
    if item.values:
        return f"{item.name}: " + ", ".join(f"{place} {value}" for place, value in enumerate(item.values))
    return f"{item.name}: {item.number_kind}, in SI"


def take(inputs: tuple[Wired, ...], watch: Clock, *, last_moment: Expr) -> Block:
    """What stands at the sources in this moment: the new inputs in the last one, before it those of the step before."""
    new: list[Stmt] = [put(watch.now_asleep, watch.asleep)]
    old: list[Stmt] = [put(watch.now_asleep, watch.last_asleep)]
    for each in inputs:
        if is_two_way(each.item):
            new.append(If(((each.raw, (put(each.now, 1),)),), (put(each.now, 0),)))
        else:
            new.append(put(each.now, each.raw))
        new.append(put(each.now_lost, each.lost))
        old += [put(each.now, each.last), put(each.now_lost, each.last_lost)]
    return when(last_moment, *new, otherwise=old)


def read_all(inputs: tuple[Wired, ...], watch: Clock, *, turns: Block) -> Block:
    """What is seen and what was done. Nothing new: nothing is looked at."""
    unlike = [opposite(compare(each.now, "==", each.last)) for each in inputs]
    unlike += [
        any_of((all_of((one, opposite(other))), all_of((opposite(one), other))))
        for one, other in _truths(inputs, watch)
    ]
    due = [compare(each.wait_ms, "==", 0) for each in inputs if each.wait_ms is not None]
    looks = [stmt for each in inputs for stmt in _look(each, watch)]
    nothing = [put(ref, value) for each in inputs for ref, value in each.done]
    return (*nothing, *when(any_of((watch.power, *unlike, *due)), *looks, *turns))


def _truths(inputs: tuple[Wired, ...], watch: Clock) -> list[tuple[Ref, Ref]]:
    return [(watch.now_asleep, watch.last_asleep), *((each.now_lost, each.last_lost) for each in inputs)]


def _blind(each: Wired, watch: Clock) -> tuple[Expr, Expr]:
    """Can't it be seen now, and couldn't it be before?"""
    if not each.source.reads_off_asleep:
        return each.now_lost, each.last_lost
    return any_of((each.now_lost, watch.now_asleep)), any_of((each.last_lost, watch.last_asleep))


def _look(each: Wired, watch: Clock) -> Block:
    blind, was_blind = _blind(each, watch)
    not_waiting = () if each.wait_ms is None else (put(each.wait_ms, NOT_WAITING),)
    return (
        Note(remark(f"source {each.item.name}")),
        If(
            (
                (blind, (*_frozen(each, watch), *not_waiting)),
                (any_of((watch.power, was_blind)), (*_first_sight(each, watch), *not_waiting)),
            ),
            _seen_again(each),
        ),
    )


def _frozen(each: Wired, watch: Clock) -> Block:
    """What is remembered of a source that can't be seen."""
    source = each.source
    if source.kind == "turn-wire" and source.lost_to is not None:
        return (put(each.seen, source.lost_to),)
    holds = source.lost_to is None and source.kind != "toggle"
    if not holds and source.kind != "pick-one":
        return (put(each.seen, 0 if source.values else 0.0),)
    start = source.start if source.kind == "pick-one" else source.rest
    still: Block = ()
    if source.kind == "turn-wire":
        still = when(compare(each.seen, "==", FLASHING), put(each.seen, 0))
    return when(watch.power, put(each.seen, start), otherwise=still)


def _first_sight(each: Wired, watch: Clock) -> Block:
    """Power-up, or back after a loss: read at once, and nothing fires."""
    before: Block = ()
    if each.keeps is not None and each.source.kind == "pick-one":
        back = all_of((opposite(watch.power), opposite(compare(each.now, "==", each.seen))))
        before = when(back, put(each.keeps, each.now))
    if each.edge is not None:
        before = when(all_of((opposite(watch.power), compare(each.now, "==", FLASHING))), put(each.edge, UP))
    return (*before, put(each.seen, each.now))


def _seen_again(each: Wired) -> Block:
    """A source that was seen before too; a level counts once it has stood for its debounce time."""
    changed = (*_changed(each), put(each.seen, each.now))
    other = opposite(compare(each.now, "==", each.seen))
    if each.wait_ms is None or each.wait_for is None:
        return when(other, *changed)
    new = any_of((compare(each.wait_ms, "==", NOT_WAITING), opposite(compare(each.wait_for, "==", each.now))))
    begins = (put(each.wait_ms, each.source.debounce_ms), put(each.wait_for, each.now))
    stood = (*changed, put(each.wait_ms, NOT_WAITING))
    waiting = If(((new, begins), (compare(each.wait_ms, "==", 0), stood)))
    return when(other, waiting, otherwise=(put(each.wait_ms, NOT_WAITING),))


def _changed(each: Wired) -> Block:
    """What a new level does, before it is remembered as seen."""
    on = compare(each.now, "==", 1)

    def mark(ref: Ref | None) -> Set:
        assert ref is not None
        return put(ref, True)

    match each.source.kind:
        case "toggle":
            assert each.keeps is not None
            kept_on = compare(each.keeps, "==", 1)
            flip = (If(((kept_on, (put(each.keeps, 0),)),), (put(each.keeps, 1), mark(each.turned_on))),)
            return (If(((on, (mark(each.pressed), *flip)),), (mark(each.released),)),)
        case "button":
            return (If(((on, (mark(each.pressed), mark(each.turned_on))),), (mark(each.released),)),)
        case "pick-one":
            assert each.keeps is not None
            assert each.left is not None
            leaves = when(opposite(compare(each.keeps, "==", each.now)), put(each.left, each.keeps))
            return (*leaves, put(each.keeps, each.now), mark(each.moved))
        case "slide":
            assert each.left is not None
            return (put(each.left, each.seen), mark(each.moved))
        case "rotary-disconnect":
            assert each.left is not None
            return (put(each.left, each.seen), *when(opposite(compare(each.now, "==", 0)), mark(each.turned_on)))
        case "states":
            assert each.left is not None
            return (put(each.left, each.seen),)
        case "turn-wire":
            assert each.edge is not None
            rises = any_of((on, all_of((compare(each.now, "==", FLASHING), compare(each.seen, "==", 0)))))
            return when(rises, put(each.edge, UP), otherwise=(put(each.edge, DOWN),))
        case _:
            return ()


def values_read(inputs: tuple[Wired, ...], watch: Clock, *, moving: Wired | None) -> Block:
    """What each input reads, as conditions see it. moving : the speed, which comes first."""
    first = [] if moving is None else [moving]
    ordered = [*first, *(each for each in inputs if each is not moving)]
    return tuple(stmt for each in ordered if each.edge is None for stmt in _value_read(each, watch, moving))


def _value_read(each: Wired, watch: Clock, moving: Wired | None) -> Block:
    source = each.source
    held: Expr = each.keeps if each.keeps is not None else each.seen
    lost: Block = (put(each.read, held),)
    if source.park_at is not None and moving is not None:
        lost = when(
            compare(moving.read, "==", 0.0), put(each.read, source.park_at), otherwise=(put(each.read, each.seen),)
        )
    elif source.lost_to is not None:
        lost = (put(each.read, source.lost_to),)
    branches: list[tuple[Expr, Block]] = []
    if source.reads_off_asleep:
        branches.append((watch.now_asleep, (put(each.read, 0),)))
    if lost != (put(each.read, held),):
        branches.append((each.now_lost, lost))
    here = put(each.read, held)
    return (If(tuple(branches), (here,)),) if branches else (here,)


def remember(inputs: tuple[Wired, ...], watch: Clock) -> Block:
    """The sources of this moment become those of the moment before."""
    return (
        put(watch.last_asleep, watch.now_asleep),
        *(stmt for each in inputs for stmt in (put(each.last, each.now), put(each.last_lost, each.now_lost))),
        put(watch.started, True),
    )


def keep_at_start(inputs: tuple[Wired, ...], watch: Clock) -> Block:
    """Kept values at a power-up after the first one: `start`; where start is `last` they stay."""
    back = [
        put(each.keeps, each.source.start) for each in inputs if each.keeps is not None and not each.source.starts_last
    ]
    return when(all_of((watch.power, watch.started)), *back)


def wait_ends(inputs: tuple[Wired, ...]) -> tuple[Ref, ...]:
    """Times that run while a level settles."""
    return tuple(each.wait_ms for each in inputs if each.wait_ms is not None)
