"""Row I: how long does it take to read a build of 3,000 lines, and to read it again after one edit?"""

from __future__ import annotations

from datetime import date
from itertools import count
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from benchmarks.long_build import long_build
from benchmarks.rows import Agreement, Bench, Job, Outcome, Trial
from coachwright.build import reading, resolve_inputs, resolve_lamps, written
from coachwright.build.load import Loaded, read_build
from coachwright.build.written import WrittenBuild, read_written
from coachwright.kit import text_pieces, units
from coachwright.kit.nodes import Document, read_nodes
from coachwright.parts.store import load_catalogue
from coachwright.proof.verdict import verdict_of

_LINES = 3000
EXAMPLE = Path(__file__).parent.parent / "examples" / "quillback" / "build.yaml"
_PEER = "ruamel.yaml round-trip load of the same text: it keeps lines and comments too, and checks no field"


def forget() -> None:
    """Everything the door remembers of texts it has read."""
    for kept in (text_pieces._remembered, written._remembered, reading._remembered, resolve_lamps._remembered):
        kept.clear()
    functions: tuple[Any, ...] = (reading.read_show_text, reading._words, resolve_inputs._quantity, units._read)
    for function in functions:
        function.cache_clear()


def load_and_validate(scale: int) -> Job:
    """Text, marks and every field, with nothing remembered."""
    text = long_build(_LINES * scale)

    def ours() -> tuple[Document, WrittenBuild]:
        forget()
        document = read_nodes(text, file="build.yaml")
        return document, read_written(document)

    return Job(ours, lambda: _round_trip(text), _same_words, _size(text))


def whole_door(scale: int) -> Job:
    """The same, then every name, condition, show and cross-check: to the Model, with nothing remembered."""
    text, catalogue = long_build(_LINES * scale), load_catalogue()

    def ours() -> Loaded:
        forget()
        return read_build(text, catalogue=catalogue)

    return Job(ours, lambda: _round_trip(text), _same_loaded, _size(text))


def after_an_edit(scale: int) -> Job:
    """To the Model again, after one number was changed."""
    text, catalogue = long_build(_LINES * scale), load_catalogue()
    turns = count(1)
    read_build(text, catalogue=catalogue)

    def ours() -> Loaded:
        edited = text.replace("elevation: -9 deg", f"elevation: -9.{next(turns):06} deg", 1)
        return read_build(edited, catalogue=catalogue)

    return Job(ours, lambda: _round_trip(text), _same_but_one, _size(text))


def _round_trip(text: str) -> object:
    from ruamel.yaml import YAML

    return YAML().load(text)


def _size(text: str) -> str:
    return f"{text.count(chr(10)):,} lines, {len(text):,} characters"


def _words(plain: object) -> int:
    """How many words the nested names and lists hold."""
    if isinstance(plain, dict):
        return sum(1 + _words(value) for value in plain.values())
    if isinstance(plain, list):
        return sum(map(_words, plain))
    return 1


def _same_words(ours: object, peer: object) -> Agreement:
    assert isinstance(ours, tuple)
    document, build = ours
    mine, theirs = _words(document.plain), _words(peer)
    items = sum(len(each) for each in build.entries.values())
    return Agreement(mine == theirs and not build.troubles, f"{mine:,} and {theirs:,} words; {items:,} items checked")


def _same_loaded(ours: object, peer: object) -> Agreement:
    assert isinstance(ours, Loaded)
    mine, theirs = _words(ours.document.plain), _words(peer)
    heads = len(ours.model.heads) if ours.model is not None else 0
    holds = mine == theirs and ours.model is not None and not ours.findings
    return Agreement(holds, f"{mine:,} and {theirs:,} words; a model of {heads:,} heads, {len(ours.findings)} findings")


def _same_but_one(ours: object, peer: object) -> Agreement:
    return _same_loaded(ours, peer)


EDITS_N = 20
ANSWER_S = 0.150
"""An edit has to be answered in full within this, 19 times of 20, in a program that stays open."""


def _full_answer() -> Outcome:
    """Edits of one lamp's aim in the example job, each to the state of every rule in every situation."""
    folder = EXAMPLE.parent
    text = EXAMPLE.read_text(encoding="utf-8")
    catalogue = load_catalogue()

    def answer(now: str) -> float:
        began_s = perf_counter()
        loaded = read_build(now, file=EXAMPLE.name, catalogue=catalogue)
        verdict_of(loaded, folder=folder, progress=lambda *_: None, today=date(2026, 11, 25))
        return perf_counter() - began_s

    first_s = answer(text)
    taken_s = sorted(answer(text.replace("aim: 45 deg", f"aim: {20 + number} deg")) for number in range(EDITS_N))
    slow_s = taken_s[round(0.95 * EDITS_N) - 1]
    began_s = perf_counter()
    _round_trip(text)
    peer_s = perf_counter() - began_s
    said = f"{EDITS_N} edits of one aim: median {median(taken_s) * 1000:.0f} ms, 95 of 100 in {slow_s * 1000:.0f} ms"
    lines = (
        f"first answer {first_s * 1000:.0f} ms; {said}",
        f"peer, only reading the same text: {peer_s * 1000:.0f} ms",
    )
    return Outcome(slow_s <= ANSWER_S, lines)


_PACKAGES = ("PyYAML", "pydantic", "ruamel.yaml")
ROWS = [
    Bench(
        "I-load",
        "load a build with marks and validate every field; nothing remembered",
        _PEER,
        8.0,
        load_and_validate,
        packages=_PACKAGES,
        growth_at_most={4: 6.0},
    ),
    Bench(
        "I-door",
        "the whole door to the model: fields, names, conditions, shows, cross-checks; nothing remembered",
        _PEER,
        4.0,
        whole_door,
        packages=_PACKAGES,
        growth_at_most={4: 6.0},
    ),
    Bench(
        "I-edit",
        "the whole door again after one edit",
        _PEER,
        12.0,
        after_an_edit,
        packages=_PACKAGES,
        growth_at_most={4: 6.0},
    ),
    Trial(
        "I-answer",
        "from one edited aim to the full answer: every rule's state in every situation of the example, all warm",
        _PEER,
        f"95 of 100 edits answered within {ANSWER_S * 1000:.0f} ms",
        _full_answer,
        packages=_PACKAGES,
    ),
]
