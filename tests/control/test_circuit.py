"""Circuits say what they were made to say, however much they were simplified."""

from __future__ import annotations

from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.circuit import FALSE, TRUE, Circuit

NAMES = ("a", "b", "c", "d", "e")


def formulas() -> st.SearchStrategy[Any]:
    """Nested (word, inside) tuples over five variables and constants."""
    leaves = st.sampled_from([*NAMES, True, False])
    return st.recursive(
        leaves,
        lambda inside: st.one_of(
            st.tuples(st.just("not"), inside),
            st.tuples(st.sampled_from(["and", "or"]), st.lists(inside, max_size=5)),
            st.tuples(st.just("same"), inside, inside),
        ),
        max_leaves=30,
    )


def as_literal(circuit: Circuit, formula: Any) -> int:
    """The formula in the circuit."""
    if isinstance(formula, bool):
        return TRUE if formula else FALSE
    if isinstance(formula, str):
        return circuit.variable(formula)
    word, *rest = formula
    if word == "not":
        return -as_literal(circuit, rest[0])
    if word == "same":
        return circuit.same(as_literal(circuit, rest[0]), as_literal(circuit, rest[1]))
    literals = [as_literal(circuit, each) for each in rest[0]]
    return circuit.all_of(literals) if word == "and" else circuit.any_of(literals)


def truth(formula: Any, values: dict[str, bool]) -> bool:
    """The formula, worked out by Python."""
    if isinstance(formula, bool):
        return formula
    if isinstance(formula, str):
        return values[formula]
    word, *rest = formula
    if word == "not":
        return not truth(rest[0], values)
    if word == "same":
        return truth(rest[0], values) == truth(rest[1], values)
    return all(truth(e, values) for e in rest[0]) if word == "and" else any(truth(e, values) for e in rest[0])


@given(formula=formulas())
def test_a_circuit_says_what_its_formula_says(formula: Any) -> None:
    """Law: under all 32 values of five variables both have the same truth."""
    circuit = Circuit()
    literal = as_literal(circuit, formula)
    for bits in product((False, True), repeat=len(NAMES)):
        values = dict(zip(NAMES, bits, strict=True))
        by_variable = {circuit.variable(name): true for name, true in values.items()}
        assert circuit.evaluate([literal], by_variable) == (truth(formula, values),)


@given(literals=st.lists(st.sampled_from(NAMES), max_size=6), most=st.integers(0, 6))
def test_at_most_counts(literals: list[str], most: int) -> None:
    """Law: `at_most` is true when no more are than that, the same variable counted as often as it is named."""
    circuit = Circuit()
    counted = circuit.at_most([circuit.variable(name) for name in literals], most)
    for bits in product((False, True), repeat=len(NAMES)):
        values = dict(zip(NAMES, bits, strict=True))
        by_variable = {circuit.variable(name): true for name, true in values.items()}
        assert circuit.evaluate([counted], by_variable)[0] == (sum(values[name] for name in literals) <= most)


@pytest.mark.parametrize(
    ("made", "same"),
    [
        ("a and a", "a"),
        ("a and not a", "never"),
        ("a or not a", "always"),
        ("a and (a or b)", "a"),
        ("a and not (a and b)", "a and not b"),
        ("(a and b) and c", "a and (c and b)"),
    ],
)
def test_equal_things_are_one_thing(made: str, same: str) -> None:
    """Common practice (laws of George Boole's algebra): idempotence, complement, absorption, association."""
    circuit = Circuit()
    a, b, c = (circuit.variable(name) for name in "abc")
    all_of, any_of = circuit.all_of, circuit.any_of
    known = {
        "a": a,
        "never": FALSE,
        "always": TRUE,
        "a and a": all_of((a, a)),
        "a and not a": all_of((a, -a)),
        "a or not a": any_of((a, -a)),
        "a and (a or b)": all_of((a, any_of((a, b)))),
        "a and not (a and b)": all_of((a, -all_of((a, b)))),
        "a and not b": all_of((a, -b)),
        "(a and b) and c": all_of((all_of((a, b)), c)),
        "a and (c and b)": all_of((a, all_of((c, b)))),
    }
    assert known[made] == known[same]


def test_a_long_row_of_gates_is_simplified_to_its_end() -> None:
    """Law: x0 and each link of a chain say that all are true, however long the chain is."""
    circuit = Circuit()
    every = [circuit.variable(number) for number in range(1500)]
    links = [circuit.implies(one, other) for one, other in pairwise(every)]

    assert circuit.all_of([every[0], *links]) == circuit.all_of(every)
