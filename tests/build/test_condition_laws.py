"""Conditions: laws. Another grammar and a solver agree on what binds; text and tree come back; any text is answered."""

import ast
import itertools

import pytest
import z3
from hypothesis import example, given
from hypothesis import strategies as st

from coachwright.build.condition import (
    And,
    Compare,
    Condition,
    Constant,
    Event,
    First,
    FunctionState,
    HeadStatement,
    Held,
    Not,
    OneOf,
    Or,
    Plus,
    Truth,
    children,
)
from coachwright.build.condition_scope import ALLOWED, Place
from coachwright.build.condition_text import MAX_CHARACTERS, MAX_DEPTH, Scope, print_condition, read_condition
from coachwright.build.condition_words import COMPARISONS, RESERVED_WORDS
from coachwright.build.problem import MAX_PROBLEMS

ON_OFF = ("off", "on")
SLIDE = ("off", "low", "mid", "full")
PLAIN = ("brake", "park-brake", "key-in", "headlamps", "low-tone", "ring", "takedown", "gate-open")
SCOPE = Scope(
    inputs={
        **dict.fromkeys(PLAIN, ON_OFF),
        "slide": SLIDE,
        "hatch": ("closed", "open"),
        "gear": ("P", "R", "N", "D"),
        "speed": "speed",
        "supply": "voltage",
    },
    memories={"tone": ("standby", "wail", "yelp")},
    words={"parked", "night"},
    functions={"siren", "arrow-run"},
    equipment={"main-siren"},
    selectors={"rear-bar", "cap-bar", "tail", "visor"},
    ordered={"slide"},
    pushed={"takedown", "ring", "low-tone"},
)
KINDS = {"speed": "speed", "supply": "voltage"}


def read(text: str, place: Place = "function") -> Condition:
    """The tree of a text that is right."""
    condition = read_condition(text, place=place, scope=SCOPE)
    assert not isinstance(condition, tuple), [str(problem) for problem in condition]
    return condition


# law: the oracle

ATOMS = {
    "brake": "v0",
    "park-brake": "v1",
    "key-in": "v2",
    "slide >= mid": "v3",
    "gear in (P, N)": "v4",
    "headlamps held 3 s": "v5",
    "first 20 s of low-tone": "v6",
    "hatch == open plus 1 min": "v7",
    "first 2 s of speed < 3 mph": "v8",
}
"""Texts of one atom each, and the variable the oracle reads for it."""


@st.composite
def formulas(draw: st.DrawFn) -> list[str]:
    """Words of a formula, some brackets, nothing said about what binds more strongly."""

    def part(depth: int) -> list[str]:
        if depth and draw(st.booleans()):
            return ["(", *chain(depth - 1), ")"]
        return [draw(st.sampled_from(sorted(ATOMS)))]

    def chain(depth: int) -> list[str]:
        words: list[str] = []
        for number in range(draw(st.integers(1, 4))):
            words += [draw(st.sampled_from(["and", "or"]))] if number else []
            words += ["not"] * draw(st.integers(0, 2)) + part(depth)
        return words

    return chain(3)


def as_z3(condition: Condition) -> z3.BoolRef:
    """Our tree as a formula; a comparison or a timed part is one variable, named by its text."""
    match condition:
        case And(items):
            return z3.And(*map(as_z3, items))
        case Or(items):
            return z3.Or(*map(as_z3, items))
        case Not(item):
            return z3.Not(as_z3(item))
        case _:
            return z3.Bool(ATOMS[print_condition(condition, kinds=KINDS)])


def python_as_z3(text: str) -> z3.BoolRef:
    """The same words read by Python's own grammar, whose and, or and not bind alike (Python reference, 6.17)."""

    def walk(node: ast.expr) -> z3.BoolRef:
        match node:
            case ast.BoolOp(ast.And(), values):
                return z3.And(*map(walk, values))
            case ast.BoolOp(ast.Or(), values):
                return z3.Or(*map(walk, values))
            case ast.UnaryOp(ast.Not(), operand):
                return z3.Not(walk(operand))
            case ast.Name(name):
                return z3.Bool(name)
            case _:
                raise AssertionError(ast.dump(node))

    return walk(ast.parse(text, mode="eval").body)


@given(formulas())
def test_and_or_not_and_times_bind_as_python_and_z3_say(words: list[str]) -> None:
    """Law: z3 finds no setting in which our reading and Python's reading of the same words differ."""
    ours = as_z3(read(" ".join(words)))
    theirs = python_as_z3(" ".join(ATOMS.get(word, word) for word in words))
    solver = z3.Solver()
    solver.add(z3.Xor(ours, theirs))

    assert solver.check() == z3.unsat


def holds(condition: Condition, on: frozenset[str]) -> bool:
    """A second witness, by hand."""
    match condition:
        case And(items):
            return all(holds(item, on) for item in items)
        case Or(items):
            return any(holds(item, on) for item in items)
        case Not(item):
            return not holds(item, on)
        case _:
            return ATOMS[print_condition(condition, kinds=KINDS)] in on


