"""The figures of the four law packs against their sources, typed here a second time; and how sure each pack is."""

import math
from collections import Counter

import pytest

from coachwright.kit.measure import Measure
from coachwright.proof.gather import Answer
from coachwright.proof.judge import judge
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Pack, Rule

ROOMS = frozenset({"body", "control", "flash", "light", "power", "shop", "sound"})
NAMES = ("us-road-law", "optical-large-vehicle", "ambulance-federal", "unece-r65")
IN = 0.0254
DEG = math.radians(1.0)


def packs() -> dict[str, Pack]:
    """The four, read without any room."""
    found, findings = load_packs(NAMES, registry={}, missing_rooms=ROOMS)
    assert not findings
    return {pack.pack: pack for pack in found}


PACKS = packs()
RULES = {rule.code: rule for pack in PACKS.values() for rule in pack.rules}


def limit(code: str) -> tuple[str, float, float]:
    """Word and ends of a rule's limit."""
    found = RULES[code].limit
    return found.word, found.low, found.high


# ----------------------------------------------------------------------------------------- print: 49 CFR 571.108 et al.
@pytest.mark.parametrize(("code", "low_in", "high_in"), [("USL-021", 15, 72), ("USL-022", 15, 83), ("USL-023", 22, 54)])
def test_heights_agree_with_49_cfr_571_108_table_i(code: str, low_in: float, high_in: float) -> None:
    """Stop 15 to 72 in, turn 15 to 83, headlamp 22 to 54 (49 CFR 571.108, 2015, Table I, mounting height)."""
    word, low, high = limit(code)

    assert (word, low, high) == ("between", pytest.approx(low_in * IN), pytest.approx(high_in * IN))
    assert RULES[code].cite.status == "read"


def test_spacing_agrees_with_49_cfr_571_108_s6_1_3_6() -> None:
    """At least twice the distance of two adjacent identification lamps (S6.1.3.6)."""
    assert limit("USL-007")[:2] == ("at-least", 2.0)


def test_rate_of_signals_agrees_with_nhtsa_gf006498() -> None:
    """60 to 120 flashes a minute for normally open flashers (NHTSA letter GF006498, quoting SAE J945)."""
    word, low, high = limit("USL-016")

    assert (word, low * 60, high * 60) == ("between", pytest.approx(60.0), pytest.approx(120.0))


def test_lit_share_of_signals_is_as_remembered() -> None:
    """30 to 75 % (memory; Figure 2 is an image in the copy): a draft."""
    assert limit("USL-017") == ("between", pytest.approx(0.30), pytest.approx(0.75))
    assert RULES["USL-017"].is_draft


def test_glass_agrees_with_49_cfr_393_60_d() -> None:
    """Not less than 70 percent at normal incidence, windshield and the windows beside the driver (393.60(d), 2015)."""
    (asks,) = RULES["USL-040"].applies

    assert limit("USL-040")[:2] == ("at-least", pytest.approx(0.70))
    assert asks.any_of == ("windshield", "beside-driver")
    assert RULES["USL-040"].cite.status == "read"


def test_weights_agree_with_49_cfr_571_110_s10_1() -> None:
    """The lesser of 1.5 percent of GVWR or 45.4 kg (100 pounds) (S10.1)."""
    assert limit("USL-025")[2] == pytest.approx(45.4, abs=0.05)
    assert limit("USL-026")[2] == pytest.approx(0.015)


def test_distances_from_required_lamps_are_the_houses_own() -> None:
    """S6.2.1 names no distance: 100 mm is common practice, and its cite says house, never read."""
    for code in ("USL-004", "USL-005", "USL-006"):
        assert limit(code)[:2] == ("at-least", pytest.approx(0.1))
        assert RULES[code].cite.status == "house"
        assert RULES[code].cite.checked_on is None


def test_steady_lamps_are_let_off_by_the_states_answer_alone() -> None:
    """Table I wants them steady; NHTSA defers to the states (letters of 2001): permitted or only when lets off."""
    for code in ("USL-008", "USL-009", "USL-015"):
        (asks,) = [asks for asks in RULES[code].applies if asks.fact == "law"]
        assert [word for word in ("unanswered", "forbidden", "permitted", "only-when") if asks.holds(word)] == [
            "unanswered",
            "forbidden",
        ]
        assert RULES[code].with_["question"] in {question.name for question in PACKS["us-road-law"].questions}


