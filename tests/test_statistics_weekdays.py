from __future__ import annotations

from collections import Counter
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.weekdays import counts_by_weekday, weekdays_of


@given(st.dates())
def test_the_weekday_is_that_of_the_calendar(day: date) -> None:
    assert weekdays_of([day.toordinal()]).tolist() == [day.weekday()]


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(1, 800_000)), max_size=60))
def test_the_counts_are_those_of_one_walk_along_the_readings(rows: list[tuple[int, int]]) -> None:
    groups, days = [group for group, _ in rows], [day for _, day in rows]

    found = counts_by_weekday(np.array(groups, int), np.array(days, int), size=8)

    walked = Counter((group, date.fromordinal(day).weekday()) for group, day in rows)
    assert found.shape == (8, 7)
    assert all(found[i, j] == walked[i, j] for i in range(8) for j in range(7))


def test_a_negative_group_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 0"):
        counts_by_weekday([-1], [1], size=2)
