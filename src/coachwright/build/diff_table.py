"""What is compared of two builds, field by field, and in which words a difference is told?

Every field of every class of the Model stands here: compared, or with the reason why it isn't. A test holds that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from coachwright.build import model, model_fitted

Section: TypeAlias = Literal["seen", "obeys", "fed", "carried", "paper"]
SECTIONS: Mapping[Section, str] = {
    "seen": "Seen",
    "obeys": "What it obeys",
    "fed": "Fed and fitted",
    "carried": "Carried",
    "paper": "On paper",
}
"""In the order in which a lead thinks."""


@dataclass(frozen=True, slots=True)
class Said:
    """A value: a word, a number, a condition, or a list of them.

    Parameters
    ----------
    label : what it is, as in ``has LABEL new instead of old``.
    kind : unit kind of a number; ``@`` for that of the input it belongs to.
    phrase : words of its own, with {old} and {new}.
    adds, drops : of a list: with {item}.
    ordered : the order of a list means something.
    """

    label: str
    kind: str = ""
    phrase: str = ""
    adds: str = ""
    drops: str = ""
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """Things with a name of their own (`key`), each compared with the one of the same name. lead : before the name."""

    key: str
    lead: str = ""
    brief: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Inner:
    """One thing that may be there or not. label : what it is called."""

    label: str


@dataclass(frozen=True, slots=True)
class Shown:
    """Shows, compared head by head."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names with a value each. phrase : with {name}, {old} and {new}."""

    label: str


@dataclass(frozen=True, slots=True)
class Figures:
    """Parts of the catalogue: every figure of each."""


@dataclass(frozen=True, slots=True)
class NotCompared:
    """Left out on purpose."""

    why: str


How: TypeAlias = Said | Items | Inner | Shown | Pairs | Figures | NotCompared

_PATH = NotCompared("where it is written says nothing of the vehicle")
_NAME = NotCompared("it is known by its name")
_NOTE = Said("the note")
_BY = Said("who brings it", phrase="is brought by {new} instead of {old}")
_PART = Said("part", phrase="is {new} instead of {old}")
_AT = Said("place", phrase="is at {new} instead of {old}")
_WHEN = Said("its condition", phrase="acts while {new} instead of {old}")

MODEL: Mapping[str, tuple[Section, How]] = {
    "body": ("seen", Figures()),
    "lamps": ("seen", Items("name", brief=("part", "at", "aim_rad"))),
    "heads": ("seen", Items("id", brief=("part", "place"))),
    "groups": ("seen", Pairs("group")),
    "marking": ("seen", Items("name", "the marking ", ("film", "on"))),
    "glass": ("seen", Items("name", "the glass ", ("film", "part"))),
    "inputs": ("obeys", Items("name", brief=("kind", "values", "at"))),
    "words": ("obeys", Items("name", brief=("condition",))),
    "memories": ("obeys", Items("name", brief=("values",))),
    "ranks": (
        "obeys",
        Said("rank", adds="now also knows the rank {item}", drops="no longer knows the rank {item}", ordered=True),
    ),
    "functions": ("obeys", Items("name", brief=("rank", "when", "by"))),
    "stops": ("obeys", Items("name", brief=("when", "functions", "ranks"))),
    "limits": ("obeys", Items("name", brief=("scale_to_share", "when"))),
    "messages": ("obeys", Items("name", brief=("say", "when"))),
    "outputs": ("obeys", Items("name", brief=("reach",))),
    "situations": ("obeys", Items("name", "the situation ", ("settings",))),
    "crossings": (
        "seen",
        Items("name", "the crossing ", ("own_m_s", "cross_m_s", "corner_from_cross_m", "corner_from_own_m")),
    ),
    "promises": ("obeys", Items("name", "the promise ", ("when", "then", "never"))),
    "cannot_be": ("obeys", NotCompared("it follows from the body")),
    "feeds": ("fed", Items("name", "the feed ", ("source", "on_while"))),
    "equipment": ("fed", Items("name", brief=("part", "at", "feed", "by"))),
    "fixed": ("fed", Items("subject+what", brief=("value",))),
    "decisions": ("fed", Items("subject+what", brief=("value",))),
    "console": ("carried", Inner("the console")),
    "cargo": ("carried", Items("name", brief=("part", "count_n", "mass_kg", "at"))),
    "trailers": ("carried", Items("name", brief=("weight_kg",))),
    "as_ordered": ("carried", Said("order", adds="now arrives with {item}", drops="no longer arrives with {item}")),
    "removed": ("carried", Said("removed", adds="now loses its {item}", drops="now keeps its {item}")),
    "job": ("paper", Inner("the job")),
    "count": ("paper", Said("count", phrase="has {new} vehicles instead of {old}")),
    "choices": ("paper", Pairs("option")),
    "options": ("paper", Items("name", "the option ", ("base",))),
    "serials": ("paper", Items("number", "vehicle ", ("name", "choices"))),
    "parts_by": ("paper", Said("who brings the parts", phrase="has parts brought by {new} instead of {old}")),
    "packs": ("paper", Said("pack", adds="is now judged by {item} too", drops="is no longer judged by {item}")),
    "parts": ("paper", Figures()),
    "waivers": ("paper", Items("code+about", "the waiver of ", ("by", "until"))),
    "version": ("paper", Said("language version")),
    "file": ("paper", NotCompared("what a file is called says nothing of the vehicle")),
    "digest": ("paper", NotCompared("it follows from all the rest")),
    "serial": ("paper", NotCompared("it says which vehicle is meant, not what it is")),
}
"""Each field of the Model: where it is told, and how it is compared."""

