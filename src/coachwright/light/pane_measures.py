"""What can be asked about panes: how dark are they, is the lamp behind one seen in the sun, does it dazzle the driver?

See Also
--------
coachwright.light.lamp_measures : the share of a lamp's light that gets out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from coachwright.build.model import Model
from coachwright.control.situations import settings_of
from coachwright.flash.measures import WARNING_RANKS
from coachwright.kit.geom import bearing_and_elevation, direction
from coachwright.kit.measure import Measure, facts, measures
from coachwright.kit.table import Column, Table
from coachwright.light.coverage import brightest_cd, effective_cd, gathered, merged
from coachwright.light.driver import driver_eyes
from coachwright.light.far_field import Grid, Pane, pane_transmittance
from coachwright.light.lit import Glow, glows, voltages
from coachwright.light.mirrored import Reflection, reflection_at, veil_of
from coachwright.light.seen import seen_toward
from coachwright.light.veil import Daylight, noticed_m, veil_cd_m2
from coachwright.place.glass import FittedPane, all_fitted, pane_before
from coachwright.place.panels import open_panels

_ASIDE_RAD = tuple(math.radians(15.0 * step) for step in range(-3, 4))
_STRAIGHT = 3

_DAY_COLUMNS = (
    Column("bearing", "angle"),
    Column("intensity", "luminous-intensity", "effective intensity"),
    Column("share", "share", "through the pane"),
    Column("veil", "luminance", "mirrored over it"),
    Column("distance", "length", "noticed at"),
)
_MIRROR_COLUMNS = (
    Column("head", "word"),
    Column("intensity", "luminous-intensity", "toward the eye"),
    Column("share", "share", "thrown back"),
    Column("angle", "angle", "from the line of sight"),
    Column("veil", "luminance"),
)


@measures("light.pane-share", kind="share", per_situation=False, clear="share")
def pane_share(model: Model, *, clear: float) -> tuple[Measure, ...]:
    """How much light does each pane the driver looks through let through straight on, film and all?

    Of panes behind the driver those answer to which the build does something. clear : what a pane let through at least,
    as it came, that is meant to be looked through.
    """
    answers = []
    for pane in all_fitted(model):
        window = model.body.glass[pane.name].window
        if window == "behind-driver" and not (pane.film or pane.part):
            continue
        done = [f"with {pane.film}"] if pane.film else []
        done += [f"replaced by {pane.part}"] if pane.part else []
        aspects = [f"{pane.path}.film"] if pane.film else []
        aspects += [f"{pane.path}.pane"] if pane.part else []
        answers.append(
            Measure(
                "light.pane-share",
                pane.transmittance * pane.film_share,
                "share",
                about=pane.path,
                blame=(*aspects, pane.path),
                where=" ".join((pane.called, *done)),
                facts=facts(
                    glass=pane.called,
                    window=window,
                    film=pane.film,
                    filmed="yes" if pane.film else "no",
                    replaced="yes" if pane.part else "no",
                    came="clear" if pane.came >= clear else "dark",
                ),
            )
        )
    return tuple(answers)


@measures(
    "light.noticed-through-glass",
    kind="length",
    background="luminance",
    sky="luminance",
    ground="luminance",
    visibility="length",
    times="number",
)
def noticed_through_glass(
    model: Model,
    *,
    situation: str,
    background: float,
    sky: float,
    ground: float,
    visibility: float,
    times: float,
) -> tuple[Measure, ...]:
    """How far is each warning lamp behind a pane noticed by day, while the pane mirrors a bright sky?

    Level, where its heads look; the table has the bearings beside it. background : luminance the eye is used to.
    sky, ground : of what the pane mirrors. [cd/m2] visibility : meteorological. [m] times : how many times the least
    light that can be found is asked for.
    """
    day = Daylight(background, sky, ground, visibility, times)
    opened = open_panels(model.body, settings_of(model, situation))
    answers = []
    for chosen in _behind_panes(model, situation, warning=True):
        fitted = pane_before(chosen[0].head, model, opened)
        if fitted is not None:
            answers.append(_noticed(chosen, fitted, situation, day))
    return tuple(answers)


@measures("light.reflection-at-driver", kind="luminance", age="number", gap="length", mirror="share")
def reflection_at_driver(model: Model, *, situation: str, age: float, gap: float, mirror: float) -> tuple[Measure, ...]:
    """What veil does each lamp behind a pane lay on the driver's eye, mirrored in the inside of that pane?

    At the brightest instant of its heads together, limits counted. age : of the driver. [years] gap : from head to
    pane. [m] mirror : what the inner mirror throws back of what lies behind.
    """
    eye_m = driver_eyes(model.body)
    opened = open_panels(model.body, settings_of(model, situation))
    answers = []
    for chosen in _behind_panes(model, situation, warning=False):
        fitted = pane_before(chosen[0].head, model, opened)
        if fitted is None:
            continue
        if eye_m is None:
            answers.append(_reflected(chosen, fitted, situation, None, age))
            continue
        found = [reflection_at(glow.emitter, glow.position_m, eye_m, gap_m=gap, mirror_share=mirror) for glow in chosen]
        answers.append(_reflected(chosen, fitted, situation, found, age))
    return tuple(answers)


# ------------------------------------------------------------------------------------------------------ how it is said
def _behind_panes(model: Model, situation: str, *, warning: bool) -> list[list[Glow]]:
    """What burns behind panes, lamp by lamp; our own lamps only. warning : of the ranks that warn."""
    lamps: dict[str, list[Glow]] = {}
    for glow in glows(model, situation):
        if glow.head.reach != "own" or glow.emitter.pane is None:
            continue
        if not warning or glow.part.rank in WARNING_RANKS:
            lamps.setdefault(glow.lamp, []).append(glow)
    return list(lamps.values())


def _noticed(chosen: Sequence[Glow], fitted: FittedPane, situation: str, day: Daylight) -> Measure:
    middle_rad = _middle_bearing_rad(chosen)
    grid = Grid(tuple((middle_rad + aside) % math.tau for aside in _ASIDE_RAD), (0.0,))
    candela = seen_toward([glow.source for glow in chosen], grid)[:, 0]
    together = merged([glow.part.wave for glow in chosen], [glow.head.sync_group for glow in chosen])
    seen_cd = effective_cd(together, gathered(together, candela)).tolist()
    pane = chosen[0].emitter.pane
    assert pane is not None
    rows = [_row(bearing, level, pane, day) for bearing, level in zip(grid.bearings_rad, seen_cd, strict=True)]
    path = chosen[0].head.path
    _, _, share, veil, distance_m = rows[_STRAIGHT]
    return Measure(
        "light.noticed-through-glass",
        distance_m,
        "length",
        about=path,
        blame=(*((fitted.path,) if fitted.film else ()), f"{path}.at", f"{path}.part", chosen[0].part.path),
        where=f"{chosen[0].lamp} behind {_said(fitted)}, {100 * share:.0f} % through, "
        f"{veil:,.0f} cd/m2 mirrored over it",
        situation=situation,
        facts=facts(
            lamp=chosen[0].head.lamp,
            glass=fitted.called,
            film=fitted.film,
            toward=chosen[0].toward,
            test_voltage=voltages(chosen),
        ),
        table=Table(_DAY_COLUMNS, tuple(rows)),
    )


def _row(bearing_rad: float, level_cd: float, pane: Pane, day: Daylight) -> tuple[float, ...]:
    toward = direction(bearing_rad=bearing_rad, elevation_rad=0.0)
    veil = veil_cd_m2(pane, toward, day)
    return (bearing_rad, level_cd, pane_transmittance(pane, toward), veil, noticed_m(level_cd, veil, day))


def _middle_bearing_rad(chosen: Sequence[Glow]) -> float:
    """Bearing of where the heads look together."""
    x, y, z = (sum(glow.emitter.forward[axis] for glow in chosen) for axis in range(3))
    level = math.hypot(x, y) > 1e-9
    return bearing_and_elevation((x, y, z))[0] if level else chosen[0].bearing_rad


def _reflected(
    chosen: Sequence[Glow],
    fitted: FittedPane,
    situation: str,
    found: Sequence[Reflection | None] | None,
    age_years: float,
) -> Measure:
    path = chosen[0].head.path
    said = facts(
        lamp=chosen[0].head.lamp,
        glass=fitted.called,
        film=fitted.film,
        rank=chosen[0].part.rank,
        manner="steady" if all(glow.part.wave.is_constant for glow in chosen) else "flashing",
        test_voltage=voltages(chosen),
    )
    blame = (f"{path}.at", f"{path}.aim", chosen[0].part.path)
    where = f"{chosen[0].lamp} mirrored in {_said(fitted)}"
    if found is None:
        why = "the body says nothing of the driver's seat"
        return Measure(
            "light.reflection-at-driver", None, "luminance", path, blame, where, situation, said, why_not=why
        )
    veils = [0.0 if each is None else veil_of(each, age_years=age_years) for each in found]
    candela = [0.0 if each is None else each.intensity_cd for each in found]
    together = merged([glow.part.wave for glow in chosen], [glow.head.sync_group for glow in chosen])
    veil, sent_cd = brightest_cd(together, gathered(together, np.array([veils, candela]).T)).tolist()
    worst = found[max(range(len(veils)), key=veils.__getitem__)]
    if worst is not None and sent_cd > 0.0:
        way = "in the mirror" if worst.in_mirror else "ahead"
        off_deg = math.degrees(worst.off_sight_rad)
        where += f", {sent_cd:.3g} cd {way}, {off_deg:.0f} deg off the road"
    else:
        where += ": away from the driver"
    rows = tuple(
        (glow.head.id, each.intensity_cd, each.share, each.off_sight_rad, veiled)
        for glow, each, veiled in zip(chosen, found, veils, strict=True)
        if each is not None
    )
    return Measure(
        "light.reflection-at-driver",
        veil,
        "luminance",
        path,
        blame,
        where,
        situation,
        said,
        Table(_MIRROR_COLUMNS, rows) if rows else None,
    )


def _said(fitted: FittedPane) -> str:
    return f"{fitted.called} with {fitted.film}" if fitted.film else fitted.called
