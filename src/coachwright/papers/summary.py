"""What is the answer in one sentence? Can the vehicle be delivered, and how do its checks stand?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coachwright.kit.counted import counted
from coachwright.look.style import STATES

if TYPE_CHECKING:
    from coachwright.proof.judge import State
    from coachwright.proof.verdict import Counts, Verdict


_TARGET_WORDS: dict[State, str] = {"pass": "reached", "near": "barely", "fail": "missed", "waived": "waived"}


def answer_sentence(verdict: Verdict) -> str:
    """Whether anything stops delivery."""
    if verdict.exit_code == 2 or (verdict.model is None and not verdict.judgements):
        return "The build can't be read as a vehicle; nothing was judged."
    errors_n = verdict.counts.findings.get("error", 0)
    if errors_n == 0:
        return "Nothing was found that stops delivery."
    return f"{counted(errors_n, 'finding stops', 'findings stop')} delivery."


def checks_sentence(counts: Counts) -> str:
    """``31 checks pass, 2 near, 1 fails; 44 are drafts and pass nothing``; every state that occurs is named.

    A check is one rule for one subject. Targets are told apart, for they stop nothing.
    """
    states, targets = counts.states, counts.by_status.get("target", {})
    if not any(states.values()):
        return "No rule was judged."
    held = {state: states[state] - targets.get(state, 0) for state in ("pass", "near", "fail", "waived")}
    passing = [
        f"{counted(held['pass'], 'check passes', 'checks pass')}",
        f"{held['near']} near",
        counted(held["fail"], "fails", "fail"),
    ]
    if held["waived"]:
        passing.append(f"{held['waived']} waived")
    pieces = [", ".join(passing)]
    reached = [f"{targets[state]} {word}" for state, word in _TARGET_WORDS.items() if targets.get(state)]
    if reached:
        pieces.append(f"targets {', '.join(reached)}")
    if states["draft"]:
        pieces.append(_drafts(counts))
    if states["open"]:
        pieces.append(f"{counted(states['open'], 'is', 'are')} open until there is a record")
    if states["not-measured"]:
        pieces.append(f"{states['not-measured']} could not be measured, which is no pass")
    if states["not-applicable"]:
        pieces.append(f"{states['not-applicable']} not applicable")
    return "; ".join(pieces) + "."


def _drafts(counts: Counts) -> str:
    drafts_n = counts.states["draft"]
    would_fail_n = counts.draft_would.get("fail", 0)
    said = f"{counted(drafts_n, 'is a draft and passes nothing', 'are drafts and pass nothing')}"
    return f"{said} ({would_fail_n} would fail)" if would_fail_n else said


STATE_MEANS = {
    "pass": "inside the limit",
    "near": "inside, with little to spare",
    "fail": "outside the limit",
    "waived": "outside; somebody lets it stand",
    "draft": "the figure was not checked against the printed page: it passes nothing and stops nothing",
    "open": "no room can measure it: open until there is a record of bench, photo or signature",
    "not-measured": "no room measures it yet: no pass",
    "not-applicable": "nothing of that kind in this job",
}
"""What each state of look.style means, for the reader of a paper."""

assert STATE_MEANS.keys() == STATES.keys()
