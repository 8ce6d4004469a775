"""Single calculations: what do loads take, and how long does the battery give it?"""

from __future__ import annotations

from coachwright.kit.reckoner import (
    COUNT,
    NOT_NEGATIVE,
    NUMBER,
    POSITIVE,
    YES_NO,
    Bounds,
    InputRefused,
    Outcome,
    Result,
    Source,
    Value,
    one,
    reckoner,
)
from coachwright.power import energy, shape

_RESERVE = one(
    "reserve_minutes",
    NUMBER,
    "reserve capacity: minutes at 25 A",
    example="120",
    bounds=Bounds("more than 0", above=0.0),
    words_after=("min", "minutes"),
)
_RESERVE_SOURCE = Source(
    "Reserve capacity: minutes at 25 A, 80 degF, to 10.5 V", "a vehicle maker's manual", "second-hand"
)
_SHARE = Bounds("more than 0 and at most 100 %", above=0.0, most=1.0)
_TEXTBOOK = Source("Textbooks of electric circuits", state="common practice")
_AGES = "Batteries age and cold takes its share: prove it on the vehicle, as the standard of the job says."


@reckoner(
    room="power",
    name="battery-life",
    title="How long a battery carries a steady load",
    keys=(
        one("c20", "charge", "capacity at twenty hours", example="70 Ah", bounds=POSITIVE),
        _RESERVE,
        one("load", "current", "steady", example="20 A", bounds=POSITIVE),
    ),
    results=(
        Result("peukert", "1", NUMBER, "exponent from both ratings"),
        Result("time", "min", "time", "until it is flat"),
    ),
    formula="k = ln(20 h / RC) / ln(25 A / (C20 / 20 h));  t = 20 h (C20 / (20 h x load))^k",
    valid="New and full, at room temperature, between the two rated currents; beyond them a guess.",
    sources=(_RESERVE_SOURCE, Source("Peukert's law, rated form", state="memory")),
    caution=_AGES,
)
def battery_life(*, c20: float, reserve_minutes: float, load: float) -> Outcome:
    """Peukert's law through both ratings."""
    try:
        life = energy.battery_life(c20_as=c20, reserve_s=reserve_minutes * 60.0, load_a=load)
    except energy.NoPeukert as why:
        raise InputRefused(f"battery-life: 'c20={c20 / 3600:g} Ah': {why}. Write ratings of another battery.") from None
    notes = []
    if life.peukert < 1.0:
        notes.append("An exponent below 1 is none of a battery: the two ratings don't belong together.")
    elif life.peukert > 1.6:
        notes.append("So large an exponent is unusual (1.05 to 1.6): check both ratings.")
    rated_a = c20 / energy.RATED_TIME_S
    if not min(rated_a, energy.RESERVE_CURRENT_A) <= load <= max(rated_a, energy.RESERVE_CURRENT_A):
        notes.append("The load lies outside the two rated currents: the curve is stretched to it.")
    return Outcome({"peukert": life.peukert, "time": life.time_s}, tuple(notes))


@reckoner(
    room="power",
    name="reserve-need",
    title="Reserve capacity a load needs",
    keys=(
        one("load", "current", "steady", example="60 A", bounds=NOT_NEGATIVE),
        one("time", "time", "with the engine off", example="10 min", bounds=NOT_NEGATIVE),
        one("share", "share", "of the reserve capacity that may be used", example="50 %", bounds=_SHARE),
    ),
    results=(
        Result("used", "Ah", "charge", "by the load"),
        Result("reserve_minutes", "min", "time", "least reserve capacity"),
    ),
    formula="used = load x time;  reserve minutes = used / (share x 25 A)",
    valid="Counts the reserve capacity as a charge at 25 A; a larger load gets less out of it.",
    sources=(
        _RESERVE_SOURCE,
        Source("NFPA 1901, chapter 13", "10 min of minimum load on at most 50 % of the reserve", "second-hand"),
    ),
    caution=_AGES,
)
def reserve_need(*, load: float, time: float, share: float) -> Outcome:
    """Charge and reserve capacity."""
    used_as, reserve_s = energy.reserve_need(load_a=load, time_s=time, share=share)
    notes: tuple[str, ...] = ()
    if load > energy.RESERVE_CURRENT_A:
        notes = ("The load is above 25 A: a battery gives less than its reserve capacity at it. Take a larger one.",)
    return Outcome({"used": used_as, "reserve_minutes": reserve_s}, notes)


