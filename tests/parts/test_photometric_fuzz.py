"""Law: whatever bytes come in, a table or one clear sentence comes out; no traceback, no memory without bound."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.parts.candela import lumens
from coachwright.parts.photometric_grid import type_a_table
from coachwright.parts.photometric_read import doubts, read_photometric
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import MOST_BYTES, PhotometryWrong
from tests.parts.photometric import SMALL_CSV, SMALL_IES, SMALL_LDT

SMALL = {"ies": SMALL_IES, "ldt": SMALL_LDT, "csv": SMALL_CSV}
ENDINGS = sorted(SMALL)
PIECES = [
    b"\n", b"\r", b",", b";", b" ", b"\t", b"-", b".", b"e", b"0", b"9", b"1e308", b"-1", b"1e-320", b"nan", b"inf",
    b"TILT=INCLUDE\n", b"TILT=", b"[", b"]", b"\x00", b"\x1a", b"\xff", b"\xfe\xff", b"9999999999999999",
    b"[MORE] x\n",    b"gamma/C", b"V/H,", b"#", b"\xe2\x80\xa8", b"0.000001", b"360", b"180", b"90",
]  # fmt: skip


def refusal(wrong: PhotometryWrong, content: bytes) -> str:
    """Its sentence, after a look at what a refusal has to be."""
    assert wrong.code.startswith("PRT-")
    assert wrong.why.endswith("."), wrong.why
    assert "\n" not in wrong.why
    assert wrong.column >= 1
    assert 1 <= wrong.line <= content.count(b"\n") + content.count(b"\r") + 1
    return wrong.why


def answer(content: bytes, ending: str) -> str:
    """What comes out of it: the sentence of a refusal, or "" for a table that holds together."""
    try:
        file = read_photometric(content, name=f"a.{ending}")
    except PhotometryWrong as wrong:
        return refusal(wrong, content)
    total = flux_lm(file.table)
    assert np.isfinite(total)
    assert total >= 0
    assert file.table.peak_cd > 0
    assert np.isfinite(lumens(type_a_table(file.table)))
    assert all(each.why and "\n" not in each.why for each in doubts(file))
    return ""


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_file_cut_at_any_byte(ending: str) -> None:
    """Case: every beginning of a small file; only the whole is a table, or a cut within its last number."""
    content = SMALL[ending].encode()
    whole = [length for length in range(len(content) + 1) if not answer(content[:length], ending)]

    assert len(content) in whole
    assert min(whole) >= len(content) * (0.5 if ending == "csv" else 0.98)


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_file_without_any_one_of_its_lines(ending: str) -> None:
    """Case: each line left out, and each written twice."""
    lines = SMALL[ending].splitlines(keepends=True)
    answers = [answer("".join(lines[:n] + lines[n + 1 :]).encode(), ending) for n in range(len(lines))]
    answers += [answer("".join([*lines[:n], lines[n], *lines[n:]]).encode(), ending) for n in range(len(lines))]

    assert len(answers) == 2 * len(lines)
    assert any(answers)


@settings(max_examples=300)
@given(
    st.sampled_from(ENDINGS),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 6), st.sampled_from(PIECES)), min_size=1, max_size=6),
)
def test_a_file_with_pieces_put_in_and_taken_out(ending: str, edits: list[tuple[float, int, bytes]]) -> None:
    """Law: mutated files of all three layouts."""
    content = SMALL[ending].encode()
    for where, taken, piece in edits:
        place = int(where * len(content))
        content = content[:place] + piece + content[place + taken :]

    assert isinstance(answer(content, ending), str)


@settings(max_examples=200)
@given(st.sampled_from(ENDINGS), st.binary(max_size=400))
def test_any_bytes_at_all(ending: str, content: bytes) -> None:
    """Law: noise is refused in one sentence."""
    assert isinstance(answer(content, ending), str)


@settings(max_examples=200)
@given(st.sampled_from(ENDINGS), st.data())
def test_any_number_in_place_of_any_other(ending: str, data: st.DataObject) -> None:
    """Law: counts, types, factors and angles of any size."""
    words = SMALL[ending].split("\n")
    line = data.draw(st.integers(0, len(words) - 1))
    parts = words[line].split(" " if ending == "ies" else ",")
    place = data.draw(st.integers(0, len(parts) - 1))
    number = data.draw(st.one_of(st.integers(-(10**12), 10**12), st.floats(allow_nan=False, allow_infinity=False)))
    parts[place] = str(number)
    words[line] = (" " if ending == "ies" else ",").join(parts)

    assert isinstance(answer("\n".join(words).encode(), ending), str)


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("filler", [b"1 ", b"\n", b"x", b"1\n"])
def test_the_largest_file_that_is_read_takes_bounded_memory(ending: str, filler: bytes) -> None:
    """Law: eight megabytes of anything cost less than a few hundred; what is announced is looked at before."""
    head = {
        "ies": b"TILT=NONE\n1 -1 1 1801 388 3 2 0 0 0\n1 1 1\n",
        "ldt": b"",
        "csv": b"goniometer,A\nangle,deg\nintensity,cd\nV/H,",
    }
    content = (head[ending] + filler * (MOST_BYTES // len(filler)))[:MOST_BYTES]
    tracemalloc.start()
    try:
        told = answer(content, ending)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()

    assert told
    assert peak < 40 * MOST_BYTES
