"""Which functions of one rank can want one head, or one siren, with no word between them?

Decided over all settings at once: no setting is left out, none is drawn by lot. What is found is shown in the setting
with the fewest things away from rest, and acted out through the machine's step.

See Also
--------
coachwright.control.contested : the rule. coachwright.control.before_proof : what is said about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

from coachwright.build.condition import First
from coachwright.build.model import Model
from coachwright.control.circuit import FALSE
from coachwright.control.cone import Control, cone_of, control_of, inputs_of, model_of
from coachwright.control.contested import Contested, Rivals, contested_heads, contested_sirens
from coachwright.control.encode import Moment
from coachwright.control.machine import State, build_machine
from coachwright.control.sat import Solution, Solver
from coachwright.control.statement import Outputs
from coachwright.control.story import Story, Target, short_story
from coachwright.kit.counted import counted
from coachwright.kit.once import once

STEPS_MOST = 4000
"""Steps of the machine tried, at most, in each of two ways to act a setting out."""


@dataclass(frozen=True, slots=True)
class LookedAt:
    """What a decision covered: every combination of these."""

    settings_n: int
    inputs_n: int
    memories_n: int
    timers_n: int

    def __str__(self) -> str:
        parts = [counted(self.inputs_n, "input", "inputs")]
        parts += [counted(self.memories_n, "memory", "memories")] if self.memories_n else []
        parts += [counted(self.timers_n, "timer or hold-off", "timers and hold-offs")] if self.timers_n else []
        listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
        return f"{_big(self.settings_n)} settings of {listed}"


@dataclass(frozen=True, slots=True)
class Clash:
    """Functions of one rank between which nothing decides.

    Parameters
    ----------
    ids : heads (or the siren) on which it can happen; shown : those on which it does in the setting given.
    circle : each of them is beaten by another one. beside : the question is who shows beside the winner.
    setting : what is away from rest, as texts.
    story : None when none was found within `tried_n` steps.
    """

    kind: str
    ids: tuple[str, ...]
    shown: tuple[str, ...]
    functions: tuple[str, ...]
    rank: str
    circle: bool
    beside: bool
    setting: tuple[str, ...]
    looked_at: LookedAt
    story: Story | None
    tried_n: int


def clashes(model: Model) -> tuple[Clash, ...]:
    """Every such set of functions, in the order of ranks and names."""
    return _clashes(control_of(model))


def looked_at(model: Model) -> LookedAt:
    """What `clashes` covers."""
    moment = Moment(model, build_machine(model))
    contested = (*contested_heads(moment), *contested_sirens(moment))
    return _covered(moment, contested)


@once(max_bytes=4_000_000)
def _clashes(control: Control) -> tuple[Clash, ...]:
    model = model_of(control)
    moment = Moment(model, build_machine(model))
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    try:
        return find_clashes(moment, solver, (*contested_heads(moment), *contested_sirens(moment)))
    finally:
        solver.close()


def find_clashes(moment: Moment, solver: Solver, contested: Sequence[Contested]) -> tuple[Clash, ...]:
    """The clashes of a moment; `solver` keeps its rules at rest."""
    asked: dict[tuple[str, tuple[str, ...], bool, bool], list[tuple[Contested, Rivals]]] = {}
    for each in contested:
        for rivals in each.rivals:
            asked.setdefault((each.kind, rivals.functions, rivals.circle, rivals.beside), []).append((each, rivals))
    found: list[Clash] = []
    covered: LookedAt | None = None
    for (kind, functions, _, beside), pairs in sorted(asked.items(), key=lambda item: item[0]):
        if beside and any(clash.functions == functions for clash in found):
            continue  # the word that decides who has a head decides who shows beside it, too
        anywhere = moment.circuit.any_of(rivals.literal for _, rivals in pairs)
        if not solver.can_be(anywhere):
            continue
        covered = covered or _covered(moment, contested)
        solution = least_away(moment, solver, [anywhere])
        if solution is not None:
            possible = [(each, rivals) for each, rivals in pairs if solver.can_be(rivals.literal)]
            found.append(_clash(moment, kind, possible, solution, covered))
    places = {rank: place for place, rank in enumerate(moment.model.ranks)}
    return tuple(sorted(found, key=lambda clash: (places[clash.rank], clash.functions, clash.kind)))


def least_away(moment: Moment, solver: Solver, wanted: Sequence[int]) -> Solution | None:
    """A setting with as little as possible away from rest; where it can be, without a past in memory or timers."""
    inputs = [choice.away for choice in moment.inputs.values()]
    past = [*(choice.away for choice in moment.memories.values()), *moment.stir]
    calm = [] if moment.restless == FALSE else [-moment.restless]
    for assumed in ([*calm, *(-each for each in past)], calm, []):
        found = solver.fewest([*wanted, *assumed], [each for each in (*inputs, *past) if each != FALSE])
        if found is not None:
            return found[0]
    return None


def setting_texts(moment: Moment, solution: Solution) -> tuple[str, ...]:
    """What is away from rest in a solution, a person's way."""
    texts = []
    for choice in (*moment.inputs.values(), *moment.memories.values()):
        place = solution.holds(*choice.literals).index(True)
        if place != choice.rest:
            texts.append(choice.texts[place])
    waiting = {name: (bit, -moment.functions[name].stopped) for name, bit in moment.held_off_bits.items()}
    held_off = [name for name, literals in waiting.items() if all(solution.holds(*literals))]
    return (*texts, *(f"{name} held off" for name in held_off))


