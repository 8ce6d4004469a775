"""Reads a quantity as a shop writes it: ``3/8 in``, ``5 ft 6 in``, ``12.5 A``, ``180 /min``, ``-15 deg``, ``1e-3 lx``.

For doors only (parts, build, rules, cli, web): inside, everything is a float in the unit of its kind (kit.unit_table).
A number without a unit is refused with what to write, for 25 may be degrees, inches or amperes.
Decimals and fractions are kept exact until the one rounding at the end. Commas part thousands and nothing else.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from coachwright.kit.near import nearest
from coachwright.kit.unit_table import (
    Kind,
    Unit,
    find_unit,
    kind_of,
    kinds,
    kinds_with,
    plain_spelling,
    si_unit,
    spellings_of,
    units_of,
)

__all__ = ["MOST_CHARACTERS", "UnitError", "kinds", "parse", "si_unit", "unit_factor", "units_of"]

MOST_CHARACTERS = 64
"""A quantity is a short thing; longer text is refused unread."""

MOST = 10**18
"""Larger than anything on a vehicle, in any unit."""

_MOST_EXPONENT = 40

_ALIKE = str.maketrans(
    {"\u2212": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
"""Characters that a word processor puts in the place of plain ones, with one meaning only."""

_READABLE = re.compile(r"[\x20-\x7e°²³µμ·⋅′″’”\u03a9\u2126\t]*")
_MIXED = re.compile(r"([0-9]+)(?:[ \t]+|-)([0-9]+)[ \t]*/[ \t]*([0-9]+)")
_FRACTION = re.compile(r"([0-9]+)[ \t]*/[ \t]*([0-9]+)")
_DECIMAL = re.compile(r"([0-9]{1,3}(?:,[0-9]{3})+(?![0-9])|[0-9]+|(?=\.[0-9]))(?:\.([0-9]*))?(?:[eE]([+-]?[0-9]+))?")
_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)(.*)", re.DOTALL)
_PART = re.compile(r"[ \t]*([A-Za-z'\"°′″’”]+\.?)[ \t]*")
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)\b", re.IGNORECASE)
_NUMBER_GOES_ON = re.compile(r"[.,+]|[ \t]*[0-9]")
_RANGE = re.compile(r"[ \t]*(?:-|to\b|\.\.)[ \t]*[0-9]", re.IGNORECASE)


class UnitError(ValueError):
    """A quantity that can't be read. Its text says why not, in words for a shop lead.

    Parameters
    ----------
    why : the sentence.
    text : what was read.
    kind : what was due.
    reason : one of ``empty, too-long, odd-character, no-number, not-finite, decimal-comma, a-range, no-unit,
        other-kind, unknown-unit, mixed-units, divided-by-nought, out-of-range, impossible``.
    write : what to write instead, a sentence; empty where nobody can know.
    near : the nearest spelling of a unit, when one was mistyped.
    """

    def __init__(
        self, why: str, *, text: str = "", kind: str = "", reason: str = "", write: str = "", near: str = ""
    ) -> None:
        super().__init__(why)
        self.text = text
        self.kind = kind
        self.reason = reason
        self.write = write
        self.near = near


def unit_factor(unit: str, kind: str | None = None) -> Unit:
    """The unit spelled so, with its factor and offset.

    Parameters
    ----------
    unit : its name or another spelling.
    kind : needed where a name stands for two units (g is a gram and an acceleration).

    Raises
    ------
    UnitError : no such unit, or the name stands for several and `kind` is None.
    LookupError : no such kind.
    """
    if kind is not None:
        found = find_unit(unit[:MOST_CHARACTERS], kind)
        if found is None:
            raise _unknown_unit("", unit, kind_of(kind))
        return found
    candidates = kinds_with(unit[:MOST_CHARACTERS])
    if not candidates:
        near = _nearest_unit(unit, *kinds())
        raise UnitError(
            f"No unit is called {_quoted(unit)}.",
            text=unit,
            reason="unknown-unit",
            write=near and f"Write {near}.",
            near=near,
        )
    if len({(each.exact_factor, each.exact_offset) for each in candidates}) > 1:
        named = ", ".join(kind_of(each.kind).spoken for each in candidates)
        raise UnitError(
            f"{_quoted(unit)} may be {named}.", text=unit, reason="other-kind", write="Say which kind is meant."
        )
    return candidates[0]


def parse(text: str, kind: str) -> float:
    """The quantity `text` in the unit the program counts in. [`si_unit(kind)`]

    Parameters
    ----------
    text : as written; any text is safe.
    kind : one of `kinds()`. ``share`` reads ``40 %`` and, up to 1, the plain ratio ``0.4``.

    Raises
    ------
    UnitError : see there for the reasons.
    LookupError : no such kind.
    """
    return _read(text, kind)


@lru_cache(maxsize=4096)
def _read(text: str, kind: str) -> float:
    """Builds say the same few hundred quantities over and over, and every edit reads them all again."""
    due = kind_of(kind)
    plain = _checked(text, due)
    sign, rest = (-1, plain[1:].lstrip()) if plain[0] == "-" else (1, plain.removeprefix("+").lstrip())
    number, end = _number(rest, text, due)
    spelling = rest[end:]
    if not spelling.strip():
        return _bare(sign * number, text, due)
    unit = find_unit(spelling, kind)
    if unit is not None:
        return _inside(sign * number, unit, text)
    total = _parts(rest, text, due) if due.parts else None
    if total is not None:
        return _inside(sign * total, Unit(due.inside, kind, Fraction(1)), text)
    raise _not_this_unit(spelling, text, due, written=plain[: len(plain) - len(spelling)].strip())


def _checked(text: str, kind: Kind) -> str:
    if len(text) > MOST_CHARACTERS:
        raise _error(
            "This is too long for one quantity.", text, kind, "too-long", write=f"Write it like {kind.example}."
        )
    plain = text.translate(_ALIKE).strip(" \t")
    if not plain:
        raise _error("Nothing is written here.", text, kind, "empty", write=f"Write it like {kind.example}.")
    if not _READABLE.fullmatch(plain):
        odd = next(letter for letter in plain if not _READABLE.fullmatch(letter))
        named = f"{odd!r}" if odd.isprintable() else f"U+{ord(odd):04X}"
        why = f"The character {named} isn't read in a quantity."
        raise _error(
            why, text, kind, "odd-character", write=f"Write it in plain digits and letters, like {kind.example}."
        )
    if _NOT_FINITE.match(plain):
        raise _error(
            f"{_quoted(plain)} isn't a number.", text, kind, "not-finite", write=f"Write it like {kind.example}."
        )
    return plain


def _number(rest: str, text: str, kind: Kind) -> tuple[Fraction, int]:
    """The number at the start of `rest`, and where it ends."""
    if found := _MIXED.match(rest):
        whole, above, below = (int(group) for group in found.groups())
        number = whole + _divided(above, below, text, kind)
    elif found := _FRACTION.match(rest):
        number = _divided(int(found[1]), int(found[2]), text, kind)
    elif found := _DECIMAL.match(rest):
        number = _decimal(found[1].replace(",", ""), found[2] or "", found[3] or "0", text, kind)
    else:
        raise _error(
            f"There is no number at the start of {_quoted(text)}.",
            text,
            kind,
            "no-number",
            write=f"Write it like {kind.example}.",
        )
    after = rest[found.end() :]
    if after[:1] == "," and (comma := _DECIMAL_COMMA.fullmatch(text.strip())):
        why = "A comma parts thousands here, not decimals."
        raise _error(why, text, kind, "decimal-comma", write=f"Write {comma[1]}.{comma[2]}{comma[3]}.")
    if _RANGE.match(after):
        raise _error(
            f"{_quoted(text)} reads like a range; one quantity belongs here.",
            text,
            kind,
            "a-range",
            write=f"Write it like {kind.example}.",
        )
    if _NUMBER_GOES_ON.match(after):
        raise _error(
            f"{_quoted(text)} isn't one number.", text, kind, "no-number", write=f"Write it like {kind.example}."
        )
    return number, found.end()


def _decimal(whole: str, decimals: str, exponent: str, text: str, kind: Kind) -> Fraction:
    if len(exponent) > 4 or abs(int(exponent)) > _MOST_EXPONENT:
        raise _out_of_range(text, kind)
    digits, power = int(whole + decimals or "0"), int(exponent) - len(decimals)
    return Fraction(digits * 10**power) if power >= 0 else Fraction(digits, 10**-power)


def _divided(above: int, below: int, text: str, kind: Kind) -> Fraction:
    if below == 0:
        raise _error(
            f"{_quoted(text)} divides by 0.", text, kind, "divided-by-nought", write=f"Write it like {kind.example}."
        )
    return Fraction(above, below)


def _bare(number: Fraction, text: str, kind: Kind) -> float:
    written = text.strip()
    if not kind.bare or (kind.name == "share" and abs(number) > 1):
        asked = " or ".join(f"{written} {unit}" for unit in kind.asked)
        raise _error(f"{_quoted(written)} of what?", text, kind, "no-unit", write=f"Write {asked}.")
    if kind.name == "count" and number.denominator != 1:
        raise _error(f"{_quoted(written)} isn't a whole number.", text, kind, "impossible", write="Write it like 6.")
    return _inside(number, Unit("1", kind.name, Fraction(1)), text)


def _parts(rest: str, text: str, kind: Kind) -> Fraction | None:
    """Several quantities in a row, as in 5 ft 6 in; None when it isn't that."""
    read: list[tuple[Fraction, Unit]] = []
    at = 0
    while at < len(rest):
        if not (rest[at].isdigit() or rest[at] == "."):
            return None
        number, length = _number(rest[at:], text, kind)
        found = _PART.match(rest, at + length)
        unit = find_unit(found[1], kind.name) if found else None
        if found is None and read and not rest[at + length :].strip():
            smaller = kind.parts[kind.parts.index(read[-1][1].name) + 1 :]
            write = f"Write {_quoted(text.strip())} {smaller[0]}." if smaller else f"Write it like {kind.example}."
            raise _error(f"The last number of {_quoted(text)} has no unit.", text, kind, "no-unit", write=write)
        if found is None or unit is None or unit.name not in kind.parts:
            return None
        read.append((number, unit))
        at = found.end()
    total = sum((number * unit.exact_factor for number, unit in read), Fraction(0))
    _check_order(read, total, text, kind)
    return total


