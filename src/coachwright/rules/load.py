"""Reads packs: ours, and those a shop keeps in `packs/` beside its build.

A pack loads whole or not at all. One that names an unknown measure, argument or unit kind is refused, with the nearest
name. A shop's file of the same name as one of ours lays its own figures over it, each with who read the page and when.
"""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from coachwright.kit.errors import DoorRefused
from coachwright.kit.fields import NAME
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.measure import WindowEntry
from coachwright.kit.near import nearest
from coachwright.kit.nodes import Document, read_nodes
from coachwright.kit.text_file import read_bounded
from coachwright.rules.bind import Trouble, troubles_of
from coachwright.rules.overlay import laid_over
from coachwright.rules.schema import Pack

OUR_PACKS = Path(__file__).parent / "packs"
MAX_BYTES = 2_000_000
MOST_ENTRIES = 5_000
"""Of a folder of packs, when names are looked for in it."""

RESERVED_PREFIXES = frozenset({"BLD", "PRT", "PLC", "CTL", "FLS", "LGT", "RUL", "VER"})
"""Codes of findings that no rule may use."""


@dataclass(frozen=True, slots=True)
class File:
    """Text of a pack file, and its name as findings give it."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Text:
    """A pack file that was read, and the list items of its rules with the document each stands in."""

    plain: dict[str, Any]
    document: Document
    origins: tuple[tuple[Document, str], ...]


def load_packs(
    names: Iterable[str],
    *,
    registry: Mapping[str, WindowEntry],
    missing_rooms: Collection[str] = (),
    extra_folder: Path | None = None,
) -> tuple[tuple[Pack, ...], tuple[Finding, ...]]:
    """The packs a build names, in its order, and what is wrong with them; a pack with an error is left out whole.

    Parameters
    ----------
    registry : every window there is, by measure name (kit.measure.WINDOWS).
    missing_rooms : rooms that aren't built yet; what is asked of them stays "not measured" and can't be checked here.
    extra_folder : ``packs/`` beside the build.
    """
    packs: list[Pack] = []
    findings: list[Finding] = []
    for name in dict.fromkeys(names):
        pack, found = _load(name, registry, missing_rooms, extra_folder)
        findings.extend(found)
        if pack is None:
            continue
        twin = next((other for other in packs if other.prefix == pack.prefix), None)
        if twin is not None:
            what = f"{pack.pack} uses the code {pack.prefix} of {twin.pack}"
            findings.append(_finding("RUL-008", "code-taken", what, "Give one of them another prefix.", name))
            continue
        packs.append(pack)
    return tuple(packs), tuple(findings)


def pack_names(extra_folder: Path | None = None) -> tuple[str, ...]:
    """Every pack that could be named, ours and the shop's; of a folder of monstrous size only the first thousands."""
    found = {path.parent.name for path in OUR_PACKS.glob("*/pack.yaml")}
    for entry in _entries(extra_folder):
        name = entry.removesuffix(".yaml")
        if NAME.fullmatch(name):
            with suppress(DoorRefused):
                found |= {name} if len(_candidates(name, extra_folder)) == 1 else set()
    return tuple(sorted(name for name in found if NAME.fullmatch(name)))


def _entries(folder: Path | None) -> list[str]:
    if folder is None:
        return []
    try:
        with os.scandir(folder) as listing:
            return [entry.name for entry in islice(listing, MOST_ENTRIES)]
    except OSError:
        return []  # a shop without a folder of packs has none


