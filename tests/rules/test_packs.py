"""Each figure of our packs against its source, typed here a second time from the page; and what holds for all."""

import math

import pytest

from coachwright.rules.cases import read_cases
from coachwright.rules.load import OUR_PACKS, RESERVED_PREFIXES, load_packs, pack_names
from coachwright.rules.schema import Pack, Rule

ROOMS = frozenset({"body", "control", "flash", "light", "power", "shop", "sound"})
OURS = pack_names()


def packs() -> dict[str, Pack]:
    found, findings = load_packs(OURS, registry={}, missing_rooms=ROOMS)
    assert not findings
    return {pack.pack: pack for pack in found}


PACKS = packs()


def by_clause(pack: str, clause: str) -> Rule:
    (rule,) = [rule for rule in PACKS[pack].rules if rule.cite.clause == clause]
    return rule


def test_every_pack_that_is_filed_can_be_named() -> None:
    """Law: what is filed is what can be named, each with a code of its own that no finding uses."""
    assert set(PACKS) == {path.parent.name for path in OUR_PACKS.glob("*/pack.yaml")} == set(OURS)
    prefixes = [pack.prefix for pack in PACKS.values()]
    assert len(set(prefixes)) == len(prefixes)
    assert not set(prefixes) & RESERVED_PREFIXES


# ----------------------------------------------------------------------------------------------- print: 49 CFR 571.108
BUS = {
    # Table XVII, red lamps, read column by column: (vertical, horizontal): candela
    ("5U", "20"): 150, ("5U", "10"): 300, ("5U", "5"): 300, ("5U", "V"): 300,
    ("H", "30"): 30, ("H", "20"): 180, ("H", "10"): 400, ("H", "5"): 500, ("H", "V"): 600,
    ("5D", "30"): 30, ("5D", "20"): 200, ("5D", "10"): 300, ("5D", "5"): 450, ("5D", "V"): 450,
    ("10D", "5"): 40, ("10D", "V"): 40,
}  # fmt: skip
BUS_AMBER = {
    ("5U", "20"): 375, ("5U", "10"): 750, ("5U", "5"): 750, ("5U", "V"): 750,
    ("H", "30"): 75, ("H", "20"): 450, ("H", "10"): 1000, ("H", "5"): 1250, ("H", "V"): 1500,
    ("5D", "30"): 75, ("5D", "20"): 500, ("5D", "10"): 750, ("5D", "5"): 1125, ("5D", "V"): 1125,
    ("10D", "5"): 100, ("10D", "V"): 100,
}  # fmt: skip


@pytest.mark.parametrize(("colour", "grid"), [("red", BUS), ("amber", BUS_AMBER)])
def test_every_cell_agrees_with_49_cfr_571_108_table_xvii(colour: str, grid: dict[tuple[str, str], int]) -> None:
    """School bus signal lamps, minimum photometric intensity (49 CFR 571.108, 2015 edition, Table XVII)."""
    for (vertical, horizontal), candela in grid.items():
        sides = "V" if horizontal == "V" else f"{horizontal}L and {horizontal}R"
        rule = by_clause("public-law-targets", f"Table XVII, {vertical}, {sides}, {colour}")

        assert (rule.limit.word, rule.limit.low) == ("at-least", float(candela))
        assert rule.with_["horizontal"] == ("0 deg" if horizontal == "V" else f"{horizontal} deg")
        assert rule.with_["vertical"] == {"H": "0 deg", "5U": "5 deg", "5D": "-5 deg", "10D": "-10 deg"}[vertical]
    assert sum("Table XVII" in rule.cite.clause for rule in PACKS["public-law-targets"].rules) == 2 * 16


def test_amber_is_two_and_a_half_times_red_as_in_table_xvii() -> None:
    """Every amber minimum of Table XVII is 2.5 times the red one."""
    assert {key: value * 2.5 for key, value in BUS.items()} == BUS_AMBER


