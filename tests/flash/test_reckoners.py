"""The flash room's single calculations, as somebody types them."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_flash_rate_of_a_double_flash_agrees_with_sae_j595() -> None:
    """A train of pulses is one flash (SAE J595-2021, public summary): 60 on, 40 off, 60 on, 340 off is 120 a minute."""
    done = reckon("flash-rate", ["steps=60, 40, 60, 340"])

    assert done.value("flashes_per_minute") == pytest.approx(120)
    assert done.value("on_share") == pytest.approx(0.24)
    assert done.as_json()["results"]["regular"] == {"value": "yes", "unit": "yes/no"}
    assert done.value("cycle") == pytest.approx(500)
    assert "counted as 1" in done.notes[0]


def test_units_may_be_written_or_left_out() -> None:
    """Law: a step without a unit is in ms, and the answer shows what it was taken for."""
    bare, written = (reckon("flash-rate", [f"steps={text}"]) for text in ("500, 500", "0.5 s, 500 ms"))

    assert bare.as_json()["results"] == written.as_json()["results"]
    assert dict(bare.inputs)["steps"] == "500 ms, 500 ms"


def test_pulses_can_be_parted_by_hand() -> None:
    """Law: with join shorter than the dark between them, each pulse is a flash, and they aren't regular."""
    done = reckon("flash-rate", ["steps=60, 40, 60, 340", "join=30 ms"])

    assert done.value("flashes_per_minute") == pytest.approx(240)
    assert done.value("regular") is False


@pytest.mark.parametrize(("steps", "says"), [("100", "isn't a flashing light"), ("60, 40, 60", "runs into the first")])
def test_odd_lists_are_explained(steps: str, says: str) -> None:
    """Law: a steady lamp and a list that ends lit are answered with a note."""
    assert any(says in note for note in reckon("flash-rate", [f"steps={steps}"]).notes)


def test_seen_rate_agrees_with_wcag_2_3_1() -> None:
    """Three in any one second are allowed, four are not (W3C 2.3.1): 1.5 Hz on both sides, then 2 Hz."""
    slow = reckon("seen-rate", ["rates=90 per min, 90 per min", "phases=0, 0.5"])
    fast = reckon("seen-rate", ["rates=2 Hz, 2 Hz", "phases=0 %, 50 %"])

    assert slow.as_json()["results"]["within_three"]["value"] == "yes"
    assert slow.value("flashes_per_second") == pytest.approx(3)
    assert fast.as_json()["results"]["within_three"]["value"] == "no"
    assert fast.value("flashes_per_second") == pytest.approx(4)


def test_lamps_left_without_phases_flash_at_once() -> None:
    """Law: no phases means together; a phase too few is refused with both counts."""
    assert reckon("seen-rate", ["rates=2 Hz, 2 Hz"]).value("flashes_per_second") == pytest.approx(2)
    with pytest.raises(InputRefused, match="2 rates and 1 phases"):
        reckon("seen-rate", ["rates=2 Hz, 2 Hz", "phases=0"])
