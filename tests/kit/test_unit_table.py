"""The units themselves: factors against print and against another program's table, and what is called what."""

import pint
import pytest

from coachwright.kit.unit_table import (
    KINDS,
    find_unit,
    kind_of,
    kinds,
    kinds_with,
    plain_spelling,
    si_unit,
    spellings_of,
    units_of,
)

REGISTRY = pint.UnitRegistry()

PINT_KIND = {
    "length": "m", "angle": "rad", "time": "s", "speed": "m/s", "mass": "kg", "force": "N", "torque": "N*m",
    "voltage": "V", "current": "A", "power": "W", "resistance": "ohm", "resistance-per-length": "ohm/m",
    "charge": "A*s", "energy": "J", "temperature-rise": "delta_degC", "area": "m**2", "volume": "m**3",
    "flow": "m**3/s", "mass-per-length": "kg/m", "concentration": "kg/m**3", "luminous-intensity": "cd",
    "luminous-flux": "lm", "illuminance": "lx", "luminance": "cd/m**2", "flash-energy": "cd*s",
    "optical-power": "cd*s/min", "intensity-per-illuminance": "cd/lx", "retroreflection": "cd/lx/m**2",
    "rate": "1/s", "share": "", "frequency": "1/s", "pressure": "Pa", "angular-rate": "rad/s",
    "voltage-per-temperature": "V/K", "acceleration": "m/s**2", "current-squared-time": "A**2*s", "count": "",
    "number": "",
}  # fmt: skip
"""The inside unit of each kind in pint's words. Temperatures are tried apart; pint has no dBA."""

PINT_UNIT = {
    "in": "inch", "um": "micrometer", "ft": "foot", "yd": "yard", "mi": "mile", "nmi": "nautical_mile", "mil": "thou",
    "deg": "degree", "arcmin": "arcminute", "arcsec": "arcsecond", "mrad": "milliradian", "us": "microsecond",
    "min": "minute", "h": "hour", "d": "day", "km/h": "km/hour", "mph": "mile/hour", "ft/s": "foot/s", "kn": "knot",
    "t": "metric_ton", "lb": "pound", "oz": "ounce", "lbf": "force_pound", "kgf": "force_kilogram", "N m": "N*m",
    "lbf ft": "force_pound*foot", "lbf in": "force_pound*inch", "ft lbf": "force_pound*foot", "hp": "horsepower",
    "mohm": "milliohm", "kohm": "kiloohm", "mohm/m": "milliohm/m", "ohm/kft": "ohm/(1000*foot)", "A s": "A*s",
    "Ah": "A*hour", "mAh": "mA*hour", "Wh": "W*hour", "kWh": "kW*hour", "K": "delta_degC", "degF": "delta_degF",
    "m2": "m**2", "cm2": "cm**2", "mm2": "mm**2", "in2": "inch**2", "ft2": "foot**2", "cmil": "circular_mil",
    "kcmil": "kcmil", "m3": "m**3", "mL": "mL", "ft3": "foot**3", "in3": "inch**3", "gal": "gallon",
    "m3/s": "m**3/s", "m3/h": "m**3/hour", "cfm": "foot**3/minute", "L/min": "L/minute", "gal/min": "gallon/minute",
    "lb/ft": "pound/foot", "lb/kft": "pound/(1000*foot)", "kg/m3": "kg/m**3", "g/m3": "g/m**3", "mg/m3": "mg/m**3",
    "ug/m3": "microgram/m**3", "mcd": "millicandela", "kcd": "kilocandela", "klm": "kilolumen", "mlx": "millilux",
    "klx": "kilolux", "fc": "lumen/foot**2", "cd/m2": "cd/m**2", "fL": "cd/foot**2/pi", "cd s": "cd*s",
    "cd s/min": "cd*s/minute", "mcd/lx": "millicandela/lx", "cd/fc": "cd/(lumen/foot**2)", "cd/lx/m2": "cd/lx/m**2",
    "cd/fc/ft2": "cd/(lumen/foot**2)/foot**2", "Hz": "1/s", "per min": "1/minute", "per h": "1/hour", "%": "percent",
    "1": "", "kHz": "1000/s", "MHz": "1e6/s", "GHz": "1e9/s", "psi": "force_pound/inch**2", "deg/s": "degree/s",
    "rpm": "turn/minute", "m/s2": "m/s**2", "g": "standard_gravity", "ft/s2": "foot/s**2", "A2 s": "A**2*s",
    "kA2 s": "kA**2*s",
}  # fmt: skip

AGAINST_PINT = [(kind, unit) for kind in PINT_KIND for unit in units_of(kind)]

SP_811_B9 = [
    ("length", "mil", 2.54e-05), ("length", "mi", 1.609344e03), ("length", "nmi", 1.852e03),
    ("length", "yd", 9.144e-01),
    ("length", "ft", 3.048e-01), ("length", "in", 2.54e-02), ("angle", "arcmin", 2.908882e-04),
    ("angle", "turn", 6.283185e00), ("angle", "arcsec", 4.848137e-06), ("area", "cmil", 5.067075e-10),
    ("force", "kgf", 9.80665e00), ("force", "lbf", 4.448222e00), ("illuminance", "fc", 1.076391e01),
    ("luminance", "fL", 3.426259e00), ("mass", "oz", 2.834952e-02), ("mass", "lb", 4.535924e-01), ("mass", "t", 1e03),
    ("power", "hp", 7.456999e02), ("pressure", "bar", 1e05), ("pressure", "psi", 6.894757e03), ("time", "d", 8.64e04),
    ("time", "h", 3.6e03), ("time", "min", 6e01), ("speed", "kn", 5.144444e-01), ("volume", "gal", 3.785412e-03),
    ("volume", "L", 1e-03),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "unit", "printed"), SP_811_B9)