def target_of(moment: Moment, solution: Solution) -> Target:
    """What a story has to head for to get to a solution."""
    settings, memory = [], []
    for choice in moment.inputs.values():
        place = solution.holds(*choice.literals).index(True)
        if place != choice.rest:
            settings.append((choice.name, choice.values[place]))
    for choice in moment.memories.values():
        if solution.holds(choice.away)[0]:
            memory.append((choice.name, str(choice.values[solution.holds(*choice.literals).index(True)])))
    return Target(tuple(settings), tuple(memory))


def _clash(
    moment: Moment, kind: str, possible: Sequence[tuple[Contested, Rivals]], solution: Solution, covered: LookedAt
) -> Clash:
    here = [(each, rivals) for each, rivals in possible if solution.holds(rivals.literal)[0]]
    rivals = here[0][1]
    shown = tuple(one for each, _ in here for one in each.ids)
    story, tried_n = _acted_out(
        cone_of(control_of(moment.model), shown[:1]), kind, shown[0], rivals=rivals, target=target_of(moment, solution)
    )
    return Clash(
        kind,
        tuple(dict.fromkeys(one for each, _ in possible for one in each.ids)),
        shown,
        rivals.functions,
        rivals.rank,
        rivals.circle,
        rivals.beside,
        setting_texts(moment, solution),
        covered,
        story,
        tried_n,
    )


@once(max_bytes=4_000_000)
def _acted_out(cone: Control, kind: str, one: str, *, rivals: Rivals, target: Target) -> tuple[Story | None, int]:
    """The story to a clash on head or siren `one`, in a build with no more than what takes part in it."""

    def happens(_state: State, outputs: Outputs) -> bool:
        if kind == "head":
            wanted = outputs.head(one).wanted
        else:
            wanted = next((sound.wanted for sound in outputs.sounds if sound.siren == one), ())
        unclear = {each.function for each in wanted if each.outcome == "ambiguous"}
        return bool(unclear) if rivals.circle else unclear.issuperset(rivals.functions)

    model = model_of(cone)
    moment = Moment(model, build_machine(model))
    movable = inputs_of(model, rivals.functions)
    return short_story(moment, happens, target, movable=movable, steps_most=STEPS_MOST)


def _covered(moment: Moment, contested: Sequence[Contested]) -> LookedAt:
    """Every value of everything that decides who has these heads and sirens."""
    circuit = moment.circuit
    literals = [literal for each in contested for literal in (each.ambiguous, *(own for _, own in each.owns))]
    reached = set(circuit.cone(literals))
    inside = [timed.item for timed, literal in moment.timed.items() if abs(literal) in reached]
    reached |= set(circuit.cone([moment.condition(item) for item in inside]))
    inputs, memories = (
        [choice for choice in choices.values() if reached.intersection(circuit.cone(choice.literals))]
        for choices in (moment.inputs, moment.memories)
    )
    free = [literal for timed, literal in moment.timed.items() if not isinstance(timed, First)]
    timers_n = sum(abs(literal) in reached for literal in (*free, *moment.held_off_bits.values()))
    settings_n = prod(len(choice.values) for choice in (*inputs, *memories)) * 2**timers_n
    return LookedAt(settings_n, len(inputs), len(memories), timers_n)


def _big(number: int) -> str:
    """A whole number; two figures and a power of ten when it is a large one."""
    if number < 100_000:
        return str(number)
    mantissa, power = f"{number:.1e}".split("e")
    return f"{mantissa}e{int(power)}"
