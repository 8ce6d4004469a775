"""The whole door: stages in their order, clean branches go on, and whatever comes in, an answer comes out."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build import load
from coachwright.build.load import load_build, read_build
from coachwright.build.model import Model
from coachwright.kit.errors import DoorRefused
from coachwright.parts.store import Catalogue
from tests.build import small
from tests.build.conftest import Case, check_case, spoken


def read(text: str, catalogue: Catalogue) -> Model:
    """The model of a good build."""
    loaded = read_build(text, catalogue=catalogue)
    assert loaded.model is not None, [f"{each.where[0]} {spoken(each)}" for each in loaded.findings]
    return loaded.model


def test_the_good_build_has_nothing_to_tell(catalogue: Catalogue) -> None:
    """Case: a model, and not one finding."""
    loaded = read_build(small.whole(), catalogue=catalogue)

    assert loaded.findings == ()
    assert loaded.model is not None
    assert loaded.model.version == 1


def test_every_stage_tells_its_own(case: Case) -> None:
    """A fault of the text, of a field, of a name and of two things together, in one look.

    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: none}
      scene: {kind: toggle, at: console.panel, tell-tale: [follows}
    #                                                     ^ BLD-001
      wail: {kind: button, at: console.panel, lst: "off"}
    #                                         ^^^ BLD-012 Closest: lost.
      ring: {kind: button, at: console.panel}
    lamps:
      grille: {part: short-red, at: grile, pair: mirrored}
    #                               ^^^^^ BLD-052
      tail: {part: short-red-amber, at: tail, pair: mirrored}
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
    limits:
      dim: {when: night, scale-to: 40 %, of: [road]}
    #                                         ^^^^ BLD-088
    stops:
      low: {when: supply < 12 V held 1 min, stops: [scene-on, ease], resume: later}
    #                                                                        ^^^^^ BLD-014
    """
    check_case(case)


def test_what_names_something_broken_is_not_blamed(case: Case) -> None:
    """One fault, one finding: groups, functions, promises and situations that name it stay silent.

    controls:
      slide: {kind: slde, positions: ["off", low, full], at: console.panel}
    #               ^^^^ BLD-014 slide
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: none}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel}
    """
    check_case(case)


def test_a_section_that_is_lost_blames_nobody(case: Case) -> None:
    """All lamps in a text that can't be composed.

    lamps:
      grille: {part: short-red, at: grille
    #         ^ BLD-001
       tail: {part: short-red-amber, at: tail, pair: mirrored}
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
    """
    found = case.found()

    assert [(each.line, each.code) for each in found] == [(case.expected[0].line, "BLD-001")]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"a: \xff\xfe\n", "b.yaml:1: the byte 0xff isn't UTF-8"),
        (b"\xff\xfea\x00", "UTF-16"),
        (b"a: 1\nb: \x00\n", "isn't a text file"),
    ],
)
def test_what_is_no_text_is_refused_whole(tmp_path: Path, data: bytes, sentence: str, catalogue: Catalogue) -> None:
    """Case: one clear sentence, with the line where there is one."""
    path = tmp_path / "b.yaml"
    path.write_bytes(data)

    with pytest.raises(DoorRefused) as refused:
        load_build(path, catalogue=catalogue)
    assert sentence in str(refused.value)


def test_what_is_not_there_is_refused(tmp_path: Path, catalogue: Catalogue) -> None:
    """Case: no file, and a folder in its place."""
    with pytest.raises(DoorRefused, match="isn't there"):
        load_build(tmp_path / "no.yaml", catalogue=catalogue)
    with pytest.raises(DoorRefused, match="is a folder"):
        load_build(tmp_path, catalogue=catalogue)


def test_ten_million_characters_and_one_are_refused(catalogue: Catalogue) -> None:
    """Case: before anything is read of it."""
    with pytest.raises(DoorRefused, match="A build is a few thousand lines"):
        read_build("#" * 10_000_001, catalogue=catalogue)


def test_a_byte_order_mark_and_carriage_returns_shift_nothing(tmp_path: Path, catalogue: Catalogue) -> None:
    """Case: what editors of another system add; marks hold for the text as it lies in the file."""
    plain = small.whole(count="count: none")
    path = tmp_path / "b.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + plain.replace("\n", "\r\n").encode())
    loaded = load_build(path, catalogue=catalogue)
    mark = loaded.findings[0].where[0]
    line = plain.splitlines().index("count: none") + 1

    assert [each.code for each in loaded.findings] == ["BLD-009"]
    assert (mark.line, mark.column) == (line, 8)
    assert loaded.document.text[mark.start : mark.end] == "none"


def test_findings_end_somewhere(catalogue: Catalogue) -> None:
    """Case: a file with thousands of faults tells the first five hundred and how many are left."""
    words = "\n".join(f"  w-{number}: nothing-{number}" for number in range(700))
    loaded = read_build(small.whole(words=f"words:\n{words}"), catalogue=catalogue)

    assert len(loaded.findings) == load.MOST_FINDINGS + 1
    assert loaded.findings[-1].code == "BLD-096"
    assert "more findings" in spoken(loaded.findings[-1])


def test_the_digest_is_of_the_meaning(catalogue: Catalogue) -> None:
    """Law: comments, spaces and quotes don't count; a word does, and so does the part behind a name."""
    text = small.whole()
    spaced = "# a comment\n" + text.replace("job: {name: Small van, ", 'job:   {name: "Small van",   ')
    other = small.small_catalogue(fan=small.PARTS["fan"].replace("3 A", "4 A"))
    one = read(text, catalogue).digest

    assert read(spaced, catalogue).digest == one
    assert read(text.replace("40 %", "41 %"), catalogue).digest != one
    assert read(text, other).digest != one


def test_paths_lead_back_to_the_text(catalogue: Catalogue) -> None:
    """Law: every path of the model has a mark, except of what the vehicle says itself."""
    loaded = read_build(small.whole(), catalogue=catalogue)
    model = loaded.model
    assert model is not None
    things = (model.words, model.memories, model.functions, model.limits, model.stops, model.situations)
    shows = [show for function in model.functions for show in function.shows]
    shows += [show for function in model.functions for level in function.levels for show in level.shows]

    for each in (*[one for group in things for one in group], *shows, *(one for show in shows for one in show.colours)):
        assert loaded.document.mark(each.path) is not None, each.path


# ---- laws


def shuffled_sections(draw: st.DrawFn) -> str:
    """The good build with its sections and their entries in another order."""
    texts = []
    for name in draw(st.permutations(list(small.BASE))):
        head, *entries = entries_of(small.BASE[name])
        ordered = draw(st.permutations(entries)) if name not in ("memory",) else entries
        texts.append("\n".join([head, *ordered]))
    return "\n".join(texts) + "\n"


def entries_of(text: str) -> list[str]:
    """A section's head line and the lines of each entry."""
    found: list[str] = []
    for line in text.splitlines():
        if line.startswith("  ") and not line.startswith("   "):
            found.append(line)
        elif found and line.startswith("   "):
            found[-1] += "\n" + line
        else:
            found.append(line)
    return found


def as_sets(model: Model) -> dict[str, object]:
    """A model without the order of its file."""
    plain = replace(model, digest="")
    ordered = {"ranks", "packs"}
    return {
        each.name: frozenset(value) if isinstance(value, tuple) and each.name not in ordered | {"parts"} else value
        for each in fields(plain)
        if each.name not in ("body", "job", "parts")
        for value in [getattr(plain, each.name)]
    } | {"parts": tuple(name for name, _ in model.parts), "job": model.job.name}


@given(st.data())
def test_order_means_nothing(data: st.DataObject) -> None:
    """Law: sections and entries in any order make the same model, as sets."""
    catalogue = small.small_catalogue()
    text = data.draw(st.composite(shuffled_sections)())

    assert as_sets(read(text, catalogue)) == as_sets(read(small.whole(), catalogue))


@given(st.data())
def test_reading_again_gives_the_same(data: st.DataObject) -> None:
    """Law: what was remembered from another file changes nothing."""
    catalogue = small.small_catalogue()
    text = data.draw(st.composite(shuffled_sections)())
    first = read_build(text, catalogue=catalogue)
    read_build(text.replace("short-red-amber", "short-rd"), catalogue=catalogue)
    again = read_build(text, catalogue=catalogue)

    assert again.model == first.model
    assert again.findings == first.findings
