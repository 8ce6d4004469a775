"""What does a file after LM-63 say? Every trap of the format has a file here."""

import math

import numpy as np
import pytest

from coachwright.parts.photometric_file import PhotometricFile
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import MOST_ANGLES, PhotometryWrong
from tests.parts.photometric import SMALL_IES, codes, cosine, ies_text, polar, read

V, H = [0.0, 45.0, 90.0], [0.0, 90.0, 180.0, 270.0, 360.0]
ROUND = np.outer([1000.0, 500.0, 0.0], np.ones(5))


def refused(text: str) -> PhotometryWrong:
    """What is told about a file that can't be used."""
    with pytest.raises(PhotometryWrong) as told:
        read(text)
    return told.value


def half(file: PhotometricFile) -> float:
    """Candela at 45 deg in the first plane."""
    return float(file.table.candela_cd[1, 0])


@pytest.mark.parametrize(
    ("first", "layout"),
    [
        ("", "LM-63-1986"),
        ("a label of the maker\n", "LM-63-1986"),
        ("IESNA86\n", "LM-63-1986"),
        ("IESNA91\n", "LM-63-1991"),
        ("IESNA:LM-63-1995\n", "LM-63-1995"),
        ("IESNA:LM-63-2002\n", "LM-63-2002"),
        ("IES:LM-63-2019\n", "LM-63-2019"),
    ],
)
def test_every_edition_is_read(first: str, layout: str) -> None:
    """Print: the first line names the edition since 1991; 1986 had none (LM-63, from memory)."""
    file = read(ies_text("C", V, H, ROUND, first=first, keywords=""))

    assert file.layout == layout
    assert file.table.peak_cd == 1000.0
    assert codes(file) == []


def test_candela_are_value_times_all_factors_to_1991() -> None:
    """Print: candela = value x multiplier x ballast factor x ballast-lamp factor (LM-63-1991, from memory)."""
    file = read(ies_text("C", V, H, ROUND, first="IESNA91\n", multiplier="2", factors="0.9 0.95 24"))

    assert half(file) == pytest.approx(500 * 2 * 0.9 * 0.95)
    assert codes(file) == []


def test_the_factor_that_became_a_file_type_multiplies_nothing_in_2019() -> None:
    """Print: LM-63-2019 says there how the file was made, 1.XYZAB (from memory); light stays as it is."""
    file = read(ies_text("C", V, H, ROUND, first="IES:LM-63-2019\n", factors="0.9 1.10010 24"))

    assert half(file) == pytest.approx(450.0)
    assert codes(file) == []


def test_a_factor_kept_for_the_future_is_told_when_it_is_not_one() -> None:
    """Print: 1 since 1995 (LM-63-1995, from memory). Old habits are applied and told; a file type of 2019 is not."""
    old = read(ies_text("C", V, H, ROUND, factors="1 0.9 24"))
    new = read(ies_text("C", V, H, ROUND, factors="1 1.00001 24"))
    absurd = read(ies_text("C", V, H, ROUND, first="", keywords="", factors="1 0 24"))

    assert (half(old), codes(old)) == (pytest.approx(450.0), ["PRT-096"])
    assert (half(new), codes(new)) == (500.0, ["PRT-096"])
    assert (half(absurd), codes(absurd)) == (500.0, ["PRT-096"])


@pytest.mark.parametrize(
    ("planes", "columns", "expected_lm"),
    [
        ([0], [1.0], 2 * math.pi),
        ([0, 45, 90], [1.0, 2.0, 1.0], 3 * math.pi),
        ([0, 90, 180], [1.0, 2.0, 1.0], 3 * math.pi),
        ([90, 180, 270], [1.0, 2.0, 1.0], 3 * math.pi),
        ([-90, 0, 90], [1.0, 2.0, 1.0], 3 * math.pi),
        ([0, 90, 180, 270, 360], [1.0, 2.0, 1.0, 2.0, 1.0], 3 * math.pi),
    ],
)
def test_the_last_plane_tells_the_symmetry(planes: list[int], columns: list[float], expected_lm: float) -> None:
    """Print: 0 rotational, 90 in each quadrant, 180 on both sides, 90 to 270 on both sides of C 90 (LM-63-02, from
    memory). A half space of 1 cd has 2 pi lm; planes that swing evenly from 1 to 2 cd have the mean, 3 pi."""
    file = read(ies_text("C", [0, 30, 60, 90], planes, np.outer(np.ones(4), columns)))

    assert flux_lm(file.table) == pytest.approx(expected_lm)
    assert codes(file) == []


