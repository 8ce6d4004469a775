"""What does each control of this vehicle do, on one sheet for who drives it? The operator card.

Lists by hand, by foot, and what the vehicle says; then what comes first, key, cable and power, and the words that the
card explains. Every sentence was borne out by the machine (coachwright.control.operator). The template takes the
largest type with which all of it goes on one side, first line by line, then run on; what takes more than one side even
so goes on to a second and says so at its head. Nothing is left out to make it fit.

See Also
--------
coachwright.control.operator : the facts. coachwright.papers.engine : how they are set.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from coachwright.build.model import Job, Model
from coachwright.control.operator import card_facts
from coachwright.control.operator_facts import Entry, Facts, Sentence
from coachwright.control.operator_words import NAMED, capital, joined, plain_name
from coachwright.control.prove import proofs
from coachwright.draw.letters import fitted
from coachwright.look.cautions import ESTIMATE, cautions_of
from coachwright.look.style import ACCENT, STATES
from coachwright.papers.engine import PaperNotMade, set_paper
from coachwright.papers.printed import printed

if TYPE_CHECKING:
    from coachwright.proof.verdict import Verdict

NAME = "operator-card"
CardSize = Literal["a4", "us-letter"]
SIZES_PT = (10.8, 10.6, 10.4, 10.2, 10.0, 9.8, 9.6, 9.4, 9.2, 9.0, 8.8, 8.6, 8.4, 8.2, 8.0, 7.8, 7.6, 7.4, 7.2, 7.0)
"""Sizes of type that are tried, the largest first; smaller ones are hard to read in a cab. [pt]"""

_RUNNING_MM = 110.0
_SHORT_DIGEST = 12
_NO_DAY = "2000-01-01"
"""Stands in the file of a job that names no day."""
_MARKED = re.compile(f"{NAMED[0]}([^{NAMED[1]}]*){NAMED[1]}")
_QUANTITY = re.compile(r"(?<=\d) (?=[a-zA-Z%])")
"""A number stays on one line with its unit."""
_MOST_NAME, _MOST_SERIALS_N = 120, 8


def operator_card(verdict: Verdict, *, size: CardSize = "a4") -> bytes:
    """The operator card of a build, as a PDF.

    Parameters
    ----------
    size : of the sheet.

    Raises
    ------
    PaperNotMade : the text could not be understood, so that there is nothing to tell.
    """
    if verdict.model is None:
        raise PaperNotMade(f"{verdict.file} has no operator card: its text could not be understood.")
    errors_n = verdict.counts.findings.get("error", 0)
    return operator_card_of(verdict.model, digest=verdict.digest, errors_n=errors_n, size=size)


def operator_card_of(model: Model, *, digest: str, errors_n: int = 0, size: CardSize = "a4") -> bytes:
    """The card of a model. digest : of the verdict. errors_n : findings that stop delivery."""
    data = card_data(model, card_facts(model), digest=digest, errors_n=errors_n, size=size)
    return set_paper("operator.typ", data, day=_day_of(model.job))


def card_data(model: Model, facts: Facts, *, digest: str, errors_n: int, size: CardSize) -> dict[str, Any]:
    """Everything the template prints, as text."""
    job = model.job
    said = [job.name, job.number, f"revision {job.revision}" if job.revision else ""]
    return {
        "title": printed(f"Operator card, {job.name}"),
        "author": "coachwright",
        "paper": size,
        "sizes": list(SIZES_PT),
        "running": fitted(printed("  ·  ".join(each for each in said if each)), width_mm=_RUNNING_MM, size_pt=7.0),
        "digest-line": f"digest {digest[:_SHORT_DIGEST]}",
        "name": printed(job.name[:_MOST_NAME]),
        "for": [printed(each[:_MOST_NAME]) for each in (job.customer, job.number, f"revision {job.revision}") if each],
        "states": [*_promises(model), *_delivery(errors_n), *_serials(model), *_unsaid(facts)],
        "lists": [
            {"title": "By hand", "groups": _groups(facts, "hand")},
            {"title": "By foot", "groups": _groups(facts, "foot")},
            {"title": "The vehicle says", "groups": [*_groups(facts, "vehicle"), *_messages(facts)]},
        ],
        "more": _more(facts),
        "estimate": ESTIMATE,
        "cautions": [
            {"title": each.title, "text": each.text, "defers": each.defers} for each in cautions_of("paper", NAME)
        ],
    }


def _day_of(job: Job) -> str:
    try:
        return date.fromisoformat(job.issued or job.due).isoformat()
    except ValueError:
        return _NO_DAY


# --------------------------------------------------------------------------------------------------- what it is worth
def _promises(model: Model) -> list[dict[str, str]]:
    """Whether every promise of the build is proved; which ones aren't."""
    found = proofs(model)
    if not found:
        return [_state("This build makes no promises: nothing about it is proved.", "near")]
    open_ones = [f"{plain_name(each.promise)} ({each.state})" for each in found if each.state != "proved"]
    if open_ones:
        return [_state(f"Draft. Not proved: {joined(open_ones)}.", "fail")]
    return [_state("Every promise of this build is proved.", "")]


