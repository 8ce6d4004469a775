"""Every code of ours has a page, and every page a code."""

import re
from pathlib import Path

import pytest

import coachwright
from coachwright.look.codes import explained, finding_pages

SOURCE = Path(coachwright.__file__).parent
OURS = sorted(
    {
        code
        for room in ("proof", "rules")
        for path in (SOURCE / room).glob("*.py")
        for code in re.findall(r"\b(?:VER|RUL)-\d{3}\b", path.read_text(encoding="utf-8"))
    }
)


@pytest.mark.parametrize("code", OURS)
def test_every_code_of_proof_and_rules_has_a_page(code: str) -> None:
    """Law: a code that is printed can be looked up; its page says what it means and what to do."""
    page = explained(code)

    assert page is not None
    assert [heading for heading, _ in page.lines if heading != "also called"] == ["means", "what to do"]


def test_no_page_is_left_without_its_code() -> None:
    """Law: a page nobody points at is taken out."""
    pages = {code for code in finding_pages() if code.startswith(("VER-", "RUL-"))}

    assert pages == set(OURS)


def test_rule_has_a_page_too() -> None:
    """Case: a rule explains itself."""
    page = explained("HSE-001")

    assert page is not None
    assert page.name == "siren-runs-on-in-park"
