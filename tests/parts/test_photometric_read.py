"""Is what a photometric file says to be believed?"""

import numpy as np
import pytest

from coachwright.parts.photometric_limits import tolerances
from coachwright.parts.photometric_read import doubts, read_photometric, refusal_of, warnings_of
from coachwright.parts.photometric_text import PhotometryWrong
from tests.parts.photometric import SMALL_CSV, SMALL_IES, SMALL_LDT, cosine, csv_text, ies_text, read

V = np.arange(0.0, 91, 2.5)
FACE = cosine(1)(np.radians(V))[:, None]
"""Lambert's face of 1000 cd: 3141.6 lm."""


@pytest.mark.parametrize(
    ("name", "text", "layout"),
    [
        ("a.ies", SMALL_IES, "LM-63-2002"),
        ("b.IES", SMALL_IES, "LM-63-2002"),
        ("c.x.ldt", SMALL_LDT, "EULUMDAT"),
        ("d.CSV", SMALL_CSV, "candela table"),
    ],
)
def test_the_ending_tells_the_layout(name: str, text: str, layout: str) -> None:
    """Law: nothing is guessed from what a file holds."""
    assert read_photometric(text.encode(), name=name).layout == layout


@pytest.mark.parametrize("name", ["", "ies", "a.txt", "a.ies.bak", ".ies/"])
def test_another_ending_is_no_photometry(name: str) -> None:
    """Case: the finding lists the endings that are read."""
    with pytest.raises(PhotometryWrong) as told:
        read_photometric(SMALL_IES.encode(), name=name)

    assert told.value.code == "PRT-082"
    assert ".ldt" in told.value.write


@pytest.mark.parametrize(
    ("lamps", "told"),
    [
        ("1 3142", []),
        ("1 3000", []),  # 4.7 % more than its lamps: within what laboratories state
        ("1 2950", ["PRT-099"]),  # 6.5 % more
        ("2 1571", []),
        ("1 16000", ["PRT-099"]),  # less than a fifth comes out
        ("1 15000", []),
        ("1 -1", []),
    ],
)
def test_lumens_of_lamps_are_held_against_the_sum(lamps: str, told: list[str]) -> None:
    """Law: no more comes out of a lamp than goes in (5 % allowed), and less than a fifth is odd (common practice)."""
    assert [each.code for each in doubts(read(ies_text("C", V, [0], FACE, lamps=lamps)))] == told


@pytest.mark.parametrize(("lumens", "told"), [("3141", []), ("3280", []), ("3400", ["PRT-099"]), ("2900", ["PRT-099"])])
def test_lumens_through_the_lens_are_held_both_ways(lumens: str, told: list[str]) -> None:
    """Law: a sum that was stated is the sum, 5 % apart at most (common practice of laboratories)."""
    file = read(csv_text("C", V, [0], FACE, more=f"lumens, {lumens} lm\n"), "csv")

    assert [each.code for each in doubts(file)] == told


def test_the_tolerances_say_where_they_come_from() -> None:
    """Law: a limit is data with a source, here a custom and no printed page."""
    limits = tolerances()

    assert "common practice" in limits.cite.source
    assert limits.cite.status == "house"
    assert 0 < limits.gain_share < limits.part_flux_share < limits.least_output_share < 1


def test_doubts_become_warnings_with_their_place() -> None:
    """Case: a file whose sum and lamps disagree, read as part of a catalogue."""
    (finding,) = warnings_of(read(ies_text("C", V, [0], FACE, lamps="1 1000")), shown="parts/a.ies")

    assert (finding.code, finding.severity, str(finding.where[0])) == ("PRT-099", "warning", "parts/a.ies:1:1")
    assert "3,1" in str(finding.values["why"])


def test_refusals_become_errors_with_their_place() -> None:
    """Case: a word in line 7 of a file."""
    with pytest.raises(PhotometryWrong) as told:
        read(SMALL_IES.replace("0 30 60 90\n", "0 30 sixty 90\n"))
    finding = refusal_of(told.value, shown="parts/a.ies")

    assert (finding.code, finding.severity, str(finding.where[0])) == ("PRT-084", "error", "parts/a.ies:7:6")
    assert finding.fix is not None
