"""Which finding codes does the source emit, and by which names? Read from the text of the files, nothing is run."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

CODE = re.compile(r"(?P<code>(?:BLD|PRT|PLC|CTL|FLS|LGT|PWR|RUL|VER)-[0-9]{3})(?: (?P<name>[a-z-]+))?")
NAME = re.compile(r"[a-z*]+(?:-[a-z*]+)*")
NAMES_BY_KIND = ("_known", "known")
"""Helpers that are given what is looked for, and name the finding `<what>-not-known`."""

CODE_OF_HELPER = {"refused": ("RUL-002", 0), "_cite_refused": ("RUL-007", 0), "_matching": ("RUL-002", 1)}
"""Helpers that have one code for all they tell, and which of their arguments is the name."""

PUT_TOGETHER = {
    "BLD-065": {"message-not-known"},
    "PRT-062": {"gvwr-below-mass", "rating-below-curb", "ratings-below-gvwr"},
    "RUL-002": {"field-unknown", "field-missing"},
    "RUL-004": {"argument-missing", "argument-wrong"},
    "RUL-015": {"closing-not-whole", "closing-mixed", "closing-not-known"},
}
"""Names that don't stand beside their code in the source."""


def text_of(node: ast.AST | None) -> str | None:
    """A text as it stands, a star for what is filled in."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(each.value) if isinstance(each, ast.Constant) else "*" for each in node.values)
    return None


def named_in(node: ast.Call | ast.Tuple) -> Iterator[tuple[str, str]]:
    """(code, name) pairs of one call or tuple; the name is "" where it isn't written there."""
    items = node.args if isinstance(node, ast.Call) else node.elts
    by_kind = isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in NAMES_BY_KIND
    for place, item in enumerate(items):
        found = CODE.fullmatch(text_of(item) or "")
        if found is None:
            continue
        said = found["name"] or text_of(items[place + 1] if place + 1 < len(items) else None) or ""
        said = f"{said}-not-known" if by_kind else said
        yield found["code"], said if NAME.fullmatch(said) else ""
    if isinstance(node, ast.Call):
        helper = CODE_OF_HELPER.get(node.func.id) if isinstance(node.func, ast.Name) else None
        if helper is not None and not any(word.arg == "code" for word in node.keywords):
            said = text_of(node.args[helper[1]]) or ""
            yield helper[0], said if NAME.fullmatch(said) else ""
        words = {word.arg: word.value for word in node.keywords}
        found = CODE.fullmatch(text_of(words.get("code")) or "")
        if found is not None:
            said = text_of(words.get("name")) or text_of(node.args[0] if node.args else None) or ""
            yield found["code"], said if NAME.fullmatch(said) else ""


def emitted_in(text: str) -> dict[str, set[str]]:
    """Names by code, of one file's text."""
    found: dict[str, set[str]] = {}
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            whole = CODE.fullmatch(node.value)
            if whole is not None:
                found.setdefault(whole["code"], set()).update({whole["name"]} if whole["name"] else set())
        if isinstance(node, ast.Call | ast.Tuple):
            for code, name in named_in(node):
                found.setdefault(code, set()).update({name} if name else set())
    return found


def emitted(source: Path) -> dict[str, dict[str, set[str]]]:
    """By code, the names it is emitted by, each with the files that do."""
    found: dict[str, dict[str, set[str]]] = {}
    for path in sorted(source.rglob("*.py")):
        for code, names in emitted_in(path.read_text(encoding="utf-8")).items():
            by_name = found.setdefault(code, {})
            for name in names:
                by_name.setdefault(name, set()).add(str(path.relative_to(source)))
    for code, names in PUT_TOGETHER.items():
        for name in names:
            found.setdefault(code, {}).setdefault(name, set())
    return found
