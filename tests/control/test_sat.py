"""The solver finds what there is, and nothing that isn't."""

from __future__ import annotations

from itertools import product
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.circuit import FALSE, TRUE, Circuit
from coachwright.control.sat import Solver
from tests.control.test_circuit import NAMES, as_literal, formulas, truth


def true_under(formulas: list[Any]) -> list[dict[str, bool]]:
    """All values of the five variables under which every formula is true."""
    every = [dict(zip(NAMES, bits, strict=True)) for bits in product((False, True), repeat=len(NAMES))]
    return [values for values in every if all(truth(each, values) for each in formulas)]


@given(rule=formulas(), asked=st.lists(formulas(), min_size=1, max_size=4))
def test_answers_are_those_of_trying_all(rule: Any, asked: list[Any]) -> None:
    """Law: yes when one of all 32 tries says yes; rules may come between questions."""
    circuit = Circuit()
    rules: list[int] = []
    solver = Solver(circuit, rules)
    for formula in asked:
        assert solver.can_be(as_literal(circuit, formula)) == bool(true_under([formula, *([rule] if rules else [])]))
        if not rules:
            rules.append(as_literal(circuit, rule))
    found = solver.solution(*(literals := [as_literal(circuit, formula) for formula in asked]))
    assert (found is not None) == bool(true_under([rule, *asked]))
    if found is not None:
        assert all(found.holds(*literals, *rules))
    solver.close()


@given(asked=formulas(), costly=st.lists(st.sampled_from(NAMES), unique=True))
def test_no_way_is_cheaper_than_the_fewest(asked: Any, costly: list[str]) -> None:
    """Law: `fewest` gives the least number over all ways, and a way that has it."""
    circuit = Circuit()
    solver = Solver(circuit)
    literals = [circuit.variable(name) for name in costly]
    found = solver.fewest([as_literal(circuit, asked)], literals)
    ways = true_under([asked])
    assert (found is None) == (not ways)
    if found is not None:
        least = min(sum(values[name] for name in costly) for values in ways)
        assert (found[1], sum(found[0].holds(*literals))) == (least, least)
    solver.close()


@given(asked=formulas(), over=st.lists(st.sampled_from(NAMES), unique=True), most=st.integers(1, 40))
def test_counting_counts_each_once(asked: Any, over: list[str], most: int) -> None:
    """Law: as many as there are different values of the counted variables, or as far as one asked; twice the same."""
    circuit = Circuit()
    solver = Solver(circuit)
    wanted, literals = as_literal(circuit, asked), [circuit.variable(name) for name in over]
    different_n = len({tuple(values[name] for name in over) for values in true_under([asked])})
    for _ in range(2):
        assert solver.count([wanted], literals, most=most) == min(different_n, most)
    solver.close()


def test_constants_need_no_solver() -> None:
    """Common practice: what is always true can be, what never is can't."""
    solver = Solver(Circuit())
    assert (solver.can_be(TRUE), solver.can_be(FALSE), solver.can_be()) == (True, False, True)
    solver.close()


def test_at_least_one_of_many() -> None:
    """Case by hand: under the mark one of a, b holds; with both denied it can't, without the mark it may."""
    circuit = Circuit()
    a, b = circuit.variable("a"), circuit.variable("b")
    solver = Solver(circuit, [])
    try:
        mark = solver.one_of([a, b])
        assert solver.can_be(mark, -a)
        assert not solver.can_be(mark, -a, -b)
        assert solver.can_be(-a, -b)
    finally:
        solver.close()
