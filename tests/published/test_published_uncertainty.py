"""The mean's interval: t interval, exact bootstrap, percentile bootstrap and closed form."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import scipy.stats

from app.statistics.intervals import mean_interval, resampled_means
from app.statistics.moments import mean, standard_deviation

S10 = [92, 118, 145, 187, 103, 231, 76, 160, 134, 112]  # mg/dL
S5 = [5.4, 7.8, 11.2, 6.1, 9.9]  # mmol/L


@pytest.mark.parametrize(
    ("values", "error", "low", "high"),
    [
        (S10, 14.836741, 102.236960, 169.363040),
        (S5, 1.100636, 5.024144, 11.135856),
    ],
)
def test_mean_and_sd_give_the_textbook_t_interval(
    values: list[float], error: float, low: float, high: float
) -> None:
    # Standard; worked with scipy's t quantile (2.262157 for 9 degrees of freedom).
    middle, sd = mean(values), standard_deviation(values)
    assert middle is not None
    assert sd is not None
    found = sd / math.sqrt(len(values))
    t = scipy.stats.t.ppf(0.975, len(values) - 1)

    assert scipy.stats.t.ppf(0.975, 9) == pytest.approx(2.262157, abs=1e-6)
    assert found == pytest.approx(error, abs=1e-5)
    assert (middle - t * found, middle + t * found) == pytest.approx((low, high), abs=1e-5)


def test_the_bootstrap_has_the_distribution_that_enumeration_gives() -> None:
    # Worked by listing all 27 resamples of three readings; each reading is a day of its own.
    values = [100.0, 150.0, 230.0]
    every = np.array([np.mean(drawn) for drawn in itertools.product(values, repeat=3)])
    assert every.mean() == pytest.approx(160, abs=1e-6)
    assert every.std() == pytest.approx(30.912062, abs=1e-6)
    assert np.isclose(every, 160).sum() == 6
    assert np.isclose(every, 100).sum() == 1

    found = resampled_means(values, [1, 2, 3], resamples=50_000)

    # Four standard errors of the simulation.
    assert found.mean() == pytest.approx(160, abs=4 * 30.9 / math.sqrt(50_000))
    assert found.std() == pytest.approx(30.912062, rel=4 / math.sqrt(2 * 50_000))
    for mean_of_three, ways in ((160, 6), (100, 1)):
        share, p = np.isclose(found, mean_of_three).mean(), ways / 27
        assert share == pytest.approx(p, abs=4 * math.sqrt(p * (1 - p) / 50_000))


def test_the_percentile_bootstrap_of_the_sample_set() -> None:
    # Efron and Tibshirani 1993 (from memory); range over 20 seeds of 10,000 resamples each, worked.
    days = np.arange(10)
    for seed in range(5):
        found = mean_interval(S10, days, resamples=10_000, seed=seed)
        assert found is not None

        assert found.low == pytest.approx(109.8, abs=1.5)
        assert found.high == pytest.approx(164.8, abs=1.8)

    assert resampled_means(S10, days, resamples=10_000).std() == pytest.approx(14.0754, abs=0.3)


def test_the_percentile_bootstrap_agrees_with_scipy() -> None:
    theirs = scipy.stats.bootstrap(
        (S10,), np.mean, n_resamples=10_000, method="percentile", rng=np.random.default_rng(3)
    ).confidence_interval

    found = mean_interval(S10, np.arange(10), resamples=10_000)

    assert found is not None
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=1.5)


@pytest.mark.parametrize("kind", ["even days", "uneven days", "days that differ"])
def test_bootstrap_and_closed_form_agree_within_3_percent_at_the_switch(kind: str) -> None:
    # A rule of this diary: the one takes over from the other at 400 days.
    rng = np.random.default_rng(400)
    counts = np.full(400, 5) if kind == "even days" else rng.integers(1, 12, 400)
    days = np.repeat(np.arange(400), counts)
    level = rng.normal(0, 25 if kind == "days that differ" else 0, 400)[days]
    values = np.round(140 + level + rng.normal(0, 45, days.size))

    drawn = mean_interval(values, days)
    closed = mean_interval(values, days, bootstrap_up_to_days=399)

    assert drawn is not None
    assert closed is not None
    assert (drawn.method, closed.method) == ("bootstrap", "closed form")
    assert drawn.high - drawn.low == pytest.approx(closed.high - closed.low, rel=0.03)
    half = (closed.high - closed.low) / 2
    assert drawn.low == pytest.approx(closed.low, abs=0.06 * half)
    assert drawn.high == pytest.approx(closed.high, abs=0.06 * half)


def test_the_closed_form_of_one_reading_a_day_is_the_textbook_standard_error() -> None:
    # With one reading a day there are no clusters, and the ratio's variance is s^2 / n.
    rng = np.random.default_rng(5)
    values = rng.normal(140, 45, 500)

    found = mean_interval(values, np.arange(500))

    assert found is not None
    reach = 1.959964 * np.std(values, ddof=1) / math.sqrt(500)
    assert (found.low, found.high) == pytest.approx(
        (values.mean() - reach, values.mean() + reach), abs=1e-5
    )
