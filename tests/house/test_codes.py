"""Every finding has a page, every page a finding, and no code means two things."""

import fnmatch
import importlib.util
import re
from collections import Counter
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

import coachwright
from coachwright.kit.nodes import read_nodes
from coachwright.look.codes import CodePage, explained, finding_pages

ROOT = Path(__file__).resolve().parents[2]
SOURCE = Path(coachwright.__file__).parent
HEADINGS = {"also called", "means", "what to do"}

OWNERS = {
    "BLD": {"build", "kit", "parts"},  # fields of kit are read by part files as well
    "PRT": {"parts"},
    "PLC": {"place"},
    "PWR": {"power"},
    "CTL": {"control"},
    "FLS": {"flash"},
    "LGT": {"light"},
    "RUL": {"rules"},
    "VER": {"proof"},
}
"""Who may say what."""


@cache
def reader() -> ModuleType:
    """emitted.py beside this file."""
    spec = importlib.util.spec_from_file_location("emitted", Path(__file__).with_name("emitted.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@cache
def emitted() -> dict[str, dict[str, set[str]]]:
    """Codes of the source, with names and files."""
    return reader().emitted(SOURCE)  # type: ignore[no-any-return]


def names_of(page: CodePage) -> list[str]:
    """The name of a page and all others it says."""
    also = dict(page.lines).get("also called", "")
    return [page.name, *(name.strip() for name in also.split(",") if name.strip())]


def test_every_code_has_a_page() -> None:
    """Law: whoever reads a code beside a finding can have it explained."""
    assert sorted(set(emitted()) - set(finding_pages())) == []


def test_every_page_has_a_code() -> None:
    """Law: a page of a finding nobody can get is a leftover."""
    assert sorted(set(finding_pages()) - set(emitted())) == []


def test_no_code_is_told_under_a_name_its_page_does_not_say() -> None:
    """Law: one code, one meaning. Where a fault has several faces the page lists their names."""
    strange = {
        code: sorted(
            name
            for name in names
            if not any(fnmatch.fnmatchcase(name, known) for known in names_of(finding_pages()[code]))
        )
        for code, names in emitted().items()
        if code in finding_pages()
    }

    assert {code: names for code, names in strange.items() if names} == {}


def test_no_page_says_a_name_nobody_tells() -> None:
    """Law: names on a page are those of the source."""
    gone = {
        code: [name for name in names_of(page) if not any(fnmatch.fnmatchcase(told, name) for told in emitted()[code])]
        for code, page in finding_pages().items()
        if code in emitted()
    }

    assert {code: names for code, names in gone.items() if names} == {}


def test_names_put_together_elsewhere_are_in_the_source() -> None:
    """Law: a name that does not stand beside its code still stands somewhere, whole or with its kind left open."""
    words = " ".join(path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py"))
    names = {name for names in reader().PUT_TOGETHER.values() for name in names}

    assert [name for name in sorted(names) if f'"{name}"' not in words and name != "message-not-known"] == []
    assert 'name=f"{what}-not-known"' in words


def test_each_room_tells_its_own_codes() -> None:
    """Print: the letters of a code say who tells it."""
    strangers = {
        code: sorted(
            path
            for paths in names.values()
            for path in paths
            if path.split("/")[0] not in OWNERS[code.partition("-")[0]]
        )
        for code, names in emitted().items()
    }

    assert {code: paths for code, paths in strangers.items() if paths} == {}


def test_pages_say_what_it_means_and_what_to_do() -> None:
    """Law: every page has both, in whole sentences without blame or exclamation."""
    for code, page in finding_pages().items():
        said = dict(page.lines)
        assert {"means", "what to do"} <= set(said) <= HEADINGS, code
        assert re.fullmatch(r"[a-z*]+(-[a-z*]+)*", page.name), code
        assert all(said[heading].endswith(".") and len(said[heading]) > 8 for heading in ("means", "what to do")), code
        assert not re.search(r"!(?!=)|\binvalid\b|\byou (must|failed)", " ".join(said.values())), code


def test_the_file_of_pages_reads_cleanly() -> None:
    """Law: no page is written twice, and nothing in the file is left out by the reader of it."""
    text = (SOURCE / "look" / "codes.yaml").read_text(encoding="utf-8")

    assert read_nodes(text, file="codes.yaml").findings == ()
    assert len(re.findall(r"(?m)^[A-Z]{3}-[0-9]{3}:", text)) == len(finding_pages())


def test_pages_stand_in_order() -> None:
    """Law: a page is found by running the finger down the numbers."""
    codes = list(finding_pages())

    for letters in OWNERS:
        of_room = [code for code in codes if code.startswith(letters)]
        assert of_room == sorted(of_room)


@pytest.mark.parametrize("code", ["BLD-004", "CTL-001", "VER-004", "HSE-014"])
def test_a_page_is_shown_by_explain(code: str) -> None:
    """Case: `coachwright explain` finds findings and rules alike."""
    page = explained(code)

    assert page is not None
    assert page.lines


def test_the_reader_of_the_source_bites() -> None:
    """Case: a code in a call, in a tuple, in a keyword, joined with its name, or with a part filled in is seen."""
    text = """
a = Finding("BLD-901", "one-name", "error")
b = ("BLD-902", f"{kind}-without-unit")
c = not_known(path, code="BLD-903", name="two-name")
d = tell("VER-904 three-name", "error")
e = _known(path, name, names, "PRT-905", "pane")
f = refused("four-name", "why")
"""
    found = reader().emitted_in(text)

    assert found == {
        "BLD-901": {"one-name"},
        "BLD-902": {"*-without-unit"},
        "BLD-903": {"two-name"},
        "VER-904": {"three-name"},
        "PRT-905": {"pane-not-known"},
        "RUL-002": {"four-name"},
    }


def cases() -> Counter[str]:
    """How often tests name each code, in files of cases as well; this folder's own files left out."""
    found: Counter[str] = Counter()
    for path in (ROOT / "tests").rglob("*"):
        if path.suffix in {".py", ".yaml"} and path.parent.name != "house":
            found.update(re.findall(r"\b[A-Z]{3}-[0-9]{3}\b", path.read_text(encoding="utf-8")))
    return found


def test_every_code_of_the_file_door_has_two_cases() -> None:
    """Law: no finding of the file door goes without two cases that bring it about."""
    named = cases()

    assert [code for code in sorted(emitted()) if code.startswith("BLD") and named[code] < 2] == []


def test_every_code_is_brought_about_by_a_test() -> None:
    """Law: no finding at all goes without a test that names it."""
    named = cases()

    assert [code for code in sorted(emitted()) if not named[code]] == []
