"""What does a schema's complaint mean, in words for a shop lead?"""

from __future__ import annotations

from functools import cache
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from coachwright.build.problem import closest
from coachwright.build.sections.base import Section, as_written
from coachwright.build.trouble import Trouble, listed
from coachwright.kit.nodes import PathPieces

MOST_TROUBLES = 50
"""Of one item."""

_SHAPES = {
    "tuple_type": "A list",
    "list_type": "A list",
    "dict_type": "A list of names, each with a colon,",
    "model_type": "A list of fields, each with a colon,",
    "string_type": "One line of text",
}


def troubles_of(error: ValidationError, section: Section, item: Any) -> tuple[Trouble, ...]:
    """Everything that is wrong with one item; paths begin at the item."""
    details = error.errors(include_url=False)[:MOST_TROUBLES]
    return tuple(_trouble(detail, section, item) for detail in details)


def _trouble(detail: ErrorDetails, section: Section, item: Any) -> Trouble:
    on_key = bool(detail["loc"]) and detail["loc"][-1] == "[key]"
    pieces = [piece for piece in detail["loc"] if piece != "[key]"]
    path = tuple(str(piece + 1) if isinstance(piece, int) else str(piece) for piece in pieces)
    context = detail.get("ctx") or {}
    match detail["type"]:
        case "coachwright":
            code, name = context["code"], context["name"]
            return Trouble(path, code, name, context["why"], context["write"], context["read"], context["near"], on_key)
        case "missing":
            return _missing(path, section)
        case "extra_forbidden":
            return _field_not_known(path, section)
        case "literal_error":
            return _word_not_known(path, detail["input"], str(context["expected"]))
        case "too_short" | "too_long":
            limit = context.get("min_length", context.get("max_length"))
            word = "at least" if "min_length" in context else "at most"
            why = f"This list has {context['actual_length']} items; it takes {word} {limit}."
            return Trouble(path, "BLD-047", "list-length", why, "Write the missing ones." if word == "at least" else "")
        case kind:
            if path and _has_comma_slip(path, item):
                return _field_not_known(path, section)
            why = f"{_SHAPES.get(kind, 'Something else')} belongs here."
            return Trouble(path, "BLD-015", "shape-not-read", why, _example(path, section))


def _missing(path: PathPieces, section: Section) -> Trouble:
    model = _model_at(section.item, path[:-1])
    field = _field(model, path[-1]) if model is not None else None
    said = f" ({field.description})" if field is not None and field.description else ""
    why = f"{path[-1]} is missing{said}."
    example = (
        f" like {path[-1]}: {as_written(field.examples[0])}"
        if field is not None and field.examples
        else f" {path[-1]}:"
    )
    return Trouble(path[:-1], "BLD-013", "field-missing", why, f"Write it{example}.", on_key=True)


def _field_not_known(path: PathPieces, section: Section) -> Trouble:
    word = path[-1]
    model = _model_at(section.item, path[:-1])
    known = tuple(_aliases(model)) if model is not None else ()
    near = closest(word, known)
    write = f"Closest: {near}." if near else f"It takes {listed(known, most=20)}."
    if " " in word:
        write = "Between { and } a comma ends a text: put a text with a comma in quotes."
    return Trouble(
        path, "BLD-012", "field-not-known", f"No field is called {word[:60]} here.", write, word[:80], near, on_key=True
    )


def _has_comma_slip(path: PathPieces, item: Any) -> bool:
    """A text with a comma between { and } leaves a name without a value behind."""
    for piece in path[:-1]:
        item = item.get(piece) if isinstance(item, dict) else None
    return isinstance(item, dict) and " " in path[-1] and item.get(path[-1]) == ""


def _word_not_known(path: PathPieces, word: Any, expected: str) -> Trouble:
    words = [piece.strip(" '\"") for piece in expected.replace(" or ", ", ").split(",")]
    known = [item for item in words if item]
    if not isinstance(word, str):
        return Trouble(path, "BLD-015", "shape-not-read", "One word belongs here.", f"Write {listed(known)}.")
    near = closest(word, known)
    why = f"{word[:40]} isn't one of the words that can stand here." if word else "A word is missing here."
    return Trouble(path, "BLD-014", "word-not-known", why, f"Write {', '.join(known)}.", word[:80], near)


def _example(path: PathPieces, section: Section) -> str:
    model = _model_at(section.item, path[:-1]) if path else None
    field = _field(model, path[-1]) if model is not None else None
    if field is not None and field.examples:
        return f"Write it like {path[-1]}: {as_written(field.examples[0])}."
    inner = _models_in(field.annotation) if field is not None else ()
    model = inner[0] if inner else _model_at(section.item, path)
    return f"Write it like {example_of(model)}." if model is not None else ""


def example_of(model: type[BaseModel]) -> str:
    """The fields that are needed, as they could be written: ``{part: short-red-white, at: grille}``."""
    fields = [(field.alias or name, field) for name, field in model.model_fields.items()]
    needed = [(name, field) for name, field in fields if field.is_required()] or fields[:2]
    return "{" + ", ".join(f"{name}: {as_written((field.examples or ['...'])[0])}" for name, field in needed) + "}"


def _model_at(item: Any, path: PathPieces) -> type[BaseModel] | None:
    """The schema that reads the mapping at `path` of an item; list positions and names of entries lead nowhere else."""
    models = _models_in(item)
    for piece in path:
        for model in models:
            field = _field(model, piece)
            if field is not None:
                models = _models_in(field.annotation)
                break
            if model.model_config.get("extra") == "allow":
                models = _models_in(model.__annotations__.get("__pydantic_extra__"), model)
                break
    return models[0] if models else None


@cache
def _aliases(model: type[BaseModel]) -> dict[str, str]:
    return {field.alias or name: name for name, field in model.model_fields.items()}


def _field(model: type[BaseModel], alias: str) -> Any:
    name = _aliases(model).get(alias)
    return None if name is None else model.model_fields[name]


def _models_in(annotation: Any, owner: type[BaseModel] | None = None) -> tuple[type[BaseModel], ...]:
    if isinstance(annotation, str) and owner is not None:
        from typing import get_type_hints

        annotation = get_type_hints(owner).get("__pydantic_extra__")
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return (annotation,)
    return tuple(model for inner in get_args(annotation) for model in _models_in(inner))
