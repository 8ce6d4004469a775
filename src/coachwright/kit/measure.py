"""A number a room has measured, with the places in the build it depends on; and the list of windows that answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from coachwright.kit.table import Table


@dataclass(frozen=True, slots=True)
class Measure:
    """One answer of a room: the worst case, its place, and a table for the rest.

    Parameters
    ----------
    name : of the window that answers, e.g. ``flash.rate``.
    value : in `unit`, SI; a word for measures whose kind is ``word``; None when the room could not measure it.
    kind : unit kind of kit.units (``rate``, ``share``, ``optical-power``...), or ``count`` or ``word`` or ``yes-no``.
    about : build path of the subject (``lamps.corner``, ``situations.answering``); a rule judges once per subject.
    blame : build paths the number depends on, most fixable first.
    where : place of the worst case in words for a shop lead (``bearing 135 deg``, ``cap-bar.2``).
    situation : name of the situation it was measured in; empty when it holds in every one.
    facts : further values that conditions of a rule may ask (colour, level, zone...).
    why_not : reason for which there is no value.
    """

    name: str
    value: float | str | bool | None
    kind: str
    about: str
    blame: tuple[str, ...] = ()
    where: str = ""
    situation: str = ""
    facts: Mapping[str, str] = field(default_factory=dict)
    table: Table | None = None
    why_not: str = ""


Window = Callable[..., tuple[Measure, ...]]


@dataclass(frozen=True, slots=True)
class WindowEntry:
    """A registered window. `arguments` maps each argument's name to its unit kind or to ``word``.

    follows : it takes so long that `check` asks it only when told to, and says so.
    """

    name: str
    kind: str
    arguments: Mapping[str, str]
    answer: Window
    question: str
    per_situation: bool
    follows: bool = False


WINDOWS: dict[str, WindowEntry] = {}
"""Every window by measure name. Filled when a room's measures.py is imported (proof.rooms does it)."""


def measures(
    name: str, *, kind: str, per_situation: bool = True, follows: bool = False, **arguments: str
) -> Callable[[Callable[..., tuple[Measure, ...]]], Callable[..., tuple[Measure, ...]]]:
    """Register a window: ``window(model, *, situation, **arguments) -> tuple[Measure, ...]``.

    A window with ``per_situation=False`` is called without `situation`; one with ``follows=True`` follows behind the
    quick answer. The first line of its docstring is the question it answers.
    """

    def register(answer: Callable[..., tuple[Measure, ...]]) -> Callable[..., tuple[Measure, ...]]:
        if name in WINDOWS and WINDOWS[name].answer.__module__ != answer.__module__:
            raise ValueError(f"two windows answer {name}")
        question = (answer.__doc__ or name).strip().splitlines()[0]
        WINDOWS[name] = WindowEntry(name, kind, dict(arguments), answer, question, per_situation, follows)
        return answer

    return register


def window(name: str) -> WindowEntry:
    """The window of this name."""
    return WINDOWS[name]


def facts(**pairs: Any) -> dict[str, str]:
    """Facts as words: what a rule's `applies` may ask."""
    return {key.replace("_", "-"): str(value) for key, value in pairs.items()}
