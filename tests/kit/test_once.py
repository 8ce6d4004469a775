"""Kernels that remember: one computation per content, whoever asks, within their bytes."""

import pickle
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from coachwright.kit.once import KERNELS, Kernel, digest, frozen, once

MEGABYTE = 1_000_000


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Load:
    current_a: float
    name: str = ""
    notes: dict[str, str] = field(default_factory=dict)


@once(max_bytes=MEGABYTE)
def doubled(number: float) -> float:
    """At the top of a module, so that it can travel."""
    return 2 * number


def counting(max_bytes: int = MEGABYTE) -> Kernel[..., Any]:
    """A fresh kernel that gives its arguments back."""

    @once(max_bytes=max_bytes)
    def kernel(a: object, b: object = 2, *, c: object = 3) -> tuple[object, ...]:
        return (a, b, c)

    return kernel


def at_once(*calls: Callable[[], Any]) -> list[Any]:
    """Results (or errors) of calls made by as many threads that start together."""
    gate = threading.Barrier(len(calls))
    results: list[Any] = [None] * len(calls)

    def run(place: int) -> None:
        gate.wait()
        try:
            results[place] = calls[place]()
        except Exception as error:
            results[place] = error

    threads = [threading.Thread(target=run, args=(place,)) for place in range(len(calls))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20)
    assert not any(thread.is_alive() for thread in threads)
    return results


def test_the_same_content_is_worked_out_once() -> None:
    """Case: by place, by name and by default it is one question, and the very same object answers."""
    kernel = counting()
    answers = [kernel(1), kernel(1, 2), kernel(a=1, b=2), kernel(b=2, a=1, c=3), kernel(1, c=3)]

    assert kernel.calls == 1
    assert all(answer is answers[0] for answer in answers)
    assert kernel(1, 2, c=4) == (1, 2, 4)
    assert kernel.calls == 2


@pytest.mark.parametrize(("one", "other"), [(1, 1.0), (1, True), (0.0, -0.0), ("1", 1), ((1,), (1.0,)), (b"1", "1")])
def test_what_python_calls_equal_is_not_always_the_same(one: object, other: object) -> None:
    """Case: 1 / -0.0 is not 1 / 0.0; a kernel that formats 1 and 1.0 gives two answers."""
    kernel = counting()
    kernel(one)
    kernel(other)

    assert kernel.calls == 2


def test_not_a_number_is_one_question() -> None:
    """Case: nan != nan, but asking twice must not work it out twice."""
    kernel = counting()
    kernel(float("nan"))
    kernel(float("nan"))

    assert kernel.calls == 1


@pytest.mark.parametrize(
    ("args", "kwargs", "said"),
    [
        (([1],), {}, r"kernel: argument a is a list"),
        ((1, (2, {})), {}, r"kernel: argument b\[1\] is a dict"),
        ((1,), {"c": np.zeros(2)}, r"kernel: argument c is an array that can be written to"),
        ((Load(1.0),), {}, r"argument a.notes is a dict"),
        ((), {}, "missing a required argument: 'a'"),
        ((1, 2, 3), {}, "too many positional arguments"),
        ((1,), {"d": 4}, "unexpected keyword argument 'd'"),
        ((1,), {"a": 1}, "multiple values for argument 'a'"),
    ],
)
def test_unfit_arguments_are_named(args: tuple[object, ...], kwargs: dict[str, object], said: str) -> None:
    """Case: what can change, and calls that don't fit the function; nothing is worked out."""
    kernel = counting()

    with pytest.raises(TypeError, match=said):
        kernel(*args, **kwargs)
    assert kernel.calls == 0


@pytest.mark.parametrize(
    "answer",
    [[1], {1: 2}, {1}, (1, [2]), bytearray(b"x"), iter("ab"), MappingProxyType({"x": [1]}), frozenset({1}).__iter__()],
)
def test_answers_that_could_be_spoiled_are_refused(answer: object) -> None:
    """Case: everybody gets the same object, so nobody may be able to change it or use it up."""

    @once(max_bytes=MEGABYTE)
    def kernel() -> object:
        return answer

    with pytest.raises(TypeError, match="could change or use up"):
        kernel()
    assert kernel.size_bytes == 0


