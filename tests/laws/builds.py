"""Whole builds made by lot, as text, and their mirror images. For tests of what holds for every vehicle."""

import re
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.parts.store import Catalogue, load_catalogue
from coachwright.proof.verdict import Verdict, verdict_of

TODAY = date(2026, 11, 25)
PACKS = ("house", "public-law-targets", "optical-small-vehicle")

PAIRED_PLACES = (
    "grille fender-corner bumper-front bumper-corner hood-edge mirror-under fender-side rocker-fore rocker-aft "
    "quarter-glass bed-side cap-side-high cap-side-glass cap-front cap-corner-rear cap-hatch-underside tail-inner "
    "tailgate-top-edge bumper-rear bumper-rear-corner"
).split()
ACROSS_PLACES = "windshield-top roof-front cap-hatch-glass cap-roof-rear tailgate-face".split()

LAMPS = {
    "short-red-white": ("red", "white"),
    "short-red-amber-white": ("red", "amber", "white"),
    "short-red-amber": ("red", "amber"),
    "long-red-white": ("red", "white"),
}
BARS = {"bar-8-red-white": (8, ("red", "white")), "bar-6-red-amber-white": (6, ("red", "amber", "white"))}
"""Parts with their colours; of bars the number of heads as well. Even numbers: no head stands on the centre line."""

PATTERNS = (
    "single",
    "double",
    "triple 90 per min",
    "double 150 per min",
    "lit 60 ms, dark 40 ms, times 2, every 500 ms",
)
SIDES = ("", " sides", " other-sides", " together")
RUNS = ("run-left", "run-right", "run-split")

SWAPS = {
    "turn-left": "turn-right",
    "alley-left": "alley-right",
    "alley-left-on": "alley-right-on",
    "turn-left-shows": "turn-right-shows",
    "door-driver": "door-passenger",
    "door-rear-left": "door-rear-right",
    "run-left": "run-right",
    ".left": ".right",
    " sides": " other-sides",
}
_ALL_SWAPS = {**SWAPS, **{after: before for before, after in SWAPS.items()}}
_SWAPPED = re.compile("|".join(re.escape(word) for word in sorted(_ALL_SWAPS, key=len, reverse=True)))


@dataclass(frozen=True)
class Lamp:
    """One lamp as the file says it. side : ``pair``, ``left``, ``right`` or ``across``."""

    name: str
    part: str
    at: str
    side: str
    aim_deg: int
    elevation_deg: int

    @property
    def colours(self) -> tuple[str, ...]:
        return LAMPS[self.part] if self.part in LAMPS else BARS[self.part][1]

    @property
    def heads_n(self) -> int:
        return BARS[self.part][0] if self.part in BARS else 1

    def text(self) -> str:
        at = f"{self.at}.{self.side}" if self.side in ("left", "right") else self.at
        pair = ", pair: mirrored" if self.side == "pair" else ""
        turned = f", aim: {self.aim_deg} deg, elevation: {self.elevation_deg} deg"
        return f"{{part: {self.part}, at: {at}{pair}{turned}}}"

    def mirrored(self) -> "Lamp":
        return replace(self, side={"left": "right", "right": "left"}.get(self.side, self.side))


@dataclass(frozen=True)
class Entry:
    """What some heads of one lamp show. pick : ``""``, ``left``, ``right``, or first and last number of heads."""

    lamp: str
    pick: str
    shows: tuple[tuple[str, str], ...]

    @property
    def selector(self) -> str:
        return f"{self.lamp}.{self.pick}" if self.pick else self.lamp

    def text(self) -> str:
        shows = ", ".join(f'{colour}: "{show}"' for colour, show in self.shows)
        return f"{{on: [{self.selector}], {shows}}}"

    def mirrored(self, heads_n: int) -> "Entry":
        pick = {"left": "right", "right": "left"}.get(self.pick, self.pick)
        if "-" in pick:
            first, last = (int(number) for number in pick.split("-"))
            pick = f"{heads_n + 1 - last}-{heads_n + 1 - first}"
        return Entry(self.lamp, pick, tuple((colour, swapped(show)) for colour, show in self.shows))


