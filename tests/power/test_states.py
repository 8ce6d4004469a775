"""Which pictures of who is on occur, held against the waves themselves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.wave import Wave
from coachwright.power.states import states_of

WAVES = st.lists(
    st.builds(
        Wave.of,
        st.lists(
            st.tuples(st.integers(1, 20).map(lambda each: 5 * each), st.sampled_from([0.0, 0.4, 1.0])),
            min_size=1,
            max_size=6,
        ),
    ),
    min_size=1,
    max_size=8,
)


@given(WAVES)
def test_every_step_has_the_levels_of_its_waves(waves: list[Wave]) -> None:
    """Law: laid out over time again, the states are the waves."""
    found = states_of(waves, until_ms=2000, step_ms=5)
    expected = np.array([[wave.value_at(time_ms) for wave in waves] for time_ms in range(0, 2000, 5)])

    assert (found.levels[found.which] == expected).all()
    assert len(np.unique(found.levels, axis=0)) == len(found.levels)
    assert found.shares.sum() == pytest.approx(1.0)


def test_alternating_halves_are_two_states() -> None:
    """Case: two sides that flash in turn, and one that burns."""
    side = Wave.of([(250, 1.0), (250, 0.0)])
    found = states_of([side, side.shift(250), Wave.constant(1.0)], until_ms=60_000, step_ms=5)

    assert found.levels.tolist() == [[1.0, 0.0, 1.0], [0.0, 1.0, 1.0]]
    assert found.shares.tolist() == [0.5, 0.5]


def test_more_pictures_than_fit_one_number_are_still_told_apart() -> None:
    """Law: 100 waves of different periods have more pictures than a number of 64 bits can count."""
    waves = [Wave.of([(5 * (number + 1), 1.0), (5 * (number + 2), 0.0)]) for number in range(100)]
    found = states_of(waves, until_ms=3000, step_ms=5)
    expected = np.array([[wave.value_at(time_ms) for wave in waves] for time_ms in range(0, 3000, 5)])

    assert (found.levels[found.which] == expected).all()


def test_no_step_is_refused() -> None:
    """Case: a stretch shorter than its step."""
    with pytest.raises(ValueError, match="in steps of"):
        states_of([Wave.constant(1.0)], until_ms=3, step_ms=5)
