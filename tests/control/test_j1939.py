"""Frames of a heavy vehicle's bus: published examples, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.cli.reckon_door import reckon
from coachwright.control.j1939 import FrameRefused, Reading, known_groups, read_frame, read_parts
from coachwright.kit.reckoner import InputRefused


def readings(identifier: str, data: str) -> dict[str, Reading]:
    return {each.signal.name: each for each in read_parts(identifier, data).readings}


def test_identifier_agrees_with_the_page_of_a_message_compiler() -> None:
    """2365443326 = 8CFDCCFE is priority 3, group 64972, source 254 (page of an open compiler of message files)."""
    frame = read_parts(f"{2365443326:X}", "")

    assert (frame.priority, frame.group, frame.source, frame.destination) == (3, 64972, 254, None)


def test_engine_speed_agrees_with_a_public_repository() -> None:
    """40 1F in bytes 4 and 5 of group 61444 is 1000 rpm (a public repository's worked frame)."""
    assert readings("0CF00400", "FFFFFF401FFFFFFF")["engine-speed"].value == 1000.0


def test_vehicle_frame_by_hand() -> None:
    """Group 65265 laid out as public repositories do: byte 1 bits 3 and 4, bytes 2 and 3 / 256, byte 4 bits 5 and 6."""
    told = readings("18FEF100", "F7002D10FFFFFFFF")

    assert [told[name].meaning for name in ("parking-brake", "brake", "two-speed-axle")] == [
        "set",
        "pressed",
        "not available",
    ]
    assert told["speed"].value == 45.0


@pytest.mark.parametrize(("raw", "value", "meaning"), [(124, -1.0, "R"), (125, 0.0, "N"), (251, None, "P")])
def test_gears_agree_with_public_repositories(raw: int, value: float | None, meaning: str) -> None:
    """124 is reverse, 125 neutral, 251 park, in byte 4 of group 61445 (public code repositories)."""
    gear = readings("18F00503", f"FFFFFF{raw:02X}FFFFFFFF")["gear"]

    assert (gear.value, gear.meaning) == (value, meaning)


@pytest.mark.parametrize(
    ("byte", "turn", "hazard"),
    [
        ("F1", "left", "not available"),
        ("D2", "right", "flashing"),
        ("CE", "error", "off"),
        ("EF", "not available", "error"),
    ],
)
def test_lights_by_hand(byte: str, turn: str, hazard: str) -> None:
    """Group 64972, byte 2: turn in bits 1 to 4 (14 error, 15 not available), hazard in bits 5 and 6 (public pages)."""
    told = readings("0CFDCC21", f"FF{byte}")

    assert (told["turn"].meaning, told["hazard"].meaning) == (turn, hazard)


def test_lamps_agree_with_the_public_register() -> None:
    """Group 65088: right turn at 2.5, left at 2.7, reverse 3.1, stop 3.3 to 3.7 (isobus.net)."""
    told = readings("18FE4021", "FF5F55FFFFFFFFFF")
    on = {name for name, each in told.items() if each.meaning == "on"}

    assert on == {"turn-right", "turn-left", "reverse-and-alarm", "stop-centre", "stop-right", "stop-left"}


def test_no_layout_here_was_read_in_the_standard() -> None:
    """Law: what was quoted or remembered stays draft."""
    assert {group.cite.status for group in known_groups().values()} == {"draft"}
    assert len(known_groups()) >= 8


def test_no_two_signals_of_a_group_share_a_bit() -> None:
    """Law: a typing slip in the data would make two signals overlap or reach beyond eight bytes."""
    for group in known_groups().values():
        taken = [bit for each in group.signals for bit in range(each.first_bit, each.first_bit + each.bits)]
        assert len(set(taken)) == len(taken), group.number
        assert max(taken) < 64


@given(st.sampled_from(sorted(known_groups())))
def test_what_is_not_available_has_no_value(group: int) -> None:
    """Law: bytes FF, and bytes that are missing, refresh nothing."""
    for data in ("FF" * 8, ""):
        told = readings(f"{6 << 26 | group << 8:08X}", data)
        assert {each.value for each in told.values()} == {None}
        assert {each.meaning for each in told.values()} <= {"not available", "not in this frame"}


@given(st.integers(0, 7), st.integers(0, 0x1FFFF), st.integers(0, 255), st.binary(max_size=8))
def test_an_identifier_is_put_together_from_what_is_read(priority: int, page: int, source: int, data: bytes) -> None:
    """Law: priority, group, destination and source make the identifier again; bytes stay as they are."""
    identifier = priority << 26 | page << 8 | source
    frame = read_frame(f"(1700000000.000000) can0 {identifier:08X}#{data.hex()} R")
    specific = frame.group & 0xFF if frame.group >> 8 & 0xFF >= 240 else (page & 0xFF)

    assert frame.priority << 26 | (frame.group & ~0xFF | specific) << 8 | frame.source == identifier
    assert frame.data == data


@given(st.text(max_size=60) | st.from_regex(r"[0-9A-F]{0,9}#[0-9A-F ]{0,24}", fullmatch=True))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Law: nothing but a frame or a refusal in one line."""
    try:
        said = str(read_frame(text).group)
    except FrameRefused as why:
        said = str(why)

    assert len(said.splitlines()) == 1


def test_j1939_through_the_door() -> None:
    """By hand, as above: frame or id with data; an unknown group gives its addresses and says that it is not read."""
    done = reckon("j1939", ["frame=18FEF100#F7002D10FFFFFFFF"])
    parts = reckon("j1939", ["id=18FEF100", "data=F7 00 2D 10 FF FF FF FF"])
    other = reckon("j1939", ["frame=18EA2100#EBFE00"])

    assert [done.value(key) for key in ("group", "source", "brake", "speed")] == [65265.0, 0.0, "pressed", 45.0]
    assert done.results == parts.results
    assert done.value("signals") == 7.0
    assert done.as_json()["results"]["brake"]["meaning"] == "pressed"
    assert [other.value(key) for key in ("group", "destination")] == [59904.0, 33.0]
    assert "not read" in other.notes[0]


@pytest.mark.parametrize(
    ("inputs", "says"),
    [
        ([], "frame=18FEF100"),
        (["frame=18FEF100#00", "id=18FEF100"], "or id="),
        (["frame=18FEF100#00", "data=00"], "Leave data out"),
        (["frame=7E8#00"], "29-bit"),
        (["frame=18FEF100#0"], "two hexadecimal digits"),
        (["frame=18FEF100#" + "00" * 9], "eight at most"),
        (["frame=hello"], "no frame"),
        (["id=3FFFFFFFF"], "no identifier"),
    ],
)
def test_what_is_no_frame_says_what_to_write(inputs: list[str], says: str) -> None:
    """Case: one line each."""
    with pytest.raises(InputRefused, match=says):
        reckon("j1939", inputs)
