"""Packs come in whole or not at all, and a refused one says where and what to write."""

import os
import textwrap
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.finding import Finding
from coachwright.kit.measure import Measure, WindowEntry
from coachwright.rules.load import MAX_BYTES, load_packs, pack_names
from coachwright.rules.schema import Pack


def rate(model: Any, *, situation: str, of: Literal["head", "lamp"] = "head") -> tuple[Measure, ...]:
    """How fast does it flash?"""
    return ()


def gap(model: Any, *, least: float) -> tuple[Measure, ...]:
    """How wide is the gap?"""
    return ()


REGISTRY = {
    "flash.rate": WindowEntry("flash.rate", "rate", {"of": "word"}, rate, "How fast does it flash?", True),
    "light.gap": WindowEntry("light.gap", "angle", {"least": "luminous-intensity"}, gap, "How wide?", False),
}

HEAD = "pack: ours\nprefix: OWN\ntitle: Our own\nstatus: contract\nrules:\n"
RULE = """\
- code: OWN-001
  name: too-slow
  asks: It flashes fast enough.
  measure: flash.rate
  kind: rate
  at-least: 60 per min
  near: 10 %
  cite: {source: contract, status: contract}
  why: So it was agreed.
  fix: Flash faster.
"""


def load(
    tmp_path: Path, text: str, *, name: str = "ours", **options: Any
) -> tuple[tuple[Pack, ...], tuple[Finding, ...]]:
    folder = tmp_path / "packs"
    (folder / name).mkdir(parents=True, exist_ok=True)
    (folder / name / "pack.yaml").write_text(text, encoding="utf-8")
    return load_packs([name], registry=REGISTRY, extra_folder=folder, **options)


def the_finding(tmp_path: Path, text: str) -> Finding:
    packs, findings = load(tmp_path, text)
    assert not packs
    return findings[0]


def place(finding: Finding) -> str:
    return str(finding.where[0])


def test_good_pack_loads_with_si_limits(tmp_path: Path) -> None:
    """Case: 60 per min is 1 Hz, ten per cent of it near."""
    (pack,), findings = load(tmp_path, HEAD + RULE)

    assert not findings
    limit = pack.rules[0].limit
    assert (limit.word, limit.low, limit.near) == ("at-least", 1.0, pytest.approx(0.1))
    assert limit.written == "60 per min"


@pytest.mark.parametrize(
    ("change", "code", "name", "line", "write"),
    [
        (("measure: flash.rate", "measure: flash.rat"), "RUL-003", "measure-unknown", 9, "flash.rate"),
        (("  kind: rate", "  kind: share\n  with: {of: head}"), "RUL-009", "limit-not-read", 12, ""),
        (("kind: rate", "kind: raet"), "RUL-005", "unit-kind-unknown", 10, "rate"),
        (("near: 10 %", "with: {off: head}"), "RUL-004", "argument-wrong", 12, "of"),
        (("near: 10 %", "with: {of: heads}"), "RUL-004", "argument-wrong", 12, "head, lamp"),
        (("near: 10 %", "at-most: 4 Hz"), "RUL-006", "limit-not-one", 11, "at-least"),
        (("  at-least: 60 per min\n", ""), "RUL-006", "limit-not-one", 6, "at-least"),
        (("at-least: 60 per min", "at-least: 60"), "RUL-009", "limit-not-read", 11, "60 per min"),
        (("at-least: 60 per min", "must-be: \"yes\""), "RUL-009", "limit-not-read", 11, "at-least"),
        (("at-least: 60 per min", "between: [4 Hz, 1 Hz]"), "RUL-009", "limit-not-read", 11, "lower"),
        (("near: 10 %", "near: -10 %"), "RUL-009", "limit-not-read", 12, ""),
        (("{source: contract, status", "{status"), "RUL-007", "cite-without-source", 13, "title"),
        (("  cite: {source: contract, status: contract}\n", ""), "RUL-002", "field-missing", 6, ""),
        (("status: contract}", "status: read}"), "RUL-007", "read-by-nobody", 13, "checked-on"),
        (("status: contract}", "status: read, checked-on: soon}"), "RUL-007", "date-not-plain", 13, "2026"),
        (("code: OWN-001", "code: HIS-001"), "RUL-008", "code-of-another", 6, ""),
        (("  why: So it was agreed.\n", "  wyh: So it was agreed.\n"), "RUL-002", "field-missing", 6, ""),
        (("name: too-slow", "name: Too Slow"), "RUL-002", "name-not-plain", 7, ""),
        (("title: Our own", "title: Our own\nlanguage: 7"), "RUL-002", "pack-too-new", 4, ""),
        (("pack: ours", "pack: theirs"), "RUL-002", "pack-name-differs", 1, ""),
        (("prefix: OWN", "prefix: BLD"), "RUL-008", "code-taken", 2, ""),
        (("status: contract\nrules", "status: law\nrules"), "RUL-011", "law-waivable", 6, "waivable"),
        (("rules:\n", "rules:\n- [\n"), "RUL-014", "pack-text-faulty", 7, ""),
    ],
)  # fmt: skip
def test_bad_pack_says_where_and_what_to_write(
    tmp_path: Path, change: tuple[str, str], *, code: str, name: str, line: int, write: str
) -> None:
    """Case: one thing wrong, one finding at its line, and the pack is left out whole."""
    text = (HEAD + RULE).replace(*change)
    if code == "RUL-008" and name == "code-taken":
        text = text.replace("OWN-001", "BLD-001")
    packs, findings = load(tmp_path, text)

    assert not packs
    finding = findings[0]
    assert (finding.code, finding.name) == (code, name)
    assert finding.severity == "error"
    assert finding.where, "a finding in a file has a place"
    assert (finding.where[0].file, finding.where[0].line) == ("packs/ours/pack.yaml", line)
    assert write in (finding.fix.sentence if finding.fix else "")


