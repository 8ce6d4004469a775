"""Single calculations: which wire, and which fuse before it?"""

from __future__ import annotations

from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    COUNT,
    NOT_NEGATIVE,
    NUMBER,
    POSITIVE,
    WORD,
    Bounds,
    InputRefused,
    Key,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    choice,
    many,
    one,
    reckoner,
)
from coachwright.power import ampacity as tabulated
from coachwright.power import fuse, short, wire
from coachwright.power.drop import circular_mils_for, smallest, voltage_drop_v

_GUIDE = (
    "Size wire and fuse by the vehicle maker's guide, the standard the job is bought to and local law; "
    "a licensed electrician or engineer answers for it."
)
_ASTM = Source("ASTM B258", "diameters of the American wire gauge", "second-hand")
_IACS = Source(
    "NBS Handbook 100 (1966), IACS annealed copper", "0.017241 ohm mm2/m, 0.00393 per K at 20 degC", "memory"
)
_COPPER = Bounds("from -55 to 250 degC", least=-55.0, most=250.0)
_HOT_DEGC = 75.0
_ADIABATIC_S = 5.0
"""Beyond this the formula of a short says too little; common practice."""
_GAUGE = Key("gauge", (Part("text"),), "AWG or SAE number, or mm2 of a metric size", "12")
_FAMILY = choice("family", ("awg", "sae", "metric"), "which list of sizes", default="awg")
_TEMPERATURE = one("temperature", "temperature", "of the copper", example="75 degC", default="20 degC", bounds=_COPPER)


def _conductor(name: str, gauge: str, family: wire.Family) -> wire.Conductor:
    try:
        return wire.conductor(gauge, family=family)
    except wire.NoSize as why:
        raise InputRefused(f"{name}: {why}") from None


def _sae(family: str) -> tuple[Source, ...]:
    return (source_of(wire.sae_cite()),) if family == "sae" else ()


@reckoner(
    room="power",
    name="conductor",
    title="Size and resistance of a copper conductor",
    keys=(_GAUGE, _FAMILY, _TEMPERATURE),
    results=(
        Result("diameter", "mm", "length", "of a solid wire of this area"),
        Result("area", "mm2", "area", "of the copper"),
        Result("circular_mils", "cmil", NUMBER, "of the copper"),
        Result("resistance", "mohm/m", "resistance-per-length", "solid wire"),
        Result("stranded_resistance", "mohm/m", "resistance-per-length", "2 % for the lay of the strands"),
    ),
    formula="awg  d = 0.127 mm x 92^((36 - n) / 39),  2/0 is n = -1\nR = rho (1 + 0.00393 (T - 20)) / A",
    valid="Bare copper to direct current. SAE wire is 5 to 12 % smaller than AWG wire of the same number.",
    sources=(_ASTM, _IACS),
    caution=_GUIDE,
)
def conductor(*, gauge: str, family: wire.Family, temperature: float) -> Outcome:
    """One size of one family."""
    found = _conductor("conductor", gauge, family)
    solid = wire.resistance_ohm_m(found.area_m2, temperature_degc=temperature, stranded=False)
    values: dict[str, Value] = {
        "diameter": found.diameter_m,
        "area": found.area_m2,
        "circular_mils": found.circular_mils,
        "resistance": solid,
        "stranded_resistance": wire.resistance_ohm_m(found.area_m2, temperature_degc=temperature),
    }
    return Outcome(values, sources=_sae(family))


