"""By what each input is heard: published frames, what no standard has, and entries that can't be."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coachwright.build.model import Model
from coachwright.control.feeds import Feed, Feeds, Unknown, index_of
from coachwright.control.j1939 import known_groups
from coachwright.control.vehicle_data import VehicleDataRefused, cycle_ms, feeds_of
from coachwright.kit.errors import DoorRefused
from coachwright.parts.body import BodyPart, BusCodes, Signal
from tests.control.by_hand import build, button, number, on_off, slide, states, toggle, turn_wires

INPUTS = (
    slide("slide", "off", "low", "full"),
    button("horn"),
    toggle("scene"),
    on_off("brake"),
    on_off("park-brake"),
    states("gear", "P", "R", "N", "D"),
    states("engine", "off", "running"),
    number("speed"),
    number("supply", "voltage", rest=13.8),
    *turn_wires(),
)
CODES = {
    "brake": BusCodes(j1939="PGN 65265 SPN 597"),
    "park-brake": BusCodes(j1939="PGN 65265 SPN 70"),
    "gear": BusCodes(j1939="PGN 61445 SPN 523"),
    "speed": BusCodes(obd="01 0D", j1939="PGN 65265 SPN 84"),
    "supply": BusCodes(obd="01 42", j1939="PGN 65271 SPN 168"),
    "engine": BusCodes(obd="01 0C", j1939="PGN 61444 SPN 190"),
    "turn-left": BusCodes(j1939="PGN 64972 SPN 2876"),
    "turn-right": BusCodes(j1939="PGN 64972 SPN 2876"),
}


def model() -> Model:
    """A build whose body has the codes above."""
    from dataclasses import replace

    kinds = {item.name: item.kind for item in INPUTS}
    signals = {
        name: Signal.model_construct(kind=kinds[name], rest="off", source="bus", codes=codes)
        for name, codes in CODES.items()
    }
    return replace(build(inputs=INPUTS), body=BodyPart.model_construct(kind="body", name="body", signals=signals))


def fed(folder: Path, signals: str = "", **more: Any) -> Feeds:
    """The feeds a file of vehicle data gives."""
    path = folder / "vehicle-data.yaml"
    lines = "".join(f"  {line}\n" for line in signals.splitlines())
    head = "".join(f"{name}: {value}\n" for name, value in more.items())
    path.write_text(f"vehicle-data: 1\n{head}signals:{' {}' if not lines else ''}\n{lines}", encoding="utf-8")
    return feeds_of(model(), path)


def feed(feeds: Feeds, name: str) -> Feed:
    return next(each for each in feeds.feeds if each.input == name)


def heard(feeds: Feeds, frame: str) -> dict[str, Any]:
    """What a frame like 18FEF100#... says about each input."""
    identifier, data = frame.split("#")
    rows = index_of(feeds.feeds).of_frame(int(identifier, 16), len(identifier) > 3)
    return {each.input: each.hear(bytes.fromhex(data)) for _, each in rows}


def refusals(folder: Path, signals: str, **more: Any) -> list[tuple[str, str, int]]:
    """Code, path and line of everything that can't be."""
    with pytest.raises(VehicleDataRefused) as refused:
        fed(folder, signals, **more)
    return [(each.code, each.about, each.where[0].line) for each in refused.value.findings]


# ---- print


def test_a_frame_of_speed_and_brakes_as_repositories_lay_it_out() -> None:
    """Group 65265: parking brake byte 1 bits 3-4, speed bytes 2-3 / 256 km/h, brake byte 4 bits 5-6 (several public
    code repositories); F7 00 2D 1F: set, 45 km/h, pressed."""
    told = heard(feeds_of(model(), None), "18FEF100#F7002D1FFFFFFFFF")

    assert told["park-brake"] == "on"
    assert told["brake"] == "on"
    assert told["speed"] == pytest.approx(12.5)


