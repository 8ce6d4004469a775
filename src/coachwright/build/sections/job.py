"""For whom, by which number, in which money, and what does local law allow?"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, WithJsonSchema

from coachwright.build.sections.base import IsoDate, Line, Section, Text, Written, said
from coachwright.kit.fields import YesNo, wrong


def _answer(value: Any) -> Any:
    if value in ("permitted", "forbidden"):
        return value
    if isinstance(value, str) and value.startswith("only when ") and len(value) > 12:
        return value
    raise wrong(
        "BLD-022",
        "answer-not-read",
        str(value),
        why="An answer of the law is permitted, forbidden, or only when something holds.",
        write="Write permitted, forbidden, or only when and the condition.",
    )


Answer = Annotated[
    str, BeforeValidator(_answer), WithJsonSchema({"type": "string", "pattern": "^(permitted|forbidden|only when .+)$"})
]


class Law(Written):
    """The answer to one question of a pack."""

    answer: Answer = said("permitted, forbidden, or only when something holds", "permitted", "only when not night")
    paper: Text = said("the paper it rests on", "letter on file", default="")


class Laws(Written):
    """Where the vehicle is registered, and one answer for each question of the packs."""

    model_config = ConfigDict(extra="allow")
    __pydantic_extra__: dict[str, Law]

    place: Text = said("state and local law that applies", "invented state", default="")


class Tax(Written):
    """Whether the customer pays tax."""

    exempt: YesNo = said("whether the customer is exempt", "yes", default=False)
    paper: Text = said("the certificate", "on file", default="")


def _money(value: Any) -> Any:
    if isinstance(value, str) and len(value) == 3 and value.isascii() and value.isupper():
        return value
    raise wrong(
        "BLD-023",
        "money-not-read",
        str(value),
        why="A currency is written in three capital letters.",
        write="Write it like USD.",
    )


Money = Annotated[str, BeforeValidator(_money), WithJsonSchema({"type": "string", "pattern": "^[A-Z]{3}$"})]


class Wiring(Written):
    """To which rules wire and fuses are chosen, and from whose sizes."""

    fuse_rule: Literal["150 %", "125 %", "135 %"] = said(
        "how a fuse is held against its wire: at most 150 % of it, or the wire at least 125 % or 135 % of the fuse",
        "125 %",
        default="135 %",
    )
    wire: Literal["awg", "sae", "metric"] = said(
        "whose sizes the wire is bought in; SAE wire is thinner than AWG wire of the same number", "sae", default="awg"
    )


class Job(Written):
    """The job as it stands on every paper."""

    name: Line = said("what the job is called", "Duty command pickups")
    customer: Text = said("for whom", "Quillback Harbor Rescue District", default="")
    number: Text = said("the shop's number of it", "Q-0417", default="")
    revision: Text = said("which revision of the offer this is", "B", default="")
    shop: Text = said("who fits it out and owns the papers", "Fit-out bay of the invented shop", default="")
    drawn_by: Text = said("who made the papers", "A. Fitter", default="")
    approved_by: Text = said("who approved them; empty while nobody has", "B. Lead", default="")
    issued: IsoDate | None = said("day on which this revision was given out", "2026-12-01", default=None)
    due: IsoDate | None = said("day by which it is to be delivered", "2027-03-15", default=None)
    money: Money = said("currency of all prices", "USD", default="USD")
    tax: Tax = said(
        "whether the customer pays tax",
        {"exempt": "yes", "paper": "on file"},
        default=Tax.model_construct(exempt=False, paper=""),
    )
    wiring: Wiring = said(
        "to which rules wire and fuses are chosen",
        {"fuse-rule": "125 %", "wire": "sae"},
        default=Wiring.model_construct(fuse_rule="135 %", wire="awg"),
    )
    law: Laws = said(
        "answers to what packs ask of state and local law",
        {"red-forward": {"answer": "permitted"}},
        default=Laws.model_construct(place=""),
    )


SECTION = Section(
    "job",
    "one",
    Job,
    "For whom is it, and what does local law allow?",
    """\
job:
  name: Duty command pickups
  customer: Quillback Harbor Rescue District
  number: Q-0417
  revision: B
  shop: Fit-out bay of the invented shop
  drawn-by: A. Fitter
  approved-by: B. Lead
  issued: "2026-12-01"
  due: "2027-03-15"
  money: USD
  tax: {exempt: yes, paper: on file}
  wiring: {fuse-rule: 125 %, wire: sae}
  law:
    place: invented state
    red-forward: {answer: permitted, paper: letter on file}
    headlamp-flash: {answer: only when not night}
""",
)
