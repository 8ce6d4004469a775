"""A vehicle and some parts small enough to know by heart, and a build that says a little of everything."""

from __future__ import annotations

from hashlib import blake2b
from types import MappingProxyType

from coachwright.parts.store import Catalogue, Entry

_FIGURES = 'figures: {source: "invented for tests", date: 2026-11-25, status: house, invented: yes}'
_RED = "red: {flux: 200 lm, current: 0.5 A, beam: {shape: bell, half-width: 20 deg, half-height: 8 deg}}"
_AMBER = "amber: {flux: 250 lm, current: 0.5 A, beam: {shape: bell, half-width: 20 deg, half-height: 8 deg}}"
_WHITE = "white: {flux: 400 lm, current: 0.6 A, beam: {shape: bell, half-width: 20 deg, half-height: 8 deg}}"


def _lamp(name: str, *colours: str, heads: str, flashed_by: str = "controller") -> str:
    inside = "\n".join(f"  {colour}" for colour in colours)
    return f"""\
kind: lamp
name: {name}
title: Lamp
{_FIGURES}
test-voltage: 12.8 V
least-voltage: 9 V
most-voltage: 32 V
width: 900 mm
height: 40 mm
depth: 30 mm
flashed-by: {flashed_by}
clock-tolerance: 2 %
colours:
{inside}
heads: {heads}
"""


_BAR = "[{offset: 300 mm}, {offset: 100 mm}, {offset: -100 mm}, {offset: -300 mm}]"

_BODY = f"""\
kind: body
name: small-van
title: Small van
{_FIGURES}
body-class: van
mass: 1800 kg
length: 4800 mm
width: 1900 mm
height: 1900 mm
wheelbase: 3000 mm
front-overhang: 800 mm
top-speed: 90 mph
places:
  grille: {{x: 800 mm, y: 300 mm, z: 900 mm, facing: 0 deg, mirrored: yes}}
  side:   {{x: -1500 mm, y: 950 mm, z: 900 mm, facing: 270 deg, mirrored: yes}}
  tail:   {{x: -4000 mm, y: 800 mm, z: 1000 mm, facing: 180 deg, mirrored: yes}}
  roof-front: {{x: -1000 mm, y: 0 mm, z: 1900 mm, facing: 0 deg, holds: [bar]}}
  roof-rear:  {{x: -3900 mm, y: 0 mm, z: 1900 mm, facing: 180 deg, holds: [bar]}}
  bumper: {{x: 800 mm, y: 400 mm, z: 500 mm, facing: 0 deg, mirrored: yes, holds: [speaker]}}
  floor:  {{x: -2000 mm, y: 0 mm, z: 500 mm, facing: 0 deg, holds: [device]}}
  console.panel: {{x: -1200 mm, y: 0 mm, z: 900 mm, facing: 180 deg, holds: [control]}}
  rear-glass: {{x: -3900 mm, y: 0 mm, z: 1500 mm, facing: 180 deg, glass: rear}}
  tunnel: {{x: -1300 mm, y: 0 mm, z: 600 mm, facing: 180 deg, holds: [console]}}
panels:
  hatch: {{signal: hatch, hinge-x: -4000 mm, hinge-z: 1800 mm, axis: y, travel: 80 deg}}
glass:
  windshield: {{transmittance: 74 %, facing: 0 deg, rise: 45 deg, window: windshield}}
  rear: {{transmittance: 30 %, facing: 180 deg, panel: hatch}}
  side: {{transmittance: 72 %, facing: 270 deg, window: beside-driver, mirrored: yes}}
signals:
  ignition: {{kind: states, values: [out, accessory, run, crank], rest: run, source: bus}}
  gear: {{kind: states, values: [P, R, N, D], rest: P, lost: P-unless-moving, source: bus, recognition: 150 ms}}
  park-brake: {{kind: on-off, rest: "off", source: wire}}
  brake: {{kind: on-off, rest: "off", source: wire, recognition: 30 ms}}
  turn-left: {{kind: turn-wire, rest: "off", lost: "off", source: wire, edge-hold: 900 ms}}
  turn-right: {{kind: turn-wire, rest: "off", lost: "off", source: wire, edge-hold: 900 ms}}
  hazard: {{kind: hazard, rest: "off", lost: "off", source: both wires, edge-hold: 900 ms}}
  headlamps: {{kind: on-off, rest: "off", source: bus}}
  horn-ring: {{kind: on-off, rest: "off", source: the ring}}
  hatch: {{kind: states, values: [closed, open], rest: closed, lost: closed, source: wire}}
  engine: {{kind: states, values: ["off", running], rest: running, source: bus}}
  speed: {{kind: number, unit-kind: speed, low: 0 mph, high: 90 mph, rest: 0 mph, source: bus}}
  supply: {{kind: number, unit-kind: voltage, low: 6 V, high: 16 V, rest: 13.8 V, source: post}}
lamps:
  high-beam:
    reaches: [parallel, series]
    heads:
      - {{place: grille, side: left, colours: {{{_WHITE}}}}}
      - {{place: grille, side: right, colours: {{{_WHITE}}}}}
  brake-lamps:
    reaches: [none]
    heads:
      - {{place: tail, side: left, colours: {{{_RED}}}}}
      - {{place: tail, side: right, colours: {{{_RED}}}}}
      - {{place: roof-rear, colours: {{{_RED}}}}}
  dome:
    reaches: [parallel]
    heads: [{{place: floor, colours: {{{_WHITE}}}}}]
  reverse-lamps:
    reaches: [none]
    heads: [{{place: tail, side: left, colours: {{{_WHITE}}}}}, {{place: tail, side: right, colours: {{{_WHITE}}}}}]
  horn: {{reaches: [series, parallel]}}
  engine-run: {{reaches: [series]}}
cannot-be:
  - {{condition: gear == P and speed > 5 mph, why: the pawl holds}}
"""

