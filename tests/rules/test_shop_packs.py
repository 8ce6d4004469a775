"""Wiring, hearing, radio waves, the contract to copy: figures typed a second time from their pages, and laws."""

import math
import re
from pathlib import Path

import pytest

from coachwright.proof.rooms import ROOMS, rooms
from coachwright.rules.cases import read_cases
from coachwright.rules.load import load_packs, pack_names
from coachwright.rules.schema import Rule

OURS = ("contract-template", "hearing", "rf-exposure", "wiring")
PACKS, FINDINGS = load_packs(OURS, registry=rooms().windows, missing_rooms=rooms().missing)
RULES = {rule.code: rule for pack in PACKS for rule in pack.rules}
WANTED = (Path(__file__).resolve().parents[2] / "docs" / "measures-wanted.md").read_text(encoding="utf-8")
INCH_M, CENTIMETRE_M = 0.0254, 0.01


def is_limit(rule: Rule, limit: tuple[str, float, float]) -> bool:
    """Whether the rule's limit is this one, in SI."""
    word, low, high = limit
    return rule.limit.word == word and [rule.limit.low, rule.limit.high] == pytest.approx([low, high])


def most(value: float) -> tuple[str, float, float]:
    return ("at-most", -math.inf, value)


def least(value: float) -> tuple[str, float, float]:
    return ("at-least", value, math.inf)


def test_the_four_packs_load_against_the_rooms() -> None:
    """Law: every measure of a room that is built exists with its arguments and kind."""
    assert [finding.values for finding in FINDINGS] == []
    assert tuple(pack.pack for pack in PACKS) == OURS


@pytest.mark.parametrize(
    ("code", "source", "clause", "limit"),
    [
        ("WIR-001", "33 CFR 183.425", "(b), Table 5", most(1.0)),
        ("WIR-003", "33 CFR 183.425", "(e) and (g)", most(16)),
        ("WIR-004", "33 CFR 183.425", "(d) and (g)", most(18)),
        ("WIR-020", "33 CFR 183.455", "(c)(1), under 50 V", most(1.5)),
        ("WIR-026", "33 CFR 183.455", "(b)(1)", most(7 * INCH_M)),
        ("WIR-027", "33 CFR 183.455", "(b)(2)", most(40 * INCH_M)),
        ("WIR-012", "13 CCR 1249", "(c)", least(0.85)),
        ("HRG-001", "29 CFR 1910.95", "(b), Table G-16 and Appendix A", most(1.0)),
        ("HRG-002", "29 CFR 1910.95", "(c) action level, Appendix A Table A-1", most(0.5)),
        ("HRG-010", "29 CFR 1910.95", "Table G-16, last row", most(115)),
        ("HRG-012", "29 CFR 1910.95", "Table G-16, last row", most(115)),
        ("HRG-031", "29 CFR 1926.601", "(b)(4)(i)", least(0)),
        ("RFX-001", "47 CFR 1.1310", "Table 1 (B), general population, power density", most(1.0)),
        ("RFX-002", "47 CFR 1.1310", "Table 1 (A), occupational, power density", most(1.0)),
    ],
)
def test_read_figures_agree_with_their_page(
    code: str, source: str, clause: str, limit: tuple[str, float, float]
) -> None:
    """Figures of 33 CFR 183.425 and .455, 13 CCR 1249, 29 CFR 1910.95 and 1926.601, NCJ 77185, 47 CFR 1.1310."""
    rule = RULES[code]

    assert (rule.cite.source, rule.cite.clause, rule.cite.status) == (source, clause, "read")
    assert rule.cite.checked_on == "2026-11-25"
    assert is_limit(rule, limit)


@pytest.mark.parametrize(
    ("code", "limit"),
    [
        ("WIR-010", most(0.10)),  # NFPA 1901, drop
        ("WIR-011", most(0.03)),  # ABYC E-11, critical circuits
        ("WIR-021", least(1.25)),  # NFPA 1901, wire against fuse
        ("WIR-022", least(1.35)),  # a chassis maker's guide, wire against fuse
        ("WIR-024", most(0.80)),  # the same, factory circuit in the cabin
        ("WIR-025", most(0.60)),  # the same, in the engine compartment
        ("WIR-056", most(0.50)),  # NFPA 1901, reserve after ten minutes
        ("HRG-013", most(90)),  # NFPA 1901, cab (memory)
        ("HRG-030", least(115)),  # NIJ 1981, abstract without the distance
        ("RFX-004", least(20 * CENTIMETRE_M)),  # 47 CFR 2.1091 (memory)
        ("RFX-005", least(0.25)),  # rule of thumb (memory)
    ],
)
def test_figures_that_were_only_quoted_are_draft(code: str, limit: tuple[str, float, float]) -> None:
    """Second-hand or from memory: NFPA 1901, ABYC E-11, a chassis maker, NIJ sirens, 47 CFR 2.1091; draft every one."""
    assert RULES[code].is_draft
    assert is_limit(RULES[code], limit)


@pytest.mark.parametrize(
    ("code", "limit"),
    [
        ("WIR-023", most(0.80)),
        ("WIR-029", least(0.10)),
        ("WIR-037", least(0.10)),
        ("WIR-040", least(1.0)),
        ("WIR-054", most(0.050)),
        ("HRG-011", most(85)),
        ("HRG-022", most(60)),
    ],
)
def test_house_figures_are_common_practice(code: str, limit: tuple[str, float, float]) -> None:
    """Common practice of the trade, no published source."""
    assert RULES[code].cite.status == "house"
    assert is_limit(RULES[code], limit)


