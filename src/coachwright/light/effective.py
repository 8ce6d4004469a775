"""How strong a steady light would be seen as far as this flash?

Three laws from print. Blondel-Rey is the one the tool judges by; all are linear in the light, so one factor per
(pattern of flashing) scales every direction of a head.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate

from coachwright.kit.once import once
from coachwright.kit.wave import Wave
from coachwright.light.pulse import Flash, Stretch, energy_cd_s, lit_span_s, mean_cd, peak_cd, steps

VISUAL_TIME_S = 0.2
"""The eye's time constant in all three laws. Other bodies have used 0.1 s to 0.3 s. [s]"""


@dataclass(frozen=True, slots=True)
class Bracket:
    """An effective intensity and the part of the flash that makes it.

    intensity_cd : steady intensity seen as far. [cd]
    start_s, end_s : the part, from the start of the flash; the end is infinite where the mean of a light without end
        is the answer. [s]
    """

    intensity_cd: float
    start_s: float
    end_s: float


def blondel_rey(flash: Flash, *, visual_time_s: float = VISUAL_TIME_S) -> Bracket:
    """Effective intensity of one flash, dark before and after.

    Parameters
    ----------
    flash : stretches of light, level or sloping; a train of pulses is one flash. [s, cd]
    visual_time_s : time constant of the eye, more than 0. [s]

    Notes
    -----
    Largest value, over all windows t1..t2, of  integral(I dt) / (visual_time + t2 - t1).
    Square flash: I t / (a + t).  At the best window the intensity at each end is the answer itself, or jumps across it.
    A tail dimmer than the answer neither raises nor lowers it.  Close to the threshold of seeing only.

    Found exactly: for a trial answer L the window with the largest  integral(I - L) dt  is a largest-sum run of the
    flash, cut where it crosses L; its quotient is the next L, and the series climbs to the answer in a few rounds [3].

    References
    ----------
    .. [1] IES, definition 11.1.10.1, "effective intensity (search lighting)", ies.org/definitions.
    .. [2] 14 CFR 25.1401(e), the same relation as law.
    .. [3] W. Dinkelbach, "On nonlinear fractional programming", Management Science 13 (1967) 492-498. From memory.

    See Also
    --------
    coachwright.flash.waves : where the flash comes from.
    coachwright.light.zones : where the answer goes.
    """
    return _climb(flash, Bracket(0.0, 0.0, 0.0), _checked(visual_time_s))


def blondel_rey_repeating(cycle: Flash, *, visual_time_s: float = VISUAL_TIME_S) -> Bracket:
    """Effective intensity of a light that repeats `cycle` without end.

    Notes
    -----
    Windows may begin anywhere and be of any length.  A window lengthened by whole cycles changes its value steadily
    toward the mean, so the largest value is that of the best window up to one cycle long, or the mean itself, which no
    window reaches and every long one nears.  No cap on the window is needed, and the answer doesn't depend on whether
    a pattern is written once or twice.  One square pulse a cycle shows what it means: dark gaps longer than the
    visual time leave each flash on its own (I t / (a + t)); shorter ones, and the flicker counts by its mean, as the
    eye fuses it.  A steady light is worth what it is.
    """
    endless = Bracket(mean_cd(cycle), 0.0, math.inf)
    return _climb(cycle + cycle, endless, _checked(visual_time_s))


@once(max_bytes=8_000_000)
def effective_level(wave: Wave, *, visual_time_s: float = VISUAL_TIME_S) -> float:
    """Effective intensity of a light whose level follows `wave`, in the wave's own unit.

    For a wave of shares of full light this is the one factor that turns a head's steady candela, toward every
    direction, into effective candela. See `blondel_rey_repeating`.
    """
    if wave.is_constant:
        return wave.values[0]
    ends_ms = (*wave.edges[1:], wave.edges[0] + wave.period_ms)
    lengths_s = ((end - edge) / 1000.0 for edge, end in zip(wave.edges, ends_ms, strict=True))
    return blondel_rey_repeating(
        steps(zip(lengths_s, wave.values, strict=True)), visual_time_s=visual_time_s
    ).intensity_cd


def form_factor(flash: Flash, *, visual_time_s: float = VISUAL_TIME_S) -> Bracket:
    """Effective intensity after Schmidt-Clausen, from the flash's peak and its form.

    Notes
    -----
    I_max / (1 + a / (F T))  with  F = integral(I dt) / (I_max T)  over the length T of the flash from first light to
    last.  T falls out, so a dark gap inside a train costs nothing: for trains this law promises more than the others.

    References
    ----------
    .. [1] UN Regulation No. 65, annex 5 (constant 0.2 s). From memory.
    .. [2] Gigahertz-Optik, "Pulse measurements": constant 0.1 s by day, 0.2 s by night.
    """
    peak = peak_cd(flash)
    start_s, end_s = lit_span_s(flash)
    if peak == 0.0:
        return Bracket(0.0, 0.0, 0.0)
    energy = energy_cd_s(flash)
    return Bracket(energy / (_checked(visual_time_s) + energy / peak), start_s, end_s)


def form_factor_level(wave: Wave, *, visual_time_s: float = VISUAL_TIME_S) -> float:
    """Effective intensity after Schmidt-Clausen of a light whose level follows `wave`, in the wave's own unit.

    One cycle is one flash, whatever pulses it is made of. See `form_factor`.
    """
    if wave.is_constant or wave.peak() == 0.0:
        return wave.peak()
    energy_s = wave.mean() * wave.period_ms / 1000.0
    return energy_s / (_checked(visual_time_s) + energy_s / wave.peak())


