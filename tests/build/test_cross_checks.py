"""What the parts of a build say about each other that can't be; one case for each code of the stage."""

from tests.build.conftest import Case, check_case


def test_words_in_a_ring(case: Case) -> None:
    """BLD-070: told once, from the first name by the alphabet.

    words:
      parked: gear == P
      night: headlamps
      late: tired or night
    # ^^^^ BLD-070 late reads tired reads weary reads late
      tired: weary held 3 s
      weary: not late
    """
    check_case(case)


def test_groups_in_a_ring(case: Case) -> None:
    """BLD-070: neither can be known, and who names them isn't blamed.

    groups:
      front: [grille, rear]
    # ^^^^^ BLD-070 front and rear name each other
      rear: [tail, front]
    """
    check_case(case)


def test_situations_in_a_ring(case: Case) -> None:
    """BLD-070: one is like itself.

    situations:
      calling: {like: blocking}
      blocking: {like: calling}
    #                  ^^^^^^^ BLD-070
    """
    check_case(case)


def test_a_sync_wire_that_is_not_there(case: Case) -> None:
    """BLD-071: only lamps that flash themselves have one.

    lamps:
      tail: {part: short-red-amber, at: tail, pair: mirrored, sync: roof}
    #                                                               ^^^^ BLD-071
      bar: {part: beacon, at: roof-front, sync: roof}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille, pair: mirrored}
      side: {part: bar-4, at: side, pair: mirrored}
    functions:
      fan-on: {rank: ease, when: scene, run: locker-fan}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_reach_the_vehicle_does_not_give(case: Case) -> None:
    """BLD-072: the ways there are.

    vehicle-lamps:
      high-beam: {reach: parallel}
      brake-lamps: {reach: parallel}
    #                      ^^^^^^^^ BLD-072 Write one of none.
      horn: {reach: request}
    #               ^^^^^^^ BLD-072 Write one of series, parallel, none.
    functions:
      fan-on: {rank: ease, when: scene, run: locker-fan}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_control_read_from_a_lever_of_the_vehicle(case: Case) -> None:
    """BLD-073: a signal of several values is read itself.

    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel, from: vehicle.gear}
    #                                               ^^^^^^^^^^^^ BLD-073 Read gear itself.
    """
    check_case(case)


def test_positions(case: Case) -> None:
    """BLD-074: missing, too few, and where there are none.

    controls:
      slide: {kind: slide, at: console.panel}
    # ^^^^^ BLD-074 at least two
      arrow: {kind: pick-one, positions: [none], at: console.panel}
    # ^^^^^ BLD-074
      scene: {kind: toggle, at: console.panel, positions: ["off", "on"]}
    #                                                     ^^^^^^^^^^^^^ BLD-074 Make it a pick-one
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel}
    memory:
    functions:
      fan-on: {rank: ease, when: scene, run: locker-fan}
    messages:
    limits:
    stops:
    situations:
    promises:
    """
    check_case(case)


def test_starts_that_can_not_be(case: Case) -> None:
    """BLD-075: a slide reads its lever, a button is off.

    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel, start: low}
    #                                                                               ^^^ BLD-075 from its lever
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: last}
      scene: {kind: toggle, at: console.panel, start: "on"}
      wail: {kind: button, at: console.panel, start: "on"}
    #                                                ^^^^ BLD-075
      ring: {kind: button, at: console.panel}
    """
    check_case(case)


def test_values_of_a_signal_that_is_not_ours(case: Case) -> None:
    """BLD-076: the vehicle says them.

    signals:
      tray-out: {from: cargo.tray, values: ["off", "on"]}
      hatch: {values: [shut, wide]}
    #                 ^^^^^^^^^^^^ BLD-076 closed, open
    """
    check_case(case)


def test_edges_of_a_wire_that_does_not_flash(case: Case) -> None:
    """BLD-077: edge-hold and together are for turn wires.

    signals:
      tray-out: {from: cargo.tray, together: 60 ms}
    #                                        ^^^^^ BLD-077
      brake: {edge-hold: 900 ms}
    #                    ^^^^^^ BLD-077
      turn-left: {edge-hold: 800 ms, together: 50 ms}
    """
    check_case(case)


def test_a_number_the_vehicle_never_has(case: Case) -> None:
    """BLD-078: beyond what the body says; the unit is asked for as everywhere.

    situations:
      calling: {speed: 120 mph, supply: 13}
    #                  ^^^^^^^ BLD-078
    #                                   ^^ BLD-004 13 V
    signals:
      tray-out: {from: cargo.tray}
      speed: {lost: 100 mph}
    #               ^^^^^^^ BLD-078
    """
    check_case(case)


