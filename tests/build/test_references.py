"""Names that stand for nothing, each told once, at its place, with the nearest that exists."""

from tests.build.conftest import Case, check_case


def test_a_part_nobody_has(case: Case) -> None:
    """BLD-011: the nearest part is named, a lamp with what it is.

    lamps:
      tail: {part: short-red-ambr, at: tail, pair: mirrored}
    #              ^^^^^^^^^^^^^^ BLD-011 Closest: short-red-amber (1 head, red and amber, 9-32 V).
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille, pair: mirrored}
    """
    check_case(case)


def test_a_part_of_another_kind(case: Case) -> None:
    """BLD-050: a siren is no lamp, a lamp no equipment.

    lamps:
      tail: {part: siren, at: tail, pair: mirrored}
    #              ^^^^^ BLD-050 a lamp belongs here
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille, pair: mirrored}
    equipment:
      box: {part: controller, at: floor}
      main-siren: {part: siren, at: floor}
      locker-fan: {part: bar-4, at: floor}
    #                    ^^^^^ BLD-050 Write it under lamps.
    """
    check_case(case)


def test_a_body_nobody_has(case: Case) -> None:
    """BLD-011: without a body nothing that hangs on it is told wrong; a bad lamp is told all the same.

    vehicle: {body: smal-van}
    #               ^^^^^^^^ BLD-011 Closest: small-van.
    lamps:
      tail: {part: short-red-amber, at: tail, pair: mirrored}
      bar: {part: bar-5, at: roof-front}
    #             ^^^^^ BLD-011 Closest: bar-4
      rear-bar: {part: bar-4, at: nowhere}
      grille: {part: short-red, at: grille, pair: mirrored}
    functions:
      fan-on: {rank: east, when: scene, run: locker-fan}
    #                ^^^^ BLD-060 Closest: ease.
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_place_the_body_has_not(case: Case) -> None:
    """BLD-052: the nearest place is named; cargo and equipment of the build are places too.

    lamps:
      tail: {part: short-red-amber, at: tale, pair: mirrored}
    #                                   ^^^^ BLD-052 Closest: tail.
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille, pair: mirrored}
    cargo: {locker: {weight: 9 kg, at: floor}, tray: {weight: 20 kg, at: floor}}
    equipment:
      box: {part: controller, at: flor}
    #                             ^^^^ BLD-052 Closest: floor.
      locker-fan: {part: fan, at: locker}
      main-siren: {part: siren, at: floor, speakers: [bumper.left, bumper.right]}
    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panl}
    #                                                         ^^^^^^^^^^^^ BLD-052 Closest: console.panel.
      arrow: {kind: pick-one, positions: [none, left, right], at: box}
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel}
    """
    check_case(case)


def test_which_side_is_meant(case: Case) -> None:
    """BLD-053: a place on both sides needs a pair, or a side.

    lamps:
      tail: {part: short-red-amber, at: tail}
    #                                   ^^^^ BLD-053 Add pair: mirrored, or write tail.left or tail.right.
      bar: {part: bar-4, at: roof-front}
      rear-bar: {part: bar-4, at: roof-rear}
      grille: {part: short-red, at: grille.left}
    """
    check_case(case)


def test_pairs_that_can_not_be(case: Case) -> None:
    """BLD-054: a pair at a place that is there once, a pair on one side, a side of a place that is there once.

    lamps:
      tail: {part: short-red-amber, at: tail.left, pair: mirrored}
    #                                   ^^^^^^^^^ BLD-054 Write tail.
      bar: {part: bar-4, at: roof-front, pair: mirrored}
    #                                          ^^^^^^^^ BLD-054
      rear-bar: {part: bar-4, at: roof-rear.left}
    #                             ^^^^^^^^^^^^^^ BLD-054 Write roof-rear.
      grille: {part: short-red, at: grille, pair: mirrored}
    equipment:
      box: {part: controller, at: floor}
      locker-fan: {part: fan, at: floor}
      main-siren: {part: siren, at: floor, speakers: [bumper.left, floor.left]}
    #                                                              ^^^^^^^^^^ BLD-054
    """
    check_case(case)


def test_a_lamp_nobody_has(case: Case) -> None:
    """BLD-055: in a list, alone, in a promise; a lamp the vehicle came with is asked for under vehicle-lamps.

    groups:
      front: [gril, bar]
    #         ^^^^ BLD-055 Closest: grille.
      rear: [tail, rear-bar]
    functions:
      warning: {rank: warn, when: brake, show: [{on: [rear, front], red: double sides}]}
      hush: {rank: task, when: ring, show: [{on: dome, white: steady}]}
    #                                            ^^^^ BLD-055 like dome: {reach: parallel}
    promises:
      one: {when: brake, then: barr.2 red steady}
    #                          ^^^^ BLD-031 Closest: bar.
    messages:
    limits:
    stops:
    """
    check_case(case)


def test_heads_a_lamp_has_not(case: Case) -> None:
    """BLD-056: numbers past the last, the wrong way round, of a single head, of a group; sides of a lamp across.

    groups:
      front: [grille, bar.5]
    #                 ^^^^^ BLD-056 heads 1 to 4
      rear: [tail.2, rear-bar.3-2]
    #        ^^^^^^ BLD-056 one head on each side
    #                ^^^^^^^^^^^^ BLD-056 the smaller first
      more: [bar.left]
    #        ^^^^^^^^ BLD-056 bar.1 to bar.4
      lot: [side.right.ends, side.left.3]
    functions:
      fan-on: {rank: ease, when: scene, show: [{on: lot.1, red: steady}]}
    #                                               ^^^^^ BLD-056 numbers and ends count the heads of one lamp
    promises:
      one: {never: night and bar.9 red lit}
    #                        ^^^^^ BLD-056
    messages:
    limits:
    stops:
    """
    check_case(case)


def test_a_vehicle_lamp_the_body_has_not(case: Case) -> None:
    """BLD-057: the nearest is named.

    vehicle-lamps:
      high-beams: {reach: parallel}
    # ^^^^^^^^^^ BLD-057 Closest: high-beam.
      horn: {reach: series}
    """
    check_case(case)


def test_signals_nobody_sends(case: Case) -> None:
    """BLD-058: under signals, as the source of a control, and followed.

    signals:
      tray-out: {from: cargo.tray}
      brak: {lost: "on"}
    # ^^^^ BLD-058 Closest: brake.
      horn-ring: {lost: "off"}
    # ^^^^^^^^^ BLD-058 read as the control ring
    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel}
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: none}
      scene: {kind: toggle, at: console.panel, from: vehicle.horn}
    #                                                        ^^^^ BLD-058 Closest: horn-ring.
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel, from: vehicle.horn-ring}
    functions:
      fan-on: {rank: ease, when: scene, show: [{on: tail, amber: follow turn-lft}]}
    #                                                                   ^^^^^^^^ BLD-058 Closest: turn-left.
      slow: {rank: warn, when: scene, show: [{on: tail, amber: follow speed}]}
    #                                                                 ^^^^^ BLD-058
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_control_nobody_has(case: Case) -> None:
    """BLD-059: levels by a slide that isn't there; a disconnect turned by nothing.

    functions:
      warning: {rank: warn, by: slid, levels: {low: [{on: rear, red: double sides}]}}
    #                           ^^^^ BLD-059 Closest: slide.
    equipment:
      box: {part: cut-off, at: floor, turned-by: mein}
    #                                            ^^^^ BLD-059
      locker-fan: {part: fan, at: floor}
      main-siren: {part: siren, at: floor}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_rank_nobody_has(case: Case) -> None:
    """BLD-060: of a function and of a limit.

    functions:
      fan-on: {rank: warm, when: scene, run: locker-fan}
    #                ^^^^ BLD-060 Closest: warn.
    limits:
      dim: {when: night, scale-to: 40 %, of: [warn, eas]}
    #                                               ^^^ BLD-060 Closest: ease.
    messages:
    stops:
    promises:
    """
    check_case(case)


def test_a_position_a_control_has_not(case: Case) -> None:
    """BLD-061: of a level, and of at-most.

    functions:
      warning:
        rank: warn
        by: slide
        at-most: {lo: parked}
    #             ^^ BLD-061 Closest: low.
        levels:
          fll: [{on: rear, red: double sides}]
    #     ^^^ BLD-061 Closest: full.
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_equipment_nobody_fitted(case: Case) -> None:
    """BLD-062: a siren, a fan, an output.

    functions:
      siren: {rank: warn, when: scene, sound: {on: main-sirene, tone: wail}}
    #                                              ^^^^^^^^^^^ BLD-062 Closest: main-siren.
      fan-on: {rank: ease, when: scene, run: [locker-fn]}
    #                                         ^^^^^^^^^ BLD-062 Closest: locker-fan.
      hush: {rank: task, when: ring, interrupt: hron}
    #                                           ^^^^ BLD-062 Closest: horn.
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_tone_a_siren_has_not(case: Case) -> None:
    """BLD-063: a tone, or a memory none of whose values is one.

    memory:
      tone: {values: [standby, wail, yelp]}
      stage: {values: [none, one]}
    functions:
      siren: {rank: warn, when: scene, sound: {on: main-siren, tone: wale}}
    #                                                                ^^^^ BLD-063 Closest: wail.
      other: {rank: warn, when: scene, sound: {on: main-siren, tone: stage}}
    #                                                                ^^^^^ BLD-063 No value of stage
      third: {rank: warn, when: scene, sound: {on: main-siren, tone: tone}}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_function_nobody_wrote(case: Case) -> None:
    """BLD-064: in wins-over, in a stop, in a limit, in a promise; BLD-031 where a condition reads it.

    functions:
      siren: {rank: warn, when: scene, wins-over: [hoosh], sound: {on: main-siren, tone: wail}}
    #                                              ^^^^^ BLD-064
      hush: {rank: warn, when: ring, interrupt: horn}
    messages:
      stopped: {when: sirn held-off, say: Choose again}
    #                 ^^^^ BLD-031 Closest: siren.
    limits:
      dim: {when: night, scale-to: 40 %, of: [warn], not: [sirens]}
    #                                                      ^^^^^^ BLD-064 Closest: siren.
    stops:
      low: {when: brake, stops: [hush, hosh], resume: self}
    #                                  ^^^^ BLD-064 Closest: hush.
    promises:
      quiet: {never: main-siren and parked, but: hsh}
    #                                            ^^^ BLD-064 Closest: hush.
    """
    check_case(case)


