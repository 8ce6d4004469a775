"""Which photometric files may a part name, and what becomes of the part with them?"""

from __future__ import annotations

import math
import os
import re
from pathlib import Path

import numpy as np
import pytest

from coachwright.kit.digest import digest
from coachwright.parts import beside
from coachwright.parts.beside import content_of, files_beside
from coachwright.parts.body import BodyPart
from coachwright.parts.lamp import ColourOutput, LampPart
from coachwright.parts.photometric_text import MOST_BYTES, PhotometryWrong
from coachwright.parts.photometry import beam_table, bilinear, lumens
from coachwright.parts.read import read_part
from coachwright.parts.store import Catalogue, load_catalogue
from tests.parts.photometric import angles, cosine, ies_text, polar

V, H = angles(-40, 40, 5), angles(-60, 60, 5)
OURS_IES = ies_text("A", V, H, cosine(20, 900)(polar("A", V, H)))
GAMMA = angles(0, 90, 5)
ROTATIONAL = ies_text("C", GAMMA, [0], cosine(20, 900)(np.radians(GAMMA))[:, None])
LOPSIDED = ies_text("C", GAMMA, [0, 90, 180], np.outer(cosine(20, 900)(np.radians(GAMMA)), [1, 0.9, 0.8]))


def lamp_text(light: str, *, name: str = "corner-lamp", heads: str = "[{offset: 0 mm}]") -> str:
    """A lamp of a shop; `light` is what its red colour says."""
    return (
        f"kind: lamp\nname: {name}\ntitle: Corner lamp, invented\n"
        "figures: {source: a shop's own measurement, date: 2026-11-25, status: house, invented: yes}\n"
        "width: 130 mm\nheight: 40 mm\ndepth: 25 mm\ntest-voltage: 12.8 V\nleast-voltage: 9 V\nmost-voltage: 16 V\n"
        f"colours:\n  red: {{current: 0.8 A, {light}}}\nheads: {heads}\n"
    )


def shop(folder: Path, light: str, files: dict[str, str], **how: str) -> Catalogue:
    """A shop with this one lamp and these files beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "corner-lamp.yaml").write_text(lamp_text(light, **how))
    for name, text in files.items():
        (folder / name).write_text(text)
    return load_catalogue(shop_folder=folder)


def told(catalogue: Catalogue) -> list[tuple[str, str]]:
    """Code and severity of each finding."""
    return [(each.code, each.severity) for each in catalogue.findings]


def red(catalogue: Catalogue) -> ColourOutput:
    """The red of the corner lamp's first head."""
    part = catalogue.get("corner-lamp")
    assert isinstance(part, LampPart)
    return part.heads[0].colours["red"]


def test_a_lamp_takes_its_light_from_the_file(tmp_path: Path) -> None:
    """Case: no flux, no beam, a file: the table is the file's, the flux its sum."""
    catalogue = shop(tmp_path, "photometry: corner.ies", {"corner.ies": OURS_IES})
    table = beam_table(red(catalogue))

    assert told(catalogue) == []
    assert table.peak_cd == pytest.approx(900)
    assert red(catalogue).flux == pytest.approx(lumens(table))
    assert red(catalogue).flux == pytest.approx(1800 * math.pi / 21, rel=2e-3)


def test_every_head_has_the_light_of_the_lamp(tmp_path: Path) -> None:
    """Law: what is said once for all heads is read once and is in all of them."""
    other = "{red: {flux: 90 lm, current: 1 A, beam: {shape: cosine}}}"
    heads = f"[{{offset: 40 mm}}, {{offset: 0 mm}}, {{offset: -40 mm, colours: {other}}}]"
    part = shop(tmp_path, "photometry: corner.ies", {"corner.ies": OURS_IES}, heads=heads).get("corner-lamp")
    assert isinstance(part, LampPart)

    assert part.heads[0].colours["red"] is part.heads[1].colours["red"]
    assert part.heads[0].colours["red"].measured is not None
    assert part.heads[2].colours["red"].measured is None
    assert part.colours["red"].measured is not None