@dataclass(frozen=True)
class Plan:
    """One build. situation : settings of the one it is judged in, and in the reverse of it a bare one."""

    lamps: tuple[Lamp, ...]
    low: tuple[Entry, ...]
    full: tuple[Entry, ...]
    extra: tuple[Entry, ...]
    alley: str
    turn: str
    settings: tuple[tuple[str, str], ...]
    packs: tuple[str, ...] = ("house",)

    def lamp(self, name: str) -> Lamp:
        return next(lamp for lamp in self.lamps if lamp.name == name)

    def sections(self) -> dict[str, dict[str, str] | str]:
        """Sections with their entries, each as text."""
        functions = {
            "warning": _levels(self.low, self.full),
        }
        functions["brake-shows"] = f"{{rank: road, when: brake, show: [{{on: [{self.lamps[0].name}], red: steady}}]}}"
        if self.extra:
            functions["extra-on"] = f"{{rank: task, when: extra, show: [{', '.join(e.text() for e in self.extra)}]}}"
        for side in ("left", "right"):
            if self.alley:
                functions[f"alley-{side}-on"] = (
                    f"{{rank: open, when: alley-{side}, show: [{{on: {self.alley}.{side}, red: steady 60 %}}]}}"
                )
            if self.turn:
                functions[f"turn-{side}-shows"] = (
                    f"{{rank: road, when: turn-{side}, wins-over: [brake-shows], "
                    f"show: [{{on: {self.turn}.{side}, red: follow turn-{side}}}]}}"
                )
        settings = ", ".join(f'{name}: "{value}"' for name, value in self.settings)
        return {
            "coachwright": "1",
            "job": "{name: Drawn by lot, law: {place: nowhere, red-forward: {answer: permitted, paper: none}}}",
            "count": "1",
            "vehicle": "{body: crew-cab-pickup-with-cap}",
            "packs": f"[{', '.join(self.packs)}]",
            "lamps": {lamp.name: lamp.text() for lamp in self.lamps},
            "controls": {
                "level": '{kind: slide, positions: ["off", low, full], at: console.panel, lost: hold}',
                "extra": "{kind: toggle, at: console.panel}",
                "alley-left": "{kind: toggle, at: console.panel}",
                "alley-right": "{kind: toggle, at: console.panel}",
            },
            "words": {"parked": "gear == P", "night": "headlamps"},
            "functions": functions,
            "limits": {"night-dim": "{when: night, scale-to: 40 %, of: [warn]}"},
            "situations": {
                "judged": f"{{{settings}, stands-for: calling}}",
                "standing": "{level: low, gear: P, stands-for: blocking}",
            },
        }

    def text(self) -> str:
        """The build file."""
        return written(self.sections())

    def mirrored(self) -> "Plan":
        """Left and right changed over, everywhere."""

        def turned(entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
            return tuple(entry.mirrored(self.lamp(entry.lamp).heads_n) for entry in entries)

        return replace(
            self,
            lamps=tuple(lamp.mirrored() for lamp in self.lamps),
            low=turned(self.low),
            full=turned(self.full),
            extra=turned(self.extra),
            settings=tuple((swapped(name), value) for name, value in self.settings),
        )


def swapped(text: str) -> str:
    """The text with left for right and right for left."""
    return _SWAPPED.sub(lambda found: _ALL_SWAPS[found[0]], text)


def written(sections: dict[str, dict[str, str] | str]) -> str:
    """Sections as the text of a build file."""
    lines = []
    for name, content in sections.items():
        if isinstance(content, str):
            lines.append(f"{name}: {content}")
        elif content:
            lines += [f"{name}:", *(f"  {entry}: {text}" for entry, text in content.items())]
    return "\n".join(lines) + "\n"


def _levels(low: tuple[Entry, ...], full: tuple[Entry, ...]) -> str:
    levels = [("low", low), ("full", full)]
    said = ", ".join(f"{name}: [{', '.join(each.text() for each in entries)}]" for name, entries in levels if entries)
    return f"{{rank: warn, by: level, levels: {{{said}}}}}"


@cache
def catalogue() -> Catalogue:
    """The parts that come with coachwright."""
    return load_catalogue()


def model_of(text: str) -> Model:
    """The model of a text; every finding of the door is a fault of the generator."""
    loaded = read_build(text, catalogue=catalogue())
    assert loaded.model is not None, [str(finding.values) for finding in loaded.findings]
    return loaded.model


def judged_text(text: str) -> Verdict:
    """The verdict on a text."""
    loaded = read_build(text, catalogue=catalogue())
    return verdict_of(loaded, folder=None, progress=lambda doing, done, of: None, today=TODAY)


# ------------------------------------------------------------------------------------------------------------ by lot
@st.composite
def lamps(draw: st.DrawFn, least: int = 1, most: int = 6) -> tuple[Lamp, ...]:
    """Lamps at places of the body, each place once; some are pairs, some stand alone, some go across."""
    places = draw(
        st.lists(st.sampled_from((*PAIRED_PLACES, *ACROSS_PLACES)), min_size=least, max_size=most, unique=True)
    )
    found = []
    for number, place in enumerate(places):
        across = place in ACROSS_PLACES
        aims = st.integers(-4, 4).map(lambda step: step * 15)
        found.append(
            Lamp(
                f"lamp-{'abcdefgh'[number]}",
                draw(st.sampled_from(sorted(BARS if across else LAMPS))),
                place,
                "across" if across else draw(st.sampled_from(("pair", "pair", "left", "right"))),
                0 if across else draw(aims),
                draw(st.sampled_from((0, 0, -10, 5))),
            )
        )
    return tuple(found)


@st.composite
def entries(draw: st.DrawFn, fitted: tuple[Lamp, ...], *, runs: bool = True, steady: bool = True) -> tuple[Entry, ...]:
    """What some of the lamps show, each lamp once."""
    chosen = draw(st.lists(st.sampled_from(fitted), max_size=len(fitted), unique_by=lambda lamp: lamp.name))
    return tuple(draw(entry_of(lamp, runs=runs, steady=steady)) for lamp in chosen)


@st.composite
def entry_of(draw: st.DrawFn, lamp: Lamp, *, runs: bool = True, steady: bool = True) -> Entry:
    """What one lamp shows: one or two of its colours."""
    colours = draw(st.lists(st.sampled_from(lamp.colours), min_size=1, max_size=2, unique=True))
    picks = {"pair": ["", "left", "right"], "across": ["", "1-4", "3-6"]}.get(lamp.side, ["", lamp.side])
    shows = [f"{pattern}{side}" for pattern in PATTERNS for side in SIDES]
    shows += ["steady", "steady 40 %"] if steady else []
    shows += list(RUNS) * 4 if runs and lamp.side == "across" else []
    return Entry(
        lamp.name, draw(st.sampled_from(picks)), tuple((colour, draw(st.sampled_from(shows))) for colour in colours)
    )


@st.composite
def plans(draw: st.DrawFn, *, runs: bool = True, packs: tuple[str, ...] = ("house",)) -> Plan:
    """A build that reads without a finding of the door."""
    fitted = draw(lamps())
    pairs = [lamp.name for lamp in fitted if lamp.side == "pair"]
    low = draw(entries(fitted, runs=runs)) or (draw(entry_of(fitted[0], runs=runs)),)
    return Plan(
        lamps=fitted,
        low=low,
        full=draw(entries(fitted, runs=runs)),
        extra=draw(entries(fitted, runs=runs)),
        alley=draw(st.sampled_from(["", *pairs])),
        turn=draw(st.sampled_from(["", *pairs])),
        settings=draw(settings_by_lot()),
        packs=packs,
    )


def settings_by_lot() -> st.SearchStrategy[tuple[tuple[str, str], ...]]:
    """Settings of the situation that is judged."""
    on_off = st.sampled_from(("off", "on"))
    panel = st.sampled_from(("closed", "closed", "open"))
    return st.fixed_dictionaries(
        {"level": st.sampled_from(("low", "full", "full", "off"))},
        optional={
            "gear": st.sampled_from(("P", "D", "R")),
            "extra": on_off,
            "alley-left": on_off,
            "alley-right": on_off,
            "turn-left": on_off,
            "turn-right": on_off,
            "brake": on_off,
            "headlamps": on_off,
            "door-driver": panel,
            "door-passenger": panel,
            "hatch": panel,
            "tailgate": panel,
        },
    ).map(lambda chosen: tuple(chosen.items()))
