"""Row B: how long does it take to prove promises, or to find how they are broken?"""

from __future__ import annotations

from time import perf_counter
from typing import Any

from benchmarks.long_logic import long_logic
from benchmarks.rows import Agreement, Bench, Job, Outcome, Trial
from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.encode import Moment
from coachwright.control.lemmas import always_true, candidates
from coachwright.control.machine import build_machine
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.prove import rests_at_once
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.unrolled import Unrolled
from coachwright.control.witness import witness

_FUNCTIONS, _PROMISES = 80, 12
_PEER = "z3 on the same formulas, one question a promise, each formula handed over beforehand"


def _model(scale: int) -> Model:
    loaded = read_build(long_logic(functions_n=_FUNCTIONS * scale, promises_n=_PROMISES))
    if loaded.model is None:
        raise ValueError(f"{loaded.findings[0].where[0]}: {loaded.findings[0].values}")
    return loaded.model


def _asked(model: Model) -> tuple[Moment, list[int]]:
    """One moment of the whole build, and what breaks each promise in it."""
    moment = Moment(model, build_machine(model))
    shown = Shown(moment)
    return moment, [Promised(moment, shown, promise).broken for promise in model.promises]


def of_z3(circuit: Circuit, literals: list[int]) -> list[Any]:
    """The same formulas for z3."""
    import z3

    known: dict[int, Any] = {TRUE: z3.BoolVal(True)}
    for node in circuit.cone(literals):
        below = circuit.inputs(node)
        if below:
            known[node] = z3.And(*(known[each] if each > 0 else z3.Not(known[-each]) for each in below))
        else:
            known[node] = z3.Bool(f"v{node}")
    return [known[each] if each > 0 else z3.Not(known[-each]) for each in literals]


def prove_moments(scale: int) -> Job:
    """Every promise over every setting of one moment; of a broken one the setting with the fewest things away."""
    import z3

    model = _model(scale)
    moment, broken = _asked(model)
    rules = [*moment.rules, *moment.rules_at_rest]
    away = [choice.away for choice in (*moment.inputs.values(), *moment.memories.values()) if choice.away != FALSE]
    formulas = of_z3(moment.circuit, [*broken, *rules, *away])
    asked, always = formulas[: len(broken)], formulas[len(broken) : -len(away)]
    costly = formulas[-len(away) :]

    def ours() -> list[int]:
        solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
        try:
            found = [solver.fewest([literal], away) for literal in broken]
            return [-1 if each is None else each[1] for each in found]
        finally:
            solver.close()

    def peer() -> list[int]:
        solver = z3.Solver()
        solver.add(*always)
        return [_fewest_of_z3(solver, formula, costly) for formula in asked]

    bits = sum(max(1, (len(choice.values) - 1).bit_length()) for choice in moment.inputs.values())
    size = f"{bits} input bits, {len(model.functions)} functions, {len(model.heads)} heads, {len(broken)} promises"
    return Job(ours, peer, _same_fewest, size)


def _fewest_of_z3(solver: Any, formula: Any, costly: list[Any]) -> int:
    """How few of `costly` are true where the formula is; -1 where it can't be. Bounded as ours, by its own counters."""
    import z3

    if solver.check(formula) != z3.sat:
        return -1
    model = solver.model()
    most = sum(bool(z3.is_true(model.eval(each, model_completion=True))) for each in costly)
    for fewer in range(most):
        if solver.check(formula, z3.PbLe([(each, 1) for each in costly], fewer)) == z3.sat:
            return fewer
    return most


def _same_fewest(ours: object, peer: object) -> Agreement:
    assert isinstance(ours, list)
    assert isinstance(peer, list)
    broken = [each for each in ours if each >= 0]
    said = (
        f"{len(broken)} broken by as few as {broken} settings, {len(ours) - len(broken)} not; by both: {ours == peer}"
    )
    return Agreement(ours == peer, said)


def _same(ours: object, peer: object) -> Agreement:
    assert isinstance(ours, list)
    assert isinstance(peer, list)
    return Agreement(ours == peer, f"{sum(ours)} broken and {len(ours) - sum(ours)} not, by both: {ours == peer}")