def test_another_file_is_another_part(tmp_path: Path) -> None:
    """Law: the catalogue's digest and the part's both change with a byte that changes the light."""
    one = shop(tmp_path / "a", "photometry: corner.ies", {"corner.ies": OURS_IES})
    two = shop(tmp_path / "b", "photometry: corner.ies", {"corner.ies": OURS_IES.replace("900", "901")})
    same = shop(tmp_path / "c", "photometry: corner.ies", {"corner.ies": OURS_IES})

    assert one.digest != two.digest
    assert digest(one.get("corner-lamp")) != digest(two.get("corner-lamp"))
    assert one.digest == same.digest
    assert digest(one.get("corner-lamp")) == digest(same.get("corner-lamp"))


@pytest.mark.parametrize(("flux", "expected"), [("280 lm", []), ("250 lm", []), ("400 lm", [("PRT-104", "warning")])])
def test_a_flux_beside_a_file_is_held_against_its_sum(
    tmp_path: Path, flux: str, expected: list[tuple[str, str]]
) -> None:
    """Case: 269 lm in the file; a tenth apart is let pass (common practice), more is told, and the file is used."""
    catalogue = shop(tmp_path, f"flux: {flux}, photometry: corner.ies", {"corner.ies": OURS_IES})

    assert told(catalogue) == expected
    assert red(catalogue).flux == pytest.approx(269, abs=1)


@pytest.mark.parametrize(
    ("text", "light", "expected"),
    [
        (ROTATIONAL, "photometry: a.ies", ["PRT-103"]),
        (ROTATIONAL, "photometry: {file: a.ies, stands: face-down}", []),
        (ROTATIONAL, "photometry: {file: a.ies, stands: upright}", []),
        (LOPSIDED, "photometry: {file: a.ies, stands: face-down}", ["PRT-103"]),
        (LOPSIDED, "photometry: {file: a.ies, stands: upright}", ["PRT-103"]),
        (LOPSIDED, "photometry: {file: a.ies, stands: face-down, top-plane: 90 deg}", []),
        (LOPSIDED, "photometry: {file: a.ies, stands: upright, front-plane: 0 deg}", []),
        (LOPSIDED, "photometry: {file: a.ies, stands: upright, top-plane: 0 deg}", ["PRT-102"]),
        (LOPSIDED, "photometry: {file: a.ies, stands: face-down, front-plane: 0 deg}", ["PRT-102"]),
        (LOPSIDED, "photometry: {file: a.ies, top-plane: 0 deg}", ["PRT-102"]),
        (OURS_IES, "photometry: {file: a.ies, stands: face-down}", ["PRT-102"]),
        (OURS_IES, "photometry: a.ies, beam: {shape: cosine}", ["PRT-101"]),
    ],
)
def test_how_the_lamp_stood_is_said_where_it_has_to_be(
    tmp_path: Path, text: str, light: str, expected: list[str]
) -> None:
    """Case: type C alone can't say it; a quarter turn would light another street, so nothing is assumed."""
    catalogue = shop(tmp_path, light, {"a.ies": text})

    assert [code for code, _ in told(catalogue)] == expected
    assert (catalogue.get("corner-lamp") is None) == bool(expected)


def test_face_down_and_upright_shine_where_they_should(tmp_path: Path) -> None:
    """Case: the same file, brightest at gamma 0: ahead when it looked down, under its feet when it stood upright."""
    ahead = shop(tmp_path / "a", "photometry: {file: a.ies, stands: face-down}", {"a.ies": ROTATIONAL})
    below = shop(tmp_path / "b", "photometry: {file: a.ies, stands: upright}", {"a.ies": ROTATIONAL})

    assert float(bilinear(beam_table(red(ahead)), 0.0, 0.0)) == pytest.approx(900)
    assert float(bilinear(beam_table(red(below)), 0.0, -math.pi / 2)) == pytest.approx(900)
    assert float(bilinear(beam_table(red(below)), 0.0, 0.0)) == pytest.approx(0, abs=1e-6)


