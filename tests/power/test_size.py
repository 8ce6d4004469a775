"""Fuse and wire of a circuit: by hand, by the printed drops, then laws; each rule governs somewhere."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.wave import Wave
from coachwright.parts.store import load_catalogue
from coachwright.parts.wiring import FusePart, WirePart
from coachwright.power.ampacity import gauge_by_area, share_in_air
from coachwright.power.drop import circular_mils_for
from coachwright.power.fuse import fuse_rules
from coachwright.power.size import (
    Circuit,
    SizedCircuit,
    Stretch,
    Wired,
    bears_a2_s,
    carries,
    copper_degc,
    resistance_ohm,
    size_circuit,
)
from coachwright.power.wire import CIRCULAR_MIL_M2

CATALOGUE = load_catalogue()
WIRES = [each for each in CATALOGUE.of_kind("wire") if isinstance(each, WirePart)]
FUSES = [each for each in map(CATALOGUE.get, ("fuse-blade", "fuse-bolt-in")) if isinstance(each, FusePart)]
AWG = [each for each in WIRES if each.family == "awg"]
COOL = Stretch(2.0, 30.0)


def wire(name: str) -> WirePart:
    """A wire of the catalogue."""
    found = CATALOGUE.get(name)
    assert isinstance(found, WirePart)
    return found


def wired(current_a: float = 4.0, **said: object) -> Wired:
    """A wire of 2 m out and 2 m back in cool air that may lose 10 %."""
    plain = Wired("lamps.nose", "lamps.nose", current_a, current_a, (COOL,), (COOL,), 11.8, 0.1)
    return replace(plain, **said)  # type: ignore[arg-type]


def sized(circuit: Circuit, *, rule: str = "125", family: str = "awg") -> SizedCircuit:
    """With the catalogue's fuses and wires."""
    chosen = [each for each in WIRES if each.family == family]
    return size_circuit(circuit, fuses=FUSES, wires=chosen, rule=fuse_rules()[rule])


def one(current_a: float, **said: object) -> Circuit:
    """A circuit of one steady load."""
    return Circuit("nose", (wired(current_a, **said),), (Wave.constant(current_a),))


@pytest.mark.parametrize(
    ("circuit", "rule", "size", "governs"),
    [
        (one(2.0), "150", "18", "thinnest"),  # a 2 A fuse and 18 AWG: nothing thinner is in the catalogue
        (one(2.0, alone=True), "150", "16", "gauge"),
        (one(2.0, alone=True, electronics=True), "150", "18", "thinnest"),
        # 4 A over 20 m out and back may lose 0.354 V; 12 AWG (5.3 mohm/m, warm 5.6) takes 0.45 V, 10 AWG 0.28 V
        (one(4.0, drop_share=0.03, out=(Stretch(10.0, 30.0),), back=(Stretch(10.0, 30.0),)), "150", "10", "drop"),
        # among twelve in a hot sill a wire carries 0.5 x 0.73 of the table: 14 AWG 12.8 A, 12 AWG 16.4 A
        (one(15.0, out=(Stretch(0.5, 65.0, bundle_n=12),), back=()), "150", "12", "ampacity"),
        # 24 A takes a 25 A fuse; 135 % of it are 33.75 A: 16 AWG (25 A) would carry the load, 14 AWG (35 A) the rule
        (one(24.0, out=(Stretch(0.2, 30.0),), back=()), "135", "14", "fuse"),
        (one(4.0, fixed_gauge="12"), "150", "12", "fixed"),
    ],
)
def test_each_rule_governs_somewhere(circuit: Circuit, rule: str, size: str, governs: str) -> None:
    """By hand, from table 5 of 33 CFR 183.425 at 105 degC (20, 25, 35, 45, 60, 80 A from 18 to 8 AWG)."""
    found = sized(circuit, rule=rule).wires[0]

    assert (found.wire.size, found.governed_by) == (size, governs)
    assert not found.fails


def test_a_short_can_govern() -> None:
    """By hand: a 30 A blade fuse lets 60^2 x 5 = 18,000 A^2 s through; 16 AWG vinyl bears 10,700, 14 AWG 27,100."""
    circuit = replace(one(5.0, out=(Stretch(0.2, 30.0),), back=()), fixed_a=30.0)

    found = sized(circuit, rule="150").wires[0]

    assert bears_a2_s(wire("wire-awg-16")) == pytest.approx(10_700, rel=0.01)
    assert (found.wire.size, found.governed_by) == ("14", "short")


def test_awg_and_sae_part_ways_at_the_printed_drop() -> None:
    """A boat shop's page: 10 A, 21 ft there and back, 0.36 V asks 6,271 cmil: 12 AWG passes, 12 SAE fails, 10 SAE.

    The page counts copper near 29 degC (K = 10.75); our copper is as warm as air and current make it, which is near
    that in air of 20 degC.
    """
    feet = 0.3048
    circuit = one(
        10.0, out=(Stretch(11 * feet, 20.0),), back=(Stretch(10 * feet, 20.0),), supply_v=12.0, drop_share=0.03
    )

    awg, sae = sized(circuit, rule="150").wires[0], sized(circuit, rule="150", family="sae").wires[0]

    assert circular_mils_for(current_a=10.0, length_m=21 * feet, drop_v=0.36) == pytest.approx(6271, abs=1)
    assert (awg.wire.size, awg.governed_by) == ("12", "drop")
    assert (sae.wire.size, sae.governed_by) == ("10", "drop")


