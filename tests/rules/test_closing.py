"""A clause says in one way how it is closed, and what a record of it has to hold."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.finding import Finding
from coachwright.rules.closing import WAYS, ClosingError, check_closing
from coachwright.rules.explain import explain
from coachwright.rules.limit import LimitError, read_expected
from coachwright.rules.load import load_packs
from coachwright.rules.schema import Pack, Rule

HEAD = "pack: ours\nprefix: OWN\ntitle: Our own\nstatus: contract\nrules:\n"
CLAUSE = """\
- code: OWN-001
  name: supply-sags
  asks: The supply stays up with everything on.
  {closing}
  cite: {{source: invented contract, clause: "4.2", status: contract}}
  why: So it was agreed.
  fix: Mend the feed.
"""
BENCH = 'closed-by: bench\n  step: Everything on, engine off, ten minutes.\n  kind: voltage\n  expect: "12.2 V"'
TOLERANCE = "\n  tolerance: 0.2 V"


def load(tmp_path: Path, closing: str) -> tuple[tuple[Pack, ...], tuple[Finding, ...]]:
    (tmp_path / "ours.yaml").write_text(HEAD + CLAUSE.format(closing=closing), encoding="utf-8")
    return load_packs(["ours"], registry={}, missing_rooms=(), extra_folder=tmp_path)


def rule_of(tmp_path: Path, closing: str) -> Rule:
    (pack,), findings = load(tmp_path, closing)
    assert not findings
    return pack.rules[0]


def test_a_reading_is_judged_within_its_tolerance(tmp_path: Path) -> None:
    """Law: 12.2 V within 0.2 V is 12.0 to 12.4 V, both ends in."""
    limit = rule_of(tmp_path, BENCH + TOLERANCE).limit

    assert [limit.judge(value) for value in (11.99, 12.0, 12.2, 12.4, 12.41)] == ["fail", *["pass"] * 3, "fail"]
    assert (limit.written, limit.unit) == ("12.2 V within 0.2 V", "V")


@pytest.mark.parametrize(
    ("kind", "expect", "tolerance", "low", "high"),
    [
        ("voltage", "12 V", "5 %", 11.4, 12.6),
        ("share", "80 %", "5 %", 0.75, 0.85),
        ("temperature", "50 degC", "5 K", 45.0, 55.0),
        ("count", "4", None, 4.0, 4.0),
    ],
)
def test_tolerances_by_hand(kind: str, expect: str, tolerance: str | None, low: float, high: float) -> None:
    """By hand: per cent is of what is expected, of a share in points; a temperature's tolerance is in kelvin."""
    limit = read_expected(expect, kind=kind, tolerance=tolerance)

    assert [limit.low, limit.high] == pytest.approx([low, high])


def test_a_reading_may_have_a_limit_in_place_of_a_value(tmp_path: Path) -> None:
    """Case: at most 80 dBA at the driver's ear is said so, with no value to expect."""
    rule = rule_of(tmp_path, "closed-by: bench\n  step: Meter at the ear.\n  kind: level\n  at-most: 80 dBA")

    assert rule.needs == "a reading at the bench, at most 80 dBA"
    assert [rule.limit.judge(value) for value in (60.0, 80.0, 80.1)] == ["pass", "pass", "fail"]


def test_words_and_answers_are_read_as_they_stand() -> None:
    """Case: a bench step may expect a word, or yes."""
    assert read_expected("green", kind="word").judge("green") == "pass"
    assert read_expected("yes", kind="yes-no").judge(False) == "fail"


@pytest.mark.parametrize(
    ("closing", "needs", "said"),
    [
        (BENCH + TOLERANCE, "a reading at the bench, 12.2 V within 0.2 V", "bench: Everything on"),
        ("closed-by: photo\n  photo-of: the load label", "a photo of the load label", "photo: a photo of the"),
        ("closed-by: signature\n  signed-by: station-officer", "the signature of the station officer", "signature: th"),
    ],
)
def test_a_clause_says_what_would_close_it(tmp_path: Path, closing: str, needs: str, said: str) -> None:
    """Case: what a record has to hold, in the words of every paper; explain says it is open until then."""
    rule = rule_of(tmp_path, closing)
    (pack,), _ = load(tmp_path, closing)
    page = explain("OWN-001", packs=[pack], registry={})

    assert (rule.needs, rule.measure) == (needs, "")
    assert page is not None
    lines = dict(page.lines())
    assert lines["closed by"].startswith(said)
    assert lines["closed by"].endswith("Open until there is a record of it")
    assert {"limit", "measured", "applies to"}.isdisjoint(lines)