@pytest.mark.parametrize(
    ("raw", "gear"), [("7C", "R"), ("7D", "N"), ("7E", "D"), ("83", "D"), ("FB", "P"), ("FF", None)]
)
def test_gears_as_a_repository_prints_them(raw: str, gear: str | None) -> None:
    """SPN 523 raw - 125: 124 = R, 125 = N, 251 = P (a public code repository); FF is not available."""
    assert heard(feeds_of(model(), None), f"18F00503#FFFFFF{raw}FFFFFFFF") == {"gear": gear}


@pytest.mark.parametrize(("code", "left", "right"), [(0, "low", "low"), (1, "flashing", "low"), (2, "low", "flashing")])
def test_the_turn_switch_as_a_test_of_an_open_decoder_prints_it(code: int, left: str, right: str) -> None:
    """SPN 2876 byte 2 bits 1-4: 0 none, 1 left, 2 right (test of an open J1939 decoder). It says that it flashes."""
    told = heard(feeds_of(model(), None), f"0CFDCC21#FF{0xF0 | code:02X}FFFFFFFFFFFF")

    assert (told["turn-left"], told["turn-right"]) == (left, right)


def test_what_is_not_available_says_nothing() -> None:
    """Two bits 11, and a top byte of FF, are not available: they refresh nothing (SAE J1939-71 as quoted)."""
    assert set(heard(feeds_of(model(), None), "18FEF100#FFFFFFFFFFFFFFFF").values()) == {None}


def test_engine_speed_of_a_repository_is_an_engine_that_runs() -> None:
    """40 1F in bytes 4 and 5 of group 61444 is 1000 rpm (a public repository's worked frame)."""
    assert heard(feeds_of(model(), None), "0CF00400#FFFFFF401FFFFFFF") == {"engine": "running"}
    assert heard(feeds_of(model(), None), "0CF00400#FFFFFF0000FFFFFF") == {"engine": "off"}


def test_answers_of_diagnostics_as_pages_print_them(tmp_path: Path) -> None:
    """0D 3C is 60 km/h, 42 37 8C is 14.220 V, 0C 1A F8 is 1726 rpm (SAE J1979 as public pages quote it)."""
    feeds = fed(tmp_path, "speed: {obd: 01 0D}\nsupply: {obd: 01 42}\nengine: {obd: 01 0C}")

    assert heard(feeds, "7E8#03410D3C00000000")["speed"] == pytest.approx(60 / 3.6)
    assert heard(feeds, "7E8#044142378C000000")["supply"] == pytest.approx(14.220)
    assert heard(feeds, "7E9#04410C1AF8000000")["engine"] == "running"
    assert set(heard(feeds, "7E8#037F0D1200000000").values()) == {None}


def test_groups_that_come_periodically_are_lost_after_three_of_their_cycles() -> None:
    """Groups 65265 and 61445 come every 100 ms (public code repositories); three cycles are common practice."""
    feeds = feeds_of(model(), None)

    assert feed(feeds, "brake").timeout_ms == 300
    assert feed(feeds, "supply").timeout_ms == 3_000
    assert feed(feeds, "turn-left").timeout_ms == 0
    assert cycle_ms(known_groups()[64972]) == 0


# ---- case


@pytest.mark.parametrize("name", ["brake", "turn-left", "turn-right", "hazard", "gear", "park-brake", "slide"])
def test_diagnostics_have_none_and_say_so_by_name(tmp_path: Path, name: str) -> None:
    """Case: service 01 has no parameter for these (CTL-051), whatever number somebody tries."""
    with pytest.raises(VehicleDataRefused) as refused:
        fed(tmp_path, f"{name}: {{obd: 01 0D}}")
    (found,) = refused.value.findings

    assert (found.code, found.values["name"], found.where[0].line) == ("CTL-051", name, 3)


