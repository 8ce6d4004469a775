"""Which few settings, in which order, show on the vehicle that everything works as it was written?

    listed = bench(model)
    for step in listed.steps: ...   # what to do, what to wait for, what is then to be seen

Every step is acted out on the machine from the step before, and what is expected there is what the machine puts out.
What no setting can show is told with its reason.

See Also
--------
coachwright.control.bench_asked : what has to be seen. coachwright.control.bench_find : settings.
coachwright.control.bench_cover, coachwright.control.bench_order : the fewest, and their order.
coachwright.control.mistakes : what the list would catch.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from coachwright.build.model import Model
from coachwright.control.bench_asked import Asked, Moments, everything_asked
from coachwright.control.bench_cover import cover
from coachwright.control.bench_find import Finder, Found, shuffled
from coachwright.control.bench_order import ordered
from coachwright.control.bench_seen import Sight
from coachwright.control.bench_walk import PACE_MS, Place, acted, joined
from coachwright.control.machine import State, ends_next_ms, outputs_of
from coachwright.control.sat import Solver
from coachwright.control.statement import Outputs
from coachwright.control.story import Act

SEED = 1
"""Of the orders in which things are laid upon each other; printed."""
POWER_UP_MS = 30_000
"""Time to take the controller's supply away, put everything to rest and give it back. An assumption, printed."""
DRAWS = 4
"""Rounds in which settings are drawn for everything."""

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the list.

    Parameters
    ----------
    acts : what to do, after the step before. from_power_up : the controller is switched off and on before.
    place : where inputs, memory and timers stand then. seen : all that is to be seen. outputs : the same with reasons.
    shows : places in the list of what is asked that are seen here; new : those that no earlier step showed.
    look_within_ms : how long it stays so; 0 when it stays. mistakes : those for which alone the step is there.
    """

    acts: tuple[Act, ...]
    from_power_up: bool
    place: Place
    seen: frozenset[Sight]
    outputs: Outputs
    shows: tuple[int, ...]
    new: tuple[int, ...]
    look_within_ms: int = 0
    mistakes: tuple[str, ...] = ()

    @property
    def moves_n(self) -> int:
        """Settings changed by somebody."""
        return sum(bool(act.name) for act in self.acts)

    @property
    def wait_ms(self) -> int:
        """Time to wait for timers before one looks."""
        return sum(act.wait_ms for act in self.acts)


@dataclass(frozen=True, slots=True)
class Missing:
    """Something that no step shows, and why. proved : it can't be shown, whatever is done."""

    asked: Asked
    why: str
    proved: bool


@dataclass(frozen=True, slots=True)
class Listed:
    """The list of one build.

    Parameters
    ----------
    asked : all that has to be seen. missing : what the list can't show.
    pool_n : settings it was chosen from. least_of_pool_n : no choice from this pool has fewer.
    least_n : no list whatever has fewer, because so many things can't be seen two at a time.
    least_moves : no order of these settings has fewer estimated moves; order_moves : the estimate of this one.
    """

    steps: tuple[Step, ...]
    asked: tuple[Asked, ...]
    missing: tuple[Missing, ...]
    pool_n: int
    least_of_pool_n: int
    least_n: int
    order_moves: float
    least_moves: float
    seed: int = SEED

    @property
    def moves_n(self) -> int:
        """Settings changed over the whole list."""
        return sum(step.moves_n for step in self.steps)


@dataclass(frozen=True, slots=True)
class Pool:
    """Settings to choose from. places : bits of what is asked and can be shown by one of them."""

    founds: tuple[Found, ...]
    wanted: int


def bench(model: Model, *, progress: Progress = lambda doing, done, of: None) -> Listed:
    """The list of a build."""
    moments = Moments(model)
    return listed(moments, everything_asked(moments), progress=progress)


def listed(moments: Moments, asked: Sequence[Asked], *, progress: Progress = lambda doing, done, of: None) -> Listed:
    """The list for what is asked."""
    finder = Finder(moments, asked)
    try:
        return listed_by(finder, progress)
    finally:
        finder.close()


def listed_by(finder: Finder, progress: Progress = lambda doing, done, of: None) -> Listed:
    """The list for what a finder was asked."""
    pool = gathered(finder, progress)
    chosen = cover([found.shows & pool.wanted for found in pool.founds])
    places = [pool.founds[number].place for number in chosen.chosen]
    order = ordered(finder.moments.model, finder.walker.stands(finder.start), places)
    steps = _walked(finder, [pool.founds[chosen.chosen[number]] for number in order.order])
    return Listed(
        steps,
        finder.asked,
        _missing(finder, steps),
        len(pool.founds),
        chosen.least_n,
        _apart_n(finder, pool.wanted),
        order.cost,
        order.least_cost,
    )