def _load(
    name: str, registry: Mapping[str, WindowEntry], missing_rooms: Collection[str], extra_folder: Path | None
) -> tuple[Pack | None, list[Finding]]:
    try:
        base, shop = _our_file(name), _shop_file(name, extra_folder)
    except DoorRefused as error:
        return None, [_finding("RUL-013", "pack-refused", str(error).rstrip("."), "", name)]
    if base is None and shop is None:
        near = nearest(name, pack_names(extra_folder), most=1)
        there = f"Closest: {near[0]}." if near else f"There are {', '.join(pack_names(extra_folder))}."
        what = f"no pack is called {name[:60]}"
        return None, [_finding("RUL-001", "pack-not-found", what, there, name if NAME.fullmatch(name) else "")]
    try:
        pack, text, findings = _understood(name, base, shop)
    except DoorRefused as error:
        return None, [_finding("RUL-013", "pack-refused", str(error).rstrip("."), "", name)]
    if pack is None or text is None:
        return None, list(findings)
    owner = _our_prefixes().get(pack.prefix, name)
    if base is None and owner != name:
        what = f"{name} uses the code {pack.prefix} of {owner}, which comes with coachwright"
        return None, [_finding("RUL-008", "code-taken", what, "Give it another prefix.", name)]
    troubles = troubles_of(pack, name, registry, missing_rooms, RESERVED_PREFIXES)
    return (None if troubles else pack), [_trouble_finding(trouble, text, name) for trouble in troubles]


@lru_cache(maxsize=64)
def _understood(
    name: str, base: File | None, shop: File | None
) -> tuple[Pack | None, Text | None, tuple[Finding, ...]]:
    """The pack those two texts say, or what is wrong with them; the same texts are read once per process."""
    text, findings = _read(name, base, shop)
    if text is None:
        return None, None, tuple(findings)
    try:
        return Pack.model_validate(text.plain), text, ()
    except ValidationError as error:
        return None, text, tuple(_schema_finding(problem, text, name) for problem in error.errors())


def _read(name: str, ours: File | None, shops: File | None) -> tuple[Text | None, list[Finding]]:
    base = read_nodes(ours.text, file=ours.name) if ours is not None else None
    shop = read_nodes(shops.text, file=shops.name) if shops is not None else None
    findings = [_text_finding(finding, name) for document in (base, shop) if document for finding in document.findings]
    if findings:
        return None, findings
    plain, origins, problems = laid_over(base, shop)
    document = base or shop
    assert document is not None
    for place, where, code, word, why, write in problems:
        findings.append(_finding(code, word, why, write, name, place.nearest_mark(where)))
    if findings:
        return None, findings
    return Text(plain, document, origins), findings


def _our_file(name: str) -> File | None:
    path = OUR_PACKS / name / "pack.yaml" if NAME.fullmatch(name) else None
    return _file(path, f"{name}/pack.yaml") if path is not None and path.is_file() else None


@lru_cache(maxsize=1)
def _our_prefixes() -> Mapping[str, str]:
    """The prefix of each of our packs, and whose it is; read without loading any of them."""
    found: dict[str, str] = {}
    for path in sorted(OUR_PACKS.glob("*/pack.yaml")):
        prefix = re.search(r"(?m)^prefix:[ \t]*([A-Z0-9]+)", path.read_text(encoding="utf-8"))
        if prefix is not None:
            found[prefix[1]] = path.parent.name
    return found


def _shop_file(name: str, extra_folder: Path | None) -> File | None:
    """The shop's file of this name.

    Raises
    ------
    DoorRefused : there are two of them, it lies outside the folder of packs, or it is no text.
    """
    if extra_folder is None or not NAME.fullmatch(name):
        return None
    paths = _candidates(name, extra_folder)
    shown = [str(path.relative_to(extra_folder.parent)) for path in paths]
    if len(paths) > 1:
        raise DoorRefused(f"{' and '.join(shown)} are both there; which one is meant isn't said. Keep one of them.")
    if not paths:
        return None
    if not Path(os.path.realpath(paths[0])).is_relative_to(os.path.realpath(extra_folder)):
        raise DoorRefused(f"{shown[0]} is a link that leads out of the folder of packs. Put a copy of the file there.")
    return _file(paths[0], shown[0])


def _candidates(name: str, extra_folder: Path | None) -> list[Path]:
    if extra_folder is None:
        return []
    return [path for path in (extra_folder / name / "pack.yaml", extra_folder / f"{name}.yaml") if _is_there(path)]


