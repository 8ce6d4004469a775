"""What does a rule ask, why, who says so, how sure are we, how is it measured, and what does it leave open?

The page is a short lesson: first what and why, then the limit with its status, whom it concerns, how the number comes
about, examples on both sides of the limit, and what to do.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwright.kit.cite import Cite
from coachwright.kit.finding import Severity
from coachwright.kit.measure import WindowEntry
from coachwright.kit.near import nearest
from coachwright.kit.unit_table import find_unit
from coachwright.rules.cases import Case, read_cases
from coachwright.rules.limit import Limit
from coachwright.rules.load import OUR_PACKS
from coachwright.rules.schema import EVERY, Asks, Pack, PackStatus, Rule

STATUS_SAID: Mapping[PackStatus, str] = {
    "law": "law; no shop can waive it",
    "standard": "standard, where contract or law asks for it",
    "target": "target: written for other lamps, used here as a mark to reach",
    "house": "house: the shop's own word",
    "contract": "contract with this customer",
}

CITE_SAID: Mapping[str, str] = {
    "read": "read",
    "draft": "draft: nobody has checked this figure against the printed page, so it passes nothing and stops nothing",
    "house": "common practice; no outside source",
    "contract": "as the contract has it",
}

SEVERITY_SAID: Mapping[Severity, str] = {
    "error": "stops delivery",
    "warning": "to be read before delivery; stops nothing",
    "note": "only told",
}

FACTS_SAID: Mapping[str, str] = {
    "by-button": "that sound because a button is held",
    "burns-together": "whose part can burn two colours at once",
    "colour": "that show",
    "end": "at the end",
    "flashes": "that flash",
    "lamp": "called",
    "law": "for which the job's answer on law is",
    "level": "of the level",
    "manner": "that burn",
    "night": "by night (headlamps on)",
    "open": "on a panel that stands open",
    "panel": "that ride on the panel",
    "parked": "in Park",
    "place": "at the place",
    "rank": "of functions of rank",
    "reach": "reached as",
    "stands-for": "in a situation that stands for",
    "tone": "that sound the tone",
    "toward": "that look toward the",
    "travelling": "while travelling",
    "use": "used as",
    "vehicle-size": "on a vehicle that is",
    "work": "whose work is",
    "zone": "of the zone",
}
"""Facts as the start of what narrows a rule; others are said by their names."""

_SECTIONS = re.compile(r"\n\s*\n\s*(?:Notes|References|See Also|Parameters|Returns|Raises)\s*\n\s*-{3,}")
_UNIT = re.compile(r"\s*\[[^\[\]]{1,12}\]_?")
_ARGUMENT = re.compile(r"^(?:[a-z_]+(?:, [a-z_]+)*) : ")

EXAMPLES_N = 6
"""Cases shown as examples."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """Everything to say about one rule, in words; `lines` has it in the order a person reads it."""

    code: str
    name: str
    asks: str
    limit: str
    applies: str
    measured: str
    closed_by: str
    standing: str
    written_for: str
    source: str
    checked: str
    why: str
    fix: str
    waivable: bool
    severity: str
    how: str = ""
    near: str = ""
    examples: str = ""
    leaves_open: str = ""
    note: str = ""

    def lines(self) -> tuple[tuple[str, str], ...]:
        """(heading, text) pairs."""
        measured = (("limit", self.limit), ("near", self.near), ("applies to", self.applies))
        how = (("measured", self.measured), ("that is", self.how), ("examples", self.examples))
        page = (
            ("asks", self.asks),
            ("why", self.why),
            *(measured if self.measured else ()),
            ("checked", self.checked),
            ("source", self.source),
            ("standing", self.standing),
            ("written for", self.written_for),
            *(how if self.measured else (("closed by", self.closed_by),)),
            ("what to do", self.fix),
            ("leaves open", self.leaves_open),
            ("if it fails", self.severity),
            ("waiver", "can be waived with name, reason and date" if self.waivable else "can't be waived"),
            ("of the pack", self.note),
        )
        return tuple((heading, text) for heading, text in page if text)


def explain(code: str, *, packs: Iterable[Pack], registry: Mapping[str, WindowEntry]) -> Explanation | None:
    """The rule called `code` in words; None when none of the packs has it."""
    for pack in packs:
        for rule in pack.rules:
            if rule.code == code.strip().upper():
                return _explained(rule, pack, registry)
    return None


def closest_codes(code: str, packs: Iterable[Pack]) -> list[str]:
    """Codes that may have been meant, best first."""
    return nearest(code.strip().upper(), [rule.code for pack in packs for rule in pack.rules], most=3)


def limit_said(rule: Rule) -> str:
    """The limit with its conditions: margin, voltage and geometry it holds for."""
    said = [str(rule.limit)]
    if rule.test_voltage is not None:
        said.append(f"at {rule.test_voltage:g} V")
    if rule.geometry:
        said.append(rule.geometry)
    return "; ".join(said)


def applies_said(rule: Rule) -> str:
    """Whom the rule concerns, in words."""
    places = [] if rule.situations == (EVERY,) else [f"situations: {' or '.join(rule.situations)}"]
    return "; ".join([*(narrowed(item) for item in rule.applies), *places]) or "everything it is measured on"


def narrowed(asks: Asks) -> str:
    """One fact a measure must show, as a person would say it."""
    said = FACTS_SAID.get(asks.fact, asks.fact.replace("-", " "))
    if asks.any_of == ("yes",):
        return f"only those {said}" if asks.fact in FACTS_SAID else str(asks)
    if asks.any_of == ("no",):
        return f"none {said}" if asks.fact in FACTS_SAID else str(asks)
    some = [f"those {said} {' or '.join(asks.any_of)}"] if asks.any_of else []
    return " but ".join([*some, *([f"not those {said} {' or '.join(asks.none_of)}"] if asks.none_of else [])])


def near_said(limit: Limit, kind: str) -> str:
    """From where on a value that meets the limit is called near, in the limit's own unit; empty where nothing is."""
    if not limit.near:
        return ""
    low = f"under {_in_unit(limit.low + limit.near, limit.unit, kind)}" if math.isfinite(limit.low) else ""
    high = f"over {_in_unit(limit.high - limit.near, limit.unit, kind)}" if math.isfinite(limit.high) else ""
    return f"{' and '.join(end for end in (low, high) if end)} it meets the limit with little to spare, and is told"