@reckoner(
    room="power",
    name="voltage-drop",
    title="Voltage a run of wire takes, out and back",
    keys=(
        _GAUGE,
        one("length", "length", "one way", example="10.5 ft", bounds=NOT_NEGATIVE),
        one("current", "current", "peak of what flows", example="10 A", bounds=NOT_NEGATIVE),
        _FAMILY,
        _TEMPERATURE,
        one("supply", "voltage", "at the source", example="12.8 V", default="12 V", bounds=POSITIVE),
    ),
    results=(
        Result("drop", "V", "voltage", "lost in both wires"),
        Result("share", "1", NUMBER, "of the supply"),
    ),
    formula="E = 2 L I R,  R of stranded copper at its temperature;  share = E / supply",
    valid="Return through the same size of wire, without terminals, fuse and switch.",
    sources=(_ASTM, _IACS),
    caution=_GUIDE,
)
def voltage_drop(
    *, gauge: str, length: float, current: float, family: wire.Family, temperature: float, supply: float
) -> Outcome:
    """Drop of one run, and what a hot wire would take."""
    found = _conductor("voltage-drop", gauge, family)
    lost = voltage_drop_v(found, length_m=length, current_a=current, temperature_degc=temperature)
    notes = []
    if temperature < _HOT_DEGC:
        hot = voltage_drop_v(found, length_m=length, current_a=current, temperature_degc=_HOT_DEGC)
        notes.append(f"A wire that carries much runs hot: at {_HOT_DEGC:g} degC it takes {hot:.4g} V.")
    if lost >= supply:
        notes.append("The wire would take the whole supply: this current can't flow through it.")
    return Outcome({"drop": lost, "share": lost / supply}, tuple(notes), sources=_sae(family))


@reckoner(
    room="power",
    name="conductor-for",
    title="Copper that takes no more than a voltage",
    keys=(
        one("current", "current", "peak of what flows", example="10 A", bounds=NOT_NEGATIVE),
        one("length", "length", "there and back", example="21 ft", bounds=NOT_NEGATIVE),
        one("drop", "voltage", "that may be lost", example="0.36 V", bounds=POSITIVE),
        one("k", NUMBER, "ohm circular mil per foot", example="12.9", default="10.75", bounds=POSITIVE),
    ),
    results=(
        Result("circular_mils", "cmil", NUMBER, "least area"),
        Result("gauge_awg", "", WORD, "thinnest AWG size that has it"),
        Result("gauge_sae", "", WORD, "thinnest SAE size that has it"),
    ),
    formula="CM = k I L / E,  L in feet there and back;  k = 10.75 near 29 degC, 12.9 at 75 degC",
    valid="Voltage only: whether the wire stays cool enough is another question (ampacity).",
    sources=(Source("ABYC E-11", "conductor sizing, K = 10.75", "second-hand"), _ASTM),
    caution=_GUIDE,
)
def conductor_for(*, current: float, length: float, drop: float, k: float) -> Outcome:
    """Area and sizes for a drop."""
    wanted = circular_mils_for(current_a=current, length_m=length, drop_v=drop, k=k)
    awg = smallest(wire.awg_sizes(), circular_mils=wanted)
    sae = smallest(wire.sae_sizes(), circular_mils=wanted)
    notes = ("No single wire of the list is thick enough.",) if awg is None or sae is None else ()
    values: dict[str, Value] = {
        "circular_mils": wanted,
        "gauge_awg": awg.gauge if awg else None,
        "gauge_sae": sae.gauge if sae else None,
    }
    return Outcome(values, notes, sources=_sae("sae"))


