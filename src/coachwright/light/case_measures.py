"""What can be asked of a vehicle with one panel open, or with a trailer on: what is left of each zone, where are gaps?

See Also
--------
coachwright.light.cases : which cases there are, and as what situations they are asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coachwright.build.model import Model
from coachwright.build.model_fitted import Trailer
from coachwright.control.situations import settings_of
from coachwright.kit.by_digest import by_digest
from coachwright.kit.measure import Measure, facts, measures
from coachwright.light.blame import giving_most, looking_toward
from coachwright.light.cases import Cases, cases_of, trailers_on
from coachwright.light.coverage import Gap, effective_cd, first_least, gathered, widest_gap
from coachwright.light.far_field import Floats
from coachwright.light.lit import LEVEL, ROUND, Glow, Light, flashing, glows, power_over_zones, voltages
from coachwright.light.trailer import box_of, seen_past
from coachwright.light.words import bearings
from coachwright.light.zones import zone_totals
from coachwright.place.panels import open_panels
from coachwright.place.zones import Zone


@dataclass(frozen=True, slots=True)
class Shown:
    """The flashing warning light of one case.

    level_cd : effective intensity by bearing, level. totals : optical power of each zone, by glow, (glows,). [cd s/min]
    """

    glows: tuple[Glow, ...]
    level_cd: Floats
    totals: Mapping[Zone, Floats]


@measures("light.open-panel-gap", kind="angle", least="luminous-intensity")
def open_panel_gap(model: Model, *, situation: str, least: float) -> tuple[Measure, ...]:
    """From how wide a run of bearings is too little warning seen with one panel open by itself?

    Asked of situations that stand for blocking, each panel in turn, all others shut.
    least : effective intensity that has to be reached, level. [cd]
    """
    cases, shown = cases_of(model), shown_in_cases(model)
    return tuple(
        _gap(
            "light.open-panel-gap",
            shown[case.name],
            least,
            model,
            situation,
            beside=f"with {case.spoken} open",
            panel=case.spoken,
        )
        for case in cases.opened.get(situation, ())
    )


@measures("light.open-panel-share", kind="share")
def open_panel_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a zone's light is left when one panel opens by itself?

    Asked of situations that stand for blocking; the whole is what the zone gets with every panel shut.
    """
    cases, shown = cases_of(model), shown_in_cases(model)
    answers = []
    for case in cases.opened.get(situation, ()):
        before, after = shown[cases.shut[situation]], shown[case.name]
        for zone, whole in before.totals.items():
            if whole.sum() > 0.0:
                answers.append(
                    _share(
                        "light.open-panel-share",
                        before,
                        after,
                        zone,
                        model,
                        situation,
                        beside=f"with {case.spoken} open",
                        panel=case.spoken,
                    )
                )
    return tuple(answers)


@measures("light.trailer-gap", kind="angle", least="luminous-intensity")
def trailer_gap(model: Model, *, situation: str, least: float) -> tuple[Measure, ...]:
    """From how wide a run of bearings is too little warning of ours seen past the trailer?

    least : effective intensity that has to be reached, level. [cd] The trailer's own lamps count nothing.
    """
    answers = []
    for trailer in trailers_on(model, situation):
        past = _past(model, situation, trailer)
        if past is None:
            answers.append(_size_unknown("light.trailer-gap", "angle", model, situation, trailer))
            continue
        answers.append(
            _gap(
                "light.trailer-gap",
                past[1],
                least,
                model,
                situation,
                beside=f"behind {trailer.name}",
                trailer=trailer.name,
            )
        )
    return tuple(answers)


@measures("light.trailer-share", kind="share")
def trailer_share(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Which share of a zone's light gets past the trailer?"""
    answers = []
    for trailer in trailers_on(model, situation):
        past = _past(model, situation, trailer)
        if past is None:
            answers.append(_size_unknown("light.trailer-share", "share", model, situation, trailer))
            continue
        before, after = past
        answers += [
            _share(
                "light.trailer-share",
                before,
                after,
                zone,
                model,
                situation,
                beside=f"behind {trailer.name}",
                trailer=trailer.name,
            )
            for zone, whole in before.totals.items()
            if whole.sum() > 0.0
        ]
    return tuple(answers)


@by_digest
def shown_in_cases(model: Model) -> dict[str, Shown]:
    """What every panel case shows. Cases that shine alike (three situations that differ in the supply) are one."""
    cases = cases_of(model)
    names = [name for group in cases.opened.values() for name in (case.name for case in group)]
    alike: dict[tuple[object, ...], Shown] = {}
    found: dict[str, Shown] = {}
    for name in (*cases.shut.values(), *names):
        key = (
            open_panels(model.body, settings_of(cases.model, name)),
            tuple((glow.head.id, glow.part) for glow in glows(cases.model, name)),
        )
        if key not in alike:
            alike[key] = _shown(flashing(cases.model, name))
        found[name] = alike[key]
    return found


def _shown(light: Light) -> Shown:
    level = gathered(light.together, light.candela_cd[:, LEVEL])
    return Shown(light.glows, effective_cd(light.together, level), zone_totals(power_over_zones(light)))


@by_digest
def _past(model: Model, situation: str, trailer: Trailer) -> tuple[Shown, Shown] | None:
    """What is shown without the trailer and past it; None where nobody says how large it is."""
    box = box_of(trailer, model.body)
    if box is None:
        return None
    cases: Cases = cases_of(model)
    without = flashing(model, situation)
    behind = flashing(cases.model, cases.trailer_on[situation])
    mask = seen_past(box, [glow.position_m for glow in behind.glows], ROUND)
    return _shown(without), _shown(Light(behind.glows, behind.candela_cd * mask, behind.together))


def _gap(
    name: str, shown: Shown, least_cd: float, model: Model, situation: str, *, beside: str, **told: str
) -> Measure:
    found: Gap = widest_gap(shown.level_cd, least_cd=least_cd)
    middle_rad = found.middle_rad if found.width_rad else ROUND.bearings_rad[first_least(shown.level_cd)]
    return Measure(
        name,
        found.width_rad,
        "angle",
        about=model.situation(situation).path,
        blame=looking_toward(shown.glows, middle_rad),
        where=f"{bearings(found.width_rad, middle_rad)}, {beside}",
        situation=situation,
        facts=facts(test_voltage=voltages(shown.glows), **told),
    )


def _share(  # noqa: PLR0917
    name: str, before: Shown, after: Shown, zone: Zone, model: Model, situation: str, *, beside: str, **told: str
) -> Measure:
    left = float(after.totals[zone].sum()) / float(before.totals[zone].sum())
    return Measure(
        name,
        left,
        "share",
        about=model.situation(situation).path,
        blame=giving_most(before.glows, before.totals[zone].tolist()),
        where=f"zone {zone}, {beside}",
        situation=situation,
        facts=facts(zone=zone, test_voltage=voltages(before.glows), **told),
    )


def _size_unknown(name: str, kind: str, model: Model, situation: str, trailer: Trailer) -> Measure:
    why = f"nothing says how large {trailer.name} is; write its width, height and length"
    if model.body.hitch is None:
        why = f"nothing says where {model.body.name} has its hitch, as it is ordered"
    return Measure(
        name,
        None,
        kind,
        about=model.situation(situation).path,
        blame=(trailer.path,),
        where=f"behind {trailer.name}",
        situation=situation,
        facts=facts(trailer=trailer.name, zone="", test_voltage=""),
        why_not=why,
    )
