"""Draws the pictures the README shows anew, into docs/pictures/."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from coachwright.build.load import load_build
from coachwright.draw.asked_of_light import packs_of
from coachwright.draw.light_plates import elevation_of, most_of_all, rose_of
from coachwright.draw.sheet import Plate, plate_svg
from coachwright.draw.svg import element, group
from coachwright.draw.work_light_plates import ground_maps, ground_of
from coachwright.look.style import PAPER

HERE = Path(__file__).resolve().parents[1]
FOLDER = HERE / "docs" / "pictures"
EDGE_MM = 4.0


def pictures() -> dict[str, str]:
    """Name of each file and what is in it."""
    made: dict[str, Plate] = {}
    path = HERE / "examples" / "quillback" / "build.yaml"
    model = load_build(path).model
    assert model is not None
    packs = packs_of(model, path.parent)
    made["quillback-rose"] = rose_of(model, packs, "answering", size_mm=84.0, most_cd=most_of_all(model))
    made["quillback-elevation"] = elevation_of(model, packs, "answering", width_mm=170.0, height_mm=62.0)
    path = HERE / "examples" / "service-patrol" / "build.yaml"
    model = load_build(path).model
    assert model is not None
    ((name, found, _),) = ground_maps(model)
    made["service-patrol-ground"] = ground_of(
        model, name, found, width_mm=170.0, height_mm=142.0, name="ground", in_words=False
    )
    return {f"{name}.svg": plate_svg(_on_paper(plate)) for name, plate in made.items()}


def _on_paper(plate: Plate) -> Plate:
    """With a white ground and an edge: a screen's own may be dark."""
    wide, tall = plate.width_mm + 2 * EDGE_MM, plate.height_mm + 2 * EDGE_MM
    ground = element("rect", width=wide, height=tall, fill=PAPER)
    inside = group(*plate.elements, dx_mm=EDGE_MM, dy_mm=EDGE_MM)
    return replace(plate, width_mm=wide, height_mm=tall, elements=(ground, inside))


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, svg in pictures().items():
        (FOLDER / name).write_text(svg, encoding="utf-8")
        print(FOLDER / name)
