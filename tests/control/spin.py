"""Runs spin on a model: does an assertion fail, and after how few steps?

A search counts only if it is complete: nothing was left out for want of memory, depth or time.
"""

from __future__ import annotations

import re
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

MOST_MB = 400
MOST_DEPTH = 400_000
MOST_S = 60
_COMMON = ("-O0", "-w", "-DSAFETY", "-DNOREDUCE", "-DCOLLAPSE", f"-DMEMLIM={MOST_MB}")
_INCOMPLETE = ("max search depth too small", "reached -DMEMLIM", "out of memory", "pan: out of", "hash-table full")


@dataclass(frozen=True)
class Searched:
    """What spin found.

    state : ``kept`` after a complete search, ``broken``, or ``not run`` with `why`.
    steps_n : of the trace it gives, without the power-up; -1 without one. told : the trace.
    """

    state: Literal["kept", "broken", "not run"]
    why: str = ""
    steps_n: int = -1
    told: tuple[str, ...] = ()
    states_n: int = 0


class SpinFailedError(AssertionError):
    """Spin or the C compiler refuses the model, or something else than the assertion is wrong with it."""


def search(text: str, folder: Path, *, shortest: bool = False) -> Searched:
    """Go through every state. shortest : breadth first, so that the trace found has the fewest steps."""
    model = folder / "story.pml"
    model.write_text(text, encoding="utf-8")
    trail = folder / "story.pml.trail"
    trail.unlink(missing_ok=True)
    _run(folder, "spin", "-a", model.name)
    _run(folder, "gcc", *_COMMON, *(["-DBFS"] if shortest else []), "-o", "pan", "pan.c")
    try:
        said = _run(folder, "./pan", f"-m{MOST_DEPTH}", "-w20", fails=True)
    except subprocess.TimeoutExpired:
        return Searched("not run", "time")
    states = re.search(r"(\d+) states, stored", said)
    states_n = int(states[1]) if states else 0
    if trail.exists():
        if "assertion violated" not in said:
            raise SpinFailedError(said)
        told = tuple(line.strip() for line in _run(folder, "spin", "-t", model.name).splitlines())
        steps_n = sum(line.startswith("STEP") for line in told) - 1
        return Searched(
            "broken", "", steps_n, tuple(line for line in told if line.startswith(("STEP", "READ"))), states_n
        )
    for sign in _INCOMPLETE:
        if sign in said:
            return Searched("not run", sign, states_n=states_n)
    if "errors: 0" not in said or "Search not completed" in said:
        raise SpinFailedError(said)
    return Searched("kept", states_n=states_n)


def _run(folder: Path, *command: str, fails: bool = False) -> str:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=MOST_S, check=False)
    if done.returncode and not fails:
        raise SpinFailedError(f"{' '.join(command)}: {done.stdout[-2000:]}{done.stderr[-2000:]}")
    return done.stdout + done.stderr
