"""A part, a rule and a place are each added in one file, by the recipe of the page that tells it, and `check` uses it.

What is added is read out of the pages themselves: a recipe that no longer holds fails here.
"""

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from coachwright.build.load import load_build
from coachwright.parts.read import read_part
from coachwright.parts.schema import KINDS, LampPart
from coachwright.parts.store import load_catalogue
from coachwright.proof.verdict import Verdict, check

ROOT = Path(__file__).resolve().parents[2]
BODY = "crew-cab-pickup-with-cap"
JUDGED_ON = date(2026, 11, 25)


def examples_of(page: str) -> list[str]:
    """The yaml of a page, in its order."""
    return re.findall(r"```yaml\n(.*?)```", (ROOT / "docs" / page).read_text(encoding="utf-8"), re.DOTALL)


def mended(text: str, was: str, now: str) -> str:
    """`text` with its one `was` as `now`."""
    assert text.count(was) == 1, was
    return text.replace(was, now)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of an example's folder; its build file."""
    folder = tmp_path / "quillback"
    shutil.copytree(ROOT / "examples" / "quillback", folder)
    return folder / "build.yaml"


def says(build: Path, was: str, now: str) -> None:
    """Let the build name what was added."""
    build.write_text(mended(build.read_text(encoding="utf-8"), was, now), encoding="utf-8")


def codes(verdict: Verdict) -> set[str]:
    """Of all findings."""
    return {finding.code for finding in verdict.findings}


PART_EXAMPLES = examples_of("how-to-enter-a-part.md")


@pytest.mark.parametrize(
    "example", PART_EXAMPLES, ids=lambda text: re.findall(r"name: (.*)", text)[0].strip().split()[0]
)
def test_every_example_of_the_page_on_parts_is_read(example: str) -> None:
    """Docs: each can be copied as it stands; it has neither a fault nor a doubt."""
    read = read_part(example, file="example.yaml")

    assert read.findings == ()
    assert read.part is not None
    assert read.part.figures.status == "read"


def test_the_page_walks_through_every_family_and_names_every_kind() -> None:
    """Docs: lamp, siren, wire, fuse, battery, radio, antenna, film and pane have one; every kind is in the table."""
    shown = [part.kind for text in PART_EXAMPLES if (part := read_part(text, file="example.yaml").part) is not None]
    page = (ROOT / "docs" / "how-to-enter-a-part.md").read_text(encoding="utf-8")

    assert shown == ["lamp", "siren", "wire", "fuse", "battery", "radio", "antenna", "film", "pane"]
    assert [kind for kind in KINDS if f"`{kind}`" not in page] == []


def test_a_lamp_of_the_page_is_one_that_can_be_bought() -> None:
    """Docs: 20 to 160 lumens per watt, as the page's own quick look says."""
    part = read_part(PART_EXAMPLES[0], file="example.yaml").part

    assert isinstance(part, LampPart)
    red = part.colours["red"]
    assert 20 < red.flux / (red.current * part.test_voltage) < 160


def test_a_part_is_added_in_one_file(job: Path) -> None:
    """Recipe: without the file the name is not known; with it the lamp is that part."""
    says(job, "push:        {part: short-red-white,", "push:        {part: corner-lamp,")
    assert "BLD-011" in {finding.code for finding in load_build(job).findings}

    (job.parent / "parts").mkdir()
    (job.parent / "parts" / "corner-lamp.yaml").write_text(PART_EXAMPLES[0], encoding="utf-8")
    verdict = check(job, today=JUDGED_ON)

    assert verdict.model is not None
    added = dict(verdict.model.parts)["corner-lamp"]
    assert isinstance(added, LampPart)
    assert added.price == "94 USD"
    assert not {code for code in codes(verdict) if code.startswith("PRT")}
    assert "BLD-011" not in codes(verdict)
    assert any("lamps.push" in judgement.about for judgement in verdict.judgements)


def test_a_rule_is_added_in_one_file(job: Path) -> None:
    """Recipe: the pack of the page lies beside the build, is named, and its rule judges the rear."""
    (pack,) = (text for text in examples_of("how-to-write-a-pack.md") if text.startswith("pack: "))
    (job.parent / "packs").mkdir()
    (job.parent / "packs" / "harbor-contract.yaml").write_text(pack, encoding="utf-8")
    says(job, "packs: [house,", "packs: [harbor-contract, house,")
    verdict = check(job, today=JUDGED_ON)
    judged = [judgement for judgement in verdict.judgements if judgement.rule.code == "HBC-001"]

    assert "harbor-contract" in {each.pack for each in verdict.packs}
    assert judged
    assert {judgement.state for judgement in judged} <= {"pass", "near", "fail"}
    assert all(judgement.status == "contract" and judgement.cases for judgement in judged)


def test_a_place_is_added_in_one_file(job: Path) -> None:
    """Recipe: the body is copied beside the build, says `replaces: yes`, and has the place of the page."""
    ours = load_catalogue().entries[BODY].text
    bare = re.sub(r"(?m)^  bumper-corner: .*\n", "", ours, count=1)
    bare = mended(bare, f"name: {BODY}\n", f"name: {BODY}\nreplaces: yes\n")
    (example,) = (text for text in examples_of("how-to-add-a-place.md") if text.startswith("places:\n"))
    says(
        job,
        "push:        {part: short-red-white, at: bumper-front,",
        "push:        {part: short-red-white, at: bumper-corner,",
    )
    folder = job.parent / "parts"
    folder.mkdir()

    (folder / f"{BODY}.yaml").write_text(bare, encoding="utf-8")
    assert bare != ours
    assert [finding.about for finding in load_build(job).findings if finding.severity == "error"] == ["lamps.push.at"]

    (folder / f"{BODY}.yaml").write_text(mended(bare, "\nplaces:\n", "\n" + example), encoding="utf-8")
    verdict = check(job, today=JUDGED_ON)

    assert verdict.model is not None
    place = verdict.model.body.places["bumper-corner"]
    assert place.what == "corner of the front bumper"
    assert {head.lamp for head in verdict.model.heads if head.place == "bumper-corner"} == {"push"}
    assert not {code for code in codes(verdict) if code.startswith("PRT")}
