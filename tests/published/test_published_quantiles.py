"""Quantiles of types 7 and 6: Hyndman and Fan's definitions, numpy's, scipy's, and hand values."""

from __future__ import annotations

import statistics

import numpy as np
import pytest
import scipy.stats

from app.statistics.off_scale import mean_or_bound
from app.statistics.quantiles import interquartile_range, median, quantiles

S10 = [92, 118, 145, 187, 103, 231, 76, 160, 134, 112]  # mg/dL
S5 = [5.4, 7.8, 11.2, 6.1, 9.9]  # mmol/L
FIVE = [0.05, 0.25, 0.5, 0.75, 0.95]

# Hyndman and Fan, Am Stat 1996;50:361-365 (definitions read in the libraries' documentation);
# values worked by hand.
WORKED = [
    ("type 7, mg/dL", S10, 7, [83.2, 105.25, 126, 156.25, 211.2]),
    ("type 7, mmol/L", S5, 7, [5.54, 6.1, 7.8, 9.9, 10.94]),
    ("type 6, mg/dL", S10, 6, [76, 100.25, 126, 166.75, 231]),
    ("type 6, mmol/L", S5, 6, [5.4, 5.75, 7.8, 10.55, 11.2]),
]


@pytest.mark.parametrize(
    ("values", "kind", "expected"), [row[1:] for row in WORKED], ids=[row[0] for row in WORKED]
)
def test_the_five_quantiles_of_the_sample_sets(
    values: list[float], kind: int, expected: list[float]
) -> None:
    found = quantiles(values, FIVE, kind=kind)

    assert found == pytest.approx(expected, abs=1e-9)


def test_interquartile_range_of_both_types() -> None:
    # Worked by hand.
    assert interquartile_range(S10) == pytest.approx(51.0, abs=1e-9)
    assert interquartile_range(S10, kind=6) == pytest.approx(66.5, abs=1e-9)
    assert interquartile_range(S5) == pytest.approx(3.8, abs=1e-9)
    assert interquartile_range(S5, kind=6) == pytest.approx(4.8, abs=1e-9)


def test_type_6_gives_the_plain_minimum_as_5th_percentile_up_to_19_readings() -> None:
    # Worked: (n + 1) 0.05 passes 1 only from n = 20 on.
    values = np.arange(1.0, 20.0)

    assert quantiles(values, [0.05], kind=6) == pytest.approx([1.0], abs=1e-12)
    assert quantiles(np.arange(1.0, 21.0), [0.05], kind=6) == pytest.approx([1.05], abs=1e-12)


def test_an_off_scale_result_is_ordered_at_the_end() -> None:
    # A rule of this diary, worked by hand: 92 118 145 187 103 HI with the limit 600.
    numeric = [92, 118, 145, 187, 103]

    assert median(numeric, above=1) == 131.5
    assert quantiles(numeric, [0, 1], above=1) == pytest.approx([92, np.inf])


def test_a_mean_with_an_off_scale_result_is_a_bound() -> None:
    # A rule of this diary, worked by hand: 1245 / 6 and 665 / 6.
    numeric = [92, 118, 145, 187, 103]

    high = mean_or_bound(numeric, high_limits=[600])
    low = mean_or_bound(numeric, low_limits=[20])

    assert mean_or_bound(numeric).value == 129
    assert (high.kind, high.value, high.n) == ("at_least", 207.5, 6)
    assert low.kind == "at_most"
    assert low.value == pytest.approx(110.8333, abs=1e-4)


@pytest.mark.parametrize("size", [1, 2, 3, 10, 101, 2_000, 5_003])
@pytest.mark.parametrize("places", [1, 15])
def test_quantiles_agree_with_numpy_and_scipy(size: int, places: int) -> None:
    rng = np.random.default_rng(size)
    values = np.round(rng.lognormal(2.05, 0.33, size), places)
    wanted = np.array([0, 0.01, 0.05, 0.1, 0.25, 0.3, 0.5, 0.75, 0.9, 0.95, 1])

    seven, six = quantiles(values, wanted), quantiles(values, wanted, kind=6)

    assert seven == pytest.approx(np.quantile(values, wanted, method="linear"), abs=1e-9)
    assert six == pytest.approx(np.quantile(values, wanted, method="weibull"), abs=1e-9)
    scipy_seven = scipy.stats.mstats.mquantiles(values, wanted, alphap=1, betap=1)
    assert seven == pytest.approx(np.asarray(scipy_seven), abs=1e-9)
    if size > 1:
        inclusive = statistics.quantiles(values.tolist(), n=4, method="inclusive")
        assert quantiles(values, [0.25, 0.5, 0.75]) == pytest.approx(inclusive, abs=1e-9)
