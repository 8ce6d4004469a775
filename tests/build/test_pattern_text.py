"""Shows and patterns: what their texts mean, what is said about texts that mean nothing, and the way back to text."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.model import PatternSpec
from coachwright.build.pattern_steps import LEAST_CYCLE_MS, MAX_CYCLE_MS, MAX_STEPS, MAX_TIMES
from coachwright.build.pattern_text import (
    COUNT_WORDS,
    FIRST_WORDS,
    RUN_WORDS,
    SIDES_WORDS,
    ShowText,
    print_pattern,
    print_show,
    read_pattern,
    read_show,
    same_pattern,
    shows_pattern,
)
from coachwright.build.pattern_words import MAX_CHARACTERS
from coachwright.build.problem import MAX_PROBLEMS
from coachwright.kit.nodes import read_nodes

REFUSED = yaml.safe_load(Path(__file__).with_name("show_cases.yaml").read_text(encoding="utf-8"))
SIGNALS = ("turn-left", "turn-right", "hazard", "brake")


def show(text: str) -> ShowText:
    """The show of a text that is right."""
    found = read_show(text, signals=SIGNALS)
    assert isinstance(found, ShowText), [str(problem) for problem in found]
    return found


def pattern(text: str) -> PatternSpec:
    found = read_pattern(text)
    assert isinstance(found, PatternSpec), [str(problem) for problem in found]
    return found


def steps(*pairs: tuple[int, int], times: int = 1, every_ms: int = 0, text: str = "") -> PatternSpec:
    return PatternSpec("", None, pairs, times, every_ms, text)


MEANT = [
    ("double sides", ShowText("pattern", PatternSpec("double", None, (), 1, 0, "double"), "sides")),
    (
        "single 150 per min other-sides",
        ShowText("pattern", PatternSpec("single", 2.5, (), 1, 0, "single 150 per min"), "other-sides"),
    ),
    ("triple", ShowText("pattern", PatternSpec("triple", None, (), 1, 0, "triple"), "together")),
    ("quad 1 Hz together", ShowText("pattern", PatternSpec("quad", 1.0, (), 1, 0, "quad 60 per min"), "together")),
    ("run-left", ShowText("pattern", PatternSpec("run-left", None, (), 1, 0, "run-left"))),
    (
        "four-corner 90 per min",
        ShowText("pattern", PatternSpec("four-corner", 1.5, (), 1, 0, "four-corner 90 per min")),
    ),
    ("steady", ShowText("steady")),
    ("steady 100 %", ShowText("steady")),
    ("steady 15%", ShowText("steady", share=0.15)),
    ("follow turn-left", ShowText("follow", signal="turn-left")),
    (
        "lit 60 ms, dark 40 ms, times 2, every 500 ms sides",
        ShowText(
            "pattern",
            steps((60, 40), times=2, every_ms=500, text="lit 60 ms, dark 40 ms, times 2, every 500 ms"),
            "sides",
        ),
    ),
    (
        "lit 0.25 s, dark 0.25 s",
        ShowText("pattern", steps((250, 250), text="lit 250 ms, dark 250 ms"), "together"),
    ),
    (
        "lit 60 ms, dark 40 ms, lit 20 ms, every 500 ms, other-sides",
        ShowText(
            "pattern",
            steps((60, 40), (20, 0), every_ms=500, text="lit 60 ms, dark 40 ms, lit 20 ms, every 500 ms"),
            "other-sides",
        ),
    ),
    (
        "lit 50 ms, dark 50 ms, every 200 ms, times 2",
        ShowText("pattern", steps((50, 50), times=2, text="lit 50 ms, dark 50 ms, times 2"), "together"),
    ),
]


@pytest.mark.parametrize(("text", "meant"), MEANT, ids=[text for text, _ in MEANT])
def test_texts_of_the_language_reference_mean_this(text: str, meant: ShowText) -> None:
    """docs/language.md, "Shows" and "Patterns": the project's own language, so its page is the source."""
    assert show(text) == meant


