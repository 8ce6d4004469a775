"""What a schema complains of, at its place and in words for a shop lead; one case for each code of the stage."""

from tests.build.conftest import Case, check_case


def test_an_angle_without_unit(case: Case) -> None:
    """BLD-004: a bare number where a unit is due.

    lamps:
      corner: {part: short-red, at: grille, pair: mirrored, aim: 45}
    #                                                            ^^ BLD-004 45 of what? Write 45 deg.
      tail: {part: short-red-amber, at: tail, pair: mirrored}
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille, pair: mirrored}
    """
    check_case(case)


def test_a_list_where_a_quantity_is_due(case: Case) -> None:
    """BLD-005: one quantity belongs there.

    limits:
      dim: {when: night, scale-to: [40 %], of: [warn]}
    #                              ^^^^^^ BLD-005
    """
    check_case(case)


def test_a_unit_of_another_kind(case: Case) -> None:
    """BLD-006: a time isn't an angle.

    promises:
      quiet: {when: brake, then: bar dark, within: 10 deg}
    #                                              ^^^^^^ BLD-006 belongs here
    """
    check_case(case)


def test_a_truth_that_is_no_yes(case: Case) -> None:
    """BLD-007: YAML's other truths stay words, and here yes or no is asked.

    memory:
      tone: {values: [standby, wail, yelp], ordered: true}
    #                                                ^^^^ BLD-007 Write yes or no.
    """
    check_case(case)


def test_names_that_are_not_plain(case: Case) -> None:
    """BLD-008: capitals, underscores and a first digit; what could be written is said.

    words:
      parked: gear == P
      night: headlamps
      Very_Late: headlamps held 3 s
    # ^^^^^^^^^ BLD-008 Write it like very-late.
      3rd: brake
    # ^^^ BLD-008
    job: {name: Small van, law: {place: here}}
    packs: [House]
    #       ^^^^^ BLD-008
    """
    check_case(case)


def test_a_count_that_is_no_number(case: Case) -> None:
    """BLD-009: whole numbers in digits.

    count: a dozen
    #      ^^^^^^^ BLD-009 Write it in digits
    """
    check_case(case)


def test_no_vehicle_at_all(case: Case) -> None:
    """BLD-009: a job builds at least one.

    count: 0
    #      ^ BLD-009 1 to 10,000
    """
    check_case(case)


def test_a_condition_that_is_missing(case: Case) -> None:
    """BLD-010: nothing stands behind the colon, or something that is no text.

    words:
      parked: gear == P
      night: headlamps
      late:
    #      ^ BLD-010 Write always
      lit: {headlamps: on}
    #      ^^^^^^^^^^^^^^^ BLD-010 one line of text
    """
    check_case(case)


def test_a_field_with_a_slip(case: Case) -> None:
    """BLD-012: the nearest field is named, at the key, however deep it stands.

    job: {name: Small van, law: {place: here, red-front: {answr: permitted, answer: permitted}}}
    #                                                     ^^^^^ BLD-012 Closest: answer.
    functions:
      warning: {rank: warn, when: brake, show: [{on: tail, red: single, besides: yes}]}
    #                                                                   ^^^^^^^ BLD-012 Closest: beside.
      scene-on: {rnk: task, rank: task, when: scene, run: locker-fan}
    #            ^^^ BLD-012 Closest: rank.
    stops:
    messages:
    limits:
    promises:
    """
    check_case(case)


def test_a_comma_in_a_text_between_braces(case: Case) -> None:
    """BLD-012: YAML ends a text at the comma; the mend is quotes.

    messages:
      stopped: {when: brake, say: Stop here, and wait}
    #                                        ^^^^^^^^ BLD-012 put a text with a comma in quotes
    """
    check_case(case)


def test_a_field_that_is_missing(case: Case) -> None:
    """BLD-013: said at the name of the item, with an example.

    equipment:
      box: {part: controller, at: floor}
      locker-fan: {part: fan}
    # ^^^^^^^^^^ BLD-013 Write it like at: under-rear-seat.
      main-siren: {part: siren, at: floor}
    """
    check_case(case)


def test_sections_that_are_missing(raw: Case) -> None:
    """BLD-013: nothing can be said about a build without these.

    lamps: {}
    # 1: BLD-013 coachwright is missing
    # 1: BLD-013 job is missing
    # 1: BLD-013 vehicle is missing
    """
    check_case(raw)


def test_a_word_with_a_slip(case: Case) -> None:
    """BLD-014: one of some words belongs there.

    vehicle-lamps:
      high-beam: {reach: paralel}
    #                    ^^^^^^^ BLD-014 Write parallel, series, request, none.
      horn: {reach: series}
    """
    check_case(case)


