"""Single calculations: how much light does a photometric file hold?"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused
from coachwright.kit.reckoning import Reckoning
from tests.parts.photometric import SMALL_CSV, SMALL_LDT, angles, cosine, ies_text

GAMMA = angles(0, 90, 1)


def asked(folder: Path, text: str, name: str = "a.ies") -> Reckoning:
    """The answer about a file of this text."""
    (folder / name).write_text(text)
    return reckon("photometry", [f"file={folder / name}"])


def face(power: float, **how: str) -> str:
    """A rotational lamp of 1000 cd cos^m, read every degree."""
    return ies_text("C", GAMMA, [0], cosine(power)(np.radians(GAMMA))[:, None], **how)


@pytest.mark.parametrize(("power", "expected_lm"), [(1, 3141.59), (2, 2094.40), (10, 571.20)])
def test_lumens_of_powers_of_the_cosine(tmp_path: Path, power: float, expected_lm: float) -> None:
    """I0 cos^m holds 2 pi I0 / (m + 1) lumens (integral over the half space)."""
    done = asked(tmp_path, face(power))

    assert done.value("lumens") == pytest.approx(expected_lm, rel=3e-4)
    assert done.value("peak") == pytest.approx(1000)
    assert done.value("nadir") == pytest.approx(1000)
    assert done.value("declared_lumens") is None
    assert done.value("warnings") is None


@pytest.mark.parametrize(("power", "half_deg", "tenth_deg"), [(1, 120.0, 168.5), (2, 90.0, 143.1), (10, 42.2, 74.8)])
def test_beam_and_field_of_powers_of_the_cosine(
    tmp_path: Path, power: float, half_deg: float, tenth_deg: float
) -> None:
    """cos^m is a half at acos(0.5^(1/m)) and a tenth at acos(0.1^(1/m)), to each side."""
    done = asked(tmp_path, face(power))

    assert 2 * math.degrees(math.acos(0.5 ** (1 / power))) == pytest.approx(half_deg, abs=0.06)
    for key in ("beam_width", "beam_height"):
        assert done.value(key) == pytest.approx(half_deg, abs=0.1)
    for key in ("field_width", "field_height"):
        assert done.value(key) == pytest.approx(tenth_deg, abs=0.2)


def test_json_has_the_published_keys_and_units(tmp_path: Path) -> None:
    """Print: lumens (lm), declared_lumens, peak (cd), nadir (cd), warnings."""
    page = asked(tmp_path, face(1, lamps="1 3200")).as_json()

    assert page["name"] == "photometry"
    units = {key: page["results"][key]["unit"] for key in ("lumens", "declared_lumens", "peak", "nadir", "warnings")}
    assert units == {"lumens": "lm", "declared_lumens": "lm", "peak": "cd", "nadir": "cd", "warnings": ""}
    assert page["results"]["declared_lumens"]["value"] == 3200.0
    assert page["results"]["output_ratio"]["value"] == pytest.approx(98.2, abs=0.1)
    assert page["notes"] == []


def test_what_a_file_declares_is_held_against_its_sum(tmp_path: Path) -> None:
    """Case: 1000 lm declared, 3142 lm found: the warning names it, the note says it."""
    done = asked(tmp_path, face(1, lamps="1 1000", tilt="TILT=other.tlt\n"))

    assert done.value("warnings") == "tilt-not-applied, lumens-not-as-declared"
    assert len(done.notes) == 2
    assert "lamps give only 1,000 lm" in done.notes[1]


@pytest.mark.parametrize(("name", "text", "kind"), [("b.ldt", SMALL_LDT, "type C"), ("c.csv", SMALL_CSV, "type A")])
def test_the_other_layouts_are_read_too(tmp_path: Path, name: str, text: str, kind: str) -> None:
    """Case: the ending tells the layout."""
    done = asked(tmp_path, text, name)

    assert done.value("goniometer") == kind
    assert float(str(done.value("lumens"))) > 0


def test_a_file_is_named_from_where_one_stands(tmp_path: Path) -> None:
    """Case: the command, in the folder of the file, prints JSON and ends with 0."""
    (tmp_path / "lamp b.ies").write_text(face(1))
    command = [sys.executable, "-m", "coachwright.cli.main", "reckon", "photometry", "file=lamp b.ies", "--json"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)

    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["results"]["lumens"]["value"] == pytest.approx(3141.59, rel=1e-3)


def test_a_file_that_is_not_there_ends_with_2(tmp_path: Path) -> None:
    """Case: one line on what was read, why not, what to write."""
    command = [sys.executable, "-m", "coachwright.cli.main", "reckon", "photometry", "file=nowhere.ies"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)

    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
    assert "nowhere.ies" in done.stderr


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.ies", b"IESNA:LM-63-2002\nTILT=NONE\n1 -1 1 x", "3:8: 'x' is no number"),
        ("a.ies", b"\xff\xfe", "UTF-16"),
        ("a.txt", b"", "isn't read as photometry"),
        ("a.ldt", b"", "ends before line 3"),
        ("a.csv", b"=cmd()", "says nothing here"),
    ],
)
def test_a_file_that_can_not_be_used_is_refused_in_one_line(
    tmp_path: Path, name: str, content: bytes, said: str
) -> None:
    """Case: the place, the reason, the mend."""
    (tmp_path / name).write_bytes(content)
    with pytest.raises(InputRefused) as refused:
        reckon("photometry", [f"file={tmp_path / name}"])

    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("name", ["x" * 1001, "a\x1b[31m.ies", "a\x00.ies", "/dev/zero", "."])
def test_odd_names_are_refused(name: str) -> None:
    """Law: a name is short, printable, and that of an ordinary file."""
    with pytest.raises(InputRefused) as refused:
        reckon("photometry", [f"file={name}"])

    assert str(refused.value).isprintable()