@pytest.mark.parametrize(
    ("insulation_degc", "share"), [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (105, 0.85), (125, 0.89)]
)
def test_share_in_hot_air_agrees_with_the_tables_note(insulation_degc: float, share: float) -> None:
    """33 CFR 183.425 table 5, note 1, from memory: 50 degC. The formula comes within 0.01."""
    assert share_in_air(insulation_degc=insulation_degc, air_degc=50.0) == pytest.approx(share, abs=0.01)


def test_sae_and_metric_wire_count_as_the_awg_wire_whose_copper_they_have() -> None:
    """Print, ASTM B258 areas: SAE 16 (2,336 cmil) has less than 16 AWG (2,583), 2.5 mm2 more than 14 AWG (2.081)."""
    assert gauge_by_area(2336 * CIRCULAR_MIL_M2) == "18"
    assert gauge_by_area(2.5e-6) == "14"
    assert all(gauge_by_area(each.area) == each.size.replace("one-aught", "1/0") for each in AWG)
    assert gauge_by_area(0.3e-6) is None


@pytest.mark.parametrize(
    ("circuit", "rating_a", "governs"),
    [
        (one(0.4), 1.0, "smallest"),
        (one(7.2), 7.5, "heat"),
        (replace(one(7.2), hours_a=7.2), 10.0, "hours"),  # 7.2 / 0.8 = 9 A
        (replace(one(7.4), air_degc=50.0), 10.0, "heat"),  # 7.5 A carries 95 % of it
        (replace(one(3.0), waves=(Wave.of([(400, 9.0), (3600, 0.0)]),)), 7.5, "bursts"),  # rms 2.85 A
        (replace(one(2.0), surge_a=20.0, surge_s=0.02), 10.0, "surge"),
        (replace(one(2.0), fixed_a=20.0), 20.0, "fixed"),
        (one(60.0), 60.0, "heat"),  # beyond blades: between studs
    ],
)
def test_the_fuse_is_the_smallest_that_bears_it(circuit: Circuit, rating_a: float, governs: str) -> None:
    """By hand, from the sheet of the fuses."""
    found = sized(circuit).fuse

    assert (found.rating_a, found.governed_by) == (rating_a, governs)
    assert not found.broken


def test_what_even_the_largest_does_not_bear_is_told() -> None:
    """Case: 500 A has no fuse and no wire here; what is broken is named, nothing is NaN."""
    found = sized(one(500.0))

    assert found.fuse.broken == ("heat",)
    assert {each.rule for each in found.wires[0].fails} >= {"ampacity"}


def test_a_wire_in_air_as_hot_as_its_jacket_carries_nothing() -> None:
    """Case: 105 degC air round vinyl of 105 degC: told as ampacity that can't be had."""
    found = sized(one(1.0, out=(Stretch(1.0, 105.0),))).wires[0]

    assert found.carries_a == 0.0
    assert "ampacity" in {each.rule for each in found.fails}


@given(
    st.floats(0.05, 40.0),
    st.builds(Stretch, st.floats(0.1, 12.0), st.floats(20.0, 90.0), st.integers(1, 30)),
    st.sampled_from(["150", "125", "135"]),
    st.sampled_from(["awg", "sae", "metric"]),
)
def test_no_thinner_wire_would_do(current_a: float, stretch: Stretch, rule: str, family: str) -> None:
    """Law: what is chosen holds every rule, or is the thickest; every thinner one breaks one, worked out anew here."""
    asked = wired(current_a, out=(stretch,), back=(stretch,))
    circuit = Circuit("nose", (asked,), (Wave.constant(current_a),))
    sizes = sorted((each for each in WIRES if each.family == family), key=lambda each: each.area)

    found = sized(circuit, rule=rule, family=family)

    chosen = found.wires[0].wire
    for each in sizes[: sizes.index(chosen)]:
        ohm = 2 * resistance_ohm(each, stretch, current_a)
        may_a = carries(each, stretch)
        assert (
            current_a > may_a
            or ohm * current_a > 0.1 * 11.8
            or found.fuse.rating_a > fuse_rules()[rule].most_share_of_wire * may_a
            or not gauge_by_area(each.area)
            or any(held.rule in ("short", "gauge") for held in found.wires[0].held if held.share <= 1)
        )
    if found.wires[0].fails:
        assert chosen is sizes[-1]


@given(st.floats(0.1, 30.0), st.floats(0.1, 30.0), st.floats(0.1, 9.0), st.floats(0.1, 9.0))
def test_more_current_or_more_way_never_thins_the_wire(
    one_a: float, other_a: float, one_m: float, other_m: float
) -> None:
    """Law: with more of either the wire is as thick or thicker, the fuse as large or larger."""
    (low_a, high_a), (near_m, far_m) = sorted((one_a, other_a)), sorted((one_m, other_m))

    def found(current_a: float, length_m: float) -> tuple[float, float]:
        asked = wired(current_a, out=(Stretch(length_m, 30.0),), back=(Stretch(length_m, 30.0),))
        done = sized(Circuit("nose", (asked,), (Wave.constant(current_a),)))
        return done.wires[0].wire.area, done.fuse.rating_a

    assert found(low_a, near_m)[0] <= found(high_a, far_m)[0]
    assert found(low_a, near_m)[1] <= found(high_a, far_m)[1]


@given(st.floats(0.0, 60.0), st.floats(20.0, 100.0))
def test_copper_is_never_cooler_than_its_air_nor_hotter_than_both(current_a: float, air_degc: float) -> None:
    """Law: between the air and what the jacket may be, or the air where that is hotter still."""
    size = wire("wire-awg-14")
    degc = copper_degc(size, Stretch(1.0, air_degc), current_a)

    assert air_degc <= degc <= max(size.insulation, air_degc)
