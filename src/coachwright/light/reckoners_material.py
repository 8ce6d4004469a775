"""Single calculations: what do glass, the colour of a light and retroreflective film do?"""

from __future__ import annotations

import math

from coachwright.kit.cite import Cite
from coachwright.kit.figures import source_of
from coachwright.kit.reckoner import (
    NUMBER,
    POSITIVE,
    YES_NO,
    Bounds,
    InputRefused,
    Key,
    Outcome,
    Part,
    Result,
    Source,
    Value,
    one,
    reckoner,
)
from coachwright.light import colour, glass, retro

_SHARE_OF_LIGHT = Bounds("more than 0 and at most 100 %", above=0.0, most=1.0)


@reckoner(
    room="light",
    name="glass",
    title="Light that gets through a pane at an angle",
    keys=(
        one(
            "angle",
            "angle",
            "between the light and the pane's upright",
            example="60 deg",
            bounds=Bounds("from 0 to 90 deg", least=0.0, most=math.pi / 2.0 * (1.0 + 1e-12)),
        ),
        one(
            "index",
            NUMBER,
            "refractive index of the pane",
            example="1.52",
            default="1.52",
            bounds=Bounds("more than 1 and at most 4", above=1.0, most=4.0),
        ),
        one(
            "transmittance",
            "share",
            "what the tinted pane lets through straight on; clear when left out",
            example="70 %",
            optional=True,
            bounds=_SHARE_OF_LIGHT,
        ),
        one(
            "film",
            "share",
            "what a film on its face lets through, at every angle alike",
            example="35 %",
            optional=True,
            bounds=_SHARE_OF_LIGHT,
        ),
    ),
    results=(
        Result("face_reflectance", "1", NUMBER, "thrown back by one face"),
        Result("clear_transmittance", "1", NUMBER, "let through by the pane without tint"),
        Result("transmittance", "1", NUMBER, "let through by this pane, film and all"),
        Result("reflectance", "1", NUMBER, "thrown back by this pane like by a mirror, both faces"),
    ),
    formula="R_s = ((cos i - n cos t) / (cos i + n cos t))^2,  R_p = ((n cos i - cos t) / (n cos i + cos t))^2\n"
    "clear   mean over s and p of  (1 - R) / (1 + R)\n"
    "tinted  mean of  (1 - R)^2 u / (1 - R^2 u^2),  u = tau^(1 / cos t),  sin i = n sin t\n"
    "back    mean of  R + R (1 - R)^2 w^2 / (1 - R^2 w^2),  w = u times the film's share",
    valid="Flat uncoated pane, unpolarised light, tint through the thickness of the glass.",
    sources=(Source("Fresnel's equations, textbooks of optics", state="memory"),),
    caution="What a window may be covered with is a matter of federal and state law.",
)
def pane(*, angle: float, index: float, transmittance: float | None, film: float | None) -> Outcome:
    """Reflectance and transmittance of one pane."""
    angle = min(angle, math.pi / 2.0)
    clear = glass.clear_transmittance(angle, index=index)
    through = clear
    if transmittance is not None:
        try:
            through = glass.tinted_transmittance(angle, at_normal=transmittance, index=index)
        except ValueError as why:
            raise InputRefused(
                f"glass: 'transmittance={100 * transmittance:g} %': {why}. Write less, or leave it out."
            ) from None
    straight = glass.clear_transmittance(0.0, index=index) if transmittance is None else transmittance
    share = 1.0 if film is None else film
    values: dict[str, Value] = {
        "face_reflectance": glass.face_reflectance(angle, index=index).mean,
        "clear_transmittance": clear,
        "transmittance": through * share,
        "reflectance": glass.pane_reflectance(angle, at_normal=straight, film_share=share, index=index),
    }
    return Outcome(values)


@reckoner(
    room="light",
    name="chromaticity",
    title="Whether a light is red, amber, white... as the standards draw the line",
    keys=(
        one("x", NUMBER, "CIE 1931 x", example="0.690", bounds=Bounds("from 0 to 1", least=0.0, most=1.0)),
        one("y", NUMBER, "CIE 1931 y", example="0.305", bounds=Bounds("from 0 to 1", least=0.0, most=1.0)),
    ),
    results=(Result("STANDARD COLOUR", "yes/no", YES_NO, "one for each standard and colour: whether it lies inside"),),
    formula="inside where every boundary of the colour's field holds; a point on a boundary is inside",
    valid="CIE 1931 coordinates, 2 degree observer. Fields marked draft haven't been read on the printed page.",
    sources=(),
    caution="Which colour may be shown where is a matter of state and local law.",
)
def chromaticity(*, x: float, y: float) -> Outcome:
    """Every standard's answer to one colour."""
    if x + y > 1.0 + 1e-9:
        raise InputRefused(f"chromaticity: 'x={x:g} y={y:g}': x and y together are at most 1. Check the reading.")
    values: dict[str, Value] = {}
    details: dict[str, dict[str, str]] = {}
    sources: dict[Cite, None] = {}
    for answer in colour.judge(x, y):
        key = f"{answer.field.standard} {answer.field.colour}"
        values[key] = answer.inside
        details[key] = {"status": answer.field.cite.status}
        if answer.failed is not None:
            details[key]["boundary"] = answer.failed.name
        sources[answer.field.cite] = None
    notes: tuple[str, ...] = ()
    if colour.outside_locus(x, y) > colour.spectral_locus().allowance:
        notes = ("This point lies outside the spectral locus: no light has this colour. Check the reading.",)
    return Outcome(
        values,
        notes,
        units=dict.fromkeys(values, "yes/no"),
        details=details,
        sources=tuple(source_of(cite) for cite in sources),
    )


@reckoner(
    room="light",
    name="retroreflection",
    title="Light a patch of film sends back, per lux on it, at the least its class allows",
    keys=(
        Key("film", (Part("text"),), "class of the film, as in the table of films", "dot-c2"),
        one("width", "length", "of the patch", example="2 in", bounds=POSITIVE),
        one("height", "length", "of the patch", example="12 in", bounds=POSITIVE),
        one("observation", "angle", "between headlamp and eye, seen from the film", example="0.2 deg"),
        one("entrance", "angle", "between the light and the film's upright", example="-4 deg"),
        Key("colour", (Part("text"),), "of the film", "white", default="white"),
    ),
    results=(
        Result("intensity_per_lux", "cd/lx", "intensity-per-illuminance", "coefficient of luminous intensity"),
        Result("coefficient", "cd/lx/m2", "retroreflection", "tabulated least R_A"),
    ),
    formula="R = R_A x width x height",
    valid="New, clean film at the tabulated angles only; nothing is guessed between them.",
    sources=(),
)
def retroreflection(
    *,
    film: str,
    width: float,
    height: float,
    observation: float,
    entrance: float,
    colour: str,
) -> Outcome:
    """Coefficient of luminous intensity of a patch of film."""
    try:
        figure = retro.find_film(
            film, colour=colour, observation_deg=math.degrees(observation), entrance_deg=math.degrees(entrance)
        )
    except retro.NoFigure as why:
        raise InputRefused(f"retroreflection: {why}") from None
    sent = retro.luminous_intensity_coefficient_cd_lx(figure.coefficient_cd_lx_m2, width_m=width, height_m=height)
    return Outcome(
        {"intensity_per_lux": sent, "coefficient": figure.coefficient_cd_lx_m2}, sources=(source_of(figure.cite),)
    )
