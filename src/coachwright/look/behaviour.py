"""Whether two builds behave alike, as text and JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coachwright.control.alike import Alike
from coachwright.look.quote import plain

MOST_OUTPUTS = 6
"""Told one by one; more of them usually do the same."""


def behaviour_lines(found: Alike) -> Iterator[str]:
    """What a person reads: proved alike, or what to do and what is seen then."""
    yield "What it does"
    if found.ends == "alike":
        yield "  Proved alike: in no setting does a lamp, a siren or an output do otherwise."
    elif found.ends == "undecided":
        yield plain(f"  Not decided: {found.why}.")
    else:
        yield plain(f"  From power-up at rest: {'; '.join(found.acts) or 'at once'}.")
        for (name, was), (_, now) in list(zip(found.old, found.new, strict=True))[:MOST_OUTPUTS]:
            yield plain(f"    {name}: {was}; now {now}.")
        if len(found.old) > MOST_OUTPUTS:
            yield f"    And {len(found.old) - MOST_OUTPUTS} more."
    if found.left_out:
        yield plain(f"  Only one of them has {', '.join(found.left_out)}: no part of the comparison.")


def behaviour_json(found: Alike) -> dict[str, Any]:
    """The same for programs."""
    return {
        "ends": found.ends,
        "acts": list(found.acts),
        "outputs": [
            {"output": name, "old": was, "new": now} for (name, was), (_, now) in zip(found.old, found.new, strict=True)
        ],
        "why": found.why,
        "left-out": list(found.left_out),
    }
