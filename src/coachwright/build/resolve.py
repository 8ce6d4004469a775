"""What exists, once everything that was written has been understood?

The stages "references" and "cross-checks": every name is looked up, every condition read, and what the parts of a build
say about each other is held together. A branch that is lost goes on no further; all others do, so that one look tells
everything that can be told. A Model is made only when nothing is wrong.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import blake2b
from typing import Any

from coachwright.build.around import Around
from coachwright.build.as_ordered import as_ordered, check_orders, name_orders
from coachwright.build.condition import Condition
from coachwright.build.condition_scope import Scope
from coachwright.build.condition_text import read_condition
from coachwright.build.cross_checks import check_asks
from coachwright.build.fed import check_fed
from coachwright.build.fixed import fixed_of
from coachwright.build.model import Head, Input, Job, LawAnswer, Model, VehicleOutput
from coachwright.build.names import check_names
from coachwright.build.places import check_rings
from coachwright.build.reading import Reading, facts_of
from coachwright.build.resolve_bounds import limits_of, messages_of, stops_of
from coachwright.build.resolve_cargo import cargo_of, trailers_of
from coachwright.build.resolve_console import console_of
from coachwright.build.resolve_crossings import crossings_of
from coachwright.build.resolve_equipment import controller_clock_share, equipment_of, joined_equipment
from coachwright.build.resolve_feeds import feeds_of
from coachwright.build.resolve_functions import function_of
from coachwright.build.resolve_glass import glass_of
from coachwright.build.resolve_inputs import inputs_of
from coachwright.build.resolve_lamps import lamps_of, own_heads, part_of, vehicle_heads
from coachwright.build.resolve_marking import marking_of
from coachwright.build.resolve_memory import memories_of, words_of
from coachwright.build.resolve_promises import promises_of, waivers_of
from coachwright.build.resolve_situations import situations_of
from coachwright.build.sections.ranks import DEFAULT_RANKS, ROAD
from coachwright.build.selectors import Selectors, groups_of
from coachwright.build.trouble import Trouble
from coachwright.build.written import WrittenBuild
from coachwright.kit.digest import digest
from coachwright.kit.errors import DataWrong
from coachwright.kit.nodes import Document
from coachwright.parts.schema import AnyPart, BodyPart
from coachwright.parts.store import Catalogue


@dataclass(frozen=True, slots=True)
class _Vehicle:
    """The body and all that can be selected or read on it. body : None when nobody knows which it is."""

    body: BodyPart | None
    heads: Mapping[str, tuple[Head, ...]]
    outputs: tuple[VehicleOutput, ...]
    inputs: tuple[Input, ...]


def resolve(
    written: WrittenBuild, document: Document, catalogue: Catalogue
) -> tuple[Model | None, tuple[Trouble, ...]]:
    """The Model of what was written, or None; and everything that is wrong in these stages."""
    told: list[Trouble] = []
    body = _body(written, catalogue, told)
    ranks = _ranks(written, told)
    check_names(written, body, ranks, told)
    vehicle = _vehicle(written, body, document.text, catalogue, told)
    equipment, parts = equipment_of(written, body, catalogue, told)
    inputs = {item.name: item for item in vehicle.inputs}
    reading = _reading(written, vehicle, told)
    vehicle = _Vehicle(body, vehicle.heads, vehicle.outputs, _with_tell_tales(vehicle.inputs, reading))
    words = words_of(written, reading)
    memories = memories_of(written, reading)
    around = Around(
        inputs=inputs,
        memories={memory.name: memory for memory in memories},
        equipment=equipment,
        parts=parts,
        outputs={output.name: output for output in vehicle.outputs},
        functions=frozenset(written.items("functions")),
        messages=frozenset(written.items("messages")),
        ranks=ranks,
        ranks_lost="ranks" in written.lost.sections,
        lost=_lost_names(written, memories),
        whole=frozenset(written.lost.sections),
    )
    functions = tuple(
        function
        for name, item in written.items("functions").items()
        if (function := function_of(name, item, around, reading)) is not None
    )
    messages = messages_of(written, reading)
    limits = limits_of(written, around, reading)
    stops = stops_of(written, around, reading)
    values = {name: item.values for name, item in written.items("memory").items()}
    situations = situations_of(written, inputs, values, reading)
    promises = promises_of(written, around, reading)
    feeds = feeds_of(written, body, equipment, parts, reading)
    joined = joined_equipment(written, body, equipment, inputs, reading)
    check_fed(written, body, equipment, parts, told)
    check_rings(written, told)
    named = dict(parts)
    console = console_of(written, body, catalogue, equipment=equipment, parts=named, told=told)
    cargo = cargo_of(written, body, catalogue, named, told)
    marking = marking_of(written, body, catalogue, named, told)
    glass = glass_of(written, body, catalogue, named, told)
    trailers = trailers_of(written, body, told)
    crossings = crossings_of(written, told)
    fixed = fixed_of(written, vehicle.heads, told)
    if len(functions) == len(written.items("functions")):
        check_asks(stops, functions, inputs=inputs, words=words, memories=memories, told=told)
    arriving = catalogue.get(body.name) if body is not None else None
    if isinstance(arriving, BodyPart):
        name_orders(told, arriving, written.one["vehicle"].as_ordered)
    broken = written.troubles and any(each.severity == "error" for each in written.troubles)
    if body is None or broken or document.findings or any(each.severity == "error" for each in told):
        return None, tuple(told)
    used = _parts(written, body, catalogue, named)
    model = Model(
        file=document.file,
        digest=_digest(document, used),
        version=written.one["coachwright"],
        job=_job(written),
        count=written.one.get("count", 1),
        body=body,
        packs=written.lists.get("packs", ()),
        parts=used,
        heads=tuple(head for heads in vehicle.heads.values() for head in heads),
        groups=tuple(
            (name, tuple(head.id for head in reading.selectors.groups[name])) for name in written.items("groups")
        ),
        inputs=vehicle.inputs,
        words=words,
        memories=memories,
        ranks=ranks,
        functions=functions,
        messages=messages,
        limits=limits,
        stops=stops,
        equipment=tuple(joined.values()),
        outputs=vehicle.outputs,
        situations=situations,
        promises=promises,
        waivers=waivers_of(written),
        cannot_be=_cannot_be(body),
        fixed=fixed,
        lamps=lamps_of(written),
        feeds=feeds,
        console=console,
        cargo=cargo,
        marking=marking,
        glass=glass,
        trailers=trailers,
        crossings=crossings,
        parts_by=written.one.get("parts-by", "shop"),
        as_ordered=written.one["vehicle"].as_ordered,
        removed=written.one["vehicle"].removed,
    )
    return model, tuple(told)


def _body(written: WrittenBuild, catalogue: Catalogue, told: list[Trouble]) -> BodyPart | None:
    vehicle = written.one.get("vehicle")
    if vehicle is None:
        return None
    path = ("vehicle", "body")
    part = part_of(vehicle.body, "body", catalogue, path, told)
    if part is not None and not isinstance(part, BodyPart):
        why = f"{vehicle.body} is a {part.kind}; a body belongs here."
        told.append(
            Trouble(path, "BLD-050", "part-of-another-kind", why, "Name a body of the catalogue.", vehicle.body)
        )
    if not isinstance(part, BodyPart):
        written.lost.sections.add("vehicle")
        return None
    check_orders(written, part, told)
    return as_ordered(part, vehicle.as_ordered)


def _ranks(written: WrittenBuild, told: list[Trouble]) -> tuple[str, ...]:
    ranks: tuple[str, ...] = written.lists.get("ranks", DEFAULT_RANKS)
    if "ranks" not in written.lost.sections and ranks[:1] != (ROAD,):
        why = "Brake, turn, hazard and reverse come before everything else."
        write = f"Write {ROAD} first, and in no other place."
        told.append(Trouble(("ranks",), "BLD-095", "road-not-first", why, write, on_key=True))
    return ranks


def _vehicle(
    written: WrittenBuild, body: BodyPart | None, text: str, catalogue: Catalogue, told: list[Trouble]
) -> _Vehicle:
    clock_share = controller_clock_share(written, catalogue)
    heads: dict[str, tuple[Head, ...]] = own_heads(written, body, catalogue, clock_share, told)
    if body is None:
        return _Vehicle(None, {}, (), ())
    given, outputs = vehicle_heads(written, body, clock_share, told)
    heads |= {name: found for name, found in given.items() if name not in heads}
    return _Vehicle(body, heads, outputs, inputs_of(written, body, text, told))


def _reading(written: WrittenBuild, vehicle: _Vehicle, told: list[Trouble]) -> Reading:
    lost = written.lost
    no_body = vehicle.body is None
    unread = frozenset(written.items("lamps")) if no_body else frozenset()
    said = frozenset(written.items("vehicle-lamps"))
    unsaid = frozenset(name for name, heads in vehicle.heads.items() if heads and heads[0].reach == "none") - said
    selectors = Selectors(
        {name: heads for name, heads in vehicle.heads.items() if name not in unsaid},
        {},
        lost.of("lamps", "groups", "vehicle-lamps") | unread,
        no_body or lost.any_of("lamps", "groups", "vehicle-lamps"),
        unsaid,
    )
    groups_of(written.items("groups"), selectors, told)
    memories = {name: item.values for name, item in written.items("memory").items()}
    levers = [item.name for item in vehicle.inputs if item.kind in ("slide", "pick-one")]
    scope = Scope(
        inputs={item.name: item.values or item.number_kind for item in vehicle.inputs},
        memories=memories,
        words=frozenset(written.items("words")),
        functions=frozenset(written.items("functions")),
        equipment=frozenset(written.items("equipment")),
        selectors=selectors.names(),
        ordered=frozenset((*levers, *(name for name, item in written.items("memory").items() if item.ordered))),
        pushed=frozenset(item.name for item in vehicle.inputs if item.kind in ("toggle", "button")),
    )
    sections = ("controls", "signals", "words", "memory", "functions", "equipment")
    unread_inputs = frozenset(written.items("controls")) if no_body else frozenset()
    return Reading(
        scope,
        facts_of(scope),
        selectors,
        lost.of(*sections, "lamps", "groups", "vehicle-lamps") | unread_inputs | (selectors.lost - unread),
        no_body or lost.any_of(*sections, "lamps", "groups", "vehicle-lamps"),
        told,
    )


def _with_tell_tales(inputs: tuple[Input, ...], reading: Reading) -> tuple[Input, ...]:
    found: list[Input] = []
    for item in inputs:
        if item.is_control and item.tell_tale not in ("", "follows", "picture"):
            path = ("controls", item.name, "tell-tale")
            condition = reading.condition(item.tell_tale, path, "tell-tale")
            found.append(replace(item, tell_tale_condition=condition))
        else:
            found.append(item)
    return tuple(found)


def _lost_names(written: WrittenBuild, memories: tuple[Any, ...]) -> dict[str, frozenset[str]]:
    """By section, what exists and could not be understood, in this stage or before."""
    sections = ("controls", "signals", "functions", "messages", "equipment", "vehicle-lamps", "feeds")
    lost = {section: written.lost.of(section) for section in sections}
    lost["memory"] = (frozenset(written.items("memory")) - {each.name for each in memories}) | written.lost.of("memory")
    return lost


def _parts(
    written: WrittenBuild, body: BodyPart, catalogue: Catalogue, fitted: Mapping[str, AnyPart]
) -> tuple[tuple[str, AnyPart], ...]:
    used: dict[str, AnyPart] = {body.name: body, **fitted}
    for lamp in written.items("lamps").values():
        part = catalogue.get(lamp.part)
        if part is not None:
            used[lamp.part] = part
    return tuple(sorted(used.items()))


def _digest(document: Document, parts: tuple[tuple[str, AnyPart], ...]) -> str:
    """Of what is written, without its comments and spaces, and of every part that is used."""
    hashed = blake2b(digest_size=16)
    hashed.update(json.dumps(document.plain).encode())
    for name, part in parts:
        hashed.update(f"\0{name}\0{digest(part)}".encode())
    return hashed.hexdigest()


def _job(written: WrittenBuild) -> Job:
    job = written.one["job"]
    answers = job.law.__pydantic_extra__ or {}
    return Job(
        name=job.name,
        customer=job.customer,
        number=job.number,
        revision=job.revision,
        due=job.due or "",
        money=job.money,
        law_place=job.law.place,
        law=tuple(
            LawAnswer(question, answer.answer, answer.paper, f"job.law.{question}")
            for question, answer in answers.items()
        ),
        tax_exempt=job.tax.exempt,
        tax_paper=job.tax.paper,
        shop=job.shop,
        drawn_by=job.drawn_by,
        approved_by=job.approved_by,
        issued=job.issued or "",
        fuse_rule=job.wiring.fuse_rule.removesuffix(" %"),
        wire_family=job.wiring.wire,
    )


def _cannot_be(body: BodyPart) -> tuple[tuple[Condition, str], ...]:
    """What the body says can't be. Its signals are all a body can speak of."""
    if not body.cannot_be:
        return ()
    known = _impossible.get(id(body))
    if known is None or known[0] is not body:
        known = _impossible[id(body)] = (body, _read_impossible(body))
        if len(_impossible) > 64:
            _impossible.clear()
    return known[1]


_impossible: dict[int, tuple[BodyPart, tuple[tuple[Condition, str], ...]]] = {}


def _read_impossible(body: BodyPart) -> tuple[tuple[Condition, str], ...]:
    on_off = ("off", "on")
    values: dict[str, tuple[str, ...] | str] = {
        name: signal.unit_kind if signal.kind == "number" else signal.values or on_off
        for name, signal in body.signals.items()
    }
    found: list[tuple[Condition, str]] = []
    for number, item in enumerate(body.cannot_be, start=1):
        read = read_condition(item.condition, place="vehicle", scope=Scope(inputs=values))
        if isinstance(read, tuple):
            raise DataWrong(f"{body.name}, cannot-be {number}: {read[0]}")
        found.append((read, item.why))
    return tuple(found)
