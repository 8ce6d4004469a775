"""The page on photometric files: what it shows can be written, what it says holds."""

import re
from pathlib import Path

import numpy as np
import pytest

from coachwright.parts.lamp import LampPart
from coachwright.parts.photometric_limits import tolerances
from coachwright.parts.photometric_read import READERS, doubts, read_photometric
from coachwright.parts.photometric_table import flux_lm
from coachwright.parts.photometric_text import MOST_BYTES, MOST_VALUES
from coachwright.parts.store import load_catalogue
from tests.parts.photometric import angles, cosine, csv_text, ies_text, polar

PAGE = (Path(__file__).parents[2] / "docs" / "photometric-files.md").read_text(encoding="utf-8")
PLAIN = " ".join(PAGE.split())


def blocks(kind: str) -> list[str]:
    """The fenced examples of one kind."""
    return re.findall(rf"```{kind}\n(.*?)```", PAGE, re.DOTALL)


def test_the_part_of_the_page_loads(tmp_path: Path) -> None:
    """Case: the lamp on the page, with two files of 820 lm or so beside it, has no finding."""
    (part, _) = blocks("yaml")
    v, h = angles(-40, 40, 5), angles(-60, 60, 5)
    candela = cosine(20, 2740)(polar("A", v, h))
    (tmp_path / "corner-lamp.yaml").write_text(part)
    (tmp_path / "corner-lamp-red.ies").write_text(ies_text("A", v, h, candela / 3))
    (tmp_path / "corner-lamp-white.csv").write_text(csv_text("A", v, h, candela))
    catalogue = load_catalogue(shop_folder=tmp_path)
    lamp = catalogue.get("corner-lamp")

    assert catalogue.findings == ()
    assert isinstance(lamp, LampPart)
    assert all(output.measured is not None for output in lamp.heads[0].colours.values())


def test_the_beacon_of_the_page_loads(tmp_path: Path) -> None:
    """Case: the second example, put into the first one's lamp."""
    part, beacon = blocks("yaml")
    text = re.sub(r"colours:\n  red.*\n  white.*\n", beacon, part)
    gamma = angles(0, 180, 5)
    level = np.outer(np.exp(-(((gamma - 90) / 8) ** 2)), [500, 400, 300])
    (tmp_path / "corner-lamp.yaml").write_text(text)
    (tmp_path / "beacon.ies").write_text(ies_text("C", gamma, [0, 90, 180], level))
    catalogue = load_catalogue(shop_folder=tmp_path)

    assert "upright" in text
    assert catalogue.findings == ()
    assert catalogue.get("corner-lamp") is not None


def test_the_table_of_the_page_is_read_without_a_doubt() -> None:
    """Case: the candela table, whose lumens are the sum it declares."""
    (table,) = blocks("text")
    file = read_photometric(table.encode(), name="a.csv")

    assert doubts(file) == ()
    assert file.declared_lm == pytest.approx(flux_lm(file.table), rel=2e-3)
    assert file.table.peak_cd == 900


def test_the_page_says_the_bounds_that_hold() -> None:
    """Law: figures on the page are those of the code and of the data."""
    assert f"{MOST_VALUES:,} directions" in PLAIN
    assert f"{MOST_BYTES // 1_000_000} million bytes" in PLAIN
    assert f"{tolerances().gain_share * 100:.0f} % allowed" in PLAIN
    assert tolerances().part_flux_share == 0.1
    assert "more than a tenth apart" in PLAIN
    assert all(f"`{ending}`" in PAGE for ending in READERS)
