"""Last digits of written results: chi-square and exact binomial tails, worked and by scipy.

No published figures on digit preference in glucose logs were found. W: worked with scipy.
"""

from __future__ import annotations

from collections import Counter
from decimal import ROUND_HALF_UP, Decimal

import pytest
from scipy.stats import binomtest, chi2

from app.statistics.digits import binomial_tail, chi_square_tail_9, last_digits


def digits_of(counts: list[int]) -> list[int]:
    return [digit for digit, count in enumerate(counts) for _ in range(count)]


@pytest.mark.parametrize(
    ("counts", "chi_square", "p", "tolerance"),
    [
        ([30, 5, 6, 7, 5, 24, 6, 5, 7, 5], 74.6, 1.895e-12, 5e-16),
        ([12, 9, 11, 8, 10, 13, 9, 10, 8, 10], 2.4, 0.983453, 5e-7),
    ],
)
def test_the_chi_square_of_worked_last_digits(
    counts: list[int], chi_square: float, p: float, tolerance: float
) -> None:
    found = last_digits(digits_of(counts))

    assert found.chi_square == pytest.approx(chi_square, abs=1e-9)
    assert found.p_even == pytest.approx(p, abs=tolerance)


@pytest.mark.parametrize(
    ("count", "p", "tolerance"), [(54, 5.816e-14, 5e-18), (25, 0.131353, 5e-7)]
)
def test_the_chance_of_so_many_ending_in_0_or_5(count: int, p: float, tolerance: float) -> None:
    found = last_digits([5] * count + [1] * (100 - count))

    assert found.round_count == count
    assert found.p_round == pytest.approx(p, abs=tolerance)


@pytest.mark.parametrize("x", [0, 0.001, 1, 4.17, 8.34, 16.9, 74.6, 700])
def test_the_chi_square_tail_is_that_of_scipy(x: float) -> None:
    assert chi_square_tail_9(x) == pytest.approx(chi2.sf(x, 9), rel=1e-12)


@pytest.mark.parametrize("n", [1, 50, 100, 4_000])
def test_the_binomial_tail_is_that_of_scipy(n: int) -> None:
    for count in {0, 1, n // 10, n // 5, n // 5 + 1, n // 4, n // 2, n}:
        expected = binomtest(count, n, 0.2, alternative="greater").pvalue
        assert binomial_tail(count, n, 0.2) == pytest.approx(expected, rel=1e-9), count


def test_values_converted_to_tenths_of_mmol_have_uneven_digits_by_themselves() -> None:
    # Exhaustive loop over 54 to 360 mg/dL in exact decimals (W): digits 1 and 6 occur 21 times,
    # the others 31 to 34. So the test is never run on converted values.
    tenth = Decimal("0.1")
    digits = Counter(
        str((Decimal(mg_dl) / Decimal("18.0156")).quantize(tenth, ROUND_HALF_UP))[-1]
        for mg_dl in range(54, 361)
    )

    assert digits["1"] == digits["6"] == 21
    assert {31, 34} >= {min(digits[d] for d in "02345789"), max(digits[d] for d in "02345789")}
