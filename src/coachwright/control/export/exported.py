"""The files of an export, each read back and proved before it is given.

See Also
--------
coachwright.control.export.proof : what is proved.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Literal

from coachwright.build.model import Model
from coachwright.control.export.about import HOW_TO_CALL, LAST_WORD, About, build_fact
from coachwright.control.export.es_module import es_module, read_es_module
from coachwright.control.export.plain import json_text
from coachwright.control.export.program import Step, step_of
from coachwright.control.export.proof import Same, prove_same
from coachwright.control.export.structured_text import read_structured_text, structured_text
from coachwright.control.export.table import FORMAT, FORMAT_VERSION, block_table, read_table, variable_table
from coachwright.control.export.terms import Program
from coachwright.kit.errors import CoachwrightError

Form = Literal["st", "json", "js"]
SCHEMA = "step.schema.json"


@dataclass(frozen=True, slots=True)
class Exported:
    """The files by name, and what was proved of the step in them."""

    files: Mapping[str, str]
    same: Same


def json_table(step: Step, about: About) -> str:
    """The table."""
    return json_text(
        {
            "$schema": SCHEMA,
            "format": FORMAT,
            "version": FORMAT_VERSION,
            "build": build_fact(step, about),
            "how-to-call": " ".join(HOW_TO_CALL),
            "cautions": [" ".join(LAST_WORD), *about.cautions],
            "meaning": step.facts,
            "variables": variable_table(step.program),
            "step": block_table(step.program.body),
        },
        indent=1,
    )


def table_schema() -> str:
    """The JSON Schema of the table."""
    return (files(__package__) / SCHEMA).read_text(encoding="utf-8")


_WRITE: Mapping[Form, tuple[str, Callable[[Step, About], str], Callable[[str], Program]]] = {
    "st": ("step.st", structured_text, read_structured_text),
    "json": ("step.json", json_table, read_table),
    "js": ("step.mjs", es_module, read_es_module),
}


def exported(model: Model, form: Form, about: About) -> Exported:
    """The step of a build in one form.

    Raises
    ------
    CoachwrightError : what stands in the file doesn't do what the machine does.
    """
    step = step_of(model)
    name, write, read = _WRITE[form]
    text = write(step, about)
    same = prove_same(step, read(text))
    if same.differs:
        raise CoachwrightError(
            f"{name} isn't written: read back, it doesn't do what the build says ({'; '.join(same.differs[:3])})."
        )
    beside = {SCHEMA: table_schema()} if form == "json" else {}
    return Exported({name: text, **beside}, same)
