"""Work during which the garbage collector waits, and goes on afterwards whatever happened."""

import gc
import threading

import pytest

from coachwright.kit.undisturbed import undisturbed


@undisturbed
def asked(depth: int = 0, *, fails: bool = False) -> bool:
    """Whether the collector is on while this works."""
    if fails:
        raise ValueError("broke")
    if depth:
        asked(depth - 1)
    return gc.isenabled()


def test_the_collector_waits_and_goes_on() -> None:
    """Law: off while it works, also after an inner call has ended; on again behind it."""
    assert gc.isenabled()
    assert asked(2) is False
    assert gc.isenabled()


def test_a_failure_does_not_leave_it_waiting() -> None:
    """Law: whatever happens inside, the collector goes on."""
    with pytest.raises(ValueError, match="broke"):
        asked(fails=True)

    assert gc.isenabled()


def test_who_turned_it_off_finds_it_off() -> None:
    """Law: a program that runs without the collector goes on without it."""
    gc.disable()
    try:
        asked()
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_threads_that_overlap_leave_it_on() -> None:
    """Law: the last of several to end lets it go on."""
    gate, seen = threading.Barrier(4), []

    @undisturbed
    def work() -> None:
        gate.wait(timeout=10)
        seen.append(gc.isenabled())

    threads = [threading.Thread(target=work) for _ in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert seen == [False] * 4
    assert gc.isenabled()