_PLAIN = {
    "siren": "kind: siren\ntones: [wail, yelp]\nlevel: 118 dB\npower: 100 W\ncurrent: 9 A\nspeakers: 2",
    "alarm": "kind: alarm\ntones: [beep]\nlevel: 97 dB\ncurrent: 1 A",
    "fan": "kind: device\nwhat: fan\ncurrent: 3 A",
    "controller": (
        "kind: controller\nchannels: 24\nchannel-current: 10 A\ntotal-current: 100 A\nclock-tolerance: 0.1 %\n"
        "least-voltage: 9 V\nmost-voltage: 32 V\nstandby: 1 mA"
    ),
    "cut-off": "kind: disconnect\ncurrent: 200 A",
    "second": (
        "kind: battery\nchemistry: agm\ncapacity: 95 Ah\nresistance: 4 mohm\n"
        "open-voltage: {full: 12.8 V, empty: 11.8 V}\nlength: 300 mm\nwidth: 170 mm\nheight: 200 mm"
    ),
    "two-way": (
        "kind: radio\nband-low: 150 MHz\nband-high: 174 MHz\ntransmit-power: 50 W\ncurrent: 11 A\nreceive-current: 1 A"
    ),
    "shelf": (
        "kind: console\nlength: 460 mm\nwidth: 250 mm\nheight: 300 mm\nface: 400 mm\n"
        "bays: {bay-1: {length: 80 mm, depth: 200 mm}, bay-2: {length: 80 mm, depth: 200 mm},"
        " bay-3: {length: 80 mm, depth: 200 mm}}"
    ),
    "slide-out": (
        "kind: tray\nlength: 1 m\nwidth: 1 m\nheight: 100 mm\nmass: 30 kg\n"
        "load: 180 kg\ntravel: 900 mm\nlocks: [in, out]"
    ),
    "chest": (
        "kind: locker\nlength: 1 m\nwidth: 1 m\nheight: 1 m\nmass: 20 kg\nvolume: 0.5 m3\nsealed: yes\nload: 80 kg"
    ),
    "stripes": "kind: film\nuse: marking\ncolours: [white, red]\nwidth: 50 mm\nroll: 45 m",
    "clear-rear": (
        "kind: pane\ntransmittance: 85 %\nthickness: 4 mm\nwidth: 1 m\nheight: 0.5 m\nmarked: AS-2\nfits: [rear]"
    ),
    "tint": "kind: film\nuse: glass\nwidth: 1 m\nroll: 30 m\ntransmittance: 20 %",
}

