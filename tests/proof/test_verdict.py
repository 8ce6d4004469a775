"""A file in, a verdict out: findings at their lines, states counted apart, an exit code, the same bytes each time."""

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from coachwright.kit.finding import Finding
from coachwright.proof import verdict as verdict_module
from coachwright.proof.as_json import FORMAT, as_json, json_text
from coachwright.proof.judge import STATES
from coachwright.proof.verdict import CLEAN, STOPS_DELIVERY, UNREADABLE, Verdict, check

TODAY = date(2027, 1, 15)

BUILD = """\
coachwright: 1
job:
  name: Small job
  law:
    place: invented state
    red-forward: {answer: permitted, paper: letter on file}
    red-rear: {answer: permitted, paper: letter on file}
vehicle: {body: crew-cab-pickup-with-cap}
packs: [own]
lamps:
  grille: {part: short-red-white, at: grille, pair: mirrored}
  tail: {part: short-red-amber-white, at: tail-inner, pair: mirrored}
controls:
  slide: {kind: slide, positions: ["off", full], at: console.panel, asleep: reads-off, lost: hold}
functions:
  warning: {rank: warn, by: slide, levels: {full: [{on: [grille, tail], red: double sides}]}}
situations:
  answering: {slide: full, gear: D, speed: 45 mph, stands-for: calling}
"""

OWN = """\
pack: own
prefix: OWN
title: Our own
status: contract
rules:
- code: OWN-001
  name: flash-rate-outside
  asks: It flashes between one and four times a second.
  measure: flash.rate
  kind: rate
  between: [60 per min, 240 per min]
  near: 5 %
  cite: {source: contract, status: contract}
  why: So it was agreed.
  fix: Write another rate.
"""


@pytest.fixture
def job(tmp_path: Path) -> Any:
    """Writes the small job, with changes, and gives its verdict."""

    def judged(*changes: tuple[str, str], pack: tuple[str, str] = ("", ""), add: str = "") -> Verdict:
        text = BUILD + add
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        (tmp_path / "packs").mkdir(exist_ok=True)
        (tmp_path / "packs" / "own.yaml").write_text(OWN.replace(*pack) if pack[0] else OWN, encoding="utf-8")
        (tmp_path / "build.yaml").write_text(text, encoding="utf-8")
        return check(tmp_path / "build.yaml", today=TODAY)

    return judged


def codes(found: Verdict, severity: str = "error") -> list[str]:
    return [finding.code for finding in found.findings if finding.severity == severity]


def by_code(found: Verdict, code: str) -> Finding:
    (finding,) = [finding for finding in found.findings if finding.code == code]
    return finding


def too_quick() -> tuple[str, str]:
    return ("red: double sides", 'red: "lit 60 ms, dark 60 ms"')


def test_clean_job_ends_with_nought(job: Any) -> None:
    """Case: nothing stops delivery."""
    found = job()

    assert codes(found) == []
    assert found.exit_code == CLEAN
    assert found.counts.states["pass"] == 1
    assert found.counts.by_status["contract"]["pass"] == 1


def test_failing_rule_stops_delivery_at_its_line(job: Any) -> None:
    """Case: eight flashes a second where four are the most."""
    found = job(too_quick())
    finding = by_code(found, "OWN-001")

    assert found.exit_code == STOPS_DELIVERY
    assert (finding.where[0].line, finding.about) == (16, "functions.warning")
    assert finding.value is not None
    assert finding.value.value == pytest.approx(1000 / 120)
    assert finding.margin is not None
    assert finding.margin.value < 0


def test_draft_that_would_fail_stops_nothing(job: Any) -> None:
    """Law: the exit code never follows a figure nobody has checked; the draft is counted."""
    found = job(too_quick(), pack=("status: contract}", "status: draft}"))

    assert found.exit_code == CLEAN
    assert by_code(found, "OWN-001").severity == "warning"
    assert (found.counts.drafts_n, found.counts.draft_would["fail"], found.counts.states["pass"]) == (1, 1, 0)


