"""What hangs on what: from each source over cables, blocks and feeds to every channel and device, as a tree.

See Also
--------
coachwright.power.circuits : the circuits. coachwright.draw.one_line : how the tree is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from coachwright.build.condition import Constant, Plus
from coachwright.build.model import Model
from coachwright.build.model_fitted import Feed
from coachwright.control.operator_words import Wording
from coachwright.draw.load_bars import OWN, idle_gives
from coachwright.kit.show import show
from coachwright.power.as_settled import settled_harness
from coachwright.power.circuits import circuits_of
from coachwright.power.drawn import drawn
from coachwright.power.loads import EQUIPMENT, LAMPS, loads_of
from coachwright.power.runs import Run
from coachwright.power.sizes import Sized, sized, sized_anew
from coachwright.power.sources import battery_names
from coachwright.power.supply_of import supply_of
from coachwright.power.wires import Wired


@dataclass(slots=True)
class Branch:
    """A place current comes through, and what hangs behind it.

    kind : column it stands in. name : bold; said : lines under it. circuit : whose fuse stands before it. runs : wires
    that lead to it, with what they are made of.
    """

    kind: str
    name: str
    said: tuple[str, ...] = ()
    circuit: Sized | None = None
    anew: Sized | None = None
    fused: bool = True
    runs: tuple[tuple[Run, Wired], ...] = ()
    behind: list[Branch] = field(default_factory=list)
    battery: bool = False

    @property
    def ends(self) -> int:
        """Rows it takes."""
        return sum(each.ends for each in self.behind) or 1


def supply_tree(model: Model) -> tuple[Branch, ...]:
    """Every circuit under its source: batteries first, then circuits of the vehicle."""
    return _Tree(model).roots()


class _Tree:
    """Grows the tree from the source on."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.feeds = {feed.name: feed for feed in model.feeds}
        self.feed_of = {load.subject: load.feed for load in loads_of(model)}
        self.runs = {run.name: run for run in circuits_of(model).laid.runs}
        self.wires = settled_harness(model).wires
        self.sources: dict[str, Branch] = {}
        self.at_run: dict[str, Branch] = {}

    def roots(self) -> tuple[Branch, ...]:
        anew = {each.hung.circuit.name: each for each in sized_anew(self.model)}
        for level in ("main", "feed", "load"):
            for each in sized(self.model):
                if each.hung.level == level:
                    self._add(each, anew[each.hung.circuit.name])
        order = {"main-battery": 0, "second-battery": 1}
        names = list(self.sources)
        ranked = sorted(
            names,
            key=lambda name: (order.get(name, 1 if self.sources[name].battery else 2), names.index(name)),
        )
        return tuple(self.sources[name] for name in ranked)

    def _add(self, each: Sized, anew: Sized) -> None:
        hung = each.hung
        above = self.at_run.get(hung.upstream[-1]) if hung.upstream else None
        parent = above or self._source(self._source_name(each))
        wired = [(self.runs[name], self._wired(name)) for name in hung.runs]
        if hung.level == "main":
            for place, (run, wire) in enumerate(wired):
                breaks = run.goes.startswith("from ") and len(wired) > 1
                kind, name = ("break", run.subject.partition(".")[2]) if breaks else ("block", run.to_place)
                branch = Branch(kind, name, (), each, anew, place == 0, ((run, wire),))
                parent.behind.append(branch)
                self.at_run[run.name] = parent = branch
            return
        if hung.level == "feed":
            feed = self.feeds[wired[0][0].feed]
            branch = Branch("feed", f"feed {feed.name}", _feed_said(self.model, feed), each, anew, True, tuple(wired))
            self.at_run[wired[0][0].name] = branch
        else:
            pigtail = self.feeds.get(hung.pigtail)
            fed = (f"feed {pigtail.name}: {'; '.join(_feed_said(self.model, pigtail))}",) if pigtail else ()
            name, said = _load_said(self.model, each)
            sums = drawn(self.model, hung.loads)
            figures = (f"RMS {show(sums.rms_a, 'current')}, peak {show(sums.peak_a, 'current')}",) if hung.loads else ()
            branch = Branch("load", name, (*said, *fed, *figures), each, anew, True, tuple(wired))
        parent.behind.append(branch)

    def _wired(self, name: str) -> Wired:
        return self.wires[name]

    def _source_name(self, each: Sized) -> str:
        """Whence its current comes: the battery, or the circuit of the vehicle."""
        names = [self.runs[name].feed for name in each.hung.runs]
        names += [self.feed_of[load] for load in each.hung.loads if load in self.feed_of]
        feed = next((name for name in names if name), "")
        for _ in self.feeds:
            if feed in self.feeds and self.feeds[feed].source_is == "feed":
                feed = self.feeds[feed].source
        return self.feeds[feed].source if feed in self.feeds else feed

    def _source(self, name: str) -> Branch:
        if name not in self.sources:
            words = f"vehicle: {name.partition('.')[2].replace('-', ' ')}" if name.startswith("vehicle.") else name
            root = Branch("source", words.replace("-", " ") or OWN, _source_said(self.model, name))
            root.battery = name in battery_names(self.model)
            self.sources[name] = root
        return self.sources[name]


