"""The lock beside a build: what is written can be read again, and a hostile one is told, never followed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import load_build, read_build
from coachwright.build.lock import MOST_CHARACTERS, lock_path, lock_text, read_lock, read_lock_text
from coachwright.build.model import Decision, Fixed
from tests.build import small

CATALOGUE = small.small_catalogue()
DIGEST = "0123456789abcdef"
FUSE = Decision("equipment.main-siren", "fuse", "15 A", "fuses", DIGEST)
GAUGE = Decision("lamps.tail.left", "gauge", "18 AWG", "wires", DIGEST, (("power", "none"),))
LOCK = f"""\
# What solvers chose for build.yaml. coachwright settle writes this file; the next run reads it.
# A choice of your own belongs under fixed: in the build, and wins over what stands here.
coachwright-lock: 1
decisions:
- {{about: equipment.main-siren, what: fuse, value: 15 A, by: fuses, from: {DIGEST}}}
- {{about: lamps.tail.left, what: gauge, value: 18 AWG, when: {{power: none}}, by: wires, from: {DIGEST}}}
"""

NAMES = st.from_regex(r"[a-z][a-z0-9]{0,6}(-[a-z0-9]{1,4})?", fullmatch=True)
DECISIONS = st.builds(
    Decision,
    st.builds(lambda space, name: f"{space}.{name}", st.sampled_from(["equipment", "feeds", "lamps"]), NAMES),
    st.sampled_from(["gauge", "fuse", "channel"]),
    st.text(min_size=1, max_size=12, alphabet=st.characters(blacklist_categories=["Cs", "Cc"])).filter(str.strip),
    NAMES,
    st.from_regex(r"[0-9a-f]{16}", fullmatch=True),
    st.dictionaries(NAMES, NAMES, max_size=2).map(lambda chosen: tuple(sorted(chosen.items()))),
)


def told(text: str) -> list[tuple[int, int, str, str]]:
    """Line, column, code and words of what is wrong with a lock."""
    return [
        (each.where[0].line, each.where[0].column, each.code, str(each.values["why"]))
        for each in read_lock_text(text, file="build.lock.yaml").findings
    ]


def test_it_is_written_one_decision_a_line_and_sorted() -> None:
    """Case: the text for the eye, whatever the order the decisions came in."""
    assert lock_text([GAUGE, FUSE], build="build.yaml") == LOCK
    assert lock_text([], build="build.yaml").endswith("decisions: []\n")


@given(st.lists(DECISIONS, max_size=8, unique_by=lambda each: (each.subject, each.what, each.choices)))
def test_what_is_written_is_read(decisions: list[Decision]) -> None:
    """Law: nothing is lost on the way, and writing again gives the same bytes."""
    text = lock_text(decisions, build="build.yaml")
    lock = read_lock_text(text, file="build.lock.yaml")

    assert lock.findings == ()
    assert [_bare(each) for each in lock.decisions] == [
        _bare(each) for each in sorted(decisions, key=lambda each: (each.subject, each.what, each.choices))
    ]
    assert lock_text(lock.decisions, build="build.yaml") == text


def _bare(decision: Decision) -> tuple[object, ...]:
    return (decision.subject, decision.what, decision.value, decision.by, decision.decided_from, decision.choices)


def test_each_decision_knows_its_line() -> None:
    """Case: a finding about a decision can lead to where it stands."""
    lock = read_lock_text(LOCK, file="build.lock.yaml")

    assert lock.document is not None
    mark = lock.document.mark(lock.decisions[0].path)
    assert mark is not None
    assert (mark.file, mark.line) == ("build.lock.yaml", 5)


def test_the_lead_wins_and_own_decisions_come_first() -> None:
    """Case: of one subject a decision for these choices beats the one for all; what is fixed beats both."""
    for_all = Decision("equipment.box", "fuse", "10 A", "fuses", DIGEST)
    own = Decision("equipment.box", "fuse", "20 A", "fuses", DIGEST, (("power", "none"),))
    lock = read_lock_text(lock_text([for_all, own, FUSE], build="b"), file="l")
    base, other = (("power", "fan"),), (("power", "none"),)

    assert [each.value for each in lock.for_choices(base, base)] == ["10 A", "15 A"]
    assert [each.value for each in lock.for_choices(other, base)] == ["20 A", "15 A"]
    fixed = [Fixed("equipment.box", "fuse", "30 A", "fixed.box.fuse")]
    assert [each.subject for each in lock.for_choices(other, base, fixed=fixed)] == ["equipment.main-siren"]


def test_a_build_is_read_with_its_lock(tmp_path: Path) -> None:
    """Case: decisions stand in the model; another vehicle's don't."""
    path = tmp_path / "van.yaml"
    path.write_text(small.whole())
    assert lock_path(path).name == "van.lock.yaml"
    lock_path(path).write_text(LOCK)

    model = load_build(path, catalogue=CATALOGUE).model

    assert model is not None
    assert [(each.subject, each.value) for each in model.decisions] == [("equipment.main-siren", "15 A")]


def test_another_decision_is_another_model(tmp_path: Path) -> None:
    """Law: what is remembered by a model's digest may rest on its decisions, so they are part of it."""
    path = tmp_path / "van.yaml"
    path.write_text(small.whole())
    digests = []
    for lock in ("", LOCK, LOCK.replace("15 A", "20 A"), LOCK):
        lock_path(path).write_text(lock)
        model = load_build(path, catalogue=CATALOGUE).model
        assert model is not None
        digests.append(model.digest)

    assert len(set(digests)) == 3
    assert digests[1] == digests[3]


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("- a\n- b\n", 1, 1, "begins with coachwright-lock"),
        ("decisions: []\n", 1, 1, "begins with coachwright-lock"),
        ("coachwright-lock: 2\n", 1, 19, "version 1"),
        ("coachwright-lock: 1\nchosen: []\n", 2, 1, "no chosen"),
        ("coachwright-lock: 1\ndecisions: {a: b}\n", 2, 1, "A list of at most"),
        ("coachwright-lock: 1\ndecisions: [a]\n", 2, 13, "the fields about"),
        (LOCK.replace("15 A", '""'), 5, 52, "value is missing"),
        (LOCK.replace("equipment.main-siren", "../../etc"), 5, 11, "names no equipment"),
        (LOCK.replace(DIGEST, "not-a-digest", 1), 5, 75, "A digest belongs here"),
        (LOCK.replace("by: wires", "by: wires, why: so"), 6, 88, "no field why"),
        (LOCK.replace("{power: none}", "[power]"), 6, 62, "Options with the values"),
        (LOCK.replace("by: fuses", "by: Two Words"), 5, 3, "plain names"),
        (LOCK + LOCK.splitlines()[4] + "\n", 7, 3, "decided twice"),
    ],
)
def test_what_cannot_be_read_is_told_and_the_rest_holds(text: str, line: int, column: int, words: str) -> None:
    """BLD-170: each at its place; a decision that can't be read isn't used."""
    found = told(text)

    assert [(each[2], each[0], each[1]) for each in found] == [("BLD-170", line, column)], found
    assert words in found[0][3]
    if "about" in text and line > 4:
        assert len(read_lock_text(text, file="l").decisions) >= 1


