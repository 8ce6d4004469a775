"""How is the text of a photometric file taken apart?"""

import numpy as np
import pytest

from coachwright.parts.photometric_text import MOST_BYTES, Numbers, PhotometryWrong, number_in, printable, text_of


def test_a_file_larger_than_any_measurement_is_refused() -> None:
    """Law: size is looked at before anything else."""
    with pytest.raises(PhotometryWrong, match="longer than") as told:
        text_of(b" " * (MOST_BYTES + 1))

    assert told.value.code == "PRT-080"


@pytest.mark.parametrize("content", [b"\xff\xfea\x00", b"\xfe\xff\x00a", b"a\nb\x00c"])
def test_what_is_no_text_is_refused(content: bytes) -> None:
    """Case: UTF-16 and bytes of nought."""
    with pytest.raises(PhotometryWrong) as told:
        text_of(content)

    assert told.value.code == "PRT-081"


def test_text_is_made_alike() -> None:
    """Case: byte order mark, three kinds of line end, two encodings, the end-of-file sign of old systems."""
    assert text_of(b"\xef\xbb\xbfa\r\nb\rc\nd\x1a\x00") == "a\nb\nc\nd"
    assert text_of(b"30\xb0") == text_of("30\N{DEGREE SIGN}".encode()) == "30\N{DEGREE SIGN}"


@pytest.mark.parametrize(
    "word", ["", "nan", "inf", "1e999", "0x10", "1_0", "1,5", "\N{ARABIC-INDIC DIGIT FIVE}", "--1", "e5", "=1"]
)
def test_only_plain_finite_numbers_are_numbers(word: str) -> None:
    """Case: what Python would take for a number, and a laboratory wouldn't write."""
    assert number_in(word) is None


def test_numbers_are_taken_one_behind_the_other() -> None:
    """Law: the place that is told is that of the next number."""
    numbers = Numbers("head\n1, 2\n\n 3.5e1", 5)

    assert numbers.one("a") == 1.0
    assert numbers.take(2, "b").tolist() == [2.0, 35.0]
    assert numbers.left() == 0
    with pytest.raises(PhotometryWrong, match="0 of 1") as told:
        numbers.one("more")
    assert (told.value.code, told.value.line, told.value.column) == ("PRT-083", 4, 7)


def test_a_word_among_numbers_is_told_where_it_stands() -> None:
    """Case: the third word of the second line."""
    with pytest.raises(PhotometryWrong) as told:
        Numbers("1 2\n3 4 five 6\n", 0).take(6, "numbers")

    assert (told.value.code, told.value.line, told.value.column) == ("PRT-084", 2, 5)


def test_texts_of_a_file_are_shown_on_one_line() -> None:
    """Law: nothing in a file moves the cursor, ends a line or goes on forever."""
    assert printable("a\x1b[31m\tb\u2028c\n") == "a [31m b c"
    assert len(printable("x" * 1000)) == 200
    assert np.all([character.isprintable() for character in printable("".join(map(chr, range(0x180))), 1000)])
