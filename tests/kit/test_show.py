"""Printing numbers: as people write them, honest about rounding, and read again as they were."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.show import System, show, show_apart, show_in
from coachwright.kit.unit_table import find_unit, kinds, units_of
from coachwright.kit.units import parse

SYSTEMS: st.SearchStrategy[System] = st.sampled_from(["us", "metric"])
sizes = st.floats(1e-9, 1e9) | st.floats(-1e9, -1e-9) | st.just(0.0)
NUMBER = re.compile(r"(?<![A-Za-z0-9/.,])([0-9,]+)(?:\.([0-9]+))?(?:e(-?[0-9]+))?")


def last_place(text: str, kind: str) -> float:
    """What one step of the last printed digit is, inside."""
    *_, last = NUMBER.finditer(text)
    unit = find_unit(text[last.end() :].strip() or "1", kind)
    assert unit is not None
    return float(10.0 ** (int(last[3] or 0) - len(last[2] or ""))) * unit.factor


@pytest.mark.parametrize(
    ("value", "kind", "us", "metric"),
    [
        (38.44, "current", "38.4 A", "38.4 A"),
        (0.31, "current", "310 mA", "310 mA"),
        (1234.4, "luminous-intensity", "1,234 cd", "1,234 cd"),
        (20.1168, "speed", "45 mph", "72.4 km/h"),
        (math.radians(25), "angle", "25.0 deg", "25.0 deg"),
        (0.35, "share", "35 %", "35 %"),
        (0.009525, "length", "0.38 in", "9.53 mm"),
        (0.36195, "length", "14.25 in", "361.9 mm"),
        (30.48, "length", "100 ft", "30.48 m"),
        (1609.344, "length", "1 mi", "1.61 km"),
        (181.436948, "mass", "400 lb", "181.4 kg"),
        (12.25, "voltage", "12.25 V", "12.25 V"),
        (0.036, "voltage", "36 mV", "36 mV"),
        (2.5, "rate", "150 per min", "150 per min"),
        (2e-7, "illuminance", "2e-7 lx", "2e-7 lx"),
        (155.2525e6, "frequency", "155.2525 MHz", "155.2525 MHz"),
        (342000.0, "charge", "95 Ah", "95 Ah"),
        (8000.0, "optical-power", "8,000 cd s/min", "8,000 cd s/min"),
        (0.005211, "resistance-per-length", "5.211 mohm/m", "5.211 mohm/m"),
        (41, "count", "41", "41"),
        (-15.5, "temperature", "-15.5 degC", "-15.5 degC"),
        (7.84532, "acceleration", "0.8 g", "0.8 g"),
        (0.0, "luminous-intensity", "0 cd", "0 cd"),
        (-0.0, "length", "0 in", "0 mm"),
    ],
)
def test_numbers_read_as_people_write_them(value: float, kind: str, us: str, metric: str) -> None:
    """Case: conversions by NIST SP 811 (45 mph = 20.1168 m/s, 400 lb = 181.436948 kg); how many figures is our rule."""
    assert show(value, kind) == us
    assert show(value, kind, system="metric") == metric


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [
        (0.25, "250 ms"), (1.0, "1 s"), (90.0, "90 s"), (120.0, "2 min"), (150.0, "2 min 30 s"),
        (-150.0, "-2 min 30 s"), (3599.6, "60 min"), (7200.0, "2 h"),
        (15120.0, "4 h 12 min"), (172800.0, "2 d"), (190800.0, "2 d 5 h"),
    ],
)  # fmt: skip
def test_long_times_are_told_in_two_units(seconds: float, expected: str) -> None:
    """Case: 60 s, 60 min, 24 h."""
    assert show(seconds, "time") == expected


@pytest.mark.parametrize(
    ("value", "kind", "expected"),
    [
        (0.9996, "share", "99.96 %"),
        (0.999999, "share", "99.9999 %"),
        (1.0, "share", "100 %"),
        (0.0004, "share", "0.04 %"),
        (1.0004, "share", "100.04 %"),
        (math.radians(0.004), "angle", "0.004 deg"),
        (0.9999, "current", "1 A"),
        (3.04799, "length", "10 ft"),
        (1234567.0, "luminous-intensity", "1,234,567 cd"),
    ],
)
def test_rounding_never_tells_a_lie(value: float, kind: str, expected: str) -> None:
    """Case: nearly all isn't all, nearly nothing isn't nothing, and what rounds up to a larger unit is told in it."""
    assert show(value, kind) == expected


@pytest.mark.parametrize(
    ("value", "limit", "kind", "expected"),
    [
        (149.96, 150.0, "luminous-intensity", ("149.96 cd", "150 cd")),
        (149.99996, 150.0, "luminous-intensity", ("149.99996 cd", "150 cd")),
        (68.0, 150.0, "luminous-intensity", ("68 cd", "150 cd")),
        (150.0, 150.0, "luminous-intensity", ("150 cd", "150 cd")),
        (14399.9, 14400.0, "time", ("14,399.9 s", "14,400 s")),
        (0.99951, 1.0, "current", ("0.9995 A", "1 A")),
    ],
)
def test_a_value_and_its_limit_can_be_told_apart(
    value: float, limit: float, kind: str, expected: tuple[str, str]
) -> None:
    """Case: a verdict that reads '150 cd, at least 150 cd: fail' would be laughed at."""
    assert show_apart(value, limit, kind) == expected


def test_a_unit_can_be_asked_for() -> None:
    """Case: a table whose column has one unit."""
    assert show(2.5e-6, "area", unit="mm2") == "2.5 mm2"
    assert show_in(0.0127, "in") == "0.5 in"
    assert show_in(60.0, "degF", kind="temperature") == "140 degF"
    assert show_in(9.80665, "g", kind="acceleration") == "1 g"
    with pytest.raises(LookupError, match="stands for 2 units"):
        show_in(1.0, "g")
    with pytest.raises(LookupError, match="stands for 0 units"):
        show_in(1.0, "furlong")
    with pytest.raises(LookupError, match="lx is no unit of length; there are m, mm"):
        show(1.0, "length", unit="lx")
    with pytest.raises(LookupError, match="Closest: length"):
        show(1.0, "lenght")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_printed(value: float) -> None:
    """Case: a measure without a value says why; it doesn't print nan cd."""
    with pytest.raises(ValueError, match="no length to print"):
        show(value, "length")


