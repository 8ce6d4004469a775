"""Which single calculations does the sound room offer?"""

from __future__ import annotations

from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    POSITIVE,
    Bounds,
    InputRefused,
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
from coachwright.sound import dose
from coachwright.sound.level import OCTAVE_BANDS_HZ, a_weighted_db, level_at_db, sum_db

_LEVEL = Bounds("from -50 to 250 dB", least=-50.0, most=250.0)
_HEARING = "Sirens damage hearing. What a crew may be given is a matter of law and of who is charged with their safety."
_TABLE_ENDS_DBA = 115.0


@reckoner(
    room="sound",
    name="level-at",
    title="Level of a sound at another distance",
    keys=(
        one("level", "level", "as measured", example="118 dB", bare_unit="dB", bounds=_LEVEL),
        one("at", "length", "distance of the measurement", example="3 m", bounds=POSITIVE),
        one("to", "length", "distance asked for", example="30 m", bounds=POSITIVE),
    ),
    results=(Result("level", "dB", "level", "there, weighted as it was measured"),),
    formula="L2 = L1 - 20 log10(to / at)",
    valid="A small source in the open. Ground, buildings and wind change it by many dB, a closed cabin by 20 to 40.",
    sources=(Source("Inverse square law, textbooks of acoustics", state="common practice"),),
    caution="A siren is a very limited warning: never count on being heard. " + _HEARING,
)
def level_at(*, level: float, at: float, to: float) -> Outcome:
    """Spherical spreading."""
    return Outcome({"level": level_at_db(level, at_m=at, to_m=to)})


@reckoner(
    room="sound",
    name="band-sum",
    title="Level of octave bands together",
    keys=(
        many(
            "levels",
            (Part("level", bare_unit="dB", bounds=_LEVEL),),
            "of the octave bands from 63 Hz upward",
            example="78, 82, 85, 88, 84, 80, 75, 70",
        ),
    ),
    results=(
        Result("linear", "dB", "level", "all bands, unweighted"),
        Result("a_weighted", "dBA", "level", "all bands, A-weighted"),
    ),
    formula="L = 10 log10(sum 10^((Li + Ai) / 10)),  Ai of 63, 125, 250, 500 Hz, 1, 2, 4, 8 kHz",
    valid="Weighting at the exact mid-band frequencies.",
    sources=(Source("IEC 61672-1", "A-weighting", "second-hand"),),
    caution=_HEARING,
)
def band_sum(*, levels: tuple[float, ...]) -> Outcome:
    """Both sums."""
    bands = OCTAVE_BANDS_HZ
    if len(levels) > len(bands):
        raise InputRefused(f"band-sum: 'levels': {len(levels)} bands, and 8 kHz is the {len(bands)}th. Write fewer.")
    notes: tuple[str, ...] = ()
    if len(levels) < len(bands):
        notes = (f"The bands above {bands[len(levels) - 1]:g} Hz were left out and count as silent.",)
    return Outcome({"linear": sum_db(levels), "a_weighted": a_weighted_db(levels)}, notes)


@reckoner(
    room="sound",
    name="noise-dose",
    title="Share of a day's permitted noise",
    keys=(
        many(
            "exposures",
            (Part("time", bounds=NOT_NEGATIVE), Part("level", bare_unit="dBA", bounds=_LEVEL)),
            "how long at which A-weighted level",
            example="4 h @ 90 dBA, 2 h @ 95 dBA",
        ),
        choice("rule", ("osha", "niosh"), "law or recommendation"),
    ),
    results=(
        Result("dose", "%", "share", "of what a day may hold"),
        Result("average", "dBA", "level", "steady level of eight hours that does the same"),
    ),
    formula="dose = sum(time / T),  osha T = 8 h / 2^((L - 90) / 5),  niosh T = 8 h / 2^((L - 85) / 3)\n"
    "average = 90 + 5 log2(dose)  or  85 + 3 log2(dose)",
    valid="Every stretch counts, also a quiet one. The rounded times of OSHA's table differ by about 1 %.",
    sources=(),
    caution=_HEARING,
)
def noise_dose(*, exposures: tuple[tuple[float, float], ...], rule: str) -> Outcome:
    """Dose and average by the rule that was named."""
    found = dose.exposure_rules()[rule]
    day = dose.noise_dose(exposures, rule=found)
    notes = []
    if sum(time_s for time_s, _ in exposures) > 24.0 * 3600.0:
        notes.append("These stretches are longer than a day together.")
    if any(level_dba > _TABLE_ENDS_DBA for _, level_dba in exposures):
        notes.append("Above 115 dBA OSHA's limits end: such a level isn't permitted for any time without protection.")
    values: dict[str, Value] = {"dose": day.share, "average": day.average_dba if day.share > 0.0 else None}
    return Outcome(values, tuple(notes), sources=(source_of(found.cite),))
