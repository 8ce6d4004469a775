"""The language of a build as JSON Schema, for editors that complete and check as one writes.

It says what `build.sections` say: every section with its question, every field with its help, and refuses unknown ones.
What names mean (does this lamp exist?) no schema can say; that is for `check`. The door reads every scalar as text;
editors read some of them as numbers or truths, so those are let through where they are spelled right.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from coachwright.build.language import NEEDED, SECTIONS
from coachwright.build.sections.base import Section
from coachwright.kit.fields import NAME

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_TEXT = ["string", "number", "boolean"]
_TRUTHS = {"yes": True, "no": False, "on": True, "off": False}


def json_schema() -> dict[str, Any]:
    """The schema of a whole build file (JSON Schema 2020-12). A fresh copy each time."""
    definitions: dict[str, Any] = {}
    properties = {name: _section(section, definitions) for name, section in SECTIONS.items()}
    return {
        "$schema": DIALECT,
        "title": "coachwright build",
        "description": "One job: a vehicle, what is fitted to it, and what it does. Every value is text.",
        "type": "object",
        "properties": properties,
        "required": list(NEEDED),
        "additionalProperties": False,
        "$defs": dict(sorted(definitions.items())),
    }


def _section(section: Section, definitions: dict[str, Any]) -> dict[str, Any]:
    item = _item(section.name, definitions)
    said = {"description": section.question, "examples": [section.example]}
    match section.shape:
        case "one":
            return {**said, "allOf": [item]} if "$ref" in item else {**item, **said}
        case "entries":
            names = {"pattern": f"^[a-z](?:{NAME.pattern})?$", "maxLength": 64}
            if section.keys == "numbers":
                names = {"pattern": "^[1-9][0-9]{0,4}$"}
            elif section.keys == "paths":
                names = {"pattern": rf"^[a-z](?:{NAME.pattern})?(?:\.{NAME.pattern})*$", "maxLength": 200}
            entries = {"type": "object", "propertyNames": names, "additionalProperties": item}
            return {**said, "anyOf": [entries, {"const": ""}]}
        case _:
            return {**said, "anyOf": [{"type": "array", "items": item, "uniqueItems": True}, item, {"const": ""}]}


def _item(section: str, definitions: dict[str, Any]) -> dict[str, Any]:
    schema = _as_text(TypeAdapter(SECTIONS[section].item).json_schema(by_alias=True, mode="validation"))
    inner: dict[str, Any] = schema.pop("$defs", {})
    renamed = {name: f"{section}.{name}" for name in inner}
    for name, definition in inner.items():
        definitions[renamed[name]] = _renamed(definition, renamed)
    title = schema.get("title")
    whole: dict[str, Any] = _renamed(schema, renamed)
    if title is None or schema.get("type") != "object":
        return whole
    definitions[f"{section}.{title}"] = whole
    return {"$ref": f"#/$defs/{section}.{title}"}


def _as_text(schema: Any) -> Any:
    """The schema as files are read: numbers and truths are text, and one item may stand for a list of one."""
    if isinstance(schema, list):
        return [_as_text(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: _as_text(value) for key, value in schema.items() if key != "default"}
    if found.get("type") in ("string", "integer", "number", "boolean"):
        found["type"] = _TEXT
    if "enum" in found:
        found["enum"] = [*found["enum"], *(each for word in found["enum"] for each in _read_as(word))]
    if found.get("type") == "null":
        return {"not": {}}
    if found.get("type") == "array" and isinstance(found.get("items"), dict) and "$ref" in found["items"]:
        said = {key: found.pop(key) for key in ("title", "description", "examples") if key in found}
        return {**said, "anyOf": [found, found["items"]]}
    return found


def _read_as(word: Any) -> list[Any]:
    """What an editor makes of a word that YAML takes for something else."""
    if word in _TRUTHS:
        return [_TRUTHS[word]]
    return [int(word)] if isinstance(word, str) and word.isdecimal() else []


def _renamed(schema: Any, renamed: dict[str, str]) -> Any:
    if isinstance(schema, list):
        return [_renamed(item, renamed) for item in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: _renamed(value, renamed) for key, value in schema.items()}
    reference = found.get("$ref")
    if isinstance(reference, str):
        found["$ref"] = f"#/$defs/{renamed[reference.removeprefix('#/$defs/')]}"
    return found
