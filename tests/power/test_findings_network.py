"""What of a network the lead is told."""

import numpy as np

from coachwright.look.cells import sentence
from coachwright.power.findings_network import findings_network
from coachwright.power.network import Branch, Sink, Source, solve

SOURCES = [Source(1, 0, 12.6, 0.01, "battery")]


def test_a_load_whose_ground_is_off_is_told_with_its_wire() -> None:
    """PWR-040: it names the load, the wire it hangs on and which way nothing leads."""
    branches = [Branch(1, 2, 0.05, "feed 3"), Branch(3, 4, 0.02, "ground wire 3")]
    sinks = [Sink(2, 3, "current", 2.0, 0.0, "lamps.grille.left"), Sink(2, 0, "current", 2.0, 0.0, "lamps.visor.1")]
    (finding,) = findings_network(5, branches, SOURCES, sinks, solve(5, branches, SOURCES, sinks, np.ones((1, 2))))

    assert (finding.code, finding.about) == ("PWR-040", "lamps.grille.left")
    assert (
        sentence(finding)
        == "lamps.grille.left hangs on ground wire 3, and from there nothing leads back to the battery."
    )


def test_a_load_on_a_feed_that_ends_nowhere_is_told() -> None:
    """PWR-040: the other way round, and without any wire at all."""
    branches = [Branch(2, 3, 0.05, "feed 3")]
    sinks = [Sink(3, 0, "power", 20.0, 0.0, "equipment.radio-1"), Sink(4, 0, "power", 20.0, 0.0, "equipment.fan")]
    told = findings_network(5, branches, SOURCES, sinks, solve(5, branches, SOURCES, sinks, np.ones((1, 2))))

    assert [each.code for each in told] == ["PWR-040", "PWR-040"]
    assert "feed 3, and from there nothing leads to a battery" in sentence(told[0])
    assert "no wire at all" in sentence(told[1])


def test_a_load_below_its_least_voltage_is_told_once_with_the_worst() -> None:
    """PWR-041: in how many pictures, at which voltage, and what it works down to."""
    branches = [Branch(1, 2, 0.1, "feed")]
    sinks = [Sink(2, 0, "current", 8.0, 12.0, "equipment.radio-1"), Sink(2, 0, "current", 4.0, 9.0, "lamps.visor.1")]
    on = np.array([[1.0, 0.0], [1.0, 1.0], [0.0, 1.0], [0.0, 0.0]])
    solved = solve(3, branches, SOURCES, sinks, on)
    (finding,) = findings_network(3, branches, SOURCES, sinks, solved, situation="answering")

    assert (finding.code, finding.about) == ("PWR-041", "equipment.radio-1")
    assert "in answering, in 2 of 4 pictures of what is on; it works down to 12 V" in sentence(finding)
    assert finding.value is not None
    assert finding.value.value == solved.across_v[1, 0] < solved.across_v[0, 0]


def test_a_sound_network_has_nothing_to_tell() -> None:
    """Case: one lamp, one wire."""
    branches, sinks = [Branch(1, 2, 0.05, "feed")], [Sink(2, 0, "power", 30.0, 10.0, "lamps.a")]

    assert findings_network(3, branches, SOURCES, sinks, solve(3, branches, SOURCES, sinks, np.ones((1, 1)))) == ()