@reckoner(
    room="power",
    name="ampacity",
    title="Current a wire may carry for good",
    keys=(
        Key("gauge", (Part("text"),), "AWG number", "12"),
        one("insulation", "temperature", "what the insulation is rated for", example="105 degC", bare_unit="degC"),
        choice(
            "place", ("outside", "engine"), "outside an engine space (30 degC) or in it (50 degC)", default="outside"
        ),
        one(
            "bundle",
            COUNT,
            "conductors in the bundle that carry current, this one with them",
            example="7",
            default="1",
            bounds=Bounds("1 or more", least=1.0),
        ),
    ),
    results=(
        Result("current", "A", "current", "what it may carry"),
        Result("tabulated", "A", "current", "before the shares below"),
        Result("place_share", "1", NUMBER, "left in this place"),
        Result("bundle_share", "1", NUMBER, "left in the bundle"),
    ),
    formula="current = tabulated x place_share x bundle_share",
    valid="Single copper conductors of AWG size. Made for boats; SAE wire of the same number carries about 7 % less.",
    sources=(),
    caution=_GUIDE,
)
def ampacity(*, gauge: str, insulation: float, place: tabulated.Place, bundle: float) -> Outcome:
    """Tabulated current, and what place and bundle leave of it."""
    name = wire.awg_name(gauge.lower().removesuffix("awg").strip())
    if name is None:
        raise InputRefused(f"ampacity: {gauge[:40]!r}: no gauge is called so. Write 12, or 2/0.")
    try:
        found = tabulated.ampacity(name, insulation_degc=insulation, place=place, bundle_n=int(min(bundle, 10_000)))
    except tabulated.NoAmpacity as why:
        raise InputRefused(f"ampacity: {why}") from None
    notes = []
    if found.bundle_from_n:
        notes.append(
            f"The row of the bundle is that from {found.bundle_from_n} conductors. "
            "Under 50 V the regulation doesn't ask for it; practice does."
        )
    if place == "engine":
        notes.append("The engine space of the table is at 50 degC; some stand far hotter and leave less.")
    values: dict[str, Value] = {
        "current": found.current_a,
        "tabulated": found.table_a,
        "place_share": found.place_share,
        "bundle_share": found.bundle_share,
    }
    return Outcome(values, tuple(notes), sources=tuple(source_of(cite) for cite in found.cites))


@reckoner(
    room="power",
    name="largest-fuse",
    title="Largest fuse that may stand before a wire",
    keys=(
        one("ampacity", "current", "what the wire may carry", example="45 A", bounds=NOT_NEGATIVE),
        Key("rule", (Part("text"),), "150 % of the wire, or wire 125 % or 135 % of the fuse", "125 %"),
        many(
            "sizes",
            (Part("current", bare_unit="A", bounds=POSITIVE),),
            "fuses there are; blade fuses when left out",
            example="30 A, 40 A, 50 A",
            optional=True,
        ),
    ),
    results=(
        Result("limit", "A", "current", "by the rule"),
        Result("fuse", "A", "current", "largest size not above it"),
    ),
    formula="150 %  limit = 1.5 x ampacity\n125 %  limit = ampacity / 1.25\n135 %  limit = ampacity / 1.35",
    valid="Three legitimate rules, three fuses: say which one governs the job. The load has to fit the fuse as well.",
    sources=(),
    caution="Never raise a factory fuse. " + _GUIDE,
)
def largest_fuse(*, ampacity: float, rule: str, sizes: tuple[float, ...] | None) -> Outcome:
    """Limit and size by the rule that was named."""
    rules = fuse.fuse_rules()
    found = rules.get(rule.replace("%", "").strip())
    if found is None:
        have = ", ".join(f"{name} %" for name in rules)
        raise InputRefused(f"largest-fuse: {rule[:40]!r}: no rule is called so. Write one of {have}.")
    listed, listed_cite = fuse.fuse_sizes_a()
    limit_a = fuse.fuse_limit_a(ampacity, rule=found)
    largest = fuse.largest_fuse_a(limit_a, sizes_a=listed if sizes is None else sizes)
    notes = [f"Rule: {found.title}."]
    if largest is None:
        notes.append("Every size is above the limit: a thicker wire is needed, or a smaller fuse.")
    cites = (found.cite, listed_cite) if sizes is None else (found.cite,)
    return Outcome({"limit": limit_a, "fuse": largest}, tuple(notes), sources=tuple(source_of(cite) for cite in cites))


