"""What docs/how-to-write-a-pack.md shows can be copied as it stands."""

import re
from pathlib import Path

from coachwright.proof.rooms import rooms
from coachwright.rules.load import load_packs

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "how-to-write-a-pack.md").read_text(encoding="utf-8")
FIGURES, OWN, PROMISED = re.findall(r"^```yaml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
ROOMS = {"control", "flash", "light"}


def test_figures_of_the_page_are_laid_over(tmp_path: Path) -> None:
    """Docs: the licensed figure loads, read by the reader it names."""
    (tmp_path / "optical-small-vehicle.yaml").write_text(FIGURES, encoding="utf-8")
    (pack,), findings = load_packs(["optical-small-vehicle"], registry={}, missing_rooms=ROOMS, extra_folder=tmp_path)

    assert not findings
    assert (pack.rules[0].cite.checked_by, pack.shop_figures) == ("A. Reader", ("OSV-001",))


def test_pack_of_the_page_loads(tmp_path: Path) -> None:
    """Docs: the contract loads, its cite taken over and its clause its own."""
    (tmp_path / "harbor-contract.yaml").write_text(OWN, encoding="utf-8")
    (pack,), findings = load_packs(["harbor-contract"], registry={}, missing_rooms=ROOMS, extra_folder=tmp_path)

    assert not findings
    assert str(pack.rules[0].cite) == "contract Q-0417, revision B, page 4"
    assert (pack.rules[0].limit.low, pack.rules[0].limit.near) == (500_000.0, 50_000.0)


def test_promise_of_the_page_is_a_rule_of_that_pack(tmp_path: Path) -> None:
    """Docs: written behind the other rule it loads against the real windows."""
    opened = rooms()
    (tmp_path / "harbor-contract.yaml").write_text(OWN + PROMISED, encoding="utf-8")
    (pack,), findings = load_packs(
        ["harbor-contract"], registry=opened.windows, missing_rooms=opened.missing, extra_folder=tmp_path
    )

    assert not findings
    assert (pack.rules[1].measure, pack.rules[1].with_["property"]) == ("control.proved", "siren-off-in-park")


def test_every_field_of_a_rule_is_on_the_page() -> None:
    """Docs: what can be written is told."""
    from coachwright.rules.limit import LIMIT_WORDS
    from coachwright.rules.schema import Rule

    told = set(re.findall(r"[a-z]+(?:-[a-z]+)*", PAGE))
    written = {field.alias or name for name, field in Rule.model_fields.items()} - {"limit", "under-faults", "geometry"}
    assert written <= told
    assert set(LIMIT_WORDS) <= told