def test_a_fault_of_the_text_itself() -> None:
    """Case: BLD-001 and its like are told with their place, as in a build."""
    found = told("coachwright-lock: 1\ndecisions: [\n")

    assert [each[2] for each in found] == ["BLD-001"]
    assert told("") == []


def test_files_that_are_none(tmp_path: Path) -> None:
    """BLD-170: a folder, a pipe, a device, bytes that are no text, a file too long: one sentence each, no wait."""
    path = tmp_path / "build.lock.yaml"
    assert read_lock(path).findings == ()
    path.mkdir()
    assert _codes(path) == ["BLD-170"]
    path.rmdir()
    os.mkfifo(path)
    assert _codes(path) == ["BLD-170"]
    path.unlink()
    path.symlink_to("/dev/zero")
    assert _codes(path) == ["BLD-170"]
    path.unlink()
    path.write_bytes(b"coachwright-lock: \xff\xfe\n")
    assert _codes(path) == ["BLD-170"]
    path.write_text("a" * (MOST_CHARACTERS + 1))
    assert _codes(path) == ["BLD-170"]


def _codes(path: Path) -> list[str]:
    return [each.code for each in read_lock(path).findings]


@given(
    st.text(max_size=80)
    | st.builds(lambda a, n: LOCK[:n] + a + LOCK[n + 3 :], st.text(max_size=5), st.integers(0, 400))
)
def test_whatever_stands_in_a_lock(text: str) -> None:
    """Law: findings with places inside the text, or decisions; never a traceback, nothing that stops delivery."""
    lock = read_lock_text(text, file="build.lock.yaml")

    for finding in lock.findings:
        assert 1 <= finding.where[0].line <= len(text.splitlines() or [""]) + 1
    loaded = read_build(small.whole(), catalogue=CATALOGUE, lock=lock)
    assert loaded.model is not None or any(each.severity == "error" for each in loaded.findings)
