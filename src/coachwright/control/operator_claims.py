"""Is what a card says true of the machine? A claim is a setting, what is then done, and what must come of it.

Nothing is printed on an operator card that its claims don't bear out: each is acted out by the machine's own step.

See Also
--------
coachwright.control.operator : makes them. coachwright.control.machine : the step that decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from coachwright.build.condition import Truth
from coachwright.build.model import Model
from coachwright.control.machine import (
    State,
    Watch,
    build_machine,
    changed_inputs,
    ends_next_ms,
    instants,
    lay_in,
    memory_of,
    outputs_of,
    power_up,
    start_inputs,
    step,
    values_read,
)
from coachwright.control.sources import LOST, Setting, let_go
from coachwright.control.statement import ColourPart, HeadState, Outputs

MOST_WAITS = 400
"""Ends of timers waited for, at most, until a setting stands."""

What = Literal[
    "acts",
    "idle",
    "stopped",
    "waits",
    "lit",
    "dimmed",
    "dark",
    "has",
    "sounds",
    "runs",
    "cut",
    "says",
    "quiet",
    "reads",
    "at",
    "holds",
    "fails",
    "level",
]


@dataclass(frozen=True, slots=True)
class Expect:
    """One thing that must come of it.

    what : a function ``acts``, is ``idle``, ``stopped``, or ``waits`` to be asked; a head is ``lit`` by a light, or
        ``dimmed`` by a limit, or ``dark``, or a function ``has`` it; a siren ``sounds`` a tone; equipment ``runs`` or
        is ``cut`` off; a message is said (``says``) or not (``quiet``); an input ``reads`` a value; a memory is ``at``
        one; a word ``holds`` or ``fails``; a function shows a ``level``.
    """

    what: What
    name: str
    value: Setting = ""


@dataclass(frozen=True, slots=True)
class Act:
    """What is done: settings change in one step; then time passes.

    wait_ms : so long; None until no timer runs. asleep : the controller falls asleep or wakes; None leaves it.
    """

    settings: tuple[tuple[str, Setting], ...] = ()
    wait_ms: int | None = None
    asleep: bool | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """start : inputs away from rest at power-up. memory : laid in then. What is expected is looked at in the end."""

    start: tuple[tuple[str, Setting], ...]
    expects: tuple[Expect, ...]
    memory: tuple[tuple[str, str], ...] = ()
    acts: tuple[Act, ...] = ()


@dataclass(frozen=True, slots=True)
class Seen:
    """What a claim came to. words : truth of every word. settled : no timer ran on for ever."""

    outputs: Outputs
    reads: Mapping[str, Setting]
    memory: Mapping[str, str]
    words: Mapping[str, bool]
    settled: bool


class Stage:
    """A build's machine on which claims are acted out."""

    def __init__(self, model: Model) -> None:
        self.words = tuple(word.name for word in model.words)
        self.machine = build_machine(model, watch=[Watch(Truth(name)) for name in self.words])
        self.claims_n = 0

    def seen(self, claim: Claim) -> Seen:
        """Act it out.

        Raises
        ------
        SettingNotKnownError : it names something that this build doesn't have.
        """
        self.claims_n += 1
        inputs, kept = start_inputs(self.machine, dict(claim.start))
        state, _ = power_up(self.machine, inputs, kept=kept)
        if claim.memory:
            state, _ = lay_in(self.machine, state, dict(claim.memory))
        state, settled = self._wait(state, None)
        state = replace(state, held_off=0)
        for act in claim.acts:
            state = self._done(state, act)
            state, stands = self._wait(state, act.wait_ms)
            settled = settled and stands
        return self._look(state, settled)

    def wrong(self, claim: Claim) -> tuple[str, ...]:
        """Every expectation that the machine doesn't bear out; none when the claim is true."""
        seen = self.seen(claim)
        found = [f"{each.what} {each.name} {each.value}".rstrip() for each in claim.expects if not _holds(each, seen)]
        return tuple(found if seen.settled else [*found, "it never comes to rest"])

    def _done(self, state: State, act: Act) -> State:
        released = let_go(self.machine.inputs, state.inputs)
        if released != state.inputs:
            state, _ = step(self.machine, state, released, 0)
        inputs = changed_inputs(self.machine, state, dict(act.settings))
        if act.asleep is not None:
            inputs = replace(inputs, asleep=act.asleep)
        state, _ = step(self.machine, state, inputs, 0)
        known_ms = max((left_ms for _, _, left_ms in state.reading.settling), default=0)
        if known_ms:  # nothing counts before its debounce is over
            state, _ = step(self.machine, state, state.inputs, known_ms)
        return state

    def _wait(self, state: State, wait_ms: int | None) -> tuple[State, bool]:
        if wait_ms is not None:
            state, _ = step(self.machine, state, state.inputs, wait_ms)
            return state, True
        for _ in range(MOST_WAITS):
            next_ms = ends_next_ms(self.machine, state)
            if not next_ms:
                return state, True
            state, _ = step(self.machine, state, state.inputs, next_ms)
        return state, False

    def _look(self, state: State, settled: bool) -> Seen:
        *_, last = instants(self.machine, state, state.inputs, 0)
        words = dict(zip(self.words, last.watched, strict=True))
        outputs = outputs_of(self.machine, state)
        return Seen(outputs, values_read(self.machine, state), memory_of(self.machine, state), words, settled)


