"""A build as if some of it were written otherwise: what stands where then, and where in the file that is written.

Nothing of the document that was read changes: what is touched is copied. Marks of what was put in lead to the text that
puts it in, so that whatever is wrong with it is told there.

See Also
--------
coachwright.build.choices : before this, what is put in and left out.
coachwright.kit.nodes.Document : what comes out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from coachwright.build.edit_plan import value_at
from coachwright.kit.nodes import Document, PathPieces, Plain


def find(plain: Plain, path: PathPieces) -> Plain | None:
    """What stands at a path; a single item written where a list could stand is its first item. None: nothing does."""
    found = value_at(plain, path)
    if found is None and path and path[-1] == "1":
        above = value_at(plain, path[:-1])
        return above if isinstance(above, str) and above else None
    return found


class ChangedText:
    """A document and what was put into it so far. `document()` hands it out."""

    def __init__(self, document: Document) -> None:
        self._before = document
        self._plain: Plain = dict(document.plain) if isinstance(document.plain, dict) else document.plain
        self._copied: set[PathPieces] = {()}
        self._elsewhere = dict(document.elsewhere)
        self._changed = set(document.changed)

    @property
    def plain(self) -> Plain:
        """What it says now."""
        return self._plain

    def document(self) -> Document:
        """The document as it is now."""
        if not self._changed:
            return self._before
        return replace(
            self._before, plain=self._plain, elsewhere=dict(self._elsewhere), changed=frozenset(self._changed)
        )

    def put(self, path: PathPieces, value: Plain, *, written_at: PathPieces) -> None:
        """Let `value` stand at `path`, whose holder is there or is a section. written_at : where the file says it."""
        if len(path) > 1 and find(self._plain, path[:-1]) in (None, ""):
            self._put(path[:-1], {}, written_at)
        self._put(path, value, written_at)

    def drop(self, paths: Iterable[PathPieces]) -> None:
        """Take out what stands at these paths, all as they are now."""
        of_lists: dict[PathPieces, set[int]] = {}
        for path in paths:
            holder = self._holder(path)
            if isinstance(holder, list):
                of_lists.setdefault(path[:-1], set()).add(int(path[-1]))
            elif isinstance(holder, dict) and path[-1] in holder:
                del holder[path[-1]]
                self._touched(path)
        for path, numbers in sorted(of_lists.items(), reverse=True):  # what lies deeper first: paths above still fit
            self._drop_items(path, numbers)

    def _put(self, path: PathPieces, value: Plain, written_at: PathPieces) -> None:
        holder = self._holder(path)
        if isinstance(holder, list):
            holder[int(path[-1]) - 1 : int(path[-1])] = [value]
        elif isinstance(holder, dict):
            holder[path[-1]] = value
        self._elsewhere = {key: at for key, at in self._elsewhere.items() if key[: len(path)] != path}
        self._elsewhere[path] = written_at
        self._copied = {key for key in self._copied if key[: len(path)] != path}
        self._touched(path)

    def _touched(self, path: PathPieces) -> None:
        self._changed.add(path[:2])

    def _holder(self, path: PathPieces) -> Plain:
        """What holds the entry at `path`: a copy of its own, which may be changed."""
        here = self._plain
        for end in range(1, len(path)):
            above = path[:end]
            inner = value_at(here, above[-1:])
            if inner is None:
                return ""
            if isinstance(inner, str) and path[end].isdecimal():
                inner = [inner]  # a single item where a list could stand
            if above not in self._copied:
                inner = dict(inner) if isinstance(inner, dict) else list(inner) if isinstance(inner, list) else inner
                self._copied.add(above)
            if isinstance(here, dict):
                here[above[-1]] = inner
            elif isinstance(here, list):
                here[int(above[-1]) - 1] = inner
            here = inner
        return here

    def _drop_items(self, path: PathPieces, numbers: set[int]) -> None:
        items = self._holder((*path, "1"))
        if not isinstance(items, list):
            return
        kept = [number for number in range(1, len(items) + 1) if number not in numbers]
        places = {new: self._place_of((*path, str(old))) for new, old in enumerate(kept, start=1)}
        inner = {
            (*path, str(new), *key[len(path) + 1 :]): at
            for new, old in enumerate(kept, start=1)
            for key, at in self._elsewhere.items()
            if len(key) > len(path) + 1 and key[: len(path) + 1] == (*path, str(old))
        }
        below = len(path)
        self._elsewhere = {key: at for key, at in self._elsewhere.items() if len(key) <= below or key[:below] != path}
        self._elsewhere |= {(*path, str(new)): place for new, place in places.items()} | inner
        self._copied = {key for key in self._copied if len(key) <= below or key[:below] != path}
        items[:] = [items[number - 1] for number in kept]
        self._touched(path)

    def _place_of(self, path: PathPieces) -> PathPieces:
        return replace(self._before, elsewhere=self._elsewhere).written_at(path)
