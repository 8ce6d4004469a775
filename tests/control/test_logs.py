"""Logs: formats as their pages print them, the same frames in every form, clocks, and broken files."""

from __future__ import annotations

import io
import zlib
from itertools import pairwise
from pathlib import Path

import can
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.control.logs import MOST_BAD_LINES, Entry, Log, read_log, together
from coachwright.control.logs_binary import soundness
from coachwright.kit.errors import DoorRefused
from tests.control.drives import BEGINS_S, SUFFIXES, Sent, write_log

SIX = [Sent(10 * n, 0x18FEF100 if n % 2 else 0x3B3, bytes([n, 0xF7, 0, 0x2D])) for n in range(6)]


def read_text(folder: Path, text: str, name: str = "a.log") -> Log:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_log(path)


def heard(log: Log) -> list[tuple[int, int, bool, bytes]]:
    return [(each.at_us, each.identifier, each.extended, each.data) for each in log.entries]


# ---- print


def test_candump_line_as_its_page_prints_it(tmp_path: Path) -> None:
    """``(0.0) vcan0 001#8d00100100820100`` is a line of candump -L (python-can's page of the form); more than three
    digits are 29 bits; a direction may stand behind it."""
    log = read_text(
        tmp_path,
        "(0.0) vcan0 001#8d00100100820100\n(1700000000.000000) can0 18FEF100#F7002D10FFFFFFFF R\n",
    )

    assert heard(log)[0] == (0, 1, False, bytes.fromhex("8d00100100820100"))
    assert heard(log)[1][1:] == (0x18FEF100, True, bytes.fromhex("F7002D10FFFFFFFF"))


def test_asc_line_as_its_page_prints_it(tmp_path: Path) -> None:
    """Time, channel, identifier (29 bits with an x), direction, d, length, bytes in the base the head says."""
    text = (
        "date Tue Nov 14 10:13:20.000 pm 2023\nbase hex  timestamps absolute\nno internal events logged\n"
        "   0.015991 1  3B3             Rx   d 2 01 FF\n   0.025991 1  18FEF100x       Tx   d 1 2D\n"
    )
    log = read_text(tmp_path, text, "a.asc")

    assert heard(log) == [(0, 0x3B3, False, b"\x01\xff"), (10_000, 0x18FEF100, True, b"\x2d")]
    assert (log.absolute, log.dated) == (False, "Tue Nov 14 10:13:20.000 pm 2023")


def test_asc_times_that_count_from_the_line_before_are_added_up(tmp_path: Path) -> None:
    """``timestamps relative``: each time counts from the line before, also from one that is no frame."""
    text = (
        "date Tue Nov 14 10:13:20.000 pm 2023\nbase hex  timestamps relative\nno internal events logged\n"
        "   1.000000 1  3B3             Rx   d 1 01\n   0.500000 1  Statistic: D 0 R 0\n"
        "   0.250000 1  3B3             Rx   d 1 02\n"
    )

    assert [each.at_us for each in read_text(tmp_path, text, "a.asc").entries] == [0, 750_000]


def test_the_form_of_a_csv_file_of_frames(tmp_path: Path) -> None:
    """timestamp,arbitration_id,extended,remote,error,dlc,data with data in base 64 (python-can's page of the form)."""
    text = (
        "timestamp,arbitration_id,extended,remote,error,dlc,data\n"
        "1483389946.197,0x00dadada,1,0,0,6,WzQyLCA5XQ==\n1483389946.297,0x00dadada,1,1,0,6,\n"
    )
    log = read_text(tmp_path, text, "a.csv")

    assert heard(log) == [(0, 0xDADADA, True, b"[42, 9]")]
    assert (log.absolute, log.others_n) == (True, 1)


@pytest.mark.parametrize(("head", "scale"), [("time s", 1.0), ("time ms", 1000.0), ("Time [us]", 1e6)])
def test_a_log_of_lines_says_its_unit(tmp_path: Path, head: str, scale: float) -> None:
    """Case: the same moment in seconds, milliseconds and microseconds."""
    rows = "".join(f"{at * scale:.6f},{said}\n" for at, said in ((0.5, "on"), (0.75, "off"), (1.0, "")))
    log = read_text(tmp_path, f"# by hand\n{head},brake\n{rows}", "a.csv")

    assert [each.at_us for each in log.entries] == [0, 250_000, 500_000]
    assert [each.said for each in log.entries] == [(("brake", "on"),), (("brake", "off"),), ()]


