"""The reader of YAML, with everything left away that turns words into something else.

Resolving what a scalar could be (a number, a date, a truth) takes as long as all the rest of composing, and here every
scalar stays the text it was.
"""

from __future__ import annotations

import gc
from typing import Any

import yaml

_TEXT = "tag:yaml.org,2002:str"


class _NoMeaning:
    """Takes the place of yaml's resolver: a node has no type but its shape."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        return _TEXT

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass

    def check_resolver_prefix(self, depth: Any, path: Any, current_node: Any, current_index: Any) -> bool:
        return False


def _loader() -> type:
    try:
        from yaml._yaml import CParser
    except ImportError:  # PyYAML was built without libyaml

        class PlainLoader(_NoMeaning, yaml.SafeLoader):  # type: ignore[misc]
            """Slower, and the same."""

        return PlainLoader

    class FastLoader(_NoMeaning, CParser):
        """libyaml's parser and composer."""

    return FastLoader


LOADER: type = _loader()


def compose_nodes(text: str) -> yaml.Node | None:
    """The tree of a text; None when nothing is written.

    Raises
    ------
    yaml.YAMLError, UnicodeError : it can't be composed.
    """
    was_on = gc.isenabled()
    gc.disable()  # no node points back, and looking for rings among ten thousands of them takes longer than composing
    try:
        return yaml.compose(text, Loader=LOADER)
    finally:
        if was_on:
            gc.enable()