def test_shapes(case: Case) -> None:
    """BLD-015: a list, a mapping, a text, each where another belongs.

    lamps: [grille, tail]
    #      ^^^^^^^^^^^^^^ BLD-015 Names belong here
    controls:
      slide: {kind: slide, positions: low, at: console.panel}
    #                                 ^^^ BLD-015 A list belongs here.
      scene: toggle
    #        ^^^^^^ BLD-015
    functions:
      fan-on: {rank: ease, when: brake, run: locker-fan}
    packs: {house: yes}
    #      ^^^^^^^^^^^^ BLD-015
    job: Small van
    #    ^^^^^^^^^ BLD-015
    groups:
    words:
    memory:
    messages:
    limits:
    stops:
    situations:
    promises:
    """
    check_case(case)


def test_a_section_with_a_slip(case: Case) -> None:
    """BLD-016: the nearest section is named; nothing that would stand in it is missed.

    fucntions:
    # 1: BLD-016 Closest: functions.
      siren: {rank: warn, when: brake, run: locker-fan}
    functions:
      other: {rank: warn, when: brake, run: locker-fan, wins-over: [siren]}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_selectors_that_are_no_names(case: Case) -> None:
    """BLD-017: a star in quotes, a blank, a number alone.

    groups:
      front: [grille, bar]
      rear: [tail, rear-bar]
      every: "*"
    #        ^^^ BLD-017 Write all.
      odd: [bar..3, bar.3-4]
    #       ^^^^^^ BLD-017 .3-6 or .ends
    """
    check_case(case)


def test_a_place_that_is_no_name(case: Case) -> None:
    """BLD-018: a place is a name, with a dot at most twice.

    equipment:
      box: {part: controller, at: On the floor}
    #                             ^^^^^^^^^^^^ BLD-018
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
    """
    check_case(case)


def test_a_name_twice_in_a_list(case: Case) -> None:
    """BLD-019: an error where it can't be meant, a warning where it does nothing.

    packs: [house, house]
    #              ^^^^^ BLD-019
    groups:
      front: [grille, bar]
      rear: [tail, rear-bar]
      more: [bar, bar.2]
    #             ^^^^^ BLD-019 named before
    """
    check_case(case)


def test_no_day_of_the_calendar(case: Case) -> None:
    """BLD-020: the 30th of February.

    job: {name: Small van, due: 2027-02-30}
    #                           ^^^^^^^^^^ BLD-020 2027-03-15
    """
    check_case(case)


def test_a_later_version_of_the_language(case: Case) -> None:
    """BLD-021: said at once, and all the rest is read.

    coachwright: 2
    #            ^ BLD-021 Read it with a later coachwright.
    """
    check_case(case)


def test_an_answer_of_the_law(case: Case) -> None:
    """BLD-022: permitted, forbidden, or only when.

    job:
      name: Small van
      law:
        red-front: {answer: maybe}
    #                       ^^^^^ BLD-022
        blue-front: {answer: only when parked}
    """
    check_case(case)


def test_a_currency(case: Case) -> None:
    """BLD-023: three capital letters.

    job: {name: Small van, money: dollars}
    #                             ^^^^^^^ BLD-023 USD
    """
    check_case(case)


def test_a_move_without_an_aim(case: Case) -> None:
    """BLD-024: to or next, one of the two.

    memory:
      tone:
        values: [standby, wail, yelp]
        moves:
          - {on: pressed wail, to: wail}
          - {on: pressed ring}
    #       ^^^^^^^^^^^^^^^^^^ BLD-024
          - {on: pressed ring, to: wail, next: [wail, yelp]}
    #       ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ BLD-024
    """
    check_case(case)


def test_a_limit_that_leaves_everything(case: Case) -> None:
    """BLD-025: more than 0 %, less than 100 %.

    limits:
      dim: {when: night, scale-to: 100 %, of: [warn]}
    #                              ^^^^^ BLD-025
      off: {when: night, scale-to: 0 %, of: [warn]}
    #                              ^^^ BLD-025 write a stop
    """
    check_case(case)


def test_an_order_of_shedding(case: Case) -> None:
    """BLD-026: a number or never.

    equipment:
      box: {part: controller, at: floor}
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor, shed: first}
    #                                          ^^^^^ BLD-026
    """
    check_case(case)


def test_promises_of_no_shape(case: Case) -> None:
    """BLD-027: when and then; never; after, until and never.

    promises:
      half: {when: brake}
    #       ^^^^^^^^^^^^^ BLD-027 A promise of when
      mixed: {never: brake, within: 3 s}
    #        ^^^^^^^^^^^^^^^^^^^^^^^^^^^ BLD-027
    """
    check_case(case)


def test_a_waiver_of_no_code(case: Case) -> None:
    """BLD-028: it names one finding.

    waivers:
      one: {code: the bar, about: lamps.bar, by: lead, why: so it is, until: "2027-01-01"}
    #             ^^^^^^^ BLD-028 HSE-004
    """
    check_case(case)


def test_a_list_too_short(case: Case) -> None:
    """BLD-047: a memory of one value remembers nothing.

    memory:
      tone: {values: [wail]}
    #                ^^^^^^ BLD-047 at least 2
    """
    check_case(case)
