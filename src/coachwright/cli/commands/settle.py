"""Settle what the lead left open (channel, gauge, fuse), and write it to the lock beside the build.

Prints what changes, then writes the lock in one step; run twice it changes nothing. What you fixed yourself stays.
Ends with 0 when everything is settled, 1 when something stays open, 2 when the build has to be mended first.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json
from coachwright.kit.counted import counted

if TYPE_CHECKING:
    from coachwright.build.settling import Change, Settled

app = command_app("settle", __doc__)


@app.default
def run(
    build: Path,
    *,
    anew: Annotated[bool, Parameter(name="--anew", negative="")] = False,
    only_show: Annotated[bool, Parameter(name="--only-show", negative="")] = False,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Settle one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    anew : decide everything again, also what still rests on the same.
    only_show : print what would change, and write nothing.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.build.lock import lock_path, write_lock
    from coachwright.build.settling import SOLVERS, settle
    from coachwright.cli.open_build import opened_alike
    from coachwright.proof.rooms import rooms

    rooms()  # a room brings its solvers when it is opened
    models, lock = opened_alike(path)
    settled = settle(models, lock, SOLVERS, anew=anew)
    where = lock_path(path)
    wrote = False
    if not only_show:
        wrote = write_lock(lock, settled.decisions, path=where, build=path.name)
    if as_json:
        print_json(_as_json(settled, where, wrote=wrote))
    else:
        for line in _lines(settled, where, wrote=wrote, only_show=only_show):
            print(line)
    return 1 if settled.open else 0


def _lines(settled: Settled, where: Path, *, wrote: bool, only_show: bool) -> list[str]:
    lines = [_spoken(change) for change in settled.changes]
    for question, choices in settled.open:
        lines.append(f"  open  the {question.what} of {question.subject}{_with(choices)}: nobody could decide it")
    if not settled.changes:
        told = "Everything is settled as it stands." if settled.decisions else "There is nothing to settle."
        return [*lines, f"{told} {where} {'is written in order again' if wrote else 'was not touched'}."]
    count = counted(len(settled.changes), "change")
    return [*lines, f"{count}; {where} {'was not written' if only_show or not wrote else 'is written'}."]


def _spoken(change: Change) -> str:
    decision = change.after or change.before
    assert decision is not None  # a change has one side at least
    what = f"the {decision.what} of {decision.subject}{_with(decision.choices)}"
    if change.before is None:
        return f"  new   {what} is {decision.value} ({decision.by})"
    if change.after is None:
        return f"  gone  {what}, {decision.value} by {decision.by}: {change.why}"
    if change.before.value == change.after.value:
        return f"  same  {what} is still {decision.value} ({decision.by}): {change.why}"
    return f"  else  {what} is {decision.value} in place of {change.before.value} ({decision.by}): {change.why}"


def _with(choices: tuple[tuple[str, str], ...]) -> str:
    return f" with {' and '.join(f'{option} {value}' for option, value in choices)}" if choices else ""


def _as_json(settled: Settled, where: Path, *, wrote: bool) -> dict[str, Any]:
    def side(decision: Any) -> dict[str, Any] | None:
        if decision is None:
            return None
        return {"value": decision.value, "by": decision.by, "from": decision.decided_from}

    return {
        "lock": str(where),
        "written": wrote,
        "decisions": len(settled.decisions),
        "changes": [
            {
                "about": decision.subject,
                "what": decision.what,
                "with": dict(decision.choices),
                "before": side(change.before),
                "after": side(change.after),
                "why": change.why,
            }
            for change in settled.changes
            if (decision := change.after or change.before) is not None
        ],
        "open": [
            {"about": question.subject, "what": question.what, "with": dict(choices)}
            for question, choices in settled.open
        ],
    }
