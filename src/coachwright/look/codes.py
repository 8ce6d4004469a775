"""What does a code mean? The page of every finding's code, and of every rule of the packs.

Findings of the doors and rooms have their pages in codes.yaml; rules explain themselves (rules.explain).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path

from coachwright.kit.near import nearest
from coachwright.kit.nodes import read_nodes
from coachwright.proof.rooms import rooms
from coachwright.rules.explain import explain
from coachwright.rules.load import OUR_PACKS, load_packs


@dataclass(frozen=True, slots=True)
class CodePage:
    """One code: its name, and (heading, text) pairs in the order a person reads them."""

    code: str
    name: str
    lines: tuple[tuple[str, str], ...]


def explained(code: str, *, extra_folder: Path | None = None) -> CodePage | None:
    """The page of `code`, None when nobody has it. extra_folder : packs beside a build."""
    page = finding_pages().get(code)
    if page is not None:
        return page
    opened = rooms()
    packs, _ = load_packs(
        _pack_names(extra_folder), registry=opened.windows, missing_rooms=opened.missing, extra_folder=extra_folder
    )
    found = explain(code, packs=packs, registry=opened.windows)
    return None if found is None else CodePage(found.code, found.name, found.lines())


def closest(code: str) -> str:
    """The code that was most likely meant, or ""."""
    opened = rooms()
    packs, _ = load_packs(_pack_names(None), registry=opened.windows, missing_rooms=opened.missing)
    known = [*finding_pages(), *(rule.code for pack in packs for rule in pack.rules)]
    near = nearest(code, known)
    return near[0] if near else ""


@cache
def finding_pages() -> Mapping[str, CodePage]:
    """Pages of the findings that are no rule's."""
    text = resources.files("coachwright.look").joinpath("codes.yaml").read_text(encoding="utf-8")
    plain = read_nodes(text, file="codes.yaml").plain
    pages = {}
    if isinstance(plain, dict):
        for code, said in plain.items():
            if isinstance(said, dict):
                lines = tuple((heading, str(text)) for heading, text in said.items() if heading != "name")
                pages[code] = CodePage(code, str(said.get("name", "")), lines)
    return pages


def _pack_names(extra_folder: Path | None) -> tuple[str, ...]:
    folders = [OUR_PACKS, *([extra_folder] if extra_folder is not None else [])]
    found = {entry.name.removesuffix(".yaml") for folder in folders if folder.is_dir() for entry in folder.iterdir()}
    return tuple(sorted(name for name in found if not name.startswith((".", "_"))))
