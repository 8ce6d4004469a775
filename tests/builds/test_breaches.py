"""Deliberate breaches: each must be found, by its code, about its subject, at its very line and column."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from coachwright.proof.verdict import Verdict

HERE = "‸"
"""Stands in front of the character that the finding has to name first."""


@dataclass(frozen=True)
class Breach:
    """What is done to the example, and what has to be said about it.

    changes : (what stands there once, what is put in its place); one of the second holds the mark.
    """

    name: str
    code: str
    about: str
    changes: tuple[tuple[str, str], ...]

    def text(self, whole: str) -> tuple[str, tuple[int, int]]:
        """The broken build, with line and column of the mark."""
        for old, new in self.changes:
            assert whole.count(old) == 1, f"{old!r} stands {whole.count(old)} times in the example"
            whole = whole.replace(old, new)
        before, found, after = whole.partition(HERE)
        assert found, "no mark in the breach"
        return before + after, (before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)


def waiver(name: str, code: str, about: str, until: str) -> str:
    """One waiver more, in front of the one the build has."""
    fields = f'code: {code}, about: {about}, by: shop lead, why: trial, until: "{until}"'
    return f"  {name}: {HERE}{{{fields}}}\n  aircraft-rate:\n"


DOOR = [
    Breach("an aim without unit", "BLD-004", "lamps.corner.aim", (("aim: 45 deg", f"aim: {HERE}45"),)),
    Breach("an aim in pounds", "BLD-006", "lamps.corner.aim", (("aim: 45 deg", f"aim: {HERE}45 lb"),)),
    Breach(
        "a part nobody has", "BLD-011", "lamps.visor.part", (("part: bar-8-red-white", f"part: {HERE}bar-8-red-whit"),)
    ),
    Breach(
        "a place that is not there", "BLD-052", "lamps.corner.at", (("at: fender-corner", f"at: {HERE}fender-corners"),)
    ),
    Breach(
        "a lamp nobody named",
        "BLD-055",
        "functions.warning.levels.full.1.on.1",
        (("[{on: [front, mirror], red", f"[{{on: [{HERE}fornt, mirror], red"),),
    ),
    Breach(
        "a head too many",
        "BLD-056",
        "functions.takedown-on.show.1.on.1",
        (("on: [visor.3-6, grille", f"on: [{HERE}visor.3-9, grille"),),
    ),
    Breach(
        "words that read each other",
        "BLD-070",
        "words.parked",
        (("  parked: gear == P or (park-brake", f"  {HERE}parked: gear == P or (tray-in-use"),),
    ),
    Breach("a name written twice", "BLD-002", "count", (("count: 6\n", f"count: 6\n{HERE}count: 7\n"),)),
    Breach(
        "an arrow on three heads",
        "BLD-084",
        "functions.arrow-run.levels.left.1.amber",
        (("[{on: cap-bar, amber: run-left}]", f"[{{on: cap-bar.4-6, amber: {HERE}run-left}}]"),),
    ),
    Breach(
        "brake light made dimmer",
        "BLD-088",
        "limits.night-dim.of.4",
        (("of: [warn, ease, traffic]}\n  low-dim", f"of: [warn, ease, traffic, {HERE}road]}}\n  low-dim"),),
    ),
    Breach(
        "a speed the vehicle never reaches",
        "BLD-078",
        "situations.answering.speed",
        (("speed: 45 mph\n", f"speed: {HERE}145 mph\n"),),
    ),
    Breach(
        "a slide that has no such position",
        "BLD-032",
        "situations.answering.slide",
        (("    slide: full\n    gear: D", f"    slide: {HERE}fulll\n    gear: D"),),
    ),
    Breach(
        "the vehicle's own lamp taken dark in parallel",
        "CTL-017",
        "functions.beam-flash.show.1.dark",
        (("[{on: high-beam, white: single sides}]", f"[{{on: high-beam, dark: {HERE}yes}}]"),),
    ),
]

CONTROL = [
    Breach(
        "a colour the part does not have",
        "CTL-015",
        "functions.gate-warn.show.1.blue",
        (("[{on: gate-edge, amber: single sides}]", f"[{{on: gate-edge, blue: {HERE}single sides}}]"),),
    ),
    Breach(
        "two functions of one rank on one head",
        "CTL-001",
        "functions.turn-left-shows",
        (
            (
                "turn-left-shows:  {rank: road, when: turn-left, wins-over: [brake-shows], show",
                f"turn-left-shows:  {HERE}{{rank: road, when: turn-left, show",
            ),
        ),
    ),
    Breach(
        "a siren that goes on in Park",
        "HSE-001",
        "functions.siren",
        (
            (
                "when: tone != standby and slide == full and not parked",
                f"when: {HERE}tone != standby and slide == full",
            ),
            ("      - {on: becomes parked, to: standby} ", "      # "),
        ),
    ),
    Breach(
        "a low tone without end",
        "HSE-004",
        "functions.low-tone-on",
        (("when: first 20 s of low-tone, sound", f"when: {HERE}low-tone, sound"),),
    ),
    Breach(
        "a horn that stays cut",
        "HSE-005",
        "functions.horn-hush",
        (
            (
                "when: hands-free and slide == full and not parked, interrupt",
                f"when: {HERE}hands-free or not parked, interrupt",
            ),
        ),
    ),
    Breach(
        "a hatch switch that may darken the rear",
        "HSE-009",
        "signals.hatch",
        (("hatch:      {lost: closed}", f"hatch:      {{lost: {HERE}open}}"),),
    ),
    Breach(
        "white to the front in Park",
        "HSE-020",
        "situations.on-scene",
        (
            ("    at-most: {mid: parked} ", "    # "),
            ("on-scene: {slide: mid, gear: P", "on-scene: {slide: full, gear: P"),
            ("sides, white: single other-sides}]", f"sides, white: {HERE}single other-sides}}]"),
        ),
    ),
    Breach(
        "white to the rear by a switch",
        "HSE-022",
        "functions.scene-on",
        (("rank: task, when: scene and parked,", f"rank: task, when: {HERE}scene,"),),
    ),
    Breach(
        "cruise light beside the warning",
        "HSE-024",
        "functions.cruise-on",
        (("when: cruise and slide == off, show", f"when: {HERE}cruise, show"),),
    ),
    Breach(
        "a switch that darkens the brake",
        "HSE-013",
        "controls.slide",
        (
            (
                "brake-shows: {rank: road, when: brake and not parked, show",
                f"brake-shows: {HERE}{{rank: road, when: brake and not parked and slide != full, show",
            ),
        ),
    ),
    Breach(
        "high beams that flash beside the headlamps",
        "HSE-014",
        "functions.beam-flash",
        (
            (
                "    when: wigwag and slide == full and not parked and not headlamps",
                f"    when: {HERE}wigwag and slide == full and not parked",
            ),
        ),
    ),
    Breach(
        "warning lost with the panel",
        "HSE-006",
        "situations.answering",
        (
            ("asleep: reads-off, lost: hold}", 'asleep: reads-off, lost: "off"}'),
            ("  warning:\n    rank: warn", f"  {HERE}warning:\n    rank: warn"),
        ),
    ),
    Breach(
        "warning shed at low supply",
        "HSE-007",
        "situations.answering",
        (
            ("stops: [scene-on, alley-left-on", "stops: [warning, scene-on, alley-left-on"),
            ("  warning:\n    rank: warn", f"  {HERE}warning:\n    rank: warn"),
        ),
    ),
    Breach(
        "a promise a situation breaks",
        "HSE-026",
        "promises.crew-dark",
        (
            (
                "hatch-open: {rank: open, when: hatch == open, show",
                "hatch-open: {rank: open, when: hatch == closed, show",
            ),
            ("  crew-dark:  {when: tray-in-use", f"  crew-dark:  {HERE}{{when: tray-in-use"),
        ),
    ),
]

LIGHT_AND_TIME = [
    Breach(
        "a flash too fast for the eye",
        "HSE-027",
        "functions.warning",
        (
            (
                "full: [{on: [front, mirror], red: double sides, white",
                f"full: [{{on: [front, mirror], red: {HERE}double 600 per min sides, white",
            ),
        ),
    ),
    Breach(
        "an angle lamp that lights the fender", "PLC-001", "lamps.corner.aim", (("aim: 45 deg", f"aim: {HERE}145 deg"),)
    ),
    Breach(
        "two lamps in one spot",
        "PLC-003",
        "lamps.push.at",
        (
            (
                "push:        {part: short-red-white, at: bumper-front",
                f"push:        {{part: short-red-white, at: {HERE}grille",
            ),
        ),
    ),
]

PAPERS = [
    Breach(
        "a waiver that is over",
        "VER-020",
        "waivers.glass",
        (
            (
                "  aircraft-rate:\n",
                waiver("glass", "HSE-038", "lamps.cap-bar", "2026-10-01"),
            ),
        ),
    ),
    Breach(
        "a waiver for what may not be waived",
        "VER-022",
        "waivers.measured",
        (
            (
                "  aircraft-rate:\n",
                waiver("measured", "VER-004", "packs", "2027-10-01"),
            ),
        ),
    ),
    Breach("a pack nobody has", "RUL-001", "packs", (("packs: [house,", f"packs: {HERE}[hose,"),)),
    Breach(
        "what the law forbids",
        "VER-011",
        "functions.warning.levels.low.1",
        (
            ("red-rear: {answer: permitted", "red-rear: {answer: forbidden"),
            ("      low:  [{on: rear, red", f"      low:  [{HERE}{{on: rear, red"),
        ),
    ),
    Breach(
        "a question of law without an answer",
        "VER-010",
        "job.law.amber-rear",
        (
            ("  law:\n", f"  {HERE}law:\n"),
            ("    amber-rear: {answer: permitted, paper: vehicle code of the invented state}\n", ""),
        ),
    ),
]

BREACHES = [*DOOR, *CONTROL, *LIGHT_AND_TIME, *PAPERS]


@pytest.mark.parametrize("breach", BREACHES, ids=lambda breach: breach.name)
def test_a_breach_is_found_at_its_line_and_column(
    breach: Breach, quillback: str, judged: Callable[[str], Verdict]
) -> None:
    """Case: the finding has this code, is about this subject, and its first mark is the character that is wrong."""
    text, place = breach.text(quillback)
    verdict = judged(text)
    found = [finding for finding in verdict.findings if (finding.code, finding.about) == (breach.code, breach.about)]

    assert found, [(finding.code, finding.about) for finding in verdict.findings]
    assert (found[0].where[0].line, found[0].where[0].column) == place
    assert not [finding for finding in verdict.findings if finding.code in ("VER-002", "VER-003", "VER-006", "VER-007")]


@pytest.mark.parametrize("breach", BREACHES, ids=lambda breach: breach.name)
def test_the_unbroken_build_has_no_such_finding(
    breach: Breach, quillback: str, judged: Callable[[str], Verdict]
) -> None:
    """Case: without the breach nobody says so; a finding that is always there would prove nothing."""
    said = {(finding.code, finding.about) for finding in judged(quillback).findings}

    assert (breach.code, breach.about) not in said


def test_breaches_are_of_many_kinds() -> None:
    """Law: thirty and more breaches, no two with one code about one subject."""
    assert len(BREACHES) >= 30
    assert len({(breach.code, breach.about) for breach in BREACHES}) == len(BREACHES)
    assert len({breach.code for breach in BREACHES}) >= 28


@pytest.mark.parametrize("breach", [*CONTROL, *LIGHT_AND_TIME], ids=lambda breach: breach.name)
def test_a_breach_does_not_hide_behind_another_reading(
    breach: Breach, quillback: str, judged: Callable[[str], Verdict]
) -> None:
    """Law: a build that can be understood is judged whole: every rule still ends in some state."""
    whole, broken = judged(quillback), judged(breach.text(quillback)[0])

    assert {judgement.rule.code for judgement in broken.judgements} == {
        judgement.rule.code for judgement in whole.judgements
    }
