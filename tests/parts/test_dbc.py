"""Files of messages: an invented one by hand, people's files from the field, another decoder, and broken ones."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.kit.errors import DoorRefused
from coachwright.parts.dbc import MOST_BYTES, MOST_MESSAGES, BusSignal, MessageFile, read_messages
from coachwright.parts.dbc_mend import mended

HEAD = 'VERSION ""\nNS_ :\nBS_:\nBU_: ECU\n'
BODY = """BO_ 100 Body: 8 ECU
 SG_ Door : 0|1@1+ (1,0) [0|1] "" ECU
 SG_ Gear : 4|3@1+ (1,0) [0|7] "" ECU
 SG_ Speed : 15|16@0+ (0.01,0) [0|600] "km/h" ECU
 SG_ Air : 32|8@1- (0.5,-10) [0|0] "degC" ECU
BO_ 2365443326 Truck: 8 ECU
 SG_ Which M : 0|4@1+ (1,0) [0|15] "" ECU
 SG_ One m1 : 8|8@1+ (1,0) [0|255] "" ECU
 SG_ Two m2 : 8|8@1+ (1,0) [0|255] "" ECU
BA_DEF_ BO_ "GenMsgCycleTime" INT 0 10000;
BA_DEF_DEF_ "GenMsgCycleTime" 0;
BA_ "GenMsgCycleTime" BO_ 100 20;
VAL_ 100 Gear 0 "P" 1 "R" 2 "N" 3 "D" ;
"""


def written(folder: Path, text: str | bytes, name: str = "body.dbc") -> Path:
    """A file of messages in a folder."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def read_text(folder: Path, text: str | bytes) -> MessageFile:
    return read_messages(written(folder, text))


def test_layout_of_the_format_by_hand(tmp_path: Path) -> None:
    """start|length@order sign (factor,offset), as open descriptions of DBC print it; 2365443326 is 0CFDCCFE of 29 bits
    (page of an open compiler of message files)."""
    file = read_text(tmp_path, HEAD + BODY)
    body, truck = file.messages
    door, gear, speed, air = body.signals
    data = bytes([0b0011_0001, 0x13, 0x88, 0, 0xFF, 0, 0, 0])

    assert (body.identifier, body.extended, body.cycle_ms) == (100, False, 20)
    assert (truck.identifier, truck.extended) == (0x0CFDCCFE, True)
    assert [each.raw(data) for each in (door, gear, speed, air)] == [1, 3, 5000, -1]
    assert (speed.value(5000), air.value(-1), speed.unit) == (50.0, -10.5, "km/h")
    assert dict(gear.codes) == {0: "P", 1: "R", 2: "N", 3: "D"}
    assert [each.only_when for each in truck.signals] == [(), (1,), (2,)]


def test_body_frame_agrees_with_another_encoder() -> None:
    """3B3#400000000000C020 is run, parking brake set, left turn on, driver's door ajar: the fields as opendbc's
    ford_lincoln_base_pt.dbc lays them out, encoded by cantools 45.1."""
    pytest.importorskip("opendbc")
    file = read_messages(field_files()["ford_lincoln_base_pt.dbc"])
    data = bytes.fromhex("400000000000C020")
    told = {
        name: file.find("BodyInfo_3_FD1", name)[1].raw(data)
        for name in ("Ignition_Status", "PrkBrkActv_B_Actl", "TurnLghtLeftOn_B_Stat", "TurnLghtRightOn_B_Stat",
                     "DrStatDrv_B_Actl", "DrStatPsngr_B_Actl")
    }  # fmt: skip

    assert list(told.values()) == [4, 1, 1, 0, 1, 0]
    assert file.find("BodyInfo_3_FD1", "Ignition_Status")[0].identifier == 0x3B3


def field_files() -> dict[str, Path]:
    """Files of messages people collected from vehicles, by name (opendbc, test only)."""
    opendbc = pytest.importorskip("opendbc")
    return {path.name: path for path in sorted((Path(opendbc.__file__).parent / "dbc").glob("*.dbc"))}


@pytest.mark.slow
def test_files_of_the_field_are_read_or_refused_in_a_sentence() -> None:
    """Law: each of some sixty collected files is either messages or one sentence; most are messages."""
    files = field_files()
    read, refused = 0, []
    for path in files.values():
        try:
            read += bool(read_messages(path).messages)
        except DoorRefused as sentence:
            refused.append(str(sentence))

    assert read + len(refused) == len(files)
    assert read > 0.9 * len(files)
    assert all(path.endswith((".", ")")) or len(path) < 400 for path in refused)