def test_levels_of_a_toggle(case: Case) -> None:
    """BLD-079: levels need positions.

    functions:
      warning: {rank: warn, by: scene, levels: {full: [{on: rear, red: double sides}]}}
    #                           ^^^^^ BLD-079 Write when: scene.
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_function_that_beats_itself(case: Case) -> None:
    """BLD-080: it can't.

    functions:
      fan-on: {rank: ease, when: scene, wins-over: [fan-on], run: locker-fan}
    #                                              ^^^^^^^^ BLD-080
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_functions_that_are_not_whole(case: Case) -> None:
    """BLD-081: neither when nor by, nothing done, levels without a control and a control without levels.

    functions:
      one: {rank: ease, run: locker-fan}
    # ^^^ BLD-081 When does this function act
      two: {rank: ease, when: scene}
    # ^^^ BLD-081 does nothing
      three: {rank: warn, when: scene, levels: {low: [{on: rear, red: single}]}}
    #                                  ^^^^^^ BLD-081 Levels belong to a control
      four: {rank: warn, by: slide, show: [{on: rear, red: single}]}
    #                    ^^ BLD-081 has levels
    #                               ^^^^ BLD-081 Move them into levels.
      five: {rank: warn, when: scene, at-most: {low: parked}, one-level: yes, run: locker-fan}
    #                                 ^^^^^^^ BLD-081
    #                                                         ^^^^^^^^^ BLD-081
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_level_at_the_first_position(case: Case) -> None:
    """BLD-082: the first position never has one.

    functions:
      warning: {rank: warn, by: slide, levels: {"off": [{on: rear, red: single}], low: [{on: rear, red: double}]}}
    #                                           ^^^^^ BLD-082
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_an_entry_that_shows_nothing(case: Case) -> None:
    """BLD-083: heads, and not a word about them.

    functions:
      fan-on: {rank: ease, when: scene, show: [{on: rear}, {on: bar, dark: yes}]}
    #                                          ^^^^^^^^^^ BLD-083
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_run_over_too_few_heads(case: Case) -> None:
    """BLD-084: fewer than four.

    functions:
      arrow-run: {rank: traffic, by: arrow, levels: {left: [{on: rear-bar.1-3, amber: run-left}]}}
    #                                                                                 ^^^^^^^^ BLD-084 these are 3
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_head_in_two_entries(case: Case) -> None:
    """BLD-085: a show is the whole statement for its head.

    functions:
      fan-on: {rank: ease, when: scene, show: [{on: rear, red: single}, {on: tail.left, amber: single}]}
    #                                                                        ^^^^^^^^^ BLD-085 tail.left
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_what_a_reach_can_not(case: Case) -> None:
    """BLD-086: a lamp nobody reaches, one that can only be interrupted, outputs run or interrupted the wrong way.

    vehicle-lamps:
      high-beam: {reach: series}
      brake-lamps: {reach: none}
      horn: {reach: parallel}
      engine-run: {reach: series}
    functions:
      one: {rank: warn, when: scene, show: [{on: high-beam, white: single}]}
    #                                            ^^^^^^^^^ BLD-086 never added
      two: {rank: warn, when: scene, show: [{on: brake-lamps, red: single}]}
    #                                            ^^^^^^^^^^^ BLD-086 isn't reached
      three: {rank: warn, when: scene, run: engine-run, interrupt: horn}
    #                                       ^^^^^^^^^^ BLD-086 nothing of ours can run it
    #                                                              ^^^^ BLD-086 nothing of ours can interrupt it
      four: {rank: warn, when: scene, show: [{on: high-beam, dark: yes}]}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_what_equipment_can_not(case: Case) -> None:
    """BLD-087: a fan that sounds, a siren that runs.

    functions:
      one: {rank: warn, when: scene, sound: {on: locker-fan, tone: wail}}
    #                                            ^^^^^^^^^^ BLD-087 makes no sound
      two: {rank: warn, when: scene, run: main-siren}
    #                                     ^^^^^^^^^^ BLD-087 doesn't run
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_limit_of_road(case: Case) -> None:
    """BLD-088: brake, turn, hazard and reverse are never dimmed.

    limits:
      dim: {when: night, scale-to: 40 %, of: [warn, road]}
    #                                               ^^^^ BLD-088
    """
    check_case(case)


def test_a_message_nobody_sees(case: Case) -> None:
    """BLD-089: neither when nor a function that says it.

    messages:
      stopped: {say: Choose again}
    # ^^^^^^^ BLD-089
    """
    check_case(case)


def test_speakers(case: Case) -> None:
    """BLD-090: more than a siren drives, and of something that drives none.

    equipment:
      box: {part: controller, at: floor, speakers: bumper.left}
    #                                              ^^^^^^^^^^^ BLD-090
      main-siren: {part: siren, at: floor, speakers: [bumper.left, bumper.right, bumper.left]}
    #                                                ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ BLD-090 drives 2
      locker-fan: {part: fan, at: floor}
    """
    check_case(case)


def test_a_time_no_timer_keeps(case: Case) -> None:
    """BLD-035: half a millisecond.

    promises:
      seen: {when: gear == R, then: tail dark, within: 0.5 ms}
    #                                                  ^^^^^^ BLD-035
    """
    check_case(case)


def test_names_that_are_words_of_the_language(case: Case) -> None:
    """BLD-092: the reader of conditions and selectors needs them.

    words:
      parked: gear == P
      night: headlamps
      held: brake
    # ^^^^ BLD-092
    groups:
      front: [grille, bar]
      rear: [tail, rear-bar]
      all: [bar]
    # ^^^ BLD-092
    memory:
      tone: {values: [standby, wail, yelp]}
      lasts: {values: [one, two]}
    # ^^^^^ BLD-092
    """
    check_case(case)


def test_names_that_stand_for_two_things(case: Case) -> None:
    """BLD-093: within each space; across spaces the same name is free.

    words:
      parked: gear == P
      night: headlamps
      slide: brake
    # ^^^^^ BLD-093 among controls
      bar: brake
    memory:
      tone: {values: [standby, wail, yelp]}
      brake: {values: [one, two]}
    # ^^^^^ BLD-093 the vehicle's signals
    groups:
      front: [grille, bar]
      rear: [tail, rear-bar]
      bar: [grille]
    # ^^^ BLD-093 among lamps
    equipment:
      box: {part: controller, at: floor}
      main-siren: {part: siren, at: floor}
      locker-fan: {part: fan, at: floor}
      horn: {part: fan, at: floor}
    # ^^^^ BLD-093 outputs
    functions:
      warn: {rank: warn, when: scene, run: locker-fan}
    # ^^^^ BLD-093 the ranks
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_nobody_can_ask(case: Case) -> None:
    """BLD-094: a function that reads no control can't wait to be asked; words and memories are looked through.

    memory:
      tone: {values: [standby, wail], moves: [{on: pressed wail, to: wail}]}
      stage: {values: [none, low], moves: [{on: supply < 12 V, to: low}]}
    words:
      parked: gear == P
      night: headlamps
      wanted: scene or night
    functions:
      by-hand: {rank: warn, when: wanted, run: locker-fan}
      by-memory: {rank: warn, when: tone == wail, run: locker-fan}
      by-level: {rank: open, by: slide, levels: {low: [{on: rear, red: single}]}}
      deaf: {rank: warn, when: night and stage == none, run: locker-fan}
    messages:
    limits:
    stops:
      one: {when: brake, stops: [by-hand, by-memory, by-level], resume: ask}
      two: {when: brake, stops: [deaf], resume: ask}
    #                                           ^^^ BLD-094 deaf reads no control
      three: {when: brake, stops: [warn], resume: ask}
    #                                             ^^^ BLD-094 stop them apart
    promises:
    """
    check_case(case)


