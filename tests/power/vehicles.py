"""Builds that tests of the room share: the three examples, changed where a test says so, and a small one."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from coachwright.build.load import read_build
from coachwright.build.lock import Lock, lock_text, read_lock_text
from coachwright.build.model import Model
from coachwright.build.settling import Settled
from coachwright.parts.store import load_catalogue

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("quillback", "volunteer-car", "service-patrol")
BY_LINE, BY_CHANNEL = "controller-24", "controller-48-plain"

SMALL = """\
coachwright: 1
job: {name: test, customer: test}
vehicle: {body: crew-cab-pickup-with-cap}
lamps:
  grille: {part: short-red-white, at: grille, pair: mirrored}
  push: {part: short-red-white, at: bumper-front, pair: mirrored}
  tail: {part: short-red-amber-white, at: tail-inner, pair: mirrored}
controls:
  slide: {kind: slide, positions: ["off", low, full], at: console.panel}
  power: {kind: toggle, at: console.panel, start: "off"}
functions:
  warning: {rank: warn, by: slide, levels: {low: [{on: all, red: single sides}]}}
  inverter-on: {rank: ease, when: power, run: inverter}
feeds:
  main: {from: main-battery, on-while: hot, sleep: 5 min after ignition ends}
  running: {from: main-battery, on-while: engine == running, shed: 1}
  radios: {from: main-battery, on-while: ignition plus 30 min, below: 11.8 V held 2 min, shed: never}
  computer: {from: main-battery, on-while: ignition plus 60 min, below: 12.0 V held 2 min, ends-with: line 90 s before}
  accessories: {from: main-battery, on-while: "ignition in (accessory, run)"}
  charged: {from: alternator, on-while: hot}
equipment:
  controller: {part: controller-24, at: under-rear-seat, feed: main}
  inverter: {part: inverter-1000, at: rear-floor, feed: running}
  radio: {part: mobile-radio-50, at: console.side, feed: radios, also: main, antenna: roof-fore}
  dock: {part: dock-12v, at: console.side, feed: computer}
  usb: {part: usb-2, at: console.side, feed: accessories, count: 2}
  fan: {part: fan-40cfm, at: gear-locker, feed: charged}
  disconnect:
    {part: disconnect-200, at: driver-seat-base, turned-by: battery, breaks: main-battery, spares: [controller.memory]}
situations:
  standing: {slide: low}
  parked: {ignition: out, engine: "off"}
  listening: {ignition: accessory, engine: "off"}
  engine-off: {slide: low, engine: "off", power: "on"}
  low: {slide: low, supply: 11.5 V}
  broken: {battery: "off"}
  plain: {}
"""


def read(text: str, *, lock: Lock | None = None, serial: int | None = None) -> Model:
    """The model of a text; whatever keeps it from being one is told."""
    loaded = read_build(text, file="build.yaml", catalogue=load_catalogue(), lock=lock, serial=serial)
    assert loaded.model is not None, loaded.findings
    return loaded.model


@cache
def text_of(name: str, *changes: tuple[str, str]) -> str:
    """The text of an example with these words changed, each of which has to be there."""
    text = (EXAMPLES / name / "build.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


@cache
def example(name: str, *changes: tuple[str, str]) -> Model:
    """An example, changed."""
    return read(text_of(name, *changes))


@cache
def small(*changes: tuple[str, str]) -> Model:
    """The small build, changed."""
    text = SMALL.replace("controls:\n", "controls:\n  battery: {kind: rotary-disconnect, at: driver-seat-base}\n")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return read(text)


def again(settled: Settled) -> Lock:
    """The lock that was settled, written and read."""
    return read_lock_text(lock_text(settled.decisions, build="build.yaml"), file="build.lock.yaml")