def test_a_message_by_name_with_words_of_the_file(tmp_path: Path) -> None:
    """Case: words of the file of messages stand for values of the same name; a cycle time gives the timeout."""
    (tmp_path / "a.dbc").write_text(
        'VERSION ""\nBU_: E\nBO_ 291 Gear: 8 E\n SG_ Lever : 0|3@1+ (1,0) [0|7] "" E\n'
        ' SG_ V : 8|8@1+ (1,0) [0|0] "km/h" E\nBA_DEF_ BO_ "GenMsgCycleTime" INT 0 9999;\n'
        'BA_DEF_DEF_ "GenMsgCycleTime" 0;\nBA_ "GenMsgCycleTime" BO_ 291 20;\n'
        'VAL_ 291 Lever 0 "P" 1 "R" 2 "N" 3 "D" 7 "Fault" ;\n'
    )
    feeds = fed(tmp_path, "gear: {dbc: Gear.Lever}\nspeed: {dbc: V, timeout: 1 s}", messages="a.dbc")

    assert heard(feeds, "123#0336000000000000") == {"gear": "D", "speed": pytest.approx(15.0)}
    assert heard(feeds, "123#0736000000000000")["gear"] == Unknown("7")
    assert (feed(feeds, "gear").timeout_ms, feed(feeds, "speed").timeout_ms) == (60, 1_000)


def test_a_file_of_messages_that_is_read_in_part_is_told(tmp_path: Path) -> None:
    """Case: CTL-056 beside the feeds; the signal that is used is read."""
    text = 'VERSION ""\nBU_: E\nBO_ 291 A: 2 E\n SG_ Brake : 0|1@1+ (1,0) [0|1] "" E\n'
    text += ' SG_ Far : 60|8@1+ (1,0) [0|1] "" E\n'
    (tmp_path / "a.dbc").write_text(text)
    feeds = fed(tmp_path, "brake: {dbc: A.Brake}", messages="a.dbc")

    assert [each.code for each in feeds.findings] == ["CTL-056"]
    assert heard(feeds, "123#0100") == {"brake": "on"}


def test_bits_of_a_frame_and_ranges_of_numbers(tmp_path: Path) -> None:
    """Case: a maker's guide gives bytes and bits; a gear may be several numbers."""
    feeds = fed(
        tmp_path,
        'gear: {frame: 1A0, start: "2.1", bits: 4, values: {P: 0, R: 1, N: 2, D: 3 to 9}}\n'
        'brake: {frame: 18FF1234, start: "1.8", bits: 1}',
    )

    assert heard(feeds, "1A0#0004") == {"gear": "D"}
    assert heard(feeds, "1A0#000F") == {"gear": Unknown("15")}
    assert heard(feeds, "18FF1234#80") == {"brake": "on"}


def test_only_the_named_sender_is_heard(tmp_path: Path) -> None:
    """Case: several units send the same group; one of them is right."""
    feeds = fed(tmp_path, 'brake: {j1939: PGN 65265 SPN 597, sender: "0B"}')

    assert heard(feeds, "18FEF10B#FFFFFFDFFFFFFFFF")["brake"] == "on"
    assert "brake" not in heard(feeds, "18FEF121#FFFFFFDFFFFFFFFF")


