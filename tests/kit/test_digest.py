"""Digests of content: what is told apart, what is the same, what is refused, and that it lasts."""

import math
import os
import subprocess
import sys
from collections import namedtuple
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import Enum, IntEnum, IntFlag
from fractions import Fraction
from hashlib import blake2b
from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict

from coachwright.kit.digest import digest, frozen

Pair = namedtuple("Pair", "a b")


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Watched:
    a: object
    b: object = None


@dataclass(frozen=True, slots=True)
class Plain:
    a: object
    b: object = None


@dataclass
class Changing:
    a: int


class Colour(Enum):
    RED = "red"
    BLUE = "blue"


class Number(IntEnum):
    ONE = 1


class Marks(IntFlag):
    A = 1
    B = 2


class Model(BaseModel):
    model_config = ConfigDict(frozen=True)
    name: str
    parts: dict[str, float] = {}
    items: tuple[float, ...] = ()


class Loose(BaseModel):
    name: str


class OwnText(str):
    """A str of another kind."""

    __slots__ = ()


DIFFERENT: list[object] = [
    None, True, False, 1, 0, 1.0, 0.0, -0.0, math.nan, math.inf, "", "1", "True", b"1", b"", 1j, (), ("1",), (1,),
    (1.0,), ((1,),), ("1", "2"), ("12",), ("1", ("2",)), frozenset(), frozenset({1}), frozenset({"1"}),
    MappingProxyType({}), MappingProxyType({1: 2}), MappingProxyType({2: 1}), range(3), Decimal("1.0"),
    Decimal("1.00"), Fraction(1, 1), date(2026, 1, 2), Colour.RED, Colour.BLUE, Number.ONE, Marks.A,
    Marks.A | Marks.B, Watched(1), Watched(1.0), Watched(None, 1), Plain(1), Pair(1, 2), (1, 2), np.float64(1.0),
    np.int64(1), Model(name="a"), Model(name="b"), Model(name="a", parts={"x": 1.0}), Model(name="a", items=(1.0,)),
    frozen(np.array([1.0])), frozen(np.array([1])), frozen(np.array([1.0, 2.0])), frozen(np.array([[1.0, 2.0]])),
    frozen(np.array([[1.0], [2.0]])), frozen(np.array(["1"])), frozen(np.array([0.0])), frozen(np.array([-0.0])),
    frozen(np.array(1.0)), "\ud800", "x" * 10_000, 2**2000,
]  # fmt: skip

scalars = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=8),
    st.binary(max_size=8),
    st.sampled_from(Colour),
)
things = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4).map(tuple),
        st.builds(Watched, inner, inner),
        st.builds(Plain, inner, inner),
        st.dictionaries(st.text(max_size=3), inner, max_size=3).map(MappingProxyType),
    ),
    max_leaves=12,
)


def spelled_out(thing: object) -> object:
    """The content as plain data that Python compares exactly as we mean it, by other means than a digest."""
    if isinstance(thing, float):
        return ("float", "nan" if math.isnan(thing) else thing.hex())
    if isinstance(thing, tuple):
        return ("tuple", tuple(map(spelled_out, thing)))
    if isinstance(thing, Watched | Plain):
        return (type(thing).__name__, spelled_out(thing.a), spelled_out(thing.b))
    if isinstance(thing, MappingProxyType):
        return ("mapping", tuple(sorted((repr(key), repr(spelled_out(value))) for key, value in thing.items())))
    return (type(thing).__name__, repr(thing))


def test_different_things_have_different_digests() -> None:
    """Case: everything that is easily taken for something else, all told apart."""
    digests = [digest(thing) for thing in DIFFERENT]

    assert len(set(digests)) == len(DIFFERENT)
    assert all(len(code) == 32 for code in digests)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (math.nan, -math.nan),
        (frozenset({"a", "b", "c"}), frozenset({"c", "a", "b"})),
        (MappingProxyType({"a": 1, "b": 2}), MappingProxyType({"b": 2, "a": 1})),
        (frozen(np.array([[1.0, 2.0], [3.0, 4.0]], order="F")), frozen(np.array([[1.0, 2.0], [3.0, 4.0]]))),
        (frozen(np.array([1.0], dtype=">f8")), frozen(np.array([1.0], dtype="<f8"))),
        (Model(name="a", parts={"x": 1.0, "y": 2.0}), Model(name="a", parts={"y": 2.0, "x": 1.0})),
        (Watched(("a", 1)), Watched(("a", 1))),
    ],
)
def test_the_same_content_has_the_same_digest(one: object, other: object) -> None:
    """Case: order of sets and mappings, layout of arrays and the sign of a nan don't count."""
    assert digest(one) == digest(other)