@pytest.mark.parametrize(
    ("closing", "code", "name", "line", "write"),
    [
        ("closed-by: handshake", "RUL-015", "closing-not-known", 9, "measure, bench, photo or signature"),
        ("closed-by: photo", "RUL-015", "closing-not-whole", 6, "photo-of"),
        ("closed-by: signature", "RUL-015", "closing-not-whole", 6, "signed-by"),
        (BENCH, "RUL-015", "closing-not-whole", 6, "tolerance"),
        ("closed-by: photo\n  photo-of: it\n  signed-by: customer", "RUL-015", "closing-mixed", 11, "another"),
        (BENCH + "\n  at-most: 13 V", "RUL-015", "closing-mixed", 12, "one of them"),
        (BENCH.replace("expect:", "at-most:") + TOLERANCE, "RUL-015", "closing-mixed", 13, "one of them"),
        (BENCH.replace('\n  expect: "12.2 V"', ""), "RUL-015", "closing-not-whole", 6, "expect with tolerance"),
        (BENCH.replace("expect:", "at-most: 1 V\n  at-least:"), "RUL-006", "limit-not-one", 13, "at-least"),
        ("closed-by: photo\n  photo-of: it\n  at-least: 3 V", "RUL-015", "closing-mixed", 11, "another"),
        (BENCH + TOLERANCE + "\n  measure: flash.rate", "RUL-015", "closing-mixed", 14, "another"),
        ("measure: flash.rate\n  kind: rate\n  at-least: 1 Hz\n  photo-of: it", "RUL-015", "closing-mixed", 12, ""),
        (BENCH + "\n  tolerance: soon", "RUL-009", "limit-not-read", 13, ""),
        (BENCH + "\n  tolerance: -1 V", "RUL-009", "limit-not-read", 13, ""),
        (BENCH.replace("12.2 V", "12.2") + TOLERANCE, "RUL-009", "limit-not-read", 12, "12.2 V"),
        (BENCH.replace("voltage", "voltag") + TOLERANCE, "RUL-005", "unit-kind-unknown", 11, "voltage"),
        ("closed-by: signature\n  signed-by: The Customer", "RUL-002", "name-not-plain", 10, ""),
        ("kind: rate\n  at-least: 1 Hz", "RUL-002", "field-missing", 6, "bench, photo or signature"),
    ],
)
def test_wrong_use_says_where_and_what_to_write(
    tmp_path: Path, closing: str, *, code: str, name: str, line: int, write: str
) -> None:
    """Case: a clause closed in no way or in two; one finding at its line, and the pack is left out whole."""
    packs, findings = load(tmp_path, closing)

    assert not packs
    assert (findings[0].code, findings[0].name, findings[0].where[0].line) == (code, name, line)
    assert write in (findings[0].fix.sentence if findings[0].fix else "")


@given(
    st.dictionaries(
        st.sampled_from(
            ["closed-by", "measure", "kind", "at-least", "step", "expect", "tolerance", "photo-of", "signed-by"]
        ),
        st.sampled_from([*WAYS, "rate", "1 Hz", "", "yes"]) | st.none() | st.lists(st.text(max_size=3), max_size=2),
    )
)
def test_any_fields_are_one_way_or_are_refused(written: dict[str, object]) -> None:
    """Law: a clause is closed in exactly one way, or is refused in one line."""
    try:
        said: str = check_closing(written)
    except ClosingError as error:
        said = str(error)

    assert said in WAYS or (said.endswith((".", "missing")) and "\n" not in said)


@given(st.one_of(st.text(max_size=20), st.none(), st.lists(st.text(max_size=3))), st.text(max_size=12))
def test_any_reading_is_read_or_refused(expect: object, tolerance: str) -> None:
    """Law: whatever stands there is a limit or a refusal."""
    try:
        limit = read_expected(expect, kind="voltage", tolerance=tolerance)
        said = limit.written if limit.low <= limit.high else ""
    except LimitError as error:
        said = str(error)

    assert said
