"""What can a person beside the vehicle see and hear? The same words for what the machine does and for the circuit.

A light is told with the half of the cycle in which it burns and its place in a row, so that two lamps that were swapped
look different wherever an attentive person would see it.

See Also
--------
coachwright.control.statement : what the machine puts out. coachwright.control.shown : the same as literals.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwright.build.model import ColourShow, Model
from coachwright.control.circuit import Circuit
from coachwright.control.encode import Moment
from coachwright.control.heads import colour_text
from coachwright.control.shown import Shown
from coachwright.control.statement import Outputs
from coachwright.parts.schema import Place
from coachwright.place.poses import poses

Kind = Literal["head", "siren", "run", "interrupt", "message", "tell-tale"]

_ON_THE_LINE_M = 1e-6
_SHARE_DIGITS = 6


@dataclass(frozen=True, slots=True, order=True)
class Sight:
    """One thing to be seen or heard.

    name : of the head, siren, equipment, output or message. text : what it does. colour : of a head's light, else "".
    share : of the part's full light; 1.0 for what isn't dimmed.
    """

    kind: Kind
    name: str
    text: str = ""
    colour: str = ""
    share: float = 1.0

    @property
    def undimmed(self) -> Sight:
        """The same light, however bright."""
        return Sight(self.kind, self.name, self.text, self.colour)


class Eyes:
    """How the heads of one build are looked at: which burn in the first half, and where each stands in its rows.

    All moments that are asked for literals lie in one circuit.
    """

    def __init__(self, model: Model, halves: Mapping[str, bool] | None = None) -> None:
        self._first_half = halves if halves is not None else first_half(model)
        self._told = frozenset(item.name for item in model.inputs if item.tell_tale_condition is not None)
        self._row_place: dict[tuple[str, str, ColourShow], int] = {}
        self._both: dict[tuple[int, int], int] = {}
        for function in model.functions:
            for show in (*function.shows, *(show for level in function.levels for show in level.shows)):
                for colour in show.colours:
                    if colour.pattern is not None and goes_over_a_row(colour.pattern.word):
                        for place, head in enumerate(show.heads, start=1):
                            self._row_place[head, function.name, colour] = place

    def of(self, model: Model) -> Eyes:
        """The same eyes on a build with the same heads that does something else."""
        return Eyes(model, self._first_half)

    def with_twins(self, model: Model, original: Mapping[str, str]) -> Eyes:
        """The same eyes on a build in which some heads stand once more. original : per such head, which it is like."""
        halves = dict(self._first_half)
        return Eyes(model, halves | {twin: halves[head] for twin, head in original.items() if head in halves})

    def light(self, head: str, owner: str, show: ColourShow) -> str:
        """One colour of a head in words that are equal where the light is."""
        if show.manner == "pattern" and show.sides in ("sides", "other-sides"):
            first = self._first_half.get(head, True) == (show.sides == "sides")
            text = show.pattern.text if show.pattern is not None else ""
            return f"{show.colour} {text}, {'first' if first else 'second'} half"
        place = self._row_place.get((head, owner, show))
        said = colour_text(show).removesuffix(" together")
        return said if place is None else f"{said}, place {place} of the row"

    def seen(self, outputs: Outputs) -> frozenset[Sight]:
        """All that is seen of what the machine puts out."""
        found = [
            Sight("head", state.head, self.light(state.head, part.owner, part.show), part.colour, _rounded(part.share))
            for state in outputs.heads
            for part in state.parts
        ]
        found += [Sight("siren", sound.siren, sound.tone) for sound in outputs.sounds if sound.owners]
        found += [Sight("run", name, "runs") for name in outputs.runs]
        found += [Sight("interrupt", name, "is interrupted") for name in outputs.interrupts]
        found += [Sight("message", name, "is said") for name in outputs.messages]
        found += [
            Sight("tell-tale", name, "is lit")
            for name, word in outputs.tell_tales
            if name in self._told and word == "on"
        ]
        return frozenset(found)

    def literals(self, moment: Moment) -> dict[Sight, int]:
        """Everything that can be seen in a moment, each with the literal that it is."""
        shown, circuit = Shown(moment), moment.circuit
        found: dict[Sight, list[int]] = {}
        shares: dict[tuple[str, float], list[tuple[float, int]]] = {}
        for head, contested in shown.heads.items():
            for function, show, literal in contested.parts:
                text = self.light(head, function, show)
                if (function, show.share) not in shares:
                    shares[function, show.share] = shown.shares(function, show)
                for share, scaled in shares[function, show.share]:
                    sight = Sight("head", head, text, show.colour, _rounded(share))
                    found.setdefault(sight, []).append(self._all_of(circuit, literal, scaled))
        for siren, contested in shown.sirens.items():
            owns = dict(contested.owns)
            for wish in contested.wishes:
                own = circuit.all_of((owns[wish.function], wish.wanted, -contested.ambiguous))
                for tone, literal in shown.tones(wish):
                    found.setdefault(Sight("siren", siren, tone), []).append(circuit.all_of((own, literal)))
        found |= _others(moment)
        return {
            sight: literals[0] if len(literals) == 1 else circuit.any_of(literals) for sight, literals in found.items()
        }

    def _all_of(self, circuit: Circuit, one: int, other: int) -> int:
        """Remembered: build after build asks for the same pairs, in one circuit."""
        if (one, other) not in self._both:
            self._both[one, other] = circuit.all_of((one, other))
        return self._both[one, other]


def _others(moment: Moment) -> dict[Sight, list[int]]:
    """Runs, interrupts, messages, and tell-tales with a condition; one that follows its control says no more."""
    circuit, functions = moment.circuit, moment.machine.functions
    active = [moment.functions[function.name].active for function in functions]

    def any_active(bits: int) -> int:
        return circuit.any_of(literal for place, literal in enumerate(active) if bits >> place & 1)

    cut = {name: any_active(bits) for name, bits in moment.machine.interrupts}
    found = {Sight("interrupt", name, "is interrupted"): [literal] for name, literal in cut.items()}
    for name, bits in moment.machine.runs:
        running = any_active(bits)
        found[Sight("run", name, "runs")] = [circuit.all_of((running, -cut[name])) if name in cut else running]
    for message in moment.model.messages:
        said = [
            moment.functions[function.name].active
            for function in moment.model.functions
            if message.name in function.says
        ]
        if message.when is not None:
            said.append(moment.condition(message.when))
        found[Sight("message", message.name, "is said")] = said
    for item in moment.model.inputs:
        if item.tell_tale_condition is not None:
            found[Sight("tell-tale", item.name, "is lit")] = [moment.condition(item.tell_tale_condition)]
    return found


def first_half(model: Model) -> Mapping[str, bool]:
    """Per head: does it stand left of the centre line, or on it? By its side where the body has no such place."""
    places: Mapping[str, Place] = getattr(model.body, "places", {})
    if any(head.reach == "own" and head.place not in places for head in model.heads):
        return {head.id: head.side != "right" for head in model.heads}
    return {head.id: pose.position_m[1] >= -_ON_THE_LINE_M for head, pose in poses(model).items()}


def goes_over_a_row(word: str) -> bool:
    """Does a pattern of this name burn head after head along the selector's row?"""
    return word.startswith("run-") or word == "four-corner"


def _rounded(share: float) -> float:
    return round(share, _SHARE_DIGITS)
