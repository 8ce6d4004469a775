"""Edits of a build file: only their own characters change, and what can't be done exactly isn't done."""

import os
from pathlib import Path

import pytest

from coachwright.build.edit import (
    BuildEdit,
    DeleteEntry,
    EditRefused,
    InsertEntry,
    RenameEntry,
    SetValue,
    edit_file,
    edit_text,
    from_fix,
    text_digest,
    undo_edit,
)
from coachwright.kit import finding
from coachwright.kit.nodes import read_nodes

BUILD = """\
# An invented job.
lamps:   # all of them
  # turned outward
  corner: {part: short, at: fender, aim: 45 deg}   # check on site
  visor:  {part: bar-8,
           at: top}
  push:
    part: short
    # where it goes
    at: bumper
groups:
  front: [visor, corner, "push"]
  side:
    - mirror   # first
    # about the rocker
    - rocker
    - {part: x, at: y}
job: {name: 'Duty, cars', due: "2027-03-15"}
note: |
  two
  lines

empty:
"""


def after(text: str, *edits: BuildEdit) -> str:
    """The text after the edits; the way back is tried as well."""
    edited = edit_text(text, edits)
    assert undo_edit(edited.text, edited) == text
    return edited.text


def changed(before: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that are gone and lines that are new."""
    old_lines, new_lines = before.splitlines(), new.splitlines()
    return [line for line in old_lines if line not in new_lines], [line for line in new_lines if line not in old_lines]


CASES = [
    (
        "a value in brackets",
        SetValue("lamps.corner.aim", "40 deg"),
        ["  corner: {part: short, at: fender, aim: 45 deg}   # check on site"],
        ["  corner: {part: short, at: fender, aim: 40 deg}   # check on site"],
    ),
    ("a value on a line of its own", SetValue("lamps.push.at", "grille"), ["    at: bumper"], ["    at: grille"]),
    (
        "an entry gets another name",
        RenameEntry("lamps.corner", "fender"),
        ["  corner: {part: short, at: fender, aim: 45 deg}   # check on site"],
        ["  fender: {part: short, at: fender, aim: 45 deg}   # check on site"],
    ),
    (
        "a field in brackets gets another name",
        RenameEntry("lamps.corner.aim", "elevation"),
        ["  corner: {part: short, at: fender, aim: 45 deg}   # check on site"],
        ["  corner: {part: short, at: fender, elevation: 45 deg}   # check on site"],
    ),
    (
        "quotes put without need stay",
        SetValue("job.due", "2028-01-31"),
        ["job: {name: 'Duty, cars', due: \"2027-03-15\"}"],
        ["job: {name: 'Duty, cars', due: \"2028-01-31\"}"],
    ),
    (
        "quotes that are needed no more go",
        SetValue("job.name", "Duty cars"),
        ["job: {name: 'Duty, cars', due: \"2027-03-15\"}"],
        ['job: {name: Duty cars, due: "2027-03-15"}'],
    ),
    (
        "quotes come where YAML needs them",
        SetValue("groups.front.1", "a, b"),
        ['  front: [visor, corner, "push"]'],
        ['  front: ["a, b", corner, "push"]'],
    ),
    ("off and 007 stay bare words", SetValue("lamps.push.at", "off"), ["    at: bumper"], ["    at: off"]),
    ("a comment sign is quoted", SetValue("lamps.push.at", "a #b"), ["    at: bumper"], ['    at: "a #b"']),
    ("a value where none stood", SetValue("empty", "here"), ["empty:"], ["empty: here"]),
    ("a text over lines", SetValue("note", "one line"), ["note: |", "  two", "  lines"], ["note: one line"]),
    (
        "a block gives way to one line",
        SetValue("lamps.push", {"part": "long", "at": "a: b"}),
        ["  push:", "    part: short", "    # where it goes", "    at: bumper"],
        ['  push: {part: long, at: "a: b"}'],
    ),
    (
        "an entry goes with its line and the comment on it",
        DeleteEntry("lamps.corner"),
        ["  corner: {part: short, at: fender, aim: 45 deg}   # check on site"],
        [],
    ),
    ("an item goes with its dash", DeleteEntry("groups.side.1"), ["    - mirror   # first"], []),
    (
        "an item in brackets goes with its comma",
        DeleteEntry("groups.front.2"),
        ['  front: [visor, corner, "push"]'],
        ['  front: [visor, "push"]'],
    ),
    (
        "the last in brackets too",
        DeleteEntry("groups.front.3"),
        ['  front: [visor, corner, "push"]'],
        ["  front: [visor, corner]"],
    ),
    (
        "the last on its own line",
        DeleteEntry("lamps.visor.at"),
        ["  visor:  {part: bar-8,", "           at: top}"],
        ["  visor:  {part: bar-8}"],
    ),
    (
        "the first on the opening line",
        DeleteEntry("lamps.visor.part"),
        ["  visor:  {part: bar-8,", "           at: top}"],
        ["  visor:  {at: top}"],
    ),
    (
        "a new entry behind another",
        InsertEntry("lamps", {"part": "x"}, name="tail", after="corner"),
        [],
        ["  tail: {part: x}"],
    ),
    ("a new entry at the end", InsertEntry("", "3", name="count"), [], ["count: 3"]),
    (
        "a new item in brackets",
        InsertEntry("groups.front", "tail", after="1"),
        ['  front: [visor, corner, "push"]'],
        ['  front: [visor, tail, corner, "push"]'],
    ),
    ("a new item behind the last dash", InsertEntry("groups.side", "step"), [], ["    - step"]),
    ("a new name where nothing stood", InsertEntry("empty", "1", name="x"), [], ["  x: 1"]),
    (
        "a new line in brackets over lines",
        InsertEntry("lamps.visor", "2 deg", name="aim"),
        ["           at: top}"],
        ["           at: top,", "           aim: 2 deg}"],
    ),
]


@pytest.mark.parametrize(("edit", "gone", "new"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_one_edit_changes_its_own_lines(edit: BuildEdit, gone: list[str], new: list[str]) -> None:
    """Case: which lines are gone and which are new; all others stand as they stood."""
    assert changed(BUILD, after(BUILD, edit)) == (gone, new)


@pytest.mark.parametrize("line_break", ["\n", "\r\n", "\r"])
def test_line_breaks_stay_what_they_are(line_break: str) -> None:
    """Case: a file from another system keeps its line breaks, also in new lines."""
    text = BUILD.replace("\n", line_break)
    new = after(text, InsertEntry("lamps", "x", name="tail"), DeleteEntry("groups.side.1"), SetValue("note", "n"))

    assert set(new.splitlines(keepends=True)) - {line + line_break for line in new.splitlines()} == set()


def test_a_file_without_last_line_break_stays_without() -> None:
    """Case: the new line becomes the last one, and the deleted last line leaves none behind."""
    assert after("a: 1", InsertEntry("", "2", name="b")) == "a: 1\nb: 2"
    assert after("a: 1\nb: 2", DeleteEntry("b")) == "a: 1"
    assert after("a:\n  b: 2", SetValue("a", "1")) == "a: 1"


def test_a_byte_order_mark_stays() -> None:
    """Case: some editors put one; the digest looks past it."""
    assert after("\ufeffa: 1\r\nb: 2\r\n", SetValue("b", "3")) == "\ufeffa: 1\r\nb: 3\r\n"
    assert text_digest("\ufeffa: 1") == text_digest("a: 1")


def test_an_emptied_container_is_an_empty_one() -> None:
    """Case: what a person expects of `groups: {front: [visor]}` after visor is gone."""
    assert after("g: {front: [visor]}\n", DeleteEntry("g.front.1")) == "g: {front: []}\n"
    assert after("g:\n  front:\n    - visor\nh: 1\n", DeleteEntry("g.front.1")) == "g:\n  front: []\nh: 1\n"
    assert after("g:   # all\n  front: x\n", DeleteEntry("g.front")) == "g: {}   # all\n"
    assert after("# top\ng: 1\n", DeleteEntry("g")) == "# top\n"
    assert after("- 1\n", DeleteEntry("1")) == "[]\n"
    assert after("- a: 1\n- b\n", DeleteEntry("1.a")) == "- {}\n- b\n"


def test_the_first_entry_behind_a_dash_leaves_its_place_to_the_next() -> None:
    """Case: `- part: x` over `at: y` becomes `- at: y`, with the comment above it."""
    assert after("l:\n  - part: x\n    at: y\n", DeleteEntry("l.1.part")) == "l:\n  - at: y\n"
    assert after("- part: x\n  # where\n  at: y\n", DeleteEntry("1.part")) == "- # where\n  at: y\n"
    assert after("- - a\n  - b\n", DeleteEntry("1.1")) == "- - b\n"


def test_a_comment_in_brackets_stays_with_its_entry() -> None:
    """Case: entries on lines of their own, with and without a last comma."""
    text = "a: {\n  b: 1,  # one\n  c: 2,\n}\n"

    assert after(text, DeleteEntry("a.b")) == "a: {\n  c: 2,\n}\n"
    assert after(text, DeleteEntry("a.c")) == "a: {\n  b: 1,  # one\n}\n"
    assert after(text, InsertEntry("a", "3", name="d")) == "a: {\n  b: 1,  # one\n  c: 2,\n  d: 3,\n}\n"
    assert after(text, InsertEntry("a", "3", name="d", after="b")) == "a: {\n  b: 1,  # one\n  d: 3,\n  c: 2,\n}\n"
    without = "a: {\n  b: 1,  # one\n  c: 2\n}\n"
    assert after(without, DeleteEntry("a.c")) == "a: {\n  b: 1  # one\n}\n"
    assert after(without, InsertEntry("a", "3", name="d")) == "a: {\n  b: 1,  # one\n  c: 2,\n  d: 3\n}\n"


def test_several_edits_use_the_paths_of_the_text_they_are_for() -> None:
    """Case: numbers of items mean the items as they stood, whatever is deleted before them."""
    text = "l: [a, b, c, d]\nm:\n  - a\n  - b\n"

    assert after(text, DeleteEntry("l.1"), DeleteEntry("l.3"), SetValue("l.4", "x")) == "l: [b, x]\nm:\n  - a\n  - b\n"
    assert after(text, DeleteEntry("m.2"), DeleteEntry("m.1")) == "l: [a, b, c, d]\nm: []\n"
    inserted = after(text, InsertEntry("l", "y"), InsertEntry("l", "z"), DeleteEntry("l.4"))
    assert inserted == "l: [a, b, c, y, z]\nm:\n  - a\n  - b\n"


REFUSALS = [
    ("a: 1\n", SetValue("b", "2"), "b isn't in the file."),
    ("a: 1\n", SetValue("", "2"), "the top of the file isn't in the file."),
    ("a: 1\n", DeleteEntry("a.b"), "a.b isn't in the file."),
    ("a: [x]\n", DeleteEntry("a.0"), "a.0 isn't in the file."),
    ("a: [x]\n", DeleteEntry("a.2"), "a.2 isn't in the file."),
    ("a: {b: 1}\n", InsertEntry("a", "2", name="b"), "a has a b already."),
    ("a: {b: 1}\n", InsertEntry("a", "2", name="c", after="d"), "a has no d."),
    ("a: [x]\n", InsertEntry("a", "2", name="c"), "a is a list, whose entries have no name."),
    ("a: {b: 1}\n", InsertEntry("a", "2"), "a is no list."),
    ("a: word\n", InsertEntry("a", "2", name="c"), "a is no list."),
    (
        "a: [\n",
        SetValue("a", "x"),
        "Mend this first; then it can be edited.",
    ),
    (
        "a: &x 1\nb: *x\n",
        SetValue("a", "2"),
        "Mend this first; then it can be edited.",
    ),
    (
        "a: 1\na: 2\n",
        DeleteEntry("a"),
        "a is written in a way that can't be edited exactly. Change it in the file by hand.",
    ),
    ("a: 1\n", SetValue("a", "\ud800"), "The new value holds half a character; it can't be written to a file."),
]


@pytest.mark.parametrize(("text", "edit", "said"), REFUSALS)
def test_what_cannot_be_done_exactly_is_refused(text: str, edit: BuildEdit, said: str) -> None:
    """Case: the sentence that is said, or how it ends where kit.nodes says what is wrong with the text."""
    with pytest.raises(EditRefused) as refused:
        edit_text(text, [edit])
    assert str(refused.value).endswith(said)


def test_edits_that_touch_each_other_are_refused() -> None:
    """Case: which of the two was meant can't be known."""
    for other in (SetValue("a.b", "2"), DeleteEntry("a"), InsertEntry("a", "3", name="c")):
        with pytest.raises(EditRefused, match="Two edits touch each other: a and a"):
            edit_text("a: {b: 1}\n", [DeleteEntry("a"), other])


def test_a_text_that_has_moved_on_is_left_alone() -> None:
    """Case: the digest of what was seen has to be that of what is there; so has the way back."""
    seen = text_digest("a: 1\n")
    edited = edit_text("a: 1\n", [SetValue("a", "2")], seen=seen)

    assert edited.text == "a: 2\n"
    with pytest.raises(EditRefused, match=r"build\.yaml has changed since it was read"):
        edit_text("a: 1\n ", [SetValue("a", "2")], seen=seen, file="build.yaml")
    with pytest.raises(EditRefused, match="has changed since the edit"):
        undo_edit("a: 3\n", edited)


def test_a_fix_of_a_finding_becomes_edits() -> None:
    """Case: its text is read as YAML; a name that isn't there yet is added."""
    text = "f: {a: {rank: warn}, b: {rank: warn, when: x}}\n"
    fix = [finding.Edit("f.a.wins-over", "[b]"), finding.Edit("f.b.rank", "task"), finding.Edit("f.b.when", None)]

    edits = from_fix(fix, text)

    assert edits == (
        InsertEntry(("f", "a"), ["b"], name="wins-over"),
        SetValue(("f", "b", "rank"), "task"),
        DeleteEntry(("f", "b", "when")),
    )
    assert after(text, *edits) == "f: {a: {rank: warn, wins-over: [b]}, b: {rank: task}}\n"
    empty = "signals:\n  brake:\n"
    assert after(empty, *from_fix([finding.Edit("signals.brake.lost", "on")], empty)) == f"{empty}    lost: on\n"
    with pytest.raises(EditRefused, match=r"the top of the file isn't in the file\."):
        edit_text(text, from_fix([finding.Edit("", "x")], text))


# the file


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    """Case: bytes, permissions and a link to the file stay; nothing is left beside it."""
    real = tmp_path / "real.yaml"
    real.write_bytes(b"# caf\xc3\xa9\r\na: 1\r\n")
    real.chmod(0o640)
    link = tmp_path / "build.yaml"
    link.symlink_to(real)

    edited = edit_file(link, [SetValue("a", "2")], seen=text_digest(real.read_bytes().decode()))

    assert real.read_bytes() == b"# caf\xc3\xa9\r\na: 2\r\n"
    assert edited.digest == text_digest(real.read_bytes().decode())
    assert link.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert sorted(path.name for path in tmp_path.iterdir()) == ["build.yaml", "real.yaml"]


def test_a_refused_edit_leaves_the_file(tmp_path: Path) -> None:
    """Case: a missing file, no text, another digest, a path that isn't there."""
    path = tmp_path / "build.yaml"
    with pytest.raises(EditRefused, match="can't be read as text"):
        edit_file(path, [SetValue("a", "2")])
    path.write_bytes(b"a: \xff\n")
    with pytest.raises(EditRefused, match="can't be read as text"):
        edit_file(path, [SetValue("a", "2")])
    path.write_bytes(b"a: 1\n")
    for edits, seen in (([SetValue("b", "2")], None), ([SetValue("a", "2")], "0" * 64)):
        with pytest.raises(EditRefused):
            edit_file(path, edits, seen=seen)
    assert path.read_bytes() == b"a: 1\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_disk_that_fails_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: whichever step fails (write, sync, rename), the old file is there and nothing is left beside it."""
    path = tmp_path / "build.yaml"

    def broken(*_: object) -> None:
        raise OSError(28, "No space left on device")

    for owner, name in ((os, "fsync"), (os, "fchmod"), (Path, "replace")):
        path.write_bytes(b"a: 1\n")
        with monkeypatch.context() as patch:
            patch.setattr(owner, name, broken)
            with pytest.raises(EditRefused, match=r"can't be written: No space left on device\."):
                edit_file(path, [SetValue("a", "2")])
        assert path.read_bytes() == b"a: 1\n"
        assert list(tmp_path.iterdir()) == [path]


def test_somebody_else_who_writes_meanwhile_wins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: between reading and replacing the file changed; the edit is refused and their text stays."""
    path = tmp_path / "build.yaml"
    path.write_bytes(b"a: 1\n")
    sync = os.fsync

    def meanwhile(handle: int) -> None:
        path.write_bytes(b"a: theirs\n")
        sync(handle)

    monkeypatch.setattr(os, "fsync", meanwhile)
    with pytest.raises(EditRefused, match="has changed while it was edited"):
        edit_file(path, [SetValue("a", "2")])

    assert path.read_bytes() == b"a: theirs\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_protected_file_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: a file that may not be written isn't replaced through its folder (root, who may, is told no)."""
    path = tmp_path / "build.yaml"
    path.write_bytes(b"a: 1\n")
    path.chmod(0o444)
    monkeypatch.setattr(os, "access", lambda _path, mode: mode != os.W_OK)
    with pytest.raises(EditRefused, match="write-protected"):
        edit_file(path, [SetValue("a", "2")])

    assert path.read_bytes() == b"a: 1\n"


def test_the_sample_is_read_as_it_looks() -> None:
    """Print: the sample of this page says what a reader of YAML 1.1 sees in it."""
    plain = read_nodes(BUILD, file="build.yaml").plain
    assert isinstance(plain, dict)

    assert plain["groups"] == {
        "front": ["visor", "corner", "push"],
        "side": ["mirror", "rocker", {"part": "x", "at": "y"}],
    }
    assert plain["note"] == "two\nlines\n"


def test_a_name_that_is_there_already_is_not_given_twice() -> None:
    """Law: a rename never makes two of one name; giving an entry its own name changes nothing."""
    text = "lamps: {a: x, b: y}\n"

    with pytest.raises(EditRefused, match="beside lamps"):
        edit_text(text, [RenameEntry("lamps.a", "b")])
    with pytest.raises(EditRefused, match="isn't in the file"):
        edit_text(text, [RenameEntry("lamps.c", "d")])
    assert edit_text(text, [RenameEntry("lamps.a", "a")]).text == text


def test_an_item_of_a_list_has_no_name() -> None:
    """Case: refused in a sentence."""
    with pytest.raises(EditRefused):
        edit_text("a: [x, y]\n", [RenameEntry("a.1", "z")])


def test_a_fix_may_rename_and_may_name_a_key_with_dots() -> None:
    """Case: paths of options have dots in their names, so a fix may give the pieces."""
    text = "options: {a: {add: {lamps.bar: {prt: x}}}}\n"
    fix = [finding.Edit(("options", "a", "add", "lamps.bar", "prt"), "part", on_key=True)]

    assert edit_text(text, from_fix(fix, text)).text == text.replace("prt", "part")
