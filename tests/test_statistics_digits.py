from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.digits import binomial_tail, chi_square_tail_9, last_digits


def test_no_values_have_no_chance_to_tell() -> None:
    found = last_digits([])

    assert (found.n, found.chi_square, found.p_even, found.p_round) == (0, None, None, None)


@pytest.mark.parametrize("bad", [[10], [-1]])
def test_what_is_no_digit_is_refused(bad: list[int]) -> None:
    with pytest.raises(ValueError, match="0 to 9"):
        last_digits(bad)


def test_an_even_spread_is_what_chance_expects() -> None:
    found = last_digits(list(range(10)) * 10)

    assert (found.chi_square, found.p_even) == (0, 1)
    assert found.round_count == 20


@given(st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_tail_is_the_sum_of_its_terms_in_whole_numbers(counted: tuple[int, int]) -> None:
    count, n = counted
    # A chance of 1 in 5, so that every term is a whole number of fifths: no rounding at all.
    whole = sum(math.comb(n, k) * 4 ** (n - k) for k in range(count, n + 1))

    assert binomial_tail(count, n, 0.2) == pytest.approx(whole / 5**n, rel=1e-10)


@given(st.floats(0, 300), st.floats(0, 300))
def test_a_larger_chi_square_is_never_likelier(x: float, more: float) -> None:
    assert 0 <= chi_square_tail_9(x + more) <= chi_square_tail_9(x) * (1 + 1e-12)


@pytest.mark.parametrize(("count", "n"), [(-1, 5), (6, 5)])
def test_impossible_counts_are_refused(count: int, n: int) -> None:
    with pytest.raises(ValueError, match="out of order"):
        binomial_tail(count, n, 0.2)


def test_fifty_years_of_values_give_a_chance_that_is_a_number() -> None:
    found = last_digits([0, 5] * 15_000 + [1, 2, 3, 4, 6, 7, 8, 9] * 14_500)

    assert found.p_round is not None
    assert 0 < found.p_round < 1
