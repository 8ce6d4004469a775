"""Widths of letters, texts that fit."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.draw.letters import fitted, lines_of, text_width_mm
from coachwright.papers.engine import font_folder
from tests.draw.font_widths import widths


@pytest.mark.parametrize(("face", "bold"), [("Regular", False), ("Semibold", True)])
def test_widths_agree_with_the_typefaces_own_tables(face: str, bold: bool) -> None:
    """OpenType hmtx and cmap tables of Source Sans Pro, read here by themselves: 1000 units to the em."""
    own = widths(Path(font_folder()) / f"SourceSansPro-{face}.ttf")
    for code in range(0x20, 0x7F):
        one_em_mm = 25.4 / 72 * 10
        assert text_width_mm(chr(code), size_pt=10, bold=bold) == pytest.approx(own[code] / 1000 * one_em_mm), chr(code)


@given(st.text(max_size=300), st.floats(min_value=3, max_value=80), st.booleans())
def test_a_fitted_text_fits(said: str, width_mm: float, bold: bool) -> None:
    """Law: never wider than asked."""
    assert text_width_mm(fitted(said, width_mm=width_mm, size_pt=7, bold=bold), size_pt=7, bold=bold) <= width_mm + 1e-9


@given(st.text(alphabet="ab cd-", max_size=200), st.integers(min_value=1, max_value=4))
def test_lines_fit_and_lose_nothing_unsaid(said: str, most_n: int) -> None:
    """Law: at most so many lines, each fits; where words are left out an ellipsis says so."""
    lines = lines_of(said, width_mm=20, size_pt=7, most_n=most_n)

    assert len(lines) <= most_n
    assert all(text_width_mm(line, size_pt=7) <= 20 + 1e-9 for line in lines)
    if not any("…" in line for line in lines):
        assert " ".join(lines).split() == said.split()
