"""The table of navigation lights, from the command line to the printed number and back."""

import json
import re

import pytest

from coachwright.cli.main import main

TABLE_84_14 = [(1, 0.9), (2, 4.3), (3, 12.0), (4, 27.0), (5, 52.0), (6, 94.0)]
"""Range of visibility [nautical miles] and luminous intensity [cd], 33 CFR 84.14(b) = COLREGS Annex I, 8(b)."""


def reckoned(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, dict[str, float]]:
    """Results of one `coachwright reckon ... --json`."""
    assert main(["reckon", *words, "--json"]) == 0
    found: dict[str, dict[str, float]] = json.loads(capsys.readouterr().out)["results"]
    return found


@pytest.mark.parametrize(("miles", "intensity_cd"), TABLE_84_14)
def test_reckon_gives_the_table_of_33_cfr_84_14(
    miles: int, intensity_cd: float, capsys: pytest.CaptureFixture[str]
) -> None:
    """K = 0.8 and T = 2e-7 lx: 0.9, 4.3, 12, 27, 52, 94 cd for 1 to 6 nautical miles (33 CFR 84.14(b))."""
    found = reckoned(capsys, "intensity-for-range", f"range={miles} nmi", "threshold=2e-7 lx", "transmissivity=0.8")

    assert found["intensity"]["unit"] == "cd"
    assert round(found["intensity"]["value"], 1 if miles < 3 else 0) == intensity_cd


@pytest.mark.parametrize(("miles", "intensity_cd"), TABLE_84_14[1:])
def test_the_light_of_the_table_is_seen_as_far_as_the_table_says(
    miles: int, intensity_cd: float, capsys: pytest.CaptureFixture[str]
) -> None:
    """The other way: about 13 nautical miles of visibility are K = 0.8 (33 CFR 84.14(a)); the range comes back."""
    found = reckoned(capsys, "sight-range", f"intensity={intensity_cd} cd", "threshold=2e-7 lx", "visibility=13.4 nmi")
    range_m = next(each["value"] for name, each in found.items() if "range" in name or "distance" in name)

    assert range_m / 1852.0 == pytest.approx(miles, rel=0.02)


def test_the_text_names_the_source(capsys: pytest.CaptureFixture[str]) -> None:
    """A person reads the number, its unit and the page it comes from."""
    assert main(["reckon", "intensity-for-range", "range=2 nmi", "threshold=2e-7 lx", "transmissivity=0.8"]) == 0
    told = capsys.readouterr().out

    assert re.search(r"intensity +4\.287", told)
    assert "33 CFR 84.14" in told
