"""A duty day from event to event: by hand, against small steps, then laws."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.parts.schema import BatteryPart
from coachwright.power.alternator import Alternator
from coachwright.power.bus import Bus, Charger, Load, Source, Supply, Tie, moment
from coachwright.power.charge import Battery, battery_of, share_per_s
from coachwright.power.day import Day, Draw, Stretch, Watch, restart_at, restart_lost_s, shed_at, strip
from coachwright.power.day_run import run_day

HOUR_S = 3600.0
ALARM = Watch("alarm", "main", 12.2, 120.0, 13.2, 60.0, alarms=True)
STAGE = Watch("stage", "main", 12.4, 120.0, 13.2, 60.0)
LAMPS = Draw("lamps", "main", "current", 15.0, sheds=(("stage", 0.5),))
RADIO = Draw("radio", "main", "current", 5.0)
RELAY = Tie("isolator", "relay", ohm=0.002, split_v=12.8, split_s=120.0)


def off(hours: float, *draws: Draw, name: str = "scene") -> Stretch:
    """A stretch with the engine off."""
    return Stretch(name, hours * HOUR_S, draws)


def test_a_plain_battery_empties_in_its_hours(tank: Battery) -> None:
    """100 Ah at 20 A are flat after 5 h, and stand at 12.0 - 0.2 V then, by hand."""
    day = run_day(Supply(tank), [off(8.0, replace(LAMPS, sheds=()), RADIO)])

    assert day.first("flat", "tank") == pytest.approx(5.0 * HOUR_S)
    assert not day.ended
    assert day.main_v[-1] == pytest.approx(11.8)
    assert day.main_share[-1] == pytest.approx(0.0, abs=1e-9)


def test_the_alarm_comes_after_the_voltage_has_stood_low(tank: Battery) -> None:
    """13 - 0.2 V at the start, 0.2 V an hour less: 12.2 V after 3 h, and 2 min later the alarm, by hand."""
    day = run_day(Supply(tank), [off(4.0, replace(LAMPS, sheds=()), RADIO)], [ALARM])

    assert day.first("low", "alarm") == pytest.approx(3.0 * HOUR_S + 120.0, abs=0.1)


def test_what_is_shed_leaves_more_for_the_rest(tank: Battery) -> None:
    """12.4 V after 2 h of 20 A; from 2 min later on the lamps take half and the bus rises by 75 mV, by hand."""
    stretch = off(4.0, LAMPS, RADIO)
    day = run_day(Supply(tank), [stretch], [STAGE])
    at_s = day.first("low", "stage")
    along = strip(day)

    assert at_s == pytest.approx(2.0 * HOUR_S + 120.0, abs=0.1)
    after = int(at_s or 0) + 1
    assert along.main_v[after] - along.main_v[after - 2] == pytest.approx(0.075, abs=1e-3)
    assert day.main_share[-1] == pytest.approx(
        1.0 - (20.0 * (at_s or 0.0) + 12.5 * (4 * HOUR_S - (at_s or 0.0))) / 360_000
    )
    assert shed_at(day, stretch, 2.0 * HOUR_S) == ()
    assert shed_at(day, stretch, 3.0 * HOUR_S) == ("lamps",)


def test_what_was_shed_comes_back_once_the_engine_has_run(tank: Battery, pickup_alternator: Alternator) -> None:
    """Case: shed with the engine off, back after a minute above 13.2 V, and not at all where only the load went."""
    drive = Stretch("drive", HOUR_S, (LAMPS, RADIO), engine_rad_s=200.0)
    day = run_day(Supply(tank, alternator=pickup_alternator), [off(3.0, LAMPS, RADIO), drive], [STAGE])

    assert [(each.what, each.name) for each in day.events] == [
        ("begins", "scene"),
        ("low", "stage"),
        ("begins", "drive"),
        ("recovered", "stage"),
    ]
    assert day.first("recovered") == pytest.approx(3.0 * HOUR_S + 60.0)


def test_a_dip_shorter_than_its_time_raises_no_alarm(tank: Battery) -> None:
    """Case: 100 s of a heavy load, then a light one: the watch waits 120 s."""
    heavy = Draw("winch", "main", "current", 120.0)
    day = run_day(Supply(tank), [Stretch("pull", 100.0, (heavy,)), off(0.5, RADIO)], [ALARM])

    assert day.main_v.min() < 12.2
    assert day.first("low") is None


def test_two_dips_do_not_add_up(tank: Battery) -> None:
    """Case: twice 100 s with a pause: the time counts anew."""
    heavy = Draw("winch", "main", "current", 120.0)
    pull, rest = Stretch("pull", 100.0, (heavy,)), Stretch("rest", 60.0, (RADIO,))

    assert run_day(Supply(tank), [pull, rest, pull, rest], [ALARM]).first("low") is None
    assert run_day(Supply(tank), [pull, pull], [ALARM]).first("low") == pytest.approx(120.0)


def test_a_hot_idle_that_is_too_small_empties_the_battery(tank: Battery, pickup_alternator: Alternator) -> None:
    """55 A at 650 rpm and 93 degC (the body's file), 75 A on: 20 A from the battery, 40 % in two hours, by hand."""
    heavy = Draw("scene", "main", "current", 75.0)
    hot = Stretch("idle", 2.0 * HOUR_S, (heavy,), pickup_alternator.idle_rad_s, 93.0)
    day = run_day(Supply(tank, alternator=pickup_alternator), [hot])

    assert day.source_a == pytest.approx(55.0)
    assert day.main_share[-1] == pytest.approx(0.6, abs=1e-6)
    raised = replace(hot, engine_rad_s=2.0 * pickup_alternator.idle_rad_s)
    assert run_day(Supply(tank, alternator=pickup_alternator), [raised]).main_share[-1] == pytest.approx(1.0)


def test_the_second_battery_is_joined_with_the_engine_and_parted_after(
    tank: Battery, pickup_alternator: Alternator
) -> None:
    """Case: joined while the engine runs; parted once the first has stood below 12.8 V for 2 min."""
    supply = Supply(tank, tank, pickup_alternator, RELAY)
    drive = Stretch("drive", HOUR_S, (RADIO,), 200.0)
    draw = Draw("laptop", "second", "current", 12.0)
    day = run_day(supply, [drive, off(2.0, RADIO, draw)])

    assert day.first("joined") == 0.0
    parted_s = day.first("parted")
    assert parted_s is not None
    along = strip(day)
    begins = int(parted_s) - 119
    assert (along.main_v[begins : int(parted_s)] < 12.8).all()
    assert along.main_v[begins - 3] >= 12.8
    assert day.second_a[-1] == pytest.approx(12.0)


def test_a_disconnect_spares_what_it_is_told_to(tank: Battery, pickup_alternator: Alternator) -> None:
    """Case: with the second battery cut off only what is spared draws from it, and the engine charges it no more."""
    memory = Draw("memory", "second", "current", 0.02, spared=True)
    heavy = Draw("laptop", "second", "current", 10.0)
    cut = Stretch("parked", 10.0 * HOUR_S, (memory, heavy), 200.0, disconnected="second")
    day = run_day(Supply(tank, tank, pickup_alternator, RELAY), [cut], second_share=0.5)

    assert day.first("joined") is None
    assert day.second_a == pytest.approx(0.02)
    assert day.second_share[-1] == pytest.approx(0.5 - 0.02 * 10 * HOUR_S / 360_000)


def test_shore_charges_by_the_ampere_hour_law(tank: Battery) -> None:
    """20 A until 20 Ah are missing, then in proportion: 63 % of them in an hour (textbooks, from memory)."""
    supply = Supply(replace(tank, most_charge_a=1e9), charger=Charger("shore", 14.4, 20.0))
    day = run_day(supply, [Stretch("bay", 4.0 * HOUR_S, (), shore=True)], main_share=0.6)
    along = strip(day)

    assert day.source_a.max() <= 20.0 + 1e-9
    assert along.main_share[3600] == pytest.approx(0.8, abs=1e-3)
    assert along.main_share[2 * 3600] == pytest.approx(1.0 - 0.2 * np.exp(-1.0), abs=1e-3)


def test_a_collapse_ends_the_day_and_is_said(tank: Battery) -> None:
    """Case: a load of constant power near the most a battery brings: it breaks down as the voltage sinks."""
    day = run_day(Supply(tank), [off(1.0, Draw("inverter", "main", "power", 4000.0))])

    assert day.first("collapsed") is not None
    assert not day.ended
    assert np.isfinite(day.main_v).all()


def test_when_the_start_is_lost(flooded: Battery) -> None:
    """28.8 Ah of 70 may go (a maker's bulletin); at 10 A each hour takes 10 x (10 / 3.5)^0.1711 Ah, by hand."""
    day = run_day(Supply(flooded), [off(4.0, Draw("lamps", "main", "current", 10.0))])
    hours = 28.8 / (10.0 * (10.0 / 3.5) ** 0.171136)

    lost_s = restart_lost_s(Supply(flooded), day)
    assert lost_s == pytest.approx(hours * HOUR_S, rel=1e-4)
    assert restart_at(Supply(flooded), day, (lost_s or 0.0) - 60.0).cranks
    assert not restart_at(Supply(flooded), day, (lost_s or 0.0) + 60.0).cranks
    assert restart_lost_s(Supply(flooded), run_day(Supply(flooded), [off(1.0, RADIO)])) is None


# ----------------------------------------------------------------------------------------------------- a second witness
def by_seconds(
    supply: Supply, stretches: list[Stretch], shares: tuple[float, float], step_s: float
) -> list[list[float]]:
    """The same day without events, watches or joins that change: plain small steps."""
    rows, (main, second) = [], shares
    for stretch in stretches:
        loads = {}
        for bus in ("main", "second"):
            mine = [each for each in stretch.draws if each.bus == bus]
            loads[bus] = Load(
                sum(each.value for each in mine if each.behaves == "current"),
                sum(each.value for each in mine if each.behaves == "power"),
                sum(1.0 / each.value for each in mine if each.behaves == "resistance"),
            )
        source = Source(14.0, 60.0) if stretch.engine_rad_s else Source()
        for _ in range(round(stretch.lasts_s / step_s)):
            here = moment(
                supply,
                main_share=main,
                second_share=second,
                main_load=loads["main"],
                second_load=loads["second"],
                source=source,
                joined=bool(stretch.engine_rad_s),
            )
            rows.append([here.main_v, here.second_v, main, second])
            main += share_per_s(supply.main, here.main_a) * step_s
            if supply.second is not None:
                second += share_per_s(supply.second, here.second_a) * step_s
    return rows


def test_a_day_from_event_to_event_is_the_day_by_seconds(agm: Battery, flooded: Battery) -> None:
    """Law: two batteries of different kinds, all kinds of load, engine off and on: within 2 mV and a thousandth."""
    alternator = Alternator(14.0, 0.0, ((25.0, (50.0, 500.0), (60.0, 60.0)),), 60.0)
    supply = Supply(flooded, agm, alternator, Tie("isolator", "relay", ohm=0.002))
    draws = (
        Draw("lamps", "main", "current", 18.0),
        Draw("inverter", "second", "power", 150.0),
        Draw("heater", "second", "resistance", 3.0),
    )
    stretches = [
        off(1.5, *draws),
        Stretch("idle", HOUR_S, (*draws, Draw("more", "main", "current", 40.0)), 60.0),
        off(1.0, *draws, name="again"),
        Stretch("drive", HOUR_S, (Draw("few", "main", "current", 5.0),), 60.0),
    ]
    ours = strip(run_day(supply, stretches, main_share=0.95, second_share=0.9))
    theirs = np.array(by_seconds(supply, stretches, (0.95, 0.9), 1.0))
    steps = len(theirs)
    jumps = np.cumsum([0] + [round(each.lasts_s) for each in stretches])
    smooth = np.setdiff1d(np.arange(steps), jumps)

    assert np.abs(ours.main_share[:steps] - theirs[:, 2]).max() < 1e-3
    assert np.abs(ours.second_share[:steps] - theirs[:, 3]).max() < 1e-3
    assert np.abs(ours.main_v[:steps] - theirs[:, 0])[smooth].max() < 2e-3
    assert np.abs(ours.second_v[:steps] - theirs[:, 1])[smooth].max() < 2e-3


# ----------------------------------------------------------------------------------------------------------------- laws
AMPERES = st.floats(0.0, 60.0)


def with_engine(alternator: Alternator, draw_a: float, more: float = 1.0) -> Day:
    """Off, then idling hot, then off again."""
    larger = replace(
        alternator,
        curve=tuple((degc, speeds, tuple(more * each for each in amps)) for degc, speeds, amps in alternator.curve),
    )
    battery = _plain(1.17)
    draws = (Draw("all", "main", "current", draw_a),)
    idle = Stretch("idle", HOUR_S, draws, alternator.idle_rad_s, 93.0)
    return run_day(Supply(battery, alternator=larger), [off(0.5, *draws), idle, off(2.0, *draws)], [ALARM])


@settings(max_examples=40)
@given(AMPERES, st.floats(1.0, 3.0))
def test_more_alternator_never_empties_sooner(draw_a: float, more: float) -> None:
    """Law: with a larger alternator the battery is never emptier at the end, and the alarm never sooner."""
    small, large = with_engine(_ALTERNATOR, draw_a), with_engine(_ALTERNATOR, draw_a, more)
    alarms = [day.first("low") if day.first("low") is not None else float("inf") for day in (small, large)]

    assert large.time_s[-1] >= small.time_s[-1] - 1e-6
    assert large.main_share[-1] >= small.main_share[-1] - 1e-9
    assert alarms[1] >= alarms[0] - 1.0


@settings(max_examples=40)
@given(AMPERES, st.floats(0.0, 40.0))
def test_more_load_never_leaves_more(draw_a: float, more_a: float) -> None:
    """Law: with more on, every charge is lower at every time."""
    light, heavy = (
        strip(with_engine(_ALTERNATOR, draw_a), step_s=60.0),
        strip(with_engine(_ALTERNATOR, draw_a + more_a), step_s=60.0),
    )
    both = min(len(light.time_s), len(heavy.time_s))

    assert len(heavy.time_s) <= len(light.time_s)
    assert (heavy.main_share[:both] <= light.main_share[:both] + 1e-9).all()


@settings(max_examples=40)
@given(AMPERES, st.floats(0.1, 3.0), st.floats(0.1, 3.0))
def test_a_stretch_cut_in_two_is_the_same_day(draw_a: float, one_h: float, other_h: float) -> None:
    """Law: whoever writes a situation in two pieces gets the same end."""
    battery = _plain(1.15)
    whole = run_day(Supply(battery), [off(one_h + other_h, Draw("a", "main", "power", 12.0 * draw_a))])
    pieces = run_day(
        Supply(battery),
        [
            off(one_h, Draw("a", "main", "power", 12.0 * draw_a)),
            off(other_h, Draw("a", "main", "power", 12.0 * draw_a)),
        ],
    )

    assert pieces.main_share[-1] == pytest.approx(whole.main_share[-1], abs=1e-4)
    assert pieces.time_s[-1] == pytest.approx(whole.time_s[-1], rel=1e-3)


@settings(max_examples=40)
@given(AMPERES, AMPERES, st.sampled_from(["main", "second"]))
def test_charge_is_conserved(main_a: float, second_a: float, bus: Bus) -> None:
    """Law: without Peukert and losses, what the loads took is what both batteries lost, joined or not."""
    battery = _plain(1.0)
    alternator = Alternator(14.0, 0.0, ((25.0, (50.0, 500.0), (30.0, 30.0)),), 60.0)
    draws = (Draw("a", "main", "current", main_a), Draw("b", "second", "current", second_a))
    stretches = [Stretch("idle", HOUR_S, draws, 60.0), off(1.0, *draws)]
    day = run_day(
        Supply(battery, battery, alternator, Tie("i", "relay", ohm=0.001)), stretches, main_share=0.9, second_share=0.8
    )
    lengths_s = np.diff(day.time_s)
    given_as = float((lengths_s * (day.source_a[1:] + day.source_a[:-1]) / 2.0).sum())
    lost_as = (0.9 + 0.8 - day.main_share[-1] - day.second_share[-1]) * battery.capacity_as

    taken_as = (main_a + second_a) * day.time_s[-1]

    assert lost_as + given_as == pytest.approx(taken_as, abs=5e-3 * (given_as + taken_as) + 1.0)


def test_an_older_battery_in_the_cold_alarms_sooner(battery_part: Callable[[str], BatteryPart]) -> None:
    """Law: in that order: new and warm, new and cold, old and cold."""
    alarms = []
    for degc, years in ((25.0, 0.0), (-10.0, 0.0), (-10.0, 4.0)):
        battery = battery_of(battery_part("agm-95"), temperature_degc=degc, age_years=years)
        alarms.append(run_day(Supply(battery), [off(8.0, Draw("all", "main", "current", 25.0))], [ALARM]).first("low"))

    assert alarms == sorted(alarms, reverse=True)
    assert alarms[0] > alarms[-1] > 0.0


def test_the_strip_has_a_value_for_every_second(tank: Battery) -> None:
    """Law: from 0 to the last whole second, and the charge in it falls."""
    along = strip(run_day(Supply(tank), [off(4.0, LAMPS, RADIO)], [STAGE]))

    assert along.time_s.tolist() == list(range(4 * 3600 + 1))
    assert (np.diff(along.main_share) < 0.0).all()
    assert len(strip(run_day(Supply(tank), [Stretch("short", 10.0, (RADIO,))]), step_s=2.5).time_s) == 5


@pytest.mark.parametrize(
    ("stretches", "watches", "says"),
    [
        ([], [], "at least one stretch"),
        ([Stretch("none", 0.0, ())], [], "none: lasts 0 s"),
        ([off(1.0, LAMPS)], [], "lamps: shed by stage"),
        ([off(1.0, Draw("odd", "main", "current", float("nan")))], [], "odd: nan"),
        ([off(1.0)], [replace(ALARM, above_v=12.2)], "comes back above where it went"),
        ([off(1.0)], [ALARM, ALARM], "two watches of one name"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    stretches: list[Stretch], watches: list[Watch], says: str, tank: Battery
) -> None:
    """Case: the stretch, load or watch that can't be is named."""
    with pytest.raises(ValueError, match=says):
        run_day(Supply(tank), stretches, watches)


_ALTERNATOR = Alternator(
    14.2, -0.01, ((25.0, (68.0, 500.0), (78.0, 180.0)), (93.0, (68.0, 500.0), (30.0, 150.0))), 68.0
)


def _plain(peukert: float) -> Battery:
    return Battery(
        name="plain",
        chemistry="agm",
        capacity_as=300_000.0,
        twenty_hour_a=4.2,
        peukert=peukert,
        resistance_ohm=0.004,
        empty_ohm=0.006,
        rest_share=(0.0, 0.5, 1.0),
        rest_v=(11.8, 12.3, 12.8),
        inner_share=(0.0, 0.1, 0.5, 1.0),
        inner_v=(10.5, 12.0, 12.3, 12.8),
        most_charge_a=60.0,
        charge_share=1.0,
        lost_a=0.0,
        reserve_s=9000.0,
        cranking_a=800.0,
    )
