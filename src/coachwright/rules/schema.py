"""What a pack of rules may say, and the frozen things it is read into.

A pack is one standard, law, contract or house custom; a rule is one measure, one limit, one source. A limit is data: it
carries who says so, whether anybody has read the page, and the unit, voltage and geometry it holds for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from coachwright.kit.cite import Cite
from coachwright.kit.fields import Count, Name, Text, Voltage, YesNo
from coachwright.kit.finding import Severity
from coachwright.rules.closing import ClosedBy, ClosingError, check_closing, closing_limit
from coachwright.rules.limit import LIMIT_WORDS, Limit, LimitError, read_limit

PackStatus = Literal["law", "standard", "target", "house", "contract"]
"""What a pack's word is worth. target: figures of a law that was written for other lamps, used as a mark to reach."""

EVERY = "every"
"""Situation word of a rule that holds in all of them."""

_CODE = re.compile(r"[A-Z][A-Z0-9]{1,5}-[0-9]{3}")
_MEASURE = re.compile(r"[a-z]+\.[a-z0-9]+(?:-[a-z0-9]+)*")


def refused(name: str, why: str, *, at: str = "", write: str = "", code: str = "RUL-002") -> PydanticCustomError:
    """An error pydantic carries to rules.load: `at` names the field inside the present one."""
    context = {"code": code, "name": name, "why": why, "write": write, "at": at}
    return PydanticCustomError("coachwright", "{why}", context)


def _matching(pattern: re.Pattern[str], name: str, write: str) -> Any:
    def read(value: Any) -> Any:
        if isinstance(value, str) and pattern.fullmatch(value):
            return value
        raise refused(name, f"{str(value)[:40]} is not written the way it has to be here.", write=write)

    return BeforeValidator(read)


def _said(value: str) -> str:
    if not value.strip():
        raise refused("text-missing", "A sentence belongs here.")
    return value


RuleCode = Annotated[str, _matching(_CODE, "code-not-plain", "Write it like HSE-004.")]
MeasureName = Annotated[str, _matching(_MEASURE, "measure-not-plain", "Write it like flash.rate.")]
Said = Annotated[Text, AfterValidator(_said)]


class Frozen(BaseModel):
    """Base of everything in a pack file. Field names are written with hyphens in files."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        populate_by_name=True,
        arbitrary_types_allowed=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", "-"),
    )


@dataclass(frozen=True, slots=True)
class Asks:
    """One thing a measure's facts must say for a rule to apply: one of `any_of` (all when empty), none of `none_of`."""

    fact: str
    any_of: tuple[str, ...] = ()
    none_of: tuple[str, ...] = ()

    def holds(self, value: str) -> bool:
        return (not self.any_of or value in self.any_of) and value not in self.none_of

    def __str__(self) -> str:
        said = [" or ".join(self.any_of)] if self.any_of else []
        said += [f"not {' or '.join(self.none_of)}"] if self.none_of else []
        return f"{self.fact.replace('-', ' ')} {' but '.join(said)}"


def _applies(value: Any) -> Any:
    if isinstance(value, tuple):
        return value
    if not isinstance(value, Mapping):
        raise refused("applies-not-facts", "Facts and their values belong here.", write="Write {colour: red}.")
    return tuple(_one_fact(str(fact), wanted) for fact, wanted in value.items())


def _one_fact(fact: str, wanted: Any) -> Asks:
    if isinstance(wanted, Mapping) and set(wanted) == {"not"}:
        return Asks(fact, none_of=_word_list(wanted["not"], fact))
    return Asks(fact, any_of=_word_list(wanted, fact))


def _word_list(value: Any, at: str) -> tuple[str, ...]:
    words = (value,) if isinstance(value, str) else tuple(value) if isinstance(value, list | tuple) else ()
    if not words or not all(isinstance(word, str) for word in words):
        raise refused("applies-not-facts", "A word, a list of words or {not: [...]} belongs here.", at=at)
    return tuple(str(word) for word in words)


