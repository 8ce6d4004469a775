"""Which characters does one edit change?  The entry's own, and the comma, dash or line that goes with it; no other.

An emptied mapping becomes ``{}`` and an emptied list ``[]``: that is what it then holds. A comment on an entry's own
line goes with the entry; a comment above it stays.
"""

from __future__ import annotations

from dataclasses import dataclass

import yaml

from coachwright.build.edit_places import (
    Container,
    Entry,
    behind_gap,
    content_end,
    entry,
    find,
    is_container,
    line_break,
    line_end,
    line_start,
    next_line,
    number_of,
    stands_first,
)
from coachwright.build.edit_value import reads_as_is, written
from coachwright.kit.errors import EditRefused
from coachwright.kit.nodes import Plain


@dataclass(frozen=True, slots=True)
class Splice:
    """`text` takes the place of the characters from `start` to `end` (end excluded)."""

    start: int
    end: int
    text: str


def applied(text: str, splices: list[Splice]) -> str:
    """The text with all splices made, from last to first; of two at one place the first listed stands first."""
    for _, _, splice in sorted(((each.start, number, each) for number, each in enumerate(splices)), reverse=True):
        text = text[: splice.start] + splice.text + text[splice.end :]
    return text


def set_value(text: str, place: Entry, value: Plain) -> list[Splice]:
    """Another value in the place of the one that stands there."""
    node = place.value
    if isinstance(node, yaml.ScalarNode) and isinstance(value, str):
        return _replace(text, place, written(value, in_flow=place.in_flow, quotes=_kept_quotes(node, place.in_flow)))
    return _replace(text, place, written(value, in_flow=place.in_flow))


def rename_entry(place: Entry, name: str) -> list[Splice]:
    """Another name before the colon; the quotes that were put around the old one stay where they can."""
    key = place.key
    if not isinstance(key, yaml.ScalarNode):
        raise EditRefused("An entry of a list has no name.")
    start, end = key.start_mark.index, key.end_mark.index
    return [Splice(start, end, written(name, in_flow=True, quotes=_kept_quotes(key, place.in_flow)))]


def delete_entry(text: str, root: yaml.Node, pieces: tuple[str, ...]) -> list[Splice]:
    """The entry gone, with its line, its dash or its comma."""
    place = find(text, root, pieces)
    assert place is not None  # the caller has looked
    if len(place.container.value) == 1 and not (place.in_flow and _has_comment(text, place.container)):
        return _emptied(text, root, pieces[:-1], place.container)
    if place.in_flow:
        return _out_of_brackets(text, place)
    if not stands_first(text, place.start):
        following = _neighbour(text, place, 1)
        return [Splice(place.start, _behind_line_of(text, place.end, following.start), "")]
    start, end = line_start(text, place.start), next_line(text, place.end)
    if end == len(text) and not text[:end].endswith(("\n", "\r")):
        start = _before_break(text, start)
    return [Splice(start, end, "")]


def insert_entry(
    text: str, root: yaml.Node | None, into: tuple[str, ...], *, name: str, value: Plain, after: str
) -> list[Splice]:
    """A new entry behind the one called `after`; behind all where that is empty."""
    place = find(text, root, into) if into else None
    node = place.value if place is not None else root
    if node is None or not is_container(node):
        return _into_nothing(text, place, name, value)
    if not node.value:
        return _into_empty(text, node, name, value)
    number = len(node.value) - 1 if not after else number_of(node, after)
    assert number is not None  # the caller has looked
    before = entry(text, node, number)
    if before.in_flow:
        return _into_brackets(text, before, _new(name, value, in_flow=True))
    column = before.start - line_start(text, before.start)
    at = line_end(text, before.end)
    line = _new(name, value, in_flow=False, dash=isinstance(node, yaml.SequenceNode))
    return [Splice(at, at, line_break(text, before.start) + " " * column + line)]


def _replace(text: str, place: Entry, new: str) -> list[Splice]:
    node = place.value
    start, end = node.start_mark.index, content_end(text, node)
    if _is_nothing(node):
        colon = "" if place.key is None or text[place.value_at - 1] == ":" else ":"
        return [Splice(place.value_at, place.value_at, f"{colon} {new}")]
    if is_container(node) and not node.flow_style and stands_first(text, start):
        lines_end = next_line(text, end)
        lines_start = line_start(text, start)
        if lines_end == len(text) and not text.endswith(("\n", "\r")):
            lines_start = _before_break(text, lines_start)
        return [Splice(place.value_at, place.value_at, f" {new}"), Splice(lines_start, lines_end, "")]
    space = " " if place.key is not None and text[start - 1] == ":" else ""
    return [Splice(start, end, space + new)]


def _kept_quotes(node: yaml.ScalarNode, in_flow: bool) -> str:
    """Quotes that were put where YAML needs none are the lead's own way of writing this value, and stay."""
    deliberate = node.style in ("'", '"') and reads_as_is(node.value, in_flow=in_flow)
    return node.style if deliberate else ""


def _is_nothing(node: yaml.Node) -> bool:
    return isinstance(node, yaml.ScalarNode) and node.start_mark.index == node.end_mark.index


def _emptied(text: str, root: yaml.Node, pieces: tuple[str, ...], container: Container) -> list[Splice]:
    if container.flow_style:
        return [Splice(container.start_mark.index + 1, container.end_mark.index - 1, "")]
    empty = "{}" if isinstance(container, yaml.MappingNode) else "[]"
    if pieces:
        place = find(text, root, pieces)
        assert place is not None  # it holds what was found
        return _replace(text, place, empty)
    start = container.start_mark.index
    lines = _whole_lines(text, start, content_end(text, container))
    others = text[: lines.start] + text[lines.end :]
    if empty == "{}" and behind_gap(others, 0) == len(others):
        return [lines]
    return [Splice(lines.start, lines.end, empty + line_break(text, start))]