def test_a_frozen_class_vouches_for_its_fields() -> None:
    """Case: a dict inside a frozen answer is its author's word."""

    @once(max_bytes=MEGABYTE)
    def kernel() -> tuple[Load, ...]:
        return (Load(1.0, notes={"a": "b"}),)

    assert kernel()[0].notes == {"a": "b"}


def test_arrays_in_answers_become_read_only() -> None:
    """Case: one caller must not be able to write into another's answer."""

    @once(max_bytes=MEGABYTE)
    def kernel(n: int) -> tuple[NDArray[np.float64], MappingProxyType[str, NDArray[np.float64]]]:
        return np.zeros(n), MappingProxyType({"x": np.ones(n)})

    first, by_name = kernel(4)

    with pytest.raises(ValueError, match="read-only"):
        first[0] = 1.0
    with pytest.raises(ValueError, match="read-only"):
        by_name["x"][0] = 1.0


def test_the_least_recently_used_goes_first() -> None:
    """Case: room for three answers; the one asked for again stays."""

    @once(max_bytes=3 * 10_000)
    def kernel(number: int) -> NDArray[np.float64]:
        return np.full(1000, float(number))

    for number in (1, 2, 3, 1, 4):
        kernel(number)
    assert kernel.calls == 4
    kernel(1)
    assert kernel.calls == 4
    kernel(2)
    assert kernel.calls == 5


def test_an_answer_too_large_is_given_but_not_kept() -> None:
    """Case: it would drive out everything else."""

    @once(max_bytes=1000)
    def kernel() -> NDArray[np.float64]:
        return np.zeros(10_000)

    assert kernel().shape == (10_000,)
    assert kernel().shape == (10_000,)
    assert kernel.calls == 2
    assert kernel.size_bytes == 0


def test_size_is_what_the_answers_take() -> None:
    """Law: at least the bytes of the arrays, once each, and nothing after it was cleared."""

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> tuple[NDArray[np.float64], ...]:
        array = np.full(5000, float(number))
        return (array, array, array[::2])

    kernel(1)
    assert 40_000 <= kernel.size_bytes <= 40_000 + 20_000 + 2000
    kernel.clear()
    assert kernel.size_bytes == 0
    kernel(1)
    assert kernel.calls == 2


def test_errors_pass_and_are_not_remembered() -> None:
    """Case: the next call works it out again."""
    failing = [True]

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> int:
        if failing[0]:
            raise ArithmeticError("no answer yet")
        return number

    with pytest.raises(ArithmeticError):
        kernel(1)
    failing[0] = False
    assert kernel(1) == 1
    assert kernel.calls == 2


def test_threads_that_ask_the_same_wait_for_one() -> None:
    """Case: eight threads, one question: one computation, one object; a ninth question runs beside it."""
    started, go_on = threading.Event(), threading.Event()

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> tuple[int]:
        if number == 1:
            started.set()
            assert go_on.wait(20)
        return (number,)

    def other() -> tuple[int]:
        assert started.wait(20)
        answer = kernel(2)
        go_on.set()
        return answer

    results = at_once(*[lambda: kernel(1)] * 8, other)

    assert kernel.calls == 2
    assert results[-1] == (2,)
    assert all(answer is results[0] and answer == (1,) for answer in results[:8])


def test_who_waited_for_a_failure_tries_again() -> None:
    """Case: the first thread's error is its own; another one finds the answer."""
    attempts: list[int] = []
    waiting = threading.Event()

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> int:
        attempts.append(number)
        if len(attempts) == 1:
            assert waiting.wait(20)
            raise ArithmeticError("the first one fails")
        return number

    def late() -> int:
        while not attempts:
            pass
        waiting.set()
        return kernel(5)

    results = at_once(lambda: kernel(5), late)

    assert isinstance(results[0], ArithmeticError)
    assert results[1] == 5
    assert kernel.calls == 2


