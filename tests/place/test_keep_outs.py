"""Does anything we fit stand where nothing may be fitted?"""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import Equipment, Head, Model
from coachwright.parts.schema import BodyPart, KeepOut
from coachwright.place.checks import place_findings
from coachwright.place.keep_outs import in_box, keep_out_findings

BOX = KeepOut(
    kind="airbag", from_x=-1.0, to_x=-0.5, from_y=0.2, to_y=0.6, from_z=0.9, to_z=1.2, mirrored=True, what="a bag"
)


def boxed(body: BodyPart, **boxes: KeepOut) -> BodyPart:
    """The pickup with these boxes and no others."""
    return body.model_copy(update={"keep_outs": boxes})


def around(body: BodyPart, place: str, kind: str, *, half_m: float = 0.05) -> KeepOut:
    """A box round a place, written for the left."""
    at = body.places[place]
    return KeepOut.model_validate(
        {"kind": kind, "mirrored": at.mirrored, "what": "here"}
        | {f"from-{axis}": getattr(at, axis) - half_m for axis in "xyz"}
        | {f"to-{axis}": getattr(at, axis) + half_m for axis in "xyz"}
    )


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        ("airbag", ("PLC-004", "error")),
        ("curtain", ("PLC-004", "error")),
        ("fuel", ("PLC-005", "warning")),
        ("hot", ("PLC-005", "warning")),
        ("moving", ("PLC-006", "warning")),
    ],
)
def test_a_lamp_in_a_box_is_told(
    kind: str,
    told: tuple[str, str],
    body: BodyPart,
    model_of: Callable[..., Model],
    head_at: Callable[..., Head],
) -> None:
    """Case: a bag throws what stands in its way (common practice; 49 USC 30122 protects it). Once for a pair."""
    pair = (head_at("grille", id="a.left", side="left"), head_at("grille", id="a.right", side="right"))
    (finding,) = place_findings(model_of(*pair, vehicle=boxed(body, box=around(body, "grille", kind))))

    assert (finding.code, finding.severity, finding.about) == (*told, "lamps.a.at")
    assert finding.fix is not None
    assert "guide for body builders" in finding.fix.sentence


def test_the_end_of_a_long_bar_counts(
    body: BodyPart, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Case: the middle of a bar stands free and its end under the curtain: that is told as well."""
    bar = head_at("windshield-top", part="bar-8-red-white")
    at = body.places["windshield-top"]
    curtain = KeepOut(
        kind="curtain", from_x=-2, to_x=0, from_y=0.2, to_y=0.9, from_z=at.z - 0.3, to_z=at.z + 0.1, mirrored=True
    )

    assert [each.code for each in keep_out_findings(model_of(bar, vehicle=boxed(body, curtain=curtain)))] == ["PLC-004"]


def test_equipment_and_its_speakers_are_told(
    body: BodyPart, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Case: an amplifier at the tank, its right speaker at the exhaust; what stands on our own things has no spot."""
    vehicle = boxed(
        body, tank=around(body, "under-rear-seat", "fuel"), pipe=around(body, "bumper-behind", "hot", half_m=0.02)
    )
    amplifier = Equipment(
        "siren", "siren-amplifier", "under-rear-seat", ("bumper-behind.right",), True, False, "equipment.siren"
    )
    other = replace(amplifier, name="tablet", at="command-shelf", speakers=(), path="equipment.tablet")
    model = replace(model_of(vehicle=vehicle), equipment=(amplifier, other))

    assert [(each.code, each.about) for each in keep_out_findings(model)] == [
        ("PLC-005", "equipment.siren.at"),
        ("PLC-005", "equipment.siren.speakers.1"),
    ]


def test_a_body_without_boxes_tells_nothing(
    body: BodyPart, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: what a body doesn't say isn't made up."""
    assert keep_out_findings(model_of(head_at("grille"), vehicle=boxed(body))) == ()


def test_lamps_at_every_place_of_the_pickup_are_free_of_its_own_boxes(
    body: BodyPart, model_of: Callable[..., Model], head_at: Callable[..., Head]
) -> None:
    """Law: a short lamp at any place the body offers stands in none of its boxes."""
    heads = [
        head_at(name, id=name, lamp=name, path=f"lamps.{name}", side="left" if place.mirrored else "")
        for name, place in body.places.items()
        if "lamp" in place.holds
    ]

    assert keep_out_findings(model_of(*heads)) == ()


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0, 2))
def test_a_mirrored_box_is_alike_on_both_sides(x: float, y: float, z: float) -> None:
    """Law: mirror a point and it is still in or still out; beyond any face it is out."""
    assert in_box(BOX, (x, y, z)) == in_box(BOX, (x, -y, z))
    if not (-1.0 < x < -0.5 and 0.2 < abs(y) < 0.6 and 0.9 < z < 1.2):
        assert not in_box(BOX, (x, y, z))
