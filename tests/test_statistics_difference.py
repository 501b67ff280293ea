"""Differences of means: the same whatever the order, negated when the sides change places."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.statistics.difference import (
    Difference,
    Side,
    difference_of_means,
    evened_difference,
    side_of,
)
from app.statistics.difference_days import difference_over_days

# Tenths of mmol/L, slots 0 to 3, days 0 to 11.
rows = st.lists(
    st.tuples(st.integers(20, 300), st.integers(0, 3), st.integers(0, 11)), min_size=1, max_size=40
)


def a_side(found: list[tuple[int, int, int]]) -> Side:
    values, groups, days = zip(*found, strict=True)
    return side_of(np.array(values) / 10, groups, days)


def numbers(found: Difference | None) -> tuple[float, ...] | None:
    if found is None:
        return None
    ends = () if found.low is None or found.high is None else (found.low, found.high)
    return (found.value, found.first, found.second, *ends)


@given(rows, rows, st.randoms(use_true_random=False))
def test_the_order_of_readings_never_matters(
    one: list[tuple[int, int, int]], other: list[tuple[int, int, int]], chance: Random
) -> None:
    mixed = list(one)
    chance.shuffle(mixed)

    found = numbers(evened_difference(a_side(one), a_side(other)))
    again = numbers(evened_difference(a_side(mixed), a_side(other)))

    assert (found is None) == (again is None)
    if found is not None and again is not None:
        assert again == pytest.approx(found, abs=1e-9)


@given(rows, rows)
def test_sides_that_change_places_give_the_negated_difference(
    one: list[tuple[int, int, int]], other: list[tuple[int, int, int]]
) -> None:
    there, back = (
        evened_difference(first, second)
        for first, second in (
            (a_side(one), a_side(other)),
            (a_side(other), a_side(one)),
        )
    )

    assert (there is None) == (back is None)
    if there is not None and back is not None:
        assert back.value == -there.value
        assert (back.first, back.second) == (there.second, there.first)
        if there.low is None or there.high is None or back.low is None or back.high is None:
            assert there.low is there.high is back.low is back.high is None
        else:
            assert (back.low, back.high) == pytest.approx((-there.high, -there.low), abs=1e-9)


@settings(max_examples=25)
@given(rows, rows)
def test_whole_days_drawn_anew_change_sides_as_well(
    one: list[tuple[int, int, int]], other: list[tuple[int, int, int]]
) -> None:
    first, second = a_side(one), a_side(other)

    there = difference_over_days(first, second, resamples=400)
    back = difference_over_days(second, first, resamples=400)

    assert (there is None) == (back is None)
    if there is not None and back is not None:
        assert (back.low, back.high) == pytest.approx((-there.high, -there.low), abs=1e-9)


@given(rows, rows, st.sampled_from([18.0156, 0.5, 100.0]))
def test_another_unit_changes_the_numbers_and_nothing_else(
    one: list[tuple[int, int, int]], other: list[tuple[int, int, int]], scale: float
) -> None:
    first, second = a_side(one), a_side(other)
    scaled = [side_of(side.values * scale, side.groups, side.days) for side in (first, second)]

    found, again = numbers(evened_difference(first, second)), numbers(evened_difference(*scaled))

    assert (found is None) == (again is None)
    if found is not None and again is not None:
        assert again == pytest.approx([scale * each for each in found], abs=1e-6)


def test_each_slot_weighs_the_same_however_often_it_was_tested() -> None:
    before = side_of([7.0] * 20 + [9.0] * 2, [0] * 20 + [1] * 2, range(22))
    after = side_of([6.0] * 2 + [8.0] * 20, [0] * 2 + [1] * 20, range(30, 52))

    found = evened_difference(before, after)

    assert found is not None
    # The plain means rise from 7.2 to 7.8; in each slot the values fall by one.
    assert (found.first, found.second, found.value) == pytest.approx((8.0, 7.0, -1.0))


def test_a_slot_that_one_side_lacks_is_in_neither_mean() -> None:
    before = side_of([9.0, 9.2], [0, 0], [1, 2])
    after = side_of([7.0, 7.2, 12.0, 12.0], [0, 0, 5, 5], [5, 6, 5, 6])

    found = evened_difference(before, after)

    assert found is not None
    assert found.groups == (0,)
    assert found.value == pytest.approx(-2.0)


def test_sides_without_a_common_slot_have_no_difference() -> None:
    before, after = side_of([9.0], [0], [1]), side_of([7.0], [1], [2])

    assert evened_difference(before, after) is None
    assert difference_over_days(before, after) is None


@pytest.mark.parametrize("values", [[5.6] * 7, [100.88736] * 7, [5.1]])
def test_readings_without_any_spread_have_no_interval(values: list[float]) -> None:
    found = difference_of_means(values, [each + 1 for each in values])

    assert found is not None
    assert found.value == pytest.approx(1.0)
    assert (found.low, found.high, found.degrees) == (None, None, None)


def test_no_readings_have_no_difference() -> None:
    assert difference_of_means([], [7.0]) is None
    assert difference_of_means([7.0], []) is None


def test_days_that_hang_together_make_the_check_wider_than_welch() -> None:
    rng = np.random.default_rng(5)
    days = np.repeat(np.arange(20), 6)
    level = rng.normal(8, 2, 20)[days]
    side = side_of(level + rng.normal(0, 0.2, days.size), np.zeros(days.size, dtype=int), days)
    other = side_of(side.values + 0.3, side.groups, side.days + 100)

    welch, check = evened_difference(side, other), difference_over_days(side, other)

    assert welch is not None
    assert check is not None
    assert welch.low is not None
    assert welch.high is not None
    assert check.high - check.low > 1.8 * (welch.high - welch.low)


def test_days_on_both_sides_are_drawn_together() -> None:
    rng = np.random.default_rng(6)
    level = rng.normal(8, 2, 30)
    side = side_of(level, np.zeros(30, dtype=int), np.arange(30))
    same_days = side_of(level + 0.5 + rng.normal(0, 0.1, 30), side.groups, side.days)
    other_days = side_of(same_days.values, side.groups, side.days + 100)

    together = difference_over_days(side, same_days)
    apart = difference_over_days(side, other_days)

    assert together is not None
    assert apart is not None
    # What a day has in common falls out of a difference within the day.
    assert together.high - together.low < 0.2 * (apart.high - apart.low)


def test_the_closed_form_agrees_with_the_days_drawn_anew() -> None:
    rng = np.random.default_rng(7)
    sides = []
    for start, centre in ((0, 8.0), (200, 7.5)):
        days = np.repeat(np.arange(start, start + 180), 3)
        groups = np.tile([0, 3, 6], 180)
        sides.append(side_of(rng.normal(centre, 2, days.size) + groups / 3, groups, days))

    drawn = difference_over_days(*sides)
    closed = difference_over_days(*sides, bootstrap_up_to_days=10)

    assert drawn is not None
    assert closed is not None
    assert closed.high - closed.low == pytest.approx(drawn.high - drawn.low, rel=0.05)
    assert closed.low == pytest.approx(drawn.low, abs=0.05)


def test_a_slot_too_thin_to_be_drawn_gives_no_limits() -> None:
    days = list(range(20))
    first = side_of([7.0 + d % 3 for d in days] + [9.0], [0] * 20 + [1], [*days, 0])
    second = side_of(
        [6.0 + d % 3 for d in days] + [8.0], [0] * 20 + [1], [d + 50 for d in (*days, 0)]
    )

    assert difference_over_days(first, second) is None


def test_the_check_is_the_same_each_time() -> None:
    first = side_of([9.1, 8.4, 10.2], [0] * 3, [1, 2, 3])
    second = side_of([7.9, 8.2, 6.8], [0] * 3, [11, 12, 13])

    assert difference_over_days(first, second) == difference_over_days(first, second)
