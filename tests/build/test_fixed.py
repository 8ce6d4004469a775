"""What the lead fixed: read, looked up, and told where it names nothing."""

from __future__ import annotations

from coachwright.build.fixed import subjects_of
from coachwright.build.model import Head
from tests.build.conftest import Case, check_case


def test_what_is_fixed_stands_in_the_model(case: Case) -> None:
    """Case: a piece of equipment, a lamp, one side of it and one head, each by its full name afterwards.

    fixed:
      main-siren: {gauge: 10 AWG, fuse: 30 A, channel: 4}
      equipment.box: {gauge: 2.5 mm2, why: on the customer's drawing}
      tail: {fuse: 7.5 A}
      tail.left: {channel: 7}
      lamps.bar.3: {channel: 9}
    """
    check_case(case)
    assert case.loaded.model is not None
    assert [(each.subject, each.what, each.value, each.path) for each in case.loaded.model.fixed] == [
        ("equipment.main-siren", "gauge", "10 AWG", "fixed.main-siren.gauge"),
        ("equipment.main-siren", "fuse", "30 A", "fixed.main-siren.fuse"),
        ("equipment.main-siren", "channel", "4", "fixed.main-siren.channel"),
        ("equipment.box", "gauge", "2.5 mm2", "fixed.equipment.box.gauge"),
        ("lamps.tail", "fuse", "7.5 A", "fixed.tail.fuse"),
        ("lamps.tail.left", "channel", "7", "fixed.tail.left.channel"),
        ("lamps.bar.3", "channel", "9", "fixed.lamps.bar.3.channel"),
    ]


def test_what_can_be_fixed(case: Case) -> None:
    """Case: all equipment, our own lamps, their sides and heads; the vehicle's own lamps can't be.

    fixed: {}
    """
    assert case.loaded.model is not None
    heads: dict[str, tuple[Head, ...]] = {}
    for head in case.loaded.model.heads:
        heads[head.lamp] = (*heads.get(head.lamp, ()), head)
    known = subjects_of((item.name for item in case.loaded.model.equipment), (), heads)
    assert known["equipment"] == ("box", "main-siren", "locker-fan")
    assert {"tail", "tail.left", "side.left", "side.left.2", "bar", "bar.4"} <= set(known["lamps"])
    assert not any(name.startswith(("high-beam", "dome")) for name in known["lamps"])


def test_names_that_are_nothing(case: Case) -> None:
    """BLD-164: the nearest is named.

    fixed:
      main-sirn: {fuse: 30 A}
    # ^^^^^^^^^ BLD-164 Closest: main-siren
      tail.lefd: {fuse: 30 A}
    # ^^^^^^^^^ BLD-164 Closest: tail.left
      lamps.baar: {fuse: 30 A}
    # ^^^^^^^^^^ BLD-164 Closest: lamps.bar
      Tail: {fuse: 30 A}
    # ^^^^ BLD-008
    """
    check_case(case)


def test_values_that_are_none(case: Case) -> None:
    """BLD-165, BLD-166, BLD-167: sizes, ratings and channels there aren't; and a rating without its unit.

    fixed:
      box: {gauge: thick, fuse: 3000 A, channel: 0}
    #              ^^^^^ BLD-165 14 AWG
    #                           ^^^^^^ BLD-166 0.1 A to 1,000 A
    #                                            ^ BLD-167 counted from 1
      main-siren: {gauge: 2.5 m2, fuse: 30, channel: four}
    #                     ^^^^^^ BLD-165
    #                                   ^^ BLD-004 30 of what
    #                                                ^^^^ BLD-009
      locker-fan: {fuse: 0 A, channel: 100000}
    #                    ^^^ BLD-166
    #                                  ^^^^^^ BLD-167
    """
    check_case(case)


def test_a_name_of_two_things(case: Case) -> None:
    """BLD-168: a lamp and a piece of equipment may be called the same; then the section says which.

    equipment:
      bar: {part: fan, at: floor}
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
    fixed:
      bar: {fuse: 5 A}
    # ^^^ BLD-168 Write equipment.bar, lamps.bar
      equipment.bar: {channel: 2}
    """
    check_case(case)


def test_fixed_in_two_places(case: Case) -> None:
    """BLD-169: by the short name and the long one.

    fixed:
      box: {fuse: 5 A, channel: 2}
      equipment.box: {fuse: 10 A, gauge: 14 AWG}
    #                       ^^^^ BLD-169 fixed twice
    """
    check_case(case)


def test_of_a_thing_that_is_not_in_this_vehicle(case: Case) -> None:
    """Case: what only an option brings may be fixed for all; and dropped things aren't missed. BLD-164, BLD-168 and
    BLD-169 stay quiet here.

    options:
      less: {base: part, whole: {}, part: {drop: [equipment.locker-fan, lamps.side]}}
    fixed:
      locker-fan: {fuse: 5 A}
      side.left: {channel: 3}
      box: {channel: 2}
    """
    assert [each.code for each in case.loaded.findings if each.code != "BLD-160"] == []
    assert case.loaded.model is not None
    assert [each.subject for each in case.loaded.model.fixed] == ["equipment.box"]


def test_what_is_lost_is_not_blamed(case: Case) -> None:
    """Case: an entry that can't be read exists; what fixes something of it isn't told. BLD-164 is told all the same of
    what is wrong by itself.

    equipment:
      box: {part: controler, at: floor}
    #             ^^^^^^^^^ BLD-011
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
    fixed:
      box: {fuse: 5 A}
      locker-fan: {fuse: 5 A}
      other-one: {fuse: 5 A}
    # ^^^^^^^^^ BLD-164 Write one of
    """
    check_case(case)
