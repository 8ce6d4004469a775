"""Single calculations: what do axles, labels and mounts carry?"""

from __future__ import annotations

from coachwright.body import label, mass, restraint
from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    NUMBER,
    POSITIVE,
    YES_NO,
    InputRefused,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    many,
    one,
    reckoner,
)

_STATICS = Source("Statics, textbooks of vehicle dynamics", state="common practice")
_SCALE = "A scale has the last word; keep every axle within the ratings on the vehicle's own label."


@reckoner(
    room="body",
    name="axle-loads",
    title="What the axles carry with items added",
    keys=(
        one("wheelbase", "length", "between the axles", example="132 in", bounds=POSITIVE),
        one("front", "mass", "on the front axle before", example="3400 lb", bounds=NOT_NEGATIVE),
        one("rear", "mass", "on the rear axle before", example="3100 lb", bounds=NOT_NEGATIVE),
        many(
            "items",
            (Part("mass"), Part("length")),
            "mass and distance behind the front axle; before it is negative",
            example="45 lb @ 60 in, 400 lb @ 156 in",
        ),
    ),
    results=(
        Result("front", "lb", "mass", "on the front axle"),
        Result("rear", "lb", "mass", "on the rear axle"),
        Result("total", "lb", "mass", "both"),
        Result("front_change", "lb", "mass", "by the items"),
        Result("rear_change", "lb", "mass", "by the items"),
    ),
    formula="rear = sum(w x) / wheelbase;  front = sum(w) - rear",
    valid="Standing on level ground, two axles. An item behind the rear axle lifts the front.",
    sources=(_STATICS,),
    caution=_SCALE,
)
def axle_loads(*, wheelbase: float, front: float, rear: float, items: tuple[tuple[float, float], ...]) -> Outcome:
    """Loads and changes of both axles."""
    loads = mass.axle_loads(wheelbase_m=wheelbase, front_kg=front, rear_kg=rear, items=items)
    notes: tuple[str, ...] = ()
    if min(loads.front_kg, loads.rear_kg) < 0.0:
        notes = ("An axle would leave the ground: check the distances.",)
    values: dict[str, Value] = {
        "front": loads.front_kg,
        "rear": loads.rear_kg,
        "total": loads.total_kg,
        "front_change": loads.front_kg - front,
        "rear_change": loads.rear_kg - rear,
    }
    return Outcome(values, notes)


@reckoner(
    room="body",
    name="label-trigger",
    title="Whether added weight asks for a corrected load label",
    keys=(
        one("gvwr", "mass", "gross vehicle weight rating", example="7100 lb", bounds=POSITIVE),
        one("added", "mass", "between certification and first retail sale", example="85 lb", bounds=NOT_NEGATIVE),
    ),
    results=(
        Result("limit", "lb", "mass", "that may be added without"),
        Result("triggers", "yes/no", YES_NO, "whether more was added"),
    ),
    formula="limit = the lesser of 1.5 % of the GVWR and 100 lb",
    valid="United States, GVWR of 10,000 lb or less. The 1.5 % governs below 6,667 lb.",
    sources=(),
    caution="Whoever alters a certified vehicle before its first sale may owe it a label of his own (49 CFR 567.7).",
)
def label_trigger(*, gvwr: float, added: float) -> Outcome:
    """Limit and answer."""
    rule = label.label_rule()
    limit_kg = label.label_limit_kg(gvwr, rule=rule)
    notes: tuple[str, ...] = ()
    if gvwr > rule.most_gvwr_kg * (1.0 + 1e-9):
        notes = ("Above 10,000 lb GVWR this rule doesn't hold.",)
    over = added > limit_kg * (1.0 + 1e-9)
    return Outcome({"limit": limit_kg, "triggers": over}, notes, sources=(source_of(rule.cite),))


@reckoner(
    room="body",
    name="hold-load",
    title="Force a mount has to hold in a crash",
    keys=(
        one("mass", "mass", "of what is mounted", example="44 lb", bounds=POSITIVE),
        one("peak", "acceleration", "deceleration the job asks for", example="9 g", bare_unit="g", bounds=NOT_NEGATIVE),
        one("factor", NUMBER, "1.5 where a steady pull stands for a sled", example="1.5", default="1", bounds=POSITIVE),
    ),
    results=(
        Result("force", "N", "force", "at the centre of gravity"),
        Result("force_lbf", "lbf", "force", "the same"),
    ),
    formula="F = m a x factor",
    valid="The pull alone: bolts also see the lever arm of the centre of gravity.",
    sources=(
        Source("Newton's second law", state="common practice"),
        Source("SAE J3043", "weight x peak g x 1.5 for the quasi-static test", "second-hand"),
    ),
    caution="Which deceleration governs, the standard of the job says; an engineer answers for the mount.",
)
def hold_load(*, mass: float, peak: float, factor: float) -> Outcome:
    """Force in both units."""
    force_n = restraint.hold_load_n(mass, peak_m_s2=peak, factor=factor)
    return Outcome({"force": force_n, "force_lbf": force_n})


@reckoner(
    room="body",
    name="gravity-height",
    title="Height of the centre of gravity, from lifting one axle",
    keys=(
        one("weight", "mass", "of the whole vehicle", example="6760 lb", bounds=POSITIVE),
        one("wheelbase", "length", "between the axles", example="119 in", bounds=POSITIVE),
        one("lift", "length", "of the other axle's wheels", example="24 in", bounds=POSITIVE),
        one("transfer", "mass", "growth of the standing axle's load", example="150 lb", bounds=NOT_NEGATIVE),
        one("radius", "length", "of the loaded tyres", example="15 in", bounds=NOT_NEGATIVE),
    ),
    results=(Result("height", "in", "length", "above the ground"),),
    formula="h = r + dF L sqrt(L^2 - H^2) / (W H)",
    valid="Springs locked, or their sag taken off; equal tyres. Little lift makes a doubtful answer.",
    sources=(_STATICS,),
    caution="A lifted vehicle can fall: stands, chocks, nobody under it.",
)
def gravity_height(*, weight: float, wheelbase: float, lift: float, transfer: float, radius: float) -> Outcome:
    """Reaction method."""
    if lift >= wheelbase:
        raise InputRefused("gravity-height: 'lift' is no less than the wheelbase. Write what the wheels were lifted.")
    height_m = mass.gravity_height_m(
        mass_kg=weight, wheelbase_m=wheelbase, lift_m=lift, transfer_kg=transfer, radius_m=radius
    )
    return Outcome({"height": height_m})
