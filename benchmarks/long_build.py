"""A build of some thousand lines: the pickup of the catalogue with everything on it many times over.

Nobody builds such a vehicle; it has the lines, the words and the conditions of one that is asked for, so that reading
it costs what reading costs.
"""

from __future__ import annotations

_LINES_OF_A_UNIT = 30

_HEAD = """\
# Everything here is invented, and made to be long.
coachwright: 1
job:
  name: Long build
  customer: Nobody
  number: Q-0001
  law: {place: invented state, red-forward: {answer: permitted, paper: on file}}
vehicle: {body: crew-cab-pickup-with-cap}
packs: [house]
vehicle-lamps:
  high-beam: {reach: parallel}
  horn: {reach: series}
"""

_SECTIONS: dict[str, tuple[str, ...]] = {
    "lamps": (
        "  grille-{n}: {{part: short-red-white, at: grille, pair: mirrored}}    # behind a bar",
        "  corner-{n}: {{part: short-red-white, at: fender-corner, pair: mirrored, aim: 45 deg}}",
        "  visor-{n}: {{part: bar-8-red-white, at: windshield-top}}",
        "  tail-{n}:",
        "    part: short-red-amber-white",
        "    at: tail-inner",
        "    pair: mirrored",
        "    elevation: {e} deg",
    ),
    "groups": ("  front-{n}: [grille-{n}, corner-{n}, visor-{n}.3-6]",),
    "controls": (
        '  slide-{n}: {{kind: slide, positions: ["off", low, mid, full], at: console.panel, lost: hold}}',
        "  scene-{n}: {{kind: toggle, at: console.panel, start: off, tell-tale: follows}}",
        "  ring-{n}: {{kind: button, at: console.panel}}",
    ),
    "words": ("  ready-{n}: slide-{n} >= low and (gear == P or (park-brake and speed < {s} mph))",),
    "memory": (
        "  tone-{n}:",
        "    values: [standby, wail, yelp]",
        "    moves:",
        "      - {{on: becomes ready-{n}, to: standby}}",
        "      - {{on: pressed ring-{n}, if: not ready-{n}, next: [wail, yelp]}}",
    ),
    "functions": (
        "  warning-{n}:",
        "    rank: warn",
        "    by: slide-{n}",
        "    at-most: {{mid: ready-{n}}}",
        "    levels:",
        "      low: [{{on: tail-{n}, red: single sides, amber: single other-sides}}]",
        '      full: [{{on: front-{n}, red: "lit 60 ms, dark {d} ms, times 2, every 500 ms"}}]',
        (
            "  scene-on-{n}: {{rank: task, when: scene-{n} and not ready-{n}, "
            "show: [{{on: visor-{n}.ends, white: steady 60 %}}]}}"
        ),
        "  hush-{n}: {{rank: ease, when: first {s} s of scene-{n} and supply > 12.{d} V, interrupt: horn}}",
    ),
    "limits": ("  dim-{n}: {{when: headlamps held {s} s and tone-{n} != wail, scale-to: {s} %, of: [warn, ease]}}",),
    "situations": ("  at-{n}: {{slide-{n}: full, gear: D, speed: {s} mph, lasts: {s} min}}",),
    "promises": ("  seen-{n}: {{when: ready-{n}, then: tail-{n} dark or visor-{n}.1 white steady, within: {d} s}}",),
}


def long_build(lines_n: int) -> str:
    """A build of about so many lines."""
    units_n = max(1, round((lines_n - _HEAD.count("\n")) / _LINES_OF_A_UNIT))
    text = [_HEAD]
    for section, lines in _SECTIONS.items():
        text.append(f"{section}:\n")
        for unit in range(1, units_n + 1):
            told = {"n": unit, "e": unit % 20 - 10, "s": unit % 90 + 1, "d": unit % 9 + 1}
            text.extend(f"{line.format(**told)}\n" for line in lines)
    return "".join(text)