def _is_there(path: Path) -> bool:
    """Something lies there, even a link to nothing.

    Raises
    ------
    DoorRefused : nobody can tell.
    """
    try:
        os.lstat(path)
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError as error:
        raise DoorRefused(f"{path.name} in packs can't be looked at: {error.strerror or error}.") from None
    return True


def _file(path: Path, name: str) -> File:
    try:
        return File(name, read_bounded(path, most_bytes=MAX_BYTES))
    except FileNotFoundError:
        raise DoorRefused(f"{name} is a link to nothing.") from None
    except DoorRefused as refused:
        raise DoorRefused(str(refused).replace(str(path), name)) from None


def _schema_finding(problem: Any, text: Text, name: str) -> Finding:
    context = problem.get("ctx") or {}
    pieces = [str(piece + 1) if isinstance(piece, int) else str(piece) for piece in problem["loc"]]
    if context.get("at"):
        pieces.append(str(context["at"]))
    document, path = _origin(pieces, text)
    code = str(context.get("code", "RUL-002"))
    if not code.startswith("RUL-"):
        code = "RUL-002"
    word = str(context.get("name", problem["type"].replace("_", "-")))
    what = str(context.get("why", problem["msg"])).rstrip(".")
    write = str(context.get("write", ""))
    if problem["type"] == "extra_forbidden":
        what, word = f"{pieces[-1][:60]} is no field here", "field-unknown"
        write = _closest_field(pieces[-1], inside_rule="rules" in pieces[:1])
    if problem["type"] == "missing":
        what, word = f"{pieces[-1]} is missing", "field-missing"
    return _finding(code, word, what, write, name, document.nearest_mark(path), rule=_rule_code(pieces, text))


def _closest_field(written: str, *, inside_rule: bool) -> str:
    from coachwright.rules.limit import LIMIT_WORDS
    from coachwright.rules.schema import Rule

    known = [*(field.alias or name for name, field in (Rule if inside_rule else Pack).model_fields.items())]
    close = nearest(written, [*known, *LIMIT_WORDS, "near"])
    return f"Closest: {close[0]}." if close else ""


def _trouble_finding(trouble: Trouble, text: Text, name: str) -> Finding:
    pieces = [str(piece) for piece in trouble.path]
    document, path = _origin(pieces, text)
    mark = document.nearest_mark(path)
    return _finding(trouble.code, trouble.name, trouble.why, trouble.write, name, mark, rule=_rule_code(pieces, text))


def _origin(pieces: list[str], text: Text) -> tuple[Document, str]:
    """The document and the path in it of a path in the pack as it was laid together."""
    if len(pieces) >= 2 and pieces[0] == "rules" and pieces[1].isdecimal() and int(pieces[1]) <= len(text.origins):
        document, path = text.origins[int(pieces[1]) - 1]
        return document, ".".join([path, *pieces[2:]])
    return text.document, ".".join(pieces)


def _rule_code(pieces: list[str], text: Text) -> str:
    rules = text.plain.get("rules")
    if len(pieces) < 2 or pieces[0] != "rules" or not isinstance(rules, list) or not pieces[1].isdecimal():
        return ""
    rule = rules[int(pieces[1]) - 1] if int(pieces[1]) <= len(rules) else None
    return str(rule.get("code", ""))[:20] if isinstance(rule, dict) else ""


def _text_finding(finding: Finding, name: str) -> Finding:
    what = str(finding.values.get("why", finding.name)).rstrip(".")
    return _finding("RUL-014", "pack-text-faulty", what, "", name, *finding.where)


def _finding(code: str, word: str, what: str, write: str, pack: str, *marks: Mark | None, rule: str = "") -> Finding:
    return Finding(
        code,
        word,
        "error",
        "{rule}{what}; the pack {pack} is left out." if pack else "{rule}{what}.",
        {"what": what, "pack": pack, "rule": f"{rule}: " if rule else ""},
        about="packs",
        where=tuple(mark for mark in marks if mark is not None),
        fix=Fix(write) if write else None,
    )
