"""Who hangs on which channel: packed into the fewest, the lead's word first, stable, and no zone on one channel."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachwright.build.lock import Lock
from coachwright.build.model import Model
from coachwright.build.settling import Settled, settle
from coachwright.control.machine import build_machine, outputs_of, power_up, start_inputs, step_to
from coachwright.flash.measures import WARNING_RANKS
from coachwright.kit.wave import total
from coachwright.place.panels import open_panels
from coachwright.place.zones import zones_of
from coachwright.power.allocate import CHANNELS, allocation, fixed_channels, proposed, wires
from coachwright.power.channel_load import channel_waves, together
from coachwright.power.channels import controllers
from coachwright.power.channels import outputs_of as channel_outputs
from coachwright.power.darkened import darkened
from coachwright.power.found_loads import findings_channels
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import LAMPS, currents
from coachwright.power.pack import DoesNotFit, least, pack
from tests.power.vehicles import BY_CHANNEL, BY_LINE, NAMES, again, example, read, small, text_of

SOLVERS = {"channels": CHANNELS}
PLAIN = (BY_LINE, BY_CHANNEL)

U120_00 = """\
98 98 98 96 96 94 93 93 92 91 91 90 87 86 85 85 84 84 84 84 84 83 83 82 82 81 80 80 80 79 79 78 78 78 78 76 74 74 73 73
73 73 72 71 70 70 70 69 69 69 67 66 64 62 62 60 60 59 58 58 58 57 57 57 57 55 55 55 50 49 49 49 47 46 46 45 45 44 44 43
43 43 43 42 42 42 42 42 41 41 41 39 39 38 38 38 37 36 36 36 35 33 33 33 32 32 30 30 30 29 28 27 27 26 25 25 24 23 23 20
"""


def settled(model: Model, lock: Lock | None = None, *, anew: bool = False) -> Settled:
    """What settle would write for one vehicle."""
    return settle([model], lock or Lock("build.lock.yaml"), SOLVERS, anew=anew)


def values(settling: Settled) -> dict[tuple[str, str], str]:
    """What was decided, by subject and word."""
    return {(each.subject, each.what): each.value for each in settling.decisions}


# ---- print: packing
def test_a_published_instance_is_packed_to_its_optimum() -> None:
    """Print: u120_00 of E. Falkenauer's uniform class (OR-Library, binpack1): 120 things, bins of 150, best 48."""
    found = pack([int(size) for size in U120_00.split()], capacity=150)

    assert len(found.bin_of) == 120
    assert (found.new_n, found.least_n) == (48, 48)


@pytest.mark.parametrize("m", [1, 2])
def test_the_worst_case_of_first_fit_is_packed_to_its_optimum(m: int) -> None:
    """Print: 6m of 51, 6m of 27, 6m of 26, 12m of 23 in bins of 100: best 9m, first fit decreasing takes 11m.

    D. S. Johnson et al., "Worst-case performance bounds for simple one-dimensional packing algorithms", SIAM J. Comput.
    3 (1974): the family that reaches 11/9, with its epsilon as 1 of 100.
    """
    sizes = [51] * 6 * m + [27] * 6 * m + [26] * 6 * m + [23] * 12 * m

    assert len(set(first_fit(sizes, 100))) == 11 * m
    assert pack(sizes, capacity=100).new_n == 9 * m


@pytest.mark.parametrize("seed", range(4))
def test_triplets_fill_their_bins(seed: int) -> None:
    """Print: Falkenauer's triplets are drawn so that each bin takes three things exactly; best is a third of them."""
    draw, sizes = Random(seed), list[int]()
    for _ in range(10):
        first = draw.randint(380, 490)
        second = draw.randint(250, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]

    assert pack(sizes, capacity=1000).new_n == 10


def first_fit(sizes: Sequence[int], capacity: int) -> list[int]:
    """First fit, largest first, in its own few lines."""
    loads: list[int] = []
    found = []
    for size in sorted(sizes, reverse=True):
        place = next((place for place, load in enumerate(loads) if load + size <= capacity), len(loads))
        loads[place : place + 1] = [(loads[place] if place < len(loads) else 0) + size]
        found.append(place)
    return found


