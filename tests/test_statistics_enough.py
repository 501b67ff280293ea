"""Enough data? Each figure's minimum, met and missed by one."""

from __future__ import annotations

import pytest

from app.statistics import enough
from app.statistics.enough import Minimum, Shortfall, shortfall


@pytest.mark.parametrize(
    ("minimum", "there", "days"),
    [
        (enough.MEAN, 3, 0),
        (enough.MEDIAN, 3, 0),
        (enough.SPREAD, 14, 5),
        (enough.SHARE, 14, 5),
        (enough.MEAN_INTERVAL, 0, 5),
        (enough.WITHIN_DAY_CV, 0, 5),
        (enough.MAGE, 0, 3),
        (enough.SPARSE_MAGE, 0, 3),
        (enough.MODD, 5, 0),
        (enough.RISK, 60, 14),
        (enough.CLOCK_WINDOW, 12, 7),
        (enough.SLOT_BOX, 5, 0),
    ],
)
def test_a_figure_is_shown_from_its_minimum_on_and_not_one_below(
    minimum: Minimum, there: int, days: int
) -> None:
    assert shortfall(minimum, there=there, days=days) is None
    if there:
        assert shortfall(minimum, there=there - 1, days=days) is not None
    if days:
        assert shortfall(minimum, there=there, days=days - 1) is not None


def test_a_shortfall_says_what_is_needed_and_what_is_there() -> None:
    assert shortfall(enough.SPREAD, there=20, days=3) == Shortfall(
        needed=14, there=20, counted="readings", days_needed=5, days_there=3, a_day=1
    )
    assert shortfall(enough.MODD, there=4) == Shortfall(
        needed=5, there=4, counted="pairs", days_needed=0, days_there=0, a_day=1
    )


def test_days_that_count_are_days_of_a_certain_fullness() -> None:
    assert (enough.MAGE.a_day, enough.SPARSE_MAGE.a_day, enough.WITHIN_DAY_CV.a_day) == (7, 4, 4)


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(ValueError, match="there=-1"):
        shortfall(enough.MEAN, there=-1)