def step_at(finder: Finder, acts: tuple[Act, ...], state: State, mistakes: Sequence[str]) -> Step:
    """A step from power-up that is there to show these mistakes."""
    place = finder.walker.stands(state)
    found = Found(place, acts, finder.shows([place])[0])
    step = _step(finder, joined(acts), state, anew=True, found=found, before=-1)
    return replace(step, mistakes=tuple(mistakes))


def gathered(finder: Finder, progress: Progress, *, draws_n: int = DRAWS, seed: int = SEED) -> Pool:
    """A pool in which everything that can be shown is shown."""
    numbers = [number for number in range(len(finder.asked)) if finder.can(number) != "never"]
    for number in numbers:
        if finder.asked[number].kind == "situation":
            finder.alone(number)
    fixed = 0
    for found in finder.found.values():
        fixed |= found.shows
    for draw in range(draws_n):
        left = [number for number in shuffled(numbers, seed + draw) if not fixed >> number & 1]
        while left:
            progress("settings", len(numbers) - len(left), len(numbers))
            laid = finder.laid(left[0], left)
            shows = laid.shows if laid is not None else 0
            left = [number for number in left[1:] if not shows >> number & 1]
    wanted = 0
    for found in finder.found.values():
        wanted |= found.shows
    return Pool(tuple(finder.found.values()), wanted & sum(1 << number for number in numbers))


def _walked(finder: Finder, founds: Sequence[Found]) -> tuple[Step, ...]:
    """The steps, each reached from the one before; from power-up where that is quicker, or nothing else leads there."""
    state, before, steps = finder.start, 0, list[Step]()
    for number, found in enumerate(founds):
        walked = finder.walker.reach(state, found.place)
        if walked is not None and not finder.walker.can_be_looked_at(walked[1], found.place):
            walked = None
        anew = walked is None or _takes_ms(walked[0]) > _takes_ms(found.acts) + POWER_UP_MS
        if walked is None or anew:
            walked = _from_power_up(finder, found)
        state = walked[1]
        steps.append(_step(finder, joined(walked[0]), state, anew=anew and number > 0, found=found, before=before))
        before |= found.shows
    return tuple(steps)


def _takes_ms(acts: Sequence[Act]) -> int:
    return sum(act.wait_ms or PACE_MS for act in acts)


def _from_power_up(finder: Finder, found: Found) -> tuple[tuple[Act, ...], State]:
    """As it was found."""
    state = finder.start
    for act in found.acts:
        state = acted(finder.moments.machine, state, act)
    return found.acts, state


def _step(finder: Finder, acts: tuple[Act, ...], state: State, *, anew: bool, found: Found, before: int) -> Step:
    outputs = outputs_of(finder.moments.machine, state)
    return Step(
        acts,
        anew,
        found.place,
        finder.moments.eyes.seen(outputs),
        outputs,
        _places(found.shows),
        _places(found.shows & ~before),
        ends_next_ms(finder.moments.machine, state),
    )


def _missing(finder: Finder, steps: Sequence[Step]) -> tuple[Missing, ...]:
    seen = {number for step in steps for number in step.shows}
    found = []
    for number, asked in enumerate(finder.asked):
        if number in seen:
            continue
        if finder.can(number) == "never":
            found.append(Missing(asked, _why_never(asked), proved=True))
        else:
            found.append(
                Missing(asked, "no row of acts that were tried leads to a setting that shows it", proved=False)
            )
    return tuple(found)


def _why_never(asked: Asked) -> str:
    match asked.kind:
        case "situation":
            return "proved: no setting is this situation at rest"
        case "shown":
            return "proved: no setting shows it"
        case _:
            return "proved: turned over, it never changes anything that is seen"


def _apart_n(finder: Finder, wanted: int) -> int:
    """Things of which no two can be seen in one look, found greedily: so many steps at least."""
    kept: list[int] = []
    order = sorted(_places(wanted), key=lambda number: finder.asked[number].kind != "situation")
    solver: Solver = finder.solver
    for number in order:
        literal = finder.asked[number].literal
        if all(not solver.can_be(literal, finder.asked[other].literal) for other in kept):
            kept.append(number)
    return len(kept)


def _places(bits: int) -> tuple[int, ...]:
    return tuple(place for place in range(bits.bit_length()) if bits >> place & 1)
