"""Wilson limits against print, statsmodels and scipy; the five bands at their edges."""

from __future__ import annotations

import pytest
import scipy.stats
from statsmodels.stats.proportion import proportion_confint

from app.statistics.proportion import BandCounts, band_counts, share_in_range, share_of

# Wilson, J Am Stat Assoc 1927;22:209-212 (from memory); values worked, and the same by statsmodels
# and scipy.
WORKED = [
    (18, 25, 0.52423395, 0.85716146),
    (0, 10, 0.0, 0.27753280),
    (10, 10, 0.72246720, 1.0),
    (3, 50, 0.02061497, 0.16217092),
    (1, 7, 0.02567962, 0.51312783),
    (70, 100, 0.60415145, 0.78105115),
    (0, 90, 0.0, 0.04093563),
]


@pytest.mark.parametrize(("count", "n", "low", "high"), WORKED)
def test_wilson_limits_of_worked_shares(count: int, n: int, low: float, high: float) -> None:
    found = share_of(count, n)

    assert found.low == pytest.approx(low, abs=1e-7)
    assert found.high == pytest.approx(high, abs=1e-7)


@pytest.mark.parametrize("n", [1, 5, 14, 60, 1_000, 146_100])
@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
def test_wilson_limits_agree_with_statsmodels_and_scipy(n: int, confidence: float) -> None:
    for count in {0, 1, n // 3, n // 2, n - 1, n}:
        found = share_of(count, n, confidence=confidence)
        theirs = proportion_confint(count, n, alpha=1 - confidence, method="wilson")
        exact = scipy.stats.binomtest(count, n).proportion_ci(confidence, method="wilson")

        assert (found.low, found.high) == pytest.approx(theirs, abs=1e-12)
        assert (found.low, found.high) == pytest.approx((exact.low, exact.high), abs=1e-12)


def test_the_sentence_about_70_of_100_holds() -> None:
    # "70 of 100 results in range (likely between 60% and 78%)".
    found = share_of(70, 100)

    assert found.low is not None
    assert found.high is not None
    assert (round(100 * found.low), round(100 * found.high)) == (60, 78)


MG_DL = {"very_low": 54, "low": 70, "high": 180, "very_high": 250}
MMOL_L = {"very_low": 3.0, "low": 3.9, "high": 10.0, "very_high": 13.9}
EXPECTED = BandCounts(very_low=1, low=2, in_range=4, high=2, very_high=1)

# Levels: ADA Standards of Care, section 6; Agiostratidou et al., Diabetes Care 2017;40:1622-1630;
# Battelino et al., Diabetes Care 2019;42:1593-1603 (tables read). Counts worked by hand.
IN_MG_DL = [54, 69, 70, 100, 180, 181, 250, 251, 53, 140]
IN_MMOL_L = [3.0, 3.8, 3.9, 5.5, 10.0, 10.1, 13.9, 14.0, 2.9, 7.8]


def test_each_edge_falls_into_its_band_in_both_units() -> None:
    assert band_counts(IN_MG_DL, **MG_DL) == EXPECTED
    assert band_counts(IN_MMOL_L, **MMOL_L) == EXPECTED


def test_readings_of_both_units_are_counted_each_by_its_own_limits() -> None:
    limits = {name: [MG_DL[name]] * 10 + [MMOL_L[name]] * 10 for name in MG_DL}

    found = band_counts(IN_MG_DL + IN_MMOL_L, **limits)

    assert found == BandCounts(very_low=2, low=4, in_range=8, high=4, very_high=2)


def test_converting_first_would_misfile_the_edges() -> None:
    converted = [value * 18.0156 for value in IN_MMOL_L]

    assert band_counts(converted, **MG_DL) == BandCounts(1, 2, 3, 2, 2)
    assert share_in_range([10.0], 3.9, 10.0).count == 1
    assert share_in_range([10.0 * 18.0156], 70, 180).count == 0
