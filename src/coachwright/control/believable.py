"""Does the body let its vehicle stand so? Stories are told of vehicles that can be.

Looked at are the sources, not what is read of them: debounce and edge holds lag behind, the vehicle doesn't.

See Also
--------
coachwright.control.acted : stories of proofs. coachwright.control.encode : the rules a proof itself keeps.
"""

from __future__ import annotations

from collections.abc import Mapping

from coachwright.build.model import Input, Model
from coachwright.control.choices import Value
from coachwright.control.encode import Moment
from coachwright.control.functions import names_through_words
from coachwright.control.signals import Inputs
from coachwright.control.turns import FLASHING


class Believable:
    """Answers for the sources of one build.

    said : a moment that tells apart what the body speaks of. model : whose body; it may say more than the moment's own.
    """

    def __init__(self, said: Moment, model: Model) -> None:
        excluded = [condition for condition, _ in model.cannot_be]
        words = {word.name: word.condition for word in said.model.words}
        names = {name for condition in excluded for name in names_through_words(condition, words)}
        self.said = said
        self.excluded = [said.condition(condition) for condition in excluded]
        self.items = [item for item in said.model.inputs if item.name in names]
        self.known: dict[tuple[Value, ...], bool] = {}

    def allows(self, inputs: tuple[Input, ...], sources: Inputs, kept: tuple[int, ...]) -> bool:
        """Can what stands at these sources stand there together?

        Parameters
        ----------
        inputs : in the order of `sources`. kept : what toggles keep.
        """
        if not self.items:
            return True
        stands = _stands(inputs, sources, kept)
        key = tuple(stands[item.name] for item in self.items)
        if key not in self.known:
            values = self.said.values({item.name: stands[item.name] for item in self.items}, {}, timed={})
            self.known[key] = not any(self.said.circuit.evaluate(self.excluded, values))
        return self.known[key]


def _stands(inputs: tuple[Input, ...], sources: Inputs, kept: tuple[int, ...]) -> Mapping[str, Value]:
    """What stands at every source, as conditions say it. Both wires flashing are a hazard and no turn."""
    places = dict(zip((item.name for item in inputs), sources.values, strict=True))
    wires = [item.name for item in inputs if item.kind == "turn-wire"]
    hazard = len(wires) == 2 and all(places[name] == FLASHING for name in wires)
    found: dict[str, Value] = {}
    for item, place, keeps in zip(inputs, sources.values, kept, strict=True):
        match item.kind:
            case "number":
                found[item.name] = float(place)
            case "turn-wire":
                found[item.name] = item.values[place == FLASHING and not hazard]
            case "hazard":
                found[item.name] = item.values[hazard]
            case "toggle":
                found[item.name] = item.values[keeps]
            case _:
                found[item.name] = item.values[int(place)]
    return found
