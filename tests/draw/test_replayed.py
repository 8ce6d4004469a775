"""Strips of a log: what stands where on the paper."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from coachwright.control.replayed import Replayed
from coachwright.draw.replayed import MOST_CLOSE_UPS, MOST_HEIGHT_MM, WIDTH_MM, close_ups, replay_plates
from coachwright.draw.sheet import plate_svg
from coachwright.draw.svg import Element
from tests.control.drives import EXAMPLES
from tests.control.test_replay import quillback, quillback_on


def walked(elements: tuple[Element, ...]) -> list[Element]:
    found = []
    for each in elements:
        found.append(each)
        found += walked(tuple(inner for inner in each.inside if isinstance(inner, Element)))
    return found


def words(elements: tuple[Element, ...]) -> list[str]:
    return [str(inner) for each in walked(elements) for inner in each.inside if isinstance(inner, str)]


@pytest.fixture(scope="module")
def swapped() -> Replayed:
    return quillback_on(EXAMPLES / "drive-swapped-wires.log")


def test_a_bar_stands_where_its_time_is(swapped: Replayed) -> None:
    """Print: on a scale of 16.005 s over the width that names and edge leave (269 - 40 - 4 mm), the siren's bar begins
    at 4.205 s and ends at 11.6 s: a rule of three."""
    plates = replay_plates(quillback(), swapped, title="drive")
    mm_per_s = (269.0 - 40.0 - 4.0) / 16.005
    bars = {
        (round(float(dict(each.attributes)["x"]), 1), round(float(dict(each.attributes)["width"]), 1))
        for plate in plates
        for each in walked(plate.elements)
        if each.name == "rect"
    }

    assert (round(40 + 4.205 * mm_per_s, 1), round((11.6 - 4.205) * mm_per_s, 1)) in bars


def test_everything_that_was_lit_or_acted_has_its_row(swapped: Replayed) -> None:
    """Law: no head that is lit and no function that acts is missing, and pictures keep to their paper."""
    plates = replay_plates(quillback(), swapped, title="drive")
    said = {word for plate in plates for word in words(plate.elements)}
    lit = {t.name for t in swapped.tracks if t.kind == "head" and any(change.value.parts for change in t.changes)}
    acting = {t.name for t in swapped.tracks if t.kind == "function" and any(change.value for change in t.changes)}

    assert lit | acting | set(swapped.promises) <= said
    assert all(plate.width_mm == WIDTH_MM and plate.height_mm <= MOST_HEIGHT_MM + 5 for plate in plates)


def test_what_is_to_be_looked_at_is_drawn_from_near(swapped: Replayed) -> None:
    """Case: a close-up of the blind promise, with the input and what its witness says, and of both inputs."""
    plates = close_ups(quillback(), swapped, title="drive")
    blind = [plate for plate in plates if "brake-seen" in plate.name]

    assert {re.sub(r"close-up-\d-|-\d+$", "", plate.name) for plate in plates} == {"brake", "park-brake", "brake-seen"}
    assert {"brake", "as its witness says", "× blind"} <= set(words(blind[0].elements))


def test_a_kept_drive_has_no_close_up() -> None:
    """Case: nothing to look at."""
    assert close_ups(quillback(), quillback_on(EXAMPLES / "drive.log"), title="drive") == ()


def test_many_breaks_draw_few_close_ups(swapped: Replayed) -> None:
    """Law: close-ups are bounded."""
    (span,) = swapped.blind
    many = tuple(replace(span, what=f"promise-{number}") for number in range(40))

    names = {plate.name.split("-")[2] for plate in close_ups(quillback(), replace(swapped, blind=many), title="drive")}
    assert len(names) == MOST_CLOSE_UPS


def test_names_from_a_file_stay_text(swapped: Replayed, tmp_path: Path) -> None:
    """Law: what a log is called can't become a tag."""
    plate = replay_plates(quillback(), swapped, title='<script>"&')[0]

    assert "<script" not in plate_svg(plate)
    assert "&lt;script&gt;" in plate_svg(plate)