def test_waived_failure_stops_nothing_and_stays_visible(job: Any) -> None:
    """Law: waived is neither a pass nor a finding that stands; it shows in the verdict."""
    waiver = 'waivers:\n  w: {code: OWN-001, about: functions.warning, by: lead, why: agreed, until: "2027-03-15"}\n'
    found = job(too_quick(), add=waiver)

    assert found.exit_code == CLEAN
    assert found.counts.states["waived"] == 1
    assert found.counts.states["pass"] == 0
    assert [each.waiver.by for each in found.waived] == ["lead"]
    assert found.waived[0].finding.where[0].line == 16


def test_waiver_that_is_over_is_told_at_its_line(job: Any) -> None:
    """Case: the day has passed."""
    waiver = 'waivers:\n  w: {code: OWN-001, about: functions.warning, by: lead, why: agreed, until: "2027-01-14"}\n'
    found = job(too_quick(), add=waiver)

    assert found.exit_code == STOPS_DELIVERY
    assert by_code(found, "VER-020").where[0].line == 20


def test_law_question_without_answer_stops_delivery(job: Any) -> None:
    """Law: colours are asked for, never assumed."""
    found = job(
        ("packs: [own]", "packs: [own, house]"), ("    red-rear: {answer: permitted, paper: letter on file}\n", "")
    )

    assert "VER-010" in codes(found)
    assert by_code(found, "VER-010").about == "job.law.red-rear"


def test_pack_that_does_not_load_stops_delivery(job: Any) -> None:
    """Case: a rule asks for a measure that isn't there; the finding points into the pack."""
    found = job(pack=("flash.rate", "flash.rat"))
    finding = by_code(found, "RUL-003")

    assert found.exit_code == STOPS_DELIVERY
    assert finding.where[0].file == "packs/own.yaml"
    assert finding.fix is not None
    assert finding.fix.sentence == "Closest: flash.rate."


def test_job_without_packs_is_told(job: Any) -> None:
    """Law: no rules, no silence."""
    found = job(("packs: [own]\n", ""))

    assert by_code(found, "VER-008").severity == "warning"
    assert not found.judgements


def test_build_with_a_wrong_field_is_not_judged(job: Any) -> None:
    """Case: the text is read, the build isn't understood; it stops delivery, nothing is judged."""
    found = job(("at: grille", "at: nowhere"))

    assert (found.model, found.exit_code, found.judgements) == (None, STOPS_DELIVERY, ())
    assert codes(found)


@pytest.mark.parametrize("text", ["lamps: [", "\x00", "a: b: c\n"])
def test_text_that_can_not_be_read_ends_with_two(tmp_path: Path, text: str) -> None:
    """Case: nothing could be made of the text at all."""
    (tmp_path / "build.yaml").write_text(text, encoding="utf-8")
    found = check(tmp_path / "build.yaml", today=TODAY)

    assert found.exit_code == UNREADABLE
    assert found.findings


def test_file_that_is_not_there_ends_with_two(tmp_path: Path) -> None:
    """Case: a mistyped path."""
    found = check(tmp_path / "bild.yaml", today=TODAY)

    assert found.exit_code == UNREADABLE
    assert found.findings[0].code == "VER-001"


