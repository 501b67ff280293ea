"""How sure a figure is at so many readings: the arithmetic behind the minimum data of this diary.

Published: the low and high indices were built on 135 +- 53 results a month in 96 adults (Kovatchev,
Straume, Cox, Farhy, abstract read, V). Nothing published was found for other finger-stick figures:
the table is worked with scipy for independent results with an SD of 50 mg/dL (W), and the minimum
data are rules of this diary (R).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import chi2, t

from app.statistics import enough
from app.statistics.moments import standard_deviation
from app.statistics.proportion import share_of
from app.statistics.values import FloatArray

# n: half-width of the mean's 95 % interval in mg/dL, and the factors on the SD.
WORKED = {
    7: (46.2, 0.644, 2.202),
    10: (35.8, 0.688, 1.826),
    14: (28.9, 0.725, 1.611),
    21: (22.8, 0.765, 1.444),
    28: (19.4, 0.791, 1.361),
    42: (15.6, 0.823, 1.275),
    60: (12.9, 0.848, 1.220),
    90: (10.5, 0.872, 1.172),
    200: (7.0, 0.911, 1.109),
}


def with_sd_50(n: int) -> FloatArray:
    values = np.arange(n, dtype=np.float64)
    return np.asarray(150 + (values - values.mean()) * 50 / np.std(values, ddof=1))


@pytest.mark.parametrize(("n", "row"), WORKED.items())
def test_the_reach_of_a_mean_and_the_factors_on_an_sd(
    n: int, row: tuple[float, float, float]
) -> None:
    sd = standard_deviation(with_sd_50(n))

    assert sd is not None
    reach = t.ppf(0.975, n - 1) * sd / math.sqrt(n)
    factors = [math.sqrt((n - 1) / chi2.ppf(p, n - 1)) for p in (0.975, 0.025)]
    assert reach == pytest.approx(row[0], abs=0.05)
    assert factors == pytest.approx(row[1:], abs=0.0005)


@pytest.mark.parametrize(("n", "points"), [(10, 24.8), (60, 11.3), (90, 9.3), (200, 6.3)])
def test_the_reach_of_a_share_of_70_percent(n: int, points: float) -> None:
    found = share_of(round(0.7 * n), n)

    assert found.low is not None
    assert found.high is not None
    assert 100 * (found.high - found.low) / 2 == pytest.approx(points, abs=0.05)


@pytest.mark.parametrize(("sd", "n"), [(40, 62), (50, 97), (60, 139)])
def test_so_many_readings_hold_a_mean_to_ten_mg_dl(sd: float, n: int) -> None:
    # 1.96 SD / sqrt n (W).
    assert math.ceil((1.96 * sd / 10) ** 2) == n
    assert 1.96 * np.std(with_sd_50(n), ddof=1) * sd / 50 / math.sqrt(n) <= 10


def test_the_minimum_data_are_those_that_were_chosen() -> None:
    # Rules of this diary (R); the indices from 60 readings, since they were built on 135.
    assert (enough.MEAN.needed, enough.MEDIAN.needed) == (3, 3)
    assert (enough.SPREAD.needed, enough.SPREAD.days_needed) == (14, 5)
    assert (enough.SHARE.needed, enough.SHARE.days_needed) == (14, 5)
    assert (enough.WITHIN_DAY_CV.days_needed, enough.WITHIN_DAY_CV.a_day) == (5, 4)
    assert (enough.MAGE.days_needed, enough.MAGE.a_day) == (3, 7)
    assert (enough.MODD.needed, enough.MODD.counted) == (5, "pairs")
    assert (enough.RISK.needed, enough.RISK.days_needed) == (60, 14)
    assert enough.MEAN_INTERVAL.days_needed == 5
    assert (enough.TENTH_PERCENTILE.needed, enough.FIFTH_PERCENTILE.needed) == (20, 40)
    assert enough.SLOT_BOX.needed == 5
    assert enough.LAST_DIGITS.needed == 50
