"""Small changes to a good build, of the kinds people and hostile programs make.

Most of them still pass the stages "text" and "fields": a name with a slip, a value moved, a section left away, an entry
copied. Some break the text itself.
"""

from __future__ import annotations

import random
import re

from tests.build import small

NAME = re.compile(r"(?<![a-z0-9-])[a-z][a-z0-9-]{2,}(?![a-z0-9-]*:)")
WORD = re.compile(r"[a-z0-9][a-z0-9-]*")
NUMBER = re.compile(r"(?<![a-z0-9.])[0-9]+")
ENTRY = re.compile(r"^  ([a-z0-9-]+):.*\n(?:    .*\n)*", re.MULTILINE)
SECTION = re.compile(r"^[a-z-]+:.*\n(?:  .*\n)*", re.MULTILINE)
ODD = [
    "é",
    "𝄞",
    "\t",
    "'",
    '"',
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    "#",
    "&",
    "*",
    "!",
    "%",
    "@",
    "|",
    ">",
    "\\",
    "\x00",
    "\x07",
    "\ufeff",
    "\u2028",
    "- ",
    "---\n",
]


def _slip(text: str, rng: random.Random) -> str:
    """A letter of a name is lost, doubled, or changed."""
    found = rng.choice(list(NAME.finditer(text)))
    at = rng.randrange(found.start(), found.end())
    letter = rng.choice(["", text[at] * 2, rng.choice("abcxyz")])
    return text[:at] + letter + text[at + 1 :]


def _swap(text: str, rng: random.Random) -> str:
    """A word stands where another stood."""
    one, other = (rng.choice(list(WORD.finditer(text))) for _ in range(2))
    return text[: one.start()] + other[0] + text[one.end() :]


def _number(text: str, rng: random.Random) -> str:
    """A number is another number."""
    found = rng.choice(list(NUMBER.finditer(text)))
    return text[: found.start()] + rng.choice(["0", "1", "7", "100", "99999", "-3", "0.5"]) + text[found.end() :]


def _drop(text: str, rng: random.Random) -> str:
    """An entry or a section is gone."""
    found = rng.choice(list(rng.choice([ENTRY, SECTION]).finditer(text)))
    return text[: found.start()] + text[found.end() :]


def _copy(text: str, rng: random.Random) -> str:
    """An entry stands a second time, under another name."""
    found = rng.choice(list(ENTRY.finditer(text)))
    again = found[0].replace(found[1], rng.choice([f"{found[1]}-2", "other", "all", "brake", found[1]]), 1)
    return text[: found.end()] + again + text[found.end() :]


def _move(text: str, rng: random.Random) -> str:
    """An entry stands in another section."""
    found = rng.choice(list(ENTRY.finditer(text)))
    without = text[: found.start()] + text[found.end() :]
    at = rng.choice(list(ENTRY.finditer(without))).start()
    return without[:at] + found[0] + without[at:]


def _odd(text: str, rng: random.Random) -> str:
    """A sign stands somewhere."""
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(ODD) + text[at + rng.choice([0, 0, 1]) :]


def _cut(text: str, rng: random.Random) -> str:
    """A stretch is gone, or the file breaks off."""
    at = rng.randrange(len(text))
    return text[:at] + rng.choice(["", text[at + rng.randrange(1, 40) :]])


GENTLE = (_slip, _slip, _slip, _swap, _number, _drop, _drop, _copy, _move)
ROUGH = (_odd, _odd, _cut)


def mutated(seed: int) -> str:
    """A good build with one to three changes, three quarters of them gentle."""
    rng = random.Random(seed)
    text = small.whole(**small.FULL) if seed % 2 else small.whole()
    for _ in range(rng.choice([1, 1, 2, 3])):
        kinds = GENTLE if seed % 4 else GENTLE + ROUGH
        text = rng.choice(kinds)(text, rng) if text.strip() and ENTRY.search(text) else text
    return text