# ---- law: packing
@settings(max_examples=80)
@given(
    sizes=st.lists(st.integers(1, 10), min_size=0, max_size=7),
    loads=st.lists(st.integers(0, 12), max_size=2),
    apart=st.lists(st.frozensets(st.integers(0, 6), min_size=2, max_size=3), max_size=2),
)
def test_no_packing_of_all_there_are_is_better(sizes: list[int], loads: list[int], apart: list[frozenset[int]]) -> None:
    """Law: every way was tried by brute force; no bin runs over, no set lies in one bin whole."""
    wishes = [each for each in apart if max(each) < len(sizes)]
    found = pack(sizes, capacity=10, apart=wishes, loads=loads)
    filled = [*loads, *([0] * found.new_n)]
    for size, place in zip(sizes, found.bin_of, strict=True):
        filled[place] += size
        assert filled[place] <= 10
    assert all(len({found.bin_of[thing] for thing in each}) > 1 for each in wishes)
    assert found.new_n == brute(sizes, 10, wishes, loads)
    assert least(sizes, capacity=10, loads=loads) <= found.least_n <= found.new_n


def brute(sizes: list[int], capacity: int, apart: list[frozenset[int]], loads: list[int]) -> int:
    """Fewest new bins, by every way to put each thing anywhere."""
    most = len(sizes)
    for new_n in range(most + 1):
        for bins in itertools.product(range(len(loads) + new_n), repeat=len(sizes)):
            filled = [*loads, *([0] * new_n)]
            for size, place in zip(sizes, bins, strict=True):
                filled[place] += size
            changed = set(bins)
            if all(filled[place] <= capacity for place in changed) and all(
                len({bins[thing] for thing in each}) > 1 for each in apart
            ):
                return new_n
    return most


def test_what_is_larger_than_a_bin_is_refused() -> None:
    """Case: 11 into bins of 10."""
    with pytest.raises(DoesNotFit):
        pack([3, 11], capacity=10)


# ---- law: channels
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("controller", [BY_LINE, BY_CHANNEL])
def test_channel_currents_add_up_to_the_loads(name: str, controller: str) -> None:
    """Law: at every instant what the channels carry for lamps is what the lamps draw."""
    model = example(name, (BY_LINE, controller))
    seats = proposed(model)
    lamps = {each.about for each in channel_outputs(model) if each.is_lamp}
    if seats.unplaced:
        lamps = lamps - set(seats.unplaced)
        assert len(lamps) > 40
    for situation in model.situations:
        drawn = currents(model, situation=situation.name)
        only = {about: number for about, number in seats.channel_of.items() if about in lamps}
        carried = channel_waves(model, situation=situation.name, channel_of=only)
        by_channel = [wave for by_clock in carried.values() for waves in by_clock.values() for wave in waves]
        if seats.unplaced:
            continue
        ours = [drawn[f"{LAMPS}{head.id}"] for head in model.heads if head.reach == "own"]
        one, other = total(by_channel), total(ours)
        for at_ms in {*one.edges, *other.edges}:
            assert one.value_at(at_ms) == pytest.approx(other.value_at(at_ms))


@pytest.mark.parametrize("name", NAMES)
def test_no_channel_carries_more_than_it_may(name: str) -> None:
    """Law: in every situation and beyond, by the most each head ever draws; sides and zones are kept apart."""
    model = example(name)
    (box,), seats = controllers(model), proposed(model)
    known = {each.about: each for each in channel_outputs(model)}
    for number in box.numbers:
        sits = [known[about] for about in seats.on(number) if about in known]
        assert sum(each.most_a for each in sits) <= box.channel_a + 1e-9
        assert len({(each.side, each.zone) for each in sits if each.is_lamp}) <= 1
        assert len(sits) <= 1 or all(each.is_lamp for each in sits)
    for situation in model.situations:
        carried = channel_waves(model, situation=situation.name, channel_of=seats.channel_of)
        assert together(carried.values()).peak_a <= box.total_a


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("controller", [BY_LINE, BY_CHANNEL])
def test_settled_twice_changes_nothing(name: str, controller: str) -> None:
    """Law: what is settled stays, and settled from nothing it comes out the same."""
    text = text_of(name, (BY_LINE, controller))
    first = settled(read(text))
    lock = again(first)
    model = read(text, lock=lock)

    assert first.decisions
    assert settled(model, lock).changes == ()
    assert settled(model, lock, anew=True).changes == ()
    assert {about: str(number) for about, number in allocation(model).channel_of.items()}.items() >= values(
        first
    ).items()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  corner: ", "  extra: {part: short-red-white, at: bumper-corner, pair: mirrored}\n  corner: "),
        ("  tail:        {", "  extra: {part: short-red-amber, at: cap-corner-rear, pair: mirrored}\n  tail:        {"),
        (
            "  visor:       {part: bar-8-red-white, at: windshield-top}",
            "  visor:       {part: bar-8-red-white, at: roof-front}",
        ),
        ("  rear-push:   {part: short-red-amber-white, at: bumper-rear, pair: mirrored}\n", ""),
    ],
)
def test_a_small_edit_moves_nobody_else(old: str, new: str) -> None:
    """Law: a lamp more, one that moves or one less leaves every other decision as it is."""
    text = text_of("quillback")
    first = settled(read(text))
    lock = again(first)
    changed = text.replace(old, new, 1)
    if not new:
        for gone in ("[cap-bar, tail, rear-push]", "[cap-side, rear-push]"):
            changed = changed.replace(gone, gone.replace(", rear-push", ""))
        changed = changed.replace(
            "show: [{on: rear-push, white: steady 100 %}]", "show: [{on: tail, white: steady 100 %}]"
        )
        changed = changed.replace("[visor.3-6, grille, push]", "[visor.3-6, grille, push]")
    assert changed != text
    second = settled(read(changed, lock=lock), lock)
    before, after = values(first), values(second)

    assert not second.open
    assert all(after[about] == value for about, value in before.items() if about in after)
    assert len(before.keys() ^ after.keys()) <= 4


