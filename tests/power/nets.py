"""Bodies with nothing but joints and ways, and the three examples: what the tests of the harness are made of."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.parts.schema import BodyPart, Joint, KeepOut, Place, Way
from coachwright.parts.store import load_catalogue
from coachwright.power.route import Net

EXAMPLES = ("quillback", "volunteer-car", "service-patrol")
ROOT = Path(__file__).resolve().parents[2]


@cache
def example(name: str) -> Model:
    """The model of an example's base."""
    model = load_build(ROOT / "examples" / name / "build.yaml").model
    assert model is not None
    return model


def changed(model: Model, **changes: object) -> Model:
    """The same build with other fields. Its digest goes, so that nothing remembered is taken for it."""
    return dataclasses.replace(model, digest="", **changes)  # type: ignore[arg-type]


def with_body(model: Model, **changes: object) -> Model:
    """The same build on a changed body."""
    return changed(model, body=model.body.model_copy(update=changes))


def with_way(model: Model, name: str, **changes: object) -> Model:
    """The same build on a body with one way changed."""
    ways = {**model.body.ways, name: model.body.ways[name].model_copy(update=changes)}
    return with_body(model, ways=ways)


@cache
def pickup() -> BodyPart:
    part = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(part, BodyPart)
    return part


def bare(
    joints: Mapping[str, Joint],
    ways: Mapping[str, Way],
    *,
    places: Mapping[str, Place] | None = None,
    keep_outs: Mapping[str, KeepOut] | None = None,
) -> BodyPart:
    """The pickup with these joints, ways, places and boxes and no others."""
    changes = {"joints": joints, "ways": ways, "places": places or {}, "keep_outs": keep_outs or {}}
    return pickup().model_copy(update=changes)


def way(start: str, end: str, **more: object) -> Way:
    """A cabin way of 60 degC."""
    return Way.model_validate({"from": start, "to": end, "zone": "cabin", "ambient": 60.0} | more)


def joint(x: float, y: float = 0.0, z: float = 1.0, **more: object) -> Joint:
    return Joint.model_validate({"x": x, "y": y, "z": z} | more)


@st.composite
def bodies(draw: st.DrawFn) -> BodyPart:
    """Up to nine joints anywhere, and ways between some of them, straight or longer than drawn."""
    count_n = draw(st.integers(2, 9))
    spot = st.integers(-3000, 3000).map(lambda mm: mm / 1000)
    joints = {f"j{number}": joint(draw(spot), draw(spot), draw(spot)) for number in range(count_n)}
    pairs = [(one, other) for one in range(count_n) for other in range(one)]
    chosen = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=14, unique=True))
    ways = {}
    for number, (one, other) in enumerate(chosen):
        longer_m = draw(st.sampled_from([0.0, 0.0, 0.4, 3.0]))
        drawn_m = math.dist(*((each.x, each.y, each.z) for each in (joints[f"j{one}"], joints[f"j{other}"])))
        length_m = drawn_m + longer_m if longer_m else 0.0
        ways[f"w{number}"] = way(f"j{one}", f"j{other}", length=length_m)
    return bare(joints, ways)


def distances_m(net: Net) -> dict[tuple[str, str], float]:
    """Shortest lengths between all joints by Floyd and Warshall: every joint in turn as a stop on the way."""
    nodes = sorted(net.nodes)
    far = {(one, other): 0.0 if one == other else math.inf for one in nodes for other in nodes}
    for one in nodes:
        for other, segment in net.ways[one]:
            far[one, other] = min(far[one, other], segment.length_m)
    for stop in nodes:
        for one in nodes:
            for other in nodes:
                far[one, other] = min(far[one, other], far[one, stop] + far[stop, other])
    return far