def test_factors_agree_with_nist_sp_811_b9(kind: str, unit: str, printed: float) -> None:
    """NIST SP 811 (2008), Appendix B.9: seven figures, or exact (read in a transcription of the table)."""
    found = find_unit(unit, kind)

    assert found is not None
    assert found.factor == pytest.approx(printed, rel=1.5e-7)


@pytest.mark.parametrize(("kind", "unit"), AGAINST_PINT, ids=lambda value: value)
def test_factors_agree_with_pint(kind: str, unit: str) -> None:
    """Law: two tables made by different hands say the same; every unit of every kind that pint knows."""
    found = find_unit(unit, kind)
    words = "gram" if (kind, unit) == ("mass", "g") else PINT_UNIT.get(unit, unit)
    expected = REGISTRY.Quantity(1.0, REGISTRY.parse_units("")) * REGISTRY.parse_expression(words or "1")
    inside = REGISTRY.parse_expression(PINT_KIND[kind] or "1")

    assert found is not None
    assert found.factor == pytest.approx((expected / inside).to("").magnitude, rel=1e-12)


@pytest.mark.parametrize("unit", ["degC", "degF", "K"])
@pytest.mark.parametrize("value", [-40.0, 0.0, 32.0, 98.6, 212.0, 300.0])
def test_temperatures_agree_with_pint(unit: str, value: float) -> None:
    """Law: the same reading on another program's scale; -40 is the same on both, 32 degF is 0 degC."""
    found = find_unit(unit, "temperature")
    expected = REGISTRY.Quantity(value, {"degC": "degC", "degF": "degF", "K": "kelvin"}[unit]).to("degC").magnitude

    assert found is not None
    assert value * found.factor + found.offset == pytest.approx(expected, abs=1e-9)


def test_every_kind_is_tried_against_another_source() -> None:
    """Law: no kind escapes the comparison unnoticed; dB, dBA, dBC and dBi are kept as written, nothing to compare."""
    assert set(kinds()) - set(PINT_KIND) == {"temperature", "level", "gain"}
    assert all(find_unit(unit, kind).factor == 1 for kind in ("level", "gain") for unit in units_of(kind))  # type: ignore[union-attr]


@pytest.mark.parametrize("kind", kinds())
def test_every_kind_is_whole(kind: str) -> None:
    """Law: inside unit, proposed units and parts of each kind are units of it; the inside unit is 1 of itself."""
    entry = KINDS[kind]
    inside = find_unit(si_unit(kind), kind)

    assert inside is not None
    assert (inside.exact_factor, inside.exact_offset) == (1, 0)
    assert set(entry.asked) <= set(units_of(kind))
    assert set(entry.parts) <= set(units_of(kind))


@pytest.mark.parametrize("kind", kinds())
def test_no_spelling_stands_for_two_units_of_a_kind(kind: str) -> None:
    """Law: each unit is found again under every spelling it claims."""
    for spelling in spellings_of(kind):
        unit = find_unit(spelling, kind)

        assert unit is not None
        for other in (unit.name, *unit.others):
            assert find_unit(other, kind) == unit, f"{other} is claimed twice in {kind}"


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("cd·s per min", "cd s/min"), ("cd-s / min", "cd s/min"), ("°C", "degC"), ("deg F", "degF"), ("mm²", "mm2"),
        ("m^3/h", "m3/h"), ("µs", "us"), ("μs", "us"), ("\u03a9", "ohm"), ("\u2126", "ohm"), ("per  min", "/min"),
        ("N*m", "N m"), ("  lbf   ft ", "lbf ft"),
    ],
)  # fmt: skip
def test_ways_to_join_a_unit_are_one(written: str, plain: str) -> None:
    """Case: raised dots, hyphens, signs and spaces that people and word processors put between."""
    assert plain_spelling(written) == plain


@pytest.mark.parametrize(
    ("kind", "written", "name"),
    [
        ("length", "MM", "mm"),
        ("speed", "MPH", "mph"),
        ("voltage", "v", "V"),
        ("level", "dba", "dBA"),
        ("time", "Days", "d"),
    ],
)
def test_capitals_are_free_where_nothing_hangs_on_them(kind: str, written: str, name: str) -> None:
    """Case: a lead who types with the shift key down."""
    found = find_unit(written, kind)

    assert found is not None
    assert found.name == name


@pytest.mark.parametrize(
    ("kind", "written"),
    [("current", "MA"), ("resistance", "Mohm"), ("voltage", "MV"), ("frequency", "mHz"), ("charge", "MAh")],
)
def test_a_thousandth_is_never_taken_for_a_million(kind: str, written: str) -> None:
    """Case: SI prefixes m and M are a factor of 1,000,000,000 apart (BIPM SI brochure, 9th edition, table 7)."""
    assert find_unit(written, kind) is None


def test_one_name_may_be_two_units() -> None:
    """Case: g weighs and accelerates."""
    assert [unit.kind for unit in kinds_with("g")] == ["mass", "acceleration"]


def test_an_unknown_kind_names_the_nearest() -> None:
    """Case: a rule pack with a slip in it."""
    with pytest.raises(LookupError, match=r"called curent. Closest: current"):
        kind_of("curent")
    with pytest.raises(LookupError, match="called zzz"):
        units_of("zzz")


def test_kinds_are_spoken_with_their_article() -> None:
    """Case: sentences read aloud."""
    assert [kind_of(name).spoken for name in ("angle", "optical-power", "length")] == [
        "an angle",
        "an optical power",
        "a length",
    ]
