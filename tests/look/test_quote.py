"""The quoted line and its caret stand under each other, whatever the line holds."""

from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.mark import Mark
from coachwright.look.quote import columns, plain, quote


def mark(line: int, column: int, length: int = 1) -> Mark:
    return Mark("build.yaml", line, column, 100, 100 + length)


def test_caret_stands_under_the_words() -> None:
    """Case: 25 in `    aim: 25` is column 10."""
    found = quote("a:\n  b:\n    aim: 25\n", mark(3, 10, 2))

    assert found is not None
    assert found.source() == "    3 |     aim: 25"
    assert found.caret() == "      |          ^^"


def test_wide_letters_take_two_places() -> None:
    """East Asian wide letters take two columns, combining marks none (Unicode Standard Annex 11)."""
    assert (columns("ab"), columns("車"), columns("e\u0301")) == (2, 2, 1)
    found = quote("車: 25", mark(1, 4, 2))
    assert found is not None
    assert found.start == 4


def test_long_line_is_cut_round_the_words() -> None:
    """Case: a word far to the right stays in sight."""
    line = "x" * 300 + " wrong " + "y" * 300
    found = quote(line, mark(1, 302, 5), width=80)

    assert found is not None
    assert columns(found.line) <= 80
    assert found.line[found.start : found.start + found.width] == "wrong"


def test_line_that_is_not_there_is_not_quoted() -> None:
    """Case: the file has moved on."""
    assert quote("a: 1\n", mark(7, 1)) is None
    assert quote("", mark(1, 1)) is None


def test_what_moves_the_cursor_is_replaced() -> None:
    """Law: text from a file can't write on the lead's screen."""
    assert plain("a\x1b[31mb\u202ec\x00\td") == "a\ufffd[31mb\ufffdc\ufffd d"


@given(st.text(max_size=120), st.integers(1, 5), st.integers(1, 200), st.integers(0, 300))
def test_every_quote_fits_and_can_be_printed(text: str, line: int, column: int, length: int) -> None:
    """Law: any mark into any text gives a printable line no wider than asked, with one caret at least."""
    found = quote(text, mark(line, column, length), width=40)

    if found is not None:
        assert columns(found.line) <= 40
        assert found.line.isprintable()
        assert found.width >= 1
        assert found.start <= columns(found.line)
