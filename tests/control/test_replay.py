"""A log through the machine: a story and its log do the same, and what is odd about a log is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.follow import START_MS
from coachwright.control.logs import read_log
from coachwright.control.machine import build_machine, power_up, start_inputs, step, values_read
from coachwright.control.replay import replay
from coachwright.control.replayed import Replayed
from coachwright.control.sources import LOST, stand
from coachwright.control.vehicle_data import feeds_of
from coachwright.parts.body import BodyPart
from coachwright.parts.store import load_catalogue
from tests.control.by_hand import build, function, number, on_off, promise, show, slide, states, toggle, turn_wires
from tests.control.drives import EXAMPLES, SUFFIXES, Sent, drive, shipped, write_log
from tests.control.machines import Change, at_rest, models, stories

UNITS = {"speed": " m/s", "voltage": " V"}


def bodied(model: Model) -> Model:
    """With a body that gives no codes."""
    return replace(model, body=BodyPart.model_construct(kind="body", name="body", signals={}))


def replayed(model: Model, *paths: Path, said: Path | None = None) -> Replayed:
    logs = tuple(read_log(path) for path in paths)
    feeds = feeds_of(bodied(model), said, [name for log in logs for name in log.names])
    return replay(bodied(model), logs, feeds)


def lines(folder: Path, head: str, *rows: str, name: str = "lines.csv") -> Path:
    path = folder / name
    path.write_text("\n".join([f"time ms,{head}", *rows, ""]), encoding="utf-8")
    return path


def codes(result: Replayed) -> set[str]:
    return {each.code for each in result.findings}


# ---- law: a log of a story does what the story does


def columns(model: Model) -> list[tuple[str, str]]:
    """Inputs with the names of their columns; a hazard is what its wires do."""
    return [(each.name, each.name + UNITS.get(each.number_kind, "")) for each in model.inputs if each.kind != "hazard"]


def cell(change: Change, name: str) -> str:
    return LOST if name in change.lost else str(change.sources[name])


def story_as_lines(model: Model, story: Sequence[Change], folder: Path) -> tuple[Path, list[int]]:
    """The log of a story, and the time of each of its steps. The first row is the power-up."""
    named = columns(model)
    rest = Change(0, {item.name: at_rest(item) for item in model.inputs}, frozenset(), asleep=False)
    times, now_ms, rows = [], 0, [",".join(["0", *(cell(rest, name) for name, _ in named)])]
    for number_, each in enumerate(story):
        now_ms += each.elapsed_ms + (1 if number_ == 0 else 0)
        times.append(now_ms)
        rows.append(",".join([str(now_ms), *(cell(each, name) for name, _ in named)]))
    rows.append(",".join([str(now_ms + 50), *(["" for _ in named])]))
    return lines(folder, ",".join(column for _, column in named), *rows), times


def stepped(model: Model, story: Sequence[Change]) -> list[tuple[Any, Any]]:
    """Outputs and values read after each step, straight on the machine."""
    machine = build_machine(model)
    wanted = [item for item in model.inputs if item.kind != "hazard"]
    inputs, kept = start_inputs(machine, {item.name: at_rest(item) for item in wanted})
    state, _ = power_up(machine, inputs, kept=kept)
    found = []
    for number_, each in enumerate(story):
        told = {item.name: LOST if item.name in each.lost else each.sources[item.name] for item in wanted}
        inputs = stand(machine.inputs, state.inputs, told)
        state, outputs = step(machine, state, inputs, each.elapsed_ms + (1 if number_ == 0 else 0))
        found.append((outputs, values_read(machine, state)))
    return found


@settings(max_examples=60, deadline=None)
@given(data=st.data(), focus=st.sampled_from(["anything", "turns", "reading", "memory", "hold-offs", "heads"]))
def test_a_log_of_a_story_does_what_the_story_does(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject, focus: str
) -> None:
    """Law: written as a log and replayed, a random story on a random build reads, does and shows the same."""
    model = data.draw(models(focus=focus))
    story = [replace(each, asleep=False) for each in data.draw(stories(model))]
    path, times = story_as_lines(model, story, tmp_path_factory.mktemp("story"))
    result = replayed(model, path)

    for place, (at_ms, (outputs, read)) in enumerate(zip(times, stepped(model, story), strict=True)):
        if at_ms in times[place + 1 :]:
            continue  # several rows of one moment: its last one is what the tracks hold
        for name, value in read.items():
            assert result.track("input", name).at(at_ms) == value, (name, at_ms)
        for head in outputs.heads:
            assert result.track("head", head.head).at(at_ms) == replace(head, wanted=())
        acting = {track.name for track in result.tracks if track.kind == "function" and _acts(track.at(at_ms))}
        assert acting == set(outputs.active)
        said = {track.name for track in result.tracks if track.kind == "message" and track.at(at_ms)}
        assert said == set(outputs.messages)


def _acts(said: str) -> bool:
    return bool(said) and said != "waits" and not said.startswith("stopped")


@settings(max_examples=25, deadline=None)
@given(data=st.data(), shift_ms=st.integers(1, 10**9))
def test_a_shifted_clock_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject, shift_ms: int
) -> None:
    """Law: when a log begins is no matter to what it does."""
    model = data.draw(models())
    folder = tmp_path_factory.mktemp("shift")
    path, _ = story_as_lines(model, [replace(each, asleep=False) for each in data.draw(stories(model))], folder)
    first = replayed(model, path)
    head, *rows = path.read_text().splitlines()
    moved = [f"{int(row.split(',', 1)[0]) + shift_ms},{row.split(',', 1)[1]}" for row in rows]
    path.write_text("\n".join([head, *moved, ""]))
    second = replayed(model, path)

    assert [(each.kind, each.name, each.changes) for each in first.tracks] == [
        (each.kind, each.name, each.changes) for each in second.tracks
    ]


# ---- the drive that ships


def quillback() -> Model:
    loaded = load_build(EXAMPLES.parent / "build.yaml", catalogue=load_catalogue())
    assert loaded.model is not None
    return loaded.model


def quillback_on(*paths: Path) -> Replayed:
    logs = tuple(read_log(path) for path in paths)
    return replay(quillback(), logs, feeds_of(quillback(), EXAMPLES / "vehicle-data.yaml"))


@pytest.mark.parametrize("name", ["drive.log", "drive-swapped-wires.log"])
def test_the_drives_that_ship_are_those_made_here(name: str) -> None:
    """Law: the logs are invented, and made by tests/control/drives.py."""
    assert (EXAMPLES / name).read_text(encoding="utf-8") == shipped(name)


def test_every_form_of_a_log_is_the_same_drive(tmp_path: Path) -> None:
    """Law: candump, ASC, BLF and CSV of the same frames replay alike."""
    results = [quillback_on(write_log(tmp_path / f"drive{suffix}", drive())) for suffix in SUFFIXES]

    for other in results[1:]:
        assert other.tracks == results[0].tracks
        assert other.unknown == results[0].unknown
        assert (other.began_ms, other.ends_ms, other.broken) == (results[0].began_ms, results[0].ends_ms, ())


def test_a_drive_with_its_wires_right_keeps_its_promises() -> None:
    """Case: nothing is broken, nothing disagrees, and the brake is seen at each press while not parked."""
    result = quillback_on(EXAMPLES / "drive.log")

    assert (result.broken, result.blind, result.disagreed, result.findings) == ((), (), (), ())
    assert [change.value for change in result.track("function", "brake-shows").changes] == ["", "acts", "", "acts", ""]
    assert result.unknown == (("51B", 16),)


def test_swapped_wires_are_told_with_what_they_do() -> None:
    """Case: brake and parking brake swapped at the controller: brake never seen on the road (CTL-048), both disagree
    with the body (CTL-049), at their time and line of the log."""
    result = quillback_on(EXAMPLES / "drive-swapped-wires.log")

    assert {each.code for each in result.findings} == {"CTL-048", "CTL-049"}
    assert {span.what for span in result.blind} == {"brake-seen"}
    assert {span.what for span in result.disagreed} == {"brake", "park-brake"}
    (span,) = result.blind
    assert 9_500 < span.from_ms < 10_000 < span.until_ms
    line = (EXAMPLES / "drive-swapped-wires.log").read_text().splitlines()[span.place.line - 1]
    assert abs(float(line[1:].split(")")[0]) - 1_794_000_000 - span.from_ms / 1000) < 0.3


# ---- case: what is told


LITTLE = build(
    inputs=[slide("slide", "off", "full"), on_off("brake", lost="on"), states("gear", "P", "D"), number("speed"),
            toggle("scene"), *turn_wires()],
    heads=["tail"],
    functions=[
        function("warning", "warn", by="slide", levels={"full": [show("tail", red="single")]}),
        function("brake-shows", "road", "brake and gear == D", show=show("tail", red="steady")),
    ],
    promises=[promise("seen", when="brake", then="tail red steady"), promise("calm", never="tail amber")],
)  # fmt: skip


def test_a_broken_promise_is_told_with_the_time_of_the_log(tmp_path: Path) -> None:
    """Case: CTL-047 at the row that breaks it, for as long as it is broken."""
    path = lines(tmp_path, "brake,gear", "500,off,P", "1500,on,", "1750,,D", "2500,off,")
    result = replayed(LITTLE, path)

    assert [(each.what, each.from_ms, each.until_ms, each.place.line) for each in result.broken] == [
        ("seen", 1000, 1250, 3)
    ]
    assert codes(result) == {"CTL-047"}


def test_a_silent_message_reads_as_lost(tmp_path: Path) -> None:
    """Case: the brake's frame stays away for longer than its timeout: from then on it reads on, as the build says
    (CTL-044); a frame that comes just in time keeps it."""
    (tmp_path / "data.yaml").write_text(
        'vehicle-data: 1\nsignals:\n  brake: {frame: 100, start: "1.1", bits: 1, timeout: 300 ms}\n'
    )
    frames = [Sent(at, 0x100, b"\x00") for at in (0, 100, 400, 1_500)] + [Sent(2_000, 0x200, b"")]
    path = write_log(tmp_path / "a.log", sorted(frames, key=lambda each: each.at_ms))
    result = replayed(LITTLE, path, said=tmp_path / "data.yaml")

    assert [(each.at_ms, each.value) for each in result.track("input", "brake").changes] == [
        (0, "off"), (700, "on"), (1_500, "off"), (1_800, "on")
    ]  # fmt: skip
    assert [(each.from_ms, each.until_ms) for each in result.silences] == [(700, 1_500), (1_800, None)]
    assert "CTL-044" in codes(result)


def test_what_is_never_heard_is_told_and_waited_for(tmp_path: Path) -> None:
    """Case: power-up waits a second for what the file names, then it counts as lost (CTL-046)."""
    (tmp_path / "data.yaml").write_text(
        'vehicle-data: 1\nsignals:\n  brake: {frame: 100, start: "1.1", bits: 1, timeout: 300 ms}\n'
        '  gear: {frame: 101, start: "1.1", bits: 1, values: {P: 0, D: 1}}\n'
    )
    path = write_log(tmp_path / "a.log", [Sent(at, 0x101, b"\x01") for at in range(0, 3_000, 100)])
    result = replayed(LITTLE, path, said=tmp_path / "data.yaml")

    assert result.began_ms == START_MS
    assert result.never_heard == ("brake",)
    assert result.track("input", "brake").at(START_MS) == "on"
    assert "CTL-046" in codes(result)


def test_values_nobody_wrote_are_counted(tmp_path: Path) -> None:
    """Case: CTL-045 once for each value, with its first line; the input stays as it was."""
    path = lines(tmp_path, "brake", "0,off", "10,maybe", "20,maybe", "30,on")
    result = replayed(LITTLE, path)
    (found,) = [each for each in result.findings if each.code == "CTL-045"]

    assert (found.values["count"], found.where[0].line) == ("2", 3)
    assert [each.value for each in result.track("input", "brake").changes] == ["off", "on"]


def test_unknown_identifiers_are_counted(tmp_path: Path) -> None:
    """Case: frames that feed nothing are counted, the most frequent first, and change nothing."""
    path = write_log(tmp_path / "a.log", [Sent(n, 0x7F0 + n % 3, b"") for n in range(40)])
    result = replayed(LITTLE, path)

    assert (result.frames_n, result.known_n) == (40, 0)
    assert result.unknown == (("7F0", 14), ("7F1", 13), ("7F2", 13))
    assert all(len(each.changes) == 1 for each in result.tracks)


def test_what_is_odd_about_the_file_is_told(tmp_path: Path) -> None:
    """Case: a bad line (CTL-040), a clock that runs back (CTL-041) and a gap (CTL-042) in one log."""
    path = tmp_path / "a.log"
    path.write_text("(10.0) c 123#00\nhello\n(9.9) c 123#00\n(30.0) c 123#00\n")
    result = replayed(LITTLE, path)

    assert codes(result) == {"CTL-040", "CTL-041", "CTL-042"}
    assert result.ends_ms == 20_000


def test_a_log_that_breaks_off_is_told(tmp_path: Path) -> None:
    """Case: CTL-043, and what stands before the break is replayed."""
    whole = write_log(tmp_path / "a.blf", [Sent(n, 0x123, bytes([n % 256] * 8)) for n in range(9_000)]).read_bytes()
    (tmp_path / "cut.blf").write_bytes(whole[:-40])
    result = replayed(LITTLE, tmp_path / "cut.blf")

    assert codes(result) == {"CTL-043"}
    assert result.frames_n > 1_000


def test_logs_without_dates_are_laid_to_the_beginning_and_told(tmp_path: Path) -> None:
    """Case: CTL-053; written down, it is laid where it belongs and nothing is told."""
    one = lines(tmp_path, "gear", "0,D", "4000,D", name="one.csv")
    two = lines(tmp_path, "brake", "0,off", "1000,on", name="two.csv")
    (tmp_path / "data.yaml").write_text(
        "vehicle-data: 1\nbegins: {one.csv: 0 s, two.csv: 2 s}\n"
        "signals:\n  gear: {wire: gear}\n  brake: {wire: brake}\n"
    )

    assert "CTL-053" in codes(replayed(LITTLE, one, two))
    told = replayed(LITTLE, one, two, said=tmp_path / "data.yaml")
    assert "CTL-053" not in codes(told)
    assert told.track("input", "brake").changes[-1].at_ms == 3_000


def test_what_the_vehicle_excludes_is_told(tmp_path: Path) -> None:
    """Case: the lever in P at speed for a second (CTL-050) is a swapped wire or a wrong unit."""
    words = build(inputs=LITTLE.inputs, words={"rolls": "gear == P and speed > 5 mph"}).words
    excluded = replace(LITTLE, cannot_be=((words[0].condition, "the pawl holds"),))
    path = lines(tmp_path, "gear,speed km/h", "0,P,0", "1000,,50", "2000,D,")

    assert codes(replayed(excluded, path)) == {"CTL-050"}


def test_timed_moves_that_start_one_another_end_the_replay(tmp_path: Path) -> None:
    """Case: a build that never rests, and a gap of hours: bounded, and told (CTL-055)."""
    restless = build(
        inputs=[on_off("brake")],
        memories=[
            {"name": "m", "values": ["a", "b"], "start": "a",
             "moves": [{"on": "m == a held 1 ms", "to": "b"}, {"on": "m == b held 1 ms", "to": "a"}]}
        ],
    )  # fmt: skip
    result = replayed(restless, lines(tmp_path, "brake", "0,off", "999999999,on"))

    assert "CTL-055" in codes(result)
    assert result.ends_ms <= 100_001


def test_a_gap_of_years_counts_as_an_hour(tmp_path: Path) -> None:
    """Law: a clock that jumps ahead costs no time to replay."""
    result = replayed(LITTLE, lines(tmp_path, "brake", "0,off", "400000000000,on", "400000001000,off"))

    assert result.ends_ms == 3_601_000
    assert [each.at_ms for each in result.track("input", "brake").changes] == [0, 3_600_000, 3_601_000]


def test_a_kept_value_is_pressed_where_it_has_to_be(tmp_path: Path) -> None:
    """Case: a log that tells what a toggle keeps, and one that tells its finger, read the same."""
    kept = replayed(LITTLE, lines(tmp_path, "scene", "0,off", "100,on", "200,on", "300,off", name="kept.csv"))
    pressed = replayed(
        LITTLE, lines(tmp_path, "scene", "0,released", "100,pressed", "150,released", "300,pressed", name="finger.csv")
    )

    assert kept.track("input", "scene").changes == pressed.track("input", "scene").changes


@settings(max_examples=80, deadline=None)
@given(
    rows=st.lists(
        st.tuples(st.integers(0, 10**6), st.sampled_from([0x100, 0x101, 0x7FF, 0x18FEF100]), st.binary(max_size=8)),
        min_size=1, max_size=30,
    )
)  # fmt: skip
def test_any_frames_give_tracks_in_order(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[int, int, bytes]]
) -> None:
    """Law: whatever stands in frames that are listened to, in whatever order, the replay ends and its clock goes on."""
    folder = tmp_path_factory.mktemp("any")
    (folder / "data.yaml").write_text(
        'vehicle-data: 1\nsignals:\n  brake: {frame: 100, start: "1.1", bits: 2, timeout: 300 ms}\n'
        '  gear: {frame: 101, start: "2.1", bits: 9, values: {P: 0, D: 1 to 300}}\n'
        '  speed: {frame: 101, start: "1.1", bits: 32, signed: yes, unit: km/h}\n'
        "  turn-left: {j1939: PGN 65265 SPN 597, values: {low: 0, high: 1}}\n"
    )
    text = "".join(f"({at}.0) c {number_:0{8 if number_ > 0x7FF else 3}X}#{data.hex()}\n" for at, number_, data in rows)
    (folder / "a.log").write_text(text)
    result = replayed(LITTLE, folder / "a.log", said=folder / "data.yaml")

    assert result.frames_n == len(rows)
    for track in result.tracks:
        times = [change.at_ms for change in track.changes]
        assert times == sorted(set(times))
