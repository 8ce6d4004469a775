"""One lamp on one vehicle, from text to judgement, against numbers of printed pages and a pencil."""

import math
from datetime import date

import pytest

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.kit.measure import Measure
from coachwright.parts.store import load_catalogue
from coachwright.proof.rooms import rooms
from coachwright.proof.verdict import Verdict, verdict_of

BUILD = """\
coachwright: 1
job: {{name: One lamp}}
vehicle: {{body: crew-cab-pickup-with-cap}}
packs: [public-law-targets]
lamps: {{lone: {{part: short-red-white, at: grille.left}}}}
controls: {{level: {{kind: slide, positions: ["off", full], at: console.panel}}}}
functions:
  warning: {{rank: warn, by: level, levels: {{full: [{{on: lone, red: "{show}"}}]}}}}
situations: {{judged: {{level: full, gear: P, stands-for: blocking}}}}
"""


def loaded_with(show: str) -> Model:
    """The model of the one lamp showing `show`."""
    model = read_build(BUILD.format(show=show), catalogue=load_catalogue()).model
    assert model is not None
    return model


def judged(show: str) -> Verdict:
    """The verdict on it."""
    loaded = read_build(BUILD.format(show=show), catalogue=load_catalogue())
    return verdict_of(loaded, folder=None, progress=lambda doing, done, of: None, today=date(2026, 11, 25))


def asked(show: str, name: str, **arguments: float | str) -> tuple[Measure, ...]:
    """One window about it."""
    return rooms().windows[name].answer(loaded_with(show), situation="judged", **arguments)


def straight_ahead_cd(show: str) -> float:
    """Intensity of the lamp along its axis, straight ahead of the vehicle. [cd]"""
    (found,) = (
        measure
        for measure in asked(show, "light.intensity", vertical=0.0, horizontal=0.0)
        if measure.facts["toward"] == "front"
    )
    assert isinstance(found.value, float)
    return found.value


@pytest.mark.parametrize(
    ("per_minute", "state"),
    [(73, "fail"), (74, "fail"), (75, "near"), (76, "near"), (80, "pass"), (125, "near"), (127, "fail")],
)
def test_flash_rate_agrees_with_kkk_a_1822_3_8_2_2(per_minute: int, state: str) -> None:
    """75 to 125 flashes a minute (Federal Specification KKK-A-1822E, 3.8.2.2); near is the shop's own margin of 2."""
    rules = [each for each in judged(f"single {per_minute} per min").judgements if each.rule.code == "PLT-040"]

    assert [each.state for each in rules] == [state]


@pytest.mark.parametrize(("lit_ms", "dark_ms"), [(50, 450), (250, 250), (200, 800)])
def test_optical_power_is_candela_seconds_a_minute(lit_ms: int, dark_ms: int) -> None:
    """Zone method: intensity x lit time x flashes a minute [cd s/min]: I x 0.25 s x 120 = 30 I for 250 of 500 ms."""
    show = f"lit {lit_ms} ms, dark {dark_ms} ms"
    power = [
        measure
        for measure in asked(show, "light.optical-power", of="total")
        if (measure.facts["zone"], measure.facts["level"]) == ("A", "both")
    ]
    half = [
        measure
        for measure in asked(f"lit {lit_ms} ms, dark {2 * dark_ms + lit_ms} ms", "light.optical-power", of="total")
        if (measure.facts["zone"], measure.facts["level"]) == ("A", "both")
    ]
    assert isinstance(power[0].value, float)
    table = power[0].table
    assert table is not None
    rows = {round(math.degrees(float(row[0])) % 360, 6): float(row[1]) for row in table.rows}
    flashes_a_minute = 60_000 / (lit_ms + dark_ms)

    assert rows[0.0] == pytest.approx(straight_ahead_cd(show) * lit_ms / 1000 * flashes_a_minute, rel=1e-6)
    assert sum(rows.values()) == pytest.approx(power[0].value, rel=1e-9)
    assert half[0].value == pytest.approx(power[0].value / 2, rel=1e-9)


@pytest.mark.parametrize("lit_ms", [50, 200, 800])
def test_effective_intensity_agrees_with_ies_11_1_10_1(lit_ms: int) -> None:
    """I_e = I t / (0.2 + t) for a square flash (IES definition 11.1.10.1): 1/5, 1/2 and 4/5 of the peak."""
    from coachwright.light.lit import LEVEL, effective_round

    show = f"lit {lit_ms} ms, dark 5000 ms"
    effective_cd = effective_round(loaded_with(show), "judged")[LEVEL, 0]

    assert effective_cd == pytest.approx(straight_ahead_cd(show) * lit_ms / (200 + lit_ms), rel=1e-6)