@pytest.mark.slow
def test_values_agree_with_another_decoder_on_files_of_the_field() -> None:
    """Law: raw numbers are those cantools decodes, for every signal of every message of several collected files."""
    import cantools

    draw = random.Random(11)
    compared = 0
    for name in ("ford_lincoln_base_pt.dbc", "ford_fusion_2018_pt.dbc", "gm_global_a_lowspeed_1818125.dbc"):
        path = field_files()[name]
        ours = {message.name: message for message in read_messages(path).messages}
        theirs = cantools.database.load_file(path, strict=False, encoding="cp1252")
        for message in theirs.messages:
            data = draw.randbytes(message.length)
            if message.name not in ours or message.is_multiplexed():
                continue
            known = {signal.name: signal for signal in ours[message.name].signals}
            try:
                told = message.decode(data, decode_choices=False, scaling=False)
            except Exception:  # a layout that lies over the end of its frame: ours leaves such signals out
                continue
            for each, value in told.items():
                if each in known:
                    assert known[each].raw(data) == value, (name, message.name, each)
                    compared += 1

    assert compared > 2_900


@given(st.integers(0, 56), st.integers(1, 8), st.booleans(), st.binary(min_size=8, max_size=8))
def test_a_signal_of_one_end_is_the_other_end_of_the_mirror(first: int, bits: int, signed: bool, data: bytes) -> None:
    """Law: a little-endian number in a frame is the big-endian one in the frame read backward."""
    last = first + bits - 1
    backward_start = 8 * (7 - last // 8) + last % 8
    little = BusSignal("a", first, bits, True, signed)
    big = BusSignal("a", backward_start, bits, False, signed)

    assert little.raw(data) == big.raw(data[::-1])


@given(st.binary(max_size=8))
def test_a_frame_that_is_too_short_says_nothing(data: bytes) -> None:
    """Law: bits beyond the end of a frame are no value, whatever stands before them."""
    for signal in (BusSignal("a", 60, 8), BusSignal("a", 63, 8, False)):
        assert signal.raw(data) is None or (len(data) == 8 and not signal.little_endian)


def test_a_file_in_the_code_page_of_a_system_is_read(tmp_path: Path) -> None:
    """Case: files written in the Western code page, with a degree sign or an umlaut, are common."""
    text = (HEAD + BODY).replace('"degC"', '"°C"').encode("cp1252")

    assert read_text(tmp_path, text).messages[0].signals[3].unit == "°C"


def test_a_signal_is_found_by_its_name_and_the_nearest_is_named(tmp_path: Path) -> None:
    """Case: what a mapping asks for is there once, twice or not at all."""
    twice = BODY + 'BO_ 101 Other: 8 ECU\n SG_ Door : 0|1@1+ (1,0) [0|1] "" ECU\n'
    file = read_text(tmp_path, HEAD + BODY)
    double = read_text(tmp_path, HEAD + twice.replace("BA_DEF_ BO_", "\nBA_DEF_ BO_", 1))

    assert file.find("", "Gear")[0].name == "Body"
    assert file.find("Body", "Gear")[1].name == "Gear"
    with pytest.raises(DoorRefused, match="Closest: Speed"):
        file.find("Body", "Sped")
    with pytest.raises(DoorRefused, match="Closest: Body"):
        file.find("Bodi", "Gear")
    with pytest.raises(DoorRefused, match="several messages"):
        double.find("", "Door")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (' SG_ Far : 60|8@1+ (1,0) [0|1] "" ECU', "outside"),
        (' SG_ Up : 3|16@0+ (1,0) [0|1] "" ECU', None),
    ],
)
def test_a_signal_that_does_not_fit_is_left_out_and_told(tmp_path: Path, line: str, why: str | None) -> None:
    """Case: the rest of the message stays usable."""
    file = read_text(tmp_path, HEAD + f"BO_ 9 Odd: 8 ECU\n{line}\n" + BODY)

    assert any(message.name == "Body" for message in file.messages)
    assert bool(file.left_out) is (why is not None)
    assert why is None or why in file.left_out[0]


@pytest.mark.parametrize(
    ("content", "match"),
    [
        (b"", "describes no message"),
        (b"BO_ 1 A: 8 ECU\n\x00", "NUL"),
        (b"BO_ \xff\xfe nonsense (((((", "can't be read as messages"),
        (b"BO_ 1 A: 8 ECU\n SG_ x : 0|1@1+ (" + b"(" * 50_000, "can't be read as messages"),
    ],
)
def test_a_hostile_file_gets_one_sentence(tmp_path: Path, content: bytes, match: str) -> None:
    """Law: a refusal is one printable line, and nothing else comes out."""
    with pytest.raises(DoorRefused, match=match) as refused:
        read_text(tmp_path, content)

    assert str(refused.value).isprintable()
    assert len(str(refused.value)) < 500


