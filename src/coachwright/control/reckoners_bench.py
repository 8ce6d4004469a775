"""Single calculations at the bench: candela from lux, a level without its background."""

from __future__ import annotations

from coachwright.control.bench_fields import (
    FAR_TIMES,
    LUX_METER,
    SOUND_METER,
    accepted,
    candela,
    candela_off_by,
    level_alone_db,
)
from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    POSITIVE,
    WORD,
    InputRefused,
    Outcome,
    Result,
    Source,
    Value,
    one,
    reckoner,
)

_GUARD = Source("ILAC-G8:09/2019, guard bands", "4.1", "read")


@reckoner(
    room="control",
    name="lux-to-candela",
    title="How strong is a lamp, from a luxmeter at a distance?",
    keys=(
        one("lit", "illuminance", "reading with the lamp lit", example="12 lx", bounds=NOT_NEGATIVE),
        one("dark", "illuminance", "reading with it dark", example="0.5 lx", default="0 lx", bounds=NOT_NEGATIVE),
        one("distance", "length", "from lamp to meter", example="3 m", bounds=POSITIVE),
        one("size", "length", "largest dimension of the lamp", example="120 mm", optional=True, bounds=POSITIVE),
        one("least", "luminous-intensity", "least it has to be", example="80 cd", optional=True, bounds=NOT_NEGATIVE),
    ),
    results=(
        Result("intensity", "cd", "luminous-intensity", "toward the meter"),
        Result("off_by", "cd", "luminous-intensity", "what meter and tape may hide"),
        Result("judged", "", WORD, "held against `least`, with a guard band: pass, not sure or fail"),
    ),
    formula="I = (E_lit - E_dark) d^2;  pass where I - off_by >= least",
    valid=f"Within 1 % from {FAR_TIMES:g} times the lamp's largest dimension on. Steady light; a flash needs its mean.",
    sources=(Source("IES definition, inverse-square law", "9.1.1", "read"), _GUARD),
    caution="Don't look into a lit lamp from near.",
)
def lux_to_candela(*, lit: float, dark: float, distance: float, size: float | None, least: float | None) -> Outcome:
    """Intensity with what it may be off by."""
    intensity_cd = candela(lit, dark_lx=dark, distance_m=distance)
    off_cd = candela_off_by(lit, dark_lx=dark, distance_m=distance)
    values: dict[str, Value] = {"intensity": intensity_cd, "off_by": off_cd}
    if least is not None:
        values["judged"] = accepted(intensity_cd, off_by=off_cd, least=least)
    notes = [f"The meter {LUX_METER.words}, the tape by 20 mm (common practice; your instrument's sheet decides)."]
    if size is not None and distance < FAR_TIMES * size:
        notes.append(f"Nearer than {FAR_TIMES:g} times the lamp's largest dimension: the law is off by more than 1 %.")
    return Outcome(values, tuple(notes))


@reckoner(
    room="control",
    name="level-alone",
    title="How loud is a source alone, without the background?",
    keys=(
        one("together", "level", "level with the source", example="93 dB", bare_unit="dB"),
        one("background", "level", "level without it", example="89 dB", bare_unit="dB"),
    ),
    results=(
        Result("level", "dB", "level", "of the source alone"),
        Result("off_by", "dB", "level", "what the meter may hide"),
    ),
    formula="L = 10 log10(10^(L_together/10) - 10^(L_background/10))",
    valid="Steady levels with the same weighting. Under 3 dB above the background it only indicates.",
    sources=(Source("ISO 1996-1, as a meter maker's page tells it", "background correction", "second-hand"),),
    caution="Wear hearing protection; never sound a siren in a closed shop.",
)
def level_alone(*, together: float, background: float) -> Outcome:
    """The level of the source alone."""
    try:
        level_db = level_alone_db(together, background_db=background)
    except ValueError as why:
        raise InputRefused(f"level-alone: {why}. Write together= with the higher level.") from None
    near = together - background < 3.0
    note = "Less than 3 dB above the background: an indication, not a measurement."
    return Outcome({"level": level_db, "off_by": SOUND_METER.tolerance_abs}, (note,) if near else ())
