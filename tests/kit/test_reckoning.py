"""Answers as text and as JSON."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.reckoner import Outcome, Reckoner, Source
from coachwright.kit.reckoning import Reckoning, Worked, figure

ASKED = Reckoner(
    "light", "toy", "a toy", (), (), "y = x\nz = 2 x", "always", (), lambda: Outcome({}), caution="Take care."
)
DONE = Reckoning(
    ASKED,
    inputs=(("speed", "35 mph"), ("law", "usual")),
    results=(
        Worked("distance", 246.2, "ft"),
        Worked("seen", False, "yes/no", (("boundary", "red boundary"),)),
        Worked("end", math.inf, "s"),
        Worked("share", 0.25, "1"),
    ),
    notes=("A note.",),
    sources=(Source("A law", "clause 3", "read"), Source("A book", state="memory")),
    defaulted=frozenset({"law"}),
)


def test_json_has_the_five_parts() -> None:
    """Law: name, inputs, results with value and unit, notes, sources; nothing JSON can't say."""
    page = json.loads(json.dumps(DONE.as_json(), allow_nan=False))

    assert page == {
        "name": "toy",
        "inputs": {"speed": "35 mph", "law": "usual"},
        "results": {
            "distance": {"value": 246.2, "unit": "ft"},
            "seen": {"value": "no", "unit": "yes/no", "boundary": "red boundary"},
            "end": {"value": None, "unit": "s"},
            "share": {"value": 0.25, "unit": "1"},
        },
        "notes": ["A note."],
        "sources": [
            {"title": "A law", "clause": "clause 3", "state": "read"},
            {"title": "A book", "clause": "", "state": "memory"},
        ],
    }


def test_text_says_all_of_it() -> None:
    """Law: what it is, formula, inputs, results, validity, notes, caution, sources with their state."""
    assert DONE.as_text() == (
        "toy - a toy\n\n    y = x\n    z = 2 x\n\n"
        "  speed     35 mph\n  law       usual   (default)\n\n"
        "  distance  246.2 ft\n  seen      no   (boundary: red boundary)\n  end       none\n  share     0.25\n\n"
        "  holds     always\n  note      A note.\n  mind      Take care.\n"
        "  source    A law, clause 3 [read]\n  source    A book [memory]\n"
    )


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"), (200.0, "200"), (285.714285, "285.71"), (1000, "1,000"), (109_800.4, "109,800"), (-0.25, "-0.25"),
        (2e-7, "2e-7"), (99_999.7, "100,000"), (3.4e15, "3.4e15"), (None, "none"), (True, "yes"), ("word", "word"),
        (0.092483, "0.092483"), (math.inf, "none"),
    ],
)  # fmt: skip
def test_figures_read_well(value: float | str | bool | None, text: str) -> None:
    """Law: five figures, thousands apart, no tail of noughts (ISO 80000-1 leaves the separator to us: a comma here)."""
    assert figure(value) == text


@given(st.floats(-1e18, 1e18))
def test_a_printed_figure_is_the_number_to_five_figures(value: float) -> None:
    """Law: reading it back gives the same within half a unit of the fifth figure."""
    assert float(figure(value).replace(",", "")) == pytest.approx(value, rel=5.1e-5, abs=1e-300)
