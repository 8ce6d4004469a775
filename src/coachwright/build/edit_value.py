"""How is a value written into a YAML text?  As plain words; in quotes only where YAML would read something else."""

from __future__ import annotations

import re

import yaml

from coachwright.kit.errors import EditRefused
from coachwright.kit.nodes import Plain

_LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SURELY_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ._%/+-]*[A-Za-z0-9._%/+-])?")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def written(value: Plain, *, in_flow: bool, quotes: str = "") -> str:
    """Text of `value`: a list and a mapping on one line, in brackets.

    Parameters
    ----------
    value : words, lists and names, as kit.nodes reads them.
    in_flow : it will stand inside brackets, where a comma ends it.
    quotes : ``"`` or ``'`` puts a single value in these quotes even where it needs none.
    """
    if isinstance(value, dict):
        pairs = (f"{written(name, in_flow=True)}: {written(item, in_flow=True)}" for name, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written(item, in_flow=True) for item in value) + "]"
    if not quotes and reads_as_is(value, in_flow=in_flow):
        return value
    return _quoted(value, quotes)


def reads_as_is(text: str, *, in_flow: bool) -> bool:
    """Does YAML read the bare `text` as just this one word?"""
    if _SURELY_PLAIN.fullmatch(text):
        return True
    if not text or text != text.strip() or not text.isprintable():
        return False
    try:
        root = yaml.compose(f"[{text}]" if in_flow else f"- {text}", Loader=_LOADER)
    except yaml.YAMLError:
        return False
    if not isinstance(root, yaml.SequenceNode) or len(root.value) != 1:
        return False
    (node,) = root.value
    return isinstance(node, yaml.ScalarNode) and node.style is None and node.value == text and node.end_mark.line == 0


def _quoted(text: str, quotes: str) -> str:
    """In the `quotes` asked for, if they can hold it; else in those that need no backslash."""
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise EditRefused("The new value holds half a character; it can't be written to a file.")
    single_can = text.isprintable()
    if single_can and (quotes == "'" or (quotes != '"' and ("\\" in text or '"' in text))):
        return "'" + text.replace("'", "''") + "'"
    return '"' + "".join(_escaped(sign) for sign in text) + '"'


def _escaped(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    if sign.isprintable():
        return sign
    number = ord(sign)
    return f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"
