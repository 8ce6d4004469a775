"""How bright is a patch of retroreflective film in somebody's headlamps?

The least coefficients of the classes of film are data (retroreflection.yaml), each with its source and status.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources

from coachwright.kit.cite import Cite
from coachwright.kit.figures import cite_of, named, table_of
from coachwright.kit.near import nearest
from coachwright.kit.nodes import read_nodes

DATA = "retroreflection.yaml"


class NoFigure(LookupError):
    """The table has no such film, colour or geometry. Its text says what was asked and what there is."""


@dataclass(frozen=True, slots=True)
class FilmFigure:
    """Least coefficient of one colour of film at one geometry.

    observation_deg : between the headlamp and the eye, seen from the film. entrance_deg : between the light and the
    film's upright. [deg, as the standards tabulate them]
    coefficient_cd_lx_m2 : R_A. [cd/(lx m2)]
    """

    film: str
    title: str
    colour: str
    observation_deg: float
    entrance_deg: float
    coefficient_cd_lx_m2: float
    cite: Cite


def luminous_intensity_coefficient_cd_lx(coefficient_cd_lx_m2: float, *, width_m: float, height_m: float) -> float:
    """Intensity a flat patch sends back per lux of light falling on it. [cd/lx]

    Parameters
    ----------
    coefficient_cd_lx_m2 : R_A of the film at the geometry in question. [cd/(lx m2)]
    width_m, height_m : of the patch itself, not as seen aslant. [m]

    Notes
    -----
    R = R_A A.

    References
    ----------
    .. [1] ASTM E808 and CIE 54 define both coefficients. From memory.
    """
    return coefficient_cd_lx_m2 * width_m * height_m


@cache
def film_figures() -> tuple[FilmFigure, ...]:
    """Every tabulated figure, in the order of the data file."""
    text = resources.files("coachwright.light").joinpath(DATA).read_text(encoding="utf-8")
    films = table_of(table_of(read_nodes(text, file=DATA).plain, DATA)["films"], DATA)
    figures = []
    for film, entry in films.items():
        what = f"{DATA}, {film}"
        title, cite = named(entry, "title", what), cite_of(entry, what)
        for geometry, colours in table_of(table_of(entry, what)["least"], what).items():
            observation, entrance = (float(part) for part in geometry.split("/"))
            for colour, least in table_of(colours, what).items():
                figures.append(FilmFigure(film, title, colour, observation, entrance, float(str(least)), cite))
    return tuple(figures)


def find_film(film: str, *, colour: str, observation_deg: float, entrance_deg: float) -> FilmFigure:
    """The tabulated figure of a film, colour and geometry. Nothing is guessed between tabulated angles.

    Raises
    ------
    NoFigure : when the table has no such film, colour or geometry; says what it has.
    """
    of_film = [figure for figure in film_figures() if figure.film == film]
    if not of_film:
        names = _listed(figure.film for figure in film_figures())
        near = nearest(film, (figure.film for figure in film_figures()))
        raise NoFigure(f"{film[:40]!r}: no such film. {f'Did you mean {near[0]}?' if near else f'There are {names}.'}")
    of_colour = [figure for figure in of_film if figure.colour == colour]
    if not of_colour:
        have = _listed(figure.colour for figure in of_film)
        raise NoFigure(f"{colour[:40]!r}: {of_film[0].title} has no figure for this colour. Write one of {have}.")
    for figure in of_colour:
        if abs(figure.observation_deg - observation_deg) < 1e-6 and abs(figure.entrance_deg - entrance_deg) < 1e-6:
            return figure
    have = _listed(f"{figure.observation_deg:g} deg and {figure.entrance_deg:g} deg" for figure in of_colour)
    raise NoFigure(
        f"observation {observation_deg:g} deg and entrance {entrance_deg:g} deg: {of_film[0].title} in {colour} has no "
        f"figure at these angles. Write one of {have}."
    )


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