PARTS = {
    "small-van": _BODY,
    "short-red": _lamp("short-red", _RED, _WHITE, heads="[{}]"),
    "short-red-amber": _lamp("short-red-amber", _RED, _AMBER, heads="[{}]"),
    "bar-4": _lamp("bar-4", _RED, _AMBER, _WHITE, heads=_BAR),
    "beacon": _lamp("beacon", _AMBER, heads="[{}]", flashed_by="itself"),
    **{name: f"{text}\nname: {name}\ntitle: Part\n{_FIGURES}\n" for name, text in _PLAIN.items()},
}


def small_catalogue(**more: str) -> Catalogue:
    """The parts above; `more` adds or replaces some."""
    texts = PARTS | more
    entries = {name: Entry(name, f"{name}.yaml", text, ours=True) for name, text in texts.items()}
    content = blake2b(repr(sorted(texts.items())).encode(), digest_size=16).hexdigest()
    return Catalogue(MappingProxyType(entries), (), content)


BASE = {
    "coachwright": "coachwright: 1",
    "job": "job: {name: Small van, money: USD}",
    "vehicle": "vehicle: {body: small-van}",
    "vehicle-lamps": "vehicle-lamps:\n  high-beam: {reach: parallel}\n  horn: {reach: series}",
    "lamps": """\
lamps:
  grille: {part: short-red, at: grille, pair: mirrored}
  side: {part: bar-4, at: side, pair: mirrored}
  tail: {part: short-red-amber, at: tail, pair: mirrored}
  bar: {part: bar-4, at: roof-front}
  rear-bar: {part: bar-4, at: roof-rear}""",
    "groups": "groups:\n  front: [grille, bar]\n  rear: [tail, rear-bar]",
    "controls": """\
controls:
  slide: {kind: slide, positions: ["off", low, full], at: console.panel}
  arrow: {kind: pick-one, positions: [none, left, right], at: console.panel, start: none}
  scene: {kind: toggle, at: console.panel, tell-tale: follows}
  wail: {kind: button, at: console.panel, tell-tale: tone == wail}
  ring: {kind: button, at: console.panel, from: vehicle.horn-ring}""",
    "signals": "signals:\n  tray-out: {from: cargo.tray}",
    "words": "words:\n  parked: gear == P or (park-brake and speed < 3 mph)\n  night: headlamps held 3 s",
    "memory": """\
memory:
  tone:
    values: [standby, wail, yelp]
    moves:
      - {on: becomes parked, to: standby}
      - {on: pressed wail, if: not parked, to: wail}
      - {on: pressed ring, if: slide == full, next: [wail, yelp]}""",
    "functions": """\
functions:
  warning:
    rank: warn
    by: slide
    at-most: {low: parked}
    levels:
      low: [{on: rear, red: double sides, amber: single other-sides}]
      full: [{on: front, red: single sides}]
  arrow-run: {rank: traffic, by: arrow, one-level: yes, levels: {left: [{on: rear-bar, amber: run-left}]}}
  brake-shows: {rank: road, when: brake and not parked, show: [{on: tail, red: steady 100 %}]}
  turn-shows: {rank: road, when: turn-left, wins-over: [brake-shows], show: {on: tail.left, amber: follow turn-left}}
  scene-on: {rank: task, when: scene and parked, show: [{on: [bar.2-3, rear-bar.ends], white: steady 100 %}]}
  hatch-open: {rank: open, when: hatch == open, show: [{on: rear-bar, dark: yes}]}
  siren: {rank: warn, when: tone != standby and slide == full, sound: {on: main-siren, tone: tone}}
  fan-on: {rank: ease, when: scene, run: locker-fan}
  hush: {rank: task, when: ring, interrupt: horn}""",
    "messages": "messages:\n  stopped: {when: warning held-off, say: Choose again, chime: once}",
    "limits": "limits:\n  dim: {when: night, scale-to: 40 %, of: [warn, ease], not: [siren]}",
    "stops": "stops:\n  low: {when: supply < 12 V held 1 min, stops: [scene-on, ease], resume: ask}",
    "equipment": """\
equipment:
  box: {part: controller, at: floor}
  main-siren: {part: siren, at: floor, speakers: [bumper.left, bumper.right]}
  locker-fan: {part: fan, at: floor}""",
    "cargo": "cargo:\n  tray: {weight: 20 kg, at: floor}",
    "situations": """\
situations:
  calling: {slide: full, gear: D, speed: 45 mph, tone: wail, stands-for: calling}
  blocking: {slide: low, hatch: open, lasts: 2 h, stands-for: blocking}
  blocking-off: {like: blocking, engine: "off"}""",
    "promises": """\
promises:
  brake-seen: {when: brake and not parked, then: tail only red steady at least 90 %, within: 100 ms}
  quiet: {never: main-siren and parked, but: [hush]}
  later: {after: becomes parked, until: pressed wail, never: main-siren}
  no-red: {never: any red lit and night}""",
    "waivers": 'waivers:\n  one: {code: HSE-001, about: lamps.bar, by: lead, why: measured, until: "2027-01-01"}',
}
"""A good build, by section."""

