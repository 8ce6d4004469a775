"""A rule explains itself in the order a person reads."""

import pytest

from coachwright.proof.rooms import rooms
from coachwright.rules.explain import Explanation, closest_codes, explain
from coachwright.rules.load import load_packs

NAMED = ["house", "optical-small-vehicle", "public-law-targets"]
LAW = ["us-road-law", "optical-large-vehicle", "ambulance-federal", "unece-r65"]
ROOMS = {"body", "control", "flash", "light", "power", "shop", "sound"}
PACKS, _ = load_packs([*NAMED, *LAW], registry={}, missing_rooms=ROOMS)


def page_of(code: str) -> Explanation:
    """The page as `coachwright explain` prints it, with the real windows."""
    packs, _ = load_packs(LAW, registry=rooms().windows, missing_rooms=rooms().missing)
    found = explain(code, packs=packs, registry=rooms().windows)
    assert found is not None
    return found


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


def test_a_page_reads_as_a_lesson() -> None:
    """Law: what, why, limit, how sure, whom, how measured, examples, what to do, what it leaves open; in that order."""
    headings = [heading for heading, _ in page_of("R65-005").lines()]
    order = ["asks", "why", "limit", "near", "applies to", "checked", "source", "measured", "examples", "what to do"]

    assert [heading for heading in headings if heading in order] == order
    assert headings.index("leaves open") > headings.index("what to do")


def test_near_is_told_in_the_unit_of_the_limit() -> None:
    """Case: 100 ms with 5 % of it, and both ends of 75 to 125 a minute with 2 (pencil: 105; 77 and 123)."""
    assert page_of("R65-005").near.startswith("under 105 ms it meets")
    assert page_of("AMB-001").near.startswith("under 77 per min and over 123 per min it meets")
    assert page_of("USL-008").near == ""


def test_examples_show_both_sides_of_the_limit() -> None:
    """Law: a value that passes, one that fails, one it isn't about; a draft only would."""
    draft, law = page_of("R65-005").examples, page_of("AMB-009").examples

    assert ": would pass" in draft
    assert ": would fail" in draft
    assert ": passes" in law
    assert ": fails" in law
    assert law.endswith("not applicable")


def test_how_a_measure_is_defined_names_only_what_the_rule_gives() -> None:
    """Case: of and vertical of the form factor are told, and no unit in brackets or raw name is left."""
    how = page_of("R65-012").how

    assert how.startswith("vertical: elevation")
    assert "of: the weakest or the strongest bearing." in how
    assert "level: of the zone method" not in page_of("OLV-001").how
    assert not set("[]`") & set(how)


def test_what_narrows_a_rule_is_said_in_words() -> None:
    """Case: facts become half-sentences, yes and no included."""
    assert page_of("USL-004").applies == "those used as turn; only those that flash"
    assert "none by night (headlamps on)" in page_of("AMB-002").applies
    assert "not those of functions of rank traffic or road" in page_of("AMB-001").applies


@pytest.mark.parametrize("code", ["USL-028", "USL-029", "AMB-017", "R65-001"])
def test_a_clause_a_record_closes_says_which(code: str) -> None:
    """Law: no limit and no measure is shown where a photo or a signature is asked for."""
    said = dict(page_of(code).lines())

    assert "Open until there is a record" in said["closed by"]
    assert not {"limit", "measured", "examples"} & set(said)


def test_a_draft_says_that_it_stops_nothing() -> None:
    """Law: how bad it is to fail is told, and a draft's failure is only told."""
    assert page_of("R65-002").severity == "a draft stops nothing"
    assert page_of("USL-001").severity == "stops delivery"


def test_a_borrowed_figure_is_called_the_houses() -> None:
    """Law: 49 CFR 571.108 S6.2.1 names no distance; the page says whose the 100 mm are."""
    assert page_of("USL-004").standing == "house: the shop's own word, where the law names no figure"
    assert page_of("USL-001").standing == "law; no shop can waive it"
