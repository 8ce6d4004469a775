"""A room that does not open is told, one that isn't built is missing."""

import importlib
from types import ModuleType

import pytest

from coachwright.proof.rooms import ROOMS, rooms


def opened(monkeypatch: pytest.MonkeyPatch, broken: dict[str, Exception]) -> object:
    def import_module(name: str) -> ModuleType:
        error = broken.get(name.split(".")[1])
        if error is not None:
            raise error
        return ModuleType(name)

    monkeypatch.setattr(importlib, "import_module", import_module)
    return rooms.__wrapped__()


def test_room_that_is_not_built_is_missing_without_a_word(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: no file to import."""
    gone = ModuleNotFoundError("No module named 'coachwright.power'", name="coachwright.power")
    found = opened(monkeypatch, {"power": gone})

    assert (found.missing, found.findings) == ({"power"}, ())  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "error", [ModuleNotFoundError("No module named 'numbra'", name="numbra"), SyntaxError("bad"), ValueError("two")]
)  # fmt: skip
def test_room_that_breaks_is_told(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    """Law: a broken room is no missing room."""
    found = opened(monkeypatch, {"light": error})

    (finding,) = found.findings  # type: ignore[attr-defined]
    assert (finding.code, finding.severity, finding.values["room"]) == ("VER-003", "error", "light")
    assert "light" in found.missing  # type: ignore[attr-defined]


def test_every_room_is_named_once() -> None:
    """Law: one line per room."""
    assert len(set(ROOMS)) == len(ROOMS)
