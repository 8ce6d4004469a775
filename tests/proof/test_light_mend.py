"""A mend of a finding about light: it passes after it, nothing is worse, and where there is none that is said."""

import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from coachwright.build.edit import edit_text, from_fix
from coachwright.build.load import read_build
from coachwright.build.mend import mended
from coachwright.kit.finding import Finding
from coachwright.parts.store import load_catalogue
from coachwright.proof import light_mend
from coachwright.proof.judge import Judgement
from coachwright.proof.light_mend import is_about_light, light_fix, search, worse_than
from coachwright.proof.verdict import Verdict, verdict_of

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = load_catalogue()
WORST = {"pass": 0, "not-applicable": 0, "open": 0, "waived": 0, "near": 1, "fail": 2, "not-measured": 3}


def verdict(text: str) -> Verdict:
    loaded = read_build(text, file="build.yaml", catalogue=CATALOGUE)
    return verdict_of(loaded, folder=None, progress=lambda *_: None, today=date(2026, 11, 25))


@cache
def house(name: str) -> str:
    """An example judged by the house alone, which is quicker."""
    text = (ROOT / "examples" / name / "build.yaml").read_text(encoding="utf-8")
    return re.sub(r"(?m)^packs: .*$", "packs: [house]", text)


def planted(name: str, *changes: tuple[str, str]) -> str:
    """An example with a fault put into it."""
    text = house(name)
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


MIRROR = "mirror:    {part: short-red-white, at: mirror-under, pair: mirrored, aim: %s}"
FORWARD = planted("volunteer-car", (MIRROR % "90 deg", MIRROR % "10 deg"))
"""The mirror lamps look ahead instead of aside: from both sides only one lamp is seen, in several situations."""

TAIL = "tail:      {part: short-red-amber-white, at: tail-inner, pair: mirrored%s}"
ASIDE = planted("volunteer-car", (TAIL % "", TAIL % ", aim: 70 deg"))
"""The tail lamps look aside."""


def of(text: str, code: str, about: str) -> Finding:
    return next(each for each in verdict(text).findings if (each.code, each.about) == (code, about))


def states(found: Verdict) -> dict[tuple[str, str], Judgement]:
    return {(each.rule.code, each.about): each for each in found.judgements}


def check_mend(text: str, finding: Finding) -> str:
    """Search one; where there is a mend, apply it as `fix` does and look at everything anew. What it was, or ""."""
    before = verdict(text)
    fix = light_fix(text, finding, before, verdict)
    if not fix.edits:
        assert "No one lamp" in fix.sentence
        assert fix.kind == "show-only"
        return ""
    assert fix.kind == "ask"
    after = verdict(edit_text(text, from_fix(fix.edits, text)).text)
    had, has = states(before), states(after)
    assert (finding.code, finding.about) not in {(each.code, each.about) for each in after.findings}
    assert has[finding.code, finding.about].finding is None
    for key, each in has.items():
        was = had.get(key)
        state, old = (one.would or one.state if one.state == "draft" else one.state for one in (each, was or each))
        assert WORST[state] <= (WORST[old] if was is not None else 0), (finding.code, key)
        if was is not None and state == old == "fail" and each.worst is not None and was.worst is not None:
            room, was_room = each.worst.room, was.worst.room
            if room is not None and was_room is not None:
                assert room >= was_room - 1e-5 * max(1.0, abs(was_room)), (finding.code, key)
    rules = {code for code, _ in has}
    old_findings = {(each.code, each.about) for each in before.findings}
    assert [
        each for each in after.findings if each.code not in rules and (each.code, each.about) not in old_findings
    ] == []
    return fix.sentence


# --------------------------------------------------------------------------------------------------------------- case
@pytest.mark.slow
def test_a_lamp_that_looks_the_wrong_way_is_turned_back() -> None:
    """Case: mirror lamps at 10 deg instead of 90: turned by the least whole degrees after which two lamps are seen."""
    finding = of(FORWARD, "HSE-100", "situations.answering")
    found = search(FORWARD, finding, verdict(FORWARD), verdict)
    assert found.change is not None
    assert found.change.said.startswith("mirror turned by ")
    (edit,) = found.change.edits
    assert edit.path == ("lamps", "mirror", "aim")
    least_deg = int(str(edit.text).split()[0])

    def passes(aim_deg: int) -> bool:
        text = FORWARD.replace(MIRROR % "10 deg", MIRROR % f"{aim_deg} deg")
        return ("HSE-100", "situations.answering") not in {(each.code, each.about) for each in verdict(text).findings}

    assert passes(least_deg)
    assert not passes(least_deg - 1)
    assert check_mend(FORWARD, finding)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "code", "about"),
    [
        (FORWARD, "HSE-100", "situations.on-scene-off"),
        pytest.param(FORWARD, "HSE-102", "situations.answering-night", marks=pytest.mark.long),
        pytest.param(FORWARD, "HSE-036", "lamps.quarter", marks=pytest.mark.long),
        (house("quillback"), "HSE-038", "lamps.cap-bar"),
        pytest.param(house("quillback"), "HSE-040", "lamps.grille", marks=pytest.mark.long),
        (house("service-patrol"), "HSE-101", "situations.blocking"),
        pytest.param(house("service-patrol"), "HSE-102", "situations.blocking", marks=pytest.mark.long),
    ],
    ids=lambda value: value if isinstance(value, str) and len(value) < 60 else "",
)
def test_a_mend_that_is_offered_mends_and_hurts_nothing(text: str, code: str, about: str) -> None:
    """Law: after the edit the finding is gone and nothing is worse; where there is no mend it says so."""
    check_mend(text, of(text, code, about))