# ----------------------------------------------------------------------------------------------- print: 14 CFR 25.1401
@pytest.mark.parametrize(
    ("fields", "candela"),
    [("0 to 5", 400), ("5 to 10", 240), ("10 to 20", 80), ("20 to 30", 40), ("30 to 75", 20)],
)
def test_fields_agree_with_14_cfr_25_1401_f(fields: str, candela: int) -> None:
    """Minimum effective intensities by angle above or below the horizontal plane (14 CFR 25.1401(f))."""
    rule = by_clause("public-law-targets", f"(e) and (f), {fields} deg")

    assert (rule.limit.word, rule.limit.low) == ("at-least", float(candela))
    assert (rule.with_["low"], rule.with_["high"]) == tuple(f"{end} deg" for end in fields.split(" to "))


def test_rates_agree_with_14_cfr_25_1401_c() -> None:
    """Not less than 40 nor more than 100 cycles per minute; in overlaps not over 180 (14 CFR 25.1401(c))."""
    cycles = by_clause("public-law-targets", "(c)").limit
    overlaps = by_clause("public-law-targets", "(c), overlaps").limit

    assert (cycles.low * 60, cycles.high * 60) == pytest.approx((40.0, 100.0), rel=1e-12)
    assert overlaps.high * 60 == pytest.approx(180.0, rel=1e-12)


# ---------------------------------------------------------------------------------------- print: ambulance, SAE, state
def test_rate_agrees_with_kkk_a_1822_e_3_8_2_2() -> None:
    """Each emergency light shall flash 75 to 125 times per minute (KKK-A-1822 E, 3.8.2.2, page 41)."""
    limit = by_clause("public-law-targets", "3.8.2.2").limit

    assert (limit.low * 60, limit.high * 60) == pytest.approx((75.0, 125.0), rel=1e-12)


def test_spread_agrees_with_kkk_a_1822_e_3_8_2_2() -> None:
    """At least 5 deg up and down, 45 deg left and right, at 14.2 V (page 41); its energies were not read: no `read`."""
    rules = [rule for rule in PACKS["public-law-targets"].rules if rule.cite.source.startswith("spread of KKK")]

    assert sorted((rule.with_["vertical"], rule.with_["horizontal"]) for rule in rules) == [
        ("-5 deg", "45 deg"),
        ("5 deg", "45 deg"),
    ]
    assert {(rule.test_voltage, rule.cite.status) for rule in rules} == {(14.2, "house")}


def test_rate_agrees_with_sae_j845_201306_abstract() -> None:
    """At least 1.0 Hz and not more than 4.0 Hz (SAE J845, June 2013, abstract)."""
    limit = by_clause("public-law-targets", "abstract, flash rate limits").limit

    assert (limit.low, limit.high) == (1.0, 4.0)


CALIFORNIA = {
    # 13 CCR 817 Table I, class B: (vertical, horizontal): (red, yellow, blue)
    ("10U", "V"): (50, 125, 25), ("10U", "5"): (20, 50, 10),
    ("5U", "V"): (150, 375, 75), ("5U", "5"): (100, 250, 50), ("5U", "10"): (50, 125, 25), ("5U", "20"): (20, 50, 10),
}  # fmt: skip


def test_cells_agree_with_13_ccr_817_table_i_class_b() -> None:
    """Minimum candela of steady and electrically flashed warning lamps while lit (13 CCR 817, Table I, class B)."""
    for (vertical, horizontal), row in CALIFORNIA.items():
        sides = "V" if horizontal == "V" else f"{horizontal}L and {horizontal}R"
        for colour, candela in zip(("red", "yellow", "blue"), row, strict=True):
            rule = by_clause("public-law-targets", f"Table I, class B, {vertical}, {sides}, {colour}")
            assert rule.limit.low == float(candela)
    assert sum("class B" in rule.cite.clause for rule in PACKS["public-law-targets"].rules) == 3 * len(CALIFORNIA)


