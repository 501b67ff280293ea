"""Differences of means against scipy, statsmodels, and a printed table of t."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

from app.statistics.difference import difference_of_means, evened_difference, side_of
from app.statistics.difference_days import difference_over_days
from app.statistics.student import t_quantile

# Waking values before and after a change, with settling days between (W: worked by scipy).
BEFORE = [9.1, 8.4, 10.2, 9.6, 8.8, 10.9, 9.3]
AFTER = [7.9, 8.2, 6.8, 7.4, 9.0, 7.1, 7.6]


@pytest.mark.parametrize(
    ("freedom", "printed"),
    # The two-sided 5 % column of every printed table of Student's t (M, and W by scipy).
    [(1, 12.706), (2, 4.303), (5, 2.571), (9, 2.262), (10, 2.228), (30, 2.042), (120, 1.980)],
)
def test_the_quantiles_are_those_of_the_printed_table(freedom: int, printed: float) -> None:
    assert t_quantile(0.975, freedom) == pytest.approx(printed, abs=5.1e-4)


def test_the_quantiles_are_those_of_scipy() -> None:
    for share in (0.0005, 0.025, 0.3, 0.6, 0.9, 0.975, 0.995):
        for freedom in (0.7, 1, 1.5, 3.3, 9, 11.751444, 60, 1000, 1e5):
            theirs = scipy.stats.t.ppf(share, freedom)

            assert t_quantile(share, freedom) == pytest.approx(theirs, rel=1e-7), (share, freedom)


def test_before_and_after_a_change() -> None:
    # W: means 9.5 and 7.7 as shown, difference -1.8, 95 % about -2.7 to -0.8.
    found = difference_of_means(BEFORE, AFTER)

    assert found is not None
    assert found.low is not None
    assert found.high is not None
    assert (found.first, found.second) == pytest.approx((9.471429, 7.714286), abs=1e-6)
    assert found.value == pytest.approx(-1.757143, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((-2.686331, -0.827955), abs=1e-6)
    assert found.degrees == pytest.approx(11.751444, abs=1e-6)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
def test_the_interval_is_that_of_scipy_and_statsmodels(confidence: float) -> None:
    rng = np.random.default_rng(11)
    for n, m, spread in ((7, 7, 1.0), (3, 40, 4.0), (25, 5, 0.2)):
        first, second = rng.normal(8, 2, n), rng.normal(7, 2 * spread, m)
        scipys = scipy.stats.ttest_ind(second, first, equal_var=False)
        interval = scipys.confidence_interval(confidence)
        compared = CompareMeans(DescrStatsW(second), DescrStatsW(first))
        theirs = compared.tconfint_diff(alpha=1 - confidence, usevar="unequal")

        found = difference_of_means(first, second, confidence=confidence)

        assert found is not None
        assert found.degrees == pytest.approx(scipys.df, rel=1e-9)
        assert (found.low, found.high) == pytest.approx((interval.low, interval.high), abs=1e-9)
        assert (found.low, found.high) == pytest.approx(theirs, abs=1e-9)


def test_the_evened_interval_is_the_one_written_out_slot_by_slot() -> None:
    # Satterthwaite 1946 (M): variances of the slot means add, with the weights squared.
    rng = np.random.default_rng(12)
    sides, parts, means = [], [], []
    for centre in (8.0, 7.2):
        values, groups = [], []
        for group, n in ((0, 12), (2, 5), (6, 9)):
            drawn = rng.normal(centre + group / 4, 1.5, n)
            values.append(drawn)
            groups.append(np.full(n, group))
            parts.append((np.var(drawn, ddof=1) / n, n))
        means.append(np.mean([each.mean() for each in values]))
        days = np.arange(26)
        sides.append(side_of(np.concatenate(values), np.concatenate(groups), days))
    variance = sum(part for part, _ in parts) / 9
    freedom = variance**2 / sum((part / 9) ** 2 / (n - 1) for part, n in parts)
    reach = scipy.stats.t.ppf(0.975, freedom) * np.sqrt(variance)
    value = means[1] - means[0]

    found = evened_difference(*sides)

    assert found is not None
    assert found.value == pytest.approx(value, abs=1e-12)
    assert (found.low, found.high) == pytest.approx((value - reach, value + reach), abs=1e-9)
    assert found.degrees == pytest.approx(freedom, rel=1e-9)


def test_the_days_drawn_anew_agree_with_scipys_bootstrap() -> None:
    # Efron and Tibshirani 1993, chapter 8 (M): two samples, each drawn by itself.
    theirs = scipy.stats.bootstrap(
        (np.array(AFTER), np.array(BEFORE)),
        lambda one, other, axis: np.mean(one, axis=axis) - np.mean(other, axis=axis),
        n_resamples=20_000,
        method="percentile",
        rng=np.random.default_rng(2),
    ).confidence_interval
    first = side_of(BEFORE, [0] * 7, range(7))
    second = side_of(AFTER, [0] * 7, range(10, 17))

    found = difference_over_days(first, second, resamples=20_000)

    assert found is not None
    assert found.days == 14
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=0.04)


def test_welchs_interval_holds_the_true_difference_as_often_as_it_says() -> None:
    rng = np.random.default_rng(13)
    hits, runs = 0, 2_000
    for _ in range(runs):
        found = difference_of_means(rng.normal(8, 1, 7), rng.normal(7, 3, 9))
        assert found is not None
        assert found.low is not None
        assert found.high is not None
        hits += found.low <= -1 <= found.high

    # Four standard errors of the simulation about 95 %.
    assert hits / runs == pytest.approx(0.95, abs=4 * (0.95 * 0.05 / runs) ** 0.5)
