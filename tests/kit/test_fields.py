"""Kinds of field: what each takes, and what it says to write instead."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from coachwright.kit import fields


def said(kind: Any, value: object) -> dict[str, Any]:
    """The complaint about a value."""
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(kind).validate_python(value)
    (detail,) = caught.value.errors()
    return detail["ctx"]


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (fields.Length, "3/8 in", 0.009525),
        (fields.Angle, "-15 deg", -0.2617993877991494),
        (fields.Time, "900 ms", 0.9),
        (fields.Speed, "45 mph", 20.1168),
        (fields.Share, "40 %", 0.4),
        (fields.Share, "0.4", 0.4),
        (fields.Rate, "150 per min", 2.5),
        (fields.Voltage, "12.8 V", 12.8),
    ],
)
def test_quantities_are_read_into_si(kind: Any, text: str, value: float) -> None:
    """Case: 1 in = 25.4 mm and 1 mph = 0.44704 m/s exactly (NIST SP 811, appendix B.8)."""
    assert TypeAdapter(kind).validate_python(text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "value", "code", "name", "write"),
    [
        (fields.Angle, "25", "BLD-004", "angle-without-unit", "Write 25 deg."),
        (fields.Angle, "25 in", "BLD-006", "angle-not-read", ""),
        (fields.Speed, "45 mhp", "BLD-006", "speed-not-read", "Write 45 mph."),
        (fields.Length, ["1 in"], "BLD-005", "quantity-not-text", ""),
        (fields.YesNo, "true", "BLD-007", "yes-or-no", "Write yes or no."),
        (fields.Name, "Corner Lamp", "BLD-008", "name-not-plain", "Write it like corner-lamp-2."),
        (fields.Name, "a--b", "BLD-008", "name-not-plain", ""),
        (fields.Count, "6.5", "BLD-009", "count-not-whole", ""),
        (fields.Count, "-1", "BLD-009", "count-not-whole", ""),
        (fields.Text, {}, "BLD-010", "text-expected", ""),
    ],
)
def test_what_is_not_taken(kind: Any, value: object, code: str, name: str, write: str) -> None:
    """Case: the code, the name of what is wrong, and what to write."""
    told = said(kind, value)

    assert (told["code"], told["name"]) == (code, name)
    assert write in told["write"]
    assert told["why"]


def test_what_our_own_code_made_is_taken() -> None:
    """Case: SI floats and truths that never stood in a file."""
    assert TypeAdapter(fields.Length).validate_python(0.25) == 0.25
    assert TypeAdapter(fields.YesNo).validate_python(True) is True
    assert said(fields.Length, True)["code"] == "BLD-005"


@given(st.from_regex(r"[a-z0-9]{1,5}(-[a-z0-9]{1,5}){0,3}", fullmatch=True))
def test_plain_names_stay_as_they_are(name: str) -> None:
    """Law: small letters, digits, single hyphens between them."""
    assert TypeAdapter(fields.Name).validate_python(name) == name


@given(st.one_of(st.text(max_size=40), st.integers(), st.lists(st.text(max_size=3), max_size=2), st.none()))
def test_every_kind_takes_or_tells(value: object) -> None:
    """Law: whatever comes in, a value or one complaint with its words."""
    for kind in (fields.Length, fields.Share, fields.YesNo, fields.Name, fields.Count, fields.Text):
        try:
            TypeAdapter(kind).validate_python(value)
        except ValidationError as error:
            (detail,) = error.errors()
            assert detail["ctx"]["why"].endswith((".", "?"))