def test_what_is_odd_in_a_file_is_told_and_the_part_is_used(tmp_path: Path) -> None:
    """Case: lumens that don't fit are a warning at the file, not at the part."""
    text = OURS_IES.replace("1 -1 1", "1 100 1")
    catalogue = shop(tmp_path, "photometry: corner.ies", {"corner.ies": text})

    assert told(catalogue) == [("PRT-099", "warning")]
    assert catalogue.findings[0].where[0].file == str(tmp_path / "corner.ies")
    assert red(catalogue).measured is not None


def test_what_is_wrong_in_a_file_is_told_at_its_line(tmp_path: Path) -> None:
    """Case: a word among the angles; the part is not used, rather than shine some other way."""
    catalogue = shop(tmp_path, "photometry: corner.ies", {"corner.ies": OURS_IES.replace("\n-40 -35", "\n-40 x")})

    assert told(catalogue) == [("PRT-084", "error")]
    assert (catalogue.findings[0].where[0].line, catalogue.findings[0].where[0].column) == (7, 5)
    assert catalogue.get("corner-lamp") is None


@pytest.mark.parametrize(
    "name",
    [
        "../secret.ies",
        "/etc/passwd",
        "a/b.ies",
        "..ies",
        ".hidden.ies",
        "a.txt",
        "a.ies/..",
        '"a\\0.ies"',
        "~/a.ies",
        "[a.ies]",
    ],
)
def test_a_name_that_is_more_than_a_name_is_refused(tmp_path: Path, name: str) -> None:
    """Law: nothing outside the folder of the part is ever named."""
    (tmp_path / "secret.ies").write_text(OURS_IES)
    catalogue = shop(tmp_path / "parts", f"photometry: {name}", {})

    assert catalogue.get("corner-lamp") is None
    assert told(catalogue)
    assert all(code in {"PRT-100", "PRT-012"} or code.startswith("BLD") for code, _ in told(catalogue))


@pytest.mark.parametrize(
    "name", ["Eck-Lampe (rot) 2.IES", "a.b+c.ies", "R\N{LATIN SMALL LETTER U WITH DIAERESIS}ck.ies"]
)
def test_a_file_may_be_called_as_laboratories_call_it(tmp_path: Path, name: str) -> None:
    """Case: capitals, spaces, brackets and letters of other languages."""
    assert told(shop(tmp_path, f'photometry: "{name}"', {name: OURS_IES})) == []


def test_a_file_that_is_not_there_is_told_at_the_part(tmp_path: Path) -> None:
    """Case: the finding stands at the name."""
    catalogue = shop(tmp_path, "photometry: nowhere.ies", {})

    assert told(catalogue) == [("PRT-100", "error")]
    assert catalogue.findings[0].where[0].line == 12
    assert "nowhere.ies" in str(catalogue.findings[0].values["why"])


def test_no_link_leads_out(tmp_path: Path) -> None:
    """Law: a link to a file outside is refused, one inside is followed."""
    outside = tmp_path / "outside.ies"
    outside.write_text(OURS_IES)
    parts = tmp_path / "parts"
    parts.mkdir()
    (parts / "out.ies").symlink_to(outside)
    (parts / "real.ies").write_text(OURS_IES)
    (parts / "in.ies").symlink_to(parts / "real.ies")
    found = {each.name: each for each in files_beside(["out.ies", "in.ies"], parts, within=parts)}

    assert found["out.ies"].content is None
    assert "leads out" in found["out.ies"].why
    assert found["in.ies"].content == OURS_IES.encode()
    assert ("PRT-100", "error") in told(shop(parts, "photometry: out.ies", {}))


def test_pipes_folders_and_devices_are_no_files(tmp_path: Path) -> None:
    """Law: nothing is waited for, nothing endless is read."""
    os.mkfifo(tmp_path / "pipe.ies")
    (tmp_path / "folder.ies").mkdir()
    for path in (tmp_path / "pipe.ies", tmp_path / "folder.ies", Path("/dev/zero"), tmp_path / "no\0.ies"):
        with pytest.raises(PhotometryWrong) as refused:
            content_of(path)
        assert refused.value.code == "PRT-100"


