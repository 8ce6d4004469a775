"""Reading quantities: what a shop writes, to the last digit, and what is refused with what to write."""

import math
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.unit_table import find_unit, spellings_of
from coachwright.kit.units import MOST_CHARACTERS, UnitError, kinds, parse, unit_factor, units_of

KIND = st.sampled_from(kinds())
BARE = ("count", "number")


def outcome(text: str, kind: str) -> float | UnitError:
    """What reading `text` ends in; any other error gets through."""
    try:
        return parse(text, kind)
    except UnitError as error:
        return error


def refused(text: str, kind: str) -> UnitError:
    """The error that reading `text` ends in."""
    with pytest.raises(UnitError) as caught:
        parse(text, kind)
    return caught.value


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("1 in", "length", 0.0254),
        ("3/8 in", "length", 0.009525),
        ("1 1/2 in", "length", 0.0381),
        ("1-1/2 in", "length", 0.0381),
        ("1½ in", "length", 0.0381),
        ("5 ft 6 in", "length", 1.6764),
        ("5' 6 1/2\"", "length", 1.6891),
        ("-5 ft 6 in", "length", -1.6764),
        ("1 lb", "mass", 0.45359237),
        ("3 lb 8 oz", "mass", 1.587573295),
        ("400 lb", "mass", 181.436948),
        ("65 mph", "speed", 29.0576),
        ("2 min 30 s", "time", 150.0),
        ("1 h 2 min 3.5 s", "time", 3723.5),
        ("32 degF", "temperature", 0.0),
        ("212 °F", "temperature", 100.0),
        ("-40 F", "temperature", -40.0),
        ("300 K", "temperature", 26.85),
        ("1 gal", "volume", 0.003785411784),
        ("1,234.5 cd", "luminous-intensity", 1234.5),
        ("12.5 A", "current", 12.5),
        ("1e-3 lx", "illuminance", 0.001),
        ("150 per min", "rate", 2.5),
        ("180 /min", "rate", 3.0),
        ("180 flashes per minute", "rate", 3.0),
        ("100 %", "share", 1.0),
        ("0.4", "share", 0.4),
        ("8000 cd s/min", "optical-power", 8000.0),
        ("95 Ah", "charge", 342000.0),
        ("6", "count", 6.0),
        ("1.52", "number", 1.52),
    ],
)
def test_definitions_come_out_to_the_last_digit(text: str, kind: str, expected: float) -> None:
    """1 in = 25.4 mm, 1 lb = 0.45359237 kg (US Federal Register, 1 July 1959), 1 US gal = 231 in3; NIST SP 811, B.9."""
    assert parse(text, kind) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("180 deg", math.pi), ("90 deg", math.pi / 2), ("-45 deg", -math.pi / 4), ("1 turn", 2 * math.pi)],
)
def test_angles_are_radians(text: str, expected: float) -> None:
    """A half turn is pi radian; the nearest float of it."""
    assert parse(text, "angle") == expected


@pytest.mark.parametrize(
    "text",
    [
        "25deg",
        "25 deg",
        " 25  deg ",
        "25 °",
        "25°",
        "25 degrees",
        "+25 deg",
        "25.0 deg",
        "25. deg",
        "2.5e1 deg",
        "25-deg",
    ],
)
def test_spacing_and_spelling_are_free(text: str) -> None:
    """Case: the same angle by many hands."""
    assert parse(text, "angle") == parse("25 deg", "angle")


