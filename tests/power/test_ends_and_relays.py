"""What joins a wire to a stud, and a channel to what it can't carry: chosen by copper and by contact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.schema import RelayPart
from coachwright.parts.store import load_catalogue
from coachwright.power import ends, relays
from coachwright.power.as_settled import settled_harness
from coachwright.power.channels import outputs_of
from coachwright.power.ends import ends_of, terminal_for
from coachwright.power.found_sizes import findings_sizes
from coachwright.power.relays import relay_for, relays_of
from coachwright.power.shelf import our_shelf
from tests.power.vehicles import NAMES, example


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_at_a_stud_has_its_terminal(name: str) -> None:
    """Case: cables have two, supplies and returns one each; each takes the copper of its wire."""
    model = example(name)
    found = ends_of(model)
    returns = [run for run in settled_harness(model).runs if run.kind == "return"]

    assert all(end.part is not None for end in found)
    assert sum(end.run.endswith(" return") for end in found) >= len(returns)
    for end in found:
        assert end.part is not None
        assert end.part.least_area <= end.wire.area * 1.005
        assert end.part.most_area >= end.wire.area / 1.005


def test_every_wire_of_the_shelf_has_a_terminal() -> None:
    """Law: whatever settle takes can be crimped; of two that fit the one made for less is taken."""
    assert [wire.name for wire in our_shelf().wires if terminal_for(wire) is None] == []


@given(st.floats(0.0, 200.0))
def test_the_smallest_relay_with_a_fifth_to_spare(current_a: float) -> None:
    """Law: contacts at 125 % of what they carry (NFPA 1901 chapter 13, from memory); no smaller one would do."""
    sizes = sorted(part.current for part in load_catalogue().of_kind("relay") if isinstance(part, RelayPart))
    found = relay_for(current_a)

    fitting = [size for size in sizes if current_a <= 0.8 * size * (1 + 1e-12)]
    assert (found.current if found is not None else None) == (fitting[0] if fitting else None)


@pytest.mark.parametrize("name", NAMES)
def test_each_channel_that_only_switches_has_a_relay(name: str) -> None:
    """Law: one relay for each output that is a coil, none for anything else."""
    model = example(name)

    assert {each.subject for each in relays_of(model)} == {
        output.subject for output in outputs_of(model) if output.carries == "coil"
    }


def test_what_nothing_on_the_shelf_takes_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: a shop without relays (PWR-063) and without terminals (PWR-064)."""
    model = example("quillback", ("name: Duty command pickups", "name: Without relays"))
    monkeypatch.setattr(relays, "relay_for", lambda current_a: None)
    monkeypatch.setattr(ends, "terminal_for", lambda wire: None)

    codes = [each.code for each in findings_sizes(model)]

    assert codes.count("PWR-063") == sum(each.current_a is not None for each in relays_of(model)) > 0
    assert "PWR-064" in codes