def test_mirrored_planes_lie_where_symmetry_puts_them() -> None:
    """Law: in each quadrant alike means I(C) = I(-C) = I(180 - C); on both sides of C 90 only the latter."""
    quadrant = read(ies_text("C", V, [0, 30, 90], np.outer([1.0, 1, 1], [1, 2, 5]))).table
    sides = read(ies_text("C", V, [90, 150, 270], np.outer([1.0, 1, 1], [1, 2, 5]))).table
    at = math.radians(60)

    for c_deg, expected in ((30, 2), (150, 2), (210, 2), (330, 2), (90, 5), (270, 5), (180, 1)):
        assert quadrant.toward(math.radians(c_deg), at) == pytest.approx(expected)
    for c_deg, expected in ((90, 1), (150, 2), (30, 2), (270, 5)):
        assert sides.toward(math.radians(c_deg), at) == pytest.approx(expected)


def test_a_turn_without_its_last_plane_is_closed_and_told() -> None:
    """Case: 0 to 270 in steps of 90 lacks only the plane that is the first again."""
    file = read(ies_text("C", V, [0, 90, 180, 270], np.outer([1.0, 1, 1], [1, 2, 3, 4])))

    assert codes(file) == ["PRT-093"]
    assert file.table.toward(math.radians(315), 0.5) == pytest.approx(2.5)
    assert codes(read(ies_text("C", V, [45], np.ones((3, 1))))) == ["PRT-093"]


@pytest.mark.parametrize(
    ("kind", "v", "h", "said"),
    [
        ("C", [0, 45, 90], [0, 30, 60], "neither a turn"),
        ("C", [0, 45, 90], [0, 60, 120, 190], "neither a turn"),
        ("C", [-10, 0, 10], [0], "between 0 and 180"),
        ("A", [-95, 0, 90], [-10, 0], "between -90 and 90"),
        ("B", [-90, 0, 90], [-95, 0], "between -90 and 90"),
        ("A", [-10, 10], [0], "two angles each way"),
    ],
)
def test_angles_that_leave_something_open_are_refused(kind: str, v: list[float], h: list[float], said: str) -> None:
    """Case: what no symmetry gives and no goniometer reaches is not guessed."""
    told = refused(ies_text(kind, v, h, np.ones((len(v), len(h)))))

    assert (told.code, told.line) == ("PRT-087", 7)
    assert said in told.why


def test_types_a_and_b_from_nought_are_alike_left_and_right() -> None:
    """Print: H from 0 to 90 stands for both sides, -90 to 90 for itself (LM-63-02, from memory)."""
    once = read(ies_text("A", [-10, 0, 10], [0, 10, 20], np.outer([1.0, 2, 1], [3, 2, 1]))).table
    whole = read(ies_text("A", [-10, 0, 10], [-20, -10, 0, 10, 20], np.outer([1.0, 2, 1], [1, 2, 3, 2, 1]))).table

    np.testing.assert_array_equal(once.candela_cd, whole.candela_cd)
    np.testing.assert_array_equal(once.horizontal_rad, whole.horizontal_rad)


def test_types_a_and_b_turn_about_different_poles() -> None:
    """Print: |H| <= 20, |V| <= 10 deg of 1000 cd holds 242.459 lm in type A, 238.775 lm in type B (solid angles)."""
    v, h = np.arange(-10.0, 11, 5), np.arange(-20.0, 21, 5)
    ones = np.full((len(v), len(h)), 1000.0)

    assert flux_lm(read(ies_text("A", v, h, ones)).table) == pytest.approx(242.459, abs=1e-3)
    assert flux_lm(read(ies_text("B", v, h, ones)).table) == pytest.approx(238.775, abs=1e-3)


