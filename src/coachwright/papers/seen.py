"""What is seen of this vehicle, from where, in each situation? One side for the customer, with two pictures.

See Also
--------
coachwright.look.plain_light : the sentences. coachwright.draw.light_plates : the pictures.
"""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING, Any

from coachwright.build.model import Model
from coachwright.control.operator_words import capital, plain_name
from coachwright.draw.asked_of_light import crossings_asked
from coachwright.draw.letters import fitted
from coachwright.draw.light_plates import most_of_all, rose_of, warned
from coachwright.draw.sheet import Plate, plate_svg
from coachwright.draw.work_light_plates import ground_maps, ground_of, table_of
from coachwright.light.pictured import table_maps
from coachwright.light.words import speed
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.look.plain_light import crossing_sentences, told
from coachwright.look.style import STATES
from coachwright.papers.engine import PaperNotMade, set_paper
from coachwright.papers.light_and_time import answered
from coachwright.papers.printed import printed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coachwright.proof.verdict import Verdict
    from coachwright.rules.schema import Pack

NAME = "what-is-seen"
SIZES_PT = (10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
"""Sizes of type that are tried, the largest first. [pt]"""

HOW = (
    "Noticed means: bright enough to catch the eye of somebody who looks that way. Not everybody does. Each distance "
    "is that of the weakest spot on that side; from most spots it is noticed sooner. "
    "These are worked out, not measured."
)
_RUNNING_MM, _ROSE_MM, _MAP_MM = 105.0, 72.0, (96.0, 84.0)
_SHORT_DIGEST, _MOST_NAME = 12, 120
_FIRST = ("calling", "blocking", "moving")
"""Of the situations that warn the rose shows the first that stands for one of these."""

_LIT_LX = 10.0
"""Ground that is darker everywhere is no picture."""

_QUANTITY = re.compile(r"(?<=\d) (?=[a-zA-Z%])")
"""A number stays on one line with its unit."""

_NO_DAY = "2000-01-01"
"""Stands in the file of a job that names no day."""


def what_is_seen(verdict: Verdict) -> bytes:
    """The page of a build, as a PDF.

    Raises
    ------
    PaperNotMade : the text could not be understood, so that there is nothing to tell.
    """
    if verdict.model is None:
        raise PaperNotMade(f"{verdict.file} can't be told in words: its text could not be understood.")
    errors_n = verdict.counts.findings.get("error", 0)
    data = seen_data(verdict.model, verdict.packs, digest=verdict.digest, errors_n=errors_n)
    return set_paper("seen.typ", data, day=_day_of(verdict.model))


def seen_data(model: Model, packs: Sequence[Pack], *, digest: str, errors_n: int = 0) -> dict[str, Any]:
    """Everything the template prints. digest : of the verdict. errors_n : findings that stop delivery."""
    job = model.job
    said = [job.name, job.number, f"revision {job.revision}" if job.revision else ""]
    return {
        "title": printed(f"What is seen, {job.name}"),
        "author": "coachwright",
        "paper": "a4",
        "sizes": list(SIZES_PT),
        "running": fitted(printed("  ·  ".join(each for each in said if each)), width_mm=_RUNNING_MM, size_pt=7.0),
        "digest-line": f"digest {digest[:_SHORT_DIGEST]}",
        "name": printed(job.name[:_MOST_NAME]),
        "customer": printed(job.customer[:_MOST_NAME]),
        "draft": _draft(errors_n),
        "draft-ink": STATES["fail"].ink,
        "situations": _situations(model),
        "crossings": _crossings(model, packs),
        "how": HOW,
        "pictures": _pictures(model, packs),
        "estimate": ESTIMATE,
        "cautions": [
            {"title": each.title, "text": each.text, "defers": each.defers} for each in cautions_of("paper", NAME)
        ],
    }


def _kept_whole(said: str) -> str:
    return _QUANTITY.sub("\u00a0", printed(said))


def _draft(errors_n: int) -> str:
    if not errors_n:
        return ""
    return f"Draft. {errors_n} {'findings stop' if errors_n > 1 else 'finding stops'} delivery."


def _situations(model: Model) -> list[dict[str, str]]:
    found, why = answered(lambda each, _: told(each), model, "")
    if why:
        return [{"title": "Not told", "text": printed(f"{capital(why)}.")}]
    return [{"title": printed(each.title), "text": _kept_whole(" ".join(each.sentences))} for each in found]


def _crossings(model: Model, packs: Sequence[Pack]) -> list[str]:
    found, why = answered(lambda each, _: _crossings_told(each, packs), model, "")
    return [printed(f"Not told: {why}.")] if why else [_kept_whole(each) for each in found]


def _crossings_told(model: Model, packs: Sequence[Pack]) -> tuple[str, ...]:
    asked = crossings_asked(model, packs)
    named = []
    for each in asked:
        when = plain_name(each.measure.situation)
        crossing = next((one for one in model.crossings if one.name == each.measure.facts.get("crossing")), None)
        if crossing is not None:
            at = capital(plain_name(crossing.name))
            named.append(
                f"{at}, {when}, you at {speed(crossing.own_m_s)} and the other at {speed(crossing.cross_m_s)},"
            )
        else:
            own, cross = (float(str(each.arguments.get(name) or 0.0)) for name in ("own", "cross"))
            kind = "a corner in town" if each.arguments.get("from_own") is not None else "an open crossing"
            named.append(f"{kind}, {when}, you at {speed(own)} and the other at {speed(cross)},")
    return crossing_sentences([each.measure for each in asked], named)


def _pictures(model: Model, packs: Sequence[Pack]) -> list[dict[str, Any]]:
    """None where light can't be asked; the situations then say why."""
    found, _ = answered(lambda each, _: _plates(each, packs), model, "")
    return [_picture(plate, said) for plate, said in found]


def _plates(model: Model, packs: Sequence[Pack]) -> list[tuple[Plate, str]]:
    """A rose of the first situation that warns, and what work light falls on; without that another rose."""
    shown = sorted(warned(model), key=lambda each: (*_FIRST, each.stands_for).index(each.stands_for))
    if not shown:
        return []
    first = _rose(model, packs, shown[0].name)
    lit = _lit(model)
    if lit is not None:
        return [first, lit]
    other = next((each for each in shown if each.stands_for != shown[0].stands_for), None)
    return [first] if other is None else [first, _rose(model, packs, other.name)]


def _rose(model: Model, packs: Sequence[Pack], situation: str) -> tuple[Plate, str]:
    rose = rose_of(model, packs, situation, size_mm=_ROSE_MM, most_cd=most_of_all(model), plain=True)
    return rose, f"How strong the warning looks from each side, {plain_name(situation)}. Farther out is brighter."


def _lit(model: Model) -> tuple[Plate, str] | None:
    """The brightest ground to work on, else the brightest table."""
    wide, tall = _MAP_MM
    maps = ground_maps(model)
    bright = max(maps, key=lambda each: float(each[1].lux.max()), default=None)
    if bright is not None and float(bright[1].lux.max()) >= _LIT_LX:
        name, found, _ = bright
        ground = ground_of(model, name, found, width_mm=wide, height_mm=tall, name="map", in_words=False)
        return ground, f"Work light on the ground, {plain_name(name)}. The nose is to the left."
    tables = [(name, table) for name, _, _ in maps for table in table_maps(model, name)]
    if not tables:
        return None
    name, table = max(tables, key=lambda each: float(each[1].lux.max()))
    plate = table_of(name, table, width_mm=wide, height_mm=tall, name="map", in_words=False)
    return plate, f"Work light on the {table.name}, {plain_name(name)}, from above. The nose is to the left."


def _picture(plate: Plate, said: str) -> dict[str, Any]:
    return {"svg": plate_svg(plate), "width": plate.width_mm, "title": printed(plate.title), "said": printed(said)}


def _day_of(model: Model) -> str:
    try:
        return date.fromisoformat(model.job.issued or model.job.due).isoformat()
    except ValueError:
        return _NO_DAY
