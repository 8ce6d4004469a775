"""The tolerance run at the prompt and for programs: how many vehicles pass each rule, where the rest fail, and why."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from coachwright.light.pass_share import Target, WeakPoint
from coachwright.light.tolerances import Tolerances
from coachwright.light.words import toward
from coachwright.proof.sure import RuleShare, Sure

WIDTH = 110
_ALL = 0.99995
"""From here on a share prints as 100 %."""


def sure_lines(found: Sure) -> Iterator[str]:
    """Every rule that was drawn, the one that fewest vehicles pass first."""
    yield f"How sure: {found.vehicles_n:,} vehicles drawn by lot, seed {found.seed}"
    if not found.rules:
        yield "  No rule of this job asks for light that can be drawn."
        return
    every = [rule for rule in found.rules if rule.share >= _ALL]
    for rule in sorted(
        (rule for rule in found.rules if rule.share < _ALL), key=lambda rule: (rule.share, rule.rule.code)
    ):
        yield from textwrap.wrap(_said(rule), WIDTH, initial_indent="  ", subsequent_indent="      ")
    if every:
        codes = ", ".join(rule.rule.code for rule in every)
        said = f"Every vehicle passes {codes}."
        yield from textwrap.wrap(said, WIDTH, initial_indent="  ", subsequent_indent="      ")
    yield from textwrap.wrap(_drawn_from(found.causes), WIDTH, initial_indent="  ", subsequent_indent="      ")
    if found.left_out:
        said = f"Not drawn, judged as drawn on paper alone: {', '.join(_runs(found.left_out))}."
        yield from textwrap.wrap(said, WIDTH, initial_indent="  ", subsequent_indent="      ")


def sure_json(found: Sure) -> dict[str, Any]:
    """The same for programs."""
    return {
        "vehicles": found.vehicles_n,
        "seed": found.seed,
        "rules": [
            {
                "code": rule.rule.code,
                "name": rule.rule.name,
                "pack": rule.pack,
                "draft": rule.rule.is_draft,
                "as-drawn": "pass" if rule.as_drawn else "fail",
                "share": rule.share,
                "weakest": [_point_json(point, target) for point, target in rule.weakest],
                "matters-most": rule.cause,
                "share-without-it": rule.share_without if rule.cause else None,
                "share-of-the-first": rule.first_share,
            }
            for rule in found.rules
        ],
        "not-drawn": list(found.left_out),
        "causes": [
            {
                "name": cause.name,
                "title": cause.title,
                "source": cause.cite.source,
                "clause": cause.cite.clause,
                "status": cause.cite.status,
            }
            for cause in found.causes.causes
        ],
    }


def _said(rule: RuleShare) -> str:
    """One rule in one sentence."""
    code = f"{rule.rule.code} {rule.rule.name}"
    if rule.rule.is_draft:
        code = f"({code}, a draft)"
    but = "" if rule.as_drawn else "; the drawing itself does not"
    said = f"{code}: {_percent(rule.share)} of the vehicles pass{but}."
    if rule.weakest:
        said += f" Most fail {_at(*rule.weakest[0])} ({_percent(rule.weakest[0][0].share)})"
        others = [_at(point, target) for point, target in rule.weakest[1:]]
        said += f", then {' and '.join(others)}." if others else "."
    if rule.cause:
        said += f" What costs most: {rule.cause}; without it {_percent(rule.share_without)} pass."
    return said


def _at(point: WeakPoint, target: Target) -> str:
    if target.asked == "total":
        where = f"in zone {target.zone}"
    elif target.zone:
        where = f"at {toward(point.bearing_rad, point.elevation_rad)}, zone {target.zone}"
    else:
        where = f"at {toward(point.bearing_rad, point.elevation_rad)}"
    level = "" if target.level == "both" else f", {target.level} level"
    return f"{where}{level}, {target.situation}"


def _point_json(point: WeakPoint, target: Target) -> dict[str, Any]:
    return {
        "situation": target.situation,
        "zone": target.zone,
        "level": target.level,
        "bearing-deg": round(math.degrees(point.bearing_rad), 3),
        "elevation-deg": round(math.degrees(point.elevation_rad), 3),
        "share-failing": point.share,
    }


def _runs(codes: Sequence[str]) -> list[str]:
    """Codes that follow each other by their first and last."""
    runs: list[list[str]] = []
    for code in codes:
        pack, _, number = code.rpartition("-")
        before, _, last = (runs[-1][-1] if runs else "").rpartition("-")
        if before == pack and int(last) + 1 == int(number):
            runs[-1].append(code)
        else:
            runs.append([code])
    return [run[0] if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]


def _drawn_from(causes: Tolerances) -> str:
    said = "; ".join(f"{cause.title} ({_standing(cause.cite.source, cause.cite.status)})" for cause in causes.causes)
    return f"Drawn: {said}. Voltage acts on the light of each part as its sheet or the data say."


def _standing(source: str, status: str) -> str:
    return source if status == "house" else f"{source}, {status}"


def _percent(share: float) -> str:
    """One digit more where it comes near to all or none; never all but for all."""
    if 0.0 < share < 0.001 or 0.999 < share < 1.0:
        return f"{100 * share:.2f} %"
    return f"{100 * share:.1f} %".replace(".0 %", " %")