def _check_order(read: list[tuple[Fraction, Unit]], total: Fraction, text: str, kind: Kind) -> None:
    """Whole units first, each less than one of the unit before it: anything else is more likely a slip than meant."""
    for (number, unit), (after, smaller) in pairwise(read):
        if number.denominator != 1 or after * smaller.exact_factor >= unit.exact_factor:
            units = sorted({unit for _, unit in read}, key=lambda unit: unit.exact_factor, reverse=True)
            pieces = []
            for each in units[:-1]:
                whole, total = divmod(total, each.exact_factor)
                pieces.append(f"{whole} {each.name}")
            pieces.append(f"{float(total / units[-1].exact_factor):.6g} {units[-1].name}")
            why = f"{_quoted(text)} doesn't go from large to small in whole numbers."
            raise _error(why, text, kind, "mixed-units", write=f"Write {' '.join(pieces)}.")


def _inside(number: Fraction, unit: Unit, text: str) -> float:
    exact = number * unit.exact_factor + unit.exact_offset
    kind = kind_of(unit.kind)
    if abs(number) > MOST or abs(exact) > MOST:
        raise _out_of_range(text, kind)
    if unit.kind == "temperature" and exact < Fraction("-273.15"):
        why = f"{_quoted(text)} is colder than anything can be."
        raise _error(why, text, kind, "impossible", write=f"Write it like {kind.example}.")
    return exact.numerator / exact.denominator