def modified_allard(flash: Flash, *, visual_time_s: float = VISUAL_TIME_S) -> Bracket:
    """Effective intensity as the peak of a fading response, dark before.

    Returns
    -------
    The peak, and as its part the time from first light to the instant of the peak: later light doesn't count.

    Notes
    -----
    Peak over t of  integral(I(s) q(t - s) ds)  with  q(t) = a / (a + t)^2.  One square flash: I t / (a + t), as
    Blondel-Rey has it.

    References
    ----------
    .. [1] IALA Recommendation E-200-4 (2008), "Determination and calculation of effective intensity"; q(t) from memory.
    """
    _checked(visual_time_s)
    if peak_cd(flash) == 0.0:
        return Bracket(0.0, 0.0, 0.0)
    edges_s = list(accumulate((stretch.duration_s for stretch in flash), initial=0.0))
    begun = list(zip(flash, edges_s, strict=False))

    def response_cd(at_s: float) -> float:
        return math.fsum(_faded(stretch, at_s - begin_s, visual_time_s) for stretch, begin_s in begun if begin_s < at_s)

    grid_n = max(1, ALLARD_LOOKS_N // len(flash))
    looks_s = [begin_s + stretch.duration_s * look / grid_n for stretch, begin_s in begun for look in range(grid_n)] + [
        edges_s[-1]
    ]
    best = max(range(len(looks_s)), key=lambda look: response_cd(looks_s[look]))
    near = looks_s[max(0, best - 1)], looks_s[best], looks_s[min(len(looks_s) - 1, best + 1)]
    peak_s = max(_crest(response_cd, near[0], near[1]), near[1], _crest(response_cd, near[1], near[2]), key=response_cd)
    return Bracket(response_cd(peak_s), lit_span_s(flash)[0], peak_s)


LAWS: dict[str, Callable[..., Bracket]] = {
    "blondel-rey": blondel_rey,
    "form-factor": form_factor,
    "allard": modified_allard,
}
"""The laws by the word a lead writes."""

ALLARD_LOOKS_N = 256
"""Instants at which the fading response is first looked at; its crest is then closed in on."""


def _checked(visual_time_s: float) -> float:
    if not 0.0 < visual_time_s < math.inf:
        raise ValueError(f"the time constant of the eye is more than 0 s, here {visual_time_s:g} s")
    return visual_time_s


def _climb(flash: Flash, best: Bracket, visual_time_s: float) -> Bracket:
    """From a first answer no window may fall below, up to the largest."""
    while True:
        start_s, end_s, light_cd_s = _richest_window(flash, best.intensity_cd)
        intensity_cd = light_cd_s / (visual_time_s + end_s - start_s)
        if intensity_cd <= best.intensity_cd * (1.0 + 1e-14):
            return best
        best = Bracket(intensity_cd, start_s, end_s)


def _richest_window(flash: Flash, level_cd: float) -> tuple[float, float, float]:
    """Window with the most light above `level_cd`: start, end and all its light. [s, s, cd s]"""
    now_s = start_s = 0.0
    excess = light = 0.0
    best, found = 0.0, (0.0, 0.0, 0.0)
    for stretch in flash:
        for duration_s, given_cd_s in _cut(stretch, level_cd):
            if excess <= 0.0:
                start_s, excess, light = now_s, 0.0, 0.0
            now_s += duration_s
            light += given_cd_s
            excess += given_cd_s - level_cd * duration_s
            if excess > best:
                best, found = excess, (start_s, now_s, light)
    return found


def _cut(stretch: Stretch, level_cd: float) -> Iterator[tuple[float, float]]:
    """The stretch, or its two parts where it crosses `level_cd`: length and light of each. [s, cd s]"""
    from_level, to_level = stretch.start_cd - level_cd, stretch.end_cd - level_cd
    if from_level * to_level >= 0.0:
        yield stretch.duration_s, stretch.energy_cd_s
        return
    first_s = stretch.duration_s * from_level / (from_level - to_level)
    last_s = stretch.duration_s - first_s
    yield first_s, (stretch.start_cd + level_cd) / 2.0 * first_s
    yield last_s, (level_cd + stretch.end_cd) / 2.0 * last_s


def _faded(stretch: Stretch, since_s: float, visual_time_s: float) -> float:
    """What is left of a stretch `since_s` after it began, by q(t) = a / (a + t)^2. [cd]

    With v = a + t the intensity is  level + slope v  and  integral(a (level + slope v) / v^2 dv)  has a closed form.
    """
    newest, oldest = visual_time_s + max(0.0, since_s - stretch.duration_s), visual_time_s + since_s
    slope = (stretch.end_cd - stretch.start_cd) / stretch.duration_s
    level = stretch.start_cd + slope * oldest
    return visual_time_s * (level * (1.0 / newest - 1.0 / oldest) - slope * math.log(oldest / newest))


def _crest(response_cd: Callable[[float], float], left_s: float, right_s: float) -> float:
    """Instant of the highest response between two neighbouring looks, by golden section."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    while right_s - left_s > 1e-9 * max(1e-6, right_s):
        low_s, high_s = right_s - golden * (right_s - left_s), left_s + golden * (right_s - left_s)
        if response_cd(low_s) < response_cd(high_s):
            left_s = low_s
        else:
            right_s = high_s
    return (left_s + right_s) / 2.0