def test_semicolons_and_decimal_commas_are_read(tmp_path: Path) -> None:
    """Case: what an office program of much of Europe writes."""
    log = read_text(tmp_path, "time s;speed km/h\n0,5;12,5\n1,5;13\n", "a.csv")

    assert [each.at_us for each in log.entries] == [0, 1_000_000]
    assert log.entries[0].said == (("speed km/h", "12.5"),)


# ---- law


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_six_frames_are_the_same_in_every_form(tmp_path: Path, suffix: str) -> None:
    """Law: written by the library's own writer, every form gives identifiers, bytes and 10 ms spacing back."""
    log = read_log(write_log(tmp_path / f"six{suffix}", SIX))

    assert heard(log) == [
        (1000 * round(each.at_ms), each.identifier, each.identifier > 0x7FF, each.data) for each in SIX
    ]
    assert log.absolute is (suffix != ".asc")


FRAMES = st.lists(
    st.builds(
        Sent,
        st.integers(0, 3_000_000).map(lambda us: us / 1000),
        st.sampled_from([0, 1, 0x7FF, 0x800, 0x18FEF100, 0x1FFFFFFF]),
        st.binary(max_size=8),
    ),
    min_size=1,
    max_size=8,
).map(lambda rows: sorted(rows, key=lambda each: each.at_ms))


@settings(max_examples=40, deadline=None)
@given(frames=FRAMES, shift_s=st.integers(0, 10**8))
def test_any_frames_in_any_form_on_any_clock(
    tmp_path_factory: pytest.TempPathFactory, frames: list[Sent], shift_s: int
) -> None:
    """Law: forms agree to the microsecond (BLF and CSV hold floats), and a shifted clock changes nothing."""
    folder = tmp_path_factory.mktemp("logs")
    whole = [heard(read_log(write_log(folder / f"a{suffix}", frames))) for suffix in SUFFIXES]
    shifted = heard(read_log(write_log(folder / "b.log", frames, begins_s=BEGINS_S + shift_s)))

    for other in (*whole, shifted):
        assert [row[1:] for row in other] == [row[1:] for row in whole[0]]
        assert all(abs(one[0] - two[0]) <= 1 for one, two in zip(other, whole[0], strict=True))


@settings(max_examples=60, deadline=None)
@given(times_us=st.lists(st.integers(0, 10**12), min_size=1, max_size=20))
def test_time_never_runs_back(tmp_path_factory: pytest.TempPathFactory, times_us: list[int]) -> None:
    """Law: whatever stands in the file, the entries keep their order and their clock goes on."""
    folder = tmp_path_factory.mktemp("back")
    log = read_text(
        folder, "".join(f"({us // 10**6}.{us % 10**6:06d}) can0 123#{n:02X}\n" for n, us in enumerate(times_us))
    )
    stamps = [each.at_us for each in log.entries]

    assert stamps[0] == 0
    assert stamps == sorted(stamps)
    assert [each.data[0] for each in log.entries] == list(range(len(times_us)))
    assert (log.disorder_n > 0) is any(after < before for before, after in pairwise(times_us))


