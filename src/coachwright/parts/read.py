"""What does one part file say, and what is wrong with it, at which line?

Stages: the text itself, its fields, then what the fields say about each other. A stage tells all that is wrong at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from coachwright.kit.errors import DoorRefused
from coachwright.kit.finding import Finding, Fix
from coachwright.kit.mark import Mark
from coachwright.kit.near import nearest
from coachwright.kit.nodes import Document, read_nodes
from coachwright.parts import base
from coachwright.parts.beside import Beside, measured
from coachwright.parts.checks import part_problems
from coachwright.parts.problem import PartProblem
from coachwright.parts.schema import KINDS, AnyPart

MOST_CHARACTERS = 400_000
"""A part file is a page or two; a body with its drawing a dozen."""


@dataclass(frozen=True, slots=True)
class PartRead:
    """A part file that was read. `part` is None when an error stands in the way; a doubt is told beside the part."""

    part: AnyPart | None
    findings: tuple[Finding, ...]


def read_part(text: str, *, file: str, beside: tuple[Beside, ...] | None = None) -> PartRead:
    """Read the text of one part file; `file` is its name as marks show it.

    beside : the photometric files it names; None where nobody looked for them, and then its light stays unmeasured.
    """
    if len(text) > MOST_CHARACTERS:
        return PartRead(None, (too_large(file),))
    try:
        document = read_nodes(text, file=file)
    except DoorRefused as refused:
        return PartRead(None, (refused_whole(file, str(refused)),))
    problems: tuple[PartProblem, ...] = ()
    part: AnyPart | None = None
    if not document.findings:
        part, problems = _fields(document.plain)
        if part is not None:
            problems = part_problems(part)
    from_files: tuple[Finding, ...] = ()
    if part is not None and beside is not None and not any(each.severity == "error" for each in problems):
        lit = measured(part, beside)
        part, problems, from_files = lit.part, (*problems, *lit.problems), lit.findings
    findings = (*document.findings, *(_finding(problem, document) for problem in problems), *from_files)
    stopped = any(each.severity == "error" for each in findings)
    return PartRead(None if stopped else part, findings)


def too_large(file: str) -> Finding:
    """The file is longer than any part is."""
    why = f"{file} is longer than {MOST_CHARACTERS:,} characters; a part is a page or two."
    return Finding(
        "PRT-001",
        "part-file-too-large",
        "error",
        "{why}",
        {"why": why},
        where=(Mark(file, 1, 1),),
        fix=Fix("Keep one part in one file, and its photometry beside it."),
    )


def refused_whole(file: str, why: str) -> Finding:
    """The file can't be read at all."""
    return Finding("PRT-007", "part-file-not-readable", "error", "{why}", {"why": why}, where=(Mark(file, 1, 1),))


def _fields(plain: Any) -> tuple[AnyPart | None, tuple[PartProblem, ...]]:
    if not isinstance(plain, dict):
        return None, (
            PartProblem(
                (),
                "PRT-012",
                "shape-not-read",
                "A part file is a list of names and values.",
                "Begin with kind, name and title.",
            ),
        )
    kind = plain.get("kind")
    model = KINDS.get(kind) if isinstance(kind, str) else None
    if model is None:
        return None, (_kind_not_known(kind),)
    try:
        return model.model_validate(plain), ()
    except ValidationError as error:
        return None, tuple(_problem(detail, plain) for detail in error.errors(include_url=False))


def _kind_not_known(kind: object) -> PartProblem:
    known = ", ".join(KINDS)
    if not isinstance(kind, str) or not kind:
        return PartProblem(
            (),
            "PRT-008",
            "kind-missing",
            "It doesn't say what kind of part this is.",
            f"Write kind: and one of {known}.",
        )
    close = nearest(kind, KINDS)
    return PartProblem(
        ("kind",),
        "PRT-008",
        "kind-not-known",
        f"No kind of part is called {kind[:40]}.",
        f"Write one of {known}.",
        close[0] if close else "",
    )


