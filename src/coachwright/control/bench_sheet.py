"""The bench list as a person in the bay reads it: what to do, where to look, what is then seen, who helps, how long.

Plain data for every face: text, JSON, a sheet. Times and who is needed rest on assumptions that stand here as data and
are printed with the list.

See Also
--------
coachwright.control.bench : the list. coachwright.look.bench : prints it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from coachwright.build.model import Head, Input, Model
from coachwright.build.quantity_text import print_time
from coachwright.control.bench import Listed, Step
from coachwright.control.bench_asked import Asked, relevant_inputs
from coachwright.control.bench_seen import Sight
from coachwright.control.choices import thresholds_of
from coachwright.control.sources import LOST
from coachwright.control.story import Act
from coachwright.parts.schema import Place as BodyPlace
from coachwright.place.poses import place_and_side


@dataclass(frozen=True, slots=True)
class Pace:
    """How long things take, in seconds: assumptions of this page, common practice and not measured."""

    hand_s: float = 3.0
    foot_s: float = 3.0
    panel_s: float = 15.0
    signal_s: float = 45.0
    power_up_s: float = 60.0
    round_s: float = 60.0
    line_s: float = 4.0

    @property
    def words(self) -> tuple[str, ...]:
        """The assumptions, a line each."""
        return (
            f"a control {self.hand_s:g} s, a pedal {self.foot_s:g} s, a door, gate or tray {self.panel_s:g} s",
            f"a speed, voltage or engine state to be brought about {self.signal_s:g} s",
            f"the controller without supply, everything to rest, supply back {self.power_up_s:g} s",
            f"once round the vehicle {self.round_s:g} s, and {self.line_s:g} s for each line to be ticked",
        )


PACE = Pace()


@dataclass(frozen=True, slots=True)
class Expect:
    """One line to be ticked. where : on the vehicle, in words; names : as in the build; text : what is seen there."""

    kind: str
    where: str
    names: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class SheetStep:
    """One step as it is read.

    do : lines of what to do. expect : lines to be ticked; everything else is dark and silent.
    look_within : in words, where it doesn't stay so. second_person : why somebody helps; "" where nobody has to.
    shows : what is seen here for the first time on the list, as build paths, with how many things each.
    """

    number: int
    situation: str
    from_power_up: bool
    do: tuple[str, ...]
    look_within: str
    expect: tuple[Expect, ...]
    second_person: str
    minutes: float
    moves_n: int
    shows: tuple[tuple[str, int], ...]
    mistakes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole list as it is read."""

    steps: tuple[SheetStep, ...]
    minutes: float
    moves_n: int
    helped_n: int
    pace: Pace = PACE


def sheet(model: Model, listed: Listed, pace: Pace = PACE) -> Sheet:
    """The list of a build as a person reads it."""
    steps = tuple(_step(model, listed, step, number, pace) for number, step in enumerate(listed.steps, start=1))
    return Sheet(
        steps,
        sum(step.minutes for step in steps),
        sum(step.moves_n for step in steps),
        sum(bool(step.second_person) for step in steps),
        pace,
    )


def _step(model: Model, listed: Listed, step: Step, number: int, pace: Pace) -> SheetStep:
    expect = tuple(expected(model, step.seen))
    helped = second_person(model, step)
    situation = next(
        (asked.about.removeprefix("situations.") for asked in _asked(listed, step) if asked.kind == "situation"), ""
    )
    shows: dict[str, int] = {}
    for place in step.new:
        about = listed.asked[place].about
        shows[about] = shows.get(about, 0) + 1
    return SheetStep(
        number,
        situation,
        step.from_power_up,
        tuple(_all_told(model, step.acts)),
        f"look within {print_time(_rounded_down(step.look_within_ms))}" if step.look_within_ms else "",
        expect,
        helped,
        _minutes(model, step, expect, pace),
        step.moves_n,
        tuple(shows.items()),
        step.mistakes,
    )


def _asked(listed: Listed, step: Step) -> Iterator[Asked]:
    return (listed.asked[place] for place in step.shows if place < len(listed.asked))


def _rounded_down(time_ms: int) -> int:
    return time_ms // 1000 * 1000 or time_ms


# -------------------------------------------------------------------------------------------------------------- seeing
def expected(model: Model, seen: Iterable[Sight]) -> Iterator[Expect]:
    """Lines to be ticked: heads in the order of the build, those that do the same at one place together."""
    lights: dict[str, list[Sight]] = {}
    others: list[Sight] = []
    for sight in sorted(seen):
        if sight.kind == "head":
            lights.setdefault(sight.name, []).append(sight)
        else:
            others.append(sight)
    lines: dict[tuple[str, str], list[tuple[int, str]]] = {}
    for head in model.heads:
        if head.id in lights:
            text = "; ".join(_light_text(sight) for sight in lights[head.id])
            same, row_place = _of_a_row(text)
            lines.setdefault((where(model, head), same), []).append((row_place, head.id))
    for (place, text), heads in lines.items():
        yield Expect("head", place, tuple(name for _, name in sorted(heads, key=lambda each: each[0])), text)
    kinds = {
        "siren": "sounds {}",
        "run": "runs",
        "interrupt": "is interrupted",
        "message": "says: {}",
        "tell-tale": "is lit",
    }
    says = {message.name: message.say for message in model.messages}
    at = {item.name: item.at for item in model.equipment}
    for sight in others:
        text = kinds[sight.kind].format(sight.text if sight.kind == "siren" else says.get(sight.name, ""))
        name = f"{sight.name} tell-tale" if sight.kind == "tell-tale" else sight.name
        yield Expect(sight.kind, _place_words(model, at.get(sight.name, "")), (name,), text)


