"""Single calculations of the body room, as somebody types them."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_axles_through_the_door() -> None:
    """400 lb 24 in behind the rear axle: +472.7 and -72.7 lb, by hand (statics); a lifted axle is told."""
    words = ["wheelbase=132 in", "front=3000 lb", "rear=3000 lb", "items=400 lb @ 156 in"]
    done = reckon("axle-loads", words)
    lifted = reckon("axle-loads", [words[0], "front=50 lb", *words[2:]])

    assert done.value("rear_change") == pytest.approx(472.7, abs=0.05)
    assert done.value("front") == pytest.approx(2927.3, abs=0.05)
    assert done.value("total") == pytest.approx(6400.0)
    assert "leave the ground" in lifted.notes[0]


@pytest.mark.parametrize(
    ("gvwr", "added", "triggers"), [(6000, 90, False), (6000, 91, True), (7100, 100, False), (7100, 101, True)]
)
def test_label_through_the_door(gvwr: float, added: float, triggers: bool) -> None:
    """More than the lesser of 1.5 % and 100 lb (49 CFR 571.110, 72 FR 68442)."""
    done = reckon("label-trigger", [f"gvwr={gvwr} lb", f"added={added} lb"])

    assert done.value("triggers") is triggers
    assert done.notes == ()
    assert reckon("label-trigger", ["gvwr=12000 lb", "added=1 lb"]).notes


def test_mount_and_height_through_the_door() -> None:
    """20 kg at 9 g: 1765.2 N, 396.8 lbf; 27.82 in high, by hand."""
    force = reckon("hold-load", ["mass=20 kg", "peak=9 g"])
    height = reckon(
        "gravity-height", ["weight=6760 lb", "wheelbase=119 in", "lift=24 in", "transfer=150 lb", "radius=15 in"]
    )

    assert force.value("force") == pytest.approx(1765.2, abs=0.05)
    assert force.value("force_lbf") == pytest.approx(396.8, abs=0.05)
    assert height.value("height") == pytest.approx(27.82, abs=0.005)


def test_air_through_the_door() -> None:
    """12 changes, 99 %: 23 min (MMWR 43 RR-13 table S3-1); 0.4762 and 0.004715 mg/m3 by hand."""
    purge = reckon("purge-time", ["air_changes=12", "removal=99 %"])
    rooms = reckon("two-rooms", ["source=10 mg/h", "exhaust=20 m3/h", "leak=1 m3/h", "cabin_fresh=100 m3/h"])

    assert purge.value("time") == pytest.approx(23.0, abs=0.5)
    assert rooms.value("locker") == pytest.approx(0.4762, abs=5e-5)
    assert rooms.value("cabin") == pytest.approx(0.004715, abs=5e-7)


def test_radio_through_the_door() -> None:
    """50 W, 2.15 dBi, 155 MHz: 180.7 cm for anybody (47 CFR 1.1310); 15 ft of RG-58 leave 28.35 of 35 W (draft)."""
    distance = reckon("exposure-distance", ["power=50 W", "gain=2.15 dBi", "frequency=155 MHz", "public=yes"])
    cable = reckon("coax", ["type=RG-58", "length=15 ft", "frequency=150 MHz", "power=35 W"])
    between = reckon("coax", ["type=rg-58", "length=15 ft", "frequency=160 MHz", "power=35 W", "connectors=0.5 dB"])

    assert distance.value("distance") == pytest.approx(180.7, abs=0.06)
    assert [source.state for source in distance.sources] == ["second-hand", "read"]
    assert cable.value("delivered") == pytest.approx(28.35, abs=0.01)
    assert [source.state for source in cable.sources] == ["draft"]
    assert "between" in between.notes[0]


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        ("gravity-height", ["weight=1 t", "wheelbase=3 m", "lift=3 m", "transfer=1 kg", "radius=0"], "lift"),
        ("two-rooms", ["source=1", "exhaust=0 m3/h", "leak=0 m3/h", "cabin_fresh=0 m3/h"], "never settles"),
        ("exposure-distance", ["power=5 W", "gain=0 dBi", "frequency=27 MHz", "public=no"], "30 MHz"),
        ("coax", ["type=rope", "length=1 m", "frequency=150 MHz", "power=5 W"], "no such cable"),
    ],
)
def test_what_cant_be_answered_says_what_to_write(name: str, words: list[str], says: str) -> None:
    """Law: one line, with the way out."""
    with pytest.raises(InputRefused, match=says):
        reckon(name, [word.replace("radius=0", "radius=0 m") for word in words])
