"""The registry of single calculations: what is registered is complete, and bounds hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.reckoner import NOT_NEGATIVE, POSITIVE, RECKONERS, Bounds, Outcome, load_reckoners, one, reckoner


def register(name: str):
    """Register a calculation that gives back nothing."""
    return reckoner(
        room="kit", name=name, title="t", keys=[one("a", "number", "a", example="1")], results=[], formula="f",
        valid="v", sources=[],
    )  # fmt: skip


def test_two_rooms_cant_answer_one_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: a name means one calculation; the same module may register again (it was loaded again)."""
    monkeypatch.delitem(RECKONERS, "twice-told", raising=False)

    def first(*, a: float) -> Outcome:
        return Outcome({"a": a})

    def second(*, a: float) -> Outcome:
        return Outcome({"a": -a})

    second.__module__ = "coachwright.elsewhere"
    assert register("twice-told")(first) is first
    register("twice-told")(first)
    with pytest.raises(ValueError, match="twice-told"):
        register("twice-told")(second)
    del RECKONERS["twice-told"]


def test_every_rooms_reckoners_load() -> None:
    """Law: no room's module is broken, and every entry says room, title, formula, validity and a source it rests on."""
    assert load_reckoners() == {}
    assert {entry.room for entry in RECKONERS.values()} >= {"light", "flash"}
    for name, entry in RECKONERS.items():
        assert name == entry.name
        assert entry.title
        assert entry.formula
        assert entry.valid
        assert len({key.name for key in entry.keys}) == len(entry.keys), name
        assert all(key.help and key.example for key in entry.keys), name
        assert entry.results, name


def test_a_broken_room_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: the room that fails to load is named with its reason, the others are there."""
    import importlib

    real = importlib.import_module

    def broken(name: str, package: str | None = None) -> object:
        if name == "coachwright.flash.reckoners":
            raise ImportError("a wheel is missing")
        return real(name, package)

    monkeypatch.setattr("coachwright.kit.reckoner.importlib.import_module", broken)

    assert load_reckoners() == {"flash": "ImportError: a wheel is missing"}
    assert "effective-intensity" in RECKONERS


@given(st.floats(allow_nan=True))
def test_bounds_mean_what_their_words_say(value: float) -> None:
    """Law: more than 0 leaves 0 out, 0 or more lets it in, and no bound lets through what is no number."""
    assert POSITIVE.hold(value) == (value > 0)
    assert NOT_NEGATIVE.hold(value) == (value >= 0)
    assert Bounds("more than 1, at most 2", above=1.0, most=2.0).hold(value) == (1 < value <= 2)
    assert not POSITIVE.hold(math.nan)
