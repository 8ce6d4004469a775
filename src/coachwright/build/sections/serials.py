"""Which vehicle of the job deviates, in what, and what is it called?"""

from __future__ import annotations

from coachwright.build.sections.base import Line, Name, Section, Text, Written, said


class Serial(Written):
    """One vehicle of the job. Identification number and plate are asked at intake, not here."""

    name: Line | None = said("what the fleet calls it", "C-3", default=None)
    choose: dict[Name, Name] = said(
        "the value of each option that isn't the base", {"second-radio": "fitted"}, default={}
    )
    note: Text = said("for the papers", "goes to the north station", default="")


SECTION = Section(
    "serials",
    "entries",
    Serial,
    "Which vehicles deviate, and in what?",
    """\
serials:
  1: {name: C-1}
  3: {name: C-3, choose: {second-radio: fitted}}
""",
    keys="numbers",
)
