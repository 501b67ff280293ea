from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.j_index import j_index
from app.statistics.moments import mean


def test_fewer_than_two_readings_have_none() -> None:
    assert j_index([]) is None
    assert j_index([120]) is None


def test_equal_readings_have_that_of_their_mean_alone() -> None:
    assert j_index([100, 100, 100]) == pytest.approx(10)


@given(st.lists(st.integers(20, 600), min_size=2, max_size=30), st.randoms(use_true_random=False))
def test_order_never_matters_and_it_is_never_below_that_of_the_mean(
    values: list[int], random: object
) -> None:
    found = j_index(values)
    random.shuffle(values)  # type: ignore[attr-defined]

    middle = mean(values)
    assert found is not None
    assert middle is not None
    assert j_index(values) == pytest.approx(found, rel=1e-12)
    assert found >= 0.001 * middle**2 * (1 - 1e-12)
