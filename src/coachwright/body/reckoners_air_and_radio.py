"""Single calculations: can the crew breathe, and stand beside the antenna?"""

from __future__ import annotations

from coachwright.body import air, antenna
from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    NUMBER,
    POSITIVE,
    Bounds,
    InputRefused,
    Key,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    one,
    reckoner,
)

_HYGIENE = "What may be breathed, an industrial hygienist and local law say; dirty gear belongs outside the cabin."
_GAIN = Bounds("from -50 to 50 dB", least=-50.0, most=50.0)
_KG_H_S = 1e-6 / 3600.0
"""Milligrams an hour, in kg/s."""


@reckoner(
    room="body",
    name="purge-time",
    title="Time in which fresh air clears a space",
    keys=(
        one(
            "air_changes",
            NUMBER,
            "volumes of fresh air an hour",
            example="12",
            bounds=POSITIVE,
            words_after=("per h", "/h", "per hour", "ach", "ACH"),
        ),
        one(
            "removal",
            "share",
            "of what hangs in it, to be gone",
            example="99 %",
            bounds=Bounds("from 0 to less than 100 %", least=0.0, most=1.0 - 1e-12),
        ),
        one(
            "mixing",
            NUMBER,
            "1 for perfect mixing, up to 10 with dead corners",
            example="3",
            default="1",
            bounds=Bounds("from 1 to 10", least=1.0, most=10.0),
        ),
    ),
    results=(Result("time", "min", "time", "until then"),),
    formula="t = -ln(1 - removal) / air changes x mixing",
    valid="Nothing new comes in meanwhile.",
    sources=(Source("CDC, MMWR 43 (RR-13) 1994", "table S3-1", "read"),),
    caution=_HYGIENE,
)
def purge_time(*, air_changes: float, removal: float, mixing: float) -> Outcome:
    """Exponential clearing."""
    time_s = air.purge_time_s(air_changes_hz=air_changes / 3600.0, removed_share=removal, mixing=mixing)
    return Outcome({"time": time_s})


@reckoner(
    room="body",
    name="two-rooms",
    title="What leaks from a locker into the cabin",
    keys=(
        one(
            "source",
            NUMBER,
            "given off in the locker, mg an hour",
            example="10",
            bounds=NOT_NEGATIVE,
            words_after=("mg/h", "mg per h", "mg per hour"),
        ),
        one("exhaust", "flow", "from the locker to the outside", example="20 m3/h", bounds=NOT_NEGATIVE),
        one("leak", "flow", "from the locker to the cabin", example="1 m3/h", bounds=NOT_NEGATIVE),
        one("cabin_fresh", "flow", "fresh air of the cabin", example="100 m3/h", bounds=NOT_NEGATIVE),
    ),
    results=(
        Result("locker", "mg/m3", "concentration", "in the locker, when it has settled"),
        Result("cabin", "mg/m3", "concentration", "in the cabin"),
    ),
    formula="C1 = G / (Qx + q);  C2 = q C1 / (Q2 + q)",
    valid="Steady, each room well mixed. A locker under suction leaks inward: leak=0, proven with smoke.",
    sources=(Source("Mass balance, textbooks of ventilation", state="common practice"),),
    caution=_HYGIENE,
)
def two_rooms(*, source: float, exhaust: float, leak: float, cabin_fresh: float) -> Outcome:
    """Both concentrations."""
    rooms = air.two_rooms(
        source_kg_s=source * _KG_H_S, exhaust_m3_s=exhaust, leak_m3_s=leak, cabin_fresh_m3_s=cabin_fresh
    )
    if rooms is None:
        raise InputRefused("two-rooms: without any air it never settles. Write an exhaust, or fresh air of the cabin.")
    return Outcome({"locker": rooms.locker_kg_m3, "cabin": rooms.cabin_kg_m3})


@reckoner(
    room="body",
    name="exposure-distance",
    title="Distance people keep from an antenna",
    keys=(
        one("power", "power", "at the antenna", example="50 W", bounds=NOT_NEGATIVE),
        one("gain", "gain", "over an isotropic antenna", example="2.15 dBi", bare_unit="dBi", bounds=_GAIN),
        one("frequency", "frequency", "sent on", example="155 MHz", bounds=POSITIVE),
        Key("public", (Part("yes-no"),), "yes: anybody; no: workers who know and can keep away", "yes"),
        one(
            "duty",
            "share",
            "of the averaging time in which it sends",
            example="50 %",
            default="100 %",
            bounds=Bounds("more than 0 and at most 100 %", above=0.0, most=1.0),
        ),
    ),
    results=(
        Result("distance", "cm", "length", "in the open"),
        Result("limit", "mW/cm2", NUMBER, "power density people may be in"),
    ),
    formula="R = sqrt(P duty 10^(gain / 10) / (4 pi S))",
    valid="In the open, nothing reflecting. Full reflection from ground or metal doubles the distance.",
    sources=(Source("FCC OET Bulletin 65", "far field", "second-hand"),),
    caution="Says nothing of somebody under a metal roof or touching the antenna; the licensee answers for it.",
)
def exposure_distance(*, power: float, gain: float, frequency: float, public: bool, duty: float) -> Outcome:
    """Distance in the open."""
    try:
        limit = antenna.exposure_limit(frequency, public=public)
    except antenna.NoFigure as why:
        raise InputRefused(f"exposure-distance: {why}") from None
    distance_m = antenna.exposure_distance_m(power_w=power, gain_db=gain, limit_w_m2=limit.limit_w_m2, duty_share=duty)
    notes = (f"The limit is a mean over {limit.averaging_s / 60.0:g} min.",)
    return Outcome({"distance": distance_m, "limit": limit.limit_w_m2 / 10.0}, notes, sources=(source_of(limit.cite),))


@reckoner(
    room="body",
    name="coax",
    title="What an antenna cable leaves of the power",
    keys=(
        Key("type", (Part("text"),), "of the cable: rg-58, rg-213, rg-8-foam", "rg-58"),
        one("length", "length", "of the run", example="15 ft", bounds=NOT_NEGATIVE),
        one("frequency", "frequency", "sent on", example="150 MHz", bounds=POSITIVE),
        one("power", "power", "into the cable", example="35 W", bounds=NOT_NEGATIVE),
        one(
            "connectors",
            "gain",
            "lost in all connectors",
            example="0.5 dB",
            default="0 dB",
            bare_unit="dB",
            bounds=NOT_NEGATIVE,
        ),
    ),
    results=(
        Result("loss", "dB", "gain", "of cable and connectors"),
        Result("delivered", "W", "power", "to the antenna"),
    ),
    formula="loss = dB per 100 ft x length / 100 ft + connectors;  delivered = power x 10^(-loss / 10)",
    valid="50 to 850 MHz, matched; makers' sheets differ by 10 %. Between tabulated frequencies straight on log-log.",
    sources=(),
)
def coax(*, type: str, length: float, frequency: float, power: float, connectors: float) -> Outcome:  # noqa: A002
    """Loss and what is left."""
    try:
        found = antenna.coax_loss(type.lower(), length_m=length, frequency_hz=frequency)
    except antenna.NoFigure as why:
        raise InputRefused(f"coax: {why}") from None
    loss_db = found.loss_db + connectors
    notes = ("This frequency lies between two tabulated ones.",) if found.between else ()
    values: dict[str, Value] = {"loss": loss_db, "delivered": antenna.delivered_w(power, loss_db=loss_db)}
    return Outcome(values, notes, sources=(source_of(found.cite),))