@pytest.mark.parametrize(
    ("text", "kind", "reason", "said", "write", "near"),
    [
        ("25", "angle", "no-unit", "25 of what?", "Write 25 deg.", ""),
        ("25", "length", "no-unit", "25 of what?", "Write 25 in or 25 mm.", ""),
        ("3 ft 3", "length", "no-unit", "The last number of 3 ft 3 has no unit.", "Write 3 ft 3 in.", ""),
        ("40", "share", "no-unit", "40 of what?", "Write 40 %.", ""),
        ("12 A", "length", "other-kind", "12 A is a current; a length belongs here.", "Write it like 3/8 in.", ""),
        ("900 lb", "force", "other-kind", "900 lb is a mass; a force belongs here.", "Write 900 lbf.", "lbf"),
        ("5 m", "time", "other-kind", "5 m is a length; a time belongs here.", "Write 5 ms or 5 min.", ""),
        ("3 inn", "length", "unknown-unit", "inn isn't a unit of length.", "Write 3 in.", "in"),
        ("25 dge", "angle", "unknown-unit", "dge isn't a unit of angle.", "Write 25 deg.", "deg"),
        ("25 x", "angle", "unknown-unit", "x isn't a unit of angle.", "Write it like 25 deg.", ""),
        ("5 MA", "current", "unknown-unit", "m is a thousandth, M a million", "Write 5 mA, if that is meant.", "mA"),
        ("12,5 A", "current", "decimal-comma", "A comma parts thousands here", "Write 12.5 A.", ""),
        ("9-32 V", "voltage", "a-range", "reads like a range", "Write it like 12.8 V.", ""),
        ("9 to 32 V", "voltage", "a-range", "reads like a range", "Write it like 12.8 V.", ""),
        ("nan deg", "angle", "not-finite", "isn't a number", "Write it like 25 deg.", ""),
        ("-inf A", "current", "not-finite", "isn't a number", "Write it like 12.5 A.", ""),
        ("1e99 A", "current", "out-of-range", "out of all proportion", "Write it like 12.5 A.", ""),
        ("1e99999999999999999 A", "current", "out-of-range", "out of all proportion", "Write it like 12.5 A.", ""),
        ("99999999999999999999 A", "current", "out-of-range", "out of all proportion", "Write it like 12.5 A.", ""),
        (
            "\uff11\uff12 A",
            "current",
            "odd-character",
            "'\uff11' isn't read",
            "Write it in plain digits and letters, like 12.5 A.",
            "",
        ),
        ("12\x00A", "current", "odd-character", "U+0000", "Write it in plain digits and letters, like 12.5 A.", ""),
        ("", "length", "empty", "Nothing is written here.", "Write it like 3/8 in.", ""),
        (" \t ", "length", "empty", "Nothing is written here.", "Write it like 3/8 in.", ""),
        ("in", "length", "no-number", "no number at the start of in", "Write it like 3/8 in.", ""),
        ("1.2.3 A", "current", "no-number", "1.2.3 A isn't one number", "Write it like 12.5 A.", ""),
        ("3/0 in", "length", "divided-by-nought", "3/0 in divides by 0", "Write it like 3/8 in.", ""),
        ("5 ft 14 in", "length", "mixed-units", "doesn't go from large to small", "Write 6 ft 2 in.", ""),
        ("6 in 5 ft", "length", "mixed-units", "doesn't go from large to small", "Write 5 ft 6 in.", ""),
        ("5.5 ft 3 in", "length", "mixed-units", "doesn't go from large to small", "Write 5 ft 9 in.", ""),
        ("6.5", "count", "impossible", "6.5 isn't a whole number", "Write it like 6.", ""),
        ("-300 degC", "temperature", "impossible", "colder than anything", "Write it like 60 degC.", ""),
        ("9" * 65 + " A", "current", "too-long", "too long for one quantity", "Write it like 12.5 A.", ""),
    ],
)
def test_what_can_not_be_read_says_what_to_write(  # noqa: PLR0917
    text: str, kind: str, reason: str, said: str, write: str, near: str
) -> None:
    """Case: every reason there is, with its sentence and its mend."""
    error = refused(text, kind)

    assert error.reason == reason
    assert said in str(error)
    assert (error.write, error.near, error.kind, error.text) == (write, near, kind, text)


def test_what_is_proposed_can_be_read() -> None:
    """Law: a mend that is refused again would be no mend."""
    for text, kind in [
        ("25", "angle"),
        ("3 inn", "length"),
        ("900 lb", "force"),
        ("12,5 A", "current"),
        ("5 ft 14 in", "length"),
    ]:
        written = refused(text, kind).write.removeprefix("Write ").removesuffix(".")

        assert math.isfinite(parse(written, kind))


def test_errors_travel_between_processes() -> None:
    """Case: a door that reads in a worker process."""
    error = pickle.loads(pickle.dumps(refused("3 inn", "length")))

    assert (str(error), error.near, error.reason) == ("inn isn't a unit of length.", "in", "unknown-unit")