def test_look_that_breaks_is_told(job: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: no error is swallowed."""

    def broken(model: Any) -> tuple[Finding, ...]:
        raise RuntimeError("no such lever")

    monkeypatch.setattr(verdict_module, "_before_proof", broken)
    found = job()

    assert by_code(found, "VER-007").values["error"] == "RuntimeError: no such lever"
    assert found.exit_code == STOPS_DELIVERY


def test_every_rule_has_states_and_every_finding_a_place(job: Any) -> None:
    """Law: each rule of each pack is judged, the counts add up, and no finding is without a line."""
    found = job(("packs: [own]", "packs: [own, house, public-law-targets, optical-small-vehicle]"))

    judged = {judgement.rule.code for judgement in found.judgements}
    assert judged == {rule.code for pack in found.packs for rule in pack.rules}
    assert sum(found.counts.states.values()) == len(found.judgements)
    assert sum(sum(states.values()) for states in found.counts.by_status.values()) == len(found.judgements)
    assert {judgement.state for judgement in found.judgements} <= set(STATES)
    assert all(finding.where for finding in found.findings)
    assert all(judgement.state != "pass" for judgement in found.judgements if judgement.rule.is_draft)


def test_order_of_packs_in_the_build_decides_nothing(job: Any) -> None:
    """Law: the same packs in another order end in the same states."""
    one = job(("packs: [own]", "packs: [own, house, public-law-targets]"))
    other = job(("packs: [own]", "packs: [public-law-targets, own, house]"))

    def states(found: Verdict) -> list[tuple[str, str, str, str]]:
        return [(each.rule.code, each.about, each.state, each.would) for each in found.judgements]

    assert states(one) == states(other)
    assert len(states(one)) >= 30


def test_json_has_the_same_bytes_each_time(job: Any) -> None:
    """Law: same file in, same bytes out; readable, finite, and numbered."""
    changes = (("packs: [own]", "packs: [own, house, optical-small-vehicle]"),)
    text = json_text(job(*changes))

    assert text == json_text(job(*changes))
    read = json.loads(text)
    assert (read["format"], read["exit"], read["judged-on"]) == (FORMAT, STOPS_DELIVERY, "2027-01-15")
    assert sum(read["counts"]["states"].values()) == len(read["judgements"])


def test_json_numbers_are_si_with_their_unit(job: Any) -> None:
    """Case: a limit printed per minute is 4 Hz here."""
    (finding,) = [each for each in as_json(job(too_quick()))["findings"] if each["code"] == "OWN-001"]

    assert finding["limit"] == {"value": 4.0, "unit": "Hz"}
    assert finding["value"] == {"value": pytest.approx(1000 / 120), "unit": "Hz"}


@pytest.mark.slow
def test_json_is_the_same_under_another_hash_seed(job: Any, tmp_path: Path) -> None:
    """Law: nothing depends on the order in which a process happens to keep its sets."""
    job(("packs: [own]", "packs: [own, house, public-law-targets]"))
    program = (
        "import sys, datetime, pathlib; from coachwright.proof.verdict import check;"
        "from coachwright.proof.as_json import json_text;"
        "sys.stdout.write(json_text(check(pathlib.Path('build.yaml'), today=datetime.date(2027, 1, 15))))"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=tmp_path,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    }

    assert len(outputs) == 1


def test_progress_is_told(tmp_path: Path) -> None:
    """Case: what is being done."""
    (tmp_path / "build.yaml").write_text(BUILD.replace("[own]", "[house]"), encoding="utf-8")
    told: list[str] = []
    check(tmp_path / "build.yaml", progress=lambda doing, done, of: told.append(doing), today=TODAY)

    assert told[:2] == ["reading", "control"]
    assert "flash.rate" in told


CLAUSES = """- code: OWN-002
  name: label-not-shown
  asks: The load label is in the door opening.
  closed-by: photo
  photo-of: the load label
  cite: {source: contract, clause: "4.2", status: contract}
  why: So it was agreed.
  fix: Put the label on.
"""


@pytest.mark.parametrize(("status", "lists"), [("contract", "check --matrix"), ("house", "check --rules")])
def test_an_open_clause_is_looked_up_where_it_is_listed(job: Any, status: str, lists: str) -> None:
    """Case: the matrix shows contracts only, so the clauses of any other pack are looked up among all rules."""
    found = job(pack=("status: contract\nrules:\n", f"status: {status}\nrules:\n{CLAUSES}"))
    (told,) = [finding for finding in found.findings if finding.code == "VER-009"]

    assert told.fix is not None
    assert lists in told.fix.sentence


def test_a_clause_no_room_measures_is_told_open(job: Any) -> None:
    """Case: VER-009 names the rule and what it needs; it is counted, it stands in the JSON, and nothing is green."""
    found = job(pack=("rules:\n", f"rules:\n{CLAUSES}"))
    (told,) = [finding for finding in found.findings if finding.code == "VER-009"]
    (judgement,) = found.of_state("open")

    assert (told.severity, told.values["needed"]) == (
        "warning",
        "OWN-002 label-not-shown (a photo of the load label)",
    )
    assert found.counts.states["open"] == 1
    (said,) = [each for each in as_json(found)["judgements"] if each["code"] == "OWN-002"]
    assert (said["state"], said["closed-by"], said["needs"]) == ("open", "photo", "a photo of the load label")
    assert judgement.rule.limit.judge(False) == "fail"
