"""Do consoles, trays, lockers, mounts, items, films, fasteners and operations hold together, and their prices?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.parts.read import read_part
from coachwright.parts.schema import FastenerPart, LabourPart, LockerPart, TrayPart

FIGURES = 'figures: {source: "sheet of an invented maker", date: 2026-03-01}\n'
TOP = "name: it\ntitle: It\n" + FIGURES + "mass: 20 kg\nprice: 185 USD\n"
SIZE = "length: 600 mm\nwidth: 1000 mm\nheight: 850 mm\n"
CONSOLE = (
    "kind: console\n" + TOP + SIZE + "face: 8 in\nbays:\n  bay-1: {length: 5 in, depth: 180 mm}\n"
    "  cups: {length: 3 in, depth: 90 mm}\n"
)
TRAY = "kind: tray\n" + TOP + SIZE + "load: 400 lb\ntravel: 1100 mm\nlocks: [in, out]\n"
LOCKER = "kind: locker\n" + TOP + SIZE + "volume: 18 ft3\nload: 60 kg\n"
MOUNT = "kind: mount\n" + TOP + SIZE + "what: bulkhead\nload: 300 kg\nrestraint: 9 g\n"
ITEM = "kind: item\n" + TOP + SIZE + "what: fuel can\nvolume: 5 gal\n"
FILM = "kind: film\n" + TOP + "use: marking\ncolours: [red, white]\nfilm-class: type-iv\nwidth: 24 in\nroll: 50 yd\n"
GLASS = "kind: film\n" + TOP + "use: glass\nwidth: 60 in\nroll: 100 ft\ntransmittance: 35 %\n"
PANE = (
    "kind: pane\n" + TOP + "transmittance: 88 %\nthickness: 4 mm\nwidth: 1300 mm\nheight: 420 mm\nmarked: AS-2\n"
    "fits: [cap-hatch]\n"
)
BOLT = "kind: fastener\n" + TOP + 'what: bolt\nthread: M6\nmaterial: steel\nstrength-class: "8.8"\nproof: 11.6 kN\n'
LABOUR = "kind: labour\n" + TOP + "hours: 90 min\nstation: bay\nlearning: 90 %\n"
SOUND = (CONSOLE, TRAY, LOCKER, MOUNT, ITEM, FILM, GLASS, PANE, BOLT, LABOUR)


def told(text: str) -> list[tuple[str, int, str]]:
    """Code, line and severity of each finding."""
    return [(each.code, each.where[0].line, each.severity) for each in read_part(text, file="it.yaml").findings]


@pytest.mark.parametrize("text", SOUND)
def test_a_sound_part_has_no_finding(text: str) -> None:
    """Case: what the slips below start from is clean."""
    assert told(text) == []


def test_quantities_become_si_by_nist_sp_811() -> None:
    """18 ft3 are 0.50970 m3, 400 lb are 181.437 kg, 90 min are 5400 s (NIST SP 811, appendix B)."""
    locker, tray, labour = (read_part(text, file="it.yaml").part for text in (LOCKER, TRAY, LABOUR))

    assert isinstance(locker, LockerPart)
    assert isinstance(tray, TrayPart)
    assert isinstance(labour, LabourPart)
    assert locker.volume == pytest.approx(0.509703, rel=1e-5)
    assert tray.load == pytest.approx(181.4369, rel=1e-6)
    assert labour.hours == pytest.approx(5400)


def test_a_bolt_carries_the_proof_load_of_iso_898_1() -> None:
    """M6, coarse, 8.8: stress area 20.1 mm2, proof 11,600 N (ISO 898-1 as a public table prints it): 577 N/mm2."""
    part = read_part(BOLT, file="it.yaml").part

    assert isinstance(part, FastenerPart)
    assert part.proof / 20.1 == pytest.approx(580, rel=0.01)


@pytest.mark.parametrize(
    ("text", "was", "now", "code", "line", "severity"),
    [
        (CONSOLE, "face: 8 in", "face: 7 in", "PRT-057", 10, "warning"),
        (CONSOLE, "cups: {length: 3 in", "cups: {length: 0 in", "PRT-043", 13, "error"),
        (CONSOLE, "depth: 90 mm", "deep: 90 mm, depth: 90 mm", "PRT-009", 13, "error"),
        (TRAY, "locks: [in, out]", "locks: [in, away]", "PRT-011", 12, "error"),
        (TRAY, "load: 400 lb", "load: 0 lb", "PRT-043", 10, "error"),
        (LOCKER, "volume: 18 ft3", "volume: 81 ft3", "PRT-057", 10, "warning"),
        (MOUNT, "load: 300 kg", "load: -3 kg", "PRT-043", 11, "error"),
        (MOUNT, "restraint: 9 g", "restraint: 9", "BLD-004", 12, "error"),
        (ITEM, "volume: 5 gal", "volume: 500 gal", "PRT-057", 11, "warning"),
        (FILM, "colours: [red, white]\n", "", "PRT-058", 1, "error"),
        (FILM, "roll: 50 yd\n", "roll: 50 yd\ntransmittance: 35 %\n", "PRT-058", 12, "error"),
        (GLASS, "transmittance: 35 %\n", "", "PRT-058", 1, "error"),
        (GLASS, "transmittance: 35 %", "transmittance: 135 %", "PRT-043", 10, "error"),
        (PANE, "transmittance: 88 %", "transmittance: 97 %", "PRT-043", 7, "error"),
        (PANE, "transmittance: 88 %", "transmittance: 0 %", "PRT-043", 7, "error"),
        (PANE, "transmittance: 88 %", "transmittance: 60 %", "PRT-057", 11, "warning"),
        (PANE, "thickness: 4 mm", "thickness: 0 mm", "PRT-043", 8, "error"),
        (PANE, "marked: AS-2\n", "marked: AS-2\nindex: 0.9\n", "PRT-043", 12, "error"),
        (BOLT, "thread: M6", "thread: six", "PRT-059", 8, "error"),
        (BOLT, 'strength-class: "8.8"\n', "", "PRT-058", 1, "error"),
        (LABOUR, "learning: 90 %", "learning: 20 %", "PRT-043", 9, "error"),
        (LABOUR, "hours: 90 min", "hours: 0 min", "PRT-043", 7, "error"),
        (TRAY, "price: 185 USD", "price: 185", "PRT-053", 6, "error"),
        (TRAY, "price: 185 USD", "price: $185", "PRT-053", 6, "error"),
        (TRAY, "price: 185 USD", "price: 1,850 USD", "PRT-053", 6, "error"),
        (TRAY, "price: 185 USD", "price: 185.5 USD", "PRT-053", 6, "error"),
        (TRAY, "price: 185 USD", "price: 185 USD\npack: 0", "PRT-043", 7, "error"),
    ],
)
def test_each_slip_is_told_at_its_line(*, text: str, was: str, now: str, code: str, line: int, severity: str) -> None:
    """Law: one slip, one finding, at its line; a doubt leaves the part in use."""
    assert text.count(was) == 1
    slipped = text.replace(was, now)

    assert told(slipped) == [(code, line, severity)]
    assert (read_part(slipped, file="it.yaml").part is None) == (severity == "error")


@pytest.mark.parametrize("sum_of_money", ["185 USD", "12.50 USD", "0 USD", "999999999.99 EUR"])
def test_money_is_digits_and_a_currency(sum_of_money: str) -> None:
    """Currencies by the three letters of ISO 4217; the sum stays text until somebody reckons with it."""
    part = read_part(TRAY.replace("185 USD", sum_of_money), file="it.yaml").part

    assert part is not None
    assert part.price == sum_of_money


@given(st.text(max_size=30))
def test_no_text_at_all_breaks_the_door(text: str) -> None:
    """Law: whatever stands behind price, thread or size, the door answers with a part or with findings."""
    quoted = "'" + text.replace("'", "''").replace("\n", " ") + "'"
    for whole in (
        TRAY.replace("185 USD", quoted),
        BOLT.replace("M6", quoted),
    ):
        read = read_part(whole, file="it.yaml")
        assert (read.part is None) == any(each.severity == "error" for each in read.findings)