def test_many_threads_and_questions_stay_in_step() -> None:
    """Law: whatever the interleaving, each answer belongs to its question and the bytes stay within bounds."""

    @once(max_bytes=20_000)
    def kernel(number: int) -> tuple[int, str]:
        return (number, "x" * 500)

    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        results = at_once(*[lambda: [kernel(number % 37)[0] - number % 37 for number in range(400)]] * 6)
    finally:
        sys.setswitchinterval(before)

    assert all(result == [0] * 400 for result in results)
    assert 0 < kernel.size_bytes <= 20_000


def test_a_question_that_asks_itself_is_told_so() -> None:
    """Case: it would wait for itself for ever."""

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> int:
        return int(kernel(number))

    with pytest.raises(RecursionError, match="asks for the answer it is working out"):
        kernel(1)


def test_recursion_on_other_questions_is_fine() -> None:
    """Print: Fibonacci's F(90) = 2880067194370816120 (OEIS A000045), each number worked out once."""

    @once(max_bytes=MEGABYTE)
    def fibonacci(n: int) -> int:
        return n if n < 2 else int(fibonacci(n - 1)) + int(fibonacci(n - 2))

    assert fibonacci(90) == 2880067194370816120
    assert fibonacci.calls == 91


def test_what_was_cleared_meanwhile_is_not_kept() -> None:
    """Case: cleared while an answer was being worked out, for instance because a catalogue was read again."""

    @once(max_bytes=MEGABYTE)
    def kernel(number: int) -> int:
        kernel.clear()
        return number

    assert kernel(1) == 1
    assert kernel(1) == 1
    assert kernel.calls == 2


def test_kernels_keep_the_looks_of_their_function() -> None:
    """Case: help, names and pickles."""
    assert doubled.__name__ == "doubled"
    assert doubled.__doc__ == "At the top of a module, so that it can travel."
    assert KERNELS[f"{__name__}.doubled"] is doubled
    assert pickle.loads(pickle.dumps(doubled)) is doubled


def test_open_ended_functions_are_no_kernels() -> None:
    """Case: a kernel names each argument."""

    def gather(*things: int) -> int:
        return len(things)

    with pytest.raises(TypeError, match="takes any number of things"):
        once(max_bytes=MEGABYTE)(gather)
    with pytest.raises(ValueError, match="less than nothing"):
        once(max_bytes=-1)


def test_long_questions_are_kept_by_their_digest() -> None:
    """Case: a text of a million letters as argument doesn't live on in the key."""
    kernel = counting()
    text = "x" * MEGABYTE
    kernel(len(text), b=text[:0], c=(text,))

    kernel(text)
    assert kernel.calls == 2
    assert kernel(text)[0] is text
    assert all(sys.getsizeof(key) < 1000 for key in kernel._kept)


questions = st.tuples(st.sampled_from([1, 1.0, True, "1", -0.0, 0.0, None]), st.sampled_from([2, (2,), ("2",)]))


@given(st.lists(questions, max_size=30))
def test_a_kernel_is_its_function(asked: list[tuple[object, object]]) -> None:
    """Law: remembered or not, every answer is what the function gives, and each content was worked out once."""
    kernel = counting()

    for a, b in asked:
        a_back, b_back, c_back = kernel(a, b)
        assert (repr(a_back), repr(b_back), c_back) == (repr(a), repr(b), 3)
    assert kernel.calls == len({digest(pair) for pair in asked})


def test_generators_as_answers_are_refused() -> None:
    """Case: the second one to ask would get an empty one."""

    @once(max_bytes=MEGABYTE)
    def kernel() -> Iterator[int]:
        yield from frozen(np.arange(3)).tolist()

    with pytest.raises(TypeError, match="answers with a generator"):
        kernel()
