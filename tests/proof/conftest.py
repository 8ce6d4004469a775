"""Situations without a machine behind them, and windows that answer what a test lays in."""

from collections.abc import Callable
from typing import Any

import pytest

from coachwright.kit.measure import WindowEntry
from coachwright.proof.rooms import Rooms
from tests.proof.made import FACTS


@pytest.fixture
def known_situations(monkeypatch: pytest.MonkeyPatch) -> None:
    """Situations have the facts above, without a machine behind them."""
    monkeypatch.setattr("coachwright.proof.gather.situation_facts", lambda model, situation: FACTS[situation])


@pytest.fixture
def asked() -> list[tuple[str, dict[str, Any]]]:
    """Every call of a window, in order."""
    return []


@pytest.fixture
def room(asked: list[tuple[str, dict[str, Any]]], known_situations: None) -> Callable[..., Rooms]:
    """Rooms with one window: `answer` is its measures, an exception, or a function of the arguments."""

    def build(answer: Any, *, per_situation: bool = True, kind: str = "rate", **arguments: str) -> Rooms:
        def window(model: Any, **given: Any) -> Any:
            """How fast does it flash?"""
            asked.append(("flash.rate", given))
            if isinstance(answer, Exception):
                raise answer
            return answer(**given) if callable(answer) else answer

        entry = WindowEntry("flash.rate", kind, arguments, window, "How fast does it flash?", per_situation)
        return Rooms({"flash.rate": entry}, frozenset({"power"}))

    return build