@pytest.mark.parametrize("case", REFUSED, ids=[case["text"] or "nothing" for case in REFUSED])
def test_a_text_that_means_nothing_is_answered(case: dict[str, object]) -> None:
    """Case: code, the words pointed at, why not, and what to write."""
    text = str(case["text"])
    problems = read_show(text, signals=SIGNALS)

    assert isinstance(problems, tuple)
    assert [[problem.code, text[problem.start : problem.end], str(problem)] for problem in problems] == case["said"]


def test_a_pattern_alone_has_no_sides() -> None:
    """Case: what a promise asks for is the pattern, not where it begins."""
    assert pattern("double 150 per min").rate_hz == 2.5
    assert [str(problem) for problem in read_pattern("double sides")] == [  # type: ignore[union-attr]
        "A pattern is asked for without its sides. Leave sides away."
    ]
    assert [problem.why for problem in read_pattern("steady")] == ["steady isn't a pattern."]  # type: ignore[union-attr]


def test_the_words_are_those_the_flash_room_can_time() -> None:
    """Law: a word that is read here can be timed there (flash/patterns.yaml)."""
    text = Path("src/coachwright/flash/patterns.yaml").read_text(encoding="utf-8")
    known = read_nodes(text, file="patterns.yaml").plain
    assert isinstance(known, dict)

    assert list(COUNT_WORDS) == list(known["count-words"])
    assert list(RUN_WORDS) == known["runs"]


# law: there and back

rates = st.one_of(st.integers(1, 3000).map(lambda n: n / 60), st.floats(1000 / MAX_CYCLE_MS, 1000 / LEAST_CYCLE_MS))


@st.composite
def patterns(draw: st.DrawFn) -> PatternSpec:
    """Every pattern the language can say, in the form the reader gives it."""
    if draw(st.booleans()):
        spec = PatternSpec(draw(st.sampled_from((*COUNT_WORDS, *RUN_WORDS))), draw(st.none() | rates), (), 1, 0, "")
    else:
        pairs = draw(st.lists(st.tuples(st.integers(10, 400), st.integers(10, 400)), min_size=1, max_size=5))
        times = draw(st.integers(1, 9))
        total = times * sum(lit + dark for lit, dark in pairs)
        every = draw(st.just(0) | st.integers(total + 1, MAX_CYCLE_MS))
        if every and times == 1 and draw(st.booleans()):
            pairs[-1] = (pairs[-1][0], 0)
        spec = PatternSpec("", None, tuple(pairs), times, every, "")
    return PatternSpec(spec.word, spec.rate_hz, spec.steps_ms, spec.times, spec.every_ms, print_pattern(spec))


@given(patterns())
def test_printed_and_read_again_it_is_the_same_pattern(spec: PatternSpec) -> None:
    """Law: read(print(p)) == p."""
    assert pattern(print_pattern(spec)) == spec
    assert same_pattern(spec, pattern(spec.text))


@given(patterns(), st.sampled_from(SIDES_WORDS), st.integers(1, 1000))
def test_printed_and_read_again_it_is_the_same_show(spec: PatternSpec, sides: str, thousandths: int) -> None:
    """Law: read(print(s)) == s; a show with sides is refused only where its light is longer than half of its cycle."""
    text = spec.text if spec.word in RUN_WORDS else f"{spec.text} {sides}"
    found = read_show(text)
    if isinstance(found, ShowText):
        assert read_show(print_show(found)) == found
    else:
        assert sides != "together"
        assert [problem.why[:5] for problem in found] == ["With "]
    share = ShowText("steady", share=thousandths / 1000)
    assert read_show(print_show(share)) == share


