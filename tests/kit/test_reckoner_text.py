"""Words `key=value` to values: a toy calculation with a toy reader of units."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coachwright.kit.reckoner import POSITIVE, InputRefused, Key, Outcome, Part, Reckoner, Result, choice, many, one
from coachwright.kit.reckoner_text import MOST_ITEMS, work_out
from coachwright.kit.reckoning import Reckoning


class ToyError(ValueError):
    """What the toy reader raises."""

    write = "Write 3 m."


def toy(text: str, kind: str) -> float:
    """Reads ``3 m``, ``3 ft`` (0.3 m for ease) and plain numbers of kind number."""
    found = re.fullmatch(r"(-?\d+(?:\.\d+)?)(?: ?(m|ft))?", text)
    if found is None or (found[2] is None) != (kind == "number"):
        raise ToyError(f"{text} of what?")
    return float(found[1]) * {"m": 1.0, "ft": 0.3, None: 1.0}[found[2]]


def answer(**values: object) -> Outcome:
    """Gives back what it was asked, so that the reading can be seen."""
    seen.clear()
    seen.update(values)
    return Outcome(
        {"far": values["far"], "ok": True, "note": None},
        notes=("noted",),
        units={"far": "ft"} if values["style"] == "us" else {},
    )


seen: dict[str, object] = {}
TOY = Reckoner(
    "kit",
    "toy",
    "a toy",
    (
        one("far", "length", "how far", example="3 m", bounds=POSITIVE),
        many("row", (Part("length"), Part("number")), "pairs", example="1 m @ 2, 3 m @ 4", optional=True),
        many("list", (Part("length", bare_unit="m"),), "lengths", example="1, 2", optional=True),
        Key("style", (Part("word", choices=("metric", "us")),), "style", "us", default="metric",
            default_by_unit=("far", {"ft": "us"})),
        choice("colour", ("red", "amber"), "colour", default="red"),
        Key("sure", (Part("yes-no"),), "sure", "yes", default="no"),
        Key("word", (Part("text"),), "any", "x", optional=True),
    ),
    (Result("far", "m", "length"), Result("ok", "yes/no", "yes-no"), Result("note", "1", "number")),
    "far = far",
    "always",
    (),
    answer,
)  # fmt: skip


def ask(*texts: str) -> Reckoning:
    """Work the toy out."""
    return work_out(TOY, texts, parse=toy, unit_error=ToyError)


def outcome(texts: list[str]) -> tuple[str, str]:
    """The line of a refusal, or the answer as text."""
    try:
        return "", ask(*texts).as_text()
    except InputRefused as refused:
        return str(refused), ""


def test_values_arrive_in_si_and_leave_in_their_unit() -> None:
    """Law: 10 ft is 3 m inside and 10 ft again where the answer says feet."""
    done = ask("far=10 ft", "row=1 m @ 2, 3 m@4,", "list=1, 2 m", "sure=yes", "word=a = b")

    assert seen == {
        "far": pytest.approx(3.0),
        "row": ((1.0, 2.0), (3.0, 4.0)),
        "list": (1.0, 2.0),
        "style": "us",
        "colour": "red",
        "sure": True,
        "word": "a = b",
    }
    assert done.value("far") == pytest.approx(10.0)
    assert done.as_json()["results"]["far"]["unit"] == "ft"
    assert dict(done.inputs)["list"] == "1 m, 2 m"
    assert done.defaulted == {"style", "colour"}


def test_a_default_follows_the_unit_it_was_told_to() -> None:
    """Law: metres keep the printed default, a word beats both."""
    ask("far=3 m")
    assert seen["style"] == "metric"
    assert seen["row"] is None
    ask("far=3 ft", "style=metric")
    assert seen["style"] == "metric"


@pytest.mark.parametrize(
    ("texts", "line"),
    [
        ([], 'toy: far is missing. Write it like "far=3 m".'),
        (["far"], "toy: 'far': this isn't key=value. Write it like \"far=3 m\"."),
        (["far="], "toy: 'far=': far has no value. Write it like \"far=3 m\"."),
        (["fer=3 m"], "toy: 'fer=3 m': no input is called fer. Did you mean far?"),
        (
            ["quantum=3"],
            "toy: 'quantum=3': no input is called quantum. There are far, row, list, style, colour, sure, word.",
        ),
        (["far=3 m", "far=4 m"], "toy: 'far=4 m': far is written twice. Keep one of them."),
        (["far=3"], "toy: 'far=3': 3 of what? Write 3 m."),
        (["far=-3 m"], "toy: 'far=-3 m': far is more than 0. Write it like \"far=3 m\"."),
        (
            ["far=3 m", "row=1 m"],
            "toy: 'row=1 m': an entry has 2 parts with @ between. Write it like \"row=1 m @ 2, 3 m @ 4\".",
        ),
        (["far=3 m", "colour=rad"], "toy: 'colour=rad': no such word. Did you mean red?"),
        (["far=3 m", "colour=violet"], "toy: 'colour=violet': no such word. Write one of red, amber."),
        (["far=3 m", "sure=maybe"], "toy: 'sure=maybe': no such word. Write one of yes, no."),
    ],
)  # fmt: skip
def test_what_isnt_understood_is_refused_in_one_line(texts: list[str], line: str) -> None:
    """Law: one line with what was read, why not, and what to write."""
    with pytest.raises(InputRefused) as refused:
        ask(*texts)

    assert str(refused.value) == line


def test_long_inputs_are_refused_unread() -> None:
    """Law: a list has an end."""
    with pytest.raises(InputRefused, match="more than 2,000 entries"):
        ask("far=3 m", "list=" + ",".join(["1"] * (MOST_ITEMS + 1)))
    with pytest.raises(InputRefused, match="longer than"):
        ask("far=3 m", "word=" + "x" * 30_000)


@given(st.lists(st.text(max_size=60), max_size=4))
@example(["far=3 m", "row=@@@"])
@example(["=", "=="])
@example(["far=3 m", "list=,,,"])
@example(["far=\u2028"])
def test_any_text_is_answered_or_refused_in_one_line(texts: list[str]) -> None:
    """Law: nothing else comes out, whatever goes in."""
    line, page = outcome(texts)

    assert len(line.splitlines()) == 1 or page
