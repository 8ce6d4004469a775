"""Single calculations of the power room, as somebody types them."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_conductor_through_the_door() -> None:
    """12 AWG: 2.0525 mm, 3.3088 mm2, 6530 circular mils, 5.211 mohm/m solid at 20 degC (ASTM B258, IACS by hand)."""
    done = reckon("conductor", ["gauge=12"])

    assert done.value("diameter") == pytest.approx(2.0525, abs=5e-5)
    assert done.value("area") == pytest.approx(3.3088, abs=5e-5)
    assert done.value("circular_mils") == pytest.approx(6530, abs=0.5)
    assert done.value("resistance") == pytest.approx(5.211, abs=5e-4)


def test_drop_through_the_door() -> None:
    """8 A, 100 ft of 12 AWG at 75 degC: 3.16 V (N.D. Admin. Code 241-06-50); cold wire says what hot wire takes."""
    hot = reckon("voltage-drop", ["gauge=12", "length=100 ft", "current=8 A", "temperature=75 degC"])
    cold = reckon("voltage-drop", ["gauge=12", "length=100 ft", "current=8 A"])

    assert hot.value("drop") == pytest.approx(3.16, rel=0.01)
    assert hot.value("share") == pytest.approx(3.16 / 12.0, rel=0.01)
    assert hot.notes == ()
    assert "75 degC it takes 3.152 V" in cold.notes[0]


def test_a_drop_larger_than_the_supply_is_told() -> None:
    """Law: an answer nobody can have is marked as such."""
    done = reckon("voltage-drop", ["gauge=18", "length=300 ft", "current=20 A", "temperature=80 degC"])

    assert "whole supply" in done.notes[0]


def test_sizes_through_the_door() -> None:
    """10 A, 21 ft there and back, 0.36 V: 12 AWG, 10 SAE (boat supplier's wire guide); too much finds none."""
    done = reckon("conductor-for", ["current=10 A", "length=21 ft", "drop=0.36 V"])
    none = reckon("conductor-for", ["current=2000 A", "length=21 ft", "drop=0.36 V"])

    assert (done.value("gauge_awg"), done.value("gauge_sae")) == ("12", "10")
    assert none.value("gauge_awg") is None
    assert none.notes


def test_ampacity_through_the_door() -> None:
    """12 AWG, 105 degC in an engine space, seven in the bundle: 45 x 0.85 x 0.5 = 19.1 A (33 CFR 183.425)."""
    done = reckon("ampacity", ["gauge=12 AWG", "insulation=105", "place=engine", "bundle=7"])

    assert done.value("current") == pytest.approx(19.125)
    assert [source.state for source in done.sources] == ["read", "draft", "draft"]
    assert "practice does" in done.notes[0]


@pytest.mark.parametrize(("rule", "limit", "fuse"), [("150 %", 67.5, 50.0), ("125", 36.0, 30.0), ("135%", 33.33, 30.0)])
def test_fuse_through_the_door(rule: str, limit: float, fuse: float) -> None:
    """45 A wire by each rule, from 30, 40 and 50 A fuses (33 CFR 183.455; NFPA 1901; a chassis maker)."""
    done = reckon("largest-fuse", ["ampacity=45 A", f"rule={rule}", "sizes=30, 40, 50"])

    assert done.value("limit") == pytest.approx(limit, abs=0.005)
    assert done.value("fuse") == fuse


def test_no_fuse_small_enough_is_told() -> None:
    """Law: none is an answer, with the reason."""
    done = reckon("largest-fuse", ["ampacity=10 A", "rule=125 %", "sizes=30 A"])

    assert done.value("fuse") is None
    assert "above the limit" in done.notes[1]


def test_withstand_through_the_door() -> None:
    """14 AWG from 75 to 150 degC bears 4.73e4 A2 s: 0.296 s at 400 A, by hand (ICEA P-32-382)."""
    words = ["gauge=14", "from=75 degC", "to=150 degC", "current=400 A"]
    done = reckon("withstand", words)

    assert done.value("i2t") == pytest.approx(4.73e4, rel=2e-3)
    assert done.value("time") == pytest.approx(0.296, abs=1e-3)
    assert reckon("withstand", [*words, "formula=iec-60949"]).value("i2t") == pytest.approx(4.73e4, rel=0.02)
    assert "loses heat" in reckon("withstand", [*words[:3], "current=20 A"]).notes[0]


def test_melting_and_leak_through_the_door() -> None:
    """168.9 A (Onderdonk by hand), 312 mA (a maker's data of blade fuses)."""
    melting = reckon("melting-current", ["circular_mils=2581", "ambient=25 degC", "time=5 s"])
    leak = reckon("fuse-leak", ["drop=2.4 mV", "resistance=7.7 mohm"])

    assert melting.value("current") == pytest.approx(168.9, abs=0.05)
    assert leak.value("current") == pytest.approx(0.312, abs=5e-4)


def test_battery_through_the_door() -> None:
    """70 Ah and RC 120: exponent 1.1711; at 25 A it lasts its 120 min (Peukert, rated form)."""
    done = reckon("battery-life", ["c20=70 Ah", "reserve_minutes=120", "load=25 A"])

    assert done.value("peukert") == pytest.approx(1.1711, abs=5e-5)
    assert done.value("time") == pytest.approx(120.0)
    assert done.notes == ()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["c20=40 Ah", "reserve_minutes=200", "load=10 A"], "don't belong together"),
        (["c20=100 Ah", "reserve_minutes=60", "load=10 A"], "unusual"),
        (["c20=70 Ah", "reserve_minutes=120", "load=60 A"], "outside"),
    ],
)
def test_odd_ratings_are_told(words: list[str], says: str) -> None:
    """Law: two ratings that no battery has together, and a load off the curve, bring a note."""
    assert any(says in note for note in reckon("battery-life", words).notes)


