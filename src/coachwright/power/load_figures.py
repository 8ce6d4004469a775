"""How do things draw where no sheet says it? The figures of loads.yaml, each table with its cite."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, number_of, numbers_of, sheet_in, table_of
from coachwright.kit.nodes import Plain

DATA = "loads.yaml"


@dataclass(frozen=True, slots=True)
class Inrush:
    """times : of the running current. time_s : it lasts."""

    times: float
    time_s: float


@dataclass(frozen=True, slots=True)
class LoadFigures:
    """Everything the file says. cites : of each table, by its name.

    sends_share, radio_cycle_s : of a radio. tones : share of a siren's current by tone, `other_tone` for the rest.
    engine_off_share, accessory_share : of the base load. coil_a, control_a : of a relay, of a wire that tells. [A]
    regulated_below, filament_from : voltage exponents. stages : (stage, below so many volts).
    shed_held_s, back_above_v, back_held_s : before a stage acts, and before it goes back. step_s : of a sequencer.
    circuits : per circuit of the vehicle the signal and its value. ambient_degc : round a controller.
    zone_share : of what warns in a zone, on one channel.
    """

    sends_share: float
    radio_cycle_s: float
    tones: Mapping[str, float]
    other_tone: float
    engine_off_share: float
    accessory_share: float
    coil_a: float
    control_a: float
    inrush: Mapping[str, Inrush]
    regulated_below: float
    filament_from: float
    stages: tuple[tuple[int, float], ...]
    shed_held_s: float
    back_above_v: float
    back_held_s: float
    step_s: float
    circuits: Mapping[str, tuple[str, str]]
    ambient_degc: float
    zone_share: float
    cites: Mapping[str, Cite]


@cache
def load_figures() -> LoadFigures:
    """The data file."""
    sheet = sheet_in("coachwright.power", DATA)
    tables, number = sheet.tables, sheet.number

    tones = _numbers(tables["siren"])
    return LoadFigures(
        sends_share=number("radio", "sends-share"),
        radio_cycle_s=number("radio", "cycle-s"),
        tones={name: share for name, share in tones.items() if name != "other"},
        other_tone=tones["other"],
        engine_off_share=number("vehicle", "engine-off-share"),
        accessory_share=number("vehicle", "accessory-share"),
        coil_a=number("relay", "coil-a"),
        control_a=number("relay", "control-a"),
        inrush={name: _inrush(plain, name) for name, plain in _rest(tables["inrush"]).items()},
        regulated_below=number("behaves", "regulated-below"),
        filament_from=number("behaves", "filament-from"),
        stages=tuple(
            (int(stage), below_v)
            for stage, below_v in sorted(numbers_of(tables["shed"].get("stages", ""), f"{DATA}, stages").items())
        ),
        shed_held_s=number("shed", "held-s"),
        back_above_v=number("shed", "back-above-v"),
        back_held_s=number("shed", "back-held-s"),
        step_s=number("shed", "step-s"),
        circuits={name: _circuit(plain, name) for name, plain in _rest(tables["circuits"]).items()},
        ambient_degc=number("heat", "ambient-degc"),
        zone_share=number("channels", "most-share-of-zone"),
        cites={name: cite_of(table, f"{DATA}, {name}") for name, table in tables.items()},
    )


def _rest(table: Mapping[str, Plain]) -> dict[str, Plain]:
    return {name: plain for name, plain in table.items() if name not in ("title", "cite")}


def _numbers(table: Mapping[str, Plain]) -> dict[str, float]:
    return {name: number_of(plain, f"{DATA}, {name}") for name, plain in _rest(table).items()}


def _inrush(plain: Plain, name: str) -> Inrush:
    said = numbers_of(plain, f"{DATA}, inrush, {name}")
    return Inrush(said["times"], said["time-s"])


def _circuit(plain: Plain, name: str) -> tuple[str, str]:
    ((signal, value),) = table_of(plain, f"{DATA}, circuits, {name}").items()
    return signal, str(value)
