"""What do light and time look like in one situation? Roses and strips, or the reason for which there are none.

See Also
--------
coachwright.draw.rose, coachwright.draw.strips : the pictures. coachwright.flash.waves, coachwright.light : the values.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from coachwright.build.model import Model, Situation
from coachwright.draw.rose import RoseCurve, roses
from coachwright.draw.sheet import Plate, plate_svg
from coachwright.draw.strips import rows_of, span_ms, strips
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.show import show
from coachwright.kit.wave import WaveTooLong
from coachwright.papers.light_curves import light_curves
from coachwright.papers.printed import printed

if TYPE_CHECKING:
    from coachwright.flash.waves import HeadWave

WIDTH_MM, STRIP_HEIGHT_MM = 172.0, 205.0
_MOST_NAMED = 40


_T = TypeVar("_T")


class NoAnswer(Exception):
    """A room can't say; the text says why, for the reader of the paper."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Whom to ask for the pictures of a situation; either may raise `NoAnswer` with the reason."""

    waves: Callable[[Model, str], Sequence[HeadWave]]
    curves: Callable[[Model, str], Sequence[RoseCurve]]


def situation_page(model: Model, situation: Situation, asked: Asked) -> dict[str, Any]:
    """One situation for the template: a sentence, roses, strips, what stays dark."""
    page: dict[str, Any] = {"name": printed(situation.name), "roses": [], "strips": [], "no-light": "", "no-time": ""}
    page |= {"strip-note": "", "dark": "", "across": 1, "gap": 0}
    page["sentence"] = printed(_sentence(situation, model))
    curves, reason = answered(asked.curves, model, situation.name)
    page |= _light(model, curves) if not reason else {"no-light": printed(f"Light is not drawn: {reason}.")}
    waves, reason = answered(asked.waves, model, situation.name)
    page |= _time(waves) if not reason else {"no-time": printed(f"The time of each head is not drawn: {reason}.")}
    return page


def answered(ask: Callable[[Model, str], Sequence[_T]], model: Model, situation: str) -> tuple[Sequence[_T], str]:
    """What a room says, or why it can't: a room that breaks costs its picture, says so on paper, and not the book."""
    try:
        return ask(model, situation), ""
    except (NoAnswer, WaveTooLong, CoachwrightError) as error:
        return (), str(error).rstrip(".")
    except Exception as error:
        return (), f"{type(error).__name__}: {error}; this is a fault of the program, not of the build"


def settings_text(situation: Situation, model: Model) -> str:
    """What a situation sets: ``slide full, gear D, speed 45 mph``; empty when it leaves everything at rest."""
    kinds = {item.name: item.number_kind for item in model.inputs}
    pairs = [*situation.settings, *situation.memory]
    return ", ".join(f"{name} {_value(value, kinds.get(name, ''))}" for name, value in pairs)


def _value(value: str | float, kind: str) -> str:
    if isinstance(value, str):
        return value
    return show(value, kind) if kind else f"{value:g}"


def _sentence(situation: Situation, model: Model) -> str:
    stands = f"Stands for {situation.stands_for}. " if situation.stands_for else ""
    return f"{stands}Set: {settings_text(situation, model) or 'nothing; everything at rest'}."


def _light(model: Model, curves: Sequence[RoseCurve]) -> dict[str, Any]:
    if not curves:
        return {"no-light": "No head gives light in this situation."}
    across = 2
    gap = 4.0
    size = (WIDTH_MM - (across - 1) * gap) / across
    return {
        "roses": [_picture(plate) for plate in roses(curves, size_mm=size, body=model.body)],
        "across": across,
        "gap": gap,
    }


def _time(waves: Sequence[HeadWave]) -> dict[str, Any]:
    rows = rows_of(waves)
    dark = [each.head for each in waves if each.head not in {row.head for row in rows}]
    said: dict[str, Any] = {"dark": printed(_dark(dark))} if dark else {}
    if not rows:
        return said | {"no-time": "No head is lit in this situation."}
    plates = strips(rows, width_mm=WIDTH_MM, most_height_mm=STRIP_HEIGHT_MM)
    drawn_ms = span_ms(rows)
    longest = max(wave.period_ms for row in rows for _, wave in row.parts)
    cut = f"; the longest cycle takes {longest:,} ms" if longest > drawn_ms else ""
    note = f"  {drawn_ms:,} ms{cut}. A field is as high as the head's share of full light."
    return said | {"strips": [_picture(plate) for plate in plates], "strip-note": note}


def _dark(heads: list[str]) -> str:
    shown = ", ".join(heads[:_MOST_NAMED])
    more = f" and {len(heads) - _MOST_NAMED} more" if len(heads) > _MOST_NAMED else ""
    return f"Dark in this situation: {shown}{more}."


def _picture(plate: Plate) -> dict[str, Any]:
    return {"svg": plate_svg(plate), "width": round(plate.width_mm, 3), "title": printed(plate.title)}


# ---- the rooms of the house


def _ask_waves(model: Model, situation: str) -> Sequence[HeadWave]:
    from coachwright.flash.waves import waves

    return waves(model, situation=situation)


def _ask_curves(model: Model, situation: str) -> Sequence[RoseCurve]:
    return light_curves(model, situation, _ask_waves(model, situation))


ROOMS = Asked(_ask_waves, _ask_curves)
"""The rooms themselves."""