@given(formulas())
def test_the_truth_table_is_that_of_the_words(words: list[str]) -> None:
    """Law: over every setting of the atoms used, splitting the words at `or`, then `and`, gives the same answer."""
    condition = read(" ".join(words))
    used = sorted({ATOMS[word] for word in words if word in ATOMS})[:6]

    def by_splitting(pieces: list[str], on: frozenset[str]) -> bool:
        for joint, join in (("or", any), ("and", all)):
            parts: list[list[str]] = [[]]
            depth = 0
            for word in pieces:
                depth += (word == "(") - (word == ")")
                if word == joint and depth == 0:
                    parts.append([])
                else:
                    parts[-1].append(word)
            if len(parts) > 1:
                return join(by_splitting(part, on) for part in parts)
        if pieces[0] == "not":
            return not by_splitting(pieces[1:], on)
        return by_splitting(pieces[1:-1], on) if pieces[0] == "(" else ATOMS[pieces[0]] in on

    for values in itertools.product([False, True], repeat=len(used)):
        on = frozenset(name for name, value in zip(used, values, strict=True) if value)
        assert holds(condition, on) == by_splitting(words, on)


# law: there and back

times = st.one_of(
    st.integers(1, 30 * 24 * 3_600_000),
    st.integers(1, 3000).map(lambda n: n * 1000),
    st.integers(1, 700).map(lambda n: n * 60_000),
)
speeds = st.one_of(
    st.floats(0.001, 100), st.integers(0, 200).map(lambda n: n * 0.44704), st.integers(0, 99).map(lambda n: n / 3.6)
)
volts = st.one_of(st.floats(0.001, 60), st.integers(0, 160).map(lambda n: n / 10))
parts_of_functions = st.one_of(
    st.builds(Constant, st.booleans()),
    st.sampled_from(["brake", "parked", "gate-open", "night"]).map(Truth),
    st.builds(Compare, st.just("slide"), st.sampled_from(COMPARISONS), st.sampled_from(SLIDE)),
    st.builds(Compare, st.just("speed"), st.sampled_from(COMPARISONS), speeds),
    st.builds(Compare, st.just("supply"), st.sampled_from(["<", ">="]), volts),
    st.builds(OneOf, st.just("gear"), st.permutations(["P", "R", "N", "D"]).map(lambda values: tuple(values[:2]))),
    st.builds(OneOf, st.just("tone"), st.just(("wail",))),
)
shares = st.one_of(st.integers(1, 100).map(lambda n: n / 100), st.floats(0.001, 1.0))
PATTERNS = ("run-left", "double", "single 150 per min", "lit 60 ms, dark 40 ms, times 2, every 500 ms")
shown = st.one_of(
    st.tuples(st.just("pattern"), st.sampled_from(PATTERNS)),
    st.tuples(st.sampled_from(["steady", "flashing", "lit"]), st.just("")),
)


@st.composite
def statements(draw: st.DrawFn) -> HeadStatement:
    selector = draw(
        st.sampled_from(["any", "all", "tail", "tail.left", "cap-bar.3-6", "visor.ends", "rear-bar.left.2"])
    )
    every = selector != "any"
    colour = draw(st.sampled_from(["", "red", "amber", "white"]))
    if draw(st.booleans()):
        return HeadStatement(selector, colour, "dark", every=every)
    manner, pattern = draw(shown)
    share = draw(st.one_of(st.none(), shares))
    only = bool(colour) and draw(st.booleans())
    return HeadStatement(selector, colour, manner, only, pattern, share, every)  # type: ignore[arg-type]


states = st.builds(FunctionState, st.sampled_from(["siren", "arrow-run"]), st.sampled_from(["active", "held-off"]))
lasting = st.one_of(parts_of_functions, states, statements(), st.just(Truth("main-siren")))


