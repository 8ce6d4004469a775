"""Fuses before a wire: the three rules, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.errors import DataWrong
from coachwright.power import fuse as fuses
from coachwright.power.fuse import fuse_limit_a, fuse_rules, fuse_sizes_a, largest_fuse_a, leak_a


@pytest.mark.parametrize(
    ("rule", "limit_a", "size_a"), [("150", 67.5, 60.0), ("125", 36.0, 35.0), ("135", 33.33, 30.0)]
)
def test_three_rules_give_three_fuses(rule: str, limit_a: float, size_a: float) -> None:
    """45 A wire: 150 % of it (33 CFR 183.455), wire 125 % (NFPA 1901 chapter 13) or 135 % (a maker) of the fuse."""
    limit = fuse_limit_a(45.0, rule=fuse_rules()[rule])

    assert limit == pytest.approx(limit_a, abs=0.005)
    assert largest_fuse_a(limit, sizes_a=fuse_sizes_a()[0]) == size_a


def test_only_the_law_was_read() -> None:
    """Law: a rule told second-hand, and the list of sizes, are draft."""
    assert {name: rule.cite.status for name, rule in fuse_rules().items()} == {
        "150": "read",
        "125": "draft",
        "135": "draft",
    }
    assert fuse_sizes_a()[1].status == "draft"


def test_leak_agrees_with_the_parasitic_example() -> None:
    """2.4 mV across a 10 A blade fuse of 7.70 mohm is 312 mA (one maker's data of blade fuses)."""
    assert leak_a(drop_v=0.0024, resistance_ohm=0.0077) == pytest.approx(0.312, abs=5e-4)


@given(st.floats(0.0, 500.0), st.lists(st.floats(0.5, 500.0), max_size=12))
def test_no_fuse_above_its_limit_and_none_larger_left_out(limit: float, sizes: list[float]) -> None:
    """Law: the answer is one of the sizes, or none where all are too large."""
    found = largest_fuse_a(limit, sizes_a=sizes)

    if found is None:
        assert all(size > limit for size in sizes)
    else:
        assert found in sizes
        assert found <= limit * (1.0 + 1e-9)
        assert not [size for size in sizes if found < size <= limit]


def test_a_rule_without_its_share_does_not_load(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: a rule that says nothing is refused with its place."""
    monkeypatch.setattr(fuses, "tables_in", lambda *_: {"rules": {"99": {"title": "nothing"}}})

    with pytest.raises(DataWrong, match=r"fuses\.yaml, 99"):
        fuse_rules.__wrapped__()
