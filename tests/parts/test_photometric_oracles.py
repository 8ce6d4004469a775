"""Other people's readers say the same about the same files: photompy, eulumdat-py, Radiance.

Where they are known to say something else it stands here: photompy sums every file as type C, so lumens of types A and
B are not its to tell; Radiance refuses type A, and takes the horizontal angle of type B projected on the plane ahead,
which is the same on the two main planes only.
"""

from __future__ import annotations

import math
import os
import subprocess
from pathlib import Path

import numpy as np
import photompy
import pyldt
import pytest
from pyradiance.anci import BINPATH

from coachwright.parts.candela import Floats
from coachwright.parts.photometric_table import PhotometricTable, flux_lm
from tests.parts.photometric import angles, cosine, grid_of, ies_text, ldt_text, polar, read

FAR_M = 200.0
LUMENS_PER_WATT = 179.0
"""Radiance's own, for white light."""
GREY = np.array([0.265, 0.670, 0.065])


def lopsided(kind: str, vertical_deg: Floats, horizontal_deg: Floats) -> Floats:
    """Light that no symmetry hides: shape (V, H)."""
    h, v = np.meshgrid(np.radians(horizontal_deg), np.radians(vertical_deg))
    if kind == "C":
        return 1000 * np.maximum(np.cos(v), 0) ** 3 * (1 + 0.5 * np.sin(v) * np.cos(h - 0.6))
    return 1000 * np.exp(-(((h - 0.1) / 0.5) ** 2) - ((v + 0.05) / 0.3) ** 2)


# ---- photompy


@pytest.mark.parametrize("kind", ["A", "B", "C"])
@pytest.mark.parametrize("multiplier", ["1", "2.5"])
def test_photompy_reads_the_same_candela(tmp_path: Path, kind: str, multiplier: str) -> None:
    """Angles, grid and peak of photompy 0.3 are ours to the last digit, multiplier and all."""
    v, h = grid_of(kind, 5)
    text = ies_text(kind, v, h, lopsided(kind, v, h), lamps="1 1000", multiplier=multiplier)
    (tmp_path / "a.ies").write_text(text)
    theirs, ours = photompy.IESFile.read(tmp_path / "a.ies").photometry, read(text).table

    np.testing.assert_allclose(theirs.values.T, ours.candela_cd, rtol=1e-12)
    np.testing.assert_allclose(np.radians(theirs.thetas), ours.vertical_rad, rtol=1e-12)
    assert theirs.max() == pytest.approx(ours.peak_cd, rel=1e-12)


@pytest.mark.parametrize(("step", "apart"), [(1, 2e-4), (2.5, 1e-3), (5, 4e-3)])
@pytest.mark.parametrize("power", [1, 2, 10])
def test_photompy_sums_up_to_the_same_lumens(tmp_path: Path, step: float, apart: float, power: int) -> None:
    """photompy gives each angle the zone half-way to the next: as far from linear candela as the steps are coarse."""
    v, h = grid_of("C", step)
    text = ies_text("C", v, h, cosine(power)(polar("C", v, h)), lamps="1 1000")
    (tmp_path / "a.ies").write_text(text)

    theirs, ours = photompy.IESFile.read(tmp_path / "a.ies").photometry.total(), flux_lm(read(text).table)
    assert theirs == pytest.approx(ours, rel=apart)


@pytest.mark.parametrize("last", [0, 90, 180])
def test_photompy_unfolds_to_the_same_planes(tmp_path: Path, last: int) -> None:
    """Rotational, quadrant and half: what photompy mirrors is what we mirror."""
    v, h = angles(0, 90, 5), angles(0, last, 15) if last else np.array([0.0])
    text = ies_text("C", v, h, np.outer(np.cos(np.radians(v)) * 900, 1 + h / 300), lamps="1 1000")
    (tmp_path / "a.ies").write_text(text)
    theirs, ours = photompy.IESFile.read(tmp_path / "a.ies").photometry.expanded(), read(text).table

    for place, plane in enumerate(theirs.phis):
        found = ours.toward(math.radians(plane), ours.vertical_rad)
        np.testing.assert_allclose(theirs.values[place, : len(v)], found, rtol=1e-9, atol=1e-9)


# ---- eulumdat-py


@pytest.mark.parametrize("symmetry", [0, 1, 2, 3, 4])
def test_eulumdat_py_unfolds_to_the_same_planes(tmp_path: Path, symmetry: int) -> None:
    """All five symmetries, plane by plane, in candela for a thousand lumens; 2500 lm and a factor of 1 here."""
    gammas, planes = angles(0, 180, 15), angles(0, 345, 15)
    written = {0: 24, 1: 1, 2: 13, 3: 13, 4: 7}[symmetry]
    values = np.outer(np.linspace(300, 10, len(gammas)), 1 + np.arange(written) / 20) + np.arange(written)
    text = ldt_text(gammas, planes, values, symmetry=symmetry, sets=[("1", "2500")])
    (tmp_path / "a.ldt").write_text(text, encoding="latin-1")
    theirs, ours = pyldt.LdtReader.read(tmp_path / "a.ldt"), read(text, "ldt").table

    for place, plane in enumerate(planes):
        found = ours.toward(math.radians(plane), ours.vertical_rad)
        np.testing.assert_allclose(np.array(theirs.intensities[place]) * 2.5, found, rtol=1e-9)
    assert theirs.header.lamp_flux == [2500.0]


