"""How the slow reference reads its sources: see tests/control/reference.py."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coachwright.build.model import Input, Model

NEVER = -(10**9)


class Sources:
    """What is read. `sources` : name -> what stands there (``pressed``, ``high``, ``full``, a number...)."""

    model: Model
    by_name: dict[str, Input]
    now: int
    sources: dict[str, Any]
    lost: frozenset[str]
    asleep: bool
    kept: dict[str, str]
    seen: dict[str, Any]
    candidate: dict[str, tuple[Any, int]]
    edges: dict[str, list[list[Any]]]
    hold_until: dict[str, int]
    beside_since: dict[str, int | None]
    hazard: bool
    happened: set[Any]

    def wires(self) -> list[str]:
        return [item.name for item in self.model.inputs if item.kind == "turn-wire"]

    def blind(self, name: str, lost: frozenset[str] | None = None, asleep: bool | None = None) -> bool:
        item = self.by_name[name]
        lost = self.lost if lost is None else lost
        asleep = self.asleep if asleep is None else asleep
        return name in lost or (asleep and item.is_control and item.asleep == "reads-off")

    def unseen(self, item: Input, held: Any) -> Any:
        """What is remembered of a source that isn't seen."""
        if item.kind == "turn-wire":
            level = item.lost if item.lost in ("off", "on") else held
            return {"off": "low", "on": "high", "flashing": "low"}.get(level, level)
        if item.kind in ("button", "toggle"):
            return {"off": "released", "on": "pressed"}.get(held, held)
        return held

    def _read(self, sources: Mapping[str, Any], lost: frozenset[str], asleep: bool) -> None:
        if not any(self.turning(wire) for wire in self.wires()):
            self.hazard = False
        edges: dict[str, str] = {}
        for item in self.model.inputs:
            name, was = item.name, self.seen[item.name]
            blind_before, blind_now = self.blind(name), self.blind(name, lost, asleep)
            if blind_now:
                if item.kind == "turn-wire" and was == "flashing":
                    self.hold_until[name] = self.now + item.edge_hold_ms
                self.seen[name] = self.unseen(item, was)
                self.candidate.pop(name, None)
                continue
            level = sources[name]
            if blind_before:
                self.seen[name] = level
                if item.kind == "pick-one" and level != was:
                    self.kept[name] = level
                if item.kind == "turn-wire" and level == "flashing":
                    edges[name] = "up"
                continue
            if item.debounce_ms and item.values:
                if level == was:
                    self.candidate.pop(name, None)
                    continue
                candidate, begun = self.candidate.get(name, (None, 0))
                if candidate != level:
                    begun = self.now
                    self.candidate[name] = (level, begun)
                if self.now - begun < item.debounce_ms:
                    continue
                self.candidate.pop(name, None)
            if level != was:
                self.seen[name] = level
                self._changed(item, was, level, edges)
        self.sources, self.lost, self.asleep = dict(sources), lost, asleep
        self._turn(edges)

    def _changed(self, item: Input, was: Any, level: Any, edges: dict[str, str]) -> None:
        name = item.name
        if item.kind in ("toggle", "button"):
            self.happened.add((level, name))
            if level == "pressed":
                if item.kind == "toggle":
                    self.kept[name] = "on" if self.kept[name] == "off" else "off"
                if item.kind == "button" or self.kept[name] == "on":
                    self.happened.add(("turned on", name))
        elif item.kind == "pick-one":
            if self.kept[name] != level:
                self.happened.add(("leaves", name, self.kept[name]))
            self.kept[name] = level
            self.happened.add(("moved", name))
        elif item.kind in ("slide", "states", "rotary-disconnect"):
            self.happened.add(("leaves", name, was))
            if item.kind == "slide":
                self.happened.add(("moved", name))
            if item.kind == "rotary-disconnect" and level != item.values[0]:
                self.happened.add(("turned on", name))
        elif item.kind == "turn-wire":
            edges[name] = (
                ("up" if was == "low" else "down") if level == "flashing" else ("up" if level == "high" else "down")
            )
            if was == "flashing":
                self.edges[name] = []

    def _turn(self, edges: dict[str, str]) -> None:
        wires = self.wires()
        for name, way in edges.items():
            if self.seen[name] == "flashing":
                self.edges[name] = []
                continue
            self.hold_until[name] = self.now + self.by_name[name].edge_hold_ms
            self.edges[name] = [edge for edge in self.edges[name] if edge[1] != way] + [[self.now, way]]
        if len(wires) == 2 and edges:
            flash = [self.seen[name] == "flashing" for name in wires]
            ways = [{way for _, way in self.edges[name]} for name in wires]
            if all(flash) or (not any(flash) and ways[0] & ways[1]):
                self.hazard = True
                self.edges = {name: [] for name in wires}
        self._watch_beside()

    def _watch_beside(self) -> None:
        wires = self.wires()
        for one, other in ((0, 1), (1, 0)):
            if len(wires) < 2:
                break
            alone = self.seen[wires[one]] == "flashing" and self.seen[wires[other]] != "flashing"
            if not (alone and (self.hold_until[wires[other]] > self.now or self.hazard)):
                self.beside_since[wires[one]] = None
            elif self.beside_since[wires[one]] is None:
                self.beside_since[wires[one]] = self.now

    def _lone_edges(self) -> None:
        wires = self.wires()
        if len(wires) < 2:
            return
        wait = max(self.by_name[name].together_ms for name in wires) + 1
        lone = {name: any(self.now - at == wait for at, _ in self.edges[name]) for name in wires}
        for name in wires:
            self.edges[name] = [edge for edge in self.edges[name] if self.now - edge[0] < wait]
        for one, other in ((wires[0], wires[1]), (wires[1], wires[0])):
            since = self.beside_since[one]
            on_and_on = since is not None and self.now - since == wait
            if lone[one] or on_and_on:
                self.hazard = False
            if (
                lone[one] and not self.edges[other] and not lone[other] and self.seen[other] != "flashing"
            ) or on_and_on:
                self.hold_until[other] = NEVER
                if on_and_on:
                    self.edges[other] = []
        self._watch_beside()

    def turning(self, name: str) -> bool:
        return self.seen[name] == "flashing" or self.hold_until[name] > self.now

    def value(self, name: str) -> Any:
        """What an input reads."""
        item = self.by_name[name]
        wires = self.wires()
        if item.kind == "turn-wire" or (item.kind == "hazard" and len(wires) == 2):
            hazard = self.hazard and any(self.turning(wire) for wire in wires)
            return "on" if (hazard if item.kind == "hazard" else self.turning(name) and not hazard) else "off"
        if self.asleep and item.is_control and item.asleep == "reads-off":
            return item.values[0]
        own = self.kept[name] if item.kind in ("toggle", "pick-one") else self.seen[name]
        own = {"pressed": "on", "released": "off"}.get(own, own) if item.kind == "button" else own
        if name in self.lost:
            if item.lost == "P-unless-moving" and "P" in item.values and "speed" in self.by_name:
                return "P" if self.value("speed") == 0 else own
            if item.lost not in ("hold", "P-unless-moving"):
                return item.lost
        return own
