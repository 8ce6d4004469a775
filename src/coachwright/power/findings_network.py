"""What of a network does the lead have to know? Loads that hang on nothing, and loads that brown out.

Findings PWR-040 (load-on-no-feed), PWR-041 (load-browns-out). The names of sinks are build paths, so that a finding can
say where it belongs; the names of branches are what the shop calls the wire.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.power.network import Branch, Sink, Solved, Source, islands

_MOST_NAMED = 3


def findings_network(
    nodes_n: int,
    branches: Sequence[Branch],
    sources: Sequence[Source],
    sinks: Sequence[Sink],
    solved: Solved,
    *,
    situation: str = "",
) -> tuple[Finding, ...]:
    """What is wrong with a network that was solved, in the order of its loads; each load is told once.

    situation : in which it was solved, or "".
    """
    return (
        *_not_fed(nodes_n, branches, sources, sinks, solved),
        *_browned_out(sinks, solved, f" in {situation}" if situation else ""),
    )


def _not_fed(
    nodes_n: int, branches: Sequence[Branch], sources: Sequence[Source], sinks: Sequence[Sink], solved: Solved
) -> Iterator[Finding]:
    pieces = islands(nodes_n, branches, sources)
    for sink in sinks:
        lost = next((node for node in (sink.node, sink.back) if not solved.fed[node]), None)
        if lost is None:
            continue
        piece = set(next((found for found in pieces if lost in found), ()))
        wires = [branch.name for branch in branches if branch.name and {branch.a, branch.b} & piece]
        named = ", ".join(wires[:_MOST_NAMED]) if wires else "no wire at all"
        yield Finding(
            "PWR-040",
            "load-on-no-feed",
            "error",
            "{load} hangs on {wires}, and from there nothing leads {way}.",
            {
                "load": sink.name,
                "wires": named,
                "way": "to a battery" if lost == sink.node else "back to the battery",
            },
            about=sink.name,
            fix=Fix("Give it a feed and a ground point that are joined to the battery."),
        )


def _browned_out(sinks: Sequence[Sink], solved: Solved, where: str) -> Iterator[Finding]:
    for number, sink in enumerate(sinks):
        states = np.flatnonzero(solved.browned_out[:, number])
        if not states.size or not (solved.fed[sink.node] and solved.fed[sink.back]):
            continue
        worst_v = float(solved.across_v[states, number].min())
        yield Finding(
            "PWR-041",
            "load-browns-out",
            "error",
            "{load} gets {voltage}{where}, in {states} of {all} pictures of what is on{least}.",
            {
                "load": sink.name,
                "voltage": Quantity(worst_v, "voltage"),
                "where": where,
                "states": int(states.size),
                "all": len(solved.browned_out),
                "least": f"; it works down to {sink.least_v:g} V" if sink.least_v else ": it can't stand there",
            },
            about=sink.name,
            value=Quantity(worst_v, "voltage"),
            limit=Quantity(sink.least_v, "voltage") if sink.least_v else None,
            margin=Quantity(worst_v - sink.least_v, "voltage") if sink.least_v else None,
            fix=Fix("Thicker or shorter wire there and back, or fewer loads on the same feed."),
        )