def test_code_used_twice_is_found(tmp_path: Path) -> None:
    """Case: a code is never reused, not even in one file."""
    finding = the_finding(tmp_path, HEAD + RULE + RULE)

    assert (finding.code, finding.name) == ("RUL-008", "code-twice")


def test_unknown_pack_names_the_nearest() -> None:
    """Case: a mistyped pack."""
    packs, (finding,) = load_packs(["huose"], registry={}, missing_rooms={"control", "flash", "light"})

    assert not packs
    assert (finding.code, finding.fix.sentence if finding.fix else "") == ("RUL-001", "Closest: house.")


def test_two_packs_may_not_share_a_prefix(tmp_path: Path) -> None:
    """Law: a code says who says so."""
    for name in ("one", "two"):
        load(tmp_path, (HEAD + RULE).replace("pack: ours", f"pack: {name}"), name=name)
    packs, findings = load_packs(["one", "two"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert [pack.pack for pack in packs] == ["one"]
    assert findings[0].code == "RUL-008"


def test_measure_of_a_room_not_built_yet_loads(tmp_path: Path) -> None:
    """Law: what a missing room would measure stays asked for; the rule ends as not measured."""
    text = (HEAD + RULE).replace("flash.rate", "power.rate")
    packs, _ = load(tmp_path, text, missing_rooms={"power"})

    assert packs
    assert not load(tmp_path, text)[0]


@pytest.mark.parametrize("name", ["../../etc", "/etc/passwd", "a b", "", "."])
def test_pack_name_can_never_leave_its_folder(tmp_path: Path, name: str) -> None:
    """Law: a name is a name, not a path."""
    (tmp_path / "packs").mkdir()
    packs, (finding,) = load_packs([name], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert not packs
    assert finding.code == "RUL-001"


def test_huge_pack_is_refused_unread(tmp_path: Path) -> None:
    """Case: a file far larger than any pack."""
    finding = the_finding(tmp_path, HEAD + "#" * (MAX_BYTES + 1))

    assert finding.code == "RUL-013"


def test_pack_that_is_no_text_is_refused(tmp_path: Path) -> None:
    """Case: a binary file under the name of a pack."""
    (tmp_path / "packs" / "ours").mkdir(parents=True)
    (tmp_path / "packs" / "ours" / "pack.yaml").write_bytes(b"\xff\xfe\x00\x01")
    packs, (finding,) = load_packs(["ours"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert not packs
    assert finding.code == "RUL-013"


@pytest.mark.parametrize(
    "text",
    [
        "- a\n- b\n",
        "word\n",
        "",
        "pack: ours\nrules: {}\n",
        "pack: ours\nrules: [1, 2]\n",
        "pack: ours\nrules:\n- code: [a]\n  cite: 5\n",
        "a: &x [*x]\n",
        "rules:\n- {code: {a: b}}\n",
    ],
)
def test_odd_packs_are_findings(tmp_path: Path, text: str) -> None:
    """Case: well-formed text that is no pack."""
    packs, findings = load(tmp_path, text)

    assert not packs
    assert findings
    assert all(finding.code.startswith("RUL-") for finding in findings)


@given(st.text(max_size=200))
def test_no_text_breaks_the_door(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    """Law: whatever stands in a pack file, the answer is packs and findings, never a traceback."""
    folder = tmp_path_factory.mktemp("fuzz")
    for body in (text, HEAD + text, (HEAD + RULE).replace("60 per min", repr(text))):
        (folder / "ours.yaml").write_text(body, encoding="utf-8", errors="replace")
        packs, findings = load_packs(["ours"], registry=REGISTRY, extra_folder=folder)
        assert packs or findings


SHOP = """\
rules:
- code: OSV-001
  at-least: 900,000 cd s/min
  cite: {status: read, edition: "2016", clause: Table 15.8, checked-on: 2026-10-01, checked-by: A. Reader}
"""


def shop(tmp_path: Path, text: str) -> tuple[tuple[Pack, ...], tuple[Finding, ...]]:
    (tmp_path / "packs").mkdir(exist_ok=True)
    (tmp_path / "packs" / "optical-small-vehicle.yaml").write_text(textwrap.dedent(text), encoding="utf-8")
    return load_packs(
        ["optical-small-vehicle"],
        registry={},
        missing_rooms={"control", "flash", "light"},
        extra_folder=tmp_path / "packs",
    )


def test_shop_lays_its_licensed_figure_over_a_draft(tmp_path: Path) -> None:
    """Case: one figure with reader and day; the other rules stay draft."""
    (pack,), findings = shop(tmp_path, SHOP)

    assert not findings
    rule = pack.rules[0]
    assert (rule.limit.low, rule.is_draft, rule.cite.checked_by) == (900_000.0, False, "A. Reader")
    assert rule.cite.source.startswith("NFPA 1901")
    assert pack.shop_figures == ("OSV-001",)
    assert all(other.is_draft for other in pack.rules[1:])


@pytest.mark.parametrize(
    ("change", "code", "name"),
    [
        (("  cite: {status: read", "  severity: note\n  cite: {status: read"), "RUL-010", "figure-changes-rule"),
        (("  cite: {status: read", "  measure: flash.rate\n  cite: {status: read"), "RUL-010", "figure-changes-rule"),
        (("OSV-001", "OSV-999"), "RUL-010", "figure-of-no-rule"),
        ((", checked-on: 2026-10-01, checked-by: A. Reader", ""), "RUL-007", "read-by-nobody"),
        (("900,000 cd s/min", "900,000 cd"), "RUL-009", "limit-not-read"),
    ],
)
def test_shop_figures_change_figures_only(tmp_path: Path, change: tuple[str, str], code: str, name: str) -> None:
    """Law: what is measured, and whether it can be waived, is not for the shop to change."""
    packs, findings = shop(tmp_path, SHOP.replace(*change))

    assert not packs
    assert (findings[0].code, findings[0].name) == (code, name)
    assert findings[0].where[0].file == "packs/optical-small-vehicle.yaml"


def test_shop_figure_without_reader_is_refused(tmp_path: Path) -> None:
    """Case: a figure keyed in without any cite."""
    text = "rules:\n- {code: OSV-001, at-least: 1 cd s/min}\n"
    packs, findings = shop(tmp_path, text)

    assert not packs
    assert findings[0].name == "figure-without-cite"


@pytest.mark.parametrize("what", ["the file", "its folder"])
def test_a_link_that_leads_out_of_the_packs_is_refused(tmp_path: Path, what: str) -> None:
    """RUL-013: a folder somebody sends can't make us read another one."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "pack.yaml").write_text(HEAD + RULE)
    packs = tmp_path / "packs"
    packs.mkdir()
    if what == "the file":
        (packs / "ours.yaml").symlink_to(outside / "pack.yaml")
    else:
        (packs / "ours").symlink_to(outside)
    loaded, (finding,) = load_packs(["ours"], registry=REGISTRY, extra_folder=packs)

    assert not loaded
    assert finding.code == "RUL-013"
    assert "leads out of the folder" in str(finding.values["what"])


def test_a_link_inside_the_packs_is_followed(tmp_path: Path) -> None:
    """Case: what stays inside is the shop's own business."""
    load(tmp_path, (HEAD + RULE).replace("pack: ours", "pack: two"), name="kept")
    (tmp_path / "packs" / "two.yaml").symlink_to("kept/pack.yaml")
    loaded, findings = load_packs(["two"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert (len(loaded), findings) == (1, ())


@pytest.mark.parametrize("kind", ["pipe", "device", "circle", "dangling", "folder"])
def test_what_is_no_ordinary_file_is_refused_at_once(tmp_path: Path, kind: str) -> None:
    """RUL-013: nothing is waited for, and nobody is told that there is no such pack."""
    path = tmp_path / "packs" / "ours.yaml"
    path.parent.mkdir()
    match kind:
        case "pipe":
            os.mkfifo(path)
        case "device":
            path.symlink_to("/dev/zero")
        case "circle":
            path.symlink_to("ours.yaml")
        case "dangling":
            path.symlink_to("nothing.yaml")
        case _:
            path.mkdir()
    loaded, (finding,) = load_packs(["ours"], registry=REGISTRY, extra_folder=path.parent)

    assert not loaded
    assert finding.code == "RUL-013"


def test_one_pack_in_two_files_is_refused(tmp_path: Path) -> None:
    """RUL-013: which one is meant isn't said, and the order of a folder decides nothing."""
    load(tmp_path, HEAD + RULE)
    (tmp_path / "packs" / "ours.yaml").write_text(HEAD + RULE)
    loaded, (finding,) = load_packs(["ours"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert not loaded
    assert finding.code == "RUL-013"
    assert "packs/ours/pack.yaml and packs/ours.yaml are both there" in str(finding.values["what"])


def test_the_prefix_of_one_of_ours_is_taken(tmp_path: Path) -> None:
    """RUL-008: also when ours isn't named in this job; a code means one thing everywhere."""
    finding = the_finding(tmp_path, (HEAD + RULE).replace("OWN", "HSE"))

    assert (finding.code, finding.name) == ("RUL-008", "code-taken")
    assert "of house" in str(finding.values["what"])


def test_a_folder_of_thousands_of_packs_is_looked_through_only_so_far(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Law: only packs that are named are read; when a name is looked for, the folder is listed up to a bound."""
    (tmp_path / "packs").mkdir()
    for number in range(30):
        (tmp_path / "packs" / f"pack-{number}.yaml").write_bytes(b"\xff")
    monkeypatch.setattr("coachwright.rules.load.MOST_ENTRIES", 10)
    loaded, (finding,) = load_packs(["pack-x"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert not loaded
    assert finding.code == "RUL-001"
    assert sum(name.startswith("pack-") for name in pack_names(tmp_path / "packs")) == 10


def test_a_folder_of_packs_that_is_none(tmp_path: Path) -> None:
    """Case: a file under that name, or nothing, is a shop without packs."""
    (tmp_path / "packs").write_text("not a folder")

    assert pack_names(tmp_path / "packs") == pack_names()
    assert pack_names(tmp_path / "nothing") == pack_names()
    assert load_packs(["ours"], registry=REGISTRY, extra_folder=tmp_path / "packs")[1][0].code == "RUL-001"


def test_a_pack_nobody_may_look_at_is_told_as_that(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """RUL-013: without permission nobody is told that there is no such pack."""

    def lstat(path: Path) -> object:
        raise PermissionError(13, "Permission denied")

    (tmp_path / "packs" / "ours").mkdir(parents=True)
    monkeypatch.setattr("coachwright.rules.load.os.lstat", lstat)
    loaded, (finding,) = load_packs(["ours"], registry=REGISTRY, extra_folder=tmp_path / "packs")

    assert not loaded
    assert finding.code == "RUL-013"
    assert "Permission denied" in str(finding.values["what"])