@pytest.mark.parametrize(
    ("signals", "line"),
    [
        ("brakes: {wire: a}", 3),
        ("brake: {wire: a, dbc: B.c}", 3),
        ("brake: {}", 3),
        ("brake: {wire: a, timeout: 300}", 3),
        ("brake: {frame: 1A0}", 3),
        ("brake: {frame: ZZ, start: '1.1', bits: 1}", 3),
        ("brake: {frame: 1A0, start: '0.9', bits: 1}", 3),
        ("brake: {wire: a, values: {pushed: 1}}", 3),
        ("brake: {wire: a, values: {'on': '> x'}}", 3),
        ("brake: {j1939: PGN 1 SPN 2}", 3),
        ("brake: {j1939: 65265}", 3),
        ("speed: {wire: v}", 3),
        ("speed: {wire: v, unit: V}", 3),
        ("gear: {frame: 1A0, start: '1.1', bits: 4}", 3),
        ("gear: {dbc: A.b}", 3),
        ("brake: {obd: 01 FF}", 3),
        ("speed: {obd: 01 FF}", 3),
        ("brake: {wier: a}", 3),
        ("brake: {wire: a, order: middle}", 3),
        ("brake: {j1939: PGN 65265 SPN 597, sender: xyz}", 3),
        ("gear: [wire, a]", 3),
        ("brake: {wire: a}\nbrake: {wire: b}", 4),
    ],
)
def test_an_entry_that_can_not_be_is_told_with_its_line(tmp_path: Path, signals: str, line: int) -> None:
    """Case: CTL-052 (or a fault of the text) at the place, never an error of ours."""
    found = refusals(tmp_path, signals)

    assert {code for code, *_ in found} <= {"CTL-051", "CTL-052", "BLD-002"}
    assert found[0][2] == line


def test_all_that_is_wrong_is_told_at_once(tmp_path: Path) -> None:
    """Law: three wrong entries are three findings."""
    assert len(refusals(tmp_path, "brakes: {wire: a}\nspeed: {wire: v}\ngear: {dbc: A.b}")) == 3


@pytest.mark.parametrize("name", ["../other.dbc", "/etc/passwd", ".hidden.dbc", "a\\b.dbc"])
def test_messages_are_files_beside_it(tmp_path: Path, name: str) -> None:
    """Law: a file of vehicle data reads nothing outside of its folder."""
    assert refusals(tmp_path, "gear: {dbc: A.b}", messages=f"'{name}'")[0][0] == "CTL-052"


def test_a_file_of_messages_that_is_not_there(tmp_path: Path) -> None:
    """Case: one sentence with its path."""
    with pytest.raises(DoorRefused, match=r"none\.dbc"):
        fed(tmp_path, "gear: {dbc: A.b}", messages="none.dbc")


@pytest.mark.parametrize(
    "text", ["", "- a\n", "vehicle-data: 2\n", "vehicle-data: 1\nsignals: brake\n", "a: *b\n", "\t"]
)
def test_a_file_of_another_shape_is_told(tmp_path: Path, text: str) -> None:
    """Case: nothing in it is taken for an entry."""
    path = tmp_path / "vehicle-data.yaml"
    path.write_text(text)
    with pytest.raises(VehicleDataRefused) as refused:
        feeds_of(model(), path)

    assert refused.value.findings


def test_columns_called_like_inputs_feed_them() -> None:
    """Case: a log of lines needs no file; a number says its unit (CTL-054 where it doesn't)."""
    feeds = feeds_of(model(), None, ["brake", "speed km/h", "supply", "turn-left", "strange"])

    assert feed(feeds, "brake").meaning.of_text("1") == "on"
    assert feed(feeds, "brake").meaning.of_text("ON") == "on"
    assert feed(feeds, "brake").meaning.of_text("lost") == "lost"
    assert feed(feeds, "turn-left").meaning.of_text("high") == "high"
    assert feed(feeds, "turn-left").meaning.of_text("0") == "low"
    assert feed(feeds, "speed").meaning.of_text("36") == pytest.approx(10.0)
    assert feed(feeds, "brake").meaning.of_text("maybe") == Unknown("maybe")
    assert [(each.code, each.about) for each in feeds.findings] == [("CTL-054", "signals.supply")]


def test_every_input_is_fed_or_says_why_not() -> None:
    """Law: of each input it is said by what it is heard, or which standards have none."""
    feeds = feeds_of(model(), None)
    told = {*(each.input for each in feeds.feeds), *(name for name, _ in feeds.not_fed)}

    assert told == {item.name for item in INPUTS}
    assert "on no bus" in dict(feeds.not_fed)["slide"]
    assert "diagnostics have none" in dict(feeds.not_fed)["hazard"]
