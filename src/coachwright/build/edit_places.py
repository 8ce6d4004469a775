"""Where in a YAML text does an entry begin and end, with the line, the dash or the comma that belongs to it?

PyYAML's end of a block collection lies behind the blank lines and comments that follow it; the ends here are those of
the last written character.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TypeAlias, TypeGuard

import yaml

from coachwright.kit.errors import EditRefused

_LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_GAP = re.compile(r"(?:[ \t\r\n]+|(?<![^ \t\r\n])#[^\r\n]*)*")
_BREAK = re.compile(r"\r\n|\n|\r")

Container: TypeAlias = "yaml.MappingNode | yaml.SequenceNode"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a mapping or a list.

    Parameters
    ----------
    container, number : where it stands, counted from 0.
    key : of a mapping's entry. value : its node.
    start : of its name, its dash (in a block) or its value (in brackets). end : behind its last written character.
    value_at : where a value could be put that isn't there: behind the colon or the dash.
    """

    container: Container
    number: int
    key: yaml.Node | None
    value: yaml.Node
    start: int
    end: int
    value_at: int

    @property
    def in_flow(self) -> bool:
        return bool(self.container.flow_style)


def root_of(text: str) -> yaml.Node | None:
    """The tree of a text that kit.nodes has read (which bounds its depth).

    Raises
    ------
    EditRefused : where one node stands at two places (an alias): an edit of one would change the other.
    """
    try:
        root: yaml.Node | None = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        raise EditRefused("The text can't be read as it stands. Mend it first; then it can be edited.") from error
    seen: set[int] = set()
    waiting = [root] if root is not None else []
    while waiting:
        node = waiting.pop()
        if id(node) in seen:
            raise EditRefused("An alias (*) stands in the file; write out what it stands for, then edit.")
        seen.add(id(node))
        waiting += _children(node)
    return root


def find(text: str, root: yaml.Node | None, pieces: tuple[str, ...]) -> Entry | None:
    """The entry at a path; None when there is none."""
    node, found = root, None
    for piece in pieces:
        if not is_container(node):
            return None
        number = number_of(node, piece)
        if number is None:
            return None
        found = entry(text, node, number)
        node = found.value
    return found


def is_container(node: yaml.Node | None) -> TypeGuard[Container]:
    """Is it a mapping or a list?"""
    return isinstance(node, yaml.MappingNode | yaml.SequenceNode)


def number_of(container: Container, piece: str) -> int | None:
    """Which entry (from 0) a piece of a path means: a name, or a number counted from 1."""
    if isinstance(container, yaml.MappingNode):
        names = (key.value if isinstance(key, yaml.ScalarNode) else None for key, _ in container.value)
        return next((number for number, name in enumerate(names) if name == piece), None)
    if re.fullmatch(r"[1-9][0-9]{0,8}", piece) and int(piece) <= len(container.value):
        return int(piece) - 1
    return None


def entry(text: str, container: Container, number: int) -> Entry:
    """Entry `number` (from 0) of a container."""
    if isinstance(container, yaml.MappingNode):
        key, value = container.value[number]
        value_at = _behind_colon(text, key)
        end = max(content_end(text, value), value_at)
        return Entry(container, number, key, value, key.start_mark.index, end, value_at)
    value = container.value[number]
    if container.flow_style:
        start = value.start_mark.index
        return Entry(container, number, None, value, start, content_end(text, value), start)
    before = content_end(text, container.value[number - 1]) if number else container.start_mark.index
    dash = before if number == 0 else _GAP.match(text, before).end()  # type: ignore[union-attr]
    if text[dash : dash + 1] != "-":
        raise EditRefused("This list is written in a way that can't be edited here.")
    return Entry(container, number, None, value, dash, max(content_end(text, value), dash + 1), dash + 1)


def content_end(text: str, node: yaml.Node) -> int:
    """Behind the last written character of a node."""
    if isinstance(node, yaml.ScalarNode):
        return _block_text_end(text, node) if node.style in ("|", ">") else int(node.end_mark.index)
    if not is_container(node) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    if isinstance(node, yaml.MappingNode):
        key, value = node.value[-1]
        return max(content_end(text, value), _behind_colon(text, key))
    return content_end(text, node.value[-1])


def line_start(text: str, at: int) -> int:
    """Where the line of `at` begins."""
    return max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1


def line_end(text: str, at: int) -> int:
    """Before the line break that ends the line of `at`."""
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def next_line(text: str, at: int) -> int:
    """Behind that line break."""
    found = _BREAK.search(text, at)
    return found.end() if found else len(text)


def line_break(text: str, at: int) -> str:
    """The line break in use near `at`: of its own line, else the first of the text."""
    found = _BREAK.search(text, at) or _BREAK.search(text)
    return found[0] if found else "\n"


def stands_first(text: str, at: int) -> bool:
    """Nothing but spaces stands before it on its line."""
    return not text[line_start(text, at) : at].strip()


def behind_gap(text: str, at: int) -> int:
    """Behind the spaces, line breaks and comments that begin at `at`."""
    found = _GAP.match(text, at)
    return found.end() if found else at


def _behind_colon(text: str, key: yaml.Node) -> int:
    """Behind the colon of a key; behind the key itself where it has none."""
    at = behind_gap(text, key.end_mark.index)
    return at + 1 if text[at : at + 1] == ":" else key.end_mark.index


def _block_text_end(text: str, node: yaml.ScalarNode) -> int:
    """Of ``|`` and ``>`` text: before its last line break; blank lines behind belong to it only where it says ``+``."""
    start, end = node.start_mark.index, node.end_mark.index
    header = text[start : line_end(text, start)].split("#", 1)[0]
    if "+" in header:
        found = re.search(r"(?:\r\n|\n|\r)\Z", text[start:end])
        return end - len(found[0]) if found else end
    return start + len(text[start:end].rstrip())


def _children(node: yaml.Node) -> list[yaml.Node]:
    if isinstance(node, yaml.MappingNode):
        return [child for pair in node.value for child in pair]
    return list(node.value) if isinstance(node, yaml.SequenceNode) else []
