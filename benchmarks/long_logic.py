"""A build whose logic is large: many functions over many switches, and promises about what they show.

Nobody builds such a vehicle. The conditions are drawn by lot from a stated seed, so that every run asks the same.
"""

from __future__ import annotations

import random

_HEAD = """\
# Everything here is invented, and made to be hard to prove.
coachwright: 1
job: {name: Long logic, customer: Nobody, number: Q-0002}
vehicle: {body: crew-cab-pickup-with-cap}
packs: [house]
"""

_PLACES = ("grille", "bumper-front", "bumper-corner", "tail-inner", "bumper-rear", "rocker-fore", "rocker-aft")
_SIGNALS = ("brake", "park-brake", "hatch == open", "tailgate == open", "gear == P", "gear == R", "door-driver == open")


def long_logic(*, functions_n: int, promises_n: int, toggles_n: int = 16, heads_n: int = 20, seed: int = 7) -> str:
    """The text of a build with so many functions, promises and pairs of heads."""
    lot = random.Random(seed)
    names = [f"t{number}" for number in range(toggles_n)]
    lamps = [f"lamp{number}" for number in range(heads_n)]

    def leaf() -> str:
        word = lot.choice([*names, *_SIGNALS, "slide >= mid", "slide == full", "kept == b"])
        return word if lot.random() < 0.7 else f"not ({word})"

    def condition() -> str:
        parts = [f"({leaf()} {lot.choice(('and', 'or'))} {leaf()})" for _ in range(lot.choice((1, 2, 2, 3)))]
        return f" {lot.choice(('and', 'and', 'or'))} ".join(parts)

    lines = [_HEAD, "lamps:\n"]
    for number, lamp in enumerate(lamps):
        place = _PLACES[number % len(_PLACES)]
        lines.append(f"  {lamp}: {{part: short-red-amber-white, at: {place}, pair: mirrored}}\n")
    lines.append('controls:\n  slide: {kind: slide, positions: ["off", low, mid, full], at: console.panel}\n')
    lines += [f"  {name}: {{kind: toggle, at: console.panel, start: last}}\n" for name in names]
    lines.append("memory:\n  kept: {values: [a, b], moves: [{on: becomes gear == P, to: a}, ")
    lines.append(f"{{on: pressed {names[0]}, if: brake, to: b}}]}}\n")
    lines.append("functions:\n")
    for number in range(functions_n):
        lamp = lamps[number % heads_n]
        colour = lot.choice(("red", "amber", "white"))
        rank = ("task", "warn", "ease", "open")[number // heads_n % 4]
        show = f"[{{on: {lamp}, {colour}: steady 100 %}}]"
        lines.append(f'  f{number}: {{rank: {rank}, when: "{condition()}", show: {show}}}\n')
    lines.append("promises:\n")
    for number in range(promises_n):
        lamp = lot.choice(lamps)
        if number % 3:
            lines.append(f'  p{number}: {{when: "{condition()}", then: {lamp} dark}}\n')
        else:
            free = names[0]
            lines.append(f'  p{number}: {{never: "{lamp} red flashing and {free}"}}\n')
    return "".join(lines)
