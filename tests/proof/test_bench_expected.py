"""What should be read on the bench: worked by hand, against print, and against what a better part does."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.load import read_build
from coachwright.build.model import Model
from coachwright.control.bench_fields import (
    FAR_TIMES,
    LUX_METER,
    accepted,
    bands,
    candela,
    candela_off_by,
    fields_of,
    lamps_of,
    lux_bands,
)
from coachwright.flash.waves import waves
from coachwright.kit.wave import Wave
from coachwright.light.lit import glows, peaks_cd
from coachwright.look.bench_measured import WIDTH, field_json, field_lines
from coachwright.parts.schema import LampPart
from coachwright.proof.bench_expected import (
    Asked,
    expected_on_bench,
    lamp_light,
    together_peak,
)
from coachwright.proof.bench_figures import figures
from coachwright.proof.bench_supply import current

EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str) -> Model:
    """An example build."""
    model = read_build((EXAMPLES / name / "build.yaml").read_text(encoding="utf-8")).model
    assert model is not None
    return model


@pytest.fixture(scope="module")
def quillback() -> Model:
    """The pickup."""
    return example("quillback")


def test_the_lux_to_expect_follow_ies_9_1_1(quillback: Model) -> None:
    """E = I / d^2, from five times the largest dimension on (IES definition 9.1.1 and its note)."""
    for name, expected in expected_on_bench(quillback).items():
        if name.startswith("light "):
            part = quillback.part(lamps_of(quillback)[name.removeprefix("light ")][0].part)
            assert isinstance(part, LampPart)
            assert expected.distance_m >= FAR_TIMES * max(part.width, part.height)
            assert expected.value is not None
            assert expected.reading_lx == pytest.approx(expected.value / expected.distance_m**2)
            assert expected.reading_lx >= figures().least_lx


@pytest.mark.parametrize(
    ("reading", "ends"), [(3.19, "pass"), (3.21, "not sure"), (4.0, "not sure"), (4.79, "not sure"), (4.81, "fail")]
)
def test_guard_band_as_ilac_g8_4_1_draws_it(reading: float, ends: str) -> None:
    """Acceptance limit = tolerance limit - guard band (ILAC-G8:09/2019, 4.1): 4.0 and 0.8 give 3.2 and 4.8."""
    found = bands(least=None, most=4.0, off_abs=0.8, off_share=0.0)

    assert (found.pass_to, found.fail_above) == (pytest.approx(3.2), pytest.approx(4.8))
    assert found.pass_from is None
    assert accepted(reading, off_by=0.8, most=4.0) == ends


@given(st.floats(0, 1e4), st.floats(0, 0.3), st.floats(0, 10), st.floats(0, 1e4), st.floats(0, 1e4))
def test_printed_ends_say_what_is_said_of_each_reading(
    reading: float, off_share: float, off_abs: float, least: float, more: float
) -> None:
    """Law: a reading is judged by the printed ends as it is judged by itself."""
    found = bands(least=least, most=least + more, off_abs=off_abs, off_share=off_share)
    judged = accepted(reading, off_by=off_abs + off_share * reading, least=least, most=least + more)
    ends = (found.pass_from, found.pass_to, found.fail_below, found.fail_above)
    if any(each is not None and math.isclose(each, reading, rel_tol=1e-9, abs_tol=1e-9) for each in ends):
        return
    assert found.pass_from is not None
    assert found.pass_to is not None
    assert found.fail_below is not None
    assert found.fail_above is not None
    if found.pass_from < reading < found.pass_to:
        assert judged == "pass"
    elif reading < found.fail_below or reading > found.fail_above:
        assert judged == "fail"
    else:
        assert judged == "not sure"


def test_lux_ends_are_those_of_the_candela(quillback: Model) -> None:
    """Law: at the lowest lux that pass, candela less all that meter and tape hide are just the limit."""
    expected = expected_on_bench(quillback)["light grille.left"]
    found = lux_bands(expected, LUX_METER)
    assert found.pass_from is not None
    lit_lx, dark_lx, distance_m = found.pass_from + expected.dark_most_lx, expected.dark_most_lx, expected.distance_m
    least_cd = candela(lit_lx, dark_lx=dark_lx, distance_m=distance_m)
    off_cd = candela_off_by(lit_lx, dark_lx=dark_lx, distance_m=distance_m)

    assert least_cd - off_cd == pytest.approx(expected.least)


def test_a_single_head_is_expected_as_its_peak(quillback: Model) -> None:
    """Case: a level lamp with one head, alone in its colour: what light.peak says of it, by another way."""
    expected = expected_on_bench(quillback)["light rocker-fore.left"]
    peaks = dict(
        zip(
            [(glow.lamp, glow.part.colour) for glow in glows(quillback, expected.situation)],
            peaks_cd(quillback, expected.situation),
            strict=True,
        )
    )
    assert expected.value == pytest.approx(peaks["rocker-fore.left", expected.colour], rel=0.02)


@settings(max_examples=4)
@given(st.floats(1.0, 20.0))
def test_a_brighter_part_never_lowers_what_is_expected(times: float) -> None:
    """Law: with every flux of its part multiplied, candela, limit and the lux above the background never fall."""
    model = example("volunteer-car")
    brighter = _with_flux(model, times)
    for lamp in list(lamps_of(model))[:4]:
        one, other = (lamp_light(each, lamp) for each in (model, brighter))
        assert one is not None
        assert other is not None
        assert (other.value or 0.0) >= (one.value or 0.0) * (1 - 1e-9)
        assert (other.least or 0.0) >= (one.least or 0.0) * (1 - 1e-9)


def _with_flux(model: Model, times: float) -> Model:
    parts = []
    for name, part in model.parts:
        more = part
        if isinstance(part, LampPart):
            heads = tuple(
                head.model_copy(
                    update={
                        "colours": {
                            colour: output.model_copy(update={"flux": output.flux * times})
                            for colour, output in head.colours.items()
                        }
                    }
                )
                for head in part.heads
            )
            more = part.model_copy(update={"heads": heads})
        parts.append((name, more))
    return replace(model, parts=tuple(parts), digest=f"{model.digest} times {times!r}")


def test_a_rule_of_the_build_is_the_limit_where_one_asks(quillback: Model) -> None:
    """Case by hand: a rule asks 300 cd of that head in that situation and colour; what is above the sheet isn't it."""
    plain = lamp_light(quillback, "rocker-fore.left")
    assert plain is not None
    (head,) = lamps_of(quillback)["rocker-fore.left"]
    asked = Asked("TST-001", "test", head.lamp, plain.colour, plain.situation, 300.0)
    ruled = lamp_light(quillback, "rocker-fore.left", [asked])
    too_much = lamp_light(quillback, "rocker-fore.left", [replace(asked, low_cd=1e6)])

    assert ruled is not None
    assert (ruled.least, ruled.by) == (300.0, "TST-001 of test")
    assert plain.least == pytest.approx((plain.value or 0.0) * (1 - figures().light_share))
    assert too_much == plain