def test_road_is_the_first_rank(case: Case) -> None:
    """BLD-095: missing, or not first.

    ranks: [open, road, task, traffic, warn, ease]
    # 1: BLD-095 Write road first
    """
    check_case(case)


def test_a_function_reads_no_function(case: Case) -> None:
    """BLD-036: promises, messages and tell-tales may.

    functions:
      one: {rank: warn, when: two active, run: locker-fan}
    #                         ^^^^^^^^^^ BLD-036
      two: {rank: warn, when: scene, run: locker-fan}
    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel, tell-tale: two active}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel, tell-tale: tone == hush}
    #                                                            ^^^^ BLD-032
      ring: {kind: button, at: console.panel}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_nothing_beside(case: Case) -> None:
    """BLD-097: brake and turn share no head, dark heads neither, nor heads of one colour at a time.

    functions:
      one: {rank: road, when: brake, show: [{on: tail, red: steady, beside: yes}]}
    #                                                                       ^^^ BLD-097 brake, turn
      two: {rank: warn, when: scene, show: [{on: bar, red: single, beside: yes}]}
    #                                                                      ^^^ BLD-097 bar.1 burns one colour
      three: {rank: warn, when: scene, show: [{on: bar, dark: yes, beside: yes}]}
    #                                                                      ^^^ BLD-097 must not shine
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_signal_of_cargo_that_is_not_there(case: Case) -> None:
    """BLD-058: where cargo is written, it is looked up.

    cargo: {tray: {weight: 20 kg, at: floor}, locker: {weight: 9 kg, at: floor}}
    signals:
      tray-out: {from: cargo.tray}
      locker: {from: cargo.loker}
    #                      ^^^^^ BLD-058 Closest: locker.
    """
    check_case(case)