TABLE: Mapping[type[Any], Mapping[str, How]] = {
    model.Job: {
        "name": Said("its name", phrase="is called {new} instead of {old}"),
        "customer": Said("its customer", phrase="is for {new} instead of {old}"),
        "number": Said("number"),
        "revision": Said("revision", phrase="is revision {new} instead of {old}"),
        "due": Said("due", phrase="is due on {new} instead of {old}"),
        "money": Said("money", phrase="is paid in {new} instead of {old}"),
        "law_place": Said("place of law", phrase="is for {new} instead of {old}"),
        "law": Items("question", "its answer on ", ("answer", "paper")),
        "tax_exempt": Said("exempt from tax"),
        "tax_paper": Said("paper for the tax"),
        "shop": Said("its shop"),
        "drawn_by": Said("who drew"),
        "approved_by": Said("who approved"),
        "issued": Said("day of issue"),
        "fuse_rule": Said("rule for fuses"),
        "wire_family": Said("sizes of wire"),
    },
    model.LawAnswer: {
        "question": _NAME,
        "answer": Said("answer", phrase="is {new} instead of {old}"),
        "paper": Said("paper"),
        "path": _PATH,
    },
    model.Head: {
        "id": _NAME,
        "lamp": Said("lamp", phrase="belongs to {new} instead of {old}"),
        "side": Said("side"),
        "number": Said("number"),
        "part": _PART,
        "head_index": Said("head of its part"),
        "place": _AT,
        "aim_rad": Said("aim", "angle", phrase="is turned {new} instead of {old}"),
        "elevation_rad": Said("elevation", "angle", phrase="is tilted up {new} instead of {old}"),
        "colours": Said("colour", adds="can now also show {item}", drops="can no longer show {item}"),
        "burns_together": Said("able to burn its colours together"),
        "reach": Said("reach", phrase="is reached {new} instead of {old}"),
        "sync_group": Said("clock", phrase="flashes with {new} instead of {old}"),
        "clock_tolerance_share": Said("tolerance of its clock", "share"),
        "path": _PATH,
    },
    model.Input: {
        "name": _NAME,
        "kind": Said("kind", phrase="is a {new} instead of a {old}"),
        "values": Said(
            "position", adds="has a new position {item}", drops="no longer has the position {item}", ordered=True
        ),
        "number_kind": Said("kind of number"),
        "start": Said("start", "@", phrase="starts at {new} instead of {old}"),
        "asleep": Said("state asleep", phrase="asleep {new} instead of {old}"),
        "lost": Said("value when lost", "@", phrase="when lost is {new} instead of {old}"),
        "rest": Said("value at rest", "@", phrase="at rest is {new} instead of {old}"),
        "hand": Said("list", phrase="stands in the list {new} instead of {old}"),
        "path": _PATH,
        "tell_tale": Said("tell-tale"),
        "tell_tale_condition": Said("condition of its tell-tale"),
        "edge_hold_ms": Said("edge hold", "ms"),
        "debounce_ms": Said("debounce", "ms"),
        "recognition_ms": Said("recognition time", "ms"),
        "together_ms": Said("time for both wires together", "ms"),
        "source": Said("source", phrase="is read from {new} instead of {old}"),
        "at": _AT,
        "low": Said("least value", "@"),
        "high": Said("highest value", "@"),
    },
    model.Word: {
        "name": _NAME,
        "condition": Said("meaning", phrase="means {new} instead of {old}"),
        "path": _PATH,
    },
    model.Move: {
        "on": Said("on"),
        "condition": Said("if"),
        "to": Said("to"),
        "next": Said("next of", ordered=True),
        "path": _PATH,
    },
    model.Memory: {
        "name": _NAME,
        "values": Said("value", adds="has a new value {item}", drops="no longer has the value {item}", ordered=True),
        "start": Said("start", phrase="starts at {new} instead of {old}"),
        "ordered": Said("ordered"),
        "moves": Said("move", adds="now moves {item}", drops="no longer moves {item}", ordered=True),
        "path": _PATH,
    },
    model.PatternSpec: {
        "word": NotCompared("its text says it"),
        "rate_hz": NotCompared("its text says it"),
        "steps_ms": NotCompared("its text says it"),
        "times": NotCompared("its text says it"),
        "every_ms": NotCompared("its text says it"),
        "text": Said(""),
    },
    model.ColourShow: {
        "colour": Said(""),
        "manner": Said(""),
        "pattern": Said(""),
        "sides": Said(""),
        "share": Said("", "share"),
        "signal": Said(""),
        "path": _PATH,
    },
    model.Show: {
        "heads": NotCompared("compared head by head, and in their order"),
        "colours": Said(""),
        "dark": Said("dark"),
        "beside": Said("with others beside"),
        "path": _PATH,
        "selector": NotCompared("what it means is compared head by head"),
    },
    model.Sound: {
        "siren": Said("on"),
        "tone": Said("the tone"),
        "tone_memory": Said("the tone of"),
        "path": _PATH,
    },
    model.Level: {"position": _NAME, "shows": Shown(), "path": _PATH},
    model.AtMost: {
        "level": _NAME,
        "condition": Said("its condition", phrase="holds while {new} instead of {old}"),
        "path": _PATH,
    },
    model.Function: {
        "name": _NAME,
        "rank": Said("rank", phrase="is of rank {new} instead of {old}"),
        "when": _WHEN,
        "by": Said("control", phrase="follows {new} instead of {old}"),
        "levels": Items("position", "at "),
        "one_level": Said("showing that one level or nothing"),
        "at_most": Items("level", "at most ", ("condition",)),
        "wins_over": Said("beats", adds="now beats {item}", drops="no longer beats {item}"),
        "shows": Shown(),
        "sounds": Said("sound", adds="now sounds {item}", drops="no longer sounds {item}"),
        "runs": Said("runs", adds="now runs {item}", drops="no longer runs {item}"),
        "interrupts": Said("interrupts", adds="now interrupts {item}", drops="no longer interrupts {item}"),
        "says": Said("says", adds="now says {item}", drops="no longer says {item}"),
        "path": _PATH,
    },
    model.Stop: {
        "name": _NAME,
        "when": _WHEN,
        "functions": Said("stops", adds="now also stops {item}", drops="no longer stops {item}"),
        "ranks": Said("stops", adds="now also stops all of rank {item}", drops="no longer stops all of rank {item}"),
        "resume": Said("afterwards", phrase="afterwards lets them wait for {new} instead of {old}"),
        "path": _PATH,
    },
    model.Limit: {
        "name": _NAME,
        "when": _WHEN,
        "scale_to_share": Said("share", "share", phrase="leaves {new} of the light instead of {old}"),
        "ranks": Said("dims", adds="now also dims rank {item}", drops="no longer dims rank {item}"),
        "but_not": Said("spares", adds="now spares {item}", drops="no longer spares {item}"),
        "path": _PATH,
    },
    model.Message: {
        "name": _NAME,
        "when": Said("its condition", phrase="is shown while {new} instead of {old}"),
        "say": Said("text", phrase="says {new} instead of {old}"),
        "chime": Said("chime", phrase="chimes {new} instead of {old}"),
        "repeat_ms": Said("repeat", "ms", phrase="is repeated after {new} instead of {old}"),
        "tell_tale": Said("tell-tale"),
        "path": _PATH,
    },
    model.Equipment: {
        "name": _NAME,
        "part": _PART,
        "at": _AT,
        "speakers": Said("speakers", adds="has a new speaker at {item}", drops="no longer has a speaker at {item}"),
        "sounds": Said("able to sound"),
        "runs": Said("able to be run"),
        "path": _PATH,
        "count": Said("count", phrase="is fitted {new} times instead of {old}"),
        "by": _BY,
        "feed": Said("feed", phrase="is on feed {new} instead of {old}"),
        "also": Said("further feed", adds="is now also on feed {item}", drops="is no longer on feed {item}"),
        "antenna": Said("antenna", phrase="has its antenna at {new} instead of {old}"),
        "shed": Said("place in shedding", phrase="is shed as number {new} instead of {old}"),
        "eject": Said("throwing its shore lead out by itself"),
        "isolator": Inner("its isolator"),
        "turned_by": Said("control", phrase="is turned by {new} instead of {old}"),
        "breaks": Said("cuts off", adds="now also cuts off {item}", drops="no longer cuts off {item}"),
        "spares": Said("leaves fed", adds="now leaves {item} fed", drops="no longer leaves {item} fed"),
        "note": _NOTE,
    },
    model.VehicleOutput: {
        "name": _NAME,
        "reach": Said("reach", phrase="is reached {new} instead of {old}"),
        "path": _PATH,
    },
    model.Situation: {
        "name": _NAME,
        "settings": Pairs("setting"),
        "memory": Pairs("memory"),
        "stands_for": Said("what it stands for", phrase="stands for {new} instead of {old}"),
        "lasts_s": Said("length", "time", phrase="lasts {new} instead of {old}"),
        "path": _PATH,
    },
    model.Promise: {
        "name": _NAME,
        "kind": Said("kind"),
        "path": _PATH,
        "when": Said("when"),
        "then": Said("then"),
        "within_ms": Said("time to hold", "ms", phrase="has to hold within {new} instead of {old}"),
        "never": Said("never"),
        "but": Said("excuse", adds="is now excused by {item}", drops="is no longer excused by {item}"),
        "after": Said("after"),
        "until": Said("until"),
        "source": Said("pack it comes from"),
        "text": NotCompared("its conditions say it"),
    },
    model.Waiver: {
        "code": _NAME,
        "about": _NAME,
        "by": Said("who gives it", phrase="is given by {new} instead of {old}"),
        "why": Said("reason"),
        "until": Said("last day", phrase="holds until {new} instead of {old}"),
        "path": _PATH,
    },
    model.Option: {
        "name": _NAME,
        "base": Said("base", phrase="is {new} instead of {old} where nothing is chosen"),
        "values": Items("name", "with ", ("added", "set", "dropped")),
        "path": _PATH,
    },
    model.OptionValue: {
        "name": _NAME,
        "added": Said("adds", adds="now adds {item}", drops="no longer adds {item}"),
        "set": Said("sets", adds="now sets {item}", drops="no longer sets {item}"),
        "dropped": Said("drops", adds="now drops {item}", drops="no longer drops {item}"),
        "price": Said("price"),
        "path": _PATH,
    },
    model.Serial: {
        "number": _NAME,
        "name": Said("name", phrase="is called {new} instead of {old}"),
        "choices": Pairs("option"),
        "path": _PATH,
        "note": _NOTE,
    },
    model.Fixed: {
        "subject": _NAME,
        "what": _NAME,
        "value": Said("value", phrase="is fixed at {new} instead of {old}"),
        "path": _PATH,
    },
    model.Decision: {
        "subject": _NAME,
        "what": _NAME,
        "value": Said("value", phrase="is decided as {new} instead of {old}"),
        "by": Said("who decided", phrase="is decided by {new} instead of {old}"),
        "decided_from": NotCompared("what it was decided from is compared itself"),
        "choices": NotCompared("it says for which vehicles a line of the lock holds"),
        "path": _PATH,
    },
    model_fitted.Lamp: {
        "name": _NAME,
        "part": _PART,
        "at": _AT,
        "paired": Said("mirrored on both sides"),
        "aim_rad": Said("aim", "angle", phrase="is turned {new} instead of {old}"),
        "elevation_rad": Said("elevation", "angle", phrase="is tilted up {new} instead of {old}"),
        "sync": Said("sync wire", phrase="is on the sync wire {new} instead of {old}"),
        "by": _BY,
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Isolator: {
        "join": Said("joins", phrase="joins while {new} instead of {old}"),
        "split": Said("parts", phrase="parts when {new} instead of {old}"),
    },
    model_fitted.Feed: {
        "name": _NAME,
        "source": Said("source", phrase="comes from {new} instead of {old}"),
        "source_is": Said("kind of source"),
        "on_while": Said("on", phrase="is on while {new} instead of {old}"),
        "hot": Said("straight off its source"),
        "below_v": Said("least voltage", "voltage", phrase="is cut off below {new} instead of {old}"),
        "below_held_s": Said("time below it", "time"),
        "shed": Said("place in shedding", phrase="is shed as number {new} instead of {old}"),
        "ends_with": Said("wire that tells its end"),
        "ends_before_s": Said("notice before its end", "time"),
        "sleep_after": Said("what sleep follows"),
        "sleep_s": Said("time to sleep", "time"),
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Bay: {
        "name": _NAME,
        "holds": Said("content", phrase="holds {new} instead of {old}"),
        "is_controls": Said("for the controls"),
        "is_blank": Said("blank"),
        "equipment": Said("equipment", phrase="carries {new} instead of {old}"),
        "path": _PATH,
    },
    model_fitted.Console: {
        "part": _PART,
        "at": _AT,
        "bays": Items("name", "", ("holds",)),
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.CargoItem: {
        "name": _NAME,
        "part": _PART,
        "mass_kg": Said("weight", "mass", phrase="weighs {new} instead of {old}"),
        "count_n": Said("count", phrase="is carried {new} times instead of {old}"),
        "at": _AT,
        "panel": Said("panel", phrase="is reached through {new} instead of {old}"),
        "locks": Said("lock", adds="now locks {item}", drops="no longer locks {item}"),
        "holds": Said("holds", adds="now holds {item}", drops="no longer holds {item}"),
        "air": Said("air"),
        "volume_m3": Said("volume", "volume"),
        "hold": Said("what keeps it in place", phrase="is kept in place by {new} instead of {old}"),
        "by": _BY,
        "packed": Said("packed when it leaves the shop"),
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Marking: {
        "name": _NAME,
        "film": Said("film", phrase="is of {new} instead of {old}"),
        "kind": Said("kind", phrase="is a {new} instead of a {old}"),
        "band_m": Said("height", "length", phrase="is {new} high instead of {old}"),
        "begin": Said("beginning", phrase="begins at {new} instead of {old}"),
        "end": Said("end", phrase="ends at {new} instead of {old}"),
        "slope_rad": Said("slope", "angle", phrase="slopes {new} instead of {old}"),
        "width_m": Said("width", "length", phrase="is {new} wide instead of {old}"),
        "share": Said("share", "share", phrase="covers {new} instead of {old}"),
        "on": Said("field", adds="is now also on {item}", drops="is no longer on {item}"),
        "by": _BY,
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Glazing: {
        "name": _NAME,
        "side": Said("side", phrase="is meant on the side {new} instead of {old}"),
        "film": Said("film", phrase="has the film {new} instead of {old}"),
        "part": Said("pane", phrase="is replaced by {new} instead of {old}"),
        "by": _BY,
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Crossing: {
        "name": _NAME,
        "own_m_s": Said("own speed", "speed"),
        "cross_m_s": Said("speed of the other", "speed"),
        "corner_from_cross_m": Said("corner from the path of the other", "length"),
        "corner_from_own_m": Said("corner from the own path", "length"),
        "side": Said("side the other comes from"),
        "grade_share": Said("grade of the other road", "share"),
        "note": _NOTE,
        "path": _PATH,
    },
    model_fitted.Trailer: {
        "name": _NAME,
        "tongue_kg": Said("weight on the hitch", "mass"),
        "weight_kg": Said("weight", "mass", phrase="weighs {new} instead of {old}"),
        "lamps": Said("circuit of its lamps"),
        "always": Said("always there"),
        "note": _NOTE,
        "path": _PATH,
        "width_m": Said("width", "length"),
        "height_m": Said("height", "length"),
        "length_m": Said("length", "length"),
        "drawbar_m": Said("length of the drawbar", "length"),
    },
}
"""Each field of each class in the Model."""
