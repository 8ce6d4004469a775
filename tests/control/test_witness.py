"""Every setting gone through: counted against a plain loop, and against the solver."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.control.circuit import Circuit
from coachwright.control.encode import Moment
from coachwright.control.machine import build_machine
from coachwright.control.needed import needed_for
from coachwright.control.promised import Promised
from coachwright.control.sat import Solver
from coachwright.control.shown import Shown
from coachwright.control.witness import MOST_BITS, witness
from tests.control.machines import FOCUS, models
from tests.control.promises_at_random import promises


def majority(circuit: Circuit, names: list[str]) -> int:
    """Literal: more than half of these variables are true."""
    literals = [circuit.variable(name) for name in names]
    return -circuit.at_most(literals, len(literals) // 2)


@pytest.mark.parametrize("bits", [1, 3, 5, 6, 7, 9, 13])
def test_counts_what_a_plain_loop_counts(bits: int) -> None:
    """Law: as many settings make a majority as a loop over all of them finds, in words, blocks and beyond."""
    names = [f"v{number}" for number in range(bits)]
    circuit = Circuit()
    counted = witness(circuit, majority(circuit, names), [])

    assert counted.bits == bits
    assert counted.settings_n == 2**bits
    assert counted.broken_n == sum(sum(each) > bits // 2 for each in product((0, 1), repeat=bits))


def test_more_bits_than_a_block_holds() -> None:
    """Print: of 2^23 settings of 23 variables exactly half have a majority (odd number, by symmetry)."""
    circuit = Circuit()
    counted = witness(circuit, majority(circuit, [f"v{number}" for number in range(23)]), [])

    assert (counted.settings_n, counted.broken_n) == (2**23, 2**22)


def test_a_rule_takes_settings_away_only_where_it_matters() -> None:
    """Case: a rule about something else is not counted; one about the same variables is."""
    circuit = Circuit()
    a, b, c, d = (circuit.variable(name) for name in "abcd")
    counted = witness(circuit, circuit.any_of((a, b)), [circuit.implies(a, b), circuit.any_of((c, d))])

    assert (counted.bits, counted.settings_n, counted.broken_n) == (2, 3, 2)


def test_past_the_most_bits_it_is_not_run_and_says_so() -> None:
    """Case: nothing is counted, and nothing is claimed."""
    circuit = Circuit()
    names = [f"v{number}" for number in range(MOST_BITS + 1)]
    counted = witness(circuit, circuit.all_of(circuit.variable(name) for name in names), [])

    assert not counted.ran
    assert str(counted) == "29 bits: not run"


@pytest.mark.parametrize("focus", FOCUS)
@settings(max_examples=30)
@given(data=st.data())
def test_both_witnesses_agree(focus: str, data: st.DataObject) -> None:
    """Law: the solver finds a moment that breaks a promise exactly where going through all settings finds one."""
    model = data.draw(models(focus=focus))
    promise = data.draw(promises(model))
    needed = needed_for(model, promise)
    moment = Moment(needed, build_machine(needed))
    promised = Promised(moment, Shown(moment), promise)
    counted = witness(moment.circuit, promised.broken, [*moment.rules, *moment.rules_at_rest], most_bits=18)
    solver = Solver(moment.circuit, moment.rules, moment.rules_at_rest)
    found = solver.can_be(promised.broken)
    solver.close()

    if counted.ran:
        assert found == bool(counted.broken_n)
