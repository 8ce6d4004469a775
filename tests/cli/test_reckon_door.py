"""The door of `reckon`: every registered calculation works as its own example says, and refuses in one line."""

import json
import re
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.cli.reckon_door import find, listing, reckon
from coachwright.kit.reckoner import InputRefused
from coachwright.kit.units import kinds
from coachwright.parts.store import OURS

ENTRIES, BROKEN = listing()
NAMES = [entry.name for entry in ENTRIES]
PLAIN = {"word", "yes-no", "text", "file"}

EXAMPLES = {
    # what the registered examples alone don't say whole
    "glare-veil": ["age=65", "angle=2 deg", "illuminance=1 lx"],
    "photometry": [f"file={OURS / 'flood-white.ies'}"],
    "intensity-for-range": ["range=2 nmi", "threshold=2e-7 lx", "transmissivity=0.8"],
}


def example_of(name: str) -> list[str]:
    """Inputs that work."""
    return EXAMPLES.get(name) or find(name).example


def outcome(name: str, texts: list[str]) -> tuple[str, str]:
    """The line of a refusal, or the answer as text (which JSON could say as well)."""
    try:
        done = reckon(name, texts)
    except InputRefused as refused:
        return str(refused), ""
    json.dumps(done.as_json(), allow_nan=False)
    return "", done.as_text()


@pytest.mark.parametrize("name", NAMES)
def test_every_example_works(name: str) -> None:
    """Law: what a lead is told to write can be written; text and JSON come out whole, and every result has its unit."""
    done = reckon(name, example_of(name))
    page = json.loads(json.dumps(done.as_json(), allow_nan=False))

    assert page["name"] == name
    assert page["results"]
    assert page["sources"]
    assert all({"value", "unit"} <= set(result) for result in page["results"].values())
    assert all(len(line) <= 110 for line in done.as_text().splitlines())
    assert done.as_text().startswith(f"{name} - ")


@pytest.mark.parametrize("name", NAMES)
def test_every_kind_is_one_the_units_know(name: str) -> None:
    """Law: inputs and results declare unit kinds of kit.units, or one of the plain ones, and results their own unit."""
    entry = find(name)
    used = {part.kind for key in entry.keys for part in key.parts} | {result.kind for result in entry.results}

    assert used <= set(kinds()) | PLAIN


@pytest.mark.parametrize("name", NAMES)
def test_every_key_is_an_argument(name: str) -> None:
    """Law: a key that its function doesn't take, or takes without being asked, would fail in the lead's hands."""
    import inspect

    entry = find(name)

    assert list(inspect.signature(entry.answer).parameters) == [key.argument for key in entry.keys]


@pytest.mark.parametrize("name", NAMES)
def test_results_are_the_declared_ones(name: str) -> None:
    """Law: nothing comes out that the listing doesn't announce (in capitals where it announces a pattern)."""
    patterns = {"chromaticity": "STANDARD COLOUR", "j1939": "SIGNAL"}
    if name in patterns:
        assert patterns[name] in [result.key for result in find(name).results]
        return
    declared = [result.key for result in find(name).results]

    assert [key for key in reckon(name, example_of(name)).as_json()["results"] if key not in declared] == []


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data())
def test_any_words_are_answered_or_refused_in_one_line(name: str, data: st.DataObject) -> None:
    """Law: no input, however odd, brings anything but an answer or one line."""
    odd = st.one_of(
        st.text(max_size=30),
        st.from_regex(r"-?[0-9]{1,4}(\.[0-9]{1,3})?(e-?[0-9]{1,3})? ?(deg|mph|m|s|ms|cd|lx|%|Hz|ft)?", fullmatch=True),
        st.sampled_from(["0", "-1", "1e18 m", "1e-18 s", "90 deg", "0 deg", "0 %", "1 %", "nan", "inf", "@", ","]),
    )  # fmt: skip
    texts = list(example_of(name))
    which = data.draw(st.integers(0, len(texts) - 1))
    keys = [key.name for key in find(name).keys]
    texts[which] = f"{data.draw(st.sampled_from([texts[which].split('=')[0], *keys]))}={data.draw(odd)}"
    line, page = outcome(name, texts)

    assert len(line.splitlines()) == 1 or page


def test_a_mistyped_name_is_met_with_the_nearest() -> None:
    """Law: what was read, why not, what to write."""
    with pytest.raises(InputRefused) as refused:
        find("efective-intensity")

    assert str(refused.value) == (
        "'efective-intensity': no calculation is called so. Did you mean effective-intensity?"
    )


def test_the_listing_is_whole_and_in_order() -> None:
    """Law: room by room, each name once, nothing broken; names are small letters and hyphens."""
    assert BROKEN == {}
    assert [(entry.room, entry.name) for entry in ENTRIES] == sorted((entry.room, entry.name) for entry in ENTRIES)
    assert len(set(NAMES)) == len(NAMES)
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name) for name in NAMES)


def test_importing_the_door_loads_no_room() -> None:
    """Law: `--help` pays for nothing: rooms are loaded when a calculation is asked for."""
    code = (
        "import sys, coachwright.cli.reckon_door; "
        "print(*[name for name in sys.modules if name.startswith(('coachwright.light', 'coachwright.flash', 'numpy'))])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert told.stdout.strip() == ""