def test_a_unit_by_itself() -> None:
    """Case: columns of a table in a file, and names that stand for two units."""
    assert unit_factor("degF", "temperature").offset == pytest.approx(-160 / 9)
    assert unit_factor("mph").kind == "speed"
    assert unit_factor("g", "acceleration").factor == 9.80665
    with pytest.raises(UnitError, match="g may be a mass, an acceleration"):
        unit_factor("g")
    with pytest.raises(UnitError, match="No unit is called lumenn"):
        unit_factor("lumenn")
    with pytest.raises(UnitError, match="isn't a unit of length"):
        unit_factor("A", "length")


def test_an_unknown_kind_is_the_programs_own_trouble() -> None:
    """Case: a kind is never written by a lead, so it is no UnitError."""
    with pytest.raises(LookupError, match="Closest: length"):
        parse("3 in", "lenght")


@given(st.integers(-(10**9), 10**9), st.integers(0, 9), KIND.filter(lambda kind: kind not in BARE), st.data())
def test_decimals_are_exact(digits: int, places: int, kind: str, data: st.DataObject) -> None:
    """Law: the answer is the float nearest to the exact product, for every unit in every spelling."""
    spelling = data.draw(st.sampled_from(spellings_of(kind)).filter(lambda spelling: spelling != "1"))
    unit = find_unit(spelling, kind)
    exact = Fraction(digits, 10**places)
    text = f"{'-' if digits < 0 else ''}{abs(digits) // 10**places}.{abs(digits) % 10**places:0{places}d} {spelling}"
    assert unit is not None
    inside = exact * unit.exact_factor + unit.exact_offset
    if kind == "temperature" and inside < Fraction("-273.15"):
        assert refused(text, kind).reason == "impossible"
    else:
        assert parse(text, kind) == float(inside)


@given(st.integers(0, 10**6), st.integers(1, 64), st.sampled_from(["in", "ft", "mm"]))
def test_fractions_are_exact(above: int, below: int, unit: str) -> None:
    """Law: a fraction, and the same as a mixed number, are rounded once."""
    exact = Fraction(above, below)
    whole, rest = divmod(above, below)
    found = find_unit(unit, "length")
    assert found is not None

    assert parse(f"{above}/{below} {unit}", "length") == float(exact * found.exact_factor)
    assert parse(f"{whole} {rest}/{below} {unit}", "length") == float(exact * found.exact_factor)


@given(st.integers(0, 10_000), st.integers(0, 11), st.sampled_from([1, -1]))
def test_feet_and_inches_add(feet: int, inches: int, sign: int) -> None:
    """Law: so many feet and inches are as many inches; the sign holds for both."""
    text = f"{'-' if sign < 0 else ''}{feet} ft {inches} in"

    assert parse(text, "length") == parse(f"{sign * (12 * feet + inches)} in", "length")


@given(st.text(max_size=MOST_CHARACTERS + 8), KIND)
def test_any_text_ends_in_a_number_or_a_unit_error(text: str, kind: str) -> None:
    """Law (fuzz): nothing else gets out of the door, what gets in is finite, and what is said fits on a line."""
    end = outcome(text, kind)

    if isinstance(end, UnitError):
        assert end.reason
        assert str(end).isprintable()
        assert len(str(end)) < 200
    else:
        assert math.isfinite(end)


@given(
    st.lists(
        st.sampled_from(
            [
                "1",
                "25",
                "0",
                "3/8",
                "-",
                "+",
                ".",
                ",",
                "e",
                "e9",
                "/",
                " ",
                "ft",
                "in",
                "deg",
                "per",
                "min",
                "%",
                "'",
                '"',
                "dB",
                "K",
                "½",
                "nan",
            ]
        ),
        max_size=10,
    ).map("".join),
    KIND,
)
def test_shuffled_scraps_end_in_a_number_or_a_unit_error(text: str, kind: str) -> None:
    """Law (fuzz): near misses, made of the pieces that quantities are made of."""
    end = outcome(text, kind)

    assert end.reason if isinstance(end, UnitError) else math.isfinite(end)


def test_units_are_listed_once() -> None:
    """Law: a list of units for a help page."""
    assert units_of("rate") == ("Hz", "per min", "per h")
    assert all(len(set(units_of(kind))) == len(units_of(kind)) for kind in kinds())
