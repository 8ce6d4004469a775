"""What does a EULUMDAT file say? Lines in their order, symmetries, lumens of the lamps."""

import math

import numpy as np
import pytest

from coachwright.parts.photometric_read import doubts, read_photometric
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import PhotometryWrong
from tests.parts.photometric import SMALL_LDT, codes, ldt_text, read

GAMMAS = [0.0, 45.0, 90.0]
TWELVE = np.arange(0.0, 360, 30)


def swing(planes_deg: np.ndarray, *, by: str) -> np.ndarray:
    """Candela that have one symmetry and no other, shape (gammas, planes)."""
    c = np.radians(planes_deg)
    value = {
        "none": 5 + np.cos(c) + np.sin(c) + 0.5 * np.sin(2 * c),
        "C0": 5 + np.cos(c),
        "C90": 5 + np.sin(c),
        "both": 5 + np.cos(2 * c),
        "all": 5 + 0 * c,
    }[by]
    return np.outer([1.0, 1.0, 1.0], value)


def refused(text: str) -> PhotometryWrong:
    """What is told about a file that can't be used."""
    with pytest.raises(PhotometryWrong) as told:
        read(text, "ldt")
    return told.value


@pytest.mark.parametrize(
    ("symmetry", "by", "written"),
    [
        (0, "none", list(range(12))),
        (1, "all", [0]),
        (2, "C0", list(range(7))),
        (3, "C90", [9, 10, 11, 0, 1, 2, 3]),
        (4, "both", [0, 1, 2, 3]),
    ],
)
def test_planes_that_symmetry_gives_are_left_out(symmetry: int, by: str, written: list[int]) -> None:
    """Print: 2 alike to C 0-180, 3 to C 90-270 from plane 3 Mc/4 + 1 on, 4 to both, 1 all round (EULUMDAT/2, 1998)."""
    whole = swing(TWELVE, by=by)
    file = read(ldt_text(GAMMAS, TWELVE, whole[:, written], symmetry=symmetry), "ldt")

    for place, plane in enumerate(TWELVE):
        found = file.table.toward(math.radians(plane), math.radians(45))
        assert found == pytest.approx(whole[1, place]), plane
    assert codes(file) == []


def test_values_are_candela_for_a_thousand_lumens() -> None:
    """Print: cd = value x factor x lumens / 1000 (EULUMDAT/2, 1998): 300 cd/klm of 2500 lm, factor 0.5, are 375 cd."""
    file = read(
        ldt_text(GAMMAS, [0.0], np.array([[300.0], [200], [0]]), symmetry=1, factor="0.5", sets=[("1", "2500")]), "ldt"
    )

    assert file.table.peak_cd == pytest.approx(375.0)
    assert file.declared_lm == 2500.0
    assert file.table.axis_cd == pytest.approx(375.0)


def test_the_output_ratio_is_held_against_the_sum() -> None:
    """Law: Lambert's face of pi lumens a candela: 1000 lm lamps and 250 cd on the axis are 785 lm, 78.5 %."""
    gammas = np.arange(0.0, 91, 2.5)
    values = 250.0 * np.cos(np.radians(gammas))[:, None]
    good, wrong = (read(ldt_text(gammas, [0.0], values, symmetry=1, ratio=ratio), "ldt") for ratio in ("78.5", "60"))

    assert flux_lm(good.table) == pytest.approx(250 * math.pi, rel=1e-3)
    assert [each.code for each in doubts(good)] == []
    assert [each.code for each in doubts(wrong)] == ["PRT-099"]


def test_more_light_than_the_lamps_give_is_told() -> None:
    """Case: a public file declares 85 % and sums up to 291.6 %: impossible, and must be said."""
    gammas = np.arange(0.0, 91, 5)
    file = read(ldt_text(gammas, [0.0], 930.0 * np.cos(np.radians(gammas))[:, None], symmetry=1, ratio="85"), "ldt")
    told = doubts(file)

    assert [each.code for each in told] == ["PRT-099"]
    assert "2,920 lm" in told[0].why
    assert "1,000 lm" in told[0].why


def test_a_spreadsheet_s_commas_are_decimal_signs() -> None:
    """Case: one value a line leaves no doubt what a comma is."""
    text = ldt_text([0.0, 22.5, 90], [0.0], np.array([[300.5], [200.25], [0]]), symmetry=1, factor="1.0").replace(
        ".", ","
    )
    file = read(text.replace("a,ldt", "a.ldt"), "ldt")

    assert file.table.candela_cd[:, 0].tolist() == [300.5, 200.25, 0.0]
    assert codes(file) == []


