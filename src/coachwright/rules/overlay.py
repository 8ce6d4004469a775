"""Lays the figures a shop keyed in over a pack of ours: the same question, its own licensed number and reader."""

from __future__ import annotations

from typing import Any

from coachwright.kit.nodes import Document
from coachwright.rules.limit import LIMIT_WORDS

FIGURE_FIELDS = frozenset({*LIMIT_WORDS, "near", "cite", "test-voltage", "geometry", "expect", "tolerance", "code"})
"""What a shop may write over. What is measured, whom it applies to and whether it can be waived stay ours."""

Problem = tuple[Document, str, str, str, str, str]
"""Document, path in it, code, name of the wrong thing, why not, what to write."""


def laid_over(
    base: Document | None, shop: Document | None
) -> tuple[dict[str, Any], tuple[tuple[Document, str], ...], list[Problem]]:
    """The pack as plain text with defaults filled in, where each of its rules stands, and what is wrong."""
    document = base or shop
    assert document is not None
    if not isinstance(document.plain, dict):
        return {}, (), [(document, "", "RUL-002", "pack-not-fields", "a pack is made of fields", "Write pack: NAME.")]
    plain: dict[str, Any] = dict(document.plain)
    rules = plain.get("rules")
    if not isinstance(rules, list):
        return {}, (), [(document, "rules", "RUL-002", "rules-missing", "a pack lists its rules under rules", "")]
    filled = [_with_defaults(rule, plain) for rule in rules]
    origins = [(document, f"rules.{number}") for number in range(1, len(filled) + 1)]
    problems: list[Problem] = []
    if base is not None and shop is not None:
        plain["shop-figures"] = _lay(filled, origins, shop, problems)
    plain["rules"] = filled
    plain.pop("cite", None)
    plain.pop("near", None)
    return plain, tuple(origins), problems


def _with_defaults(rule: Any, pack: dict[str, Any]) -> Any:
    if not isinstance(rule, dict):
        return rule
    default = pack.get("cite", {})
    own = rule.get("cite", {})
    filled = dict(rule)
    if isinstance(default, dict) and isinstance(own, dict) and (default or own):
        filled["cite"] = {**default, **own}
    if "near" in pack and "near" not in rule and {"at-least", "at-most", "between"} & set(rule):
        filled["near"] = pack["near"]
    return filled


def _lay(filled: list[Any], origins: list[tuple[Document, str]], shop: Document, problems: list[Problem]) -> list[str]:
    """Write the shop's figures into `filled`; the codes it keyed in."""
    written = shop.plain.get("rules") if isinstance(shop.plain, dict) else None
    if not isinstance(written, list):
        problems.append((shop, "", "RUL-010", "figures-missing", "figures stand under rules", "Write rules: [...]."))
        return []
    places = {rule.get("code"): place for place, rule in enumerate(filled) if isinstance(rule, dict)}
    keyed: list[str] = []
    for number, rule in enumerate(written, 1):
        figures: dict[str, Any] = dict(rule) if isinstance(rule, dict) else {}
        where = f"rules.{number}"
        problem = _figures_problem(figures, places)
        if problem is not None:
            at, code, name, why, write = problem
            problems.append((shop, f"{where}.{at}" if at else where, code, name, why, write))
            continue
        place = places[figures["code"]]
        filled[place] = _keyed(filled[place], figures)
        origins[place] = (shop, where)
        keyed.append(figures["code"])
    return keyed


def _figures_problem(figures: dict[str, Any], places: dict[Any, int]) -> tuple[str, str, str, str, str] | None:
    code = figures.get("code")
    if not isinstance(code, str) or code not in places:
        why = f"{str(code)[:20]} is no rule of the pack these figures lie over"
        return "", "RUL-010", "figure-of-no-rule", why, "Put new rules into a pack of your own."
    strange = next((field for field in figures if field not in FIGURE_FIELDS), None)
    if strange is not None:
        why = f"{code}: a shop keys in figures and their source; {strange[:40]} stays as the pack has it"
        return strange, "RUL-010", "figure-changes-rule", why, ""
    if not isinstance(figures.get("cite"), dict):
        write = "Write cite: {status: read, checked-on: DATE, checked-by: NAME}."
        return "", "RUL-007", "figure-without-cite", f"{code}: a figure keyed in needs its own cite", write
    return None


def _keyed(base: dict[str, Any], figures: dict[str, Any]) -> dict[str, Any]:
    changed = dict(base)
    if set(figures) & set(LIMIT_WORDS):
        changed = {field: value for field, value in changed.items() if field not in LIMIT_WORDS}
    changed |= figures
    old = base.get("cite")
    named = old if isinstance(old, dict) else {}
    kept = {key: text for key, text in named.items() if key in ("source", "edition", "clause")}
    changed["cite"] = {**kept, **figures["cite"]}
    return changed
