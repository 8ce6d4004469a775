"""Which single calculations does the flash room offer?"""

from __future__ import annotations

from coachwright.flash.seen import FLASHES_IN_A_SECOND, pattern_rate, seen_rate
from coachwright.kit.reckoner import (
    COUNT,
    NUMBER,
    POSITIVE,
    YES_NO,
    Bounds,
    InputRefused,
    Outcome,
    Part,
    Result,
    Source,
    many,
    one,
    reckoner,
)

_CAUTION = "Flashing light can set off seizures. Keep faces away from a lamp under test."


@reckoner(
    room="flash",
    name="flash-rate",
    title="Rate of a repeating pattern of lit and dark steps",
    keys=(
        many(
            "steps",
            (Part("time", bare_unit="ms", bounds=POSITIVE),),
            "lit, dark, lit, dark... in ms; the list is one cycle",
            example="60, 40, 60, 340",
        ),
        one(
            "join",
            "time",
            "pulses with a shorter dark between them are one flash",
            example="100 ms",
            optional=True,
            bare_unit="ms",
            bounds=POSITIVE,
        ),
    ),
    results=(
        Result("flashes_per_minute", "1/min", NUMBER, "flashes in a minute"),
        Result("on_share", "1", NUMBER, "lit part of the cycle"),
        Result("regular", "yes/no", YES_NO, "whether flashes follow each other at equal times"),
        Result("flashes", "1", COUNT, "flashes in a cycle"),
        Result("pulses", "1", COUNT, "pulses in a cycle"),
        Result("cycle", "ms", "time", "length of the cycle"),
    ),
    formula="flashes a minute = flashes in the cycle x 60 / cycle;  on share = lit time / cycle",
    valid="Any pattern that repeats. Without join, a dark shorter than half the longest one lies inside a flash.",
    sources=(
        Source("SAE J595 (2021)", "a train of pulses is one flash", "second-hand"),
        Source("FHWA interpretation 4(09)-64", "a flashing beacon keeps one constant rate", "read"),
    ),
    caution=_CAUTION,
)
def flash_rate(*, steps: tuple[float, ...], join: float | None) -> Outcome:
    """Rate, share of light and regularity of one pattern."""
    seen = pattern_rate(steps, join_s=join)
    notes = []
    if len(steps) % 2 == 1 and len(steps) > 1:
        notes.append("The last step is lit and runs into the first one of the next cycle: both are one pulse.")
    if seen.flashes_n == 0:
        notes.append("No dark in it is long enough to part two flashes: this isn't a flashing light.")
    elif seen.pulses_n != seen.flashes_n:
        notes.append(
            f"{seen.pulses_n} pulses a cycle are counted as {seen.flashes_n}. Write join=... to part them otherwise."
        )
    values = {
        "flashes_per_minute": seen.rate_hz * 60.0,
        "on_share": seen.on_share,
        "regular": seen.regular,
        "flashes": seen.flashes_n,
        "pulses": seen.pulses_n,
        "cycle": seen.cycle_s,
    }
    return Outcome(values, tuple(notes))


@reckoner(
    room="flash",
    name="seen-rate",
    title="Rate at which one observer sees the flashes of several lamps",
    keys=(
        many(
            "rates",
            (Part("rate", bare_unit="Hz", bounds=POSITIVE),),
            "of each lamp",
            example="120 per min, 120 per min",
        ),
        many(
            "phases",
            (Part("share", bounds=Bounds("from 0 to 100 %", least=0.0, most=1.0)),),
            "when in its cycle each lamp flashes; all at once when left out",
            example="0 %, 50 %",
            optional=True,
        ),
        one(
            "together",
            "time",
            "lamps that light up within this time are one flash",
            example="1 ms",
            default="1 ms",
            bare_unit="ms",
            bounds=Bounds("from 0 to 200 ms", least=0.0, most=0.2),
        ),
    ),
    results=(
        Result("flashes_per_second", "1/s", NUMBER, "on average"),
        Result("within_three", "yes/no", YES_NO, "never more than three in any one second"),
        Result("most_in_a_second", "1", COUNT, "in the busiest second"),
    ),
    formula="flashes begun in any one second, those at one instant counted once;  within three: at most 3",
    valid="Lamps with one flash a cycle, all in view. The W3C figure is a rule for pictures on screens: lamps far off "
    "fill too little of the view for it, lamps close by don't.",
    sources=(Source("W3C Web Content Accessibility Guidelines 2.1", "success criterion 2.3.1", "read"),),
    caution=_CAUTION,
)
def seen_rate_of_lamps(*, rates: tuple[float, ...], phases: tuple[float, ...] | None, together: float) -> Outcome:
    """Flashes a second of several lamps, and whether they stay within three."""
    phases = phases if phases is not None else (0.0,) * len(rates)
    if len(phases) != len(rates):
        raise InputRefused(
            f"seen-rate: {len(rates)} rates and {len(phases)} phases: each lamp has one of both. Write as many of each."
        )
    seen = seen_rate(rates, phases, together_s=together)
    notes = (
        () if seen.exact else ("These rates have no common cycle: the busiest second is the most they can come to.",)
    )
    within = seen.most_n <= FLASHES_IN_A_SECOND
    return Outcome({"flashes_per_second": seen.mean_hz, "within_three": within, "most_in_a_second": seen.most_n}, notes)