def test_a_monstrous_file_is_not_read(tmp_path: Path) -> None:
    """Law: a sparse file of many gigabytes costs nothing."""
    with (tmp_path / "huge.ies").open("wb") as file:
        file.truncate(50_000 * MOST_BYTES)
    with pytest.raises(PhotometryWrong) as refused:
        content_of(tmp_path / "huge.ies")

    assert refused.value.code == "PRT-080"


def test_a_part_can_not_name_files_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: what a part names is bounded in number and in bytes."""
    (tmp_path / "a.ies").write_text(OURS_IES)
    monkeypatch.setattr(beside, "MOST_FILES", 2)
    found = files_beside(["a.ies"] * 4, tmp_path, within=tmp_path)

    assert [each.content is None for each in found] == [False, False, True, True]


def test_a_folder_can_not_hold_photometry_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: all photometric files of a shop together are bounded too; what goes beyond is told at its part."""
    monkeypatch.setattr("coachwright.parts.store.MOST_BYTES_OF_FOLDER", len(OURS_IES) - 1)
    for name in ("a-lamp", "b-lamp"):
        (tmp_path / f"{name}.yaml").write_text(lamp_text(f"photometry: {name}.ies", name=name))
        (tmp_path / f"{name}.ies").write_text(OURS_IES)
    catalogue = load_catalogue(shop_folder=tmp_path)

    assert catalogue.get("a-lamp") is not None
    assert catalogue.get("b-lamp") is None
    assert told(catalogue) == [("PRT-100", "error")]


def test_a_lamp_of_a_vehicle_takes_its_light_from_a_file_too(tmp_path: Path) -> None:
    """Case: a body of a shop, copied from ours, one of whose lamps was measured."""
    text = load_catalogue().entries["crew-cab-pickup-with-cap"].text
    wanted = re.search(r"white: (\{flux: [^{}]*\{[^{}]*\}[^{}]*\})", text)
    assert wanted is not None
    changed = text.replace(wanted[1], "{photometry: corner.ies, current: 1.5 A}", 1)
    changed = changed.replace("kind: body", "replaces: yes\nkind: body", 1)
    (tmp_path / "crew-cab-pickup-with-cap.yaml").write_text(changed)
    (tmp_path / "corner.ies").write_text(OURS_IES)
    catalogue = load_catalogue(shop_folder=tmp_path)
    body = catalogue.get("crew-cab-pickup-with-cap")

    assert [each for each in catalogue.findings if each.severity == "error"] == []
    assert isinstance(body, BodyPart)
    lit = [output for lamp in body.lamps.values() for head in lamp.heads for output in head.colours.values()]
    assert any(output.measured is not None for output in lit)
    assert any(output.measured is None for output in lit)


def test_a_table_is_never_written_in_a_part() -> None:
    """Law: candela come from a file; the field that holds them can't be written."""
    read = read_part(lamp_text("measured: 5, flux: 9 lm, beam: {shape: cosine}"), file="corner-lamp.yaml")

    assert [each.code for each in read.findings] == ["PRT-009"]


@pytest.mark.parametrize(
    ("light", "code"),
    [
        ("flux: 9 lm", "PRT-010"),
        ("beam: {shape: cosine}", "PRT-010"),
        ("flux: 0 lm, beam: {shape: cosine}", "PRT-043"),
        ("flux: 0 lm, photometry: corner.ies", "PRT-043"),
    ],
)
def test_light_is_said_one_way_or_the_other(light: str, code: str) -> None:
    """Case: neither beam nor file, a beam without its lumens, and no lumens at all."""
    read = read_part(lamp_text(light), file="corner-lamp.yaml")

    assert code in [each.code for each in read.findings]
    assert read.part is None


def test_the_lamp_with_a_file_that_comes_with_coachwright() -> None:
    """Case: flood-white lights the ground before it, a little below level; its sum is that of its file."""
    part = load_catalogue().get("flood-white")
    assert isinstance(part, LampPart)
    output = part.heads[0].colours["white"]
    table = beam_table(output)

    assert output.flux == pytest.approx(1960, abs=2)
    assert table.peak_cd > float(bilinear(table, 0.0, 0.0)) > 0.5 * table.peak_cd
    assert float(bilinear(table, 0.0, math.radians(25))) < 0.02 * table.peak_cd