# ---------------------------------------------------------------------------------- print from memory: small apparatus
SMALL = {
    # (memory) zone: calling (H total, any H point, any 5 up or down point), blocking likewise
    "A": ((1_000_000, 10_000, 3_500), (400_000, 10_000, 3_500)),
    "B": ((200_000, 8_000, 3_500), (200_000, 8_000, 3_500)),
    "C": ((400_000, 10_000, 3_500), (800_000, 10_000, 3_500)),
    "D": ((200_000, 8_000, 3_500), (200_000, 8_000, 3_500)),
}


@pytest.mark.parametrize("zone", SMALL)
def test_zone_minima_are_those_remembered_of_nfpa_1901(zone: str) -> None:
    """Small apparatus, cd s/min, from memory of the table in NFPA 1901: draft every one, 12.8 V."""
    for situation, row in zip(("calling", "blocking"), SMALL[zone], strict=True):
        for what, power in zip(("H total", "any H point", "any point 5 deg up or down"), row, strict=True):
            rule = by_clause("optical-small-vehicle", f"small apparatus, zone {zone}, {situation}, {what}")
            assert (rule.limit.word, rule.limit.low) == ("at-least", float(power))
            assert (rule.is_draft, rule.test_voltage, rule.situations) == (True, 12.8, (situation,))


def test_rates_of_the_zone_method_are_those_remembered() -> None:
    """75 flashes a minute from each source, 150 at any point (memory)."""
    assert by_clause("optical-small-vehicle", "flash rate of each source").limit.low == pytest.approx(75 / 60)
    assert by_clause("optical-small-vehicle", "flashes at any measuring point").limit.low == pytest.approx(150 / 60)


# ------------------------------------------------------------------------------------------ common practice: the house
@pytest.mark.parametrize(
    ("code", "word", "low", "high"),
    [
        ("HSE-004", "at-most", -math.inf, 30.0),  # s of low tone for one push
        ("HSE-015", "at-least", 0.1, math.inf),  # m between brake and flash
        ("HSE-016", "at-least", 4, math.inf),  # heads of an arrow
        ("HSE-027", "between", 1.0, 4.0),  # Hz
        ("HSE-028", "at-most", -math.inf, 0.5),  # s dark
        ("HSE-029", "at-most", -math.inf, 0.05),  # s of drift
        ("HSE-031", "at-most", -math.inf, 3),  # flashes in a second; W3C WCAG 2.3.1 has the same figure
        ("HSE-033", "at-least", 2, math.inf),  # lamps to a side
    ],
)
def test_house_figures_are_common_practice(code: str, word: str, low: float, high: float) -> None:
    """Common practice of the trade, no published source."""
    (rule,) = [rule for rule in PACKS["house"].rules if rule.code == code]

    assert (rule.limit.word, rule.limit.low, rule.limit.high) == (word, pytest.approx(low), pytest.approx(high))


# ---------------------------------------------------------------------------------------------------------------- laws
@pytest.mark.parametrize("pack", OURS)
def test_every_rule_has_a_case_that_passes_and_one_that_fails(pack: str) -> None:
    """Law: a limit nobody has stepped over is a limit nobody has tried; where there is a margin, near is tried too."""
    cases = read_cases(pack)
    for rule in PACKS[pack].rules:
        ends = {case.expect for case in cases if case.rule == rule.code}
        if rule.needs:
            assert ends == {"open"}, rule.code  # only a record closes it
            continue
        assert {"pass", "fail"} <= ends, rule.code
        assert "near" in ends or rule.limit.near == 0, rule.code
        assert "not-applicable" in ends or not rule.applies, rule.code
    assert {case.rule for case in cases} <= {rule.code for rule in PACKS[pack].rules}


def test_what_was_not_read_is_not_called_read() -> None:
    """Law: everything from memory is draft, every read figure has its day and reader, house figures cite the house."""
    for rule in PACKS["optical-small-vehicle"].rules:
        assert rule.is_draft
    for rule in PACKS["public-law-targets"].rules:
        assert rule.cite.status in ("read", "house")
        if rule.cite.status == "read":
            assert rule.cite.checked_on == "2026-11-25"
            assert rule.cite.checked_by
    assert {rule.cite.status for rule in PACKS["house"].rules} == {"house", "draft"}