# ------------------------------------------------------------------------------------------ print from memory: large
LARGE = {
    # (memory) zone: calling and blocking (H total, any H point, any 5 up or down point), upper level
    "A": ((1_000_000, 10_000, 3_500), (400_000, 10_000, 3_500)),
    "B": ((400_000, 10_000, 3_500), (400_000, 10_000, 3_500)),
    "C": ((400_000, 10_000, 3_500), (800_000, 10_000, 3_500)),
    "D": ((400_000, 10_000, 3_500), (400_000, 10_000, 3_500)),
}
LOWER = (150_000, 3_750, 1_300)


@pytest.mark.parametrize("zone", LARGE)
@pytest.mark.parametrize("level", ["upper", "lower"])
def test_zone_minima_are_those_remembered_of_nfpa_1901(zone: str, level: str) -> None:
    """Large apparatus, cd s/min, each level by itself, from memory: draft every one, 12.8 V, large vehicles only."""
    for place, situation in enumerate(("calling", "blocking")):
        row = LARGE[zone][place] if level == "upper" else LOWER
        for what, power in zip(("H total", "any H point", "any point 5 deg up or down"), row, strict=True):
            clause = f"large apparatus, {level} level, zone {zone}, {situation}, {what}"
            (rule,) = [rule for rule in PACKS["optical-large-vehicle"].rules if rule.cite.clause == clause]
            assert (rule.limit.word, rule.limit.low) == ("at-least", float(power))
            assert (rule.test_voltage, rule.situations) == (12.8, (situation,))
            assert (rule.with_["lower-from"], rule.with_["upper-above"]) == ("18 in", "62 in")
            assert {asks.fact: asks.any_of for asks in rule.applies} == {
                "zone": (zone,),
                "level": (level,),
                "vehicle-size": ("large",),
            }


def test_no_small_vehicle_is_judged_as_a_large_one() -> None:
    """25 ft and 96 in part them (SAE J2498, 2016, abstract): every rule of the pack asks for a large one."""
    for rule in PACKS["optical-large-vehicle"].rules:
        assert [asks.any_of for asks in rule.applies if asks.fact == "vehicle-size"] == [("large",)]


# ---------------------------------------------------------------------------------------------- print: KKK-A-1822 E
def test_figures_agree_with_kkk_a_1822_e_pages_41_and_42() -> None:
    """75-125 a minute; fender 30 deg; 75 in; 12 to 18 deg down; 800 and 500 cd; 14.2 V (revision E, pages 41, 42)."""
    assert limit("AMB-001") == ("between", pytest.approx(1.25), pytest.approx(125 / 60))
    assert limit("AMB-006")[2] == pytest.approx(30 * DEG)
    assert limit("AMB-007")[1] == limit("AMB-008")[1] == pytest.approx(75 * IN)
    assert limit("AMB-009") == limit("AMB-010") == ("between", pytest.approx(-18 * DEG), pytest.approx(-12 * DEG))
    assert (limit("AMB-011")[1], limit("AMB-012")[1]) == (800.0, 500.0)
    assert limit("AMB-004")[1:] == (14.2, 14.2)
    assert {RULES[code].test_voltage for code in ("AMB-002", "AMB-003", "AMB-011", "AMB-012")} == {14.2}


# ------------------------------------------------------------------------------------ print from memory: UN R65
R65 = {
    # (memory, trade pages) vertical angle, night: candela
    "[blue, red]": {(0, "no"): 120, (0, "yes"): 50, (4, "no"): 60, (4, "yes"): 25},
    "amber": {(0, "no"): 230, (0, "yes"): 100, (8, "no"): 170, (8, "yes"): 70},
}


def test_effective_minima_are_those_remembered_of_un_r65() -> None:
    """Category T, class 1, by colour, elevation, day and night (memory and a trade page): draft every one."""
    found: dict[str, dict[tuple[int, str], float]] = {"[blue, red]": {}, "amber": {}}
    for rule in PACKS["unece-r65"].rules:
        if "class 1" not in rule.cite.clause:
            continue
        facts = {asks.fact: asks.any_of for asks in rule.applies}
        colours = "amber" if facts["colour"] == ("amber",) else "[blue, red]"
        found[colours][int(str(rule.with_["vertical"]).split()[0]), facts["night"][0]] = rule.limit.low
    assert found == R65