def test_a_file_of_the_upper_half_is_dark_below() -> None:
    """Print: gamma from 90 to 180 lights the upper half only (LM-63-02, from memory); nothing goes straight down."""
    file = read(ies_text("C", [90, 120, 180], [0], np.array([[100.0], [100], [100]])))

    assert flux_lm(file.table) == pytest.approx(200 * math.pi)
    assert file.table.axis_cd == 0.0


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1"])
def test_line_ends_and_encodings_make_no_difference(end: str, encoding: str) -> None:
    """Case: files come from every system; a degree sign in a keyword is one byte or two."""
    from coachwright.parts.photometric_read import read_photometric

    text = ies_text("C", V, H, ROUND, keywords="[LUMINAIRE] 30\N{DEGREE SIGN} lamp\n").replace("\n", end)
    file = read_photometric(text.encode(encoding), name="A.IES")

    assert file.keywords == (("LUMINAIRE", "30\N{DEGREE SIGN} lamp"),)
    assert half(file) == 500.0


def test_numbers_wrap_wherever_they_like() -> None:
    """Print: a space, a comma and a line end part numbers alike (ANSI/IESNA LM-63-02, 3.0, delimiter)."""
    head, _, numbers = ies_text("C", V, H, ROUND).partition("TILT=NONE\n")
    words = numbers.split()
    wrapped = f"{head}TILT=NONE\n" + "\n".join(words)
    commas = f"{head}TILT=NONE\n" + ", ".join(words)
    tight = f"{head}TILT=NONE\n" + ",".join(words)

    for text in (wrapped, commas, tight):
        file = read(text)
        assert file.table.candela_cd.tolist() == ROUND.tolist()
        assert codes(file) == []


def test_commas_that_can_only_be_decimal_signs_are_read_so_and_told() -> None:
    """Case: a program set to another language writes 22,5 for 22.5; read as two numbers the counts don't come out."""
    text = ies_text("C", [0, 22.5, 90], [0], np.array([[1000.5], [500.25], [0.0]]))
    head, _, numbers = text.partition("TILT=NONE\n")
    file = read(f"{head}TILT=NONE\n" + numbers.replace(".", ","))

    assert codes(file) == ["PRT-092"]
    assert file.table.candela_cd[:, 0].tolist() == [1000.5, 500.25, 0.0]


def test_the_line_of_tilt_begins_with_it() -> None:
    """Case: a keyword may speak of TILT= without being the line; a search through the text would stop there."""
    tilt = "TILT=INCLUDE\n1\n4\n0 45 90 180\n1.00 0.90 0.80 1.00\n"
    file = read(ies_text("C", V, H, ROUND, keywords="[LUMINAIRE] TILT=NONE of those\n", tilt=tilt, lamps="1 1000"))

    assert half(file) == 500.0
    assert codes(file) == ["PRT-095"]
    assert file.oddities[0].line == 3


@pytest.mark.parametrize(
    ("tilt", "told"),
    [
        ("TILT=NONE\n", []),
        (" tilt = none\n", []),
        ("TILT=INCLUDE\n3\n2\n0 90\n1 1\n", []),
        ("TILT=../../secret.tlt\n", ["PRT-095"]),
        ("TILT=\n", ["PRT-095"]),
    ],
)
def test_tilt_is_read_past_and_no_file_is_opened(tilt: str, told: list[str]) -> None:
    """Case: factors of 1 change nothing; a file that is named is not looked for; both leave the light as it is."""
    file = read(ies_text("C", V, H, ROUND, tilt=tilt))

    assert half(file) == 500.0
    assert codes(file) == told


def test_lamps_and_lumens_are_told_as_declared() -> None:
    """Print: -1 lumens stand for absolute photometry (LM-63-02, from memory): there is nothing to hold against."""
    relative = read(ies_text("C", V, H, ROUND, lamps="2 700"))
    absolute = read(ies_text("C", V, H, ROUND, lamps="1 -1"))
    neither = read(ies_text("C", V, H, ROUND, lamps="0 0"))

    assert (relative.declared_lm, relative.declared_of, relative.lamps_n) == (1400.0, "lamps", 2.0)
    assert absolute.declared_lm is None
    assert codes(absolute) == []
    assert neither.declared_lm is None
    assert codes(neither) == ["PRT-097"]


def test_keywords_sizes_and_watts_are_kept() -> None:
    """Print: MORE goes on where the keyword before it ended; units 1 are feet (LM-63-02, from memory)."""
    words = "[TEST] 12\n[MORE]  b\n[_OWN]\tx\n[MANUFAC]\n"
    file = read(ies_text("C", V, H, ROUND, keywords=words, units=1))

    assert file.keywords == (("TEST", "12 b"), ("_OWN", "x"), ("MANUFAC", ""))
    assert file.size_m == pytest.approx((0.1 * 0.3048, 0.05 * 0.3048, 0.0))
    assert file.power_w == 24.0


