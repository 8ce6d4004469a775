"""The kept verdicts: our own output, held so that no change goes unseen. It proves nothing else."""

import json
from pathlib import Path

import pytest

from coachwright.proof.verdict import check
from tools import keep_verdict

KEPT = [build for build in keep_verdict.builds() if (build.parent / "verdict.json").is_file()]


@pytest.mark.parametrize("build", KEPT, ids=lambda path: path.parent.name)
def test_the_verdict_is_the_kept_one(build: Path) -> None:
    """Snapshot: when a change is meant, look at the difference and run python tools/keep_verdict.py."""
    kept = json.loads((build.parent / "verdict.json").read_text(encoding="utf-8"))
    now = json.loads(keep_verdict.text_of(build))

    assert now["exit"] == kept["exit"]
    assert now["findings"] == kept["findings"]
    changed = {
        code: (kept["rules"].get(code), now["rules"].get(code))
        for code in sorted(kept["rules"].keys() | now["rules"].keys())
        if kept["rules"].get(code) != now["rules"].get(code)
    }
    assert changed == {}


def test_every_finished_example_has_a_kept_verdict() -> None:
    """Law: an example with a README has a verdict beside it."""
    assert keep_verdict.builds()
    assert keep_verdict.builds() == KEPT


@pytest.mark.parametrize("build", KEPT, ids=lambda path: path.parent.name)
def test_every_judgement_and_finding_is_kept(build: Path) -> None:
    """Law: nothing a verdict says of a rule and its subject is left out of what is kept."""
    verdict = check(build, today=keep_verdict.JUDGED_ON)
    kept = keep_verdict.kept(verdict)

    assert sum(len(subjects) for subjects in kept["rules"].values()) == len(verdict.judgements)
    assert {line.split()[0] for line in kept["findings"]} == {finding.code for finding in verdict.findings}
    assert all(
        said.split()[0].rstrip(":") in {each.state for each in verdict.judgements}
        for subjects in kept["rules"].values()
        for said in subjects.values()
    )


@pytest.mark.parametrize(
    ("value", "said"), [(0.123456, "0.123"), (783523.3, "7.84e+05"), (True, "yes"), (False, "no"), ("proved", "proved")]
)
def test_numbers_are_kept_to_three_digits(value: float | str | bool, said: str) -> None:
    """Law: the last digits differ between machines; three of them hold still."""
    assert keep_verdict._three_digits(value) == said