def test_an_option_leaves_the_base_as_it_is() -> None:
    """Case: vans 4 and 9 have a compressor; it takes the next free channel from the last, and moves no other output."""
    text = text_of("service-patrol")
    base, fitted = read(text), read(text, serial=4)
    found = settle([base, fitted], Lock("build.lock.yaml"), SOLVERS)
    own = {each.subject: each.value for each in found.decisions if each.choices}

    assert own == {"equipment.compressor": "21"}
    assert not found.open


@pytest.mark.parametrize("name", NAMES)
def test_no_channel_has_more_than_half_of_what_warns_to_one_side(name: str) -> None:
    """Law: by current, as loads.yaml says, unless one lamp alone is more; so a dead channel leaves about half."""
    model = example(name)
    seats, share = proposed(model), load_figures().zone_share
    warning = [each for each in channel_outputs(model) if each.warns]
    for zone in {each.zone for each in warning}:
        here = [each for each in warning if each.zone == zone]
        whole_a = sum(each.most_a for each in here)
        lamps: dict[str, float] = {}
        channels: dict[int, float] = {}
        for each in here:
            number = seats.channel_of[each.about]
            lamps[each.lamp] = lamps.get(each.lamp, 0.0) + each.most_a
            channels[number] = channels.get(number, 0.0) + each.most_a
        assert max(channels.values()) <= max(share * whole_a, *lamps.values()) + 0.01, zone


# ---- case: the lead's word
def test_what_the_lead_fixed_wins() -> None:
    """Case: one head, one side of a lamp and a whole lamp; the narrowest word wins, the rest goes round it."""
    text = text_of(
        "quillback",
        ("fixed: ", "fixed:\n  visor: {channel: 9}\n  visor.3: {channel: 12}\n  grille.left: {channel: 11}\nother: "),
    ).split("other: ")[0]
    model = read(text)
    seats = proposed(model)

    assert seats.channel_of["lamps.visor.1", "channel"] == 9
    assert seats.channel_of["lamps.visor.3", "channel"] == 12
    assert seats.channel_of["lamps.grille.left", "channel"] == 11
    assert ("lamps.visor.1", "channel") in fixed_channels(model)
    assert not {"lamps.visor.1", "lamps.grille.left"} & {each.subject for each in settled(model).decisions}


def test_the_siren_of_the_volunteer_keeps_its_channel() -> None:
    """Case: `fixed: main-siren: {channel: 1}`; no lamp is put there."""
    seats = proposed(example("volunteer-car"))

    assert seats.on(1) == (("equipment.main-siren", "channel"),)


# ---- case: the dark
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("controller", [BY_LINE, BY_CHANNEL])
def test_no_zone_hangs_on_one_channel(name: str, controller: str) -> None:
    """Case: proved over every moment of the three examples, with both kinds of controller."""
    model = example(name, (BY_LINE, controller))

    assert darkened(model, wires(model, proposed(model).channel_of)) == ()