def test_reserve_and_days_through_the_door() -> None:
    """60 A for 10 min are 10 Ah, 48 min of reserve at a half (NFPA 1901 chapter 13); RC 120 at 50 mA stands 24 days."""
    need = reckon("reserve-need", ["load=60 A", "time=10 min", "share=50 %"])
    days = reckon("parked-days", ["reserve_minutes=120", "drain=50 mA"])

    assert (need.value("used"), need.value("reserve_minutes")) == (pytest.approx(10.0), pytest.approx(48.0))
    assert "above 25 A" in need.notes[0]
    assert days.value("days") == pytest.approx(24.0)


def test_loads_through_the_door() -> None:
    """Four lamps of 2 A, half the time: mean 4, peak 8, together 5.657, independent 4.472 A, by hand."""
    shape = reckon("load-shape", ["count=4", "current=2 A", "duty=50 %"])
    fed = reckon("constant-power", ["power=60 W", "supply=12 V", "loop=0 ohm"])
    out = reckon("constant-power", ["power=600 W", "supply=12 V", "loop=0.1 ohm"])

    assert [shape.value(key) for key in ("mean", "peak")] == [pytest.approx(4.0), pytest.approx(8.0)]
    assert shape.value("rms_together") == pytest.approx(5.657, abs=5e-4)
    assert shape.value("rms_independent") == pytest.approx(4.472, abs=5e-4)
    assert (fed.value("current"), fed.value("brown_out")) == (pytest.approx(5.0), False)
    assert out.as_json()["results"] == {"brown_out": {"value": "yes", "unit": "yes/no"}}


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        ("conductor", ["gauge=fat"], "Write 12"),
        ("ampacity", ["gauge=fat", "insulation=105"], "Write 12"),
        ("ampacity", ["gauge=12", "insulation=100"], "60, 75"),
        ("largest-fuse", ["ampacity=45 A", "rule=200 %"], "150 %, 125 %, 135 %"),
        ("withstand", ["gauge=12", "from=90 degC", "to=80 degC", "current=1 A"], "more than 90"),
        ("battery-life", ["c20=500 Ah", "reserve_minutes=60", "load=10 A"], "another battery"),
    ],
)
def test_what_cant_be_answered_says_what_to_write(name: str, words: list[str], says: str) -> None:
    """Law: one line, with the way out."""
    with pytest.raises(InputRefused, match=says):
        reckon(name, words)
