"""Networks of tasks: a textbook's project, then laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.shop.tasks import Task, TasksUnclear, critical_path, done_by, read_tasks

HEIZER = "A 1 2 3; B 2 3 4; C(A) 1 2 3; D(A,B) 2 4 6; E(C) 1 4 7; F(C) 1 2 9; G(D,E) 3 4 11; H(F,G) 1 2 3"


def test_project_agrees_with_heizer() -> None:
    """Eight activities: A-C-E-G-H, 15 weeks, variance 3.111, by 16 weeks 0.7146 (Heizer and Render, from memory)."""
    found = critical_path(read_tasks(HEIZER))

    assert found.critical == ("A", "C", "E", "G", "H")
    assert found.duration == pytest.approx(15.0)
    assert found.variance == pytest.approx(3.111, abs=5e-4)
    assert done_by(found, time=16.0) == pytest.approx(0.7146, abs=2e-4)


def test_path_agrees_with_taylor() -> None:
    """Taylor's arrows 1-2 7, 1-3 10, 2-4 6, 3-4 5, 3-5 4, 4-5 3, 5-6 2: 20, over 1-3-4-5-6 (Taylor, chapter 8)."""
    text = "t12 7; t13 10; t24(t12) 6; t34(t13) 5; t35(t13) 4; t45(t24,t34) 3; t56(t35,t45) 2"
    found = critical_path(read_tasks(text))

    assert found.duration == pytest.approx(20.0)
    assert found.critical == ("t13", "t34", "t45", "t56")
    assert [done_by(found, time=time) for time in (19.9, 20.1)] == [0.0, 1.0]


@given(st.lists(st.tuples(st.floats(0.0, 50.0), st.floats(0.0, 50.0), st.floats(0.0, 50.0)), min_size=1, max_size=12))
def test_a_chain_takes_the_sum(times: list[tuple[float, float, float]]) -> None:
    """Law: tasks in a row add up, tasks side by side take the longest; half the chance is at the mean."""
    sorted_times = [sorted(each) for each in times]
    chain = [Task(str(n), (str(n - 1),) if n else (), *each) for n, each in enumerate(sorted_times)]
    beside = [Task(str(n), (), *each) for n, each in enumerate(sorted_times)]
    whole = critical_path(chain)

    assert whole.duration == pytest.approx(sum(task.mean for task in chain))
    assert whole.variance == pytest.approx(sum(task.variance for task in chain))
    assert critical_path(beside).duration == pytest.approx(max(task.mean for task in beside))
    assert done_by(whole, time=whole.duration) == (pytest.approx(0.5) if whole.variance else 1.0)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "0 tasks"),
        ("A", "no task"),
        ("A x y z", "no task"),
        ("A 1 2", "no task"),
        ("A 3 2 1", "4 6 10"),
        ("A nan", "4 6 10"),
        ("A 1; A 2", "twice"),
        ("A(Z) 1", "Z"),
        ("A(B) 1; B(A) 1", "circle"),
    ],
)
def test_tasks_that_make_no_plan_are_refused(text: str, says: str) -> None:
    """Law: which task, and what to write."""
    with pytest.raises(TasksUnclear, match=says):
        critical_path(read_tasks(text))
