"""What can be asked about the light of each lamp: alone, behind its pane, in the eyes of the crew, its colour?

See Also
--------
coachwright.light.measures : what can be asked about all of them together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from coachwright.build.model import Colour, Model
from coachwright.control.situations import settings_of
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.once import once
from coachwright.light.crew import candela_at_eye, eyes
from coachwright.light.far_field import output_of, pane_transmittance
from coachwright.light.lit import Glow, glows, peaks_cd, voltages
from coachwright.light.words import off_axis
from coachwright.parts.photometry import beam_table, bilinear
from coachwright.parts.schema import ColourOutput
from coachwright.place.glass import pane_before
from coachwright.place.panels import open_panels


@measures("light.lamp-intensity", kind="luminous-intensity", vertical="angle", horizontal="angle")
def lamp_intensity(model: Model, *, situation: str, vertical: float, horizontal: float) -> tuple[Measure, ...]:
    """How bright is each head by itself, about its own axis, while lit?

    vertical, horizontal : type A angles of the head; the lower of left and right counts. [rad] No pane, limits counted.
    """
    burning = glows(model, situation)
    outputs = {id(glow.emitter.output): glow.emitter.output for glow in burning}  # many heads share a sheet
    full_cd = {which: own_axes_cd(output, vertical, horizontal) for which, output in outputs.items()}
    return _by_lamp(
        "light.lamp-intensity",
        situation,
        burning,
        lambda glow: glow.part.wave.peak() * full_cd[id(glow.emitter.output)],
        where=off_axis(vertical, horizontal),
        both_ends=False,
    )


@measures("light.peak", kind="luminous-intensity")
def peak(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """How bright does each head get within 5 deg of the horizontal, limits and panes counted?

    Of heads of one lamp, colour and side the dimmest and the brightest answer: a limit may stand on either side.
    """
    found = dict(zip(map(id, glows(model, situation)), peaks_cd(model, situation), strict=True))
    return _by_lamp(
        "light.peak",
        situation,
        glows(model, situation),
        lambda glow: found[id(glow)],
        where="within 5 deg of the horizontal",
        both_ends=True,
    )


@measures("light.glass-share", kind="share")
def glass_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a head's light gets out through the pane before it, film counted, along its axis?"""
    panels = open_panels(model.body, settings_of(model, situation))
    worst: dict[str, tuple[float, Glow]] = {}
    for glow in glows(model, situation):
        pane = glow.emitter.pane
        if pane is None:
            continue
        share = pane_transmittance(pane, glow.emitter.forward)
        known = worst.get(glow.head.path)
        if known is None or share < known[0]:
            worst[glow.head.path] = (share, glow)
    answers = []
    for path, (share, glow) in worst.items():
        fitted = pane_before(glow.head, model, panels)
        name, film, filmed = (fitted.called, fitted.film, fitted.path) if fitted is not None else ("", "", "")
        answers.append(
            Measure(
                "light.glass-share",
                share,
                "share",
                about=path,
                blame=((filmed,) if film else ()) + (f"{path}.at", f"{path}.aim"),
                where=f"{glow.head.id} behind {name}{f' with {film}' if film else ''}",
                situation=situation,
                facts=facts(lamp=glow.head.lamp, head=glow.head.id, glass=name, film=film),
            )
        )
    return tuple(answers)


