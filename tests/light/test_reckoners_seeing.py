"""Single calculations of seeing, as somebody types them: printed cases through the door."""

import math

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused

TWO = "pulses=50 ms @ 1000 cd, 50 ms @ 0 cd, 50 ms @ 1000 cd"


@pytest.mark.parametrize(
    ("law", "expected_cd", "end_s"),
    [
        ("blondel-rey", 100 / 0.35, 0.15),
        ("form-factor", 100 / (0.2 + 0.1), 0.15),
        ("allard", 1000 * (1 / 5 + 2 / 3 - 4 / 7), 0.15),
    ],
)
def test_two_pulses_agree_with_each_law_by_hand(law: str, expected_cd: float, end_s: float) -> None:
    """IES 11.1.10.1: 100 cd s over 0.35 s; R65 form (from memory): T falls out; IALA q(t) (from memory): 295.24 cd."""
    done = reckon("effective-intensity", [TWO, f"law={law}"])

    assert done.value("intensity") == pytest.approx(expected_cd, rel=1e-9)
    assert (done.value("window_start"), done.value("window_end")) == pytest.approx((0.0, end_s))
    assert done.as_json()["results"]["intensity"]["unit"] == "cd"


def test_a_constant_can_be_chosen() -> None:
    """1000 cd for 0.1 s at 0.1 s is 500 cd (IES 11.1.10.1 with the other constant of the IALA dictionary)."""
    done = reckon("effective-intensity", ["pulses=0.1 s @ 1 kcd", "constant=100 ms"])

    assert done.value("intensity") == pytest.approx(500)


def test_a_flash_that_repeats_fast_counts_by_its_mean() -> None:
    """Law: 50 ms in 100 ms is half the light; the window has no end, and JSON says none."""
    done = reckon("effective-intensity", ["pulses=50 ms @ 1000 cd", "every=100 ms"])

    assert done.value("intensity") == pytest.approx(500)
    assert done.as_json()["results"]["window_end"]["value"] is None
    assert "window_end    none\n" in done.as_text()


def test_repeating_slowly_changes_nothing() -> None:
    """Law: with more than 0.2 s of dark between, each flash is alone."""
    alone = reckon("effective-intensity", [TWO])
    again = reckon("effective-intensity", [TWO, "every=500 ms"])

    assert again.value("intensity") == pytest.approx(alone.value("intensity"))


@pytest.mark.parametrize(("extra", "says"), [("every=100 ms", "lasts 0.15 s"), ("law=allard", "takes one flash alone")])
def test_repeats_that_cant_be_are_refused(extra: str, says: str) -> None:
    """Law: a flash fits into its cycle, and only one law knows cycles."""
    texts = [TWO, extra] if "every" in extra else [TWO, extra, "every=1 s"]
    with pytest.raises(InputRefused, match=says):
        reckon("effective-intensity", texts)


def test_optical_power_agrees_with_sae_j2498() -> None:
    """75 flashes of 50 cd s: 3750 cd s/min, a mean of 62.5 cd (SAE J2498: integral over 60 s, public summary)."""
    done = reckon("optical-power", ["pulses=50 ms @ 1000 cd", "flashes_per_minute=75"])

    assert done.value("power") == pytest.approx(3750)
    assert done.value("mean_intensity") == pytest.approx(62.5)
    assert done.as_json()["results"]["power"]["unit"] == "cd s/min"


def test_more_flashes_than_a_minute_holds_are_refused() -> None:
    """Law: 0.05 s fits into a minute 1200 times."""
    with pytest.raises(InputRefused, match="1200 times"):
        reckon("optical-power", ["pulses=50 ms @ 1000 cd", "flashes_per_minute=1201"])


@pytest.mark.parametrize(("miles", "table_cd"), [(2, 4.3), (3, 12), (6, 94)])
def test_intensity_for_range_agrees_with_33_cfr_84_14(miles: int, table_cd: float) -> None:
    """Table 84.14(b), K = 0.8, T = 2e-7 lx."""
    done = reckon("intensity-for-range", [f"range={miles} nmi", "threshold=2e-7 lx", "transmissivity=0.8"])

    assert done.value("intensity") == pytest.approx(table_cd, rel=0.006)


def test_sight_range_and_intensity_for_range_are_inverse() -> None:
    """Law: 500 cd in 1 km of visibility at 1e-3 lx and back."""
    far = reckon("sight-range", ["intensity=500 cd", "threshold=1e-3", "visibility=1 km"]).value("range")
    back = reckon("intensity-for-range", [f"range={far} m", "threshold=1e-3 lx", "visibility=1 km"])

    assert far == pytest.approx(392.7, abs=0.05)
    assert back.value("intensity") == pytest.approx(500)


@pytest.mark.parametrize("air", [[], ["visibility=1 km", "transmissivity=0.8"]])
def test_air_is_described_once(air: list[str]) -> None:
    """Law: either of the two, not both or neither."""
    with pytest.raises(InputRefused, match="described once"):
        reckon("intensity-for-range", ["range=1 km", "threshold=1e-3", *air])


def test_glare_of_a_lamp_beside_the_road_agrees_with_vos_2003() -> None:
    """5,000 cd, 50 m ahead, 3.6 m aside, 65 years: 4.118 deg, 1.985 lx, 2.04 cd/m2, by hand from the equation."""
    done = reckon("glare-veil", ["age=65 years", "intensity=5000 cd", "distance=50 m", "aside=3.6 m"])

    assert done.value("angle") == pytest.approx(4.118, abs=5e-4)
    assert done.value("illuminance") == pytest.approx(1.985, abs=1e-3)
    assert done.value("luminance") == pytest.approx(2.04, abs=5e-3)
    assert done.notes == ()


def test_glare_by_the_small_angle_equation_agrees_with_cie_146() -> None:
    """1 lx at 2 deg, 25 years: 10/8 + 5/4 (1 + 0.4^4) = 2.532 cd/m2 (CIE 146:2002, from memory)."""
    done = reckon("glare-veil", ["age=25", "angle=2 deg", "illuminance=1 lx", "model=small-angle"])

    assert done.value("luminance") == pytest.approx(10 / 8 + 5 / 4 * (1 + 0.4**4))


def test_angles_outside_the_equations_are_said_to_be() -> None:
    """1 deg and 30 deg bound the age-adjusted equation (Vos 2003): half a degree is answered with a note."""
    inside = [reckon("glare-veil", ["age=40", f"angle={deg} deg", "illuminance=1 lx"]).notes for deg in (1, 30)]
    outside = reckon("glare-veil", ["age=40", "angle=0.5 deg", "illuminance=1 lx"]).notes

    assert inside == [(), ()]
    assert "outside the 1 to 30 deg" in outside[0]


@pytest.mark.parametrize(
    "texts", [["angle=2 deg"], ["angle=2 deg", "illuminance=1 lx", "aside=1 m"], ["intensity=1 cd", "distance=1 m"], []]
)
def test_a_glaring_light_is_described_once_and_whole(texts: list[str]) -> None:
    """Law: half of one way and half of the other is neither."""
    with pytest.raises(InputRefused, match="once and whole"):
        reckon("glare-veil", ["age=40", *texts])


def test_light_too_far_for_any_lamp_has_no_number() -> None:
    """Law: beyond all numbers the answer is none, with a note."""
    done = reckon("intensity-for-range", ["range=100 km", "threshold=1e-3 lx", "visibility=10 m"])

    assert done.value("intensity") == math.inf
    assert done.as_json()["results"]["intensity"]["value"] is None
    assert "No light is strong enough" in done.notes[0]
