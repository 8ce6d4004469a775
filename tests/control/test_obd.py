"""Answers of on-board diagnostics: published examples, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.cli.reckon_door import reckon
from coachwright.control.obd import NoAnswer, known_pids, read_answer
from coachwright.kit.reckoner import InputRefused


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("41 05 3C", 20.0, "degC"),
        ("41 0C 0E 70", 924.0, "rpm"),
        ("41 0C 1A F8", 1726.0, "rpm"),
        ("41 0D 3C", 60.0, "km/h"),
    ],
)
def test_answers_agree_with_public_readers(text: str, value: float, unit: str) -> None:
    """Coolant 3C is 20 degC and engine speed 0E 70 is 924 rpm (documents of two OBD libraries); the others by hand."""
    answer = read_answer(text)

    assert (answer.value, answer.unit) == (pytest.approx(value), unit)


@pytest.mark.parametrize(
    ("text", "value"), [("41 1F 04 B0", 1200.0), ("41 2F 99", 60.0), ("41 42 37 8C", 14.220), ("41 46 3C", 20.0)]
)
def test_answers_from_memory(text: str, value: float) -> None:
    """Run time, fuel level, voltage and ambient temperature, by hand from formulas of SAE J1979 from memory."""
    assert read_answer(text).value == pytest.approx(value)


def test_supported_parameters_agree_with_a_public_example() -> None:
    """BE 1F A8 13 says 1, 3 to 7, 12 to 17, 19, 21, 28, 31, 32 (documents of an OBD library)."""
    assert read_answer("41 00 BE 1F A8 13").supported == (1, 3, 4, 5, 6, 7, 12, 13, 14, 15, 16, 17, 19, 21, 28, 31, 32)


def test_no_figure_here_was_read_in_the_standard() -> None:
    """Law: what was quoted or remembered stays draft."""
    assert {pid.cite.status for pid in known_pids().values()} == {"draft"}


@given(st.integers(0, 255), st.integers(0, 255))
def test_a_frame_says_what_its_bytes_say(first: int, second: int) -> None:
    """Law: the length, the padding and the number of the frame change nothing."""
    bare = read_answer(f"41 0C {first:02X} {second:02X}")

    assert bare.value == (256 * first + second) / 4.0
    assert read_answer(f"7E8#04410C{first:02X}{second:02X}AAAAAA") == bare


@given(st.text(max_size=40) | st.binary(max_size=12).map(bytes.hex))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Law: nothing but an answer or a refusal in one line."""
    told = ""
    try:
        told = read_answer(text).parameter
    except NoAnswer as why:
        told = str(why)

    assert len(told.splitlines()) == 1


def test_obd_through_the_door() -> None:
    """924 rpm (documents of an OBD library), the list in hexadecimal, and what can't be read."""
    done = reckon("obd", ["frame=41 0C 0E 70"])

    assert [done.value(key) for key in ("parameter", "value", "unit")] == ["engine speed", 924.0, "rpm"]
    assert reckon("obd", ["frame=41 00 80 00 00 01"]).value("supported") == "01 20"
    for frame, says in (
        ("41 99 00", "isn't known"),
        ("41 0C 0E", "2 bytes"),
        ("41 00 01", "four"),
        ("04 41 0C 0E", "4 b"),
    ):
        with pytest.raises(InputRefused, match=says):
            reckon("obd", [f"frame={frame}"])
