"""A lamp whose light comes from a file shines, far away, as the file says."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from coachwright.build.load import Loaded, load_build
from coachwright.kit.geom import Pose
from coachwright.light.far_field import Emitter, Grid, far_field, head_far_field
from coachwright.parts.lamp import ColourOutput, LampPart
from coachwright.parts.store import load_catalogue
from tests.parts.photometric import angles, ies_text, polar

ROOT = Path(__file__).resolve().parents[2]
DEG = math.radians(1)
ROUND = Grid(tuple(DEG * bearing for bearing in range(0, 360, 10)), tuple(DEG * rise for rise in (-20, -5, 0, 7, 20)))


def light(polar_rad: np.ndarray) -> np.ndarray:
    """A narrow beam on a wide glow."""
    return np.asarray(800 * np.exp(-((polar_rad / 0.3) ** 2)) + 40 * np.maximum(np.cos(polar_rad), 0))


def lamp(folder: Path, text: str, photometry: str, *, base: str = "short-red-white") -> ColourOutput:
    """The red of a lamp of a shop that takes the place of one of ours."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "red.ies").write_text(text)
    ours = load_catalogue().entries[base].text
    lines = [line for line in ours.splitlines() if not line.startswith(("  red:", "  white:", "replaces:"))]
    colours = (
        f"colours:\n  red: {{current: 0.8 A, x: 0.7, y: 0.297, photometry: {photometry}}}\n"
        "  white: {flux: 640 lm, current: 0.9 A, beam: {shape: bell, half-width: 30 deg, half-height: 9 deg}}"
    )
    body = "\n".join(colours if line.startswith("colours:") else line for line in lines)
    (folder / f"{base}.yaml").write_text(f"replaces: yes\n{body}\n")
    catalogue = load_catalogue(shop_folder=folder)
    assert catalogue.findings == ()
    part = catalogue.get(base)
    assert isinstance(part, LampPart)
    return part.heads[0].colours["red"]


@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize("kind", ["A", "B", "C"])
def test_the_far_field_is_the_file_s(tmp_path: Path, kind: str, compiled: bool) -> None:
    """Law: the same light by type A, B or C, looked up either way, is that of the formula within a hundredth of the
    peak, toward every bearing of a head that looks to 40 deg."""
    v, h = (angles(0, 180, 2), angles(0, 360, 10)) if kind == "C" else (angles(-90, 90, 2), angles(-90, 90, 2))
    photometry = "{file: red.ies, stands: face-down}" if kind == "C" else "red.ies"
    output = lamp(tmp_path, ies_text(kind, v, h, light(polar(kind, v, h))), photometry)
    pose = Pose.facing((0.0, 0.0, 1.0), bearing_rad=40 * DEG)
    found = head_far_field(Emitter(pose.forward, pose.up, output, pose.forward), ROUND, compiled)
    bearing, rise = np.meshgrid(np.array(ROUND.bearings_rad) - 40 * DEG, np.array(ROUND.elevations_rad))
    expected = light(np.arccos(np.clip(np.cos(rise) * np.cos(bearing), -1, 1)))

    assert np.abs(found - expected).max() <= 0.01 * 840


@pytest.mark.parametrize("compiled", [False, True])
def test_a_beacon_is_seen_from_all_round_and_its_front_plane_ahead(tmp_path: Path, compiled: bool) -> None:
    """Case: upright, twice as bright in plane C 90, which looks ahead: dimmest to the rear, no dark seam anywhere."""
    gamma, planes = angles(0, 180, 5), angles(0, 360, 15)
    ring = np.outer(np.exp(-(((gamma - 90) / 10) ** 2)), 300 + 100 * np.cos(np.radians(planes - 90)))
    output = lamp(tmp_path, ies_text("C", gamma, planes, ring), "{file: red.ies, stands: upright, front-plane: 90 deg}")
    pose = Pose.facing((0.0, 0.0, 2.0), bearing_rad=0.0)
    found = far_field([Emitter(pose.forward, pose.up, output, pose.forward)], ROUND, compiled=compiled)[0, 2]
    expected = 300 + 100 * np.cos(np.array(ROUND.bearings_rad))

    np.testing.assert_allclose(found, expected, rtol=0.01)


def test_a_hole_in_the_beam_stays_a_hole(tmp_path: Path) -> None:
    """Case: what no parametric beam can say: dark straight ahead, bright to both sides."""
    v, h = angles(-20, 20, 5), angles(-40, 40, 5)
    candela = np.outer(np.exp(-((v / 8) ** 2)), np.where(np.abs(h) < 8, 0.0, 500.0))
    output = lamp(tmp_path, ies_text("A", v, h, candela), "red.ies")
    pose = Pose.facing((0.0, 0.0, 1.0), bearing_rad=0.0)
    found = head_far_field(Emitter(pose.forward, pose.up, output, pose.forward), ROUND)[2]

    assert found[0] == 0.0
    assert found[2] == pytest.approx(500)
    assert found[-2] == pytest.approx(500)
    assert found[18] == 0.0


def quillback(folder: Path, text: str) -> Loaded:
    """The example job with a shop whose red is measured."""
    shutil.copy(ROOT / "examples" / "quillback" / "build.yaml", folder / "build.yaml")
    lamp(folder / "parts", text, "red.ies")
    return load_build(folder / "build.yaml")


def test_a_job_with_a_measured_lamp_is_read_and_its_digest_is_of_the_light(tmp_path: Path) -> None:
    """Law: the model rests on the file: the same file the same digest, another candela another one."""
    v, h = angles(-30, 30, 5), angles(-60, 60, 5)
    text = ies_text("A", v, h, light(polar("A", v, h)))
    folders = [tmp_path / name for name in "abc"]
    for folder in folders:
        folder.mkdir()
    one, same = (quillback(folder, text).model for folder in folders[:2])
    other = quillback(folders[2], text.replace(" 840 ", " 839 ")).model

    assert one is not None
    assert same is not None
    assert other is not None
    assert one.digest == same.digest
    assert one.digest != other.digest
