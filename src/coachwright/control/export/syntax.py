"""How are expressions spelled in a language, and read back? One reader for two spellings.

Every expression inside another one stands in brackets, so no language's order of operators matters. The reader takes
what the printer writes and nothing else: it is there to prove what stands in the file, not to guess.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from coachwright.control.export.terms import (
    SIGNS,
    AllOf,
    AnyOf,
    Block,
    Compare,
    Const,
    Expr,
    Item,
    Note,
    Opposite,
    Put,
    Reckon,
    Ref,
    Set,
    Sign,
    Stmt,
    Sum,
    Value,
)


class NotOursError(ValueError):
    """A text that isn't in the subset that is written here."""


@dataclass(frozen=True, slots=True)
class Spelling:
    """Words of one language. signs : as written, for each of ours."""

    true: str
    false: str
    opposite: str
    all_of: str
    any_of: str
    signs: Mapping[Sign, str]


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number, sign or remark. kind : ``word``, ``number``, ``sign``, ``remark`` or ``end``."""

    kind: str
    text: str
    line: int


_SUMS: Mapping[str, Sum] = {"+": "+", "-": "-", "*": "*"}


def number_text(value: float) -> str:
    """A real number in every language: with a point, and all its digits."""
    text = repr(float(value))
    mantissa, exponent, power = text.partition("e")
    whole = mantissa if "." in mantissa else f"{mantissa}.0"
    return f"{whole}E{int(power)}" if exponent else whole


def value_text(value: Value, spelling: Spelling) -> str:
    """A value as it is written."""
    if isinstance(value, bool):
        return spelling.true if value else spelling.false
    return str(value) if isinstance(value, int) else number_text(value)


def expr_text(expr: Expr, spelling: Spelling, *, inside: bool = False) -> str:
    """An expression; in brackets where it stands inside another one."""
    text = _text(expr, spelling)
    return f"({text})" if inside and isinstance(expr, AllOf | AnyOf | Compare | Reckon | Opposite) else text


def _text(expr: Expr, spelling: Spelling) -> str:
    match expr:
        case Const(value):
            return value_text(value, spelling)
        case Ref(name):
            return name
        case Item(name, index):
            return f"{name}[{expr_text(index, spelling)}]"
        case Opposite(item):
            return f"{spelling.opposite}{expr_text(item, spelling, inside=True)}"
        case AllOf(items):
            return f" {spelling.all_of} ".join(expr_text(item, spelling, inside=True) for item in items)
        case AnyOf(items):
            return f" {spelling.any_of} ".join(expr_text(item, spelling, inside=True) for item in items)
        case Compare(sign, one, other):
            signs = (
                expr_text(one, spelling, inside=True),
                spelling.signs[sign],
                expr_text(other, spelling, inside=True),
            )
            return " ".join(signs)
        case Reckon(sum_, one, other):
            return f"{expr_text(one, spelling, inside=True)} {sum_} {expr_text(other, spelling, inside=True)}"


def tokens(text: str, pattern: re.Pattern[str]) -> Iterator[Token]:
    """The tokens of a text, and an end.

    Raises
    ------
    NotOursError : something that no token is.
    """
    place, line = 0, 1
    while place < len(text):
        found = pattern.match(text, place)
        if found is None:
            raise NotOursError(f"line {line}: {text[place : place + 20]!r} isn't written here.")
        place = found.end()
        if found.lastgroup not in (None, "space"):
            yield Token(str(found.lastgroup), found[0], line)
        line += found[0].count("\n")
    yield Token("end", "", line)


class Reader:
    """Reads tokens one after the other."""

    def __init__(self, found: Iterator[Token], spelling: Spelling) -> None:
        self._tokens = list(found)
        self._place = 0
        self.spelling = spelling
        self._signs: dict[str, Sign] = {spelling.signs[sign]: sign for sign in SIGNS}

    @property
    def now(self) -> Token:
        return self._tokens[self._place]

    def next(self) -> Token:
        """The token here; goes on to the following one."""
        token = self.now
        self._place += token.kind != "end"
        return token

    def is_next(self, text: str) -> bool:
        """Is this what stands here? Goes on if it is."""
        if self.now.kind != "remark" and self.now.text == text:
            self.next()
            return True
        return False

    def take(self, *texts: str) -> None:
        """These have to stand here.

        Raises
        ------
        NotOursError : they don't.
        """
        for text in texts:
            if not self.is_next(text):
                raise NotOursError(f"line {self.now.line}: {self.now.text!r} stands where {text!r} should.")

    def word(self) -> str:
        """A name has to stand here.

        Raises
        ------
        NotOursError : it doesn't.
        """
        token = self.next()
        if token.kind != "word":
            raise NotOursError(f"line {token.line}: {token.text!r} stands where a name should.")
        return token.text

    def value(self) -> Value:
        """A value has to stand here, with its sign.

        Raises
        ------
        NotOursError : it doesn't.
        """
        minus = self.is_next("-")
        token = self.next()
        if token.text in (self.spelling.true, self.spelling.false) and not minus:
            return token.text == self.spelling.true
        if token.kind != "number":
            raise NotOursError(f"line {token.line}: {token.text!r} stands where a value should.")
        number: Value = int(token.text) if token.text.isdigit() else float(token.text)
        return -number if minus else number

    def expr(self) -> Expr:
        """An expression: one part, or parts joined by one and the same word or sign."""
        first = self._part()
        for word, kind in ((self.spelling.all_of, AllOf), (self.spelling.any_of, AnyOf)):
            if self.now.text == word:
                items = [first]
                while self.is_next(word):
                    items.append(self._part())
                return kind(tuple(items))
        if self.now.text in self._signs:
            return Compare(self._signs[self.next().text], first, self._part())
        if self.now.text in _SUMS:
            return Reckon(_SUMS[self.next().text], first, self._part())
        return first

    def _part(self) -> Expr:
        if self.is_next("("):
            inside = self.expr()
            self.take(")")
            return inside
        if self.is_next(self.spelling.opposite.strip()):
            return Opposite(self._part())
        words = (self.spelling.true, self.spelling.false)
        if self.now.kind == "number" or self.now.text == "-" or self.now.text in words:
            return Const(self.value())
        name = self.word()
        if self.is_next("["):
            index = self.expr()
            self.take("]")
            return Item(name, index)
        return Ref(name)


def read_block(
    reader: Reader, ends: tuple[str, ...], *, statement: Callable[[Reader], Stmt | None], note: Callable[[str], str]
) -> Block:
    """Statements and remarks up to one of the words that end a block, which stays to be read.

    statement : reads one; None where there was nothing in it. note : what a remark says, without its signs.

    Raises
    ------
    NotOursError : the text ends before the block does.
    """
    found: list[Stmt] = []
    while reader.now.kind == "remark" or reader.now.text not in ends:
        if reader.now.kind == "end":
            raise NotOursError(f"line {reader.now.line}: the text ends where {' or '.join(ends)} should stand.")
        if reader.now.kind == "remark":
            found.append(Note(note(reader.next().text)))
            continue
        read = statement(reader)
        if read is not None:
            found.append(read)
    return tuple(found)


def read_assigned(reader: Reader, sign: str) -> Set | Put:
    """A variable, or one place of a list, and what it becomes."""
    name = reader.word()
    index = None
    if reader.is_next("["):
        index = reader.expr()
        reader.take("]")
    reader.take(sign)
    value = reader.expr()
    reader.take(";")
    return Set(name, value) if index is None else Put(name, index, value)