def _in_unit(value: float, unit: str, kind: str) -> str:
    known = find_unit(unit, kind) if unit else None
    return f"{value:,.6g}" if known is None else f"{(value - known.offset) / known.factor:,.6g} {unit}"


def how_said(entry: WindowEntry | None, given: Iterable[str]) -> str:
    """What a window's own page says beyond its question, without arguments the rule doesn't give."""
    page = inspect.cleandoc(entry.answer.__doc__ or "") if entry is not None else ""
    rest = _SECTIONS.split("\n" + page, maxsplit=1)[0].strip().partition("\n")[2]
    wanted = {name.replace("-", "_") for name in given}
    kept: list[str] = []
    skipping = False
    for line in rest.splitlines():
        if _ARGUMENT.match(line):
            skipping = not wanted & set(line.partition(" : ")[0].split(", "))
        elif not line.strip():
            skipping = False
        if not skipping:
            kept.append(line.strip())
    return _UNIT.sub("", " ".join(kept)).replace("`", "").replace("_", "-").replace(" : ", ": ").strip()


def examples_said(rule: Rule, cases: Iterable[Case]) -> str:
    """Cases of the pack as examples: on both sides of the limit first, then what the rule doesn't concern."""
    own = [case for case in cases if case.rule == rule.code and case.value not in ("", "nobody")]
    first = {case.expect: case for case in reversed(own)}
    wanted = {id(case) for case in [*first.values(), *own][:EXAMPLES_N]}
    chosen = [case for case in own if id(case) in wanted]
    inside = [case for case in chosen if case.expect in ("pass", "near", "fail")]
    others = [case for case in chosen if case.expect not in ("pass", "near", "fail")]
    bracketed = "would " if rule.is_draft else ""
    said = [f"{case.value} ({case.name}): {bracketed}{_end(case, draft=rule.is_draft)}" for case in inside]
    said += [f"{case.name}: {case.expect.replace('-', ' ')}" for case in others]
    return "; ".join(said)


def _end(case: Case, *, draft: bool) -> str:
    ends = {"pass": "pass", "fail": "fail", "near": "be near"} if draft else {"pass": "passes", "fail": "fails"}
    return ends.get(case.expect, case.expect)


def standing_said(rule: Rule, pack: Pack) -> str:
    """What the rule's word is worth; a figure of the house stays the house's in any pack."""
    if rule.cite.status == "house" and pack.status != "house":
        return f"{STATUS_SAID['house']}, where the {pack.status} names no figure"
    return STATUS_SAID[pack.status]


def checked_said(cite: Cite) -> str:
    """Whether anybody has read the page, who and when."""
    if cite.status != "read":
        return CITE_SAID[cite.status]
    return f"read on {cite.checked_on} by {cite.checked_by}"


def closing_said(rule: Rule) -> str:
    """How the clause is closed, and what a record of it has to show."""
    if rule.closed_by == "bench":
        return f"bench: {rule.step.rstrip('.')}; expected: {rule.reading}. Open until there is a record of it"
    if rule.needs:
        return f"{rule.closed_by}: {rule.needs}. Open until there is a record of it"
    return f"measure: {rule.measure}"


def _cases_of(pack: Pack) -> tuple[Case, ...]:
    """Cases beside a pack of ours; a shop's pack has none."""
    ours = (OUR_PACKS / pack.pack / "cases.yaml").is_file()
    return read_cases(pack.pack) if ours else ()


def _measured(rule: Rule, registry: Mapping[str, WindowEntry]) -> str:
    entry = registry.get(rule.measure)
    question = entry.question if entry is not None else "nothing measures it yet"
    given = ", ".join(f"{name} {value}" for name, value in rule.with_.items() if name != "situation")
    return f"{rule.measure}{f' ({given})' if given else ''}: {question}"


def _explained(rule: Rule, pack: Pack, registry: Mapping[str, WindowEntry]) -> Explanation:
    return Explanation(
        code=rule.code,
        name=rule.name,
        asks=rule.asks,
        limit=limit_said(rule),
        applies=applies_said(rule),
        measured=_measured(rule, registry) if rule.closed_by == "measure" else "",
        closed_by=closing_said(rule),
        standing=standing_said(rule, pack),
        written_for=pack.applies_to or "not said",
        source=str(rule.cite),
        checked=checked_said(rule.cite),
        why=rule.why,
        fix=rule.fix,
        waivable=rule.waivable,
        severity="a draft stops nothing" if rule.is_draft else SEVERITY_SAID[rule.severity],
        how=how_said(registry.get(rule.measure), rule.with_),
        near=near_said(rule.limit, rule.kind),
        examples=examples_said(rule, _cases_of(pack)),
        leaves_open=rule.leaves_open,
        note=pack.note,
    )
