"""The reckon command: one published formula at the prompt, as text and as JSON."""

from __future__ import annotations

import json

import pytest

from coachwright.cli.main import main


def test_effective_intensity_as_ies_11_1_10_1_has_it(capsys: pytest.CaptureFixture[str]) -> None:
    """I_e = I t / (0.2 + t): 1000 cd for 0.2 s is 500 cd (IES definition 11.1.10.1)."""
    code = main(["reckon", "effective-intensity", "pulses=200 ms @ 1000 cd", "--json"])
    answer = json.loads(capsys.readouterr().out)

    assert code == 0
    assert answer["results"]["intensity"] == {"value": pytest.approx(500.0), "unit": "cd"}


def test_text_says_formula_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    """A person reads what was reckoned and who says so."""
    main(["reckon", "effective-intensity", "pulses=200 ms @ 1000 cd"])
    told = capsys.readouterr().out

    assert "500 cd" in told
    assert "IES definition 11.1.10.1" in told


@pytest.mark.parametrize(
    "words", [["sight-rnge"], ["sight-range", "intensity=400"], ["sight-range", "nonsense"], ["sight-range"]]
)
def test_bad_input_is_one_line_and_exit_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """What was read, why not, what to write."""
    code = main(["reckon", *words])
    told = capsys.readouterr().err

    assert code == 2
    assert told.count("\n") == 1