def test_too_much_is_refused_before_it_is_taken_apart(tmp_path: Path) -> None:
    """Law: size and number of messages are bounded."""
    many = HEAD + "".join(f"BO_ {n} M{n}: 8 ECU\n\n" for n in range(MOST_MESSAGES + 1))

    with pytest.raises(DoorRefused, match="more than 5,000 messages"):
        read_text(tmp_path, many)
    with pytest.raises(DoorRefused, match="longer than"):
        read_text(tmp_path, b" " * (MOST_BYTES + 1))
    with pytest.raises(DoorRefused, match="can't be read"):
        read_messages(tmp_path / "nothing.dbc")
    with pytest.raises(DoorRefused, match=r"no ordinary file|can't be read"):
        read_messages(tmp_path)


def test_a_range_without_end_is_refused(tmp_path: Path) -> None:
    """Law: a signal that is there for a hundred million values of another would fill the memory."""
    text = HEAD + 'BO_ 7 M: 8 ECU\n SG_ A M : 0|32@1+ (1,0) [0|1] "" ECU\n SG_ S m1 : 32|4@1+ (1,0) [0|1] "" ECU\n\n'

    assert len(read_text(tmp_path, text + "SG_MUL_VAL_ 7 S A 1-9;\n").messages) == 1
    for far in ("0-99999999", "0 -\n99999999", ", ".join(["0-60000"] * 3), "0-" + "9" * 40):
        with pytest.raises(DoorRefused, match=r"depend on more than|can't be read"):
            read_text(tmp_path, f"{text}SG_MUL_VAL_ 7 S A {far};\n")


def test_odd_messages_write_nothing_to_the_terminal(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Law: five hundred messages of one identifier are no five hundred warnings."""
    text = HEAD + "".join(f'BO_ 7 M{n}: 8 ECU\n SG_ S : 0|8@1+ (1,0) [0|1] "" ECU\n\n' for n in range(500))

    assert len(read_text(tmp_path, text).messages) == 500
    assert capfd.readouterr() == ("", "")


def test_thousands_of_messages_are_read(tmp_path: Path) -> None:
    """Case: a file of a whole vehicle has some thousand messages."""
    many = HEAD + "".join(f'BO_ {n} M{n}: 8 ECU\n SG_ S : 0|8@1+ (1,0) [0|1] "" ECU\n\n' for n in range(1, 1_500))

    assert len(read_text(tmp_path, many).messages) == 1_499


@settings(max_examples=60, deadline=None)
@given(cut=st.integers(0, len(HEAD + BODY)), odd=st.binary(max_size=3))
def test_cut_anywhere_and_spoilt_it_is_messages_or_a_sentence(
    tmp_path_factory: pytest.TempPathFactory, cut: int, odd: bytes
) -> None:
    """Law: a file cut at any byte, with any bytes in its place, is never an error of ours."""
    whole = (HEAD + BODY).encode()
    path = written(tmp_path_factory.mktemp("dbc"), whole[:cut] + odd + whole[cut + len(odd) :])
    sentence = ""
    try:
        found = read_messages(path).messages
    except DoorRefused as refused:
        found, sentence = (), str(refused)

    assert found or sentence or cut < len(whole)
    assert all(0 < message.bytes_n <= 64 for message in found)


def test_every_cut_is_messages_or_a_sentence(tmp_path: Path) -> None:
    """Law: the same at every single byte."""
    whole = (HEAD + BODY).encode()
    ends = set()
    for cut in range(len(whole)):
        try:
            ends.add(len(read_text(tmp_path, whole[:cut]).messages))
        except DoorRefused:
            ends.add(-1)

    assert {-1, 1, 2} <= ends


ODD = (
    HEAD
    + 'CM_ BO_ 291 "a comment\nover two lines";\n'
    + 'VAL_ 2566844672 2_Brake 0 "off" 1 "on" ;\nVAL_ 291 Nobody 0 "x" ;\n'.replace("2566844672", "419361024")
    + 'BO_ 419361024 2nd: 8 ECU\n SG_ 2_Brake : 28|2@1+ (1,0) [0|3] "" ECU\n\n'
)


def test_habits_of_the_field_are_put_right_and_told(tmp_path: Path) -> None:
    """Case: 18FEF100 without its mark, names with a digit first, words before their message and for nobody, a comment
    over lines: the message is read, and it is said that the file isn't quite one."""
    file = read_text(tmp_path, ODD)
    (message,) = file.messages

    assert (message.identifier, message.extended, message.name) == (0x18FEF100, True, "_2nd")
    assert dict(message.signals[0].codes) == {0: "off", 1: "on"}
    assert "not quite" in file.left_out[0]


@given(st.text(max_size=200))
def test_putting_right_is_safe_on_any_text(text: str) -> None:
    """Law: whatever the text, lines that describe no message and no comment stay as they are."""
    plain = "".join(line for line in text.splitlines(keepends=True) if "_" not in line)

    assert mended(plain) == plain + "\n"
    assert len(mended(text)) <= 2 * len(text) + 50