def step_of_induction(scale: int) -> Job:
    """The step of induction of every promise about memory and times, with the facts that help."""
    import z3

    model = _timed_model(scale)
    asked: list[tuple[Circuit, list[int], int]] = []
    for promise in model.promises:
        needed = needed_for(model, promise)
        moment = Moment(needed, build_machine(needed))
        promised = Promised(moment, Shown(moment), promise)
        unrolled = Unrolled(moment, promised, rests_at_once=rests_at_once(moment))
        facts = always_true(unrolled, candidates(moment, promised))
        before = unrolled.anywhere()
        after = unrolled.after(before)
        known = moment.circuit.copied(list(facts), unrolled.circuit, dict(before.values))
        asked.append((unrolled.circuit, [*before.rules, *after.rules, *known], after.broken))
    formulas = [of_z3(circuit, [broken, *rules]) for circuit, rules, broken in asked]

    def ours() -> list[bool]:
        found = []
        for circuit, rules, broken in asked:
            solver = Solver(circuit, rules)
            found.append(solver.can_be(broken))
            solver.close()
        return found

    def peer() -> list[bool]:
        found = []
        for broken, *rules in formulas:
            solver = z3.Solver()
            solver.add(*rules)
            found.append(solver.check(broken) == z3.sat)
        return found

    return Job(ours, peer, _same, f"{len(asked)} promises over two moments, {len(model.memories)} memories")


def _timed_model(scale: int) -> Model:
    """Sirens that stay off after Park until asked for again: each promise needs a memory and what is true of it."""
    lines = ["coachwright: 1\njob: {name: Memories}\nvehicle: {body: crew-cab-pickup-with-cap}\npacks: [house]\n"]
    names = [f"s{number}" for number in range(4 * scale)]
    lines.append("controls:\n")
    lines += [f"  b-{name}: {{kind: button, at: console.panel}}\n" for name in names]
    lines.append("words:\n  parked: gear == P or (park-brake and speed < 3 mph)\nmemory:\n")
    for name in names:
        lines.append(f"  m-{name}: {{values: [standby, wail, yelp], moves: [{{on: becomes parked, to: standby}}, ")
        lines.append(f"{{on: pressed b-{name}, if: not parked, next: [wail, yelp]}}, ")
        lines.append(f"{{on: supply < 11.8 V held 2 min, if: m-{name} == yelp, to: standby}}]}}\n")
    lines.append("functions:\n")
    lines += [
        f"  f-{name}: {{rank: warn, when: m-{name} != standby and not parked, run: fan-{name}}}\n" for name in names
    ]
    lines.append("equipment:\n")
    lines += [f"  fan-{name}: {{part: fan-40cfm, at: under-rear-seat}}\n" for name in names]
    lines.append("promises:\n")
    lines += [f"  p-{name}: {{after: becomes parked, until: pressed b-{name}, never: fan-{name}}}\n" for name in names]
    loaded = read_build("".join(lines))
    if loaded.model is None:
        raise ValueError(f"{loaded.findings[0].where[0]}: {loaded.findings[0].values}")
    return loaded.model


def _second_witness() -> Outcome:
    """Every setting of each promise's own cone, without a solver; what it finds beside what the solver finds."""
    model = _model(1)
    lines, agreed = [], True
    for promise in model.promises:
        needed = needed_for(model, promise)
        moment = Moment(needed, build_machine(needed))
        broken = Promised(moment, Shown(moment), promise).broken
        rules = [*moment.rules, *moment.rules_at_rest]
        began_s = perf_counter()
        gone_through = witness(moment.circuit, broken, rules)
        taken_s = perf_counter() - began_s
        solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
        began_s = perf_counter()
        found = solver.can_be(broken)
        solver_s = perf_counter() - began_s
        solver.close()
        same = not gone_through.ran or bool(gone_through.broken_n) == found
        agreed = agreed and same and (not gone_through.ran or taken_s <= _WITNESS_S)
        verdict = f"solver {'breaks' if found else 'proves'} it in {solver_s * 1000:.1f} ms"
        apart = "" if same else "; they DISAGREE"
        lines.append(f"{promise.name}: {gone_through} in {taken_s * 1000:.0f} ms; {verdict}{apart}")
    return Outcome(agreed, tuple(lines))


_WITNESS_S = 3.0
_PACKAGES = ("python-sat", "z3-solver", "numpy")
ROWS = [
    Bench(
        "B-proof",
        "verdicts of 12 promises over every setting, and of broken ones the setting with the fewest things away",
        _PEER + "; fewest by its own counters",
        5.0,
        prove_moments,
        packages=_PACKAGES,
        growth_at_most={4: 5.0},
    ),
    Bench(
        "B-induction",
        "the step of induction over memory and times, with the facts about memories that were found",
        _PEER,
        2.0,
        step_of_induction,
        packages=_PACKAGES,
    ),
    Trial(
        "B-witness",
        "every setting of each promise's own cone, up to 28 bits, without a solver",
        "CaDiCaL on the same question",
        f"the same verdict, each within {_WITNESS_S:.0f} s",
        _second_witness,
        packages=_PACKAGES,
    ),
]
