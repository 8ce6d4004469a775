"""What does each channel carry in a situation, and each bank, and the whole controller?

See Also
--------
coachwright.power.allocate : who hangs where. coachwright.power.summed : peaks of clocks that run apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coachwright.build.model import Model
from coachwright.build.settling import About
from coachwright.control.situations import judged
from coachwright.flash.waves import HeadWave, currents_of, waves
from coachwright.kit.wave import Wave
from coachwright.power.channels import Output, outputs_of
from coachwright.power.feeds import feed_of
from coachwright.power.load_figures import load_figures
from coachwright.power.loads import EQUIPMENT, LAMPS, clock_of, currents, lamp_feed
from coachwright.power.summed import Summed, summed

ByClock = Mapping[str, tuple[Wave, ...]]


def channel_waves(model: Model, *, situation: str, channel_of: Mapping[About, int]) -> Mapping[int, ByClock]:
    """Current of each channel in use, as waves by the clock they run on. [A]"""
    found: dict[int, dict[str, list[Wave]]] = {}
    heads = {wave.head: wave for wave in waves(model, situation=situation)}
    for output in outputs_of(model):
        if output.about in channel_of:
            wave = _carried(model, output, heads, situation)
            clock = clock_of(model, output.subject) if output.is_lamp else output.subject
            found.setdefault(channel_of[output.about], {}).setdefault(clock, []).append(wave)
    return {
        number: {clock: tuple(each) for clock, each in by_clock.items()} for number, by_clock in sorted(found.items())
    }


def together(parts: Iterable[ByClock]) -> Summed:
    """What several channels carry together. [A]"""
    whole: dict[str, list[Wave]] = {}
    for by_clock in parts:
        for clock, each in by_clock.items():
            whole.setdefault(clock, []).extend(each)
    return summed({clock: tuple(each) for clock, each in whole.items()})


def _carried(model: Model, output: Output, heads: Mapping[str, HeadWave], situation: str) -> Wave:
    if output.is_lamp and not output.colour:
        return currents(model, situation=situation)[output.subject]
    if output.is_lamp:
        return _colour(model, output, heads, situation)
    figures, outputs = load_figures(), judged(model, situation)
    name = output.subject.removeprefix(EQUIPMENT)
    sounding = {sound.siren for sound in outputs.sounds if sound.owners}
    on = name in outputs.runs or name in outputs.interrupts or name in sounding
    if output.subject.startswith(LAMPS):  # a lamp the vehicle came with: its relay is held or pulsed
        lit = [part.wave for part in heads[output.subject.removeprefix(LAMPS)].parts]
        return Wave.constant(0.0).maximum(*lit).scale(figures.coil_a) if lit else Wave.constant(0.0)
    if output.carries == "load":
        return currents(model, situation=situation)[output.subject]
    return Wave.constant((figures.coil_a if output.carries == "coil" else figures.control_a) if on else 0.0)


def _colour(model: Model, output: Output, heads: Mapping[str, HeadWave], situation: str) -> Wave:
    """One colour of a head; what the lamp draws besides goes with the first of its wires."""
    head = output.subject.removeprefix(LAMPS)
    feed = lamp_feed(model)
    if feed and not feed_of(model, feed, situation=situation).alive:
        return Wave.constant(0.0)
    full_a = dict(currents_of(model, model.head(head)))
    lit = [part.wave.scale(full_a[part.colour]) for part in heads[head].parts if part.colour == output.colour]
    first = next(each for each in outputs_of(model) if each.subject == output.subject)
    standby_a = output.standby_a if first == output else 0.0
    return Wave.constant(standby_a).add(*lit)
