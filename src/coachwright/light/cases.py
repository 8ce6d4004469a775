"""What does the vehicle show with one panel open, or with a trailer on, in the situations in which it is judged?

A case is a situation of its own: the settings of one of the job's, with every panel shut but one, or with the trailer
there. The machine is asked as for any other situation, so that a head that comes on or goes out with the panel does so
here, and lamps that ride on the panel move with it.

See Also
--------
coachwright.light.lit : answers about these situations as about those that are written.
coachwright.light.case_measures : what is asked of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from coachwright.build.model import Input, Model, Situation
from coachwright.build.model_fitted import Trailer
from coachwright.kit.by_digest import by_digest
from coachwright.place.panels import all_panels

BLOCKING = "blocking"
"""What a situation stands for in which doors and gates are opened."""

TRAILER, PRESENT = "trailer", "present"
"""The vehicle's signal that says whether one is there, where it has it, and how it says so."""


@dataclass(frozen=True, slots=True)
class PanelCase:
    """One panel open by itself. panels : those that open by one signal. name : of the situation in `Cases.model`."""

    panels: tuple[str, ...]
    name: str

    @property
    def spoken(self) -> str:
        return " and ".join(self.panels)


@dataclass(frozen=True, slots=True)
class Cases:
    """The job with its cases as situations.

    shut : of each situation that has panel cases, the name of the one with all of them shut. opened : and those with
    one open. trailer_on : of each situation with a trailer, the name of the one in which the vehicle knows of it.
    """

    model: Model
    shut: Mapping[str, str]
    opened: Mapping[str, tuple[PanelCase, ...]]
    trailer_on: Mapping[str, str]


@by_digest
def cases_of(model: Model) -> Cases:
    """Every panel case of the situations that stand for blocking, and the trailer on wherever one may be."""
    inputs = {item.name: item for item in model.inputs}
    signals = _panel_signals(model, inputs)
    all_shut = {signal: _shut(model, inputs[signal], value) for signal, (_, value) in signals.items()}
    more: list[Situation] = []
    shut: dict[str, str] = {}
    opened: dict[str, tuple[PanelCase, ...]] = {}
    trailer_on: dict[str, str] = {}
    for situation in model.situations:
        if situation.stands_for == BLOCKING:
            shut[situation.name] = f"{situation.name}, all shut"
            more.append(_set(situation, shut[situation.name], all_shut))
            found = []
            for signal, (panels, value) in signals.items():
                case = PanelCase(panels, f"{situation.name}, {panels[0]} open")
                more.append(_set(situation, case.name, {**all_shut, signal: value}))
                found.append(case)
            opened[situation.name] = tuple(found)
        if trailers_on(model, situation.name):
            trailer_on[situation.name] = situation.name
            if TRAILER in inputs and PRESENT in inputs[TRAILER].values:
                trailer_on[situation.name] = f"{situation.name}, trailer on"
                more.append(_set(situation, trailer_on[situation.name], {TRAILER: PRESENT}))
    digest = f"{model.digest} with cases" if model.digest else ""
    with_more = replace(model, situations=(*model.situations, *more), digest=digest)
    return Cases(with_more, shut, opened, trailer_on)


def trailers_on(model: Model, situation: str) -> tuple[Trailer, ...]:
    """Trailers that may be behind the vehicle in a situation; one of which it says that it is absent is not."""
    said = dict(model.situation(situation).settings).get(TRAILER, PRESENT)
    return tuple(trailer for trailer in model.trailers if trailer.always or said == PRESENT)


def _panel_signals(model: Model, inputs: Mapping[str, Input]) -> dict[str, tuple[tuple[str, ...], str]]:
    """Each signal that tells of a panel -> the panels that open by it, and the value that says so."""
    found: dict[str, tuple[tuple[str, ...], str]] = {}
    for panel in all_panels(model.body):
        name, _, side = panel.partition(".")
        spec = model.body.panels[name]
        signal = spec.signal_right if side == "right" else spec.signal
        if signal in inputs:
            found[signal] = ((*found.get(signal, ((), ""))[0], panel), spec.open_value)
    return found


def _shut(model: Model, signal: Input, open_value: str) -> str:
    """What the signal reads while nothing is open: its rest, else the first value that is another."""
    rest = str(model.body.signals[signal.name].rest)
    if rest != open_value:
        return rest
    return next((value for value in signal.values if value != open_value), rest)


def _set(situation: Situation, name: str, settings: Mapping[str, str]) -> Situation:
    """The situation with some settings changed."""
    return replace(situation, name=name, settings=tuple({**dict(situation.settings), **settings}.items()))