def test_disorder_waits_and_a_set_clock_goes_on(tmp_path: Path) -> None:
    """Case: a frame 4 ms early counts at the time before; a clock set back by an hour goes on from where it was."""
    times = ("5000.000", "5000.100", "5000.096", "5000.200", "1400.000", "1400.050")
    log = read_text(tmp_path, "".join(f"({at}) c 1#{n:02X}\n" for n, at in enumerate(times)))

    assert [each.at_us // 1000 for each in log.entries] == [0, 100, 100, 200, 200, 250]
    assert [(each.kind, each.line) for each in log.disorder] == [("back", 3), ("set", 5)]


def test_logs_are_laid_together_by_their_dates(tmp_path: Path) -> None:
    """Law: entries of dated logs come in the order of time; one without a date begins with the first, or as told."""
    one = read_log(write_log(tmp_path / "one.log", SIX))
    two = read_log(write_log(tmp_path / "two.blf", SIX, begins_s=BEGINS_S + 0.025))
    loose = read_text(tmp_path, "time ms,brake\n0,on\n10,off\n", "lines.csv")
    rows = list(together((one, two, loose), (None, None, 33_000)))

    assert [at for at, *_ in rows] == sorted(at for at, *_ in rows)
    assert next(at for at, number, _ in rows if number == 1) == 25_000
    assert [at for at, number, _ in rows if number == 2] == [33_000, 43_000]
    assert [at for at, number, _ in together((one, two, loose), (None, None, None)) if number == 2] == [0, 10_000]


# ---- broken and hostile


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_cut_at_every_byte_it_is_used_up_to_there(tmp_path: Path, suffix: str) -> None:
    """Law: every beginning of a log is a beginning of its frames, or one sentence."""
    whole = write_log(tmp_path / f"whole{suffix}", SIX).read_bytes()
    path = tmp_path / f"cut{suffix}"
    lengths = set()
    for cut in range(0, len(whole), 1 if len(whole) < 1_000 else 3):
        path.write_bytes(whole[:cut])
        try:
            log = read_log(path)
        except DoorRefused as refused:
            assert_sentence(refused)
            continue
        known = [(each.identifier, each.data) for each in SIX]
        found = [(each.identifier, each.data) for each in log.entries]
        assert found[:-1] == known[: len(found) - 1]
        assert len(found[-1][1]) <= len(known[len(found) - 1][1])
        lengths.add(len(found))

    assert len(lengths) > 3 or suffix == ".blf"  # of one packed container all or nothing can be read


def test_a_binary_log_is_used_up_to_its_last_whole_container(tmp_path: Path) -> None:
    """Case: a logger that lost its power in the middle of the third container (CTL-043 in a replay)."""
    many = [Sent(n, 0x123, bytes([n % 256] * 8)) for n in range(9_000)]
    whole = write_log(tmp_path / "whole.blf", many).read_bytes()
    path = tmp_path / "cut.blf"
    path.write_bytes(whole[:-40])
    log = read_log(path)

    assert "ends within" in log.cut
    assert 1_000 < len(log.entries) < 9_000
    assert [each.data[0] for each in log.entries[:300]] == [n % 256 for n in range(300)]


def assert_sentence(refused: DoorRefused) -> None:
    assert str(refused).endswith((".", ")"))
    assert str(refused).isprintable()


@settings(max_examples=150, deadline=None)
@given(
    suffix=st.sampled_from(SUFFIXES),
    at=st.integers(0, 3_000),
    odd=st.binary(min_size=1, max_size=6),
    drop=st.booleans(),
)
def test_spoilt_anywhere_it_is_frames_or_a_sentence(
    tmp_path_factory: pytest.TempPathFactory, suffix: str, at: int, odd: bytes, drop: bool
) -> None:
    """Law: a log with any bytes anywhere gives bounded entries in order of time, or one sentence."""
    folder = tmp_path_factory.mktemp("odd")
    whole = write_log(folder / f"whole{suffix}", SIX).read_bytes()
    place = at % len(whole)
    path = folder / f"odd{suffix}"
    path.write_bytes(whole[:place] + odd + whole[place + (len(odd) if drop else 0) :])
    try:
        log = read_log(path)
    except DoorRefused as refused:
        assert_sentence(refused)
        return

    assert 0 < len(log.entries) <= 2 * len(SIX)
    assert [each.at_us for each in log.entries] == sorted(each.at_us for each in log.entries)
    assert all(len(each.data) <= 64 for each in log.entries)


def test_bad_lines_are_counted_and_passed_over(tmp_path: Path) -> None:
    """Case: lines a person, a cut or another program left; the frames round them stay, with their line numbers."""
    good = "(1.0) can0 123#01\n"
    bad = "hello\n(x) can0 123#01\n(1.1) can0 XYZ#01\n(1.2) can0 123#0\x01\n(nan) can0 123#02\n(-5) can0 123#02\n"
    log = read_text(tmp_path, good + bad + good.replace("1.0", "2.0"))

    assert [each.line for each in log.entries] == [1, 8]
    assert (log.bad_n, log.first_bad) == (6, 2)


@pytest.mark.parametrize("suffix", [".asc", ".csv"])
def test_a_bad_line_does_not_end_the_other_text_forms(tmp_path: Path, suffix: str) -> None:
    """Law: what stands behind a line that can't be read is read."""
    lines = write_log(tmp_path / f"whole{suffix}", SIX).read_text().splitlines(keepends=True)
    bad = lines[-3].replace("3B3", "3Z3").replace("18FEF100", "18FEFZ00").replace("0x", "0z")
    path = tmp_path / f"bad{suffix}"
    path.write_text("".join([*lines[:-3], bad, *lines[-2:]]))
    log = read_log(path)
    left = len([line for line in lines[-2:] if "0" in line and ("Rx" in line or suffix == ".csv")])

    assert log.bad_n == 1
    assert left
    assert len(log.entries) == len(SIX) - 1


def test_odd_lines_write_nothing_to_the_terminal(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Law: ten thousand odd lines of a stranger's file are one finding, not ten thousand warnings."""
    head = "date Tue Nov 14 10:13:20.000 pm 2023\nbase hex  timestamps absolute\nno internal events logged\n"
    frame = "   0.015991 CANFD   1 Rx        3B3                                   0 0 d  4 01 FF 00 00\n"
    log = read_text(tmp_path, head + frame * 50 + "x" * 5_000 + "\n", "a.asc")

    assert len(log.entries) == 50
    assert capfd.readouterr() == ("", "")


def test_a_file_of_nothing_but_bad_lines_ends(tmp_path: Path) -> None:
    """Law: bad lines are bounded."""
    with pytest.raises(DoorRefused, match="no frame that can be read"):
        read_text(tmp_path, "x y z\n" * (MOST_BAD_LINES + 5))


@pytest.mark.parametrize(
    ("name", "content", "match"),
    [
        ("a.txt", b"", "no form that is read"),
        ("a.log.gz", b"", "Unpack it first"),
        ("a.log", b"", "no frame"),
        ("a.log", b"\x00\x01", "NUL"),
        ("a.blf", b"LOGG", "no head"),
        ("a.blf", b"x" * 400, "no head"),
        ("a.csv", b"brake,gear\n1,2\n", "time with its unit|the time"),
        ("a.csv", b"time s,a,a\n1,2,3\n", "names of their own"),
        ("a.csv", b"\n\n", "is empty"),
    ],
)
def test_what_is_no_log_gets_one_sentence(tmp_path: Path, name: str, content: bytes, match: str) -> None:
    """Case: other forms, packed files, empty ones, other people's tables."""
    path = tmp_path / name
    path.write_bytes(content)

    with pytest.raises(DoorRefused, match=match):
        read_log(path)


def test_a_log_that_is_not_there_or_no_file(tmp_path: Path) -> None:
    """Case: a name with a slip, a folder."""
    with pytest.raises(DoorRefused, match="can't be read"):
        read_log(tmp_path / "nothing.log")
    (tmp_path / "folder.log").mkdir()
    with pytest.raises(DoorRefused, match=r"no ordinary file|can't be read"):
        read_log(tmp_path / "folder.log")


def binary(folder: Path) -> bytes:
    return write_log(folder / "a.blf", SIX).read_bytes()


def test_a_container_that_unpacks_without_end_is_refused(tmp_path: Path) -> None:
    """Law: a packed gigabyte is not unpacked."""
    whole = binary(tmp_path)
    head = int.from_bytes(whole[4:8], "little")
    bomb = zlib.compress(b"\x00" * 200_000_000)
    size = 32 + len(bomb)
    packed = whole[:head] + b"LOBJ" + (16).to_bytes(2, "little") + (1).to_bytes(2, "little")
    packed += size.to_bytes(4, "little") + (10).to_bytes(4, "little") + (2).to_bytes(2, "little") + bytes(14) + bomb
    (tmp_path / "bomb.blf").write_bytes(packed)

    assert "can't be unpacked" in soundness(packed).why
    with pytest.raises(DoorRefused):
        read_log(tmp_path / "bomb.blf")


def test_an_object_without_length_does_not_go_round(tmp_path: Path) -> None:
    """Law: an object that says it is no byte long would be read for ever; the log ends before it."""
    whole = binary(tmp_path)
    head = int.from_bytes(whole[4:8], "little")
    inner = b"LOBJ" + (32).to_bytes(2, "little") + (1).to_bytes(2, "little") + bytes(4) + (1).to_bytes(4, "little")
    inner += bytes(64)
    size = 32 + len(inner)
    path = tmp_path / "round.blf"
    path.write_bytes(
        whole[:head] + b"LOBJ" + (16).to_bytes(2, "little") + (1).to_bytes(2, "little") + size.to_bytes(4, "little")
        + (10).to_bytes(4, "little") + bytes(16) + inner
    )  # fmt: skip

    assert "don't follow each other" in soundness(path.read_bytes()).why
    with pytest.raises(DoorRefused):
        read_log(path)


def test_what_the_library_reads_is_sound(tmp_path: Path) -> None:
    """Law: the walk before the reader refuses nothing its own writer writes, in one container or many."""
    many = [Sent(n, 0x123, bytes([n % 256] * 8)) for n in range(6_000)]
    path = write_log(tmp_path / "many.blf", many)

    assert soundness(path.read_bytes()).why == ""
    assert len(read_log(path).entries) == len(list(can.BLFReader(io.BytesIO(path.read_bytes())))) == 6_000


def test_an_entry_is_small_and_frozen() -> None:
    """Law: two million of them are kept at once."""
    assert not hasattr(Entry(0, 1), "__dict__")