def _cite(value: Any) -> Any:
    if isinstance(value, Cite):
        return value
    if not isinstance(value, Mapping):
        raise refused("cite-missing", "Every rule names its source.", code="RUL-007")
    known = {"source": "source", "edition": "edition", "clause": "clause", "status": "status"}
    known |= {"checked-on": "checked_on", "checked-by": "checked_by"}
    strange = next((key for key in value if key not in known), None)
    if strange is not None:
        raise refused("cite-field-unknown", f"A cite has no {strange[:40]}.", at=strange, code="RUL-007")
    fields = {known[key]: text for key, text in value.items() if text != ""}
    if not all(isinstance(text, str) for text in fields.values()):
        raise refused("cite-not-text", "A cite is made of single lines of text.", code="RUL-007")
    return _checked_cite(fields)


def _checked_cite(fields: dict[str, Any]) -> Cite:
    status, day = fields.get("status", "draft"), fields.get("checked_on")
    if status not in ("read", "draft", "house", "contract"):
        raise _cite_refused("cite-status-unknown", "status", f"{status[:40]} is no status.", _STATUS)
    if not str(fields.get("source", "")).strip():
        raise _cite_refused(
            "cite-without-source", "source", "A figure whose source is unnamed proves nothing.", _SOURCE
        )
    if day is not None and not is_day(day):
        raise _cite_refused("date-not-plain", "checked-on", f"{day[:40]} is no date.", "Write it like 2026-11-25.")
    if status == "read" and not (day and str(fields.get("checked_by", "")).strip()):
        why = "A figure counts as read only with the day and the name of the reader."
        raise _cite_refused("read-by-nobody", "status", why, "Write checked-on and checked-by, or status: draft.")
    return Cite(**fields)


_STATUS = "Write read, draft, house or contract."
_SOURCE = "Write the title of the standard, law, contract or custom."


def _cite_refused(name: str, at: str, why: str, write: str) -> PydanticCustomError:
    return refused(name, why, at=at, write=write, code="RUL-007")


