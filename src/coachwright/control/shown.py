"""What do heads and equipment show in a moment, as literals? The words of promises over the circuit of one moment.

Says the same as coachwright.control.showing does of a state, for all states at once.

See Also
--------
coachwright.control.contested : who has the heads. coachwright.control.promised : reads whole promises.
"""

from __future__ import annotations

from coachwright.build.condition import HeadStatement
from coachwright.build.model import ColourShow
from coachwright.build.pattern_text import shows_pattern
from coachwright.control.circuit import FALSE, TRUE
from coachwright.control.contested import Contested, Wish, contested_heads, contested_sirens
from coachwright.control.encode import Moment

_ROUNDING = 1e-9


class Shown:
    """The heads, sirens and runs of a moment."""

    def __init__(self, moment: Moment) -> None:
        self.moment = moment
        self.circuit = moment.circuit
        self.heads = {one: each for each in contested_heads(moment) for one in each.ids}
        self.sirens = {one: each for each in contested_sirens(moment) for one in each.ids}
        self.limits = {limit.name: literal for limit, literal in zip(moment.model.limits, moment.limits, strict=True)}

    def heads_say(self, statement: HeadStatement, excused: frozenset[str]) -> int:
        """Literal: it is true of every head it names (`every`), or of at least one."""
        answers = [self.head_says(statement, head, excused) for head in statement.heads]
        return self.circuit.all_of(answers) if statement.every else self.circuit.any_of(answers)

    def head_says(self, statement: HeadStatement, head: str, excused: frozenset[str]) -> int:
        """Literal: it is true of this head. Where nothing decides who has the head, nothing is true of it."""
        contested = self.heads.get(head)
        if contested is None:
            return TRUE if statement.manner == "dark" else FALSE
        if statement.manner == "dark":
            said = self._dark(statement, contested, excused)
        else:
            said = self._burns(statement, contested, excused)
        return self.circuit.all_of((said, -contested.ambiguous))

    def _dark(self, statement: HeadStatement, contested: Contested, excused: frozenset[str]) -> int:
        excusing = [literal for name, literal in contested.owns if name in excused]
        lit = [
            literal for _, show, literal in contested.parts if not statement.colour or show.colour == statement.colour
        ]
        return self.circuit.all_of((*(-each for each in excusing), *(-each for each in lit)))

    def _burns(self, statement: HeadStatement, contested: Contested, excused: frozenset[str]) -> int:
        """A colour that fits burns, and with `only` no other. Of several owners the brightest counts."""
        lit: dict[str, list[int]] = {}
        fitting: dict[str, list[int]] = {}
        asked: list[int] = []
        for function, show, literal in contested.parts:
            fits = self.circuit.all_of((literal, self._fits(statement, function, show)))
            lit.setdefault(show.colour, []).append(literal)
            fitting.setdefault(show.colour, []).append(fits)
            if function not in excused:
                asked.append(fits)
        said = self.circuit.any_of(asked)
        if not statement.only:
            return said
        others = (
            self.circuit.all_of((self.circuit.any_of(burns), -self.circuit.any_of(fitting[colour])))
            for colour, burns in lit.items()
        )
        return self.circuit.all_of((said, *(-each for each in others)))

    def _fits(self, statement: HeadStatement, function: str, show: ColourShow) -> int:
        if statement.colour and show.colour != statement.colour:
            return FALSE
        match statement.manner:
            case "steady":
                fits = show.manner == "steady"
            case "flashing":
                fits = show.manner != "steady"
            case "pattern":
                fits = show.pattern is not None and shows_pattern(show.pattern, statement.pattern)
            case _:
                fits = True
        if not fits:
            return FALSE
        return self._at_least(statement.at_least_share, function, show)

    def _at_least(self, least_share: float | None, function: str, show: ColourShow) -> int:
        """Literal: none of the limits that scale now brings it under that share."""
        if least_share is None:
            return TRUE
        if show.share < least_share - _ROUNDING:
            return FALSE
        too_dim = [
            limit.name
            for limit, compiled in zip(self.moment.model.limits, self.moment.machine.heads.limits, strict=True)
            if compiled.functions >> self._place(function) & 1
            and show.share * limit.scale_to_share < least_share - _ROUNDING
        ]
        return self.circuit.all_of(-self.limits[name] for name in too_dim)

    def shares(self, function: str, show: ColourShow) -> list[tuple[float, int]]:
        """Every share of full light that limits can leave of it, each with the literal that it is this one."""
        place = self._place(function)
        factors = sorted(
            (limit.scale_to_share, self.limits[limit.name])
            for limit, compiled in zip(self.moment.model.limits, self.moment.machine.heads.limits, strict=True)
            if compiled.functions >> place & 1
        )
        found, none_yet = [], TRUE
        for factor, literal in factors:
            found.append((show.share * factor, self.circuit.all_of((none_yet, literal))))
            none_yet = self.circuit.all_of((none_yet, -literal))
        return [*found, (show.share, none_yet)]

    def tones(self, wish: Wish) -> list[tuple[str, int]]:
        """Every tone that a wish for a siren can mean, each with the literal that it is this one."""
        if not wish.tone_memory:
            return [(str(wish.statement), TRUE)]
        memory = self.moment.memories[wish.tone_memory]
        return [(str(value), literal) for value, literal in zip(memory.values, memory.literals, strict=True)]

    def _place(self, function: str) -> int:
        return self.moment.machine.heads.function_names.index(function)

    def equipment_says(self, name: str, excused: frozenset[str]) -> int:
        """Literal: this equipment sounds or runs, and not for an excused function alone."""
        siren = self.sirens.get(name)
        sounds: list[int] = []
        if siren is not None:
            owners = [literal for function, literal in siren.owns if function not in excused]
            sounds = [self.circuit.all_of((literal, -siren.ambiguous)) for literal in owners]
        runs = [literal for function, literal in self._of(self.moment.machine.runs, name) if function not in excused]
        cut = self.circuit.any_of(literal for _, literal in self._of(self.moment.machine.interrupts, name))
        return self.circuit.any_of((*sounds, self.circuit.all_of((self.circuit.any_of(runs), -cut))))

    def interrupted(self, name: str) -> int:
        """Literal: this output is interrupted."""
        return self.circuit.any_of(literal for _, literal in self._of(self.moment.machine.interrupts, name))

    def _of(self, doers: tuple[tuple[str, int], ...], name: str) -> list[tuple[str, int]]:
        """Functions that run (or interrupt) this, each with the literal of acting."""
        bits = next((bits for one, bits in doers if one == name), 0)
        return [
            (function.name, self.moment.functions[function.name].active)
            for place, function in enumerate(self.moment.machine.functions)
            if bits >> place & 1
        ]