@settings(max_examples=10)
@given(seed=st.integers(0, 10_000))
@pytest.mark.parametrize("name", NAMES)
def test_one_dead_channel_never_darkens_a_zone_that_warns(name: str, seed: int) -> None:
    """Law: lived through the plain machine: where two heads warn, killing any channel leaves one of them."""
    model = example(name)
    machine, draw = build_machine(model), Random(seed)
    channels = wires(model, proposed(model).channel_of)
    ranks = {function.name: function.rank for function in model.functions}
    inputs, kept = start_inputs(machine, {})
    state, _ = power_up(machine, inputs, kept=kept)
    reads: dict[str, str | float] = {item.name: item.rest for item in model.inputs}
    for _ in range(50):
        item = draw.choice([each for each in model.inputs if each.kind != "hazard" and each.values])
        value = draw.choice(item.values)
        if item.kind == "button":
            continue
        reads[item.name] = value
        state, _ = step_to(machine, state, {item.name: value}, draw.choice([0, 500, 4000]))
        panels = open_panels(model.body, reads)
        lit: dict[str, set[tuple[str, int]]] = {}
        for head, shown in zip(model.heads, outputs_of(machine, state).heads, strict=True):
            for part in shown.parts:
                if head.reach == "own" and ranks[part.owner] in WARNING_RANKS and part.colour in head.colours:
                    for zone in zones_of(head, model, panels):
                        lit.setdefault(zone, set()).add((head.id, channels[head.id, part.colour]))
        for zone, burning in lit.items():
            if len({head for head, _ in burning}) > 1:
                assert len({channel for _, channel in burning}) > 1, (zone, burning)


def test_a_zone_on_one_channel_is_told() -> None:
    """Case: PWR-008; the lead fixes all front lamps on one channel and all rear ones on another."""
    model = small(("situations:", "fixed: {grille: {channel: 3}, push: {channel: 3}, tail: {channel: 4}}\nsituations:"))
    found = [each for each in findings_channels(model, seats=proposed(model)) if each.code == "PWR-008"]

    assert {"A", "C"} == {str(each.values["why"]).split()[1] for each in found}
    assert all("alone (slide " in str(each.values["why"]) for each in found)


def test_a_zone_that_one_lamp_warns_is_the_lamps_matter() -> None:
    """Law: with one head alone no channel helps, and nothing is told."""
    model = small(("{on: all, red: single sides}", "{on: grille.left, red: single sides}"))

    assert not [each for each in findings_channels(model, seats=proposed(model)) if each.code == "PWR-008"]


# ---- case: findings
def test_too_few_channels_are_told() -> None:
    """Case: PWR-003; 48 plain channels are too few for quillback's wires, and those without one are named."""
    model = example("quillback", PLAIN)
    seats = proposed(model)
    found = findings_channels(model, seats=seats)

    assert seats.unplaced
    assert [each.code for each in found] == ["PWR-003"]
    assert "All 48 channels are taken" in str(found[0].values["why"])


@pytest.mark.parametrize(
    ("fixed", "code", "name"),
    [
        ("{push: {channel: 99}}", "PWR-005", "fixed-channel-not-there"),
        ("{inverter: {channel: 3}, push: {channel: 3}}", "PWR-005", "fixed-channel-taken"),
    ],
)
def test_a_channel_that_can_not_be_is_told(fixed: str, code: str, name: str) -> None:
    """Case: PWR-005; beyond the last channel, and beside what takes its channel alone."""
    model = small(("situations:", f"fixed: {fixed}\nsituations:"))
    found = [(each.code, each.name) for each in findings_channels(model, seats=proposed(model))]

    assert (code, name) in found


def test_an_overloaded_channel_is_told() -> None:
    """Case: PWR-006; four bars of eight heads on one channel of 8.5 A at 60 degC, by the lead's word."""
    more = "\n".join(
        f"  bar-{number}: {{part: bar-8-red-white, at: {place}}}"
        for number, place in enumerate(("windshield-top", "roof-front"))
    )
    model = small(
        ("  grille:", f"{more}\n  grille:"),
        ("situations:", "fixed: {bar-0: {channel: 3}, bar-1: {channel: 3}}\nsituations:"),
    )
    found = [each for each in findings_channels(model, seats=proposed(model)) if each.code == "PWR-006"]

    assert found[0].name == "channel-overloaded"
    assert found[0].value is not None
    assert found[0].value.value == pytest.approx(16 * 0.9 + 2 * 0.0004)
    assert found[0].limit is not None
    assert found[0].limit.value == pytest.approx(8.5)


def test_unlike_heads_on_one_channel_are_told() -> None:
    """Case: PWR-007; told by channel, grille and tail in one show but on two sides of it."""
    model = small(
        (BY_LINE, BY_CHANNEL),
        ("situations:", "fixed: {grille.left: {channel: 3}, grille.right: {channel: 3}}\nsituations:"),
    )
    found = [each.code for each in findings_channels(model, seats=proposed(model))]

    assert "PWR-007" in found


def test_without_a_controller_nobody_asks() -> None:
    """Law: no controller, no question, no finding about channels."""
    bare = replace(example("quillback"), equipment=(), digest="")

    assert settled(bare).decisions == ()
    assert findings_channels(bare) == ()
