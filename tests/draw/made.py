"""A job of many lamps on the catalogue's pickup, made by hand: what drawings and papers are tried on."""

from __future__ import annotations

import math
from dataclasses import replace
from hashlib import blake2b
from typing import Any

from coachwright.build.model import Equipment, Head, Job, LawAnswer, Model, Situation, Waiver
from coachwright.parts.schema import BodyPart, LampPart
from coachwright.parts.store import load_catalogue
from tests.control.by_hand import build

BODY = "crew-cab-pickup-with-cap"
LAMPS: tuple[tuple[str, str, str, bool, float], ...] = (
    ("grille", "short-red-white", "grille", True, 0.0),
    ("corner", "short-red-white", "fender-corner", True, 45.0),
    ("push", "short-red-white", "bumper-front", True, 0.0),
    ("visor", "bar-8-red-white", "windshield-top", False, 0.0),
    ("mirror", "short-red-white", "mirror-under", True, 90.0),
    ("rocker-fore", "short-red-white", "rocker-fore", True, 0.0),
    ("rocker-aft", "short-red-white", "rocker-aft", True, 0.0),
    ("cap-side", "long-red-white", "cap-side-high", True, 0.0),
    ("cap-bar", "bar-6-red-amber-white", "cap-hatch-glass", False, 0.0),
    ("tail", "short-red-amber-white", "tail-inner", True, 0.0),
    ("rear-push", "short-red-amber-white", "bumper-rear", True, 0.0),
    ("hatch-under", "short-red-amber", "cap-hatch-underside", True, 0.0),
    ("gate-edge", "short-red-amber", "tailgate-top-edge", True, 0.0),
    ("tray", "short-red-white", "command-tray", True, 0.0),
)
"""Name, part, place, whether there is one on each side, aim in degrees."""


def lamp_heads(name: str, part_name: str, place: str, pair: bool, aim_deg: float) -> list[Head]:
    """The heads of one lamp, as the file door would name them."""
    part = load_catalogue().get(part_name)
    assert isinstance(part, LampPart)
    heads = []
    for side in ("left", "right") if pair else ("",):
        for index, spec in enumerate(part.heads):
            count = len(part.heads)
            pieces = [name, *([side] if side else []), *([str(index + 1)] if count > 1 else [])]
            heads.append(
                Head(
                    id=".".join(pieces),
                    lamp=name,
                    side=side,
                    number=index + 1 if count > 1 else 0,
                    part=part_name,
                    head_index=index,
                    place=place,
                    aim_rad=math.radians(aim_deg),
                    elevation_rad=0.0,
                    colours=tuple(spec.colours),
                    burns_together=part.burns_together,
                    reach="own",
                    sync_group="controller",
                    clock_tolerance_share=0.0,
                    path=f"lamps.{name}",
                )
            )
    return heads


def job_model(lamps: tuple[tuple[str, str, str, bool, float], ...] = LAMPS, **changes: Any) -> Model:
    """The job; `changes` replace fields of the model."""
    catalogue = load_catalogue()
    body = catalogue.get(BODY)
    assert isinstance(body, BodyPart)
    heads = tuple(head for lamp in lamps for head in lamp_heads(*lamp))
    parts = {lamp[1]: catalogue.get(lamp[1]) for lamp in lamps} | {
        name: catalogue.get(name) for name in ("controller-24", "siren-amplifier")
    }
    law = "vehicle code of the invented state"
    answers = (
        LawAnswer("red-forward", "permitted", "letter of the state police on file", "job.law.red-forward"),
        LawAnswer("headlamp-flash", "only when not night", law, "job.law.headlamp-flash"),
    )
    calling = (("slide", "full"), ("gear", "D"), ("speed", 20.1))
    blocking = (("slide", "mid"), ("gear", "P"), ("hatch", "open"))
    name, customer = "Duty command pickups", "Quillback Harbor Rescue District"
    model = replace(
        build(),
        digest=blake2b(repr((lamps, sorted(changes))).encode(), digest_size=16).hexdigest(),
        job=Job(name, customer, "Q-0417", "B", "2027-03-15", "USD", "invented state", answers),
        count=6,
        body=body,
        packs=("house", "public-law-targets"),
        parts=tuple((name, part) for name, part in parts.items() if part is not None),
        heads=heads,
        situations=(
            Situation("answering", calling, (("tone", "wail"),), "calling", 0.0, "situations.answering"),
            Situation("on-scene", blocking, (), "blocking", 14400.0, "situations.on-scene"),
        ),
        equipment=(
            Equipment("main-siren", "siren-amplifier", "under-rear-seat", (), True, False, "equipment.main-siren"),
        ),
        waivers=(
            Waiver("HSE-011", "lamps.tail", "A. Foreman", "The customer wants it so.", "2027-06-30", "waivers.1"),
        ),
    )
    return replace(model, **changes)
