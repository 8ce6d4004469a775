"""Antennas: the law's table and a cable guide, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.body.antenna import NoFigure, coax_loss, delivered_w, exposure_distance_m, exposure_limit


@pytest.mark.parametrize(
    ("mhz", "public", "workers"),
    [(155.0, 0.2, 1.0), (300.0, 0.2, 1.0), (460.0, 460 / 1500, 460 / 300), (1500.0, 1.0, 5.0), (2442.0, 1.0, 5.0)],
)
def test_limit_agrees_with_47_cfr_1_1310(mhz: float, public: float, workers: float) -> None:
    """Table 1, mW/cm2: 0.2 and 1.0 up to 300 MHz, f/1500 and f/300 up to 1500 MHz, 1.0 and 5 above."""
    for everybody, expected, minutes in ((True, public, 30.0), (False, workers, 6.0)):
        limit = exposure_limit(mhz * 1e6, public=everybody)
        assert limit.limit_w_m2 / 10.0 == pytest.approx(expected)
        assert limit.averaging_s == minutes * 60.0
        assert limit.cite.status == "read"


def test_fifty_watts_into_a_dipole_by_hand() -> None:
    """50 W, 0 dBd (1.64 times, 2.15 dBi) at 1 m in the open: 0.6525 mW/cm2, by hand (FCC OET Bulletin 65)."""
    assert exposure_distance_m(power_w=50.0, gain_db=2.15, limit_w_m2=6.525) == pytest.approx(1.0, abs=3e-4)


@pytest.mark.parametrize(
    ("watts", "mhz", "public", "duty", "centimetres"),
    [(50, 155, False, 1.0, 80.8), (50, 155, True, 1.0, 180.7), (50, 155, True, 0.5, 127.7),
     (35, 460, False, 1.0, 54.6), (35, 460, True, 1.0, 122.1)],
)  # fmt: skip
def test_distance_by_hand(watts: float, mhz: float, public: bool, duty: float, centimetres: float) -> None:
    """2.15 dBi in the open, by hand from 47 CFR 1.1310 and OET Bulletin 65."""
    limit = exposure_limit(mhz * 1e6, public=public).limit_w_m2
    found = exposure_distance_m(power_w=watts, gain_db=2.15, limit_w_m2=limit, duty_share=duty)

    assert found * 100.0 == pytest.approx(centimetres, abs=0.06)


@pytest.mark.parametrize(("mhz", "loss_db", "watts"), [(150, 0.915, 28.35), (450, 1.76, 23.3), (850, 2.66, 18.96)])
def test_cable_agrees_with_the_guide(mhz: float, loss_db: float, watts: float) -> None:
    """15 ft of RG-58 and 35 W: 6.1, 11.75, 17.75 dB per 100 ft (repeater training guide, appendix H): draft figures."""
    found = coax_loss("rg-58", length_m=15 * 0.3048, frequency_hz=mhz * 1e6)

    assert found.loss_db == pytest.approx(loss_db, abs=0.005)
    assert delivered_w(35.0, loss_db=found.loss_db) == pytest.approx(watts, abs=0.06)
    assert found.cite.status == "draft"


@given(st.sampled_from(["rg-58", "rg-213", "rg-8-foam"]), st.floats(50.0, 800.0), st.floats(1.001, 1.06))
def test_loss_rises_with_frequency(cable: str, mhz: float, higher: float) -> None:
    """Law: also between the tabulated frequencies, which the curve meets."""
    low = coax_loss(cable, length_m=10.0, frequency_hz=mhz * 1e6)
    high = coax_loss(cable, length_m=10.0, frequency_hz=mhz * higher * 1e6)

    assert low.loss_db < high.loss_db


@given(st.floats(0.1, 200.0), st.floats(-10.0, 20.0), st.floats(0.1, 100.0))
def test_four_times_the_power_is_twice_the_distance(power: float, gain: float, limit: float) -> None:
    """Law: the inverse square law."""
    once = exposure_distance_m(power_w=power, gain_db=gain, limit_w_m2=limit)

    assert exposure_distance_m(power_w=4.0 * power, gain_db=gain, limit_w_m2=limit) == pytest.approx(2.0 * once)


def test_nothing_is_guessed_beyond_the_tables() -> None:
    """Law: the refusal says what there is."""
    with pytest.raises(NoFigure, match="rg-58, rg-213"):
        coax_loss("rope", length_m=1.0, frequency_hz=150e6)
    with pytest.raises(NoFigure, match="50 to 850 MHz"):
        coax_loss("rg-58", length_m=1.0, frequency_hz=2.4e9)
    with pytest.raises(NoFigure, match="30 MHz to 100 GHz"):
        exposure_limit(27e6, public=True)
