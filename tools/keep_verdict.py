"""Write the kept verdict of each example: what a change of the program must not change unseen.

    python tools/keep_verdict.py             write verdict.json beside each build that has a README
    python tools/keep_verdict.py --check     say what would change, and write nothing

States by rule and subject, findings by code and subject, and the worst number of each judgement to three digits. It is
our own output: it proves nothing but that it did not change. Look at the difference before it is committed.
"""

import json
import sys
from datetime import date
from pathlib import Path
from typing import Any

from coachwright.proof.judge import Judgement
from coachwright.proof.verdict import Verdict, check

HERE = Path(__file__).resolve().parent.parent
JUDGED_ON = date(2026, 11, 25)


def kept(verdict: Verdict) -> dict[str, Any]:
    """What is kept of a verdict."""
    rules: dict[str, dict[str, str]] = {}
    for judgement in verdict.judgements:
        told = rules.setdefault(judgement.rule.code, {})
        name = judgement.about or "-"
        while name in told:
            name += "'"
        told[name] = _said(judgement)
    findings = sorted({f"{found.code} {found.severity} {found.about}".rstrip() for found in verdict.findings})
    return {"exit": verdict.exit_code, "findings": findings, "rules": dict(sorted(rules.items()))}


def _said(judgement: Judgement) -> str:
    state = f"{judgement.state} ({judgement.would})" if judgement.state == "draft" else judgement.state
    value = judgement.measure.value if judgement.measure is not None else None
    if value is None:
        return state
    return f"{state}: {_three_digits(value)}"


def _three_digits(value: float | str | bool) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.3g}" if isinstance(value, float) else str(value)


def text_of(build: Path) -> str:
    """The kept verdict of one build, as its file holds it."""
    return json.dumps(kept(check(build, today=JUDGED_ON)), indent=1, ensure_ascii=False) + "\n"


def builds() -> list[Path]:
    """Every example that is finished: it has a README."""
    return sorted(path for path in (HERE / "examples").glob("*/build.yaml") if (path.parent / "README.md").is_file())


def main(arguments: list[str]) -> int:
    behind = 0
    for build in builds():
        file = build.parent / "verdict.json"
        text = text_of(build)
        before = file.read_text(encoding="utf-8") if file.is_file() else ""
        if text == before:
            print(f"{file.relative_to(HERE)} has not changed")
            continue
        gone, come = _lines(before) - _lines(text), _lines(text) - _lines(before)
        print(f"{file.relative_to(HERE)}: {len(gone)} lines go, {len(come)} come")
        behind += 1
        if "--check" not in arguments:
            file.write_text(text, encoding="utf-8")
    return 1 if behind and "--check" in arguments else 0


def _lines(text: str) -> set[str]:
    return {line.strip().rstrip(",") for line in text.splitlines()}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
