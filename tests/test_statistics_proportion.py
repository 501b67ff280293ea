"""Shares and bands: odd inputs, limits for each reading, off-scale results, what always holds."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.proportion import band_counts, share_in_range, share_of

LIMITS = {"very_low": 54.0, "low": 70.0, "high": 180.0, "very_high": 250.0}
glucose = st.lists(st.integers(20, 600), max_size=40)


def test_empty_diary_gives_no_share() -> None:
    found = share_in_range([], 70, 180)

    assert found.count == 0
    assert found.n == 0
    assert (found.share, found.low, found.high) == (None, None, None)


def test_none_and_all_reach_the_ends_exactly() -> None:
    none, every = share_of(0, 7), share_of(7, 7)

    assert (none.share, none.low) == (0.0, 0.0)
    assert (every.share, every.high) == (1.0, 1.0)


def test_both_edges_of_the_range_belong_to_it() -> None:
    assert share_in_range([70, 180], 70, 180).count == 2
    assert share_in_range([math.nextafter(70, 0), math.nextafter(180, 999)], 70, 180).count == 0


def test_each_reading_is_held_to_its_own_limits() -> None:
    found = share_in_range([100, 5.5, 5.5], [70, 3.9, 70], [180, 10.0, 180])

    assert (found.count, found.n) == (2, 3)


def test_a_range_that_is_upside_down_is_refused_and_shown() -> None:
    with pytest.raises(ValueError, match="range is upside down: low=180, high=70"):
        share_in_range([100], 180, 70)
    with pytest.raises(ValueError, match="range is upside down: low=9, high=8"):
        share_in_range([5, 6], [3.9, 9], [10, 8])
    with pytest.raises(ValueError, match="range is upside down: very_low=80, low=70"):
        band_counts([100], very_low=80, low=70, high=180, very_high=250)


def test_limits_that_do_not_match_the_readings_are_refused() -> None:
    with pytest.raises(ValueError, match="low must be one limit or one a value: 2 for 3 values"):
        share_in_range([1, 2, 3], [0, 0], 9)


@pytest.mark.parametrize(("count", "n"), [(2, 1), (-1, 5), (0, -1)])
def test_impossible_counts_are_refused(count: int, n: int) -> None:
    with pytest.raises(ValueError, match=r"count=|n="):
        share_of(count, n)


def test_off_scale_results_fall_into_the_outer_bands_or_by_the_meters_limit() -> None:
    unknown = band_counts([-math.inf, math.inf], **LIMITS)
    assert (unknown.very_low, unknown.very_high) == (1, 1)

    # A meter that stops at 60 and at 200 cannot tell how far beyond a result lay.
    known = band_counts([math.nextafter(60, 0), math.nextafter(200, 999)], **LIMITS)
    assert (known.low, known.high) == (1, 1)


def test_not_a_number_is_never_counted() -> None:
    with pytest.raises(ValueError, match="nan"):
        band_counts([math.nan], **LIMITS)


@given(glucose)
def test_every_reading_is_in_one_band_and_the_same_as_one_at_a_time(values: list[int]) -> None:
    found = band_counts(values, **LIMITS)

    one_at_a_time = [0, 0, 0, 0, 0]
    for v in values:
        if v < 54:
            one_at_a_time[0] += 1
        elif v < 70:
            one_at_a_time[1] += 1
        elif v <= 180:
            one_at_a_time[2] += 1
        elif v <= 250:
            one_at_a_time[3] += 1
        else:
            one_at_a_time[4] += 1
    bands = [found.very_low, found.low, found.in_range, found.high, found.very_high]
    assert bands == one_at_a_time
    assert found.n == len(values)
    assert share_in_range(values, 70, 180).count == found.in_range


@given(glucose.filter(bool), st.randoms(use_true_random=False))
def test_order_never_matters(values: list[int], random: object) -> None:
    before = band_counts(values, **LIMITS), share_in_range(values, 70, 180)
    random.shuffle(values)  # type: ignore[attr-defined]

    assert (band_counts(values, **LIMITS), share_in_range(values, 70, 180)) == before


@given(st.integers(1, 5_000), st.floats(0, 1), st.floats(0.01, 0.999))
def test_the_limits_hold_the_share_and_stay_within_0_and_1(
    n: int, part: float, confidence: float
) -> None:
    found = share_of(round(part * n), n, confidence=confidence)

    assert found.share is not None
    assert found.low is not None
    assert found.high is not None
    assert 0 <= found.low <= found.share <= found.high <= 1


@given(st.integers(0, 50), st.integers(0, 50))
def test_the_limits_of_the_rest_are_the_mirror_image(count: int, rest: int) -> None:
    one, other = share_of(count, count + rest), share_of(rest, count + rest)

    if one.low is not None and one.high is not None:
        assert other.low == pytest.approx(1 - one.high, abs=1e-12)
        assert other.high == pytest.approx(1 - one.low, abs=1e-12)
