"""Single calculations of the sound room, as somebody types them."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_level_through_the_door() -> None:
    """118 dB at 3 m is 98 dB at 30 m, by hand (inverse square law); hearing and being heard are minded."""
    done = reckon("level-at", ["level=118 dB", "at=3 m", "to=30 m"])

    assert done.value("level") == pytest.approx(98.0)
    assert "never count on being heard" in done.as_text()


def test_bands_through_the_door() -> None:
    """91.94 dB, 88.92 dBA with the weights of IEC 61672; bands left out are told."""
    done = reckon("band-sum", ["levels=78, 82, 85, 88, 84, 80, 75, 70"])
    short = reckon("band-sum", ["levels=78 dB, 82 dB"])

    assert done.value("linear") == pytest.approx(91.94, abs=0.005)
    assert done.value("a_weighted") == pytest.approx(88.92, abs=0.05)
    assert done.notes == ()
    assert "above 125 Hz" in short.notes[0]
    with pytest.raises(InputRefused, match="Write fewer"):
        reckon("band-sum", ["levels=1, 2, 3, 4, 5, 6, 7, 8, 9"])


def test_dose_through_the_door() -> None:
    """8 h at 90 dBA is all OSHA lets a day hold, 2 h at 91 dBA all NIOSH does (29 CFR 1910.95; NIOSH 98-126)."""
    osha = reckon("noise-dose", ["exposures=8 h @ 90 dBA", "rule=osha"])
    niosh = reckon("noise-dose", ["exposures=2 h @ 91", "rule=niosh"])

    assert (osha.value("dose"), osha.value("average")) == (pytest.approx(100.0), pytest.approx(90.0))
    assert (niosh.value("dose"), niosh.value("average")) == (pytest.approx(100.0), pytest.approx(85.0))
    assert [source.state for source in osha.sources] == ["read"]


def test_what_lies_beyond_the_rules_is_told() -> None:
    """Law: more than a day, more than 115 dBA, and silence are said, not hidden."""
    long = reckon("noise-dose", ["exposures=20 h @ 80 dBA, 5 h @ 116 dBA", "rule=osha"])
    silent = reckon("noise-dose", ["exposures=0 h @ 80 dBA", "rule=osha"])

    assert len(long.notes) == 2
    assert silent.as_json()["results"]["average"]["value"] is None