def test_numbers_may_share_a_line() -> None:
    """Case: some programs write a plane on one line, or leave lines empty between blocks."""
    head, tail = SMALL_LDT.split("\n0.5\n", 1)
    numbers = ("0.5\n" + tail).split()
    file = read(head + "\n" + " ".join(numbers[:10]) + "\n\n" + " ".join(numbers[10:]) + "\n", "ldt")

    assert file.table.candela_cd.tolist() == read(SMALL_LDT, "ldt").table.candela_cd.tolist()


def test_old_letters_and_line_ends() -> None:
    """Print: the format is of ISO-8859-1 with CR LF (EULUMDAT/2, 1998)."""
    text = ldt_text(GAMMAS, [0.0], np.ones((3, 1)), symmetry=1, name="Au\N{LATIN SMALL LETTER SHARP S}en")
    file = read_photometric(text.replace("\n", "\r\n").encode("latin-1"), name="x.LDT")

    assert ("LUMINAIRE", "Au\N{LATIN SMALL LETTER SHARP S}en") in file.keywords
    assert file.size_m == pytest.approx((0.04, 0.09, 0.0))


def test_several_sets_of_lamps_are_added_and_told() -> None:
    """Case: two sets of 500 and 700 lm; other readers add them too, and a maker may mean one or the other."""
    file = read(ldt_text(GAMMAS, [0.0], np.ones((3, 1)), symmetry=1, sets=[("1", "500"), ("2", "700")]), "ldt")

    assert file.declared_lm == 1200.0
    assert file.lamps_n == 3.0
    assert codes(file) == ["PRT-098"]


def test_a_negative_count_of_lamps_is_absolute_photometry() -> None:
    """Case: lamps that can't be taken out are counted -1; the lumens are those of the whole."""
    file = read(ldt_text(GAMMAS, [0.0], np.ones((3, 1)), symmetry=1, sets=[("-1", "500")]), "ldt")

    assert (file.lamps_n, file.declared_lm) == (1.0, 500.0)


def test_factor_and_tilt_that_are_odd_are_told() -> None:
    """Case: a factor of 0 would leave no light; a lamp measured tilted is taken as it was measured."""
    values = np.ones((3, 1))

    assert codes(read(ldt_text(GAMMAS, [0.0], values, symmetry=1, factor="0"), "ldt")) == ["PRT-096"]
    assert codes(read(ldt_text(GAMMAS, [0.0], values, symmetry=1, factor=""), "ldt")) == ["PRT-096"]
    assert codes(read(ldt_text(GAMMAS, [0.0], values, symmetry=1, tilt="15"), "ldt")) == ["PRT-095"]
    assert codes(read(ldt_text(GAMMAS, [0.0], values, symmetry=1) + "5\n", "ldt")) == ["PRT-091"]


@pytest.mark.parametrize(
    ("line", "text", "code"),
    [
        (3, "5", "PRT-085"),
        (3, "", "PRT-084"),
        (4, "0", "PRT-085"),
        (4, "many", "PRT-084"),
        (4, "4000", "PRT-085"),
        (6, "1", "PRT-085"),
        (23, "all", "PRT-084"),
        (26, "99", "PRT-085"),
        (29, "0", "PRT-097"),
        (29, "bright", "PRT-084"),
    ],
)
def test_a_line_that_is_wrong_is_told_by_its_number(line: int, text: str, code: str) -> None:
    """Case: one line of a good file, changed."""
    lines = SMALL_LDT.split("\n")
    lines[line - 1] = text
    told = refused("\n".join(lines))

    assert (told.code, told.line) == (code, line)


def test_planes_that_do_not_fit_their_symmetry_are_refused() -> None:
    """Case: symmetry to both planes, but the quarter ends at 60 deg."""
    told = refused(ldt_text(GAMMAS, np.arange(0.0, 120, 20), np.ones((3, 2)), symmetry=4))

    assert told.code == "PRT-087"


@pytest.mark.parametrize("keep", [1, 5, 20, 30, 40, -3])
def test_a_file_cut_short_is_told(keep: int) -> None:
    """Case: the end is missing, at any line."""
    told = refused("\n".join(SMALL_LDT.split("\n")[:keep]))

    assert told.code == "PRT-083"
    assert told.line >= 1


def test_a_huge_count_is_refused_before_anything_is_read() -> None:
    """Law: what is announced bounds what is read."""
    lines = SMALL_LDT.split("\n")
    lines[3], lines[5] = "1800", "1800"

    assert refused("\n".join(lines)).code == "PRT-080"