def _holds(expect: Expect, seen: Seen) -> bool:
    outputs, name, value = seen.outputs, expect.name, expect.value
    asked: dict[What, Callable[[], bool]] = {
        "acts": lambda: name in outputs.active,
        "idle": lambda: name not in outputs.active,
        "stopped": lambda: name in dict(outputs.stopped),
        "waits": lambda: name in outputs.held_off,
        "lit": lambda: value in lights(outputs.head(name)),
        "dimmed": lambda: value in [part.limited_by for part in outputs.head(name).parts],
        "dark": lambda: not outputs.head(name).parts and not outputs.head(name).ambiguous,
        "has": lambda: value in outputs.head(name).owners,
        "sounds": lambda: (name, value) in [(each.siren, each.tone) for each in outputs.sounds],
        "runs": lambda: name in outputs.runs,
        "cut": lambda: name in outputs.interrupts,
        "says": lambda: name in outputs.messages,
        "quiet": lambda: name not in outputs.messages,
        "reads": lambda: seen.reads[name] == value,
        "at": lambda: seen.memory[name] == value,
        "holds": lambda: seen.words[name],
        "fails": lambda: not seen.words[name],
        "level": lambda: dict(outputs.levels).get(name) == value,
    }
    return asked[expect.what]()


def light_of(part: ColourPart) -> str:
    """One colour that a head shows, in words that are equal where a driver sees no difference."""
    show = part.show
    said = {"steady": "steady", "follow": f"with {show.signal}"}.get(show.manner, "")
    if show.manner == "pattern" and show.pattern is not None:
        said = show.pattern.word if show.pattern.word.startswith("run-") else "flash"
    return f"{part.colour} {said} {round(show.share, 4):g}"


def lights(state: HeadState) -> tuple[str, ...]:
    """Everything a head shows, in such words."""
    return tuple(sorted({light_of(part) for part in state.parts}))


def expects_of(outputs: Outputs, function: str) -> Iterator[Expect]:
    """All that a function does here, as expectations. Runs and cuts are counted by who else acts (`runs_of`)."""
    yield Expect("acts", function)
    for state in outputs.heads:
        if function in state.owners and not state.parts:
            yield Expect("dark", state.head)
        for part in state.parts:
            if part.owner == function or (function in state.owners and part.owner in state.owners):
                yield Expect("lit", state.head, light_of(part))
    for sound in outputs.sounds:
        if function in sound.owners:
            yield Expect("sounds", sound.siren, sound.tone)


def silenced(names: Sequence[str]) -> Act:
    """These sources fall silent."""
    return Act(tuple((name, LOST) for name in names))
