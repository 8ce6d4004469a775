"""How much light does each colour of each head send toward every direction round the vehicle, far away?

Far away all heads sit at one point: only where they look counts, not where they stand. What is right before them
counts: the pane a head stands behind, at the angle at which the light meets it, and the body itself, past the angle to
which a place looks out freely. What stands farther off in the way is light.shadow's.

One answer per head and colour is remembered (`head_far_field`), so that a changed aim works out one head anew.

See Also
--------
coachwright.place.poses : where the heads look. coachwright.light.coverage : what becomes of it over time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwright.build.model import Colour, Head, Model
from coachwright.kit.geom import Vector, angle_between, cross, directions
from coachwright.kit.once import once
from coachwright.light.glass import clear_transmittance, tinted_transmittance, tinted_transmittances
from coachwright.parts.photometry import beam_table, bilinear
from coachwright.parts.schema import ColourOutput, LampPart
from coachwright.parts.standing import place_pose
from coachwright.place import glass
from coachwright.place.panels import carried, is_open
from coachwright.place.poses import moved_pose, place_and_side

Floats: TypeAlias = NDArray[np.float64]

COMPILED_FROM_PAIRS = 4_000_000
"""From so many pairs of a head's colour and a direction on, the compiled loop is used. Importing numba and loading the
loop takes 0.3 s, and numpy looks up some 3 million pairs in that time; a whole vehicle toward 72 bearings and three
elevations is 15 000. Both ways agree to rounding."""

EVERYTHING: Floats = np.empty(0)
EVERYTHING.flags.writeable = False
"""Shares where nothing stands in the way: none. Read-only like those of a pane, so that one loop is compiled."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Grid:
    """Directions round the vehicle: every bearing at every elevation, clockwise from the nose and up. [rad]"""

    bearings_rad: tuple[float, ...]
    elevations_rad: tuple[float, ...]

    @property
    def shape(self) -> tuple[int, int]:
        """Elevations, bearings."""
        return len(self.elevations_rad), len(self.bearings_rad)


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Pane:
    """A pane as it stands.

    normal : outward unit normal, vehicle frame. transmittance : of the glass straight on, 0 < t <= 1.
    index : of refraction. film_share : of a film on it, 1 for none.
    """

    normal: Vector
    transmittance: float
    index: float
    film_share: float = 1.0


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Emitter:
    """One colour of one head as it stands, with what is in its way.

    forward, up : unit vectors of its pose, vehicle frame.
    outward, clear_rad : past this angle from that direction the body is in the way; a half turn for none. [rad]
    """

    forward: Vector
    up: Vector
    output: ColourOutput
    outward: Vector
    clear_rad: float = math.pi
    pane: Pane | None = None


# ---- from the model


def emitter_of(head: Head, model: Model, colour: Colour, open_panels: frozenset[str] = frozenset()) -> Emitter | None:
    """One colour of a head while these panels stand open; None when the part has no figures for that colour."""
    output = output_of(head, model, colour)
    if output is None:
        return None
    pose = moved_pose(head, model, open_panels)
    outward, clear_rad = looks_out(head, model, open_panels)
    return Emitter(pose.forward, pose.up, output, outward, clear_rad, pane_before(head, model, open_panels))


