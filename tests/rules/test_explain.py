"""A rule explains itself in the order a person reads."""

from coachwright.rules.explain import closest_codes, explain
from coachwright.rules.load import load_packs

PACKS, _ = load_packs(
    ["house", "optical-small-vehicle", "public-law-targets"],
    registry={},
    missing_rooms={"control", "flash", "light"},
)


def test_every_rule_explains_itself() -> None:
    """Law: nothing is left empty, and a draft says so."""
    for pack in PACKS:
        for rule in pack.rules:
            said = explain(rule.code, packs=PACKS, registry={})
            assert said is not None
            assert all(text for _, text in said.lines())
            assert said.checked.startswith("draft") == rule.is_draft


def test_target_says_that_it_was_written_for_other_lamps() -> None:
    """Case: the H-V point of 49 CFR 571.108 Table XVII."""
    said = explain("plt-001", packs=PACKS, registry={})

    assert said is not None
    assert said.limit == "at least 600 cd; from the middle bearing of that side; lower of left and right"
    assert said.source == "49 CFR 571.108, 2015, Table XVII, H, V, red"
    assert said.standing.startswith("target: written for other lamps")


def test_unknown_code_gets_the_nearest() -> None:
    """Case: a mistyped code."""
    assert explain("HSE-999", packs=PACKS, registry={}) is None
    assert "HSE-001" in closest_codes("HES-001", PACKS)
