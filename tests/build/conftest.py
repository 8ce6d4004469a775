"""Cases of the file door carry their YAML in the docstring of the test, and under each line what is found there.

    lamps:
      corner: {part: short-red, at: grille, pair: mirrored, aim: 45}
    #                                                            ^^ BLD-004 of what?

The carets mark the characters, behind them stand the code and (if wanted) words that the finding or its mend must hold.
`# 1: BLD-016 ...` stands for a finding that begins in column 1. A line may have several such comments beneath it. The
sections of the docstring take the place of those of a good build (tests/build/small.py); with `raw` they are the file.
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

import pytest

from coachwright.build.load import Loaded, read_build
from coachwright.kit.finding import Finding
from coachwright.parts.store import Catalogue
from tests.build import small

CARETS = re.compile(r"#(?P<lead> *)(?P<carets>\^+|(?P<column>[0-9]+):) (?P<code>[A-Z]{3}-[0-9]{3})(?: (?P<words>.*))?")
_SECTION = re.compile(r"^([a-z][a-z-]*):", re.MULTILINE)


@dataclass(frozen=True)
class Expected:
    """A finding as a docstring says it: line, column, width (0 when not said), code, words it must hold."""

    line: int
    column: int
    width: int
    code: str
    words: str


@dataclass(frozen=True)
class Case:
    """A docstring's YAML, read."""

    text: str
    loaded: Loaded
    expected: tuple[Expected, ...]

    def found(self) -> list[Expected]:
        """What was found, in the words of `Expected`."""
        seen = []
        for finding in self.loaded.findings:
            mark = finding.where[0]
            seen.append(Expected(mark.line, mark.column, max(1, mark.end - mark.start), finding.code, spoken(finding)))
        return seen


def spoken(finding: Finding) -> str:
    """All a finding says."""
    return f"{finding.values.get('why', '')} {finding.fix.sentence if finding.fix else ''}"


def check_case(case: Case) -> None:
    """Exactly the findings that are expected, each at its place, with its words."""
    found = case.found()
    listed = "\n".join(f"  {each.line}:{each.column}+{each.width} {each.code} {each.words}" for each in found)
    numbered = "\n".join(f"{n:3} {line}" for n, line in enumerate(case.text.splitlines(), 1))
    told = f"found:\n{listed}\nin:\n{numbered}"
    left = list(found)
    for due in case.expected:
        fits = [
            each
            for each in left
            if (each.line, each.column, each.code) == (due.line, due.column, due.code)
            and (not due.width or each.width == due.width)
            and due.words in each.words
        ]
        assert fits, f"not found: {due}\n{told}"
        left.remove(fits[0])
    assert not left, f"not expected: {left}\n{told}"


def expected_in(text: str) -> tuple[Expected, ...]:
    """What the comments of a text expect."""
    found, line = [], 0
    for number, written in enumerate(text.splitlines(), 1):
        match = CARETS.fullmatch(written.rstrip())
        if match is None:
            line = number
        elif match["column"]:
            found.append(Expected(line, int(match["column"]), 0, match["code"], match["words"] or ""))
        else:
            column = len(match["lead"]) + 2
            found.append(Expected(line, column, len(match["carets"]), match["code"], match["words"] or ""))
    return tuple(found)


def yaml_of(docstring: str) -> str:
    """The indented block of a docstring."""
    _, _, block = docstring.partition("\n\n")
    return textwrap.dedent(block).strip("\n") + "\n"


def written_over(block: str) -> str:
    """The good build with the sections of `block` in the place of its own, last."""
    own = set(_SECTION.findall(block))
    kept = [text for name, text in small.BASE.items() if name not in own]
    return "\n".join([*kept, block])


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The small vehicle and its parts."""
    return small.small_catalogue()


@pytest.fixture
def case(request: pytest.FixtureRequest, catalogue: Catalogue) -> Case:
    """The docstring's sections, over a good build."""
    text = written_over(yaml_of(request.function.__doc__))
    return Case(text, read_build(text, file="build.yaml", catalogue=catalogue), expected_in(text))


@pytest.fixture
def raw(request: pytest.FixtureRequest, catalogue: Catalogue) -> Case:
    """The docstring's YAML alone."""
    text = yaml_of(request.function.__doc__)
    return Case(text, read_build(text, file="build.yaml", catalogue=catalogue), expected_in(text))
