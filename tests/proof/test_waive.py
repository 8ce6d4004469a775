"""Waivers let a finding stand for a while; they never make it green."""

from datetime import date
from typing import Any

import pytest

from coachwright.build.model import Waiver
from coachwright.kit.finding import Finding
from coachwright.proof.gather import Answer
from coachwright.proof.judge import judge
from coachwright.proof.waive import Waived, waive
from tests.proof.made import measure, pack, rule

TODAY = date(2027, 3, 1)


def waiver(code: str = "OWN-001", about: str = "lamps.grille", *, until: str = "2027-03-01", **rest: Any) -> Waiver:
    given = {"by": "M. Lead", "why": "the customer has seen it", "path": "waivers.1"} | rest
    return Waiver(code=code, about=about, until=until, **given)


def laid(*waivers: Waiver, value: float = 0.5, findings: tuple[Finding, ...] = (), **changes: Any) -> Waived:
    the_rule = rule(**changes)
    return waive(judge(pack(the_rule), the_rule, [Answer((measure(value),))]), findings, waivers, today=TODAY)


def codes(found: Waived) -> list[str]:
    return [finding.code for finding in found.findings]


def test_waiver_turns_a_failure_into_waived_not_into_a_pass() -> None:
    """Law: waived never counts as pass; name, reason and day stay with it."""
    found = laid(waiver())

    assert [each.state for each in found.judgements] == ["waived"]
    assert found.judgements[0].waiver == waiver()
    assert [each.finding.code for each in found.waived] == ["OWN-001"]
    assert codes(found) == []


def test_waiver_holds_through_its_last_day() -> None:
    """Case: until 1 March holds on 1 March and not on the 2nd."""
    assert laid(waiver(until="2027-03-01")).judgements[0].state == "waived"
    after = laid(waiver(until="2027-02-28"))
    assert after.judgements[0].state == "fail"
    assert codes(after) == ["VER-020"]


def test_waiver_of_law_is_refused_and_the_finding_stands() -> None:
    """Law: nobody in a shop can waive law."""
    found = laid(waiver(), waivable=False)

    assert found.judgements[0].state == "fail"
    assert codes(found) == ["VER-022"]
    assert found.findings[0].severity == "error"


@pytest.mark.parametrize("unneeded", [waiver(code="OWN-002"), waiver(about="lamps.visor"), waiver(about="lamps.gril")])
def test_waiver_nobody_needs_is_told(unneeded: Waiver) -> None:
    """Law: a waiver names a code and a subject; a name that only begins alike is another one."""
    found = laid(unneeded)

    assert found.judgements[0].state == "fail"
    assert codes(found) == ["VER-021"]


def test_waiver_of_what_passes_is_unused() -> None:
    """Case: the lamp was changed, the waiver stayed."""
    assert codes(laid(waiver(), value=3.0)) == ["VER-021"]


def test_waiver_of_a_whole_lamp_covers_what_is_inside() -> None:
    """Case: lamps.grille covers lamps.grille.aim."""
    inside = Finding("LGT-001", "aim-odd", "error", "Odd.", about="lamps.grille.aim")
    found = laid(waiver(code="LGT-001"), value=3.0, findings=(inside,))

    assert [each.finding for each in found.waived] == [inside]
    assert codes(found) == []


@pytest.mark.parametrize("code", ["BLD-004", "PRT-001", "RUL-003", "VER-002", "VER-010"])
def test_what_can_not_be_read_or_judged_is_never_waived(code: str) -> None:
    """Law: a waiver is for a finding one understands."""
    bad = Finding(code, "wrong", "error", "Wrong.", about="lamps.grille")
    found = laid(waiver(code=code), value=3.0, findings=(bad,))

    assert not found.waived
    assert codes(found) == [code, "VER-022"]


def test_waived_draft_stays_a_draft() -> None:
    """Law: a waiver of a draft is kept beside it and changes no state."""
    found = laid(waiver(), status="draft")

    assert (found.judgements[0].state, found.judgements[0].waiver) == ("draft", waiver())
    assert codes(found) == []


@pytest.mark.parametrize("until", ["soon", "", "2027-13-01", "01.03.2027", "20270301"])
def test_day_that_is_no_day_is_told(until: str) -> None:
    """Case: a waiver without an end is none."""
    found = laid(waiver(until=until))

    assert found.judgements[0].state == "fail"
    assert codes(found) == ["VER-023"]


@pytest.mark.parametrize("lacking", [{"by": " "}, {"why": ""}])
def test_waiver_without_name_or_reason_is_none(lacking: dict[str, str]) -> None:
    """Law: who and why, or it does not hold."""
    found = laid(waiver(**lacking))

    assert found.judgements[0].state == "fail"
    assert codes(found) == ["VER-024"]
