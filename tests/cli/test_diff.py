"""The diff command: two builds, or two vehicles of one, in words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coachwright.cli.main import main

ROOT = Path(__file__).parents[2]

BUILD = """\
coachwright: 1
job: {name: Two cars, money: USD}
count: 2
vehicle: {body: crew-cab-pickup-with-cap}
options:
  fan: {base: none, none: {}, fitted: {add: {equipment.fan: {part: fan-40cfm, at: under-rear-seat}}}}
serials:
  2: {choose: {fan: fitted}}
lamps:
  corner: {part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}
"""


@pytest.fixture
def builds(tmp_path: Path) -> tuple[str, str]:
    """A build, and one in which the corner lamps are turned otherwise."""
    old, new = tmp_path / "old.yaml", tmp_path / "new.yaml"
    old.write_text(BUILD)
    new.write_text(BUILD.replace("45 deg", "25 deg"))
    return str(old), str(new)


def test_nothing_differs(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: it says so, and ends with 0."""
    assert main(["diff", builds[0], builds[0]]) == 0
    assert capsys.readouterr().out == "Nothing differs.\n"


def test_two_builds(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: words under the heading a lead looks under; ends with 1."""
    assert main(["diff", *builds]) == 1
    assert capsys.readouterr().out == (
        "Seen\n  corner is turned 25 deg instead of 45 deg.\n\n"
        "What it does\n  Proved alike: in no setting does a lamp, a siren or an output do otherwise.\n\n"
        "1 difference.\n"
    )


def test_two_vehicles_of_one_build(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: vehicle 2 has the fan; so it has beside the base."""
    assert main(["diff", builds[0], "--serial", "1", "--with", "2"]) == 1
    told = capsys.readouterr().out
    assert "fan is new: fan-40cfm at under-rear-seat." in told
    assert "The vehicle has fan fitted instead of none." in told
    main(["diff", builds[0], "--with", "2"])
    assert capsys.readouterr().out == told


def test_one_vehicle_of_two_builds(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: the same number on both sides, unless another is asked for."""
    main(["diff", *builds, "--serial", "2"])
    assert "1 difference." in capsys.readouterr().out
    main(["diff", *builds, "--serial", "2", "--with", "1"])
    assert "fan is gone" in capsys.readouterr().out


def test_as_json(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: programs get old and new apart."""
    assert main(["diff", *builds, "--json"]) == 1
    shown = json.loads(capsys.readouterr().out)

    assert shown["understood"] is True
    (only,) = shown["differences"]
    assert (only["section"], only["about"], only["old"], only["new"]) == (
        "seen",
        "lamps.corner.aim_rad",
        "45 deg",
        "25 deg",
    )


def test_an_order_that_changes_many_figures_is_told_shortly(
    builds: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Case: a stronger alternator changes a whole curve; a few figures are told, and how many more there are."""
    old, new = builds
    Path(new).write_text(BUILD.replace("-with-cap}", "-with-cap, as-ordered: [alternator-250]}"))

    assert main(["diff", old, new]) == 1
    told = capsys.readouterr().out
    assert told.count("  The body crew-cab-pickup-with-cap: ") == 4
    assert "more figures of the body (--json has them all)." in told
    assert "The vehicle now arrives with alternator-250." in told


def test_a_build_nobody_understands_yet(builds: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case: then what is written is compared, and it says why."""
    old, new = builds
    Path(new).write_text(BUILD.replace("fender-corner", "fender-coner"))

    assert main(["diff", old, new]) == 1
    told = capsys.readouterr()
    assert "lamps.corner.at says fender-coner instead of fender-corner." in told.out
    assert "can't be understood yet: 1 to mend" in told.err


def test_what_cannot_be_compared(builds: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: no second side, no such file, no such vehicle: one line and exit 2."""
    for words in ([builds[0]], [builds[0], str(tmp_path / "none.yaml")], [builds[0], "--serial", "1", "--with", "9"]):
        assert main(["diff", *words]) == 2
        assert capsys.readouterr().err.count("\n") == 1


def test_what_they_do_is_proved_alike_or_told_by_a_story(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case: a lamp turned a little does the same; a condition left out is told by what to do and what is seen."""
    text = (ROOT / "examples" / "quillback" / "build.yaml").read_text(encoding="utf-8")
    turned, bare = tmp_path / "turned.yaml", tmp_path / "bare.yaml"
    turned.write_text(text.replace("aim: 45 deg", "aim: 30 deg"), encoding="utf-8")
    bare.write_text(text.replace("when: brake and not parked, show", "when: brake, show"), encoding="utf-8")

    assert main(["diff", str(ROOT / "examples" / "quillback"), str(turned)]) == 1
    assert "Proved alike" in capsys.readouterr().out
    assert main(["diff", str(ROOT / "examples" / "quillback"), str(bare), "--json"]) == 1
    behaviour = json.loads(capsys.readouterr().out)["behaviour"]
    assert (behaviour["ends"], behaviour["acts"]) == ("different", ["brake on"])
    assert {"output": "tail.left", "old": "dark", "new": "red steady at 100 %"} in behaviour["outputs"]
