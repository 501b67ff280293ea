"""Mean, SD and CV: odd inputs, and what holds for every record."""

from __future__ import annotations

import math
from collections import defaultdict
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.moments import (
    coefficient_of_variation,
    mean,
    standard_deviation,
    within_day_cv,
)

tenths = st.integers(11, 6000).map(lambda tenth: tenth / 10)
records = st.lists(tenths, min_size=2, max_size=40)
dated = st.lists(st.tuples(tenths, st.integers(0, 4)), min_size=1, max_size=40)


def exact_sd(values: list[float]) -> float:
    """The definition in exact fractions, one root at the end."""
    exact = [Fraction(value) for value in values]
    middle = sum(exact, Fraction(0)) / len(exact)
    return math.sqrt(sum(((x - middle) ** 2 for x in exact), Fraction(0)) / (len(exact) - 1))


def slow_within_day_cv(dated: list[tuple[float, int]], fewest: int) -> tuple[float | None, int]:
    by_day: dict[int, list[float]] = defaultdict(list)
    for value, day in dated:
        by_day[day].append(value)
    found = [
        100 * exact_sd(values) / (sum(values) / len(values))
        for values in by_day.values()
        if len(values) >= fewest
    ]
    return (sum(found) / len(found) if found else None), len(found)


def test_no_readings_have_no_mean_and_no_spread() -> None:
    assert mean([]) is None
    assert standard_deviation([]) is None
    assert coefficient_of_variation([]) is None
    assert within_day_cv([], []).value is None


def test_one_reading_has_a_mean_and_no_spread() -> None:
    assert mean([112]) == 112
    assert standard_deviation([112]) is None
    assert coefficient_of_variation([112]) is None
    assert within_day_cv([112], [1]).days == 0


def test_equal_readings_have_no_spread_at_all() -> None:
    assert standard_deviation([5.6] * 7) == pytest.approx(0, abs=1e-12)
    assert within_day_cv([5.6] * 7, [1] * 7).value == pytest.approx(0, abs=1e-12)


def test_a_mean_of_0_has_no_cv() -> None:
    assert coefficient_of_variation([-1, 1]) is None


def test_days_below_the_minimum_give_no_within_day_cv() -> None:
    found = within_day_cv([100, 180, 110, 190, 90, 300], [1, 1, 1, 1, 2, 2], fewest=4)

    assert found.days == 1
    assert found.value == pytest.approx(32.1017, abs=1e-4)


def test_a_minimum_below_two_a_day_is_refused() -> None:
    with pytest.raises(ValueError, match="fewest=1"):
        within_day_cv([100, 110], [1, 1], fewest=1)


@given(records)
def test_the_sd_is_that_of_exact_fractions(values: list[float]) -> None:
    assert standard_deviation(values) == pytest.approx(exact_sd(values), rel=1e-12, abs=1e-12)


@given(records, st.randoms(use_true_random=False))
def test_order_never_matters(values: list[float], random: object) -> None:
    shuffled = values.copy()
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    assert mean(shuffled) == pytest.approx(mean(values), rel=1e-12)
    assert standard_deviation(shuffled) == pytest.approx(
        standard_deviation(values), rel=1e-9, abs=1e-9
    )


@given(records, st.floats(0.05, 20))
def test_scaling_the_unit_scales_mean_and_sd_and_leaves_the_cv(
    values: list[float], factor: float
) -> None:
    scaled = np.array(values) * factor

    assert mean(scaled) == pytest.approx(factor * np.mean(values), rel=1e-12)
    assert standard_deviation(scaled) == pytest.approx(
        factor * exact_sd(values), rel=1e-9, abs=1e-9
    )
    assert coefficient_of_variation(scaled) == pytest.approx(
        coefficient_of_variation(values), rel=1e-9, abs=1e-9
    )


@given(dated, st.integers(2, 5), st.randoms(use_true_random=False))
def test_within_day_cv_is_that_of_a_plain_loop_whatever_the_order(
    dated: list[tuple[float, int]], fewest: int, random: object
) -> None:
    expected, days = slow_within_day_cv(dated, fewest)
    random.shuffle(dated)  # type: ignore[attr-defined]

    found = within_day_cv([v for v, _ in dated], [d for _, d in dated], fewest=fewest)

    assert found.days == days
    assert found.value == pytest.approx(expected, abs=1e-9)
