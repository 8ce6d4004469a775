"""The verdict at the prompt: what was found, how the rules ended, and one sentence that answers first.

Findings that stop delivery stand in full with their line; so do warnings. Drafts are listed in brackets, one line
each, for they stop nothing. The last block is the summary, so that it stays on the screen.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby

from coachwright.build.model import Model
from coachwright.control.ambiguity import looked_at
from coachwright.kit.counted import counted
from coachwright.kit.finding import Finding
from coachwright.look.cells import (
    Line,
    cite_text,
    finding_lines,
    limit_cell,
    margin_cell,
    one_line,
    standing_cell,
    state_cell,
    worst_cell,
)
from coachwright.look.style import STATES
from coachwright.proof.judge import Judgement, State
from coachwright.proof.verdict import UNREADABLE, Verdict

WIDTH = 110
CLASH = "CTL-001"
CAUTION = "An engineering estimate, not a certificate: measured acceptance, local law and the contract decide."

_ROLE_STYLES = {
    "place": "bright_black",
    "code": "bold",
    "about": "cyan",
    "source": "",
    "caret": "bold red",
    "said": "",
    "fix": "italic",
    "cite": "bright_black",
    "severity": "bold",
}


def report_lines(verdict: Verdict, *, every_rule: bool = False, coloured: bool = False) -> Iterator[str]:
    """The whole report. `every_rule` lists every rule with its state; `coloured` puts terminal colours in."""
    texts = {verdict.file: verdict.text}
    drafts = [finding for finding in verdict.findings if _is_draft(finding)]
    for finding in verdict.findings:
        if finding.severity == "note" or _is_draft(finding):
            continue
        yield from (_line(line, coloured) for line in finding_lines(finding, texts=texts, width=WIDTH))
        yield ""
    notes = [finding for finding in verdict.findings if finding.severity == "note" and not _is_draft(finding)]
    if notes:
        yield "Notes"
        yield from _wrapped(one_line(notes))
        yield ""
    if drafts:
        yield "Drafts: figures nobody has checked against the printed page; they pass nothing and stop nothing"
        yield from _wrapped(one_line(drafts))
        yield ""
    if every_rule:
        yield from _rules(verdict.judgements)
    yield from summary_lines(verdict)


def summary_lines(verdict: Verdict) -> Iterator[str]:
    """The last block: the answer, then the counts."""
    model = verdict.model
    if model is not None:
        job = model.job
        number = f", {job.number} revision {job.revision}" if job.number else ""
        own_n = sum(head.reach == "own" for head in model.heads)
        heads = f"{own_n} heads of ours, {len(model.heads) - own_n} of the vehicle's"
        yield f"{job.name} for {job.customer}{number}: {model.count} to build, {heads}."
    yield answer_sentence(verdict)
    if model is not None:
        yield ambiguity_sentence(verdict, model)
        yield counts_sentence(verdict)
    yield f"{CAUTION}  Digest {verdict.digest[:12]}."


def answer_sentence(verdict: Verdict) -> str:
    """Can it be delivered?"""
    errors = verdict.counts.findings["error"]
    warnings = verdict.counts.findings["warning"]
    if verdict.exit_code == UNREADABLE:
        return "The text can't be read, so nothing was judged."
    if verdict.model is None:
        return f"The build can't be understood yet: {counted(errors, 'finding')} to mend first; nothing was judged."
    told = f"{counted(warnings, 'finding')} to be read" if warnings else "nothing else to be read"
    if errors:
        verb = "stops" if errors == 1 else "stop"
        return f"It can't be delivered like this: {counted(errors, 'finding')} {verb} delivery, {told}."
    return f"Nothing found stops delivery; {told}."


def ambiguity_sentence(verdict: Verdict, model: Model) -> str:
    """Can two functions of one rank want one head with nothing to decide between them, and how was that found?"""
    clashing = sum(finding.code == CLASH for finding in verdict.findings)
    settings = str(looked_at(model))
    if clashing:
        return f"Looked at: {settings}; {counted(clashing, 'finding')} where nothing decides who has a head."
    return f"Looked at: {settings}; in none of them do two functions want one head with nothing to decide between them."


def counts_sentence(verdict: Verdict) -> str:
    """How the rules ended; targets and drafts apart, for neither stops anything."""
    states, targets = verdict.counts.states, verdict.counts.by_status.get("target", {})
    ended: tuple[State, ...] = ("pass", "near", "fail", "waived")
    by_rules = {state: states[state] - targets.get(state, 0) for state in ended}
    said = [f"{count} {STATES[state].word}" for state, count in by_rules.items() if count]
    would = verdict.counts.draft_would
    drafts = verdict.counts.drafts_n
    applicable = sum(count for state, count in states.items() if state != "not-applicable")
    text = f"{applicable} judgements by {counted(len(verdict.packs), 'pack')}: {', '.join(said) or 'none that count'}"
    if any(targets.get(state) for state in ended):
        words = {"pass": "reached", "near": "barely", "fail": "missed", "waived": "waived"}
        text += f"; targets {', '.join(f'{targets[state]} {words[state]}' for state in ended if targets.get(state))}"
    if drafts:
        text += f"; {drafts} draft (would pass {would['pass']}, near {would['near']}, fail {would['fail']})"
    if states["open"]:
        text += f"; {states['open']} open until there is a record"
    if states["not-measured"]:
        text += f"; {states['not-measured']} not measured"
    if states["not-applicable"]:
        text += f"; {states['not-applicable']} don't apply"
    return f"{text}."


def _is_draft(finding: Finding) -> bool:
    return finding.cite is not None and finding.cite.is_draft


def _wrapped(lines: Iterable[str]) -> Iterator[str]:
    for line in lines:
        yield from textwrap.wrap(line, WIDTH, initial_indent="  ", subsequent_indent="      ") or [""]


def _rules(judgements: Iterable[Judgement]) -> Iterator[str]:
    for pack, of_pack in groupby(judgements, key=lambda each: each.pack):
        yield f"Rules of {pack}"
        for judgement in of_pack:
            lead = f"  {judgement.rule.code}  {state_cell(judgement).text:<16} {judgement.rule.name}"
            if judgement.state in ("not-applicable", "open"):
                yield f"{lead}: {judgement.why}"
                continue
            measure = judgement.measure
            where = f" at {measure.where}" if measure is not None and measure.where else ""
            situation = f" in {measure.situation}" if measure is not None and measure.situation else ""
            margin = margin_cell(judgement).text
            yield (
                f"{lead} [{judgement.about}]: {worst_cell(judgement).text}{where}{situation}, "
                f"limit {limit_cell(judgement.rule).text}{f', margin {margin}' if margin else ''}; "
                f"{standing_cell(judgement).text}; {cite_text(judgement.rule.cite)}"
            )
        yield ""


def _line(line: Line, coloured: bool) -> str:
    if not coloured:
        return str(line)
    from rich.console import Console
    from rich.text import Text

    text = Text()
    for role, stretch in line.stretches:
        text.append(stretch, style=_ROLE_STYLES.get(role, ""))
    console = Console(width=WIDTH + 40, force_terminal=True, highlight=False)
    with console.capture() as captured:
        console.print(text, end="", soft_wrap=True)
    return captured.get()