MORE = {
    "parts-by": "parts-by: shop",
    "feeds": """\
feeds:
  box: {from: spare, on-while: hot, sleep: 5 min after ignition ends, shed: never}
  radios: {from: spare, on-while: ignition plus 30 min, below: 11.8 V held 2 min, ends-with: shutdown-line 90 s before}
  outlet: {from: main-battery, on-while: engine == running, shed: 1}""",
    "equipment": """\
equipment:
  box: {part: controller, at: floor, feed: box}
  main-siren: {part: siren, at: floor, speakers: [bumper.left, bumper.right], feed: box}
  locker-fan: {part: fan, at: chest, feed: outlet, also: [box], shed: 2}
  radio: {part: two-way, at: console.bay-1, by: customer, feed: radios, antenna: roof-rear}
  camera: {part: fan, at: floor, feed: vehicle.reverse, count: 2, note: "left, right"}
  spare: {part: second, at: floor, isolator: {join: engine == running, split: supply < 12.8 V held 2 min}}
  cut: {part: cut-off, at: floor, breaks: [spare], spares: [outlet, box.memory]}""",
    "console": "console:\n  body: {part: shelf, at: tunnel}\n  bays: [bay-1 radio, bay-2 controls, bay-3 blank, cups]",
    "cargo": """\
cargo:
  tray: {part: slide-out, at: floor, panel: hatch, locks: [in, out], holds: [map, pens]}
  chest: {part: chest, at: tray, air: outside, volume: 18 ft3, hold: strap}
  cones: {count: 24, weight: 7 lb, at: chest, packed: after delivery}""",
    "marking": """\
marking:
  band: {film: stripes, band: 6 in, from: bumper, to: tail}
  rear: {film: stripes, slope: 45 deg, width: 6 in, share: 50 %, on: [hatch, hatch-inside]}""",
    "glass": """\
glass:
  windshield: {film: tint, by: customer}
  side: {film: tint, side: left}
  rear: {pane: clear-rear}""",
    "trailer": "trailer:\n  cart: {tongue: 40 kg, weight: 400 kg, lamps: vehicle.seven-way, present: optional}",
    "crossings": """\
crossings:
  mill-road: {own: 45 mph, cross: 35 mph, corner: {from-cross: 20 m, from-own: 15 m}, side: right}""",
}
"""What a job says of power, cargo and film, to be read with `whole(**FULL)`."""

FULL = {name.replace("-", "_"): text for name, text in MORE.items()}


def whole(**sections: str) -> str:
    """The text of the good build, some sections (with _ for -) written otherwise; "" leaves one away."""
    said = {name.replace("_", "-"): text for name, text in sections.items()}
    return "\n".join(text for text in (BASE | said).values() if text) + "\n"
