"""Which wires and fuses break a rule all the same: fixed by the lead, or nothing larger is to be had?

Findings PWR-060 to PWR-064. What the solver sized breaks nothing as long as the shelf has something large enough.

See Also
--------
coachwright.power.sizes : where they come from.
"""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Model
from coachwright.kit.finding import Finding, Fix, Quantity
from coachwright.power.ends import ends_of
from coachwright.power.relays import relays_of
from coachwright.power.size import Held, SizedWire
from coachwright.power.sizes import Sized, gauge_name, sized

_BEARS = {
    "heat": "carry what flows through it",
    "hours": "carry what runs for hours",
    "bursts": "bear the bursts of its pattern",
    "surge": "bear the surge at switching on",
}


def findings_sizes(model: Model) -> tuple[Finding, ...]:
    """Wires, fuses, relays, terminals; each wire once, with the rule it breaks most."""
    found = sized(model)
    return (*_wires(model, found), *_fuses(found), *_relays(model), *_terminals(model))


def _wires(model: Model, found: tuple[Sized, ...]) -> Iterator[Finding]:
    told: set[tuple[str, str]] = set()
    for each in found:
        for wire in each.sized.wires:
            if not wire.fails:
                continue
            worst = max(wire.fails, key=lambda held: held.share)
            if (wire.need.path, worst.rule) in told:
                continue
            told.add((wire.need.path, worst.rule))
            yield Finding(
                "PWR-060",
                "wire-breaks-rule",
                "warning",
                "{subject} has {gauge}: {why}",
                {"subject": wire.need.subject, "gauge": gauge_name(wire.wire), "why": _why(model, each, wire, worst)},
                about=wire.need.path,
                fix=Fix(
                    "Take the gauge out of fixed and let settle choose, or fix a larger one."
                    if wire.governed_by == "fixed"
                    else "Nothing thicker is on the shelf: split the load, or lead it where it is cooler or shorter."
                ),
            )


def _why(model: Model, each: Sized, wire: SizedWire, worst: Held) -> str:
    need = wire.need
    match worst.rule:
        case "drop":
            may_v = need.drop_share * need.supply_v
            return f"it loses {wire.drop_v:.2f} V at {need.supply_v:g} V, and {may_v:.2f} V may be lost there."
        case "ampacity":
            return f"it carries {wire.carries_a:.1f} A on its way, and {need.effective_a:.1f} A flow."
        case "fuse":
            return f"by the rule of {model.job.fuse_rule} % its fuse, {each.sized.fuse.rating_a:g} A, is too large."
        case "short":
            return f"in a short its fuse of {each.sized.fuse.rating_a:g} A lets more through than it bears."
        case "gauge":
            return "it is thinner than a wire may be that lies so."
        case _:
            return "it breaks a rule."


def _fuses(found: tuple[Sized, ...]) -> Iterator[Finding]:
    for each in found:
        fuse, path = each.sized.fuse, each.sized.wires[0].need.path
        does_not = [_BEARS[name] for name in fuse.broken if name in _BEARS]
        if does_not:
            yield Finding(
                "PWR-061",
                "fuse-does-not-bear",
                "warning",
                "The fuse of {circuit}, {rating} A, doesn't {what}.",
                {"circuit": each.hung.circuit.name, "rating": f"{fuse.rating_a:g}", "what": " nor ".join(does_not)},
                about=path,
                fix=Fix("Take it out of fixed and let settle choose, or split the load."),
            )
        elif "selective" in fuse.broken:
            yield Finding(
                "PWR-062",
                "fuse-not-selective",
                "note",
                "The fuse of {circuit}, {rating} A, may open before the {behind} A behind it.",
                {
                    "circuit": each.hung.circuit.name,
                    "rating": f"{fuse.rating_a:g}",
                    "behind": f"{each.hung.circuit.behind_a:g}",
                },
                about=path,
                fix=Fix("Nothing, if all that hangs there may go out together; else split the load."),
            )


def _relays(model: Model) -> Iterator[Finding]:
    for relay in relays_of(model):
        if relay.part is None and relay.current_a is not None:
            yield Finding(
                "PWR-063",
                "no-relay-carries-it",
                "warning",
                "{subject} takes {current}, and no relay on the shelf switches that for good.",
                {"subject": relay.subject, "current": Quantity(relay.current_a, "current")},
                about=relay.path,
                fix=Fix("Split the load, or take a contactor into the shop's catalogue."),
            )


def _terminals(model: Model) -> Iterator[Finding]:
    told: set[str] = set()
    for end in ends_of(model):
        if end.part is None and end.wire.name not in told:
            told.add(end.wire.name)
            yield Finding(
                "PWR-064",
                "no-terminal-fits",
                "warning",
                "No terminal on the shelf takes {wire}, which ends at {place}.",
                {"wire": gauge_name(end.wire), "place": end.place},
                about=end.path,
                fix=Fix("Take one for that wire into the shop's catalogue."),
            )