@measures("light.toward-crew", kind="luminous-intensity", eye="length", away="length")
def toward_crew(model: Model, *, situation: str, eye: float = 1.6, away: float = 1.0) -> tuple[Measure, ...]:
    """How bright does each lamp shine into the eyes of somebody who stands at an opened panel?

    eye : height of the eyes. away : how far out they are from the panel's outermost place. [m]
    """
    opened = open_panels(model.body, settings_of(model, situation))
    answers = []
    for panel, eye_m in eyes(model, opened, height_m=eye, away_m=away).items():
        brightest: dict[str, tuple[float, Glow]] = {}
        for glow in glows(model, situation):
            shines_cd = candela_at_eye(glow, eye_m)
            known = brightest.get(glow.head.path)
            if shines_cd > (known[0] if known else 0.0):
                brightest[glow.head.path] = (shines_cd, glow)
        for path, (shines_cd, glow) in brightest.items():
            answers.append(
                Measure(
                    "light.toward-crew",
                    shines_cd,
                    "luminous-intensity",
                    about=path,
                    blame=(f"{path}.aim", f"{path}.at", glow.part.path),
                    where=f"{glow.head.id}, seen from the open {panel}",
                    situation=situation,
                    facts=facts(
                        panel=panel,
                        lamp=glow.head.lamp,
                        head=glow.head.id,
                        colour=glow.part.colour,
                        rank=glow.part.rank,
                        manner="steady" if glow.part.wave.is_constant else "flashing",
                        test_voltage=voltages([glow]),
                    ),
                )
            )
    return tuple(answers)


@measures("light.chromaticity", kind="number", per_situation=False, x_times="number", y_times="number")
def chromaticity(model: Model, *, x_times: float, y_times: float) -> tuple[Measure, ...]:
    """Where does each colour of a lamp lie, along one line of the colour chart?

    x_times, y_times : the answer is x_times x + y_times y, CIE 1931: every straight boundary is a limit of such a sum.
    """
    answers: dict[tuple[str, Colour, float, float], Measure] = {}
    for head in model.heads:
        for colour in head.colours if head.reach == "own" else ():
            output = output_of(head, model, colour)
            if output is None or (head.path, colour, output.x, output.y) in answers:
                continue
            given = output.x > 0.0 or output.y > 0.0
            answers[head.path, colour, output.x, output.y] = Measure(
                "light.chromaticity",
                x_times * output.x + y_times * output.y if given else None,
                "number",
                about=head.path,
                blame=(f"{head.path}.part",),
                where=f"{head.id}, {colour}",
                facts=facts(lamp=head.lamp, head=head.id, colour=colour),
                why_not="" if given else f"the sheet of {head.part} gives no chromaticity for {colour}",
            )
    return tuple(answers.values())


@once(max_bytes=4_000_000)
def own_axes_cd(output: ColourOutput, vertical_rad: float, horizontal_rad: float) -> float:
    """Intensity at full light at a type A angle of the head, the lower of left and right. [cd]"""
    both = bilinear(beam_table(output), np.array([-horizontal_rad, horizontal_rad]), np.array(vertical_rad))
    return float(both.min())


def _by_lamp(
    name: str,
    situation: str,
    chosen: Iterable[Glow],
    value_of: Callable[[Glow], float],
    *,
    where: str,
    both_ends: bool,
) -> tuple[Measure, ...]:
    """One measure per lamp, colour, rank and side, of its dimmest head; and of its brightest if that is asked."""
    groups: dict[tuple[str, str, str, str], list[tuple[float, Glow]]] = {}
    for glow in chosen:
        key = (glow.head.path, glow.part.colour, glow.part.rank, glow.toward)
        groups.setdefault(key, []).append((value_of(glow), glow))
    answers = []
    for found in groups.values():
        ends = [min(found, key=lambda pair: pair[0])]
        highest = max(found, key=lambda pair: pair[0])
        if both_ends and highest[0] > ends[0][0] * (1.0 + 1e-6):
            ends.append(highest)
        for value, glow in ends:
            path = glow.head.path
            answers.append(
                Measure(
                    name,
                    value,
                    "luminous-intensity",
                    about=path,
                    blame=(f"{path}.part", glow.part.path, f"{path}.aim"),
                    where=f"{glow.head.id}, {where}",
                    situation=situation,
                    facts=facts(
                        lamp=glow.head.lamp,
                        head=glow.head.id,
                        colour=glow.part.colour,
                        rank=glow.part.rank,
                        owner=glow.part.owner,
                        toward=glow.toward,
                        manner="steady" if glow.part.wave.is_constant else "flashing",
                        test_voltage=voltages([glow]),
                    ),
                )
            )
    return tuple(answers)