@reckoner(
    room="power",
    name="parked-days",
    title="Days a parked vehicle still starts",
    keys=(
        _RESERVE,
        one("drain", "current", "of everything that never sleeps", example="50 mA", bounds=POSITIVE),
        one(
            "usable",
            "share",
            "of the battery that may go before it won't start",
            example="40 %",
            default="40 %",
            bounds=_SHARE,
        ),
    ),
    results=(Result("days", "d", "time", "until then"),),
    formula="days = usable x 0.6 Ah x RC / (24 h x drain)",
    valid="Rule of thumb: 0.6 Ah, full to flat, for each minute of reserve capacity.",
    sources=(Source("A vehicle maker's bulletin on parasitic drain", "0.6 Ah per minute, 40 %", "second-hand"),),
    caution=_AGES,
)
def parked_days(*, reserve_minutes: float, drain: float, usable: float) -> Outcome:
    """Days until the usable share is gone."""
    parked_s = energy.parked_time_s(reserve_s=reserve_minutes * 60.0, drain_a=drain, usable_share=usable)
    return Outcome({"days": parked_s})


@reckoner(
    room="power",
    name="load-shape",
    title="Current of several flashing loads on one feed",
    keys=(
        one("count", COUNT, "equal loads", example="4", bounds=NOT_NEGATIVE),
        one("current", "current", "of one while it is on", example="2 A", bounds=NOT_NEGATIVE),
        one(
            "duty",
            "share",
            "of the time each is on",
            example="50 %",
            bounds=Bounds("from 0 to 100 %", least=0.0, most=1.0),
        ),
    ),
    results=(
        Result("mean", "A", "current", "for alternator and battery"),
        Result("peak", "A", "current", "all at once: for the drop at the lamp"),
        Result("rms_together", "A", "current", "heat in the feed if all flash at once"),
        Result("rms_independent", "A", "current", "heat in the feed if none knows of the others"),
    ),
    formula="mean n I D;  peak n I;  together n I sqrt(D);  independent sqrt((n I D)^2 + n I^2 D (1 - D))",
    valid="Square pulses. Exact values come from the steps of the real patterns.",
    sources=(_TEXTBOOK,),
)
def load_shape(*, count: float, current: float, duty: float) -> Outcome:
    """Mean, peak and both effective values."""
    found = shape.load_shape(count_n=int(count), current_a=current, duty_share=duty)
    values: dict[str, Value] = {
        "mean": found.mean_a,
        "peak": found.peak_a,
        "rms_together": found.rms_together_a,
        "rms_independent": found.rms_independent_a,
    }
    return Outcome(values)


@reckoner(
    room="power",
    name="constant-power",
    title="Voltage at a load that always draws the same power",
    keys=(
        one("power", "power", "it draws", example="60 W", bounds=NOT_NEGATIVE),
        one("supply", "voltage", "at the source", example="12.8 V", bounds=POSITIVE),
        one("loop", "resistance", "of wire out and back", example="50 mohm", bounds=NOT_NEGATIVE),
    ),
    results=(
        Result("voltage", "V", "voltage", "at the load"),
        Result("current", "A", "current", "it draws"),
        Result("brown_out", "yes/no", YES_NO, "whether no voltage can feed it"),
    ),
    formula="V = (Vs + sqrt(Vs^2 - 4 P R)) / 2;  brown-out where  Vs^2 < 4 P R",
    valid="Loads behind a regulator. Size wire at the lowest voltage at which they have to work.",
    sources=(_TEXTBOOK,),
)
def constant_power(*, power: float, supply: float, loop: float) -> Outcome:
    """Where the load and the wire settle, if they do."""
    fed = shape.constant_power(power_w=power, supply_v=supply, loop_ohm=loop)
    if fed is None:
        return Outcome({"brown_out": True}, ("The wire eats what the load asks for: it browns out.",))
    return Outcome({"voltage": fed.voltage_v, "current": fed.current_a, "brown_out": False})