def _problem(detail: ErrorDetails, plain: Any) -> PartProblem:
    path = tuple(
        str(piece + 1) if isinstance(piece, int) else str(piece) for piece in detail["loc"] if piece != "[key]"
    )
    on_key = bool(detail["loc"]) and detail["loc"][-1] == "[key]"
    context = detail.get("ctx") or {}
    match detail["type"]:
        case "coachwright":
            return PartProblem(
                path, context["code"], context["name"], context["why"], context["write"], context["near"], on_key
            )
        case "missing":
            return PartProblem(
                path[:-1],
                "PRT-010",
                "field-missing",
                f"{path[-1]} is missing.",
                f"Write {path[-1]}: and its value.",
                on_key=True,
            )
        case "extra_forbidden":
            return _field_not_known(path, plain)
        case "literal_error":
            return _word_not_known(path, str(detail["input"]), str(context["expected"]), on_key=on_key)
        case "too_short" | "too_long":
            limit = context.get("min_length", context.get("max_length"))
            word = "at least" if "min_length" in context else "at most"
            return PartProblem(
                path,
                "PRT-013",
                "count-not-possible",
                f"This list has {context['actual_length']} items.",
                f"It takes {word} {limit}.",
            )
        case _:
            what = {
                "tuple_type": "A list",
                "dict_type": "A list of names and values",
                "model_type": "A list of names and values",
            }
            why = f"{what.get(detail['type'], 'Something else')} belongs here."
            return PartProblem(
                path, "PRT-012", "shape-not-read", why, "See the parts that come with coachwright for an example."
            )


def _field_not_known(path: tuple[str, ...], plain: Any) -> PartProblem:
    known = _top_fields(plain["kind"]) if len(path) == 1 else _inner_fields()
    close = nearest(path[-1], known)
    write = f"Closest: {close[0]}." if close else "See the parts that come with coachwright for what can be said here."
    if " " in path[-1]:
        write = "Between { and } a comma ends the text before it: put a text with a comma in quotes."
    return PartProblem(
        path,
        "PRT-009",
        "field-not-known",
        f"No field is called {path[-1][:40]} here.",
        write,
        close[0] if close else "",
        on_key=True,
    )


def _top_fields(kind: str) -> tuple[str, ...]:
    return tuple(name.replace("_", "-") for name in KINDS[kind].model_fields)


@cache
def _inner_fields() -> tuple[str, ...]:
    classes = [one for one in _all_below(base.Frozen) if not issubclass(one, base.PartBase)]
    return tuple(sorted({field.alias or name for one in classes for name, field in one.model_fields.items()}))


def _all_below(one: type[base.Frozen]) -> Iterator[type[base.Frozen]]:
    for below in one.__subclasses__():
        yield below
        yield from _all_below(below)


def _word_not_known(path: tuple[str, ...], word: str, expected: str, *, on_key: bool) -> PartProblem:
    words = [piece.strip(" '\"") for piece in expected.replace(" or ", ", ").split(",")]
    close = nearest(word, [item for item in words if item])
    return PartProblem(
        path,
        "PRT-011",
        "word-not-known",
        f"{word[:40] or 'Nothing'} is not one of the words that can stand here.",
        f"Write {', '.join(item for item in words if item)}.",
        close[0] if close else "",
        on_key,
    )


def _finding(problem: PartProblem, document: Document) -> Finding:
    mark = document.mark(problem.path, key=problem.on_key and bool(problem.path))
    path = problem.path
    while mark is None and path:
        path = path[:-1]
        mark = document.mark(path, key=bool(path))
    values = {"why": problem.why, "near": problem.near} if problem.near else {"why": problem.why}
    return Finding(
        problem.code,
        problem.name,
        problem.severity,
        "{why}",
        values,
        about=".".join(problem.path),
        where=(mark or Mark(document.file, 1, 1),),
        fix=Fix(problem.write) if problem.write else None,
    )
