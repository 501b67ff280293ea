from __future__ import annotations

import math
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.exact_bound import exact_lower_bound
from app.statistics.patterns import HIGHS, LOWS, Rule, Step, seen_on_days, step_of

RULES = st.sampled_from([LOWS, HIGHS])
TESTS = st.lists(st.tuples(st.integers(1, 60), st.booleans()), max_size=40)


def test_a_day_counts_once_and_shows_what_any_of_its_readings_shows() -> None:
    found = seen_on_days([1, 1, 1, 2, 3], [True, True, False, False, False], LOWS)

    assert (found.count, found.n, found.step) == (1, 3, Step.SEEN_ONCE)


def test_too_few_tests_say_how_many_more_are_needed_and_still_count_what_was_seen() -> None:
    lows = seen_on_days([4, 9], [True, False], LOWS)
    highs = seen_on_days([], [], HIGHS)

    assert (lows.step, lows.count, lows.more_tests) == (Step.CANNOT_TELL, 1, 1)
    assert (highs.step, highs.at_least, highs.more_tests) == (Step.CANNOT_TELL, None, 5)


@pytest.mark.parametrize(("second", "lately"), [(14, True), (15, False)])
def test_two_lows_within_a_fortnight_are_worth_a_look(second: int, lately: bool) -> None:
    assert seen_on_days([1, 7, second], [True, False, True], LOWS).lately is lately


def test_three_of_the_last_seven_highs_are_worth_a_look() -> None:
    days = list(range(1, 11))

    assert seen_on_days(days, [day in (4, 6, 10) for day in days], HIGHS).lately
    assert not seen_on_days(days, [day in (1, 3, 10) for day in days], HIGHS).lately


@given(TESTS, RULES, st.integers())
def test_the_order_of_readings_never_matters(
    tests: list[tuple[int, bool]], rule: Rule, seed: int
) -> None:
    shuffled = list(tests)
    Random(seed).shuffle(shuffled)

    one, two = (
        seen_on_days([day for day, _ in each], [hit for _, hit in each], rule)
        for each in (tests, shuffled)
    )
    assert one == two


@given(st.integers(0, 40), st.integers(0, 40), RULES)
def test_so_many_more_in_a_row_repeat_and_one_less_does_not(
    count: int, misses: int, rule: Rule
) -> None:
    n = count + misses
    days = list(range(n))
    more = seen_on_days(days, [day < count for day in days], rule).more_in_a_row

    assert step_of(count + more, n + more, rule) is Step.REPEATING
    if more:
        assert step_of(count + more - 1, n + more - 1, rule) is not Step.REPEATING


@given(st.integers(1, 25), st.integers(0, 25))
def test_at_the_bound_as_many_are_seen_with_a_chance_of_five_in_a_hundred(
    count: int, misses: int
) -> None:
    n = count + misses
    share = Fraction(exact_lower_bound(count, n))

    chance = sum(
        math.comb(n, seen) * share**seen * (1 - share) ** (n - seen) for seen in range(count, n + 1)
    )

    assert float(chance) == pytest.approx(0.05, abs=1e-9)
    assert share < Fraction(count, n)


@given(st.integers(0, 60), st.integers(0, 60))
def test_one_more_that_shows_it_never_lowers_the_bound(count: int, misses: int) -> None:
    n = count + misses

    assert exact_lower_bound(count + 1, n + 1) >= exact_lower_bound(count, n)


def test_more_than_all_are_refused() -> None:
    with pytest.raises(ValueError, match="more than all"):
        exact_lower_bound(3, 2)
