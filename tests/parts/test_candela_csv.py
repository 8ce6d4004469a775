"""What does a candela table kept in a spreadsheet say?"""

import numpy as np
import pytest

from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import PhotometryWrong
from tests.parts.photometric import SMALL_CSV, codes, csv_text, ies_text, read

V, H = [-10.0, 0.0, 10.0], [-20.0, 0.0, 20.0]
CANDELA = np.array([[1.0, 5, 2], [4, 90.5, 3], [1, 5, 1]])


def refused(text: str) -> PhotometryWrong:
    """What is told about a table that can't be used."""
    with pytest.raises(PhotometryWrong) as told:
        read(text, "csv")
    return told.value


@pytest.mark.parametrize("kind", ["A", "B"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_table_says_what_an_lm_63_file_of_the_same_says(kind: str, separator: str) -> None:
    """Law: the layout changes nothing about the light."""
    table = read(csv_text(kind, V, H, CANDELA, separator=separator), "csv").table
    other = read(ies_text(kind, V, H, CANDELA)).table

    np.testing.assert_array_equal(table.candela_cd, other.candela_cd)
    assert flux_lm(table) == flux_lm(other)


def test_with_semicolons_a_comma_is_a_decimal_sign() -> None:
    """Case: a spreadsheet of another language."""
    text = csv_text("A", V, H, CANDELA, separator=";").replace(".", ",")

    assert read(text, "csv").table.candela_cd.tolist() == CANDELA.tolist()


def test_type_c_unfolds_as_in_lm_63() -> None:
    """Law: the last plane tells the symmetry there and here."""
    values = np.outer([9.0, 5, 0], [1, 2, 3])
    table = read(csv_text("C", [0, 45, 90], [0, 45, 90], values), "csv").table
    other = read(ies_text("C", [0, 45, 90], [0, 45, 90], values)).table

    np.testing.assert_array_equal(table.candela_cd, other.candela_cd)


def test_lumens_are_declared_through_the_lens() -> None:
    """Case: a row with lumens is held against the sum, and makes candela of cd/klm."""
    said = read(csv_text("A", V, H, CANDELA, more="lumens, 12.5 lm\ntitle, Invented lamp\n"), "csv")
    per_thousand = read(csv_text("A", V, H, CANDELA, more="lumens, 500 lm\n", intensity="cd/klm"), "csv")

    assert (said.declared_lm, said.declared_of) == (12.5, "through the lens")
    assert ("TITLE", "Invented lamp") in said.keywords
    assert per_thousand.table.peak_cd == pytest.approx(45.25)
    assert refused(csv_text("A", V, H, CANDELA, intensity="cd/klm")).code == "PRT-097"


def test_rows_that_say_nothing_are_passed_over() -> None:
    """Case: notes, empty rows and empty cells behind a row, as spreadsheets leave them."""
    text = SMALL_CSV.replace("angle,deg", "# a note, with a comma\n,,,\nangle,deg,,,")

    assert codes(read(text, "csv")) == []
    assert read(text, "csv").table.peak_cd == 90.0


def test_angles_may_be_radians() -> None:
    """Law: a unit word tells what the numbers are."""
    text = csv_text("A", [-0.5, 0.5], [-0.25, 0.25], np.ones((2, 2))).replace("angle,deg", "angle, rad")

    assert read(text, "csv").table.vertical_rad.tolist() == pytest.approx([-0.5, 0.5])


@pytest.mark.parametrize(
    ("old", "new", "code", "place"),
    [
        ("goniometer,A", "gonio,A", "PRT-090", (1, 1)),
        ("goniometer,A", "goniometer,C", "PRT-088", (1, 1)),
        ("goniometer,A\n", "", "PRT-088", (3, 1)),
        ("angle,deg", "angle,gon", "PRT-088", (2, 1)),
        ("intensity,cd", "intensity,lx", "PRT-088", (3, 1)),
        ("0,4,90,4", "0,4,=1+1,4", "PRT-084", (6, 5)),
        ("0,4,90,4", "0,4,,4", "PRT-084", (6, 5)),
        ("0,4,90,4", "zero,4,90,4", "PRT-084", (6, 1)),
        ("0,4,90,4", "0,4,90", "PRT-085", (6, 1)),
        ("0,4,90,4", "0,4,90,4,5", "PRT-085", (6, 1)),
        ("0,4,90,4", "-20,4,90,4", "PRT-086", (4, 1)),
        ("V/H,-20", "V/H,-200", "PRT-087", (4, 1)),
        ("V/H", "V:H", "PRT-090", (4, 1)),
        ("goniometer,A", "lumens, many\ngoniometer,A", "PRT-084", (1, 1)),
    ],
)
def test_what_is_wrong_is_told_at_its_cell(old: str, new: str, code: str, place: tuple[int, int]) -> None:
    """Case: one word of a good table, changed; a formula is a word like any other and is never worked out."""
    assert old in SMALL_CSV
    told = refused(SMALL_CSV.replace(old, new, 1))

    assert (told.code, (told.line, told.column)) == (code, place)
    assert told.write


def test_a_file_without_a_table_is_told() -> None:
    """Case: only the words above it are there."""
    assert refused("goniometer, A\n").code == "PRT-083"
    assert refused("").code == "PRT-083"
