"""What does a rule ask, who says so, how sure are we, and how is it measured?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coachwright.kit.cite import Cite
from coachwright.kit.measure import WindowEntry
from coachwright.kit.near import nearest
from coachwright.rules.schema import EVERY, Pack, PackStatus, Rule

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

    def lines(self) -> tuple[tuple[str, str], ...]:
        """(heading, text) pairs."""
        return (
            ("asks", self.asks),
            *([("limit", self.limit), ("applies to", self.applies)] if self.measured else []),
            *([("measured", self.measured)] if self.measured else [("closed by", self.closed_by)]),
            ("standing", self.standing),
            ("written for", self.written_for),
            ("source", self.source),
            ("checked", self.checked),
            ("why", self.why),
            ("what to do", self.fix),
            ("waiver", "can be waived with name, reason and date" if self.waivable else "can't be waived"),
        )


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
    return "; ".join([*(str(item) for item in rule.applies), *places]) or "everything it is measured on"


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
        standing=STATUS_SAID[pack.status],
        written_for=pack.applies_to or "not said",
        source=str(rule.cite),
        checked=checked_said(rule.cite),
        why=rule.why,
        fix=rule.fix,
        waivable=rule.waivable,
        severity=rule.severity,
    )
