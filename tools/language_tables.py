"""Write the tables of docs/language.md from what the sections of a build say of themselves.

    python tools/language_tables.py            write them
    python tools/language_tables.py --check    say whether they are up to date, and write nothing

A table stands between a line ``<!-- table of NAME -->`` and the next ``<!-- end of table -->``; everything else on the
page is written by hand.
"""

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from coachwright.build.language import NEEDED, SECTIONS
from coachwright.build.sections.base import as_written

HERE = Path(__file__).resolve().parent.parent
PAGE = HERE / "docs" / "language.md"
_TABLE = re.compile(r"(<!-- table of ([a-z-]+) -->\n).*?(<!-- end of table -->)", re.DOTALL)


def table_of_sections() -> str:
    """Every section and the question it answers, in the order in which a file is read most easily."""
    lines = ["| section | what you answer there |", "|---|---|"]
    for section in SECTIONS.values():
        needed = " **(needed)**" if section.name in NEEDED else ""
        lines.append(f"| [`{section.name}`](#{section.name}) | {section.question}{needed} |")
    return "\n".join(lines)


def table_of(name: str) -> str:
    """Every word of one section: what it says, what it is when it isn't written, and how it is written."""
    lines = ["| word | what it says | left away | like |", "|---|---|---|---|"]
    for owner, model in _models(SECTIONS[name].item):
        if owner:
            lines.append(f"| *in `{owner}`* | | | |")
        for field_name, field in model.model_fields.items():
            lines.append(_row(field.alias or field_name, field))
        extra = get_type_hints(model).get("__pydantic_extra__")
        if extra is not None and model.model_config.get("extra") == "allow":
            inner = next(iter(_own_models(extra)), None)
            said = _first_sentence(inner) if inner is not None else "a control, signal or memory, and its value"
            lines.append(f"| *a name of your own* | {said} | | |")
    return "\n".join(lines)


def _row(name: str, field: FieldInfo) -> str:
    choices = _choices(field.annotation)
    said = field.description or ""
    if choices:
        said += f" ({', '.join(f'`{word}`' for word in choices)})"
    shown = ", ".join(f"`{name}: {as_written(example)}`" for example in field.examples or ())
    cells = (f"`{name}`", said, _left_away(field), shown)
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


def _left_away(field: FieldInfo) -> str:
    """What holds where the word isn't written."""
    if field.is_required():
        return "**needed**"
    value = field.default
    if value is False:
        return "`no`"
    if isinstance(value, str) and value:
        return f"`{value}`"
    if isinstance(value, int | float) and not isinstance(value, bool) and value:
        return f"`{value:g}`"
    return ""


def _choices(annotation: Any) -> tuple[str, ...]:
    """Words of a field that takes one of a few."""
    if get_origin(annotation) is Literal:
        return tuple(word for word in get_args(annotation) if word)
    inner = [each for each in get_args(annotation) if each is not type(None)]
    return _choices(inner[0]) if len(inner) == 1 else ()


def _models(item: Any) -> Iterator[tuple[str, type[BaseModel]]]:
    """Every schema of a section once, with the words it stands behind ("" for the section's own)."""
    found: dict[type[BaseModel], list[str]] = {}
    waiting = [("", model) for model in _own_models(item)]
    while waiting:
        owner, model = waiting.pop(0)
        if model in found:
            if owner not in found[model]:
                found[model].append(owner)
            continue
        found[model] = [owner]
        for name, field in model.model_fields.items():
            waiting += [(field.alias or name, inner) for inner in _own_models(field.annotation)]
        extra = get_type_hints(model).get("__pydantic_extra__")
        waiting += [("a name of your own", inner) for inner in _own_models(extra)]
    for model, owners in found.items():
        yield "` and `".join(owners), model


def _own_models(annotation: Any) -> list[type[BaseModel]]:
    """Schemas named in an annotation itself."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for inner in get_args(annotation) for model in _own_models(inner)]


def _first_sentence(model: type[BaseModel]) -> str:
    text = " ".join((model.__doc__ or "").split())
    return (text[:1].lower() + text[1:]).partition(".")[0]


def page(text: str) -> str:
    """The page with every table anew."""

    def fill(found: re.Match[str]) -> str:
        name = found[2]
        table = table_of_sections() if name == "sections" else table_of(name)
        return f"{found[1]}{table}\n{found[3]}"

    return _TABLE.sub(fill, text)


def main(arguments: list[str]) -> int:
    before = PAGE.read_text(encoding="utf-8")
    text = page(before)
    if "--check" in arguments:
        fresh = text == before
        print(f"{PAGE.relative_to(HERE)} is {'up to date' if fresh else 'behind: run python tools/language_tables.py'}")
        return 0 if fresh else 1
    PAGE.write_text(text, encoding="utf-8")
    print(PAGE.relative_to(HERE))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