def _of_a_row(text: str) -> tuple[str, int]:
    """Heads of a row are told together, in the order in which they burn."""
    found = re.search(r", place (\d+) of the row", text)
    if found is None:
        return text, 0
    return text.replace(found[0], ", one after the other along the row"), int(found[1])


def where(model: Model, head: Head) -> str:
    """Where a head is on the vehicle, in words, with its side."""
    places: Mapping[str, BodyPlace] = getattr(model.body, "places", {})
    if head.reach == "own" and head.place not in places:
        words, side = head.place, head.side
    else:
        place, place_side = place_and_side(head, model.body)
        words, side = place.what or head.place, place_side
    return f"{words}, {side}" if side else words


def _place_words(model: Model, name: str) -> str:
    places: Mapping[str, BodyPlace] = getattr(model.body, "places", {})
    return places[name].what or name if name in places else name


def _light_text(sight: Sight) -> str:
    return sight.text if sight.share == 1.0 else f"{sight.text}, at {100 * sight.share:g} % of full light"


# --------------------------------------------------------------------------------------------------------------- doing
def _all_told(model: Model, acts: Iterable[Act]) -> Iterator[str]:
    """Acts one after the other; setting what is unplugged brings it back."""
    unplugged: set[str] = set()
    for act in acts:
        back = act.name in unplugged and act.value != LOST
        yield f"{told(model, act).removesuffix('.')}, then plug its source in again." if back else told(model, act)
        unplugged -= {act.name}
        unplugged |= {act.name} if act.value == LOST else set()


def told(model: Model, act: Act) -> str:
    """An act as one tells it to somebody."""
    if not act.name:
        return f"Wait {print_time(act.wait_ms)}."
    item = model.input(act.name)
    if act.value == LOST:
        return f"Unplug the source of {act.name}."
    match item.kind:
        case "slide" | "pick-one":
            return f"Move {act.name} to {act.value}."
        case "toggle":
            return f"Press {act.name}: {act.value}."
        case "button":
            return f"Press {act.name} and hold it." if act.value == "on" else f"Let {act.name} go."
        case "turn-wire" | "hazard":
            return f"Signal {act.name}." if act.value == "on" else f"Switch {act.name} off."
        case "number":
            return f"Bring {act.text}."
    return _signal_told(item, act)


def _signal_told(item: Input, act: Act) -> str:
    """A signal of two or more values, as one brings it about."""
    if item.values == ("closed", "open"):
        return f"Open {act.name}." if act.value == "open" else f"Close {act.name}."
    if _stays(item):
        return f"Set {act.name}." if act.value == "on" else f"Release {act.name}."
    if item.hand == "foot":
        return f"Foot on {act.name}." if act.value == "on" else f"Let {act.name} go."
    return f"Set {act.name} {act.value}."


def second_person(model: Model, step: Step) -> str:
    """Why somebody has to help while one looks; "" where one person does."""
    if not any(sight.kind == "head" for sight in step.seen):
        return ""
    reads = dict(step.place.reads)
    reasons = []
    for name in relevant_inputs(model):
        item = model.input(name)
        if item.kind == "button" and reads.get(name) == 1:
            reasons.append(f"holds {name}")
        elif item.hand == "foot" and item.values == ("off", "on") and reads.get(name) == 1 and not _stays(item):
            reasons.append(f"keeps a foot on {name}")
        elif item.name == "speed" and reads.get(name, 0) > _rest_place(model, item):
            reasons.append("drives on a closed course, or feeds the speed signal")
    return "; ".join(reasons)


def _stays(item: Input) -> bool:
    """A park brake stays where it was put."""
    return item.name == "park-brake"


def _rest_place(model: Model, item: Input) -> int:
    """Where the resting value lies among the stretches of a number, counted as its choice counts them."""
    points = sorted(thresholds_of(model).get(item.name, ()))
    rest = float(item.rest) if not isinstance(item.rest, str) else item.low
    return sum(2 for point in points if point < rest) + sum(1 for point in points if point == rest)


def _minutes(model: Model, step: Step, expect: tuple[Expect, ...], pace: Pace) -> float:
    seconds = step.wait_ms / 1000 + len(expect) * pace.line_s
    seconds += pace.round_s if any(line.kind == "head" for line in expect) else 0.0
    seconds += pace.power_up_s if step.from_power_up else 0.0
    for act in step.acts:
        if act.name:
            item = model.input(act.name)
            panel = item.values == ("closed", "open")
            by_hand = {"hand": pace.hand_s, "foot": pace.foot_s, "vehicle": pace.signal_s}[item.hand]
            seconds += pace.panel_s if panel else by_hand
    return seconds / 60
