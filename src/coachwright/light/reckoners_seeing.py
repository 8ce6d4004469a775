"""Single calculations: how strong, how far, how blinding is a light?"""

from __future__ import annotations

import math

from coachwright.kit.reckoner import (
    NOT_NEGATIVE,
    NUMBER,
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
from coachwright.light import effective, glare, notice
from coachwright.light.pulse import Flash, Stretch, duration_s, lit_span_s, optical_power_cd_s_per_min, steps

_PULSES = many(
    "pulses",
    (Part("time", bounds=POSITIVE), Part("luminous-intensity", bounds=NOT_NEGATIVE)),
    "one flash, stretch by stretch; dark before and after",
    example="50 ms @ 1000 cd, 50 ms @ 0 cd, 50 ms @ 1000 cd",
)
_VISIBILITY = "meteorological visibility: the distance at which a dark thing is just seen"
_ALLARD_SOURCES = (
    Source("CIE electronic vocabulary", "Allard's law", "read"),
    Source("IES definition, nominal range of a light signal", "0.74 per nautical mile is 10 nautical miles", "read"),
    Source("33 CFR 84.14 (COLREGS Annex I, 8)", state="read"),
)
_ALLARD_VALID = (
    "A point of light in even air. The threshold depends on daylight and what else is lit: 2e-7 lx at night over a "
    "dark sea, 1e-3 lx by day (from memory); being detectable isn't yet drawing attention."
)
_SHARE_OF_AIR = Bounds("more than 0 and at most 1", above=0.0, most=1.0)


@reckoner(
    room="light",
    name="effective-intensity",
    title="Steady light that would be seen as far as this flash",
    keys=(
        _PULSES,
        choice("law", tuple(effective.LAWS), "which law", default="blondel-rey"),
        one("constant", "time", "time constant of the eye, a", example="0.2 s", default="0.2 s", bounds=POSITIVE),
        one(
            "every",
            "time",
            "the flash repeats after this time (blondel-rey only); alone when left out",
            example="500 ms",
            optional=True,
            bounds=POSITIVE,
        ),
    ),
    results=(
        Result("intensity", "cd", "luminous-intensity", "effective intensity"),
        Result("window_start", "s", "time", "start of the part that makes it"),
        Result("window_end", "s", "time", "its end"),
    ),
    formula="blondel-rey   largest over t1..t2 of  integral(I dt) / (a + t2 - t1)\n"
    "form-factor   I_max / (1 + a / (F T)),  F = integral(I dt) / (I_max T)\n"
    "allard        peak of  integral(I(s) q(t - s) ds),  q(t) = a / (a + t)^2",
    valid="Light near the threshold of seeing, a = 0.1 to 0.3 s. It says how far, not how striking.",
    sources=(
        Source("IES definition 11.1.10.1, effective intensity (search lighting)", state="read"),
        Source("14 CFR 25.1401(e)", state="read"),
        Source("UN Regulation No. 65, annex 5", "form factor", "memory"),
        Source("IALA Recommendation E-200-4 (2008)", "modified Allard, q(t)", "memory"),
    ),
)
def effective_intensity(
    *, pulses: tuple[tuple[float, float], ...], law: str, constant: float, every: float | None
) -> Outcome:
    """One flash, or one that repeats, by the law asked for."""
    flash = steps(pulses)
    notes: list[str] = []
    if every is None:
        bracket = effective.LAWS[law](flash, visual_time_s=constant)
    else:
        bracket = effective.blondel_rey_repeating(_cycle(flash, law, every), visual_time_s=constant)
        notes.append(
            "The flash repeats: windows reach over the gap, and light that hardly goes dark counts by its mean."
        )
    if law == "allard":
        notes.append("No window here: the end is the instant of the strongest response; later light doesn't count.")
    if math.isinf(bracket.end_s):
        notes.append("The mean is the answer: the gaps are too short for the eye to keep the flashes apart.")
    values: dict[str, Value] = {
        "intensity": bracket.intensity_cd,
        "window_start": bracket.start_s,
        "window_end": bracket.end_s if math.isfinite(bracket.end_s) else None,
    }
    return Outcome(values, tuple(notes))


def _cycle(flash: Flash, law: str, every_s: float) -> Flash:
    """The flash and the dark after it, which together last `every_s`."""
    if law != "blondel-rey":
        raise InputRefused(f"effective-intensity: 'every': {law} takes one flash alone. Leave every or law out.")
    dark_s = every_s - duration_s(flash)
    if dark_s < -1e-9:
        raise InputRefused(
            f"effective-intensity: 'every': the flash lasts {duration_s(flash):g} s, longer than {every_s:g} s. "
            "Write a longer time."
        )
    return (*flash, Stretch(dark_s, 0.0, 0.0)) if dark_s > 1e-9 else flash


@reckoner(
    room="light",
    name="optical-power",
    title="Light given in a minute of flashes",
    keys=(
        _PULSES,
        one(
            "flashes_per_minute",
            NUMBER,
            "how many such flashes there are",
            example="75",
            bounds=POSITIVE,
            words_after=("per min", "/min", "1/min"),
        ),
    ),
    results=(
        Result("power", "cd s/min", "optical-power", "optical power"),
        Result("mean_intensity", "cd", "luminous-intensity", "mean over the minute"),
    ),
    formula="power = integral(I dt) of one flash x flashes a minute = 60 x mean intensity",
    valid="Flashes that don't overlap.",
    sources=(Source("SAE J2498 (2016)", "integral of the intensity over 60 s", "second-hand"),),
)
def optical_power(*, pulses: tuple[tuple[float, float], ...], flashes_per_minute: float) -> Outcome:
    """Optical power of one lamp in one direction."""
    flash = steps(pulses)
    first_s, last_s = lit_span_s(flash)
    if flashes_per_minute * (last_s - first_s) > 60.0 * (1.0 + 1e-9):
        most = 60.0 / (last_s - first_s)
        raise InputRefused(
            f"optical-power: 'flashes_per_minute={flashes_per_minute:g}': a flash of {last_s - first_s:g} s "
            f"fits into a minute {most:.4g} times. Write fewer, or shorter pulses."
        )
    power = optical_power_cd_s_per_min(flash, flashes_per_minute=flashes_per_minute)
    return Outcome({"power": power, "mean_intensity": power / 60.0})


@reckoner(
    room="light",
    name="sight-range",
    title="Distance at which a light is just noticed",
    keys=(
        one("intensity", "luminous-intensity", "effective intensity", example="500 cd", bounds=NOT_NEGATIVE),
        one("threshold", "illuminance", "least light at the eye", example="1e-3 lx", bare_unit="lx", bounds=POSITIVE),
        one("visibility", "length", _VISIBILITY, example="1 km", bounds=POSITIVE),
    ),
    results=(Result("range", "m", "length", "distance"),),
    formula="E = I 0.05^(d/V) / d^2, solved for d  (Allard's law)",
    valid=_ALLARD_VALID,
    sources=_ALLARD_SOURCES,
)
def sight_range(*, intensity: float, threshold: float, visibility: float) -> Outcome:
    """Allard's law solved for the distance."""
    return Outcome({"range": notice.sight_range_m(intensity, threshold_lx=threshold, visibility_m=visibility)})


@reckoner(
    room="light",
    name="intensity-for-range",
    title="Light that is just noticed at a distance",
    keys=(
        one("range", "length", "distance", example="2 nmi", bounds=POSITIVE),
        one("threshold", "illuminance", "least light at the eye", example="2e-7 lx", bare_unit="lx", bounds=POSITIVE),
        one(
            "visibility",
            "length",
            _VISIBILITY + "; or transmissivity",
            example="10 nmi",
            optional=True,
            bounds=POSITIVE,
        ),
        one(
            "transmissivity",
            "number",
            "share the air lets through per nautical mile; or visibility",
            example="0.8",
            optional=True,
            bounds=_SHARE_OF_AIR,
        ),
    ),
    results=(Result("intensity", "cd", "luminous-intensity", "effective intensity"),),
    formula="I = E d^2 0.05^(-d/V) = E d^2 K^(-D),  D in nautical miles  (Allard's law)",
    valid=_ALLARD_VALID,
    sources=_ALLARD_SOURCES,
)
def intensity_for_range(
    *,
    range: float,  # noqa: A002 - the word people write
    threshold: float,
    visibility: float | None,
    transmissivity: float | None,
) -> Outcome:
    """Allard's law solved for the intensity."""
    if (visibility is None) == (transmissivity is None):
        raise InputRefused(
            'intensity-for-range: the air is described once. Write either "visibility=10 nmi" or "transmissivity=0.8".'
        )
    if visibility is None:
        assert transmissivity is not None
        visibility = notice.visibility_from_transmissivity_m(transmissivity)
    wanted = notice.intensity_for_range_cd(range, threshold_lx=threshold, visibility_m=visibility)
    notes = () if math.isfinite(wanted) else ("No light is strong enough for this distance in this air.",)
    return Outcome({"intensity": wanted}, notes)


@reckoner(
    room="light",
    name="glare-veil",
    title="Veil a light lays over what an eye looks at beside it",
    keys=(
        one(
            "age",
            NUMBER,
            "of who looks, in years",
            example="65",
            bounds=Bounds("from 0 to 120 years", least=0.0, most=120.0),
            words_after=("years", "year", "yr"),
        ),
        one(
            "angle",
            "angle",
            "from the line of sight to the light",
            example="2 deg",
            optional=True,
            bounds=Bounds("more than 0 and at most 90 deg", above=0.0, most=math.pi / 2.0 * (1.0 + 1e-12)),
        ),
        one("illuminance", "illuminance", "at the eye", example="1 lx", optional=True, bounds=NOT_NEGATIVE),
        one("intensity", "luminous-intensity", "toward the eye", example="5000 cd", optional=True, bounds=NOT_NEGATIVE),
        one(
            "distance",
            "length",
            "of the light, along the line of sight",
            example="50 m",
            optional=True,
            bounds=POSITIVE,
        ),
        one(
            "aside", "length", "of the light, across the line of sight", example="3.6 m", optional=True, bounds=POSITIVE
        ),
        choice("model", ("age-adjusted", "small-angle"), "which equation", default="age-adjusted"),
    ),
    results=(
        Result("angle", "deg", "angle", "from the line of sight"),
        Result("illuminance", "lx", "illuminance", "at the eye, across the line of sight"),
        Result("luminance", "cd/m2", "luminance", "of the veil"),
    ),
    formula="age-adjusted  L = E 10 (1 + (A/70)^4) / angle^2\n"
    "small-angle   L = E (10 / angle^3 + 5 (1 + (A/62.5)^4) / angle^2)\n"
    "with  E = I cos(angle) / d^2  where an intensity is given;  angle in degrees",
    valid="One small light; age-adjusted from 1 to 30 deg, small-angle from 0.1 to 30 deg. Eyes differ widely.",
    sources=(
        Source("J. J. Vos, Clin. Exp. Optom. 86 (2003) 363-370", "age-adjusted equation, abstract", "read"),
        Source("CIE 146:2002", "small-angle equation", "memory"),
    ),
    caution="A lamp that veils a driver's view can hurt somebody: aim and dim for who has to pass.",
)
def glare_veil(
    *,
    age: float,
    angle: float | None,
    illuminance: float | None,
    intensity: float | None,
    distance: float | None,
    aside: float | None,
    model: str,
) -> Outcome:
    """Veiling luminance from an angle and illuminance, or from a lamp ahead and aside."""
    light = None
    if angle is not None and illuminance is not None and intensity is distance is aside is None:
        light = glare.GlareAngle(angle, illuminance)
    if intensity is not None and distance is not None and aside is not None and angle is illuminance is None:
        light = glare.glare_beside(intensity, ahead_m=distance, aside_m=aside)
    if light is None:
        raise InputRefused(
            'glare-veil: the light is described once and whole. Write either "angle=2 deg" "illuminance=1 lx", '
            'or "intensity=5000 cd" "distance=50 m" "aside=3.6 m".'
        )
    equation = glare.age_adjusted_veil_cd_m2 if model == "age-adjusted" else glare.small_angle_veil_cd_m2
    least_deg = 1.0 if model == "age-adjusted" else 0.1
    angle_deg = math.degrees(light.angle_rad)
    notes = [f"{angle_deg:.3g} deg lies outside the {least_deg:g} to 30 deg the {model} equation was made for."]
    if least_deg * (1.0 - 1e-9) <= angle_deg <= 30.0 * (1.0 + 1e-9):
        notes.clear()
    veil = equation(light.illuminance_lx, angle_rad=light.angle_rad, age_years=age)
    return Outcome({"angle": light.angle_rad, "illuminance": light.illuminance_lx, "luminance": veil}, tuple(notes))
