"""What a trailer hides."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model_fitted import Trailer
from coachwright.light.far_field import Grid
from coachwright.light.trailer import Box, box_of, seen_past
from coachwright.parts.schema import BodyPart
from coachwright.parts.store import load_catalogue

DEG = math.radians(1.0)
BOX = Box((-8.0, -1.0, 0.0), (-5.0, 1.0, 1.5))


def seen(
    position_m: tuple[float, float, float], bearing_deg: float, elevation_deg: float = 0.0, box: Box = BOX
) -> bool:
    found = seen_past(box, [position_m], Grid((bearing_deg * DEG,), (elevation_deg * DEG,)))
    return bool(found[0, 0, 0])


# ------------------------------------------------------------------------------------------------------------- print
@pytest.mark.parametrize(("out_m", "edge_deg"), [(0.8, math.degrees(math.atan(0.2))), (0.0, 45.0)])
def test_looks_past_the_front_corner(out_m: float, edge_deg: float) -> None:
    """Plane geometry: 1 m before the box, `out` from the middle of 2 m: past its corner from atan((1 - out) / 1)."""
    lamp = (-4.0, out_m, 1.0)

    assert not seen(lamp, 180.0 + edge_deg - 0.01)  # bearings run clockwise, so beyond 180 deg is to the left
    assert seen(lamp, 180.0 + edge_deg + 0.01)


def test_looks_over_the_top_and_its_far_edge() -> None:
    """Plane geometry: 0.5 m under the top, 1 m before it, over from atan(0.5 / 1); higher up, level is enough."""
    assert not seen((-4.0, 0.0, 1.0), 180.0, math.degrees(math.atan(0.5)) - 0.01)
    assert seen((-4.0, 0.0, 1.0), 180.0, math.degrees(math.atan(0.5)) + 0.01)
    assert seen((-4.0, 0.0, 1.51), 180.0)
    assert not seen((-4.0, 0.0, 1.51), 180.0, -1.0)


def test_nothing_ahead_is_hidden() -> None:
    """Law: a box behind the lamp is met by no ray that runs forward or straight aside."""
    assert all(seen((-4.0, 0.3, 1.0), bearing) for bearing in (0.0, 45.0, 90.0, 270.0, 315.0))


def test_where_the_box_stands() -> None:
    """Case: behind the coupling by the drawbar; without a size or a coupling nobody knows."""
    body = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(body, BodyPart)
    assert body.hitch is not None
    trailer = Trailer("t", 10.0, 100.0, "", False, "", "trailer.t", 2.0, 1.5, 3.0, 1.0)
    x_m = body.hitch.x

    assert box_of(trailer, body) == Box((x_m - 4.0, -1.0, 0.0), (x_m - 1.0, 1.0, 1.5))
    assert box_of(Trailer("t", 10.0, 100.0, "", False, "", "trailer.t", 2.0, None, 3.0), body) is None
    assert box_of(trailer, body.model_copy(update={"hitch": None})) is None


# --------------------------------------------------------------------------------------------------------------- law
@given(
    st.tuples(st.floats(-4.9, 0.0), st.floats(-1.0, 1.0), st.floats(0.1, 2.5)),
    st.floats(0.0, 360.0),
    st.floats(-10.0, 30.0),
    st.floats(0.0, 1.0),
)
def test_a_smaller_trailer_hides_no_more(
    position_m: tuple[float, float, float], bearing_deg: float, elevation_deg: float, share: float
) -> None:
    """Law: what is seen past a box is seen past each box inside it."""
    inner = Box((-5.0 - 3.0 * share, -share, 0.0), (-5.0, share, 1.5 * share))

    assert seen(position_m, bearing_deg, elevation_deg, inner) >= seen(position_m, bearing_deg, elevation_deg)


@given(st.floats(-4.9, 0.0), st.floats(-1.0, 1.0), st.floats(0.1, 2.5), st.floats(0.0, 360.0))
def test_left_and_right_are_hidden_alike(x_m: float, y_m: float, z_m: float, bearing_deg: float) -> None:
    """Law: the mirror image of a lamp sees the mirror image of what it sees, but for rays along a face."""
    here, there = seen((x_m, y_m, z_m), bearing_deg), seen((x_m, -y_m, z_m), -bearing_deg)
    near = seen((x_m, y_m, z_m), bearing_deg + 1e-6), seen((x_m, y_m, z_m), bearing_deg - 1e-6)

    assert here == there or near[0] != near[1]