def _not_this_unit(spelling: str, text: str, kind: Kind, *, written: str) -> UnitError:
    others = kinds_with(spelling)
    if not others:
        return _unknown_unit(written, spelling, kind, text)
    word = plain_spelling(spelling)
    longer = [unit for unit in units_of(kind.name) if unit.startswith(word)]
    meant = " or ".join(f"{written} {unit}" for unit in longer)
    why = f"{_quoted(text.strip())} is {kind_of(others[0].kind).spoken}; {kind.spoken} belongs here."
    write = f"Write {meant or f'it like {kind.example}'}."
    return _error(why, text, kind, "other-kind", write=write, near=longer[0] if len(longer) == 1 else "")


def _unknown_unit(written: str, spelling: str, kind: Kind, text: str = "") -> UnitError:
    why = f"{_quoted(spelling.strip())} isn't a unit of {kind.name.replace('-', ' ')}."
    near = _nearest_unit(spelling, kind.name)
    write = f"Write {f'{written} {near}'.strip()}." if near else f"Write it like {kind.example}."
    if near and near[0] + plain_spelling(spelling)[0] in ("mM", "Mm"):
        why, write = f"{why[:-1]}: m is a thousandth, M a million.", f"{write[:-1]}, if that is meant."
    return _error(why, text or spelling, kind, "unknown-unit", write=write, near=near)


def _nearest_unit(spelling: str, *among: str) -> str:
    """Name of the nearest unit. One letter resembles everything, so there only capitals may differ."""
    word = plain_spelling(spelling[:MOST_CHARACTERS])
    table = {each: kind for kind in among for each in spellings_of(kind)}
    same = [each for each in table if each.casefold() == word.casefold()]
    close = same or (nearest(word, table) if len(word) > 1 else [])
    found = find_unit(close[0], table[close[0]]) if close else None
    return found.name if found else ""


def _out_of_range(text: str, kind: Kind) -> UnitError:
    return _error(
        f"{_quoted(text)} is out of all proportion for {kind.spoken}.",
        text,
        kind,
        "out-of-range",
        write=f"Write it like {kind.example}.",
    )


def _error(why: str, text: str, kind: Kind, reason: str, *, write: str = "", near: str = "") -> UnitError:
    return UnitError(why, text=text, kind=kind.name, reason=reason, write=write, near=near)


def _quoted(text: str) -> str:
    """What was read, for a sentence: one line, printable, not too long."""
    shown = "".join(letter if letter.isprintable() else "?" for letter in " ".join(text.split()))
    return shown if len(shown) <= 40 else f"{shown[:37]}..."