def test_waves_in_step_add_up_and_others_meet_at_their_peaks() -> None:
    """Case by hand: 2 A and 3 A in turn are 3 A together; with periods that never fit, 5 A sooner or later."""
    first, second = Wave.of([(100, 2.0), (100, 0.0)]), Wave.of([(100, 0.0), (100, 3.0)])

    assert together_peak([first, second]) == pytest.approx(3.0)
    assert together_peak([first, first]) == pytest.approx(4.0)


def test_current_is_the_sum_of_its_heads_and_standby(quillback: Model) -> None:
    """Law: the mean is the mean of every head's own current, and what stands by; the peak is no less than it."""
    for situation in quillback.situations:
        expected = current(quillback, situation)
        own = {head.id for head in quillback.heads if head.reach == "own"}
        lamps_a = sum(each.current_a.mean() for each in waves(quillback, situation=situation.name) if each.head in own)
        assert expected.value is not None
        assert expected.peak is not None
        assert expected.value >= lamps_a
        assert expected.value - lamps_a < 5.0
        assert expected.peak >= expected.value - 1e-9


@pytest.mark.parametrize("name", ["quillback", "volunteer-car", "service-patrol"])
def test_the_page_keeps_its_width_and_says_what_is_open(name: str) -> None:
    """Case: every line fits a terminal of 80; each field has a box; what nobody works out says why, also in JSON."""
    model = example(name)
    fields = fields_of(model, expected_on_bench(model))
    lines = list(field_lines(fields))

    assert all(len(line) <= WIDTH for line in lines)
    assert sum(line.startswith("  [ ] ") for line in lines) == len(fields)
    assert all(("open" in field_json(each)) == (each.expected is None) for each in fields)
    assert "No expected value: no level at the driver's ear is worked out for it." in "\n".join(lines)