def test_class_two_is_two_point_four_times_class_one() -> None:
    """2.4 times by day (a single trade page): 288 and 552 cd."""
    found = sorted(rule.limit.low for rule in PACKS["unece-r65"].rules if "class 2" in rule.cite.clause)

    assert found == [pytest.approx(2.4 * 120), pytest.approx(2.4 * 230)]


def test_flash_and_boundaries_of_un_r65_are_as_remembered() -> None:
    """2 to 4 Hz, 0.4 / f, 0.1 s; amber as 571.108, blue 0.065 + 0.805x, 0.400 - x, 0.133 + 0.600y (memory)."""
    assert limit("R65-002")[1] == 2.0
    assert limit("R65-003")[2] == 4.0
    assert limit("R65-004")[2] == pytest.approx(0.4)
    assert limit("R65-005")[1] == pytest.approx(0.1)
    lines = {
        rule.cite.clause.split(", ", 1)[1]: (rule.with_["x-times"], rule.with_["y-times"], rule.limit.written)
        for rule in PACKS["unece-r65"].rules
        if rule.cite.clause.startswith("annex 3")
    }
    assert lines == {
        "amber, y = x - 0.120": ("1", "-1", "0.12"),
        "amber, y = 0.390": ("0", "1", "0.39"),
        "amber, y = 0.790 - 0.670x": ("0.67", "1", "0.79"),
        "blue, y = 0.065 + 0.805x": ("-0.805", "1", "0.065"),
        "blue, y = 0.400 - x": ("1", "1", "0.40"),
        "blue, x = 0.133 + 0.600y": ("1", "-0.6", "0.133"),
    }


def test_glare_caps_of_un_r65_are_as_remembered() -> None:
    """1,700 cd by day, 700 by night (memory, low)."""
    caps = [rule.limit.high for rule in PACKS["unece-r65"].rules if "maximum" in rule.cite.clause]

    assert caps == [1700.0, 700.0]


# -------------------------------------------------------------------------------------------------------------- laws
HOW_SURE = {
    # pack: rules by the status of their cite
    "us-road-law": {"read": 33, "house": 6, "draft": 1},
    "optical-large-vehicle": {"draft": 61},
    "ambulance-federal": {"read": 12, "house": 2, "draft": 4},
    "unece-r65": {"draft": 23},
}


@pytest.mark.parametrize("name", NAMES)
def test_each_pack_says_how_sure_it_is(name: str) -> None:
    """Law: whoever turns a draft into read has to change this table as well, with the page before him."""
    assert Counter(rule.cite.status for rule in PACKS[name].rules) == HOW_SURE[name]
    for rule in PACKS[name].rules:
        assert (rule.cite.status == "read") == bool(rule.cite.checked_on and rule.cite.checked_by)
        assert rule.waivable == (PACKS[name].status != "law")


def answer(rule: Rule, value: float | str | bool) -> Answer:
    """A measure that fits every fact the rule asks for."""
    facts = {asks.fact: asks.any_of[0] if asks.any_of else "something" for asks in rule.applies}
    return Answer((Measure(rule.measure, value, rule.kind, "lamps.a", facts=facts),))


@pytest.mark.parametrize("name", NAMES)
def test_no_draft_is_ever_green(name: str) -> None:
    """Law: however good the value, a draft ends as draft, and a clause that waits for a record ends as open."""
    for rule in PACKS[name].rules:
        if rule.needs:
            (found,) = judge(PACKS[name], rule, [])
            assert found.state == "open"
        elif rule.is_draft:
            middle = (rule.limit.low + rule.limit.high) / 2
            best = {"at-least": rule.limit.low * 10 + 1, "at-most": rule.limit.high / 10, "between": middle}
            value = rule.limit.truth if rule.kind == "yes-no" else best[rule.limit.word]
            (found,) = judge(PACKS[name], rule, [answer(rule, value)])
            assert (found.state, found.would in ("pass", "near")) == ("draft", True), rule.code


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_is_a_lesson(name: str) -> None:
    """Law: each says why in more than a line, what to do, and what it leaves open."""
    for rule in PACKS[name].rules:
        assert len(rule.why) > 60, rule.code
        assert rule.leaves_open.endswith("."), rule.code
