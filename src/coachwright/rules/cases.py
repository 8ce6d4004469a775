"""The cases beside a pack: a measure as a room could have answered it, and how the rule has to end."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from coachwright.kit.errors import DataWrong
from coachwright.kit.fields import Name, Text
from coachwright.kit.nodes import read_nodes
from coachwright.rules.load import OUR_PACKS
from coachwright.rules.schema import Frozen, RuleCode


class Case(Frozen):
    """One answer of a window and what the rule makes of it.

    value : a quantity with its unit, a word, yes or no; ``none`` for a room that could not measure; ``nobody`` where no
        room is there to be asked. Left out for a clause that a record closes.
    facts : the measure's facts. voltage : at which it was taken.
    expect : how it must end. A draft rule ends as draft, and this is what it would have been.
    """

    name: Text
    rule: RuleCode
    value: Text = ""
    facts: dict[Name, Text] = Field(default_factory=dict)
    expect: Literal["pass", "near", "fail", "open", "not-measured", "not-applicable"]


class Cases(Frozen):
    """A whole cases.yaml."""

    cases: tuple[Case, ...]


def read_cases(pack: str, *, folder: Path = OUR_PACKS) -> tuple[Case, ...]:
    """The cases beside `pack`.

    Raises
    ------
    DataWrong : the file is missing or says something else.
    """
    path = folder / pack / "cases.yaml"
    if not path.is_file():
        raise DataWrong(f"{pack} has no cases.yaml beside its pack.yaml")
    document = read_nodes(path.read_text(encoding="utf-8"), file=f"{pack}/cases.yaml")
    if document.findings:
        raise DataWrong(f"{document.findings[0].where[0]}: {document.findings[0].values.get('what', '')}")
    plain = {"cases": document.plain} if isinstance(document.plain, list) else document.plain
    try:
        return Cases.model_validate(plain).cases
    except ValidationError as error:
        raise DataWrong(f"{pack}/cases.yaml: {error}") from None