def test_targets_stop_no_delivery() -> None:
    """Law: a law written for other lamps is a mark to reach; missing it is never an error."""
    assert PACKS["public-law-targets"].status == "target"
    assert {rule.severity for rule in PACKS["public-law-targets"].rules} == {"warning", "note"}


def test_rule_names_and_sentences_are_kept_short() -> None:
    """Law: a name is the wrong thing in few words, a sentence ends, nobody is shouted at."""
    for pack in PACKS.values():
        names = [rule.name for rule in pack.rules]
        assert len(set(names)) == len(names)
        for rule in pack.rules:
            assert len(rule.name.split("-")) <= 8, rule.code
            for text in (rule.asks, rule.why, rule.leaves_open or ".", rule.fix):
                assert text.endswith("."), rule.code
                assert "!" not in text


# - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - - print: colours of 571.108
BOUNDARIES = {
    # 49 CFR 571.108 S14.4.1.4.2: clause: a point on the boundary (x, y), worked by hand, and one well inside the box
    "S14.4.1.4.2.1, y = 0.33": ((0.65, 0.33), (0.70, 0.295)),
    "S14.4.1.4.2.1, y = 0.98 - x": ((0.70, 0.28), (0.70, 0.295)),
    "S14.4.1.4.2.2, y = 0.39": ((0.60, 0.39), (0.575, 0.415)),
    "S14.4.1.4.2.2, y = 0.79 - 0.67x": ((0.55, 0.4215), (0.575, 0.415)),
    "S14.4.1.4.2.2, y = x - 0.12": ((0.56, 0.44), (0.575, 0.415)),
    "S14.4.1.4.2.3, x = 0.31": ((0.31, 0.30), (0.40, 0.38)),
    "S14.4.1.4.2.3, x = 0.50": ((0.50, 0.41), (0.40, 0.38)),
    "S14.4.1.4.2.3, y = 0.44": ((0.46, 0.44), (0.40, 0.38)),
    "S14.4.1.4.2.3, y = 0.15 + 0.64x": ((0.40, 0.406), (0.40, 0.38)),
    "S14.4.1.4.2.4, y = 0.73 - 0.73x": ((0.30, 0.511), (0.17, 0.55)),
    "S14.4.1.4.2.4, x = 0.63y - 0.04": ((0.275, 0.50), (0.17, 0.55)),
    "S14.4.1.4.2.4, y = 0.50 - 0.50x": ((0.10, 0.45), (0.17, 0.55)),
    "S14.4.1.4.2.5, y = 0.07 + 0.81x": ((0.10, 0.151), (0.15, 0.07)),
    "S14.4.1.4.2.5, x = 0.40 - y": ((0.20, 0.20), (0.15, 0.07)),
    "S14.4.1.4.2.5, x = 0.13 + 0.60y": ((0.19, 0.10), (0.15, 0.07)),
}


@pytest.mark.parametrize("clause", BOUNDARIES)
def test_colour_boundary_agrees_with_49_cfr_571_108_s14_4_1_4_2(clause: str) -> None:
    """The limit is met exactly on the printed line, clear inside the box, and missed as far on the other side."""
    rule = by_clause("public-law-targets", clause)
    x_times, y_times = float(str(rule.with_["x-times"])), float(str(rule.with_["y-times"]))
    (on_x, on_y), (in_x, in_y) = BOUNDARIES[clause]
    on, inside = x_times * on_x + y_times * on_y, x_times * in_x + y_times * in_y

    assert on == pytest.approx(rule.limit.bound(on), abs=1e-12)
    assert rule.limit.judge(inside) == "pass"
    assert rule.limit.judge(2 * on - inside) == "fail"


def test_every_colour_boundary_is_held_to_its_print() -> None:
    """Law: no boundary without its point on the line; the red and purple ones of white hold on parts only."""
    clauses = {rule.cite.clause for rule in PACKS["public-law-targets"].rules if "S14.4" in rule.cite.clause}

    assert clauses == set(BOUNDARIES)
