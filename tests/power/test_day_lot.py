"""Ten thousand days at once are the days one by one."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.power.alternator import Alternator
from coachwright.power.bus import Charger, Supply
from coachwright.power.charge import Battery
from coachwright.power.day import Draw, Stretch, Watch
from coachwright.power.day_lot import run_lot
from coachwright.power.day_run import run_day

HOUR_S = 3600.0
STAGE = Watch("stage", "main", 12.2, 120.0, 13.2, 60.0)
ALARM = Watch("alarm", "main", 11.8, 120.0, 13.2, 60.0, alarms=True)


def some(
    flooded: Battery, agm: Battery, alternator: Alternator, amperes: float
) -> tuple[Supply, list[Battery], list[Stretch]]:
    """Batteries of two kinds, worn and new; a day off, idling hot, off and plugged in."""
    batteries = [
        replace(
            kind,
            capacity_as=kind.capacity_as * share,
            resistance_ohm=kind.resistance_ohm / share,
            empty_ohm=kind.empty_ohm / share,
        )
        for kind in (flooded, agm)
        for share in (1.0, 0.9, 0.7)
    ]
    draws = (
        Draw("lamps", "main", "current", amperes, (("stage", 0.5), ("alarm", 0.2))),
        Draw("computer", "second", "power", 50.0, (("alarm", 0.0),)),
        Draw("heater", "main", "resistance", 4.0, (("stage", 0.0),)),
    )
    stretches = [
        Stretch("off", 1.5 * HOUR_S, draws),
        Stretch("idle", HOUR_S, (*draws, Draw("base", "main", "current", 32.0)), alternator.idle_rad_s, 93.0),
        Stretch("again", 1.0 * HOUR_S, draws),
        Stretch("bay", 2.0 * HOUR_S, (), shore=True),
    ]
    return Supply(flooded, None, alternator, charger=Charger("shore", 14.4, 20.0)), batteries, stretches


@pytest.mark.slow
@settings(max_examples=12)
@given(st.floats(0.0, 30.0), st.floats(0.6, 1.0))
def test_a_lot_is_its_days_one_by_one(amperes: float, share: float) -> None:
    """Law: equal steps for all agree with a day from event to event for each: charges, times of stages, who is lost."""
    supply, batteries, stretches = some(_FLOODED, _AGM, _ALTERNATOR, amperes)
    lot = run_lot(batteries, stretches, (STAGE, ALARM), supply=supply, main_share=share, step_s=5.0)

    for number, battery in enumerate(batteries):
        day = run_day(replace(supply, main=battery), stretches, (STAGE, ALARM), main_share=share)
        assert bool(np.isinf(lot.lost_s[number])) is day.ended
        if not day.ended:
            assert lot.lost_s[number] == pytest.approx(float(day.time_s[-1]), rel=5e-3, abs=20.0)
            continue
        assert lot.shares[-1, number] == pytest.approx(float(day.main_share[-1]), abs=4e-3)
        stage_s = day.first("low", "stage")
        assert lot.low_s[0, number] == pytest.approx(np.inf if stage_s is None else stage_s, abs=20.0)


def test_shapes_and_order(flooded: Battery, agm: Battery, pickup_alternator: Alternator) -> None:
    """Law: one column for each battery in the order given; a worn one is emptier after the first stretch."""
    supply, batteries, stretches = some(flooded, agm, pickup_alternator, 8.0)
    lot = run_lot(batteries, stretches, (STAGE, ALARM), supply=supply)

    assert lot.shares.shape == (4, 6)
    assert lot.low_s.shape == (2, 6)
    assert lot.shares[0, 0] > lot.shares[0, 1] > lot.shares[0, 2]
    assert (lot.least_v > 5.0).all()
    assert lot.low_s[0, 2] < lot.low_s[0, 0]


def test_a_lot_without_watches_is_a_lot(flooded: Battery) -> None:
    """Case: 100 batteries, 10 A, 2 h: 10 x (10 / 3.5)^0.1711 Ah an hour of 70 Ah, by hand (Peukert, rated form)."""
    stretch = Stretch("off", 2.0 * HOUR_S, (Draw("all", "main", "current", 10.0),))
    lot = run_lot([flooded] * 100, [stretch], supply=Supply(flooded))

    assert lot.shares[0] == pytest.approx(1.0 - 20.0 * (10.0 / 3.5) ** 0.171136 / 70.0, rel=1e-4)


def test_what_a_lot_cannot_do_is_refused(flooded: Battery) -> None:
    """Case: no battery at all, and two in one vehicle."""
    stretch = Stretch("off", HOUR_S, ())
    with pytest.raises(ValueError, match="here are 0, one and 0"):
        run_lot([], [stretch], supply=Supply(flooded))
    with pytest.raises(ValueError, match="here are 1, two and 0"):
        run_lot([flooded], [stretch], supply=Supply(flooded, flooded))


def _battery(ampere_hours: float, full_v: float, empty_v: float) -> Battery:
    return Battery(
        name="of the lot",
        chemistry="flooded",
        capacity_as=3600.0 * ampere_hours,
        twenty_hour_a=ampere_hours / 20.0,
        peukert=1.17,
        resistance_ohm=0.004,
        empty_ohm=0.008,
        rest_share=(0.0, 0.5, 1.0),
        rest_v=(empty_v, (full_v + empty_v) / 2.0 - 0.02, full_v),
        inner_share=(0.0, 0.1, 0.5, 1.0),
        inner_v=(10.5, empty_v + 0.07, (full_v + empty_v) / 2.0 - 0.02, full_v),
        most_charge_a=60.0,
        charge_share=0.88,
        lost_a=0.0,
        reserve_s=7200.0,
        cranking_a=640.0,
    )


_FLOODED, _AGM = _battery(70.0, 12.65, 11.89), _battery(95.0, 12.85, 11.8)
_ALTERNATOR = Alternator(
    14.2, -0.01, ((25.0, (68.0, 500.0), (78.0, 180.0)), (93.0, (68.0, 500.0), (55.0, 150.0))), 68.0
)
