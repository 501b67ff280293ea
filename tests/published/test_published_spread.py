"""Mean, SD, CV and within-day CV: values worked by hand and with exact decimals."""

from __future__ import annotations

import statistics

import numpy as np
import pytest

from app.statistics.moments import (
    coefficient_of_variation,
    mean,
    standard_deviation,
    within_day_cv,
)

S10 = [92, 118, 145, 187, 103, 231, 76, 160, 134, 112]  # mg/dL
S5 = [5.4, 7.8, 11.2, 6.1, 9.9]  # mmol/L


def test_mean_of_the_sample_sets() -> None:
    # Standard definition; worked by hand: 1358 / 10 and 40.4 / 5.
    assert mean(S10) == pytest.approx(135.8, abs=1e-12)
    assert mean(S5) == pytest.approx(8.08, abs=1e-12)


def test_sd_is_the_sample_sd() -> None:
    # Standard definition with n - 1; worked with numpy and the statistics module.
    assert standard_deviation(S10) == pytest.approx(46.9178951882, abs=1e-9)
    assert standard_deviation(S5) == pytest.approx(2.4610973162, abs=1e-9)
    # The population SD, for contrast: what it must not be.
    assert statistics.pstdev(S10) == pytest.approx(44.5102235447, abs=1e-9)
    assert statistics.pstdev(S5) == pytest.approx(2.2012723593, abs=1e-9)


def test_cv_is_in_percent_and_free_of_the_unit() -> None:
    # Standard definition; worked.
    assert coefficient_of_variation(S10) == pytest.approx(34.54926008, abs=1e-7)
    assert coefficient_of_variation(S5) == pytest.approx(30.45912520, abs=1e-7)
    assert coefficient_of_variation(np.array(S10) / 18.0156) == pytest.approx(
        coefficient_of_variation(S10), rel=1e-12
    )


def test_within_day_cv_is_the_mean_of_the_days_cvs() -> None:
    # Definition: Julla et al., Diabetes Care 2021;44:1722-1725 (abstract read); values worked.
    first, second = [100, 180, 110, 190], [150, 240, 160, 250]

    found = within_day_cv(first + second, [1] * 4 + [2] * 4)

    assert coefficient_of_variation(first) == pytest.approx(32.10170, abs=1e-4)
    assert coefficient_of_variation(second) == pytest.approx(26.14065, abs=1e-4)
    assert found.value == pytest.approx(29.12117, abs=1e-4)
    assert found.days == 2
    assert coefficient_of_variation(first + second) == pytest.approx(31.56247, abs=1e-4)


def test_mean_and_sd_agree_with_numpy_and_the_statistics_module() -> None:
    rng = np.random.default_rng(11)
    values = rng.lognormal(5, 0.4, 300)

    assert mean(values) == pytest.approx(statistics.fmean(values), rel=1e-14)
    assert standard_deviation(values) == pytest.approx(np.std(values, ddof=1), rel=1e-14)
    assert standard_deviation(values) == pytest.approx(statistics.stdev(values.tolist()), rel=1e-13)