def _behind_line_of(text: str, end: int, following: int) -> int:
    """Where the first thing behind an entry's line begins: a comment above the following entry, or that entry."""
    return min(following, _skip_blank(text, next_line(text, end)))


def _skip_blank(text: str, at: int) -> int:
    while at < len(text) and text[at] in " \t\r\n":
        at += 1
    return at


def _neighbour(text: str, place: Entry, step: int) -> Entry:
    return entry(text, place.container, place.number + step)


def _before_break(text: str, at: int) -> int:
    """Before the line break that ends just at `at`."""
    if text[:at].endswith("\r\n"):
        return at - 2
    return at - 1 if text[:at].endswith(("\n", "\r")) else at


def _out_of_brackets(text: str, place: Entry) -> list[Splice]:
    comma = behind_gap(text, place.end)
    has_comma = text[comma : comma + 1] == ","
    behind = comma + 1 if has_comma else place.end
    before = _neighbour(text, place, -1).end if place.number else place.container.start_mark.index + 1
    if place.number and not _breaks(text[before : place.start]):
        return [Splice(before, place.end, "")]
    if place.number < len(place.container.value) - 1:
        return [_before_others(text, place, behind, _neighbour(text, place, 1).start)]
    if place.number == 0:
        return [Splice(place.start, behind, "")]
    closing = place.container.end_mark.index - 1
    if "#" not in text[before : place.start] and line_end(text, place.end) > closing:
        return [Splice(before, place.end, "")]
    own = (
        Splice(place.start, behind, "") if line_end(text, behind) > closing else _whole_lines(text, place.start, behind)
    )
    comma_before = behind_gap(text, before)
    return [own] if has_comma else [Splice(comma_before, comma_before + 1, ""), own]


def _before_others(text: str, place: Entry, behind: int, following: int) -> Splice:
    """The first in the brackets or on its line, with others behind it. `behind` : its comma."""
    if not _breaks(text[behind:following]):
        return Splice(place.start, following, "")
    if stands_first(text, place.start):
        return _whole_lines(text, place.start, behind)
    return Splice(place.start, behind if text[behind:following].strip() else following, "")


def _whole_lines(text: str, start: int, end: int) -> Splice:
    return Splice(line_start(text, start), next_line(text, end), "")


def _breaks(gap: str) -> bool:
    return "\n" in gap or "\r" in gap


def _has_comment(text: str, container: Container) -> bool:
    inside = text[container.start_mark.index + 1 : container.end_mark.index - 1]
    only = container.value[0]
    key, value = only if isinstance(container, yaml.MappingNode) else (only, only)
    shift = container.start_mark.index + 1
    outside = inside[: key.start_mark.index - shift] + inside[content_end(text, value) - shift :]
    return "#" in outside


def _new(name: str, value: Plain, *, in_flow: bool, dash: bool = False) -> str:
    new = written(value, in_flow=in_flow)
    if name:
        new = f"{written(name, in_flow=True)}: {new}"
    return f"- {new}" if dash else new


def _into_nothing(text: str, place: Entry | None, name: str, value: Plain) -> list[Splice]:
    """Behind a name that has no value yet, or into a file that says nothing yet."""
    if place is None:
        ended = not text or text.endswith(("\n", "\r"))
        line = _new(name, value, in_flow=False, dash=not name) + line_break(text, 0)
        return [Splice(len(text), len(text), line if ended else line_break(text, 0) + line)]
    if place.in_flow or place.key is None or not _is_nothing(place.value):
        inside = _new(name, value, in_flow=True)
        return _replace(text, place, "{" + inside + "}" if name else f"[{inside}]")
    column = place.start - line_start(text, place.start) + 2
    at = line_end(text, place.value_at)
    line = _new(name, value, in_flow=False, dash=not name)
    return [Splice(at, at, line_break(text, place.start) + " " * column + line)]


def _into_empty(text: str, container: Container, name: str, value: Plain) -> list[Splice]:
    start, end = container.start_mark.index + 1, container.end_mark.index - 1
    if text[start - 1 : start] not in ("{", "["):
        raise EditRefused("This entry is written in a way that can't be edited here.")
    inside = text[start:end]
    return [Splice(start, start if inside.strip() else end, _new(name, value, in_flow=True))]


def _into_brackets(text: str, before: Entry, new: str) -> list[Splice]:
    """Behind an entry in brackets: on its line, or on a new one where the entries have lines of their own."""
    comma = behind_gap(text, before.end)
    has_comma = text[comma : comma + 1] == ","
    behind = comma + 1 if has_comma else before.end
    last = before.number == len(before.container.value) - 1
    following = before.container.end_mark.index - 1 if last else _neighbour(text, before, 1).start
    own_line = stands_first(text, before.start) and (last or _breaks(text[behind:following]))
    if not own_line:
        return [Splice(before.end, before.end, f", {new}")]
    indent = text[line_start(text, before.start) : before.start]
    fresh = line_break(text, before.start) + indent + new
    if has_comma:
        at = line_end(text, behind)
        at = at if at < following else behind
        return [Splice(at, at, fresh + ",")]
    at = line_end(text, before.end)
    if at >= following:
        return [Splice(before.end, before.end, "," + fresh)]
    return [Splice(before.end, before.end, ","), Splice(at, at, fresh)]
