"""Can this vehicle be delivered, and how do we know? The proof book: every rule judged, with its place and its source.

Cover with the answer first, cautions, findings, the law's questions, situations, contract, every rule, waivers,
drawings, light, supply and wires, light and time in each situation, heads, parts. The same verdict gives the same
bytes.

See Also
--------
coachwright.proof.verdict : what is printed. coachwright.papers.engine : how it is set.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING, Any

from coachwright.build.choices import alike_vehicles, spoken_choices, spoken_vehicles
from coachwright.build.model import Model
from coachwright.draw.lamp_table import height_text, looks_text
from coachwright.draw.lamps import drawn_heads
from coachwright.draw.letters import fitted
from coachwright.draw.light_plates import light_plates
from coachwright.draw.power_plates import power_plates
from coachwright.draw.sheet import Plate, plate_svg
from coachwright.draw.views import plates, vehicle_picture
from coachwright.kit.cite import Cite
from coachwright.kit.nodes import Document, read_nodes
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.look.style import ACCENT, STATES, STATUS_WORDS
from coachwright.papers.contract_rows import NOTE as CONTRACTS_NOTE
from coachwright.papers.contract_rows import contract_tables
from coachwright.papers.engine import set_paper
from coachwright.papers.light_and_time import ROOMS, Asked, answered, settings_text, situation_page
from coachwright.papers.printed import line_of, printed
from coachwright.papers.promise_rows import NO_PROMISES, NOTE, promise_rows
from coachwright.papers.rule_rows import finding_groups, legend, pack_tables
from coachwright.papers.summary import answer_sentence, checks_sentence

if TYPE_CHECKING:
    from coachwright.proof.judge import State
    from coachwright.proof.verdict import Verdict

NAME = "proof-book"
_DRAWING_MM = (264.0, 167.0)
_COVER_MM = 165.0
_RUNNING_MM = 105.0
_SHORT_DIGEST = 12
_NO_DAY = "2000-01-01"
"""Stands in the file of a job that names no day."""
_ESTIMATE_MORE = (
    "Every figure here was worked out from the build file, the catalogue and the packs named in it. A figure whose "
    "page nobody has read stays a draft and passes nothing."
)
_RULES_NOTE = (
    "One row for each rule and subject, by its worst case over places and situations. A draft stands in brackets with "
    "what it would have been."
)
_PARTS_NOTE = (
    "A part is invented where it says so: its figures are made up for demonstration and prove nothing about any lamp "
    "that can be bought."
)
_TALLY_NOTE = (
    "A check is one rule for one subject. House: the shop's own word. Target: a figure of a law written "
    "for other lamps, used as a mark to reach."
)
_TALLIED: tuple[State, ...] = ("pass", "near", "fail", "waived", "draft", "open", "not-measured", "not-applicable")


def proof_book(verdict: Verdict, *, asked: Asked = ROOMS) -> bytes:
    """The proof book of one verdict, as a PDF.

    Parameters
    ----------
    asked : whom to ask for light and time; the rooms themselves when left out.

    Raises
    ------
    PaperNotMade : it could not be set; a fault of the program.
    """
    return set_paper("proofbook.typ", proof_book_data(verdict, asked=asked), day=_day_of(verdict))


def _day_of(verdict: Verdict) -> str:
    """The date in the file: the day of delivery, where the job names one.

    Never the clock's: the same build gives the same bytes on any day.
    """
    due = verdict.model.job.due if verdict.model is not None else ""
    try:
        return date.fromisoformat(due).isoformat()
    except ValueError:
        return _NO_DAY


def proof_book_data(verdict: Verdict, *, asked: Asked = ROOMS) -> dict[str, Any]:
    """Everything the template prints, as text, tables and pictures."""
    model = verdict.model
    document = read_nodes(verdict.text, file=verdict.file) if model is not None else None
    return {
        **_frame(verdict),
        "cover": _cover(verdict),
        "tally": _tally(verdict),
        "estimate": ESTIMATE,
        "estimate-more": _ESTIMATE_MORE,
        "cautions": [
            {"title": each.title, "text": each.text, "defers": each.defers} for each in cautions_of("paper", NAME)
        ],
        "findings": finding_groups(verdict),
        "law": _law(model, document),
        "promises-note": NOTE if model is not None and model.promises else NO_PROMISES,
        "promises": promise_rows(model, document),
        "situations": _situations(model, document),
        "contracts-note": CONTRACTS_NOTE,
        "contracts": contract_tables(verdict),
        "rules-note": _RULES_NOTE,
        "legend": legend(),
        "packs": pack_tables(verdict, document),
        "waivers": _waivers(verdict),
        "drawings": _drawings(model),
        "light": _light(verdict),
        "power": _power(model),
        "pictures": [] if model is None else [situation_page(model, each, asked) for each in model.situations],
        "heads": _heads(model, document),
        "parts-note": _PARTS_NOTE,
        "parts": _parts(model),
    }


def _frame(verdict: Verdict) -> dict[str, Any]:
    model = verdict.model
    name = model.job.name if model is not None else verdict.file
    said = [name] if model is None else [name, model.job.number, f"revision {model.job.revision}"]
    return {
        "title": printed(f"Proof book, {name}"),
        "author": "coachwright",
        "paper": "a4",
        "running": fitted(printed("  ·  ".join(part for part in said if part)), width_mm=_RUNNING_MM, size_pt=7.0),
        "digest-line": f"digest {verdict.digest[:_SHORT_DIGEST]}",
    }


def _cover(verdict: Verdict) -> dict[str, Any]:
    model = verdict.model
    stops = verdict.exit_code != 0
    facts: list[tuple[str, str, bool]] = [
        ("Build file", verdict.file, False),
        ("Digest", verdict.digest, False),
    ]
    ends = sorted(each.waiver.until for each in verdict.waived if each.waiver.until)
    if ends:
        facts.append(("Waivers", f"{len(verdict.waived)}, the first ends on {printed(ends[0])}", False))
    if model is not None:
        facts = [*_job_facts(model), *facts]
    return {
        "name": printed(model.job.name if model is not None else verdict.file),
        "customer": printed(model.job.customer if model is not None else ""),
        "answer": answer_sentence(verdict),
        "summary": checks_sentence(verdict.counts),
        "verdict-ink": STATES["fail"].ink if stops else ACCENT,
        "picture": None if model is None else _cover_picture(model),
        "facts": [[name, printed(said), bold] for name, said, bold in facts if said],
    }


def _job_facts(model: Model) -> list[tuple[str, str, bool]]:
    job = model.job
    vehicles = alike_vehicles(model)
    alike = f"{model.count} alike" if len(vehicles) < 2 else f"{model.count}, not all alike"
    base = tuple((option.name, option.base) for option in model.options)
    others = [f"{spoken_vehicles(each)} with {spoken_choices(each.choices, base)}" for each in vehicles if each.differs]
    return [
        ("Job", job.number, True),
        ("Revision", job.revision, True),
        ("Vehicle", f"{model.body.title}, {alike if model.count > 1 else 'one'}", False),
        ("Differing", "; ".join(others), False),
        ("Due", job.due, False),
        ("Law of", job.law_place, False),
    ]


def _cover_picture(model: Model) -> dict[str, Any]:
    plate = vehicle_picture(model, width_mm=_COVER_MM)
    return {"svg": plate_svg(plate), "width": plate.width_mm, "title": printed(plate.title)}


def _tally(verdict: Verdict) -> dict[str, Any]:
    """How the checks of each standing ended; a house figure is never counted among law."""
    rows = [
        [STATUS_WORDS[status], *(str(states[state]) if states[state] else "–" for state in _TALLIED)]
        for status, states in verdict.counts.by_status.items()
    ]
    return {
        "heads": [STATES[state].word for state in _TALLIED],
        "rows": rows,
        "note": _TALLY_NOTE,
    }


def _law(model: Model | None, document: Document | None) -> dict[str, Any]:
    if model is None or not model.job.law:
        return {"note": "The job gives no answers under job.law. State and local law decides colours.", "rows": []}
    place = f" of {model.job.law_place}" if model.job.law_place else ""
    note = f"State and local law decides colours. These are the shop's answers for the law{place}, with their papers."
    rows = [
        {
            "question": printed(each.question.replace("-", " ")),
            "asks": "",
            "answer": printed(each.answer),
            "paper": printed(each.paper or "no paper named"),
            "line": _line(document, each.path),
        }
        for each in model.job.law
    ]
    return {"note": printed(note), "rows": rows}


def _situations(model: Model | None, document: Document | None) -> list[dict[str, str]]:
    if model is None:
        return []
    return [
        {
            "name": printed(each.name),
            "stands": printed(each.stands_for or "–"),
            "settings": printed(settings_text(each, model) or "everything at rest"),
            "line": _line(document, each.path),
        }
        for each in model.situations
    ]


def _waivers(verdict: Verdict) -> list[dict[str, str]]:
    used = {id(each.waiver) for each in verdict.waived} | {
        id(each.waiver) for each in verdict.judgements if each.waiver is not None
    }
    return [
        {
            "code": printed(each.code),
            "about": printed(each.about or "the whole job"),
            "why": printed(each.why),
            "by": printed(each.by),
            "until": printed(each.until),
            "stands": "in use" if id(each) in used else "not in use",
        }
        for each in (verdict.model.waivers if verdict.model is not None else ())
    ]


def _drawings(model: Model | None) -> list[dict[str, Any]]:
    if model is None:
        return []
    width, height = _DRAWING_MM
    return [_plate(plate) for plate in plates(model, width_mm=width, height_mm=height)]


def _plate(plate: Plate) -> dict[str, Any]:
    return {
        "title": printed(plate.title),
        "scale": f"scale 1 : {plate.scale_n} on A4" if plate.scale_n else "",
        "svg": plate_svg(plate),
        "width": plate.width_mm,
    }


def _light(verdict: Verdict) -> dict[str, Any]:
    """Roses, maps, cones and crossings, or why there are none: a room that breaks costs its pictures, not the book."""
    if verdict.model is None:
        return {"plates": [], "why": ""}
    width, height = _DRAWING_MM
    plates, why = answered(
        lambda model, _: light_plates(model, verdict.packs, width_mm=width, height_mm=height), verdict.model, ""
    )
    return {"plates": [_plate(each) for each in plates], "why": printed(f"Light is not drawn: {why}.") if why else ""}


def _power(model: Model | None) -> dict[str, Any]:
    """One line, harness, loads, voltage, energy, fuses, or why there are none."""
    if model is None:
        return {"plates": [], "why": ""}
    width, height = _DRAWING_MM
    plates, why = answered(lambda model, _: power_plates(model, width_mm=width, height_mm=height), model, "")
    said = printed(f"Supply and wires are not drawn: {why}.") if why else ""
    return {"plates": [_plate(each) for each in plates], "why": said}


def _heads(model: Model | None, document: Document | None) -> list[dict[str, str]]:
    return [
        {
            "name": printed(each.head.id),
            "part": printed(_part_title(model, each.head.part) if each.fitted else "the vehicle's own lamp"),
            "colours": ", ".join(each.head.colours),
            "looks": looks_text([each]),
            "height": height_text([each]),
            "line": _line(document, each.head.path),
        }
        for each in (drawn_heads(model) if model is not None else ())
        if model is not None
    ]


def _part_title(model: Model, name: str) -> str:
    return model.part(name).title


def _parts(model: Model | None) -> list[dict[str, Any]]:
    if model is None:
        return []
    used = Counter(head.lamp + head.side for head in model.heads)
    lamps: Counter[str] = Counter()
    for key in used:
        lamps[next(head.part for head in model.heads if head.lamp + head.side == key)] += 1
    for item in model.equipment:
        lamps[item.part] += 1
    for carried in model.cargo:
        lamps[carried.part] += carried.count_n
    for film in model.marking:
        lamps[film.film] += 1
    for pane in model.glass:
        lamps.update(name for name in (pane.film, pane.part) if name)
    if model.console is not None:
        lamps[model.console.part] += 1
    everything = [
        (model.body.name, model.body),
        *((name, part) for name, part in model.parts if part is not model.body),
    ]
    return [
        {
            "title": printed(part.title),
            "name": printed(name),
            "source": printed(_source_text(part.figures.source, part.figures.clause, part.figures.date)),
            "status": {"read": "read", "draft": "draft", "house": "the shop's word", "contract": "contract"}[
                part.figures.status
            ],
            "invented": part.figures.invented and "invented" not in part.figures.source,
            "used": str(1 if number == 0 else lamps[name] or "–"),
        }
        for number, (name, part) in enumerate(everything)
    ]


def _source_text(source: str, clause: str, day: str) -> str:
    return f"{Cite(source, clause=clause)}, {day}"


def _line(document: Document | None, path: str) -> str:
    return line_of(document.nearest_mark(path)) if document is not None else ""