def test_the_digest_is_blake2b_of_a_tagged_text() -> None:
    """Print: the encoding of short things, written here by hand so that it can't drift unseen (hashlib as oracle)."""
    assert digest("red") == blake2b(b"s3:red", digest_size=16).hexdigest()
    assert digest(255) == blake2b(b"iff;", digest_size=16).hexdigest()
    inner = blake2b(b"tuple2:" + b"s3:red" + b"T", digest_size=16).digest()
    assert digest(("red", True)) == blake2b(b"@" + inner, digest_size=16).hexdigest()


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: [1], "this is a list, which can change; hand over a tuple"),
        (lambda: {1}, "this is a set, which can change; hand over a frozenset"),
        (lambda: {1: 2}, "this is a dict, which can change; hand over a MappingProxyType"),
        (lambda: bytearray(b"x"), "which can change; hand over bytes"),
        (lambda: (1, Watched((2, [3]))), r"this\[1\].a\[1\] is a list"),
        (lambda: MappingProxyType({"x": Plain(1, {})}), r"this\['x'\].b is a dict"),
        (lambda: frozenset({Watched(len)}), r"this\{...\}.a is a builtin_function_or_method, which has no stable"),
        (lambda: Model.model_construct(name="a", parts={"x": [1]}), r"this.parts\['x'\] is a list"),
        (lambda: Changing(1), "a Changing, which isn't frozen"),
        (lambda: Loose(name="a"), "a Loose, which has no stable digest"),
        (lambda: OwnText("a"), "a OwnText, a kind of its own; hand over the plain str"),
        (object, "a object, which has no stable digest"),
        (lambda: int, "a type, which has no stable digest"),
        (lambda: np.zeros(3), "array that can be written to; hand over kit.once.frozen"),
        (lambda: frozen(np.array([object()])), "an array of object"),
        (lambda: np.ma.masked_array([1.0]), "an array of its own kind"),
    ],
)
def test_what_can_change_is_refused_with_its_place(make: Callable[[], object], said: str) -> None:
    """Case: each thing that isn't fit to be a key, alone and deep inside."""
    with pytest.raises(TypeError, match=said):
        digest(make())


def test_a_view_is_only_as_frozen_as_its_owner() -> None:
    """Case: a read-only window on numbers that somebody else may write."""
    owner = np.zeros(4)
    view = owner[1:]
    view.flags.writeable = False

    with pytest.raises(TypeError, match="view of an array that can be written to"):
        digest(view)
    assert digest(frozen(view)) == digest(frozen(np.zeros(3)))
    assert digest(np.frombuffer(b"\0" * 24)) == digest(frozen(np.zeros(3)))
    borrowed = np.frombuffer(bytearray(24))
    borrowed.flags.writeable = False
    with pytest.raises(TypeError, match="belong to something that may change"):
        digest(borrowed)


def test_an_array_made_writeable_again_is_refused_again() -> None:
    """Case: the digest was known; the promise was taken back."""
    array = frozen(np.zeros(3))
    digest(array)
    array.flags.writeable = True

    with pytest.raises(TypeError, match="can be written to"):
        digest(array)


def test_a_new_object_at_an_old_address_is_not_the_old_one() -> None:
    """Case: objects that come and go, of which Python gives many the same id."""
    codes = {digest(Watched(number)) for number in range(2000)}
    arrays = {digest(frozen(np.array([number]))) for number in range(500)}

    assert len(codes) == 2000
    assert len(arrays) == 500


def test_digests_are_the_same_in_another_process() -> None:
    """Law: not a hash of this run: two interpreters with other seeds for Python's own hashes agree with this one."""
    program = (
        "import numpy as np\n"
        "from types import MappingProxyType as Map\n"
        "from coachwright.kit.digest import digest, frozen\n"
        "from coachwright.kit.geom import Pose\n"
        "pose = Pose((1.0, 2.0, 3.0), (1.0, 0.0, 0.0))\n"
        "print(digest((1, 'a', -0.0, frozenset('abcdef'), Map({'k': None, 'l': 2}), pose, frozen(np.arange(5.0)))))"
    )
    codes = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "99")
    }

    assert len(codes) == 1
    assert len(codes.pop().strip()) == 32


def test_the_program_ends_in_silence() -> None:
    """Case: a watched object that outlives this module, all names of which Python sets to None when it ends."""
    program = (
        "from coachwright.kit import digest as module\n"
        "from coachwright.kit.geom import Pose\n"
        "pose = Pose((1.0, 0.0, 0.0), (1.0, 0.0, 0.0))\n"
        "module.digest(pose)\n"
        "vars(module).update(dict.fromkeys(vars(module)))\n"
        "del pose\n"
    )
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert ended.stderr == ""


@given(things, things)
def test_equal_digests_mean_equal_content(one: object, other: object) -> None:
    """Law: digests agree exactly when the content spelled out by other means does."""
    assert (digest(one) == digest(other)) == (spelled_out(one) == spelled_out(other))


@given(things)
def test_a_digest_lasts(thing: object) -> None:
    """Law: asked again, and for a copy, the answer is the same; a change anywhere is another."""
    wrapped = Watched((thing, "x"))
    copy = replace(wrapped, a=(thing, "x"))

    assert digest(wrapped) == digest(wrapped) == digest(copy)
    assert digest(wrapped) != digest(replace(wrapped, a=(thing, "y")))
