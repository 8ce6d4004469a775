"""Characters of a value, found in its source."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.within import place_in_source


@pytest.mark.parametrize(
    ("source", "value", "word"),
    [
        ("brake and night", "brake and night", "night"),
        ("'brake and night'", "brake and night", "night"),
        ("'it''s night'", "it's night", "night"),
        (r'"a \"b\" night"', 'a "b" night', "night"),
        ('"a \\x62 night"', "a b night", "night"),
        ("brake\n    and night", "brake and night", "night"),
        ('"brake\n   and\\\n   night"', "brake andnight", "night"),
        (">\n  brake\n  night", "brake night", "night"),
        ("|\n  brake\n  night\n", "brake\nnight\n", "night"),
    ],
)
def test_a_word_is_found(source: str, value: str, word: str) -> None:
    """Case: in every style of YAML."""
    start = value.index(word)
    first, last = place_in_source(source, value, start, start + len(word))

    assert source[first:last] == word


def test_the_end_is_before_the_quotation_mark() -> None:
    """Case: something is missing at the end of a text."""
    assert place_in_source("'it''s'", "it's", 4, 4) == (6, 6)
    assert place_in_source("abc", "abc", 3, 3) == (3, 3)


@given(
    st.text(st.sampled_from("abé𝄞'\"\\ \t"), min_size=1, max_size=20), st.integers(0, 19), st.sampled_from(["'", '"'])
)
def test_each_character_is_found_in_quotes(value: str, number: int, style: str) -> None:
    """Law: what PyYAML writes in quotes is found again, one character at a time."""
    source = yaml.dump(value, default_style=style, allow_unicode=True, width=10_000).rstrip("\n")
    number %= len(value)
    first, last = place_in_source(source, value, number, number + 1)
    plain = {"''": "'", '\\"': '"', "\\\\": "\\", "\\t": "\t"}.get(source[first:last], source[first:last])

    assert yaml.safe_load(source) == value
    assert plain == value[number] or source[first:last].startswith("\\")