@pytest.mark.parametrize("tail", ["", "\n\n  \n", "[END]\n", "END\n", "\x1a\x00\x00junk"])
def test_what_ends_a_file_is_no_number(tail: str) -> None:
    """Case: some files end with a word, some with the end-of-file sign of old systems, most with nothing."""
    assert codes(read(ies_text("C", V, H, ROUND) + tail)) == []


def test_numbers_left_over_are_told() -> None:
    """Case: a count in the header is too small, or a plane too many was written."""
    file = read(ies_text("C", V, H, ROUND) + "7 8 9\n")

    assert codes(file) == ["PRT-091"]
    assert (file.oddities[0].line, file.oddities[0].column) == (14, 1)


def test_a_file_cut_short_tells_where() -> None:
    """Case: the last numbers are missing; the place is the end of the file."""
    told = refused("\n".join(ies_text("C", V, H, ROUND).split("\n")[:-2]))

    assert (told.code, told.line) == ("PRT-083", 12)
    assert "12 of 15" in told.why
    assert refused("IESNA:LM-63-2002\n[TEST] x\n").code == "PRT-083"


@pytest.mark.parametrize(
    ("old", "new", "code", "place"),
    [
        ("1000 500 0", "1000 nan 0", "PRT-084", (9, 6)),
        ("1000 500 0", "1000 1.#QNAN 0", "PRT-084", (9, 6)),
        ("1000 500 0", "1000 ***** 0", "PRT-084", (9, 6)),
        ("1000 500 0", "1000 1_0 0", "PRT-084", (9, 6)),
        ("1000 500 0", "1000 1e999 0", "PRT-084", (9, 6)),
        ("1000 500 0", "1000 --5 0", "PRT-084", (9, 6)),
        ("1 -1 1 3 5 1 2", "1 -1 1 2.5 5 1 2", "PRT-085", (5, 8)),
        ("1 -1 1 3 5 1 2", "1 -1 1 -3 5 1 2", "PRT-085", (5, 8)),
        ("1 -1 1 3 5 1 2", "1 -1 1 3 5 4 2", "PRT-085", (5, 12)),
        ("1 -1 1 3 5 1 2", "1 -1 1 3 5 1 3", "PRT-085", (5, 14)),
        ("1 -1 1 3 5 1 2", "1 -1 0 3 5 1 2", "PRT-089", (5, 6)),
        ("0 45 90\n", "0 90 45\n", "PRT-086", (7, 1)),
        ("0 45 90\n", "0 0 45\n", "PRT-086", (7, 1)),
        ("1000 500 0", "1000 -500 0", "PRT-089", (9, 1)),
    ],
)
def test_what_is_wrong_is_told_at_its_place(old: str, new: str, code: str, place: tuple[int, int]) -> None:
    """Case: one wrong word in a good file."""
    text = ies_text("C", V, H, ROUND)
    assert old in text
    told = refused(text.replace(old, new, 1))

    assert (told.code, (told.line, told.column)) == (code, place)
    assert told.write


def test_a_file_without_light_and_one_with_noise() -> None:
    """Case: no light is no lamp; what a photometer reads in the dark (a thousandth of the peak) is dark."""
    assert refused(ies_text("C", V, H, 0 * ROUND)).code == "PRT-089"
    noisy = read(ies_text("C", V, H, ROUND - 0.5))

    assert codes(noisy) == ["PRT-094"]
    assert noisy.table.candela_cd.min() == 0.0


def test_more_angles_than_any_lamp_needs_are_refused_before_they_are_read() -> None:
    """Law: what is announced bounds what is read."""
    text = SMALL_IES
    assert refused(text.replace("1 4 3 1", f"1 {MOST_ANGLES + 1} 3 1")).code == "PRT-085"
    assert refused(text.replace("1 4 3 1", f"1 {MOST_ANGLES} {MOST_ANGLES} 1")).code == "PRT-080"


def test_candela_are_never_squared() -> None:
    """Print: a multiplier of 2 doubles the light (a long-lived fault of a public loader squared it)."""
    beam = cosine(1.0)(polar("C", np.array(V), np.array(H)))
    one, two = (read(ies_text("C", V, H, beam, multiplier=factor)) for factor in ("1", "2"))

    assert flux_lm(two.table) == pytest.approx(2 * flux_lm(one.table))
