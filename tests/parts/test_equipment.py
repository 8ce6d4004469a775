"""Do radios, antennas, emitters, docks and other equipment hold together, and what may a build do with each kind?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.read import read_part
from coachwright.parts.schema import KINDS, AntennaPart, RadioPart, fits_under, runs, sounds
from coachwright.parts.store import load_catalogue

TOP = 'name: it\ntitle: It\nfigures: {source: "sheet of an invented maker", date: 2026-03-01}\nmass: 1 kg\n'
RADIO = (
    "kind: radio\n" + TOP + "band-low: 136 MHz\nband-high: 174 MHz\ntransmit-power: 50 W\ncurrent: 11 A\n"
    "receive-current: 1.8 A\nstandby: 12 mA\ntest-voltage: 13.6 V\nleast-voltage: 11 V\nmost-voltage: 16 V\n"
)
ANTENNA = (
    "kind: antenna\n"
    + TOP
    + "band-low: 144 MHz\nband-high: 166 MHz\ngain: 2.15 dBi\nheight: 490 mm\nground-plane: 480 mm\n"
    "cable: rg-58\n"
)
EMITTER = "kind: emitter\n" + TOP + "current: 1.4 A\nhalf-width: 12 deg\nreach: 2500 ft\n"
DOCK = "kind: dock\n" + TOP + "what: computer dock\ncurrent: 6.5 A\nstandby: 5 mA\n"
DEVICE = "kind: device\n" + TOP + "what: fan\ncurrent: 0.5 A\n"


def told(text: str) -> list[tuple[str, int, str]]:
    """Code, line and severity of each finding."""
    return [(each.code, each.where[0].line, each.severity) for each in read_part(text, file="it.yaml").findings]


@pytest.mark.parametrize("text", [RADIO, ANTENNA, EMITTER, DOCK, DEVICE])
def test_a_sound_part_has_no_finding(text: str) -> None:
    """Case: what the slips below start from is clean."""
    assert told(text) == []


def test_a_radio_and_its_antenna_in_si() -> None:
    """155 MHz are 1.55e8 Hz; a quarter wave there is 483.5 mm (299,792.458 / f / 4, f in MHz, in metres)."""
    radio = read_part(RADIO, file="it.yaml").part
    antenna = read_part(ANTENNA, file="it.yaml").part

    assert isinstance(radio, RadioPart)
    assert isinstance(antenna, AntennaPart)
    assert radio.band_low < 155e6 < radio.band_high
    assert antenna.height == pytest.approx(299_792.458 / 155_000 / 4, rel=0.02)
    assert antenna.gain == pytest.approx(2.15)


@pytest.mark.parametrize(
    ("text", "was", "now", "code", "line", "severity"),
    [
        (RADIO, "band-low: 136 MHz", "band-low: 186 MHz", "PRT-056", 6, "error"),
        (RADIO, "band-low: 136 MHz", "band-low: 136", "BLD-004", 6, "error"),
        (RADIO, "\ncurrent: 11 A", "\ncurrent: 2 A", "PRT-057", 9, "warning"),
        (RADIO, "receive-current: 1.8 A", "receive-current: 18 A", "PRT-057", 10, "warning"),
        (RADIO, "most-voltage: 16 V", "most-voltage: 12 V", "PRT-032", 13, "error"),
        (RADIO, "standby: 12 mA", "standby: -12 mA", "PRT-043", 11, "error"),
        (ANTENNA, "gain: 2.15 dBi", "gain: 2.15", "BLD-004", 8, "error"),
        (ANTENNA, "height: 490 mm", "height: 0 mm", "PRT-043", 9, "error"),
        (EMITTER, "half-width: 12 deg", "half-width: 120 deg", "PRT-043", 7, "error"),
        (EMITTER, "reach: 2500 ft\n", "", "PRT-010", 1, "error"),
        (DOCK, "current: 6.5 A", "current: 0 A", "PRT-043", 7, "error"),
        (DEVICE, "current: 0.5 A", "current: -1 A", "PRT-043", 7, "error"),
    ],
)
def test_each_slip_is_told_at_its_line(*, text: str, was: str, now: str, code: str, line: int, severity: str) -> None:
    """Law: one slip, one finding, at its line; a doubt leaves the part in use."""
    assert text.count(was) == 1
    slipped = text.replace(was, now)

    assert told(slipped) == [(code, line, severity)]
    assert (read_part(slipped, file="it.yaml").part is None) == (severity == "error")


@given(sends_w=st.floats(1, 200), draws_a=st.floats(0.5, 40))
def test_a_radio_never_sends_more_than_it_draws(sends_w: float, draws_a: float) -> None:
    """Law: energy; more out of the antenna socket than in from the feed is doubted, less is not."""
    text = RADIO.replace("50 W", f"{sends_w:.6f} W").replace("\ncurrent: 11 A", f"\ncurrent: {draws_a:.6f} A")
    text = text.replace("1.8 A", "0.4 A")

    if abs(draws_a * 13.6 - sends_w) > 1e-3:
        assert (told(text) != []) == (draws_a * 13.6 < sends_w)


def test_every_kind_has_its_section() -> None:
    """Law: lamps go under lamps, bodies under vehicle; what a build never names is taken from the shop's shelf."""
    catalogue = load_catalogue()
    sections = {kind: {fits_under(part) for part in catalogue.of_kind(kind)} for kind in KINDS}

    assert all(len(found) == 1 for kind, found in sections.items() if kind != "film"), sections
    assert sections["lamp"] == {"lamps"}
    assert sections["body"] == {"vehicle"}
    assert sections["console"] == {"console"}
    assert sections["film"] == {"marking", "glass"}
    assert sections["pane"] == {"glass"}
    assert [kind for kind in KINDS if sections[kind] == {"cargo"}] == ["tray", "locker", "mount", "item"]
    assert [kind for kind in KINDS if sections[kind] == {"shop"}] == [
        "wire", "fuse", "breaker", "connector", "fitting", "fastener", "labour"
    ]  # fmt: skip


def test_what_runs_and_what_sounds() -> None:
    """Law: nothing does both; a siren and an alarm sound, a fan and an emitter run, a battery does neither."""
    catalogue = load_catalogue()
    parts = [part for name in catalogue.names() if (part := catalogue.get(name)) is not None]

    assert not any(runs(part) and sounds(part) for part in parts)
    assert {part.kind for part in parts if sounds(part)} == {"siren", "alarm"}
    assert {part.kind for part in parts if runs(part)} == {
        "device", "dock", "emitter", "radio", "inverter", "charger"
    }  # fmt: skip
    assert all(fits_under(part) == "equipment" for part in parts if runs(part) or sounds(part))