def test_a_week_at_the_parked_limit_is_8_4_ampere_hours() -> None:
    """By hand: 0.05 A over 168 h, as the rule's reason says."""
    assert RULES["WIR-054"].limit.high * RULES["WIR-055"].limit.low / 3600 == pytest.approx(8.4)
    assert "8.4 Ah" in RULES["WIR-054"].why


def test_three_rules_size_a_fuse_and_the_job_says_which() -> None:
    """Law: 33 CFR 183.455, NFPA 1901 and a chassis maker's guide don't agree; only the chosen one judges."""
    chosen = {code: {asks.fact: asks.any_of for asks in RULES[code].applies} for code in ("WIR-020", "WIR-021")}

    assert chosen["WIR-020"]["fuse-rule"] == ("150",)
    assert chosen["WIR-021"]["fuse-rule"] == ("125",)
    assert RULES["WIR-022"].applies[0].any_of == ("135",)


@pytest.mark.parametrize("code", ["WIR-058", "WIR-059", "HRG-020", "HRG-021", "HRG-022", "CTR-001", "CTR-002"])
def test_what_rooms_can_answer_now_is_asked_of_them(code: str) -> None:
    """Law: the rules of these packs are not all waiting for rooms."""
    assert RULES[code].measure in rooms().windows


def test_the_limits_that_protect_people_by_law_are_not_waived() -> None:
    """Law: what 29 CFR 1910.95(b) and 47 CFR 1.1310 bind somebody to is not the shop's to let stand."""
    kept = {code for code, rule in RULES.items() if not rule.waivable}

    assert kept == {"HRG-001", "RFX-001", "RFX-002", "RFX-003"}


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_every_rule_has_its_cases(rule: Rule) -> None:
    """Law: inside, outside, near where there is a margin, and of another kind; for a record: open without one."""
    pack = next(pack.pack for pack in PACKS if rule in pack.rules)
    expected = {case.expect for case in read_cases(pack) if case.rule == rule.code}

    if rule.needs:
        assert expected == {"open"}
        return
    assert {"pass", "fail"} <= expected
    assert "near" in expected or rule.limit.near == 0
    assert "not-applicable" in expected or not rule.applies


def test_the_contract_to_copy_shows_every_way_and_says_it_is_invented() -> None:
    """Law: the four ways are there, every clause has its number, and nothing in it can be taken for real."""
    (contract,) = [pack for pack in PACKS if pack.pack == "contract-template"]

    assert {rule.closed_by for rule in contract.rules} == {"measure", "bench", "photo", "signature"}
    assert {rule.signed_by for rule in contract.rules} >= {"customer", "inspector", "physician"}
    for rule in contract.rules:
        assert re.fullmatch(r"[0-9]+\.[0-9]+", rule.cite.clause), rule.code
        assert rule.cite.source == "invented contract"
        assert rule.why.startswith("Invented."), rule.code
        assert len(rule.asks) <= 120, rule.code
    assert contract.title.count("nvented") == 2


def test_sentences_end_and_names_are_short_and_differ() -> None:
    """Law: a name is the wrong thing in few words, a sentence ends, nobody is shouted at."""
    names = [rule.name for rule in RULES.values()]
    texts = [text for rule in RULES.values() for text in (rule.asks, rule.why, rule.fix)]

    assert len(set(names)) == len(names)
    assert [name for name in names if len(name.split("-")) > 8] == []
    assert [text for text in texts if not text.endswith(".") or "!" in text] == []


def test_no_two_packs_share_a_prefix() -> None:
    """Law: a code says which pack it is of, also when a job names all of them."""
    packs, findings = load_packs(pack_names(), registry={}, missing_rooms=ROOMS)

    assert findings == ()
    assert len({pack.prefix for pack in packs}) == len(packs) == len(pack_names())


# ------------------------------------------------------------------------------------------------ what rooms owe
def wanted() -> dict[str, tuple[str, bool, set[str], set[str]]]:
    """Rows of docs/measures-wanted.md: kind, in a situation, arguments, facts."""
    found = {}
    for row in re.findall(r"^\| `([a-z.-]+)` \|(.*)\|$", WANTED, re.MULTILINE):
        kind, situation, arguments, facts, _ = (cell.strip() for cell in row[1].split("|"))
        names = re.sub(r"\([^)]*\)", "", facts).split(",")
        found[row[0]] = (
            kind,
            situation == "yes",
            set(re.findall(r"`([a-z-]+)`: ", arguments)),
            {name.strip() for name in names if name.strip()},
        )
    return found


@pytest.mark.parametrize("rule", [rule for rule in RULES.values() if rule.measure], ids=lambda rule: rule.code)
def test_every_measure_nobody_answers_is_on_the_page(rule: Rule) -> None:
    """Docs: name, kind, arguments and facts of what the rooms that aren't built yet are asked."""
    if rule.measure in rooms().windows:
        assert rule.measure not in wanted(), "answered by now: take it off the page"
        return
    kind, in_situation, arguments, facts = wanted()[rule.measure]

    assert kind == rule.kind
    assert set(rule.with_) - {"situation"} == arguments
    assert in_situation or "situation" not in rule.with_
    given = {"situation", "stands-for", "parked", "travelling", "night"} if in_situation else set()
    assert {asks.fact for asks in rule.applies} <= facts | given


def test_the_page_asks_for_nothing_no_rule_needs() -> None:
    """Docs: a measure on the page is one some rule names."""
    assert set(wanted()) <= {rule.measure for rule in RULES.values()}
