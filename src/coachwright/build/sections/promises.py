"""What must hold in every state the vehicle can reach?"""

from __future__ import annotations

from pydantic import model_validator

from coachwright.build.sections.base import ConditionText, Names, Section, Written, said
from coachwright.kit.fields import Time, wrong

SHAPES = (
    frozenset({"when", "then"}),
    frozenset({"never"}),
    frozenset({"after", "until", "never"}),
)
_OPTIONS = {"within": "then", "but": "never"}


class Promise(Written):
    """One of three: when and then; never; after, until and never."""

    when: ConditionText | None = said("whenever this holds", "brake and not parked", default=None)
    then: ConditionText | None = said("this holds too", "tail only red steady at least 90 %", default=None)
    within: Time | None = said("at the latest after this time", "100 ms", default=None)
    never: ConditionText | None = said("this never holds", "main-siren and parked", default=None)
    but: Names = said("excused while one of these functions does it", "air-horn-on", default=())
    after: ConditionText | None = said("from this event", "becomes parked", default=None)
    until: ConditionText | None = said("to this event", "pressed ring", default=None)

    @model_validator(mode="after")
    def _has_a_shape(self) -> Promise:
        given = frozenset(
            name for name in ("when", "then", "never", "after", "until") if getattr(self, name) is not None
        )
        options = [option for option in _OPTIONS if getattr(self, option)]
        if given not in SHAPES or any(_OPTIONS[option] not in given for option in options):
            raise wrong(
                "BLD-027",
                "promise-without-shape",
                "",
                why=f"A promise of {_listed(sorted(given) + options)} says nothing whole.",
                write="Write when and then (and within); or never (and but); or after, until and never (and but).",
            )
        return self


def _listed(names: list[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0] if names else "nothing"


SECTION = Section(
    "promises",
    "entries",
    Promise,
    "What must hold in every state the vehicle can reach?",
    """\
promises:
  brake-seen: {when: brake and not parked, then: tail only red steady at least 90 %, within: 100 ms}
  quiet-park: {never: main-siren and parked, but: [air-horn-on]}
  no-drive-off-loud: {after: becomes parked, until: pressed ring, never: main-siren}
""",
)
