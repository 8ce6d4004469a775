"""Reads the stories of docs/control.md: a little vehicle, what is done to it, and what is then true."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coachwright.build.model import Input, Model
from coachwright.control.machine import power_up
from coachwright.control.sources import Fault, kept_value
from coachwright.kit.nodes import read_nodes
from coachwright.kit.units import parse
from tests.control import by_hand
from tests.control.by_hand import Told

PAGE = Path(__file__).resolve().parents[2] / "docs" / "control.md"
_STORY = re.compile(r"^```story\n(.*?)^```", re.MULTILINE | re.DOTALL)
_TIME = re.compile(r"[0-9]+ (ms|s|min|h)")


@dataclass(frozen=True)
class Story:
    """One example. place : heading and number under it. steps : (what is done, what is then true)."""

    place: str
    model: Model
    steps: tuple[tuple[str, tuple[str, ...]], ...]


def stories() -> Iterator[Story]:
    """Every example of the page."""
    text = PAGE.read_text(encoding="utf-8")
    counted: dict[str, int] = {}
    for found in _STORY.finditer(text):
        heading = re.findall(r"^## (.*)$", text[: found.start()], re.MULTILINE)[-1]
        counted[heading] = counted.get(heading, 0) + 1
        document = read_nodes(found[1], file=f"{heading} {counted[heading]}")
        assert not document.findings, document.findings
        assert isinstance(document.plain, dict)
        yield _story(f"{heading.lower().replace(' ', '-')}-{counted[heading]}", document.plain)


def _story(place: str, plain: dict[str, Any]) -> Story:
    known = {"inputs", "heads", "memory", "functions", "stops", "limits", "messages", "controller needs", "story"}
    assert set(plain) <= known, set(plain) - known
    functions = [_function(name, each) for name, each in plain.get("functions", {}).items()]
    sirens = {siren for each in functions for siren in each["sound"]}
    fitted = sirens | {name for each in functions for name in (*each["runs"], *each["interrupts"])}
    model = by_hand.build(
        inputs=[_input(name, str(text)) for name, text in plain.get("inputs", {}).items()],
        heads=[by_hand.head(text.split()[-1], together=text.startswith("both ")) for text in plain.get("heads", ())],
        memories=[
            by_hand.memory(name, *each["values"], moves=each["moves"]) for name, each in plain.get("memory", {}).items()
        ],
        functions=functions,
        stops=[
            by_hand.stop(name, each["when"], *each["stops"], resume=each.get("resume", "self"))
            for name, each in plain.get("stops", {}).items()
        ],
        limits=[
            by_hand.limit(name, each["when"], parse(each["scale-to"], "share"), *each["of"])
            for name, each in plain.get("limits", {}).items()
        ],
        messages=[by_hand.message(name, text) for name, text in plain.get("messages", {}).items()],
        equipment=sorted(fitted),
        least_supply_v=parse(plain["controller needs"], "voltage") if "controller needs" in plain else 0.0,
    )
    steps = [(done, tuple(true.split(", "))) for line in plain["story"] for done, true in line.items()]
    return Story(place, model, tuple(steps))


def _input(name: str, text: str) -> Input | list[Input]:
    kind, *options = text.split("; ")
    written: dict[str, Any] = {}
    for option in options:
        key, _, value = option.partition(" ")
        times = {"debounce": "debounce_ms", "edge-hold": "edge_hold_ms"}
        if key in times:
            written[times[key]] = round(parse(value, "time") * 1000)
        else:
            written[key.replace("-", "_")] = value
    word, *values = kind.split()
    makers: dict[str, Any] = {
        "slide": by_hand.slide,
        "pick-one": by_hand.pick_one,
        "states": by_hand.states,
        "toggle": by_hand.toggle,
        "button": by_hand.button,
        "on/off": by_hand.on_off,
    }
    if word == "number":
        return by_hand.number(name, **written)
    if word == "voltage":
        return by_hand.number(name, "voltage", rest=float(values[0]), **written)
    if word == "turn":
        return by_hand.turn_wires(**written)
    made: Input = makers[word](name, *values, **written)
    return made


def _function(name: str, each: dict[str, Any]) -> dict[str, Any]:
    return by_hand.function(
        name,
        each["rank"],
        each.get("when", ""),
        show=_shows(each.get("show", {})),
        by=each.get("by", ""),
        levels={position: _shows(shown) for position, shown in each.get("levels", {}).items()},
        one_level=each.get("one-level") == "yes",
        at_most=each.get("at-most", {}),
        wins_over=each.get("wins-over", ()),
        sound=each.get("sound", {}),
        runs=each.get("runs", ()),
        interrupts=each.get("interrupts", ()),
    )


def _shows(shown: dict[str, str]) -> list[Any]:
    made = []
    for heads, text in shown.items():
        beside = text.startswith("beside ")
        colours = dict(part.split(" ", 1) for part in text.removeprefix("beside ").split(" and "))
        made.append(by_hand.show(*heads.split(), beside=beside, **colours))
    return made


def begin(story: Story) -> Told:
    """The vehicle powered up as the first line says."""
    first = story.steps[0][0]
    lever = re.fullmatch(r"at power-up with the lever of (\S+) at (\S+)", first)
    if lever:
        told = Told(story.model, **{lever[1]: lever[2]})
        told.state, told.outputs = power_up(told.machine, told.true)
        return told
    if first.startswith("at power-up with "):
        return Told(story.model, **_settings(story.model, first.removeprefix("at power-up with ").split(", ")))
    return Told(story.model)


def do(told: Told, story: Story, done: str) -> None:
    """One line of a story."""
    pieces = [] if done == "nothing" or done.startswith("at power-up") else done.split(", ")
    elapsed_ms, faults, asleep, named = 0, [], None, []
    for piece in pieces:
        if _TIME.fullmatch(piece):
            elapsed_ms = round(parse(piece, "time") * 1000)
        elif piece in ("asleep", "awake"):
            asleep = piece == "asleep"
        elif " stuck " in piece:
            name, _, value = piece.partition(" stuck ")
            faults.append(Fault(name, value))
        else:
            named.append(piece)
    if not named and not faults and asleep is None:
        told.wait(elapsed_ms)
    else:
        told.after(elapsed_ms, faults=faults, asleep=asleep, **_settings(story.model, named))


def _settings(model: Model, pieces: list[str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for piece in pieces:
        name, _, value = piece.partition(" ")
        item = model.input(name)
        assert item.kind != "toggle" or kept_value(item, value) is None, f"{piece}: a story pushes a toggle"
        found[name] = float(value) if not item.values and value != "lost" else value
    return found


def is_true(told: Told, said: str) -> bool:
    """Is one thing true that a story says?"""
    for pattern, answer in _SAYINGS:
        found = re.fullmatch(pattern, said)
        if found:
            return bool(answer(told, *found.groups()))
    raise AssertionError(f"nothing is known of: {said}")


def _burns(told: Told, head: str, colour: str, share: str | None, owner: str) -> bool:
    return any(
        part.colour == colour and part.owner == owner and (share is None or abs(part.share - float(share) / 100) < 1e-9)
        for part in told.outputs.head(head).parts
    )


def _sounds(told: Told, siren: str, tone: str, owner: str) -> bool:
    return any((each.siren, each.tone, each.owner) == (siren, tone, owner) for each in told.outputs.sounds)


_SAYINGS: tuple[tuple[str, Any], ...] = (
    (r"(\S+) reads (\S+)", lambda told, name, value: str(told.reads(name)) == value),
    (r"(\S+) never rests", lambda told, name: name in told.outputs.restless),
    (r"(\S+) acts", lambda told, name: told.acts(name)),
    (r"(\S+) doesn't act", lambda told, name: not told.acts(name)),
    (r"(\S+) waits", lambda told, name: told.held_off(name)),
    (r"(\S+) is stopped", lambda told, name: name in dict(told.outputs.stopped) and not told.acts(name)),
    (
        r"nobody has (\S+)",
        lambda told, head: not told.outputs.head(head).owners and not told.outputs.head(head).ambiguous,
    ),
    (r"(\S+) isn't decided", lambda told, head: told.outputs.head(head).ambiguous and not told.owners(head)),
    (r"(\S+) burns (\S+)(?: at (\S+) %)? from (\S+)", _burns),
    (r"(\S+) doesn't burn (\S+)", lambda told, head, colour: colour not in told.colours(head)),
    (r"(\S+) sounds (\S+) from (\S+)", _sounds),
    (r"(\S+) runs", lambda told, name: name in told.outputs.runs),
    (r"(\S+) doesn't run", lambda told, name: name not in told.outputs.runs),
    (r"(\S+) is interrupted", lambda told, name: name in told.outputs.interrupts),
    (r"(\S+) is said", lambda told, name: name in told.outputs.messages),
    (r"(\S+) isn't said", lambda told, name: name not in told.outputs.messages),
    (r"(\S+) is shown (\S+)", lambda told, name, word: dict(told.outputs.tell_tales)[name] == word),
    (r"(\S+) is (\S+)", lambda told, name, value: told.memory(name) == value),
)