def _delivery(errors_n: int) -> list[dict[str, str]]:
    if not errors_n:
        return []
    stops = "finding stops" if errors_n == 1 else "findings stop"
    return [_state(f"Draft. {errors_n} {stops} delivery.", "fail")]


def _serials(model: Model) -> list[dict[str, str]]:
    """Which vehicle it is for; of the base, which vehicles are built otherwise."""
    if model.serial:
        names = [each.name for each in model.serials if str(each.number) == model.serial and each.name]
        return [_state(f"For vehicle {names[0] if names else model.serial} only.", "")]
    base = {option.name: option.base for option in model.options}
    others = [each for each in model.serials if any(base.get(name) != value for name, value in each.choices)]
    if not others:
        return []
    said = [each.name or str(each.number) for each in others[:_MOST_SERIALS_N]]
    if len(others) > _MOST_SERIALS_N:
        said.append(f"{len(others) - _MOST_SERIALS_N} more")
    verb = "is built otherwise and needs its own card" if len(others) == 1 else "are built otherwise: own cards"
    return [_state(f"{joined(said)} {verb}.", "near")]


def _unsaid(facts: Facts) -> list[dict[str, str]]:
    """What the machine didn't bear out isn't on the card; that there is something is."""
    if not facts.unsaid:
        return []
    count = len(facts.unsaid)
    what = "thing is" if count == 1 else "things are"
    return [_state(f"{count} {what} not told here, because no short sentence holds. Ask your shop.", "near")]


def _state(text: str, state: Literal["", "near", "fail"]) -> dict[str, str]:
    return {"text": printed(text), "ink": STATES[state].ink if state else ACCENT}


# -------------------------------------------------------------------------------------------------------------- entries
def _groups(facts: Facts, hand: str) -> list[dict[str, Any]]:
    """Entries of one list by where the hand goes: the place with most of them first, the vehicle's own last."""
    places: dict[str, list[Entry]] = {}
    for entry in facts.entries:
        if entry.hand == hand:
            places.setdefault(entry.place, []).append(entry)
    ordered = sorted(places.items(), key=lambda each: (not each[0], -len(each[1]), each[0]))
    return [{"title": _place_title(place, hand), "entries": [_entry(each) for each in own]} for place, own in ordered]


def _place_title(place: str, hand: str) -> str:
    if place:
        return printed(capital(plain_name(place).replace(".", " ")))
    return "Stalks, gear and doors" if hand == "hand" else ""


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "title": printed(entry.title),
        "lines": [{"label": printed(capital(line.label)), "text": _pieces(line.sentences)} for line in entry.lines],
    }


def _messages(facts: Facts) -> list[dict[str, Any]]:
    return [{"title": "Messages", "entries": [_entry(each) for each in facts.messages]}] if facts.messages else []


def _more(facts: Facts) -> list[dict[str, Any]]:
    found = []
    for title, sentences in (("What comes first", facts.first), ("Key, cable and power", facts.power)):
        if sentences:
            found.append({"title": title, "paragraphs": [{"term": "", "text": _pieces([each])} for each in sentences]})
    if facts.words:
        words = [{"term": printed(capital(plain_name(name))), "text": _pieces([each])} for name, each in facts.words]
        found.append({"title": "Words on this card", "paragraphs": words})
    return found


def _pieces(sentences: Sequence[Sentence]) -> list[dict[str, Any]]:
    """Text in pieces; names that the card explains are marked."""
    pieces: list[dict[str, Any]] = []
    for plain, named in _cut(" ".join(sentence.text for sentence in sentences)):
        if plain:
            pieces.append({"said": _QUANTITY.sub("\u00a0", printed(plain)), "named": False})
        if named:
            pieces.append({"said": printed(named), "named": True})
    return pieces


def _cut(text: str) -> Iterable[tuple[str, str]]:
    parts = _MARKED.split(text)
    return zip(parts[::2], [*parts[1::2], ""], strict=True)