@given(patterns(), patterns())
def test_same_pattern_is_an_even_relation(one: PatternSpec, other: PatternSpec) -> None:
    """Law: every pattern is the same as itself; between two with rates or steps it doesn't matter who asks."""
    assert same_pattern(one, one)
    if (one.rate_hz or one.steps_ms) and (other.rate_hz or other.steps_ms):
        assert same_pattern(one, other) == same_pattern(other, one)


def test_same_pattern_looks_at_the_light_not_at_the_words() -> None:
    """docs/language.md, "Patterns": a bare word asks for any rate; steps are compared by when they are lit."""
    assert same_pattern(pattern("run-left"), pattern("run-left 60 per min"))
    assert not same_pattern(pattern("run-left 60 per min"), pattern("run-left"))
    assert not same_pattern(pattern("run-left"), pattern("run-right"))
    twice = pattern("lit 60 ms, dark 40 ms, times 2, every 500 ms")
    assert same_pattern(twice, pattern("lit 60 ms, dark 40 ms, lit 60 ms, dark 340 ms"))
    assert same_pattern(twice, pattern("lit 60 ms, dark 40 ms, lit 60 ms, every 0.5 s"))
    assert not same_pattern(twice, pattern("lit 60 ms, dark 40 ms, times 2"))


def test_a_promise_keeps_the_text_of_what_it_asks_for() -> None:
    """Case: the text is read and compared by its light."""
    shown = pattern("lit 60 ms, dark 40 ms, times 2, every 500 ms")

    assert shows_pattern(shown, "lit 60 ms, dark 40 ms, lit 60 ms, every 500 ms")
    assert shows_pattern(pattern("double 150 per min"), "double")
    assert not shows_pattern(shown, "double")
    with pytest.raises(ValueError, match="dubble is no pattern"):
        shows_pattern(shown, "dubble")


# law: any text

SOUP = [
    *FIRST_WORDS,
    *SIDES_WORDS,
    "dark",
    "times",
    "every",
    ",",
    "60 ms",
    "0 ms",
    "2",
    "150 per min",
    "%",
    "40 %",
    "x",
]


@given(st.one_of(st.text(max_size=100), st.lists(st.sampled_from(SOUP), max_size=20).map(" ".join)))
def test_any_text_is_read_or_answered(text: str) -> None:
    """Law: no text brings a traceback, and problems lie within the text."""
    for found in (read_show(text), read_show(text, signals=SIGNALS), read_pattern(text)):
        for problem in found if isinstance(found, tuple) else ():
            assert 0 <= problem.start <= problem.end <= len(text)
            assert problem.why.endswith((".", "?"))
        assert found != ()


@pytest.mark.parametrize("piece", ["lit 1 ms, dark 1 ms, ", ",", "lit ", "x ", "sides ", "9"])
def test_a_hostile_text_is_refused_in_a_few_words(piece: str) -> None:
    """Law: a megabyte is not read, and what fits brings few problems."""
    for length in (1_000_000, MAX_CHARACTERS):
        found = read_show((piece * (length // len(piece) + 1))[:length])
        assert isinstance(found, tuple)
        assert len(found) <= MAX_PROBLEMS


def reads(text: str) -> bool:
    return isinstance(read_show(text), ShowText)


def test_the_bounds_are_bounds() -> None:
    """Case: the last number inside each bound is read, the first outside isn't."""
    assert reads(", ".join(["lit 10 ms, dark 10 ms"] * MAX_STEPS))
    assert not reads(", ".join(["lit 10 ms, dark 10 ms"] * (MAX_STEPS + 1)))
    assert reads(f"lit 10 ms, dark 10 ms, times {MAX_TIMES}")
    assert not reads(f"lit 10 ms, dark 10 ms, times {MAX_TIMES + 1}")
    assert reads(f"lit 10 ms, every {MAX_CYCLE_MS} ms")
    assert not reads(f"lit 10 ms, every {MAX_CYCLE_MS + 1} ms")
    assert reads("lit 10 ms, dark 10 ms")
    assert not reads("lit 10 ms, dark 9 ms")