@pytest.mark.long
@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_every_mend_of_the_examples_mends_and_hurts_nothing(name: str) -> None:
    """Law: the same of every finding about light that an example has, by all of its packs."""
    text = (ROOT / "examples" / name / "build.yaml").read_text(encoding="utf-8")
    before = verdict(text)
    light = [each for each in before.findings if is_about_light(before, each.code)]
    offered = [said for said in (check_mend(text, finding) for finding in light) if said]

    assert light
    assert len(offered) <= len(light)


@pytest.mark.long
@pytest.mark.parametrize("text", [FORWARD, ASIDE], ids=["forward", "aside"])
def test_every_mend_of_a_planted_fault_mends_and_hurts_nothing(text: str) -> None:
    """Law: the same of every finding about light a planted fault brings; some of them have a mend."""
    before = verdict(text)
    offered = [
        said
        for said in (check_mend(text, each) for each in before.findings if is_about_light(before, each.code))
        if said
    ]

    assert offered


@pytest.mark.slow
def test_fix_makes_it_and_tells_what_has_none() -> None:
    """Case: `mended` asks for the fix when its turn comes, makes it, and lists what can't be mended with the reason."""
    looked: list[str] = []

    def mend_of(text: str, finding: Finding) -> object:
        looked.append(finding.about)
        return light_fix(text, finding, verdict(text), verdict)

    result = mended(
        FORWARD,
        lambda text: verdict(text).findings,
        code="HSE-100",
        at="situations.answering",
        kinds=["ask"],
        mend_of=mend_of,  # type: ignore[arg-type]
    )
    assert [step.finding.about for step in result.steps] == ["situations.answering"]
    assert "mirror turned" in str(result.steps[0].finding.fix)
    none = mended(
        house("quillback"),
        lambda text: verdict(text).findings,
        code="HSE-038",
        kinds=["ask"],
        mend_of=mend_of,  # type: ignore[arg-type]
    )
    assert none.steps == ()
    (left,) = none.without
    assert left.fix is not None
    assert "cap-bar moved by" in left.fix.sentence  # it would, but not without another rule
    assert looked == ["situations.answering", "lamps.cap-bar"]


# --------------------------------------------------------------------------------------------------------------- law
@pytest.mark.slow
def test_the_search_ends_the_same_way_and_within_its_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: the same text, the same mend; no more looks and whole verdicts than are allowed, however few those are."""
    finding, before = of(FORWARD, "HSE-100", "situations.answering"), verdict(FORWARD)
    one, other = (search(FORWARD, finding, before, verdict) for _ in range(2))
    assert one.change is not None
    assert other.change is not None
    assert one.change.edits == other.change.edits
    assert one.looks_n <= light_mend.MOST_LOOKS_N
    assert one.whole_n <= light_mend.MOST_WHOLE_N

    monkeypatch.setattr(light_mend, "MOST_LOOKS_N", 3)
    few = search(FORWARD, finding, before, verdict)
    assert few.looks_n <= 3
    assert few.change is None


def test_the_same_verdict_is_not_worse_and_a_lamp_less_is() -> None:
    """Law: nothing is worse than itself; a build whose mirror lamps look ahead is worse than one whose look aside."""
    good, bad = verdict(house("volunteer-car")), verdict(FORWARD)

    assert worse_than(good, good) == ""
    assert "would be worse" in worse_than(good, bad)
    assert "HSE" in worse_than(good, bad)


def test_only_rules_about_light_are_worked_out() -> None:
    """Case: a rule of control has no lamp to turn; neither has a finding no verdict knows."""
    found = verdict(house("quillback"))

    assert is_about_light(found, "HSE-038")
    assert not is_about_light(found, "HSE-044")
    assert not is_about_light(found, "CTL-014")
    strange = Finding("HSE-034", "bearing-unseen-by-day", "error", "none", about="situations.nowhere")
    assert search(house("quillback"), strange, found, verdict).change is None
