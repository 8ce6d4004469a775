"""The speed harness counts right; nothing here looks at a real clock."""

from collections.abc import Callable
from itertools import pairwise

import pytest

from benchmarks.__main__ import find_rows
from benchmarks.report import run_bench, run_trial
from benchmarks.rows import Agreement, Bench, Job, Outcome, Trial
from benchmarks.timing import Timed, interleaved


class Clock:
    """A clock that only moves when work is done."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        return self.now_s

    def work(self, seconds: float, answer: object = None) -> Callable[[], object]:
        """Something that takes `seconds` on this clock."""

        def call() -> object:
            self.now_s += seconds
            return answer

        return call


def same(ours: object, peer: object) -> Agreement:
    """Whether two answers are equal."""
    return Agreement(ours == peer, f"{ours} and {peer}")


def bench(clock: Clock, *, ours_s: float, peer_s: float, peer_answer: object = "yes", exponent: float = 1.0) -> Bench:
    """A row whose work grows as its scale to the power of `exponent`."""

    def job(scale: int) -> Job:
        return Job(clock.work(ours_s * scale**exponent, "yes"), clock.work(peer_s * scale, peer_answer), same)

    return Bench("made-up", "nothing", "nobody", goal_times=5.0, job=job, growth_at_most={4: 5.0})


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A made-up clock in place of the real one."""
    made_up = Clock()
    monkeypatch.setattr(
        "benchmarks.report.interleaved", lambda c, *, rounds_n: interleaved(c, rounds_n=rounds_n, clock=made_up)
    )
    return made_up


def test_the_median_is_the_middle_round() -> None:
    """Case: one slow round out of five does not move it."""
    assert Timed((1.0, 9.0, 1.0, 2.0, 1.5), None).median_s == 1.5


def test_rounds_take_turns_and_change_ends() -> None:
    """Law: nobody runs twice in a row except where the order turns round."""
    seen: list[str] = []
    interleaved({"a": lambda: seen.append("a"), "b": lambda: seen.append("b")}, rounds_n=6)
    after_warm_up = seen[2:]

    assert after_warm_up == list("abba") * 3
    assert sum(one == other for one, other in pairwise(after_warm_up)) == 5


def test_the_warm_up_is_not_counted() -> None:
    """Case: five rounds of two seconds are five figures of two seconds."""
    made_up = Clock()

    assert interleaved({"a": made_up.work(2.0)}, rounds_n=5, clock=made_up)["a"].seconds == (2.0,) * 5


def test_fewer_than_five_rounds_are_refused() -> None:
    """Case: a median of three says nothing."""
    with pytest.raises(ValueError, match="at least 5"):
        interleaved({"a": lambda: None}, rounds_n=4)


@pytest.mark.parametrize(
    ("ours_s", "peer_answer", "exponent", "met"),
    [
        (1.0, "yes", 1.0, True),
        (3.0, "yes", 1.0, False),  # only 3.3 times faster, 5 were asked
        (1.0, "no", 1.0, False),  # fast, but the answers differ
        (1.0, "yes", 1.5, False),  # fast, but 8 times the time at x4
    ],
)
def test_a_row_is_met_only_if_speed_agreement_and_growth_are(
    clock: Clock, ours_s: float, peer_answer: str, exponent: float, met: bool
) -> None:
    """Case: a peer of ten seconds, a goal of five times, growth of at most five at x4."""
    row = bench(clock, ours_s=ours_s, peer_s=10.0, peer_answer=peer_answer, exponent=exponent)
    lines, good = run_bench(row, rounds_n=5)

    assert good is met, lines
    assert f"{10.0 / ours_s:.1f}" in lines[-1]
    assert ("DO NOT AGREE" in "\n".join(lines)) == (peer_answer == "no")


def test_a_row_without_a_look_at_the_answers_is_missed(clock: Clock) -> None:
    """Case: being fast at something else is worth nothing."""
    row = Bench("blind", "nothing", "nobody", 1.0, lambda scale: Job(clock.work(1.0), clock.work(9.0)))

    assert not run_bench(row, rounds_n=5)[1]


def test_a_row_without_a_peer_is_refused(clock: Clock) -> None:
    """Case: seconds alone are not a ratio."""
    row = Bench("alone", "nothing", "nobody", 1.0, lambda scale: Job(clock.work(1.0)))

    with pytest.raises(ValueError, match="no peer at x1"):
        run_bench(row, rounds_n=5)


@pytest.mark.parametrize("met", [True, False])
def test_a_trial_says_what_it_found(met: bool) -> None:
    """Case: a trial is judged by its own outcome, and prints it."""
    lines, good = run_trial(
        Trial("steps", "order steps", "greedy", "never more", lambda: Outcome(met, ("28, peer 29",)))
    )

    assert good is met
    assert "28, peer 29" in lines[0]


def test_every_row_can_be_found() -> None:
    """Law: names are unique, and each says what is done and against whom."""
    for row in find_rows():
        assert row.name
        assert row.work
        assert row.peer
