"""A verdict as SARIF: read back by somebody else's reader, and held against the clauses of the standard."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel
from sarif_pydantic import Sarif

from coachwright.cli.main import main
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.look.sarif import sarif
from coachwright.proof.verdict import Verdict, check
from coachwright.proof.waive import WaivedFinding

ROOT = Path(__file__).parents[2]
QUILLBACK = ROOT / "examples" / "quillback" / "build.yaml"

LEFT_OUT_BY_THE_READER = {"columnKind", "exitCode", "suppressions"}
"""Words of the standard (3.14.17, 3.20.10, 3.27.23) that this reader keeps without a field of its own."""


@pytest.fixture(scope="module")
def verdict() -> Verdict:
    return check(QUILLBACK)


@pytest.fixture(scope="module")
def run(verdict: Verdict) -> Any:
    return sarif(verdict)["runs"][0]


def unknown_words(item: Any) -> Iterator[str]:
    """Words of a log that the reader doesn't know; bags named properties may hold anything (3.8)."""
    if isinstance(item, BaseModel):
        yield from item.model_extra or {}
        for name in type(item).model_fields:
            if name != "properties":
                yield from unknown_words(getattr(item, name))
    elif isinstance(item, list):
        for each in item:
            yield from unknown_words(each)


def test_another_reader_reads_it_and_knows_every_word(verdict: Verdict) -> None:
    """Print: SARIF 2.1.0 as sarif-pydantic has it; a word that isn't in the standard would be left over."""
    log = Sarif.model_validate(sarif(verdict))

    assert set(unknown_words(log)) <= LEFT_OUT_BY_THE_READER
    assert log.version == "2.1.0"


def test_level_is_none_unless_the_kind_is_fail_3_27_10(run: Any) -> None:
    """SARIF 3.27.10: a result of a kind other than fail has the level none."""
    assert {result["level"] for result in run["results"] if result["kind"] != "fail"} == {"none"}
    assert {result["level"] for result in run["results"] if result["kind"] == "fail"} <= {"error", "warning", "note"}


def test_rule_index_leads_to_the_rule_3_27_6(run: Any) -> None:
    """SARIF 3.27.6: ruleIndex is the place of the rule in the driver's list, whose id is the ruleId."""
    rules = run["tool"]["driver"]["rules"]

    assert all(rules[result["ruleIndex"]]["id"] == result["ruleId"] for result in run["results"])
    assert len({rule["id"] for rule in rules}) == len(rules)


def test_every_finding_and_every_judgement_is_there(verdict: Verdict, run: Any) -> None:
    """Law: silence is not a pass in this format either; a draft is for review, what isn't measured is open."""
    failed = [result for result in run["results"] if result["kind"] == "fail"]
    kinds = {result["kind"] for result in run["results"]}

    assert len(failed) == len(verdict.findings) + len(verdict.waived)
    assert {"fail", "pass", "review", "notApplicable"} <= kinds
    assert ("open" in kinds) == bool(verdict.counts.states["not-measured"])
    drafts = [judgement for judgement in verdict.judgements if judgement.state == "draft"]
    passed = {(r["ruleId"], r["locations"][0]["logicalLocations"][0]["fullyQualifiedName"])
              for r in run["results"] if r["kind"] == "pass" and r["locations"]}  # fmt: skip
    assert drafts
    assert passed.isdisjoint({(judgement.rule.code, judgement.about) for judgement in drafts})


def test_region_is_the_stretch_of_text(verdict: Verdict, run: Any) -> None:
    """SARIF 3.30: charOffset and charLength count characters of the file; what stands there is what the mark marks."""
    text = QUILLBACK.read_text(encoding="utf-8")
    region = next(
        result["locations"][0]["physicalLocation"]["region"]
        for result in run["results"]
        if result["ruleId"] == "VER-012" and result["locations"]
    )
    stretch = text[region["charOffset"] : region["charOffset"] + region["charLength"]]

    assert stretch.startswith("{answer: only when")
    assert text.splitlines()[region["startLine"] - 1][region["startColumn"] - 1 :].startswith(stretch)


def test_a_waived_finding_is_suppressed_with_its_reason(verdict: Verdict, run: Any) -> None:
    """SARIF 3.35: a suppression says why; who waived it and until when stand in it."""
    (suppressed,) = [result for result in run["results"] if "suppressions" in result]
    waiver = verdict.waived[0].waiver

    assert isinstance(verdict.waived[0], WaivedFinding)
    assert suppressed["kind"] == "fail"
    assert waiver.by in suppressed["suppressions"][0]["justification"]
    assert waiver.until in suppressed["suppressions"][0]["justification"]


def test_names_of_files_are_references(tmp_path: Path) -> None:
    """RFC 3986: blanks and percent signs are escaped; a file named from the root is a file URI."""
    finding = Finding("BLD-016", "section-not-known", "error", "x", where=(Mark("a b/100%.yaml", 1, 1),), fix=Fix("y"))
    empty = check(tmp_path / "nothing.yaml")
    from dataclasses import replace

    log = sarif(replace(empty, findings=(finding, *empty.findings)))
    uris = [each["location"]["uri"] for each in log["runs"][0]["artifacts"]]

    assert "a%20b/100%25.yaml" in uris
    assert (tmp_path / "nothing.yaml").as_uri() in uris
    assert log["runs"][0]["invocations"] == [{"executionSuccessful": False, "exitCode": 2}]


def test_check_prints_it_and_ends_as_ever(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: check --format sarif prints one JSON document and nothing else; the exit code is the verdict's."""
    monkeypatch.chdir(ROOT)
    code = main(["check", "examples/quillback/build.yaml", "--format", "sarif"])
    log = json.loads(capsys.readouterr().out)

    assert code == log["runs"][0]["invocations"][0]["exitCode"] == 0
    assert log["runs"][0]["artifacts"][0] == {
        "location": {"uri": "examples/quillback/build.yaml"},
        "roles": ["analysisTarget"],
    }


@pytest.mark.parametrize("other", ["--json", "--matrix"])
def test_two_things_at_once_are_refused(other: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: nothing that was asked for is dropped without a word."""
    assert main(["check", str(QUILLBACK), "--format", "sarif", other]) == 2
    assert f"--format sarif and {other} print two things" in capsys.readouterr().err