@reckoner(
    room="power",
    name="withstand",
    title="How long a wire bears a short",
    keys=(
        _GAUGE,
        one("from", "temperature", "of the wire before", example="75 degC", bounds=_COPPER),
        one(
            "to",
            "temperature",
            "it may reach for a moment",
            example="150 degC",
            bounds=Bounds("from -55 to 1000 degC", least=-55.0, most=1000.0),
        ),
        one("current", "current", "of the short", example="400 A", bounds=POSITIVE),
        _FAMILY,
        choice("formula", ("icea", "iec-60949"), "whose formula", default="icea"),
    ),
    results=(
        Result("time", "s", "time", "until it is that hot"),
        Result("i2t", "A2 s", "current-squared-time", "the wire bears"),
    ),
    formula="icea       (I / A)^2 t = 0.0297 log10((T2 + 234) / (T1 + 234)),  A in circular mils\n"
    "iec-60949  I^2 t = 226^2 S^2 ln((T2 + 234.5) / (T1 + 234.5)),  S in mm2",
    valid="Copper, all heat stays in it: up to a few seconds. What the insulation bears for a moment, its maker says.",
    sources=(
        Source("ICEA P-32-382", "copper", "second-hand"),
        Source("IEC 60949", "K = 226 A s^0.5/mm2", "second-hand"),
    ),
    caution=_GUIDE,
)
def withstand(*, gauge: str, from_: float, to: float, current: float, family: wire.Family, formula: str) -> Outcome:
    """Time and heat a wire bears."""
    if to <= from_:
        raise InputRefused(f"withstand: 'to={to:g} degC': a short only heats the wire. Write more than {from_:g} degC.")
    found = _conductor("withstand", gauge, family)
    if formula == "icea":
        i2t = short.withstand_i2t_a2_s(found.circular_mils, from_degc=from_, to_degc=to)
    else:
        i2t = short.adiabatic_factor_a_sqrt_s_mm2(from_degc=from_, to_degc=to) ** 2 * (found.area_m2 * 1e6) ** 2
    time_s = i2t / current**2
    notes = () if time_s <= _ADIABATIC_S else ("So slow a heating loses heat on the way: the wire bears it longer.",)
    return Outcome({"time": time_s, "i2t": i2t}, notes, sources=_sae(family))


@reckoner(
    room="power",
    name="melting-current",
    title="Current that melts a copper wire in a time",
    keys=(
        one("circular_mils", NUMBER, "of the copper", example="2581", bounds=POSITIVE),
        one("ambient", "temperature", "of the wire before", example="25 degC", bounds=_COPPER),
        one("time", "time", "until it melts", example="5 s", bounds=POSITIVE),
    ),
    results=(Result("current", "A", "current", "that melts it"),),
    formula="33 (I / A)^2 t = log10((1083 - Ta) / (234 + Ta) + 1)   (Onderdonk)",
    valid="All heat stays in the wire: up to about ten seconds. Insulation burns long before.",
    sources=(Source("Onderdonk's equation, as Stauffacher (1928) printed it", state="memory"),),
    caution="Says when a wire parts, not what it may carry. " + _GUIDE,
)
def melting_current(*, circular_mils: float, ambient: float, time: float) -> Outcome:
    """Onderdonk's equation solved for the current."""
    return Outcome({"current": short.melting_current_a(circular_mils, ambient_degc=ambient, time_s=time)})


@reckoner(
    room="power",
    name="fuse-leak",
    title="Current through a fuse in place",
    keys=(
        one("drop", "voltage", "across the fuse", example="2.4 mV", bounds=NOT_NEGATIVE),
        one("resistance", "resistance", "of the cold fuse, by its data sheet", example="7.7 mohm", bounds=POSITIVE),
    ),
    results=(Result("current", "A", "current", "that flows through it"),),
    formula="I = U / R",
    valid="Small currents: at its rating a fuse is hot and resists about 40 % more.",
    sources=(Source("Ohm's law", state="common practice"),),
)
def fuse_leak(*, drop: float, resistance: float) -> Outcome:
    """What flows while everything should sleep."""
    return Outcome({"current": fuse.leak_a(drop_v=drop, resistance_ohm=resistance)})
