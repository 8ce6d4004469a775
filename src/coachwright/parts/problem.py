"""What is wrong at one path of a part file, before it is known where in the text that stands."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PartProblem:
    """One thing that can't be read in a part file, or can't be so.

    Parameters
    ----------
    path : pieces within the file, list items counted from 1.
    code, name : as of a finding (``PRT-031``, ``heads-out-of-order``).
    why : a sentence for a shop lead. write : a sentence with what to write, or "".
    near : the closest known name, or "".
    on_key : the name itself is what is wrong, not the value behind it.
    """

    path: tuple[str, ...]
    code: str
    name: str
    why: str
    write: str = ""
    near: str = ""
    on_key: bool = False
