"""Two whole jobs, said in the language and understood in full: nothing is refused, and nothing left unread."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from coachwright.build.fed import draws
from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.build.places import body_place

JOBS = Path(__file__).parent / "jobs"
NAMES = ("duty_pickups", "patrol_vans")


@cache
def model_of(name: str, serial: int | None = None) -> Model:
    """One vehicle of a job; neither an error nor a warning stands in it."""
    loaded = load_build(JOBS / f"{name}.yaml", serial=serial)
    told = [each for each in loaded.findings if each.severity != "note"]
    assert [f"{each.where[0]} {each.code} {each.values['why']}" for each in told] == []
    assert loaded.model is not None
    return loaded.model


def written(name: str) -> dict[str, Any]:
    """The job as plain text."""
    found = yaml.load((JOBS / f"{name}.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize(
    ("name", "heads_n"),
    [
        ("duty_pickups", 8 + 6 + 2 * 3 + 11 * 2),  # visor, cap-bar, cap-side with three a side, eleven pairs of one
        (
            "patrol_vans",
            2 * 8 + 2 * 3 + 2 * 2 + 2 * 2 + 5 * 2,
        ),  # two bars, side-high, side-scene, door-edge, five pairs
    ],
)
def test_a_job_has_its_heads(name: str, heads_n: int) -> None:
    """Case: as its lamps add up, counted by hand."""
    assert len([head for head in model_of(name).heads if head.reach == "own"]) == heads_n


@pytest.mark.parametrize("name", NAMES)
def test_everything_written_stands_in_the_model(name: str) -> None:
    """Law: as many of each as were written, by name and in the order of the file."""
    model, plain = model_of(name), written(name)
    found: dict[str, list[str]] = {
        "lamps": [each.name for each in model.lamps],
        "groups": [each for each, _ in model.groups],
        "words": [each.name for each in model.words],
        "memory": [each.name for each in model.memories],
        "messages": [each.name for each in model.messages],
        "limits": [each.name for each in model.limits],
        "stops": [each.name for each in model.stops],
        "feeds": [each.name for each in model.feeds],
        "equipment": [each.name for each in model.equipment],
        "cargo": [each.name for each in model.cargo],
        "marking": [each.name for each in model.marking],
        "glass": [each.name for each in model.glass],
        "trailer": [each.name for each in model.trailers],
        "crossings": [each.name for each in model.crossings],
        "situations": [each.name for each in model.situations],
        "promises": [each.name for each in model.promises],
        "options": [each.name for each in model.options],
        "serials": [str(each.number) for each in model.serials],
    }

    for section, names in found.items():
        assert names == list(plain.get(section, {})), section
    assert model.console is not None
    assert len(model.console.bays) == len(plain["console"]["bays"])
    assert model.as_ordered == tuple(plain["vehicle"]["as-ordered"])
    assert model.removed == tuple(plain["vehicle"]["removed"])


@pytest.mark.parametrize("name", NAMES)
def test_every_field_of_an_item_is_resolved(name: str) -> None:
    """Law: texts and lists of names are in the Model as they stand in the file, whichever item has them."""
    model, plain = model_of(name), written(name)
    for each in model.equipment:
        item = plain["equipment"][each.name]
        for field in ("part", "at", "feed", "antenna", "turned-by"):
            assert getattr(each, field.replace("-", "_")) == item.get(field, ""), (each.name, field)
        for field in ("speakers", "also", "breaks", "spares"):
            said = item.get(field, [])
            assert getattr(each, field) == tuple([said] if isinstance(said, str) else said), (each.name, field)
        assert each.by == item.get("by", "shop")
        assert each.eject == (item.get("eject") == "yes")
        assert (each.isolator is not None) == ("isolator" in item)
    for cargo in model.cargo:
        item = plain["cargo"][cargo.name]
        for field in ("part", "at", "panel", "air", "hold"):
            assert getattr(cargo, field) == item.get(field, ""), (cargo.name, field)
        assert cargo.count_n == int(item.get("count", 1))
        assert cargo.mass_kg > 0
        assert cargo.packed == (item.get("packed") != "after delivery")
    for feed in model.feeds:
        item = plain["feeds"][feed.name]
        assert feed.source == item["from"]
        assert str(feed.shed) == item.get("shed", "None")
        assert (feed.below_v is not None, bool(feed.ends_with), feed.sleep_after is not None) == (
            "below" in item,
            "ends-with" in item,
            "sleep" in item,
        )


@pytest.mark.parametrize("name", NAMES)
def test_all_that_draws_is_fed(name: str) -> None:
    """Case: each from a feed, the shore, or a circuit of the vehicle."""
    model = model_of(name)

    assert [each.name for each in model.equipment if draws(model.part(each.part)) and not each.feed] == []


@pytest.mark.parametrize("name", NAMES)
def test_all_that_is_fitted_ends_up_on_the_body(name: str) -> None:
    """Law: through console, tray and locker to a place of the body."""
    model = model_of(name)
    for item in (*model.equipment, *model.cargo):
        place = body_place(model, item.at)
        assert place in model.body.places, (item.name, place)


def test_power_of_the_pickups() -> None:
    """Case: figures as written, in SI."""
    feeds = {feed.name: feed for feed in model_of("duty_pickups").feeds}

    assert (feeds["radios"].source, feeds["radios"].source_is, feeds["radios"].plus_s) == (
        "aux-battery",
        "equipment",
        1800.0,
    )
    assert (feeds["computer"].below_v, feeds["computer"].below_held_s) == (12.0, 120.0)
    assert (feeds["computer"].ends_with, feeds["computer"].ends_before_s) == ("shutdown-line", 90.0)
    assert (feeds["controller"].hot, feeds["controller"].sleep_s) == (True, 300.0)


@pytest.mark.parametrize(
    ("name", "serial", "fitted"),
    [
        ("duty_pickups", 3, {"radio-2"}),
        ("patrol_vans", 4, {"compressor"}),
        ("patrol_vans", 9, {"compressor", "radio-2"}),
    ],
)
def test_a_serial_has_what_it_chose(name: str, serial: int, fitted: set[str]) -> None:
    """Case: beside all that the others have."""
    base = {each.name for each in model_of(name).equipment}

    assert {each.name for each in model_of(name, serial).equipment} - base == fitted


def test_a_bay_is_blank_until_its_radio_comes() -> None:
    """Case: bay-4 of the third pickup."""
    base, third = (model_of("duty_pickups", serial).console for serial in (None, 3))
    assert base is not None
    assert third is not None

    assert [bay.equipment for bay in base.bays if bay.is_blank] == [""]
    assert {bay.name: bay.equipment for bay in third.bays}["bay-4"] == "radio-2"
