"""Where something was written: file, line, column, and the stretch of text itself."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """One stretch of a text file.

    Parameters
    ----------
    file : name of the file as the lead gave it, never made absolute.
    line, column : of the first character, both counted from 1.
    start, end : character offsets into the text, end excluded; an edit splices here.
    """

    file: str
    line: int
    column: int
    start: int = 0
    end: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