def looks_out(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> tuple[Vector, float]:
    """Where a head's place looks out freely while these panels stand open, and to which angle from there."""
    place, side = place_and_side(head, model.body)
    out = place_pose(place, side)
    if is_open(model.body, place.panel, side, open_panels):
        out = carried(out, model.body, place.panel, side)
    return out.forward, place.clear


def output_of(head: Head, model: Model, colour: Colour) -> ColourOutput | None:
    """What the part's sheet says of that colour."""
    if head.reach != "own":
        return model.body.lamps[head.lamp].heads[head.head_index].colours.get(colour)
    part = model.part(head.part)
    return part.heads[head.head_index].colours.get(colour) if isinstance(part, LampPart) else None


def pane_before(head: Head, model: Model, open_panels: frozenset[str] = frozenset()) -> Pane | None:
    """The pane a head looks through while these panels stand open."""
    fitted = glass.pane_before(head, model, open_panels)
    normal = glass.pane_normal(head, model.body, open_panels)
    if fitted is None or normal is None:
        return None
    return Pane(normal, fitted.transmittance, fitted.index, fitted.film_share)


# ---- light


def far_field(emitters: Sequence[Emitter], grid: Grid, *, compiled: bool | None = None) -> Floats:
    """Intensity of each emitter at full light toward each direction of the grid. [cd]

    Parameters
    ----------
    compiled : whether to use the compiled loop; None decides by the amount of work (`COMPILED_FROM_PAIRS`), so equal
        work is always done in the same way.

    Returns
    -------
    Shape (emitters, elevations, bearings).
    """
    if compiled is None:
        compiled = len(emitters) * math.prod(grid.shape) >= COMPILED_FROM_PAIRS
    found = np.empty((len(emitters), *grid.shape))
    for place, emitter in enumerate(emitters):
        found[place] = head_far_field(emitter, grid, compiled)
    return found


@once(max_bytes=128_000_000)
def head_far_field(emitter: Emitter, grid: Grid, compiled: bool = False) -> Floats:
    """Intensity of one colour of one head at full light, shape (elevations, bearings), read-only. [cd]

    Notes
    -----
    Type A look-up, bilinear between the angles of the part's table, zero outside it; times what the pane lets through
    toward each direction; zero where the body is in the way.
    """
    vectors = grid_vectors(grid)
    share = pane_share(emitter.pane, grid) if emitter.pane else EVERYTHING
    seek = _compiled_look_up if compiled else plain_look_up
    return seek(emitter, vectors, share).reshape(grid.shape)


@once(max_bytes=16_000_000)
def grid_vectors(grid: Grid) -> Floats:
    """Unit vectors of a grid, elevation by elevation, shape (3, directions)."""
    bearings = np.array(grid.bearings_rad, dtype=np.float64)
    elevations = np.array(grid.elevations_rad, dtype=np.float64)
    return np.ascontiguousarray(directions(bearings[None, :], elevations[:, None]).reshape(-1, 3).T)


@once(max_bytes=16_000_000)
def pane_share(pane: Pane, grid: Grid) -> Floats:
    """Share a pane lets through toward each direction of a grid, shape (directions,); nothing gets out backward."""
    return share_through(pane, grid_vectors(grid))


def share_through(pane: Pane | None, vectors: Floats) -> Floats:
    """The same along unit vectors (3, N); `EVERYTHING` without a pane."""
    if pane is None:
        return EVERYTHING
    cosines = np.array(pane.normal) @ vectors
    out = cosines > 0.0
    shares = np.zeros(len(cosines))
    shares[out] = tinted_transmittances(
        np.minimum(cosines[out], 1.0), at_normal=at_normal(pane), film_share=pane.film_share, index=pane.index
    )
    return shares


def pane_transmittance(pane: Pane, vector: Vector) -> float:
    """Share of the light along a unit vector that gets through the pane."""
    angle_rad = angle_between(pane.normal, vector)
    if angle_rad >= math.pi / 2:
        return 0.0
    return tinted_transmittance(angle_rad, at_normal=at_normal(pane), film_share=pane.film_share, index=pane.index)


def at_normal(pane: Pane) -> float:
    """What it lets through straight on; a pane marked clearer than glass can be is clear glass."""
    return min(pane.transmittance, clear_transmittance(0.0, index=pane.index))


@once(max_bytes=4_000_000)
def candela_toward(emitter: Emitter, vector: Vector) -> float:
    """Intensity of one emitter at full light along one unit vector, glass and body counted. [cd]"""
    share = np.array([pane_transmittance(emitter.pane, vector)]) if emitter.pane else EVERYTHING
    return float(plain_look_up(emitter, np.array(vector)[:, None], share)[0])


def plain_look_up(emitter: Emitter, vectors: Floats, share: Floats) -> Floats:
    """In numpy: only directions that can lie in the table are turned into angles."""
    table = beam_table(emitter.output)
    ahead, left, up = axes_of(emitter) @ vectors
    v, h = table.vertical_rad, table.horizontal_rad
    near = (up >= math.sin(v[0]) - 1e-12) & (up <= math.sin(v[-1]) + 1e-12)
    if h[0] > -math.pi / 2 and h[-1] < math.pi / 2:
        near &= ahead >= 0.0
    near &= np.array(emitter.outward) @ vectors >= clear_cosine(emitter)
    places = np.flatnonzero(near)
    ahead, left, up = ahead[places], left[places], up[places]
    found = np.zeros(vectors.shape[1])
    horizontal, vertical = np.arctan2(-left, ahead), np.arctan2(up, np.hypot(ahead, left))
    found[places] = bilinear(table, horizontal, vertical)
    return found * share if len(share) else found


def _compiled_look_up(emitter: Emitter, vectors: Floats, share: Floats) -> Floats:
    from coachwright.light.kernel import look_up

    table = beam_table(emitter.output)
    found = np.empty(vectors.shape[1])
    look_up(
        vectors,
        axes_of(emitter),
        table.vertical_rad,
        table.horizontal_rad,
        table.candela_cd,
        np.array(emitter.outward),
        clear_cosine(emitter),
        share,
        found,
    )
    return found


def clear_cosine(emitter: Emitter) -> float:
    """Of the angle past which the body is in the way; a half turn leaves out nothing."""
    return math.cos(emitter.clear_rad) - 1e-12


def axes_of(emitter: Emitter) -> Floats:
    """Rows forward, left, up."""
    return np.array([emitter.forward, cross(emitter.up, emitter.forward), emitter.up])
