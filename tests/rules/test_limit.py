"""Limits judge numbers, words and answers; near is on the good side."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.rules.limit import Limit, LimitError, read_limit

numbers = st.floats(-1e9, 1e9, allow_nan=False)


def test_near_of_a_percentage_is_of_the_limit() -> None:
    """Common practice: 10 % of 600 cd is 60 cd."""
    limit = read_limit({"at-least": "600 cd"}, kind="luminous-intensity", near="10 %")

    assert [limit.judge(value) for value in (599.0, 600.0, 659.0, 660.0)] == ["fail", "near", "near", "pass"]


def test_near_of_a_share_is_in_points() -> None:
    """Common practice: 20 % beside a limit of 80 % begins at 60 %."""
    limit = read_limit({"at-most": "80 %"}, kind="share", near="20 %")

    assert [limit.judge(value) for value in (0.5, 0.61, 0.8, 0.81)] == ["pass", "near", "near", "fail"]


def test_between_is_near_at_both_ends() -> None:
    """Case: 1 to 4 Hz with 0.1 Hz beside each end."""
    limit = read_limit({"between": ["60 per min", "4 Hz"]}, kind="rate", near="0.1 Hz")

    assert [limit.judge(value) for value in (0.99, 1.0, 1.05, 2.0, 3.95, 4.0, 4.01)] == [
        "fail", "near", "near", "pass", "near", "near", "fail",
    ]  # fmt: skip


def test_last_digits_of_a_sum_decide_nothing() -> None:
    """Law: 0.1 added ten times is 1 here."""
    limit = read_limit({"at-least": "1 Hz"}, kind="rate")

    assert limit.judge(sum([0.1] * 10)) == "pass"
    assert limit.judge(1 - 1e-6) == "fail"


@pytest.mark.parametrize(
    ("written", "value", "expected"),
    [
        ({"equals": "proved"}, "proved", "pass"),
        ({"equals": "proved"}, "undecided", "fail"),
        ({"one-of": ["a", "b"]}, "b", "pass"),
        ({"none-of": ["broken"]}, "broken", "fail"),
        ({"none-of": ["broken"]}, "proved", "pass"),
    ],
)
def test_words_are_judged(written: dict[str, object], value: str, expected: str) -> None:
    """Case: words."""
    assert read_limit(written, kind="word").judge(value) == expected


def test_answers_are_judged() -> None:
    """Case: yes and no."""
    assert read_limit({"must-be": "no"}, kind="yes-no").judge(True) == "fail"
    assert read_limit({"must-be": "no"}, kind="yes-no").judge(False) == "pass"


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ({}, "rate"),
        ({"at-least": "1 Hz", "at-most": "2 Hz"}, "rate"),
        ({"at-least": "1 cd"}, "rate"),
        ({"at-least": "nan"}, "number"),
        ({"at-least": "inf"}, "number"),
        ({"between": ["1 Hz"]}, "rate"),
        ({"between": "1 Hz"}, "rate"),
        ({"must-be": "maybe"}, "yes-no"),
        ({"one-of": []}, "word"),
        ({"at-least": "4"}, "word"),
        ({"at-least": "4"}, "colour-of-the-sky"),
        ({"at-least": {"a": "b"}}, "rate"),
    ],
)
def test_what_is_no_limit_is_refused(written: dict[str, object], kind: str) -> None:
    """Case: each is one LimitError with a sentence."""
    with pytest.raises(LimitError) as caught:
        read_limit(written, kind=kind)
    assert str(caught.value)


def test_margin_wider_than_the_gap_is_refused() -> None:
    """Law: something has to be able to pass."""
    with pytest.raises(LimitError):
        read_limit({"between": ["1 Hz", "2 Hz"]}, kind="rate", near="0.6 Hz")


@given(low=numbers, near=st.floats(0, 1e6), value=numbers, more=st.floats(0, 1e9))
def test_more_light_never_worsens_a_minimum(low: float, near: float, value: float, more: float) -> None:
    """Law: order of the standings follows the value for at-least, and against it for at-most."""
    rank = {"fail": 0, "near": 1, "pass": 2}
    least, most = Limit("at-least", low=low, near=near), Limit("at-most", high=low, near=near)

    assert rank[least.judge(value + more)] >= rank[least.judge(value)]
    assert rank[most.judge(value + more)] <= rank[most.judge(value)]


@given(low=numbers, width=st.floats(1e-3, 1e6), value=numbers)
def test_room_is_negative_only_outside(low: float, width: float, value: float) -> None:
    """Law: room and standing agree."""
    limit = Limit("between", low=low, high=low + width)

    assert (limit.room(value) >= 0) == (limit.low <= value <= limit.high)
    assert limit.bound(value) in (limit.low, limit.high)
    assert not math.isinf(limit.bound(value) or 0.0)
