"""Models small enough to work out by hand: the pickup of the catalogue with a few heads on it."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from coachwright.build.model import Head, Job, Model
from coachwright.parts.schema import BodyPart, LampPart
from coachwright.parts.store import load_catalogue


@pytest.fixture(scope="session")
def body() -> BodyPart:
    """The crew cab pickup with a cap."""
    part = load_catalogue().get("crew-cab-pickup-with-cap")
    assert isinstance(part, BodyPart)
    return part


@pytest.fixture(scope="session")
def model_of(body: BodyPart) -> Callable[..., Model]:
    """A model with these heads on this body."""

    def make(*heads: Head, vehicle: BodyPart = body) -> Model:
        catalogue = load_catalogue()
        names = {head.part for head in heads if head.part}
        parts = {name: catalogue.get(name) for name in names}
        return Model(
            file="build.yaml",
            digest="",
            version=1,
            job=Job("", "", "", "", "", "USD", "", ()),
            count=1,
            body=vehicle,
            packs=(),
            parts=tuple((name, part) for name, part in parts.items() if part is not None),
            heads=heads,
            groups=(),
            inputs=(),
            words=(),
            memories=(),
            ranks=("road",),
            functions=(),
            messages=(),
            limits=(),
            stops=(),
            equipment=(),
            outputs=(),
            situations=(),
            promises=(),
            waivers=(),
        )

    return make


@pytest.fixture(scope="session")
def head_at() -> Callable[..., Head]:
    """A head at a place; everything else as most lamps have it."""
    plain = Head(
        id="a",
        lamp="a",
        side="",
        number=0,
        part="short-red-white",
        head_index=0,
        place="grille",
        aim_rad=0.0,
        elevation_rad=0.0,
        colours=("red", "white"),
        burns_together=False,
        reach="own",
        sync_group="controller",
        clock_tolerance_share=0.0,
        path="lamps.a",
    )

    def make(place: str, **changes: object) -> Head:
        return replace(plain, place=place, **changes)  # type: ignore[arg-type]

    return make


@pytest.fixture(scope="session")
def lamp() -> Callable[[str], LampPart]:
    """A lamp of the catalogue."""

    def find(name: str) -> LampPart:
        part = load_catalogue().get(name)
        assert isinstance(part, LampPart)
        return part

    return find