@given(sizes, st.sampled_from(kinds()), SYSTEMS)
def test_what_is_printed_can_be_read_again(value: float, kind: str, system: System) -> None:
    """Law: read again, it is within half a step of the last digit; nought only for nought; the sign stays."""
    value = abs(value) if kind == "temperature" else value
    value = float(round(value)) if kind == "count" else value
    text = show(value, kind, system=system)
    bare = not re.search(r"[a-z%A-Z]", text.replace("e-", "").replace("e", ""))
    again = float(text.replace(",", "")) if bare else parse(text, kind)

    assert abs(again - value) <= 0.5 * last_place(text, kind) * (1 + 1e-6) + 1e-9 * abs(value)
    assert (again == 0) == (value == 0)
    assert again * value >= 0
    assert text.isascii()


@given(sizes, st.data())
def test_any_unit_can_be_printed_and_read(value: float, data: st.DataObject) -> None:
    """Law: the same for every unit of every kind."""
    kind = data.draw(
        st.sampled_from([kind for kind in kinds() if kind not in ("count", "number", "share", "temperature")])
    )
    unit = data.draw(st.sampled_from(units_of(kind)))
    found = find_unit(unit, kind)
    assert found is not None
    text = show(value * found.factor, kind, unit=unit)

    assert text.endswith(f" {unit}")
    assert abs(parse(text, kind) - value * found.factor) <= 0.5001 * last_place(text, kind) + 1e-9 * abs(
        value * found.factor
    )


@given(st.floats(1e-3, 1e6), st.floats(-1e-3, 1e-3), st.sampled_from(kinds()))
def test_two_different_numbers_print_differently(limit: float, off: float, kind: str) -> None:
    """Law: down to a part in a billion, and in the right order."""
    value = limit * (1 + off)
    shown, shown_limit = show_apart(value, limit, kind)

    if abs(off) > 1e-9:
        assert shown != shown_limit
    if value == limit:
        assert shown == shown_limit
