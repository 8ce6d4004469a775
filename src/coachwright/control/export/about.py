"""What does an exported file say of itself: what it is, of which build, and what its numbers mean?

Everything that somebody typed goes through `plain.remark`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import PurePath
from typing import Any

from coachwright.control.export.plain import json_text, remark
from coachwright.control.export.program import Step
from coachwright.control.export.table import block_table, variable_table

HOW_TO_CALL = (
    "Call it once per cycle. in_... is what stands at each source now, lost_... that a source is silent,",
    "elapsed_ms the whole milliseconds since the call before (a whole number: what a conversion from TIME counts in is",
    "up to each maker). The first call is the power-up. Outputs say what burns, and in which pattern; the clock of the",
    "patterns is not in here.",
)
LAST_WORD = (
    "The manual of the controller's maker has the last word on cycle time, watchdog, what happens at a fault, and",
    "what may be read and driven. Test every function on the bench, then on the vehicle, before anybody drives it.",
)


@dataclass(frozen=True, slots=True)
class About:
    """Of one export. cautions : whole sentences, from the one table there is."""

    version: str
    cautions: Sequence[str] = ()


def step_digest(step: Step) -> str:
    """Digest of the step and of what its variables mean: equal in every form of one export."""
    said = [variable_table(step.program), block_table(step.program.body), step.facts]
    return sha256(json_text(said).encode()).hexdigest()


def build_fact(step: Step, about: About) -> dict[str, Any]:
    """Of which build it is."""
    model = step.model
    return {
        "job": model.job.name,
        "file": PurePath(model.file).name,
        "serial": model.serial,
        "digest": model.digest,
        "step-digest": step_digest(step),
        "made-by": f"coachwright {about.version}",
    }


def about_lines(step: Step, about: About) -> list[str]:
    """The head of a file, line by line, ready to stand in remarks."""
    fact = build_fact(step, about)
    of = f"{fact['file']}" + (f", vehicle {fact['serial']}" if fact["serial"] else "")
    lines = [
        f"The control step of {fact['job'] or 'a build'} ({of}), written out by {fact['made-by']}.",
        f"Digest of the build {fact['digest']}",
        f"Digest of the step  {fact['step-digest']}",
        "",
        *HOW_TO_CALL,
        "",
        *LAST_WORD,
        *(f"Caution. {caution}" for caution in about.cautions),
        "",
        "What the numbers of colours mean, shares in hundredths of a percent of the part's full light:",
        *(f"  {show['number']}  {_show_text(show)}" for show in step.facts["shows"]),
        *(
            f"What the numbers of {siren['name']} mean: "
            + ", ".join(f"{number} {tone}" for number, tone in enumerate(siren["tones"], 1))
            for siren in step.facts["sirens"]
        ),
        *(f"Function {each['name']}: rank {each['rank']}{_levels_text(each)}" for each in step.facts["functions"]),
    ]
    return [remark(line) for line in lines]


def _show_text(show: dict[str, Any]) -> str:
    manner = show["pattern"]["text"] if "pattern" in show else show["manner"]
    signal = f" {show['signal']}" if show["signal"] else ""
    return f"{show['colour']} {manner}{signal} {show['sides']}".rstrip() + f", {show['share']}"


def _levels_text(function: dict[str, Any]) -> str:
    levels = [each for each in function["levels"] if each]
    return f", level {', '.join(f'{place} {each}' for place, each in enumerate(levels))}" if levels else ""