def _source_said(model: Model, name: str) -> tuple[str, ...]:
    supply = supply_of(model).supply
    if name == "main-battery":
        part = (model.part(model.body.battery.part).title,) if model.body.battery is not None else ()
        gives = idle_gives(model)
        brings = (f"alternator {gives[0]:.0f} A, hot idle",) if gives is not None else ()
        charger = supply.charger if supply is not None else None
        shore = (f"{charger.name}: {charger.most_a:g} A from shore",) if charger is not None else ()
        return (*part, *brings, *shore)
    item = next((each for each in model.equipment if each.name == name), None)
    if item is None:
        return () if name else ("its own fuses and wires",)
    tie = supply.tie if supply is not None else None
    when = " while engine runs" if tie is not None and tie.with_engine else ""
    by = {"relay": "isolator", "diodes": "isolator of diodes", "charger": "charger"}
    joined = (f"{by[tie.by]} joins it{when}",) if tie is not None else ()
    return (model.part(item.part).title, f"at {item.at}", *joined)


def _feed_said(model: Model, feed: Feed) -> tuple[str, ...]:
    always = feed.hot or isinstance(feed.on_while, Constant)
    held, after = (feed.on_while.item, feed.plus_s) if isinstance(feed.on_while, Plus) else (feed.on_while, 0.0)
    more = f", and {show(after, 'time')} more" if after else ""
    alive = "always live" if always else f"live while {Wording(model).clause(held)}{more}"
    ends = []
    if feed.below_v is not None:
        for_s = f" for {show(feed.below_held_s, 'time')}" if feed.below_held_s else ""
        ends.append(f"cut below {show(feed.below_v, 'voltage')}{for_s}")
    if feed.shed is not None:
        ends.append("never shed" if feed.shed == "never" else f"shed at stage {feed.shed}")
    return (alive, ", ".join(ends)) if ends else (alive,)


def _load_said(model: Model, each: Sized) -> tuple[str, tuple[str, ...]]:
    hung = each.hung
    if hung.channel:
        return f"channel {hung.channel}", (", ".join(_subjects(hung.loads)),)
    name = hung.circuit.name
    item = next((one for one in model.equipment if name.startswith(f"{EQUIPMENT}{one.name} ")), None)
    if item is None:
        return name.removeprefix("vehicle-lamps.").replace(".", " "), ("at a lamp the vehicle came with",)
    does = name.removeprefix(f"{EQUIPMENT}{item.name} ").removeprefix("supply")
    title = model.part(item.part).title
    return f"{item.name} {does}".strip(), (f"{title}, at {item.at}",)


def _subjects(subjects: Iterable[str]) -> Iterator[str]:
    """Lamps with their sides, heads of one lamp together; devices by name."""
    heads: dict[str, int] = {}
    for subject in subjects:
        words = subject.removeprefix(LAMPS).removeprefix(EQUIPMENT).split(".")
        if subject.startswith(LAMPS) and words[-1].isdigit():
            words = words[:-1]
        name = " ".join(words)
        heads[name] = heads.get(name, 0) + 1
    for name, count in heads.items():
        yield f"{name} ({count} heads)" if count > 1 else name