def test_what_eulumdat_py_writes_is_read(tmp_path: Path) -> None:
    """A file of another program's hand: read, written by eulumdat-py, read again, the light is the same."""
    gammas, planes = angles(0, 90, 7.5), angles(0, 330, 30)
    text = ldt_text(gammas, planes, np.outer(np.linspace(400, 0, 13), np.linspace(1, 2, 7)), symmetry=2, ratio="80")
    (tmp_path / "a.ldt").write_text(text)
    written = pyldt.LdtWriter.write(pyldt.LdtReader.read(tmp_path / "a.ldt"), tmp_path / "b.ldt")
    again = read(Path(written).read_text(encoding="latin-1"), "ldt")

    np.testing.assert_allclose(again.table.candela_cd, read(text, "ldt").table.candela_cd, rtol=1e-5)
    assert again.output_share == pytest.approx(0.8)


# ---- Radiance


def seen_by_radiance(folder: Path, text: str, toward: Floats) -> Floats:
    """Candela that Radiance's ies2rad and rtrace see from afar along unit vectors, shape (N, 3)."""
    environment = {
        **os.environ,
        "RAYPATH": f"{BINPATH.parent / 'lib'}{os.pathsep}.",
        "PATH": f"{BINPATH}{os.pathsep}{os.environ.get('PATH', '')}",
    }

    def run(*words: str, read_from: bytes = b"") -> bytes:
        command = [str(BINPATH / words[0]), *words[1:]]
        done = subprocess.run(command, input=read_from, cwd=folder, env=environment, capture_output=True, check=True)
        return done.stdout

    (folder / "a.ies").write_text(text)
    run("ies2rad", "-o", "lamp", "a.ies")
    (folder / "scene.oct").write_bytes(run("oconv", "lamp.rad"))
    rays = "".join(" ".join(f"{x:.9g}" for x in (*(FAR_M * one), *-one)) + "\n" for one in toward)
    found = run(*"rtrace -h -I+ -ab 0 -ds 0 -dj 0 -dt 0 -dc 1 scene.oct".split(), read_from=rays.encode())
    watts = np.array([[float(word) for word in line.split()] for line in found.decode().strip().splitlines()])
    return np.asarray(watts @ GREY * LUMENS_PER_WATT * FAR_M**2)


def test_radiance_sees_the_same_light_of_type_c(tmp_path: Path) -> None:
    """Radiance hangs it with gamma 0 down, C 0 along x and C 90 along y: 36 directions within 1 in 10 000."""
    v, h = angles(0, 90, 5), angles(0, 360, 15)
    text = ies_text("C", v, h, lopsided("C", v, h))
    c, g = (each.ravel() for each in np.meshgrid(np.radians([0, 30, 90, 150, 225, 300]), np.radians(angles(0, 75, 15))))
    toward = np.stack([np.sin(g) * np.cos(c), np.sin(g) * np.sin(c), -np.cos(g)], axis=1)

    np.testing.assert_allclose(seen_by_radiance(tmp_path, text, toward), read(text).table.toward(c, g), rtol=1e-4)


def test_radiance_sees_the_same_light_on_the_main_planes_of_type_b(tmp_path: Path) -> None:
    """Ahead is down there, up is x, right is minus y: H to the right and V up count positive here and there."""
    v, h = angles(-90, 90, 5), angles(-90, 90, 5)
    text = ies_text("B", v, h, lopsided("B", v, h))
    table: PhotometricTable = read(text).table
    turn = np.radians(angles(-40, 40, 10))
    level = np.stack([np.zeros(len(turn)), -np.sin(turn), -np.cos(turn)], axis=1)
    upright = np.stack([np.sin(turn), np.zeros(len(turn)), -np.cos(turn)], axis=1)

    np.testing.assert_allclose(seen_by_radiance(tmp_path, text, level), table.toward(turn, 0.0), rtol=1e-4)
    np.testing.assert_allclose(seen_by_radiance(tmp_path, text, upright), table.toward(0.0, turn), rtol=1e-4)


def test_radiance_applies_the_same_factors(tmp_path: Path) -> None:
    """A multiplier of 2 and a ballast factor of 0.9: 1.8 times the values, not more."""
    v = angles(0, 90, 5)
    text = ies_text("C", v, [0], cosine(2)(np.radians(v))[:, None], multiplier="2", factors="0.9 1 24")
    down = np.array([[0.0, 0.0, -1.0]])

    assert seen_by_radiance(tmp_path, text, down)[0] == pytest.approx(1800, rel=1e-4)
    assert read(text).table.axis_cd == pytest.approx(1800)