def grown(parts: st.SearchStrategy[Condition], *, events: bool) -> st.SearchStrategy[Condition]:
    """Trees over `parts`; no `and` right inside an `and`, since these are one list."""

    def grow(inner: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
        def lists(kind: type[And] | type[Or]) -> st.SearchStrategy[Condition]:
            items = st.lists(inner.filter(lambda item: not isinstance(item, kind)), min_size=2, max_size=3)
            return items.map(lambda found: kind(tuple(found)))

        timed = inner.filter(lambda item: not has_event(item))
        more = [lists(And), lists(Or), inner.map(Not)]
        more += [st.builds(kind, timed, times) for kind in (Held, Plus, First)]
        if events:
            more.append(timed.map(lambda item: Event("becomes", "", item=item)))
        return st.one_of(more)

    return st.recursive(parts, grow, max_leaves=12)


def has_event(condition: Condition) -> bool:
    return isinstance(condition, Event) or any(has_event(item) for item in children(condition))


pushes = st.one_of(
    st.builds(Event, st.sampled_from(["pressed", "released"]), st.sampled_from(["ring", "takedown"])),
    st.builds(Event, st.just("leaves"), st.just("slide"), st.sampled_from(SLIDE)),
)


@given(grown(parts_of_functions, events=False))
def test_printed_and_read_again_it_is_the_same_tree(condition: Condition) -> None:
    """Law: read(print(c)) == c for what functions can read."""
    assert read(print_condition(condition, kinds=KINDS)) == condition


@given(grown(st.one_of(lasting, pushes), events=True))
def test_printed_and_read_again_a_promise_is_the_same_tree(condition: Condition) -> None:
    """Law: read(print(c)) == c for all that promises can read."""
    assert read(print_condition(condition, kinds=KINDS), "promise-then") == condition


@given(grown(st.one_of(lasting, pushes), events=True))
def test_no_pair_of_brackets_can_be_left_out(condition: Condition) -> None:
    """Law: brackets are minimal: without any one pair the text has another meaning, or none."""
    text = print_condition(condition, kinds=KINDS)
    opened: list[int] = []
    for at, sign in enumerate(text):
        if sign == "(":
            opened.append(at)
        if sign == ")":
            start = opened.pop()
            without = text[:start] + " " + text[start + 1 : at] + " " + text[at + 1 :]
            becomes = text[:start].endswith("becomes ")  # kept for the eye around more than a name
            assert becomes or read_condition(without, place="promise-then", scope=SCOPE) != condition


@given(grown(parts_of_functions, events=False), st.data())
def test_brackets_that_change_nothing_change_nothing(condition: Condition, data: st.DataObject) -> None:
    """Law: a bracket around all of it, and and-lists in brackets, are the same tree and print the same."""
    text = print_condition(condition, kinds=KINDS)
    more = f"( {text} )"

    assert read(more) == condition
    assert print_condition(read(more), kinds=KINDS) == text
    assert read(f"(brake and {data.draw(st.just('key-in'))}) and ({text})") == read(f"brake and key-in and ({text})")


def test_a_number_of_unknown_kind_prints_without_unit() -> None:
    """Case: who has no scope at hand still gets a text to show, though none to read."""
    assert print_condition(Compare("speed", "<", 1.5)) == "speed < 1.5"


# law: any text

SIGNS = ["(", ")", ",", "==", "<", ">=", "!", "&&", "=", '"']
VALUES = ["2 s", "3 mph", "11.8 V", "90 %", "P", "X", "tail.left", "any.3", "lit 60 ms", "0", "-1 s"]
WORDS = [*sorted({*RESERVED_WORDS, *SCOPE.inputs, *SCOPE.memories, *SCOPE.words, *SCOPE.selectors}), *SIGNS, *VALUES]
SOUP = st.one_of(st.text(max_size=200), st.lists(st.sampled_from(WORDS), max_size=25).map(" ".join))
ENDLESS = ["(", ")", "not ", "becomes ", "(not ", "brake and ", "first 2 s of ", "tail ", "a", "((((brake))))", "2 "]


@given(SOUP, st.sampled_from(sorted(ALLOWED)))
@example("any", "promise-then")
@example("any any", "promise-then")
@example("becomes", "memory-on")
@example("first", "function")
@example("not", "function")
@example("x.", "promise-then")
def test_any_text_is_read_or_answered(text: str, place: Place) -> None:
    """Law: no text brings a traceback; problems lie within the text, in its order, and are few."""
    found = read_condition(text, place=place, scope=SCOPE)

    if isinstance(found, tuple):
        assert 1 <= len(found) <= MAX_PROBLEMS
        assert all(0 <= problem.start <= problem.end <= len(text) for problem in found)
        assert list(found) == sorted(found)
    else:
        assert read_condition(print_condition(found, kinds=KINDS), place=place, scope=SCOPE) == found


@pytest.mark.parametrize("pattern", ENDLESS)
def test_a_hostile_text_is_refused_in_a_few_words(pattern: str) -> None:
    """Law: a megabyte is not read; what fits is bounded in depth and in the number of problems."""
    for length in (1_000_000, MAX_CHARACTERS, 200):
        found = read_condition((pattern * (length // len(pattern)))[:length], place="promise-when", scope=SCOPE)
        assert isinstance(found, tuple)
        assert len(found) <= MAX_PROBLEMS


def refusal(text: str) -> list[str]:
    problems = read_condition(text, place="function", scope=SCOPE)
    assert isinstance(problems, tuple)
    return [problem.why for problem in problems]


def test_ten_thousand_brackets_are_refused() -> None:
    """Case: the sentence says how many are read."""
    too_long = "A condition of 20,005 characters can't be read by a person either; 4,000 is the most."

    assert refusal("(" * 10_000 + "brake" + ")" * 10_000) == [too_long]
    assert refusal("(" * 100 + "brake" + ")" * 100) == ["More than 40 brackets and nots stand inside each other."]
    assert read("(" * MAX_DEPTH + "brake" + ")" * MAX_DEPTH) == Truth("brake")
