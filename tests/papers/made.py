"""A verdict by hand, with a rule in every state, on the job of tests.draw.made."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from coachwright.build.model import Model
from coachwright.draw.rose import RoseCurve
from coachwright.flash.waves import HeadWave, LitPart
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.wave import Wave
from coachwright.papers.light_and_time import Asked
from coachwright.proof.gather import Answer
from coachwright.proof.judge import STATES, Judgement, judge
from coachwright.proof.verdict import Counts, Verdict
from coachwright.proof.waive import WaivedFinding
from coachwright.rules.schema import Pack
from tests.draw.made import job_model
from tests.proof.made import measure, pack, rule

TEXT = """coachwright: 1
job:
  name: Duty command pickups
lamps:
  grille: {part: short-red-white, at: grille, pair: mirrored}
  tail: {part: short-red-amber-white, at: tail-inner}
"""
LINE_OF_GRILLE, LINE_OF_TAIL = "line 5:11", "line 6:9"


def packs() -> tuple[Pack, ...]:
    """A house pack and a standard whose figures nobody has read."""
    house = pack(
        rule("HSE-001", name="it-passes"),
        rule("HSE-002", name="it-is-near", near="20 %"),
        rule("HSE-003", name="it-fails"),
        rule("HSE-004", name="it-is-waived"),
        rule("HSE-005", name="it-was-not-measured"),
        rule("HSE-006", name="it-does-not-apply", applies={"colour": "blue"}),
        name="house",
    )
    standard = pack(
        rule("STD-001", name="draft-would-fail", status="draft"),
        rule("STD-002", name="draft-would-pass", status="draft"),
        name="standard",
        status="standard",
    )
    return house, standard


VALUES_HZ = {
    "HSE-001": 2.0,
    "HSE-002": 1.1,
    "HSE-003": 0.7,
    "HSE-004": 0.6,
    "HSE-005": None,
    "STD-001": 0.5,
    "STD-002": 3.0,
}


def judgements(model: Model) -> tuple[Judgement, ...]:
    """One of every state, by the judge himself; one of them waived."""
    made: list[Judgement] = []
    for each in packs():
        for one in each.rules:
            about = "lamps.tail" if one.code == "HSE-004" else "lamps.grille"
            value = VALUES_HZ.get(one.code, 2.0)
            facts = {"colour": "red"}
            found = judge(
                each,
                one,
                [Answer((measure(value, about=about, facts=facts, where="grille.left", situation="answering"),))],
            )
            made.extend(found)
    return tuple(
        replace(each, state="waived", waiver=model.waivers[0]) if each.rule.code == "HSE-004" else each for each in made
    )


def verdict(model: Model | None = None, **changes: Any) -> Verdict:
    """The verdict; `changes` replace its fields."""
    model = job_model() if model is None else model
    judged = judgements(model)
    findings = (
        Finding("HSE-003", "it-fails", "error", "Here it is {value}.", {"value": "slow"}, about="lamps.grille",
                where=(Mark("build.yaml", 5, 11, 62, 110),), fix=Fix("Flash faster.")),
        Finding("CTL-120", "story", "warning", "It comes to nought.", story=("Slide goes to full.", "None lights.")),
    )  # fmt: skip
    states = Counter(each.state for each in judged)
    by_status: dict[Any, Counter[Any]] = {}
    for each in judged:
        by_status.setdefault(each.status, Counter())[each.state] += 1
    waived = next(each for each in judged if each.state == "waived")
    assert waived.finding is not None
    made = Verdict(
        file="build.yaml",
        text=TEXT,
        model=model,
        packs=packs(),
        findings=findings,
        judgements=judged,
        waived=(WaivedFinding(waived.finding, model.waivers[0]),),
        counts=Counts(
            states={state: states[state] for state in STATES},
            by_status={status: {state: count[state] for state in STATES} for status, count in by_status.items()},
            draft_would=dict(Counter(each.would for each in judged if each.state == "draft")),
            findings={"error": 1, "warning": 1, "note": 0},
        ),
        digest="5ad9f1a64c0be86b0c9d3f2277aa1b0e",
        exit_code=1,
        judged_on="2026-11-25",
    )
    return replace(made, **changes)


def waves_by_hand(model: Model, situation: str) -> Sequence[HeadWave]:
    """Left heads flash red in the first half, right ones in the second; the rest is dark."""
    wave = Wave.of([(70, 1.0), (60, 0.0), (70, 1.0), (300, 0.0)])
    return tuple(
        HeadWave(
            head.id,
            "controller",
            (LitPart("red", wave.shift(250 if head.side == "right" else 0), False, False, "warning", "warn", "x"),)
            if head.side
            else (),
            Wave.constant(0.0),
        )
        for head in model.heads
    )


def curves_by_hand(model: Model, situation: str) -> Sequence[RoseCurve]:
    """Red all round and amber to the rear."""
    bearings = tuple(math.radians(degrees) for degrees in range(0, 360, 5))
    return (
        RoseCurve("effective intensity", "red", bearings, tuple(800.0 for _ in bearings)),
        RoseCurve(
            "effective intensity", "amber", bearings, tuple(max(0.0, -900 * math.cos(each)) for each in bearings)
        ),
    )


BY_HAND = Asked(waves_by_hand, curves_by_hand)