def is_day(text: str) -> bool:
    """Whether `text` is a day as ISO writes it, like 2026-11-25."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


class Rule(Frozen):
    """One measure, one limit, one source; or a clause that is closed by a record of bench, photo or signature.

    Parameters
    ----------
    code, name : who says so + number, never reused; the wrong thing in two to four words.
    asks : what the rule asks for, one sentence.
    closed_by : how it is settled; the next five belong to ``measure``, the others each to its own way.
    applies : facts a measure must show; empty: all.
    measure, with_ : the window and its arguments as text; ``situation`` among them says where it holds. Empty for a
        clause that no room measures.
    kind, limit : unit kind of the measure or of the reading; the limit in SI. A photo or a signature must be there.
    step, expect, tolerance : what is done at the bench, and what has to be read; or a limit in place of the two.
    photo_of : the thing a photo has to show. signed_by : the person whose signature closes it.
    test_voltage, geometry : for which the figure holds. [V]
    waivable : False for law.
    under_faults : whether it has to hold with a wire or a sensor broken as well.
    why, fix : in our words. leaves_open : what it does not say, or can't.
    """

    code: RuleCode
    name: Name
    asks: Said
    closed_by: ClosedBy = "measure"
    applies: Annotated[tuple[Asks, ...], BeforeValidator(_applies)] = ()
    measure: MeasureName | Literal[""] = ""
    with_: dict[Name, Text | tuple[Text, ...]] = Field(default_factory=dict)
    kind: Text = "yes-no"
    limit: Limit
    step: Said | Literal[""] = ""
    expect: Text = ""
    tolerance: Text = ""
    photo_of: Said | Literal[""] = ""
    signed_by: Name | Literal[""] = ""
    test_voltage: Voltage | None = None
    geometry: Text = ""
    severity: Severity = "error"
    waivable: YesNo = True
    under_faults: YesNo = False
    cite: Annotated[Cite, BeforeValidator(_cite)]
    why: Said
    leaves_open: Text = ""
    fix: Said

    @model_validator(mode="before")
    @classmethod
    def _one_limit(cls, value: Any) -> Any:
        if not isinstance(value, Mapping) or "limit" in value:
            return value
        try:
            way = check_closing(value)
        except ClosingError as error:
            code = "RUL-002" if error.name == "field-missing" else "RUL-015"
            raise refused(error.name, str(error), at=error.at, write=error.write, code=code) from None
        rest = {key: item for key, item in value.items() if key not in LIMIT_WORDS and key != "near"}
        written: dict[str, object] = {key: value[key] for key in LIMIT_WORDS if key in value}
        try:
            if way != "measure":
                return rest | {"limit": closing_limit(way, value)}
            rest["limit"] = read_limit(written, kind=str(value.get("kind", "")), near=_text_or_empty(value.get("near")))
        except LimitError as error:
            code, name = _limit_trouble(error, max(len(written), 1 if way == "bench" else 0))
            raise refused(name, str(error), at=error.at, write=error.write, code=code) from None
        return rest

    @property
    def situations(self) -> tuple[str, ...]:
        """Names, or words they stand for, of the situations it holds in; ``("every",)`` for all."""
        asked = self.with_.get("situation", EVERY)
        return (asked,) if isinstance(asked, str) else asked

    @property
    def is_draft(self) -> bool:
        return self.cite.is_draft

    @property
    def reading(self) -> str:
        """What has to be read at the bench; empty for the rest."""
        if self.closed_by != "bench":
            return ""
        return self.limit.written if self.expect else str(self.limit)

    @property
    def needs(self) -> str:
        """The record that would close the clause, in words; empty for what a room measures."""
        if self.closed_by == "photo":
            return f"a photo of {self.photo_of}"
        if self.closed_by == "signature":
            return f"the signature of the {self.signed_by.replace('-', ' ')}"
        if self.closed_by == "bench":
            return f"a reading at the bench, {self.reading}"
        return ""


def _limit_trouble(error: LimitError, written_n: int) -> tuple[str, str]:
    if error.at == "kind":
        return "RUL-005", "unit-kind-unknown"
    return ("RUL-009", "limit-not-read") if written_n == 1 else ("RUL-006", "limit-not-one")


def _text_or_empty(value: Any) -> str:
    return value if isinstance(value, str) else ""


class Question(Frozen):
    """Something only state or local law can answer; the job writes the answer under ``job.law``.

    It is put to a job that can light `colour` toward one of `toward` in one of `manner`, or that shows a pattern of
    `patterns`, or that flashes one of the vehicle's own lamps of `lamps`; empty fields ask for nothing.
    films : it is put to a job that lays film on glass, and asks for nothing else.
    also_by : questions whose answer settles this one as well.
    """

    name: Name
    asks: Said
    why: Said
    colour: Text = ""
    toward: tuple[Name, ...] = ()
    manner: tuple[Literal["steady", "flashing"], ...] = ()
    patterns: tuple[Name, ...] = ()
    lamps: tuple[Name, ...] = ()
    films: YesNo = False
    also_by: tuple[Name, ...] = ()


class Pack(Frozen):
    """A set of rules of one source.

    status : what its word is worth; the word stands beside every result in print.
    applies_to : the vehicles or lamps its source was written for, in words.
    note : what a reader has to know before trusting it.
    shop_figures : codes of the rules whose figures the shop keyed in itself.
    """

    pack: Name
    prefix: Annotated[str, _matching(re.compile(r"[A-Z][A-Z0-9]{1,5}"), "prefix-not-plain", "Write it like HSE.")]
    title: Said
    edition: Text = ""
    status: PackStatus
    applies_to: Text = ""
    note: Text = ""
    language: Count = 1
    questions: tuple[Question, ...] = ()
    rules: tuple[Rule, ...] = Field(max_length=2000)
    shop_figures: tuple[str, ...] = ()