def test_a_message_nobody_wrote(case: Case) -> None:
    """BLD-065: said by a function.

    functions:
      hush: {rank: task, when: ring, say: [stoped]}
    #                                      ^^^^^^ BLD-065 Closest: stopped.
    messages:
      stopped: {when: brake, say: Choose again}
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_a_setting_of_nothing(case: Case) -> None:
    """BLD-066: neither control nor signal nor memory, nor a field of a situation.

    situations:
      calling: {slid: full, gear: D}
    #           ^^^^ BLD-066 Closest: slide.
      blocking: {slide: low, last: 2 h}
    #                        ^^^^ BLD-066 Closest: lasts.
    """
    check_case(case)


def test_a_situation_like_none(case: Case) -> None:
    """BLD-067: the nearest is named.

    situations:
      calling: {slide: full, gear: D}
      again: {like: caling}
    #               ^^^^^^ BLD-067 Closest: calling.
    """
    check_case(case)


def test_values_nothing_has(case: Case) -> None:
    """BLD-032: of a control, a signal, a memory and in a situation.

    controls:
      slide: {kind: slide, positions: ["off", low, full], at: console.panel, lost: lo}
    #                                                                              ^^ BLD-032 off, low, full, hold
      arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: up}
    #                                                                                   ^^ BLD-032
      scene: {kind: toggle, at: console.panel}
      wail: {kind: button, at: console.panel}
      ring: {kind: button, at: console.panel}
    signals:
      tray-out: {from: cargo.tray}
      brake: {lost: P-unless-moving}
    #               ^^^^^^^^^^^^^^^ BLD-032
    memory:
      tone:
        values: [standby, wail, yelp]
        start: wale
    #          ^^^^ BLD-032
        moves:
          - {on: pressed wail, to: ring}
    #                              ^^^^ BLD-032 standby, wail, yelp
          - {on: pressed ring, next: [wail, ylp]}
    #                                       ^^^ BLD-032
    situations:
      calling: {slide: high, tone: loud, gear: D}
    #                  ^^^^ BLD-032
    #                              ^^^^ BLD-032
    functions:
      fan-on: {rank: ease, when: scene, run: locker-fan}
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_conditions_are_told_at_their_words(case: Case) -> None:
    r"""BLD-030 to 037: the readers of conditions find the word; quotes, escapes and folds don't shift the mark.

    words:
      parked: gear == P
      night: headlamps
      one: brake && park-brake
    #            ^^ BLD-030 Write and.
      two: "brake and \"park-brake\" and nigth"
    #                 ^^ BLD-030
    #                             ^^ BLD-030
    #                                    ^^^^^ BLD-031 Closest: night.
      three: 'it''s dark'
    #         ^^ BLD-031
    #           ^^ BLD-030
    #             ^ BLD-030
      four: gear == Q
    #               ^ BLD-032
      five: gear
    #       ^^^^ BLD-033
      six: gear > P
    #      ^^^^^^ BLD-034
      seven: brake held 0 s
    #                   ^^^ BLD-035
      eight: brake held 2
    #                   ^ BLD-004
      nine: becomes parked
    #       ^^^^^^^^^^^^^^ BLD-036
    """
    check_case(case)


def test_shows_are_told_at_their_words(case: Case) -> None:
    """BLD-038, BLD-039: what a colour can't do.

    functions:
      hush: {rank: task, when: ring, show: [{on: tail, red: singel sides, amber: steady 140 %}]}
    #                                                       ^^^^^^ BLD-038 Closest: single.
    #                                                                                   ^^^^^ BLD-039
    messages:
    limits:
    stops:
    promises:
    """
    check_case(case)


def test_next_needs_an_event(case: Case) -> None:
    """BLD-037: a condition that lasts would go round without end.

    memory:
      tone:
        values: [standby, wail, yelp]
        moves:
          - {on: scene and brake, next: [wail, yelp]}
    #            ^^^^^^^^^^^^^^^ BLD-037 Write becomes (scene and brake).
    promises:
      later: {after: brake, until: pressed wail, never: main-siren}
    #                ^^^^^ BLD-037
    """
    check_case(case)
